//! What can happen to a log while it is used: programs killed at any moment, many at once, a full
//! disk, a disk that may only be read, damaged files. Whatever was acknowledged is there afterwards,
//! or `log verify` says precisely what is damaged.
//!
//! The default run is short. `WHYTRIP_FAULTS=full cargo test --test plant log_faults` makes 500 additions
//! that are killed at random moments, and 8 programs that add 500 incidents each.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::thread;
use std::time::{Duration, Instant};

use crate::common::Plant;
use serde_json::Value;

/// How often something is done: in the default run, in the full one.
fn times(short: usize, full: usize) -> usize {
    let count = match std::env::var("WHYTRIP_FAULTS").as_deref() {
        Ok("full") => full,
        _ => short,
    };
    eprintln!("{count} times of {full}");
    count
}

/// Random numbers from a seed (xorshift64; Marsaglia 2003).
struct Random(u64);

impl Random {
    fn below(&mut self, limit: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % limit.max(1)
    }
}

/// Words of the incidents in the log, with how often each stands there.
fn logged(plant: &Plant) -> BTreeMap<String, usize> {
    let mut words = BTreeMap::new();
    for line in plant.run("log export").out.lines() {
        let record: Value = serde_json::from_str(line).expect("JSON");
        let text = record["words"].as_str().expect("words").to_owned();
        *words.entry(text).or_default() += 1;
    }
    words
}

fn words(index: usize) -> String {
    format!("conveyor {index} trips on starting")
}

#[test]
fn a_program_killed_at_any_moment_loses_nothing_that_it_acknowledged() {
    let plant = Plant::new();
    let whole = {
        let start = Instant::now();
        for index in 0..3 {
            let text = format!("words: warm {index}");
            plant.call("log add --file -").typed(text).run().ended(0);
        }
        start.elapsed() / 3
    };
    let mut random = Random(0x2545_f491_4f6c_dd1d);
    let mut acknowledged = Vec::new();
    let mut killed = 0;
    for index in 0..times(40, 500) {
        let entry = plant.file("entry.yaml", &format!("words: {}\n", words(index)));
        let mut child = plant.call("log add --json --file").arg(entry).start();
        // From before it has begun to after it has ended.
        let micros = random.below(whole.as_micros() as u64 * 3 / 2);
        thread::sleep(Duration::from_micros(micros));
        child.kill().expect("a program that can be killed");
        let output = child.wait_with_output().expect("its output");
        killed += usize::from(!output.status.success());
        if serde_json::from_slice::<Value>(&output.stdout).is_ok() {
            acknowledged.push(words(index));
        }
        if index % 10 == 9 {
            plant.run("log verify");
        }
    }
    let there = logged(&plant);
    for words in &acknowledged {
        assert_eq!(there.get(words), Some(&1), "{words} was acknowledged");
    }
    assert!(there.values().all(|&count| count == 1), "{there:?}");
    assert!(
        killed > 0 && !acknowledged.is_empty(),
        "{killed} killed, {} acknowledged: the moments don't cover the run",
        acknowledged.len()
    );
    plant.run("log verify");
}

#[test]
fn eight_programs_at_once_get_a_number_each() {
    let plant = Plant::new();
    let each = times(10, 500);
    let numbers: Vec<u64> = thread::scope(|scope| {
        let adders: Vec<_> = (0..8)
            .map(|program| {
                let plant = &plant;
                scope.spawn(move || {
                    let add = |index: usize| {
                        let text = format!("words: {}\n", words(program * each + index));
                        let run = plant.call("log add --json --file -").typed(text).run();
                        run.ended(0).json()["number"].as_u64().expect("a number")
                    };
                    (0..each).map(add).collect::<Vec<u64>>()
                })
            })
            .collect();
        adders
            .into_iter()
            .flat_map(|adder| adder.join().expect("an adder that ends"))
            .collect()
    });
    let mut sorted = numbers;
    sorted.sort_unstable();
    assert_eq!(sorted, (1..=8 * each as u64).collect::<Vec<_>>());
    assert_eq!(logged(&plant).len(), 8 * each);
    plant.run("log verify");
}

/// A small disk of its own; taken away when the test ends.
#[cfg(target_os = "linux")]
struct SmallDisk(tempfile::TempDir);

#[cfg(target_os = "linux")]
impl SmallDisk {
    /// None, said loudly, where this user may not mount.
    fn new(options: &str) -> Option<SmallDisk> {
        let folder = tempfile::TempDir::new().expect("a folder");
        let disk = SmallDisk(folder);
        if disk.mount(&["-t", "tmpfs", "-o", options, "tmpfs"]) {
            return Some(disk);
        }
        eprintln!("SKIPPED: only root may mount a small disk; run this test as root");
        std::mem::forget(disk);
        None
    }

    fn mount(&self, arguments: &[&str]) -> bool {
        std::process::Command::new("mount")
            .args(arguments)
            .arg(self.0.path())
            .stderr(std::process::Stdio::null())
            .status()
            .is_ok_and(|status| status.success())
    }
}

#[cfg(target_os = "linux")]
impl Drop for SmallDisk {
    fn drop(&mut self) {
        let _ = std::process::Command::new("umount")
            .arg(self.0.path())
            .status();
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_told_and_what_was_acknowledged_stays() {
    let Some(disk) = SmallDisk::new("size=3m") else {
        return;
    };
    let plant = Plant::new();
    let data = disk.0.path().join("data");
    let call = |line: &str| plant.call_on(&data, line);
    let ballast = disk.0.path().join("ballast");
    fs::write(&ballast, vec![0; 1 << 20]).expect("room for the ballast");
    let long = "x".repeat(3_000);
    let mut acknowledged = 0;
    let failed = loop {
        let text = format!("{{words: number {acknowledged}, notes: {long}}}");
        let run = call("log add --file -").typed(text).run();
        if run.status != Some(0) {
            break run;
        }
        acknowledged += 1;
        assert!(acknowledged < 2_000, "the disk never fills");
    };
    failed
        .ended(3)
        .warns("no room is left on the disk")
        .warns("what was recorded before is safe");
    assert!(acknowledged > 10, "{acknowledged}");
    let count = || call("log export").run().ended(0).out.lines().count();
    assert_eq!(count(), acknowledged);
    call("log verify").run().ended(0);
    call("log backup")
        .arg(disk.0.path().join("backup.db"))
        .run()
        .ended(3);
    assert!(!disk.0.path().join("backup.db").exists());
    fs::remove_file(&ballast).expect("the ballast");
    call("log add --file -")
        .typed("words: after")
        .run()
        .ended(0);
    assert_eq!(count(), acknowledged + 1);
    call("log verify").run().ended(0);
}

#[cfg(target_os = "linux")]
#[test]
fn a_disk_that_may_only_be_read_is_read_and_told() {
    let Some(disk) = SmallDisk::new("size=8m") else {
        return;
    };
    let plant = Plant::new();
    let data = disk.0.path().join("data");
    let call = |line: &str| plant.call_on(&data, line);
    call("log add --file -")
        .typed("words: first")
        .run()
        .ended(0);
    let before = fs::read(data.join("log.db")).expect("the log");
    assert!(
        disk.mount(&["-o", "remount,ro"]),
        "a disk that can be remounted"
    );
    call("log list").run().ended(0).says("1");
    call("find first").run().ended(0).says("Found here before");
    call("log verify").run().ended(0);
    for line in [
        "log add --file -",
        "log wrong 1 --why a",
        "code add F1 --class ground-fault",
    ] {
        call(line)
            .typed("words: second")
            .run()
            .ended(3)
            .warns("can be read but not written");
    }
    assert_eq!(fs::read(data.join("log.db")).expect("the log"), before);
}

/// A log with incidents in all of its pages, and what they export to.
fn sound_log() -> (Plant, PathBuf, String) {
    let plant = Plant::new();
    let rows: Vec<String> = (0..200)
        .map(|index| {
            format!(
                "2026-0{}-1{} 03:04,ground-fault,{}",
                1 + index % 9,
                index % 10,
                words(index)
            )
        })
        .collect();
    let file = plant.file(
        "rows.csv",
        &format!("occurred_at,class,words\n{}\n", rows.join("\n")),
    );
    plant.call("log import").arg(file).run().ended(0);
    let log = plant.data().join("log.db");
    let exported = plant.run("log export").out;
    (plant, log, exported)
}

/// Runs `verify` on a changed file: either it is told what is damaged, or every record is there.
/// The file keeps every byte.
fn verify_changed(plant: &Plant, log: &Path, bytes: &[u8], exported: &str) -> bool {
    fs::write(log, bytes).expect("a changed log");
    let run = plant.call("log verify").run();
    assert_eq!(fs::read(log).expect("the log"), bytes, "{}", run.told());
    match run.status {
        Some(0) => {
            assert_eq!(plant.run("log export").out, exported);
            false
        }
        Some(3) => {
            assert!(run.err.contains("log.db"), "{}", run.told());
            assert!(run.err.contains("next:"), "{}", run.told());
            true
        }
        // A log without a single page left is no log.
        _ => {
            assert!(bytes.is_empty(), "{}", run.told());
            true
        }
    }
}

#[test]
fn flipped_bits_are_told_or_do_no_harm() {
    let (plant, log, exported) = sound_log();
    let sound = fs::read(&log).expect("the log");
    let mut random = Random(0x9e37_79b9_7f4a_7c15);
    let mut told = 0;
    let count = times(24, 1_000);
    for _ in 0..count {
        let mut bytes = sound.clone();
        let place = random.below(bytes.len() as u64) as usize;
        bytes[place] ^= 1 << random.below(8);
        told += usize::from(verify_changed(&plant, &log, &bytes, &exported));
    }
    assert!(told > 0, "of {count} flipped bits none was told");
    assert!(!verify_changed(&plant, &log, &sound, &exported));
}

#[test]
fn truncated_files_are_told() {
    let (plant, log, exported) = sound_log();
    let sound = fs::read(&log).expect("the log");
    let mut random = Random(0x0123_4567_89ab_cdef);
    for _ in 0..times(12, 200) {
        let length = random.below(sound.len() as u64) as usize;
        assert!(
            verify_changed(&plant, &log, &sound[..length], &exported),
            "{length} of {} bytes",
            sound.len()
        );
    }
}
