//! A whole `find`, from the start of the process to its end, against an empty program of the same
//! argument parser, in turns in the same run: `cargo bench --bench start`.
//!
//! The ratio is what counts; milliseconds are the machine's.

use std::env;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use clap::{Parser, Subcommand};

/// The empty program: as many commands, nothing behind them.
#[derive(Parser)]
#[command(name = "empty")]
struct Empty {
    #[arg(long, global = true)]
    json: bool,
    #[command(subcommand)]
    command: Option<Nothing>,
}

#[derive(Subcommand)]
enum Nothing {
    Find { words: Vec<String> },
    Show { id: Option<String> },
    Walk { words: Vec<String> },
    Check { name: Option<String> },
    Log { words: Vec<String> },
    Drive { words: Vec<String> },
    Knowledge { words: Vec<String> },
    Completions { shell: Option<String> },
}

const AS_EMPTY: &str = "BENCH_AS_EMPTY_PROGRAM";
const ROUNDS: usize = 200;

fn main() {
    if env::var_os(AS_EMPTY).is_some() {
        // The compiler must not see that nothing is done with it.
        let parsed = Empty::parse();
        std::hint::black_box(parsed.json);
        std::hint::black_box(parsed.command.is_some());
        return;
    }
    let own = env::current_exe().expect("the path of this program");
    let words = [
        "find",
        "braking",
        "resistor",
        "overheting",
        "during",
        "deceleration",
    ];
    let folder = tempfile::tempdir().expect("a folder");
    let mut empty = Vec::new();
    let mut find = Vec::new();
    for round in 0..ROUNDS + 5 {
        let one = time(Command::new(&own).env(AS_EMPTY, "1").args(words));
        let other = time(
            Command::new(env!("CARGO_BIN_EXE_whytrip"))
                .env_remove(AS_EMPTY)
                .env("WHYTRIP_DATA", folder.path())
                .args(words),
        );
        // The first rounds only warm the page cache.
        if round >= 5 {
            empty.push(one);
            find.push(other);
        }
    }
    let (empty, find) = (median(&mut empty), median(&mut find));
    println!("empty program   {:.3} ms", empty.as_secs_f64() * 1e3);
    println!("whytrip find    {:.3} ms", find.as_secs_f64() * 1e3);
    println!(
        "ratio           {:.2}",
        find.as_secs_f64() / empty.as_secs_f64()
    );
}

fn time(command: &mut Command) -> Duration {
    command
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    let start = Instant::now();
    command.status().expect("a program that starts");
    start.elapsed()
}

fn median(times: &mut [Duration]) -> Duration {
    times.sort_unstable();
    times[times.len() / 2]
}
