//! A whole `find`, from the start of the process to its end, against an empty program of the same
//! argument parser and linked the same way (this one, started as that), and against the SQLite shell
//! answering the same words from a full-text table of the same text, in turns in the same run; then
//! peak memory and the number of instructions: `cargo bench --bench start`.
//!
//! The ratios count; milliseconds are the machine's. Instructions do not depend on the machine's mood:
//! more than 5 % above the stored number is a failure, so whoever raises it says why; with
//! `-- instructions` nothing but that is done, as in `.ci/run`. The SQLite shell (Debian: sqlite3), Valgrind
//! and `/proc` are used where they are there.

use std::env;
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{self, Command, Stdio};
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
/// Instructions of one `find`, in millions, on x86-64 with the release profile.
const STORED: f64 = 1.67;
/// The compiler that they were counted with; another one's number says nothing about this program.
const STORED_WITH: &str = "rustc 1.95.0 ";
/// More than this share above [`STORED`] is a failure.
const MARGIN: f64 = 0.05;
const WORDS: [&str; 5] = [
    "braking",
    "resistor",
    "overheting",
    "during",
    "deceleration",
];
/// The words as the SQLite shell takes them: spelled right, since it corrects nothing.
const SELECT: &str = "select id from t where t match \
    'braking OR resistor OR overheating OR during OR deceleration' order by bm25(t) limit 5;";

fn main() {
    if env::var_os(AS_EMPTY).is_some() {
        // The compiler must not see that nothing is done with it.
        let parsed = Empty::parse();
        std::hint::black_box(parsed.json);
        std::hint::black_box(parsed.command.is_some());
        return;
    }
    let words: Vec<&str> = ["find"].into_iter().chain(WORDS).collect();
    let folder = tempfile::tempdir().expect("a folder");
    if !env::args().any(|word| word == "instructions") {
        compare(&words, folder.path());
    }
    if !hold_instructions(&words, folder.path()) {
        process::exit(1);
    }
}

/// Times the three programs in turns and prints the ratios and the peak memory.
fn compare(words: &[&str], folder: &Path) {
    let own = env::current_exe().expect("the path of this program");
    let mut empty = Vec::new();
    let mut find = Vec::new();
    let table = folder.join("table.db");
    write_table(&table);
    let has_shell = shell(&table).output().is_ok();
    let mut sqlite = Vec::new();
    for round in 0..ROUNDS + 5 {
        let one = time(Command::new(&own).env(AS_EMPTY, "1").args(words));
        let other = time(
            Command::new(env!("CARGO_BIN_EXE_whytrip"))
                .env_remove(AS_EMPTY)
                .env("WHYTRIP_DATA", folder)
                .args(words),
        );
        let third = has_shell.then(|| time(&mut shell(&table)));
        // The first rounds only warm the page cache.
        if round >= 5 {
            empty.push(one);
            find.push(other);
            sqlite.extend(third);
        }
    }
    let (empty, find) = (median(&mut empty), median(&mut find));
    println!(
        "empty program   {:.3} ms, linked as whytrip is",
        empty.as_secs_f64() * 1e3
    );
    println!("whytrip find    {:.3} ms", find.as_secs_f64() * 1e3);
    let ratio = |other: Duration| find.as_secs_f64() / other.as_secs_f64();
    println!("ratio           {:.2}", ratio(empty));
    if has_shell {
        let sqlite = median(&mut sqlite);
        println!("sqlite3 shell   {:.3} ms", sqlite.as_secs_f64() * 1e3);
        println!("ratio           {:.2}", ratio(sqlite));
    }
    match peak_memory(folder) {
        Some(megabytes) => println!("peak memory     {megabytes:.1} MB"),
        None => println!("peak memory     not known here"),
    }
}

/// Prints the instructions; whether they are few enough, or can't be compared.
fn hold_instructions(words: &[&str], folder: &Path) -> bool {
    let Some(millions) = instructions(words, folder) else {
        println!("instructions    not known: Valgrind is not here");
        return true;
    };
    println!("instructions    {millions:.2} million (stored: {STORED:.2})");
    let compiler = Command::new("rustc").arg("--version").output();
    let compiler = compiler.map_or_else(|_| Vec::new(), |told| told.stdout);
    if !compiler.starts_with(STORED_WITH.as_bytes()) || !cfg!(target_arch = "x86_64") {
        println!("not compared: the stored number is of {STORED_WITH}on x86-64");
        return true;
    }
    let few = millions <= STORED * (1.0 + MARGIN);
    if !few {
        println!("more than {:.0} % above the stored number", MARGIN * 100.0);
    }
    few
}

/// A full-text table of what the classes and causes say.
fn write_table(path: &Path) {
    let library = whytrip::builtin::knowledge().expect("the knowledge opens");
    let store = rusqlite::Connection::open(path).expect("a new file");
    store
        .execute_batch(
            "create virtual table t using fts5(id unindexed, text, tokenize='porter unicode61'); begin;",
        )
        .expect("FTS5 is compiled in");
    let classes = library.classes().flat_map(|class| {
        let texts = class.phrases.iter().chain([&class.title, &class.meaning]);
        texts.map(|text| (class.id.clone(), text.clone()))
    });
    let causes = library.causes().flat_map(|cause| {
        let texts = [&cause.name, &cause.what];
        texts.map(|text| (cause.id.clone(), text.clone()))
    });
    for (id, text) in classes.chain(causes) {
        store
            .execute("insert into t values (?1, ?2)", [id, text])
            .expect("a row");
    }
    store.execute_batch("commit").expect("the rows are kept");
}

fn shell(table: &Path) -> Command {
    let mut command = Command::new("sqlite3");
    command.arg(table).arg(SELECT);
    command
}

/// Peak memory of a process that has answered, in megabytes, as the kernel counts it.
fn peak_memory(folder: &Path) -> Option<f64> {
    let mut child = Command::new(env!("CARGO_BIN_EXE_whytrip"))
        .args(["find", "--stdin"])
        .env("WHYTRIP_DATA", folder)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .ok()?;
    let mut input = child.stdin.take()?;
    writeln!(input, "{}", WORDS.join(" ")).ok()?;
    let mut answer = String::new();
    let mut output = BufReader::new(child.stdout.take()?);
    output.read_line(&mut answer).ok()?;
    let status = std::fs::read_to_string(format!("/proc/{}/status", child.id()));
    drop(input);
    child.wait().ok()?;
    let status = status.ok()?;
    let peak = status
        .lines()
        .find_map(|line| line.strip_prefix("VmHWM:"))?;
    let kilobytes: f64 = peak.trim().trim_end_matches("kB").trim().parse().ok()?;
    Some(kilobytes / 1024.0)
}

/// Instructions of one `find`, in millions, as Callgrind counts them.
fn instructions(words: &[&str], folder: &Path) -> Option<f64> {
    let counted = Command::new("valgrind")
        .args(["--tool=callgrind", "--callgrind-out-file=/dev/null"])
        .arg(env!("CARGO_BIN_EXE_whytrip"))
        .args(words)
        .env("WHYTRIP_DATA", folder)
        .output()
        .ok()?;
    let told = String::from_utf8_lossy(&counted.stderr).into_owned();
    let (_, count) = told.split_once("Collected : ")?;
    let count: f64 = count.split_whitespace().next()?.parse().ok()?;
    Some(count / 1e6)
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
