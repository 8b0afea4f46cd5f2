//! The tours of the two README files: every command in a `console` block is run in order, from the
//! root of the repository, over one empty data folder, and its output compared with what stands
//! below it. `...` alone stands for any lines, `[..]` for anything within a line.
#![cfg(unix)]

use std::env;
use std::fs;
use std::io::{Read, pipe};
use std::path::Path;
use std::process::{Command, Stdio};

use crate::common::root;
use tempfile::TempDir;

/// A command with the output that stands below it.
struct Shown {
    line: String,
    output: Vec<String>,
}

/// The commands of all `console` blocks of a text.
fn commands(text: &str) -> Vec<Shown> {
    let mut found: Vec<Shown> = Vec::new();
    let mut inside = false;
    for line in text.lines() {
        match line.strip_prefix("```") {
            Some(kind) => inside = !inside && kind == "console",
            None if !inside => {}
            None => match (line.strip_prefix("$ "), found.last_mut()) {
                (Some(command), _) => found.push(Shown {
                    line: command.to_owned(),
                    output: Vec::new(),
                }),
                (None, Some(last)) if last.line.ends_with('\\') => {
                    last.line.pop();
                    last.line.push_str(line.trim_start());
                }
                (None, Some(last)) => last.output.push(line.to_owned()),
                (None, None) => panic!("output without a command: {line}"),
            },
        }
    }
    // An empty line before the next command is for the reader.
    for shown in &mut found {
        while shown.output.last().is_some_and(|line| line.is_empty()) {
            shown.output.pop();
        }
    }
    found
}

/// Builds and version control are not part of the tour.
fn is_run(line: &str) -> bool {
    !["cargo ", "bash ", "git "]
        .iter()
        .any(|start| line.starts_with(start))
}

/// The command with the folder after `--data` replaced, so that it meets an empty one.
fn with_data(line: &str, data: &Path) -> String {
    let data = data.display().to_string();
    let mut words = Vec::new();
    let mut follows = false;
    for word in line.split(' ') {
        words.push(if follows { &data } else { word });
        follows = word == "--data";
    }
    words.join(" ")
}

/// Runs a command as a shell would, with output and messages in the order of a terminal.
fn run(line: &str, data: &Path) -> (Vec<String>, Option<i32>) {
    let program = Path::new(env!("CARGO_BIN_EXE_whytrip"));
    let folder = program.parent().expect("its folder").display().to_string();
    let path = env::var("PATH").unwrap_or_default();
    let (mut reader, writer) = pipe().expect("a pipe");
    let mut command = Command::new("sh");
    command
        .args(["-c", &with_data(line, data)])
        .current_dir(root())
        .env_clear()
        .env("PATH", format!("{folder}:{path}"))
        .env("HOME", data)
        .env("WHYTRIP_DATA", data)
        .env("COLUMNS", "80")
        .env("LANG", "C.UTF-8")
        .env("TZ", "UTC")
        .stdin(Stdio::null())
        .stdout(writer.try_clone().expect("a second end"))
        .stderr(writer);
    let mut child = command.spawn().expect("a shell");
    drop(command);
    let mut text = String::new();
    reader.read_to_string(&mut text).expect("output in UTF-8");
    let status = child.wait().expect("the command ends");
    let mut lines: Vec<String> = text
        .lines()
        .map(|line| line.trim_end().to_owned())
        .collect();
    while lines.last().is_some_and(|line| line.is_empty()) {
        lines.pop();
    }
    (lines, status.code())
}

/// Whether a line is as it stands in the tour.
fn same(shown: &str, line: &str) -> bool {
    match shown.split_once("[..]") {
        None => shown.trim_end() == line,
        Some((start, rest)) => line.strip_prefix(start).is_some_and(|line| {
            let ends = line.char_indices().map(|(at, _)| at).chain([line.len()]);
            ends.into_iter().any(|at| same(rest, &line[at..]))
        }),
    }
}

/// Whether the output is as it stands in the tour.
fn matches(shown: &[String], lines: &[String]) -> bool {
    match shown.split_first() {
        None => lines.is_empty(),
        Some((any, rest)) if any.trim() == "..." => {
            (0..=lines.len()).any(|from| matches(rest, &lines[from..]))
        }
        Some((first, rest)) => lines
            .split_first()
            .is_some_and(|(line, others)| same(first, line) && matches(rest, others)),
    }
}

/// Runs the tour of a file; what differs is told with what really came.
fn tour(file: &str) -> usize {
    let text = fs::read_to_string(root().join(file)).expect("a README");
    let folder = TempDir::new().expect("a temporary folder");
    let data = folder.path().join("data");
    let (mut ran, mut differ) = (0, Vec::new());
    for shown in commands(&text).iter().filter(|shown| is_run(&shown.line)) {
        ran += 1;
        let (lines, status) = run(&shown.line, &data);
        let fails = shown.output.iter().any(|line| line.starts_with("error: "));
        if !matches(&shown.output, &lines) || (!fails && !matches!(status, Some(0 | 1))) {
            differ.push(format!(
                "$ {}\nended {status:?}\n{}",
                shown.line,
                lines.join("\n")
            ));
        }
    }
    assert!(
        differ.is_empty(),
        "{file} shows something else than:\n{}",
        differ.join("\n\n")
    );
    ran
}

#[test]
fn the_tour_of_the_readme_is_real() {
    assert!(tour("README.md") > 0, "README.md has no tour");
}

#[test]
fn the_tour_of_the_demo_plant_is_real() {
    tour("examples/tarn-hollow/README.md");
}

#[test]
fn a_tour_that_lies_is_noticed() {
    let lines = |text: &str| text.lines().map(str::to_owned).collect::<Vec<_>>();
    let real = lines("one\ntwo 2026-11-25\nthree");
    assert!(matches(&lines("one\ntwo [..]\nthree"), &real));
    assert!(matches(&lines("one\n..."), &real));
    assert!(matches(&lines("...\nthree"), &real));
    assert!(!matches(&lines("one\nthree"), &real));
    assert!(!matches(&lines("one\n...\nfour"), &real));
    assert!(!matches(&lines("one\ntwo [..]-26\nthree"), &real));
    assert!(!matches(&[], &real));
}
