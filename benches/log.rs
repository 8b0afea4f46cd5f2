//! The log with 10,000, 100,000 and 1,000,000 incidents made from a seed: `cargo bench --bench log`.
//!
//! `LOG_SIZES="10000 100000"` makes fewer. What is measured: an import of JSON lines with its index by
//! the program, one durable addition against a bare insert into SQLite in turns, finding incidents in
//! the process, a whole `find` against one with an empty log in turns, and how large the file is.
//! Ratios count; seconds are the machine's.

use std::fs::{self, File};
use std::io::{BufWriter, Write};
use std::path::Path;
use std::process::{Command, ExitStatus, Stdio};
use std::time::{Duration, Instant};

use jiff::{SignedDuration, Timestamp, tz::TimeZone};
use rusqlite::Connection;
use tempfile::TempDir;
use whytrip::plant::{
    Birth, ConfirmedBy, Entry, Incident, ReadingEntry, ScalarText, SqliteStore, Store, exchange,
};

const CLASSES: [(&str, &str); 8] = [
    ("dc-overvoltage-decelerating", "decel-ramp-too-short"),
    ("ground-fault", "terminal-box-wet"),
    ("overcurrent-accelerating", "accel-ramp-too-short"),
    ("motor-overload", "load-too-heavy"),
    ("supply-phase-loss", "fuse-blown-one-phase"),
    ("heatsink-overtemperature", "heatsink-fouled"),
    ("communication-loss", "network-termination-wrong"),
    ("analog-reference-loss", "control-wire-broken"),
];

/// Words of descriptions; the later, the seldomer.
const WORDS: [&str; 96] = [
    "trips",
    "when",
    "drive",
    "motor",
    "after",
    "start",
    "stopping",
    "line",
    "again",
    "shift",
    "conveyor",
    "pump",
    "fan",
    "fault",
    "current",
    "voltage",
    "bus",
    "high",
    "low",
    "display",
    "reset",
    "speed",
    "load",
    "hot",
    "cold",
    "wet",
    "washed",
    "cable",
    "terminal",
    "loose",
    "phase",
    "supply",
    "fuse",
    "blown",
    "contactor",
    "brake",
    "resistor",
    "ramp",
    "short",
    "long",
    "bearing",
    "noise",
    "vibration",
    "coupling",
    "gearbox",
    "belt",
    "jammed",
    "blocked",
    "filter",
    "cabinet",
    "heatsink",
    "dust",
    "cooling",
    "ambient",
    "summer",
    "night",
    "weekend",
    "generator",
    "breaker",
    "earth",
    "leakage",
    "insulation",
    "megohm",
    "winding",
    "burnt",
    "rewound",
    "encoder",
    "feedback",
    "signal",
    "screen",
    "noise",
    "network",
    "plug",
    "module",
    "parameter",
    "copied",
    "replaced",
    "spare",
    "panel",
    "keypad",
    "operator",
    "guard",
    "interlock",
    "relay",
    "safety",
    "reference",
    "potentiometer",
    "analog",
    "scaling",
    "hunting",
    "oscillates",
    "resonance",
    "centrifuge",
    "palletiser",
    "labeller",
    "depalletiser",
];

/// Random numbers from a seed (xorshift64; Marsaglia 2003).
struct Random(u64);

impl Random {
    fn below(&mut self, limit: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % limit as u64) as usize
    }

    /// A word: the earlier ones more often (the least of two draws).
    fn word(&mut self) -> &'static str {
        let (one, other) = (self.below(WORDS.len()), self.below(WORDS.len()));
        WORDS[one.min(other)]
    }

    fn text(&mut self, words: usize) -> String {
        let words: Vec<&str> = (0..words).map(|_| self.word()).collect();
        words.join(" ")
    }
}

fn incident(random: &mut Random, index: usize) -> Incident {
    let start: Timestamp = "2006-01-01T00:00:00Z".parse().expect("a time");
    let occurred_at = start + SignedDuration::from_secs(600 * index as i64);
    let (class, cause) = CLASSES[random.below(CLASSES.len())];
    let entry = Entry {
        occurred_at: Some(occurred_at.to_string()),
        drive: Some(format!("fc-{:03}", random.below(500))),
        class: Some(class.to_owned()),
        words: Some(random.text(8)),
        display: Some(ScalarText(format!("F {:03}", random.below(200)))),
        readings: vec![ReadingEntry {
            what: "bus_voltage".to_owned(),
            value: ScalarText(format!("{} V", 500 + random.below(300))),
        }],
        cause: Some(cause.to_owned()),
        confirmed_by: Some(ConfirmedBy::ALL[random.below(3)]),
        done: Some(random.text(6)),
        downtime_minutes: Some(random.below(400) as f64),
        who: Some("AB".to_owned()),
        ..Entry::default()
    };
    Incident::from_entry(&Birth::at(occurred_at, TimeZone::UTC), entry).expect("an incident")
}

fn main() {
    let sizes = std::env::var("LOG_SIZES").unwrap_or_else(|_| "10000 100000 1000000".to_owned());
    println!(
        "incidents  import/s  bytes each  add ms (bare)  ratio  find p50/p99 ms  whole find ms (empty)  ratio"
    );
    for size in sizes.split_whitespace() {
        measure(size.parse().expect("a number of incidents"));
    }
}

fn measure(size: usize) {
    let folder = TempDir::new().expect("a folder");
    let (data, empty) = (folder.path().join("data"), folder.path().join("empty"));
    let file = folder.path().join("log.jsonl");
    write_lines(&file, size);
    let start = Instant::now();
    let status = whytrip(&data, &["log", "import", file.to_str().expect("a name")]);
    assert!(status.success(), "the import failed");
    let rate = size as f64 / start.elapsed().as_secs_f64();
    fs::remove_file(&file).expect("the lines");

    let log = data.join("log.db");
    let bytes = fs::metadata(&log).expect("a log").len() as f64 / size as f64;
    let (add, bare) = durable(&log, &folder.path().join("bare.db"), size);
    let (half, most) = searches(&log);
    fs::create_dir(&empty).expect("a folder");
    SqliteStore::open(&empty.join("log.db"), Timestamp::now()).expect("an empty log");
    let (large, small) = whole_finds(&data, &empty);
    println!(
        "{size:9}  {rate:8.0}  {bytes:10.0}  {:6.3} ({:.3})  {:5.2}  {half:7.2} / {most:.2}  {large:13.3} ({small:.3})  {:5.2}",
        add,
        bare,
        add / bare,
        large / small
    );
}

fn write_lines(file: &Path, size: usize) {
    let mut random = Random(0x2545_f491_4f6c_dd1d);
    let mut out = BufWriter::new(File::create(file).expect("a file"));
    for index in 0..size {
        writeln!(out, "{}", exchange::line(&incident(&mut random, index))).expect("room");
    }
    out.flush().expect("room");
}

/// Medians in milliseconds of one addition and of one bare insert with full synchronisation.
fn durable(log: &Path, bare: &Path, size: usize) -> (f64, f64) {
    let mut store = SqliteStore::open(log, Timestamp::now()).expect("a log");
    let plain = Connection::open(bare).expect("a database");
    plain
        .execute_batch(
            "pragma journal_mode = wal; pragma synchronous = full;
             create table record (number integer primary key, text text)",
        )
        .expect("a table");
    let mut random = Random(0x9e37_79b9_7f4a_7c15);
    let (mut adds, mut inserts) = (Vec::new(), Vec::new());
    for index in 0..300 {
        let incident = incident(&mut random, size + index);
        let text = exchange::line(&incident);
        adds.push(time(|| {
            store.add_incident(&incident).expect("an addition");
        }));
        inserts.push(time(|| {
            plain
                .execute("insert into record (text) values (?1)", [&text])
                .expect("an insert");
        }));
    }
    (at(&mut adds, 50), at(&mut inserts, 50))
}

/// The median and the 99th percentile, in milliseconds, of searches of three to five words, one word
/// in five of them mistyped.
fn searches(log: &Path) -> (f64, f64) {
    let store = SqliteStore::open_existing(log, Timestamp::now())
        .expect("a log")
        .expect("a log");
    let mut random = Random(0x0123_4567_89ab_cdef);
    let mut times = Vec::new();
    for round in 0..400 {
        let length = 3 + random.below(3);
        let mut query = random.text(length);
        if round % 5 == 0 {
            let seldom = WORDS[40 + random.below(WORDS.len() - 40)];
            let mut letters: Vec<char> = seldom.chars().collect();
            let place = 2 + random.below(letters.len() - 3);
            letters.swap(place, place + 1);
            query += &format!(" {}", letters.into_iter().collect::<String>());
        }
        times.push(time(|| {
            store.search(&query, 10).expect("an answer");
        }));
    }
    (at(&mut times, 50), at(&mut times, 99))
}

/// Medians in milliseconds of a whole `find` with a log and with none.
fn whole_finds(data: &Path, empty: &Path) -> (f64, f64) {
    let words = [
        "find",
        "braking",
        "resistor",
        "overheting",
        "during",
        "deceleration",
    ];
    let (mut large, mut small) = (Vec::new(), Vec::new());
    for _ in 0..60 {
        large.push(time(|| {
            whytrip(data, &words);
        }));
        small.push(time(|| {
            whytrip(empty, &words);
        }));
    }
    (at(&mut large, 50), at(&mut small, 50))
}

fn whytrip(data: &Path, words: &[&str]) -> ExitStatus {
    Command::new(env!("CARGO_BIN_EXE_whytrip"))
        .arg("--data")
        .arg(data)
        .args(words)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .status()
        .expect("a program that starts")
}

fn time(work: impl FnOnce()) -> Duration {
    let start = Instant::now();
    work();
    start.elapsed()
}

/// A percentile in milliseconds.
fn at(times: &mut [Duration], percent: usize) -> f64 {
    times.sort_unstable();
    times[(times.len() - 1) * percent / 100].as_secs_f64() * 1e3
}
