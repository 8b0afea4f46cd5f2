//! Runs the built program as a person at a terminal or a script would: a clean environment, a data
//! folder of its own, what is typed; then status, output and messages.
#![allow(
    dead_code,
    reason = "each file of tests uses a part, and all of them use the whole"
)]

pub mod talk;

use std::ffi::OsStr;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::thread;

use serde_json::Value;
use tempfile::TempDir;

/// The root of the repository, where every run starts.
pub fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// A plant with a data folder of its own, gone when the test ends.
pub struct Plant {
    folder: TempDir,
}

impl Plant {
    /// A plant whose log and register are empty.
    pub fn new() -> Plant {
        Plant {
            folder: TempDir::new().expect("a temporary folder"),
        }
    }

    /// The demo plant: its drives and its eight incidents.
    pub fn tarn_hollow() -> Plant {
        let plant = Plant::new();
        plant.run("drive add --file examples/tarn-hollow/drives.yaml");
        let folder = root().join("examples/tarn-hollow/incidents");
        let mut files: Vec<PathBuf> = std::fs::read_dir(folder)
            .expect("the demo incidents")
            .map(|entry| entry.expect("an entry").path())
            .collect();
        files.sort();
        for file in files {
            plant.call("log add --file").arg(&file).run().ended(0);
        }
        plant
    }

    /// Its data folder.
    pub fn data(&self) -> PathBuf {
        self.folder.path().join("data")
    }

    /// A file of this plant, outside the data folder.
    pub fn file(&self, name: &str, text: &str) -> PathBuf {
        let path = self.folder.path().join(name);
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("a folder");
        std::fs::write(&path, text).expect("a written file");
        path
    }

    /// A call of the program; `line` is split at its spaces.
    pub fn call(&self, line: &str) -> Call {
        self.call_on(&self.data(), line)
    }

    /// A call of the program with another data folder.
    pub fn call_on(&self, data: &Path, line: &str) -> Call {
        let home = self.folder.path().join("home");
        let mut command = Command::new(env!("CARGO_BIN_EXE_whytrip"));
        command
            .current_dir(root())
            .env_clear()
            .env("TZ", "UTC")
            .env("HOME", home)
            .arg("--data")
            .arg(data)
            .args(line.split_whitespace());
        Call {
            command,
            typed: Vec::new(),
        }
    }

    /// Runs a call that must go well.
    pub fn run(&self, line: &str) -> Run {
        self.call(line).run().ended(0)
    }
}

/// A call that is being put together.
pub struct Call {
    command: Command,
    typed: Vec<u8>,
}

impl Call {
    /// One more argument, as it is.
    pub fn arg(mut self, argument: impl AsRef<OsStr>) -> Call {
        self.command.arg(argument);
        self
    }

    /// A variable of the environment.
    pub fn env(mut self, name: &str, value: &str) -> Call {
        self.command.env(name, value);
        self
    }

    /// Another folder to start in.
    pub fn at(mut self, folder: &Path) -> Call {
        self.command.current_dir(folder);
        self
    }

    /// What comes through standard input.
    pub fn typed(mut self, text: impl Into<Vec<u8>>) -> Call {
        self.typed = text.into();
        self
    }

    /// Runs it to its end.
    pub fn run(self) -> Run {
        let Call { mut command, typed } = self;
        let shown = format!("{command:?}");
        let mut child = command
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the built program starts");
        let mut stdin = child.stdin.take().expect("its input");
        // A program that does not read its input must not block whoever writes it.
        let writer = thread::spawn(move || stdin.write_all(&typed));
        let output = child.wait_with_output().expect("the program ends");
        let _ = writer.join().expect("a writer that ends");
        Run {
            shown,
            status: output.status.code(),
            out: String::from_utf8(output.stdout).expect("output in UTF-8"),
            err: String::from_utf8(output.stderr).expect("messages in UTF-8"),
        }
    }

    /// Starts it with pipes, for tests that hang up early.
    pub fn start(mut self) -> std::process::Child {
        self.command
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the built program starts")
    }
}

/// A run that has ended.
pub struct Run {
    shown: String,
    /// Its exit code; none if a signal ended it.
    pub status: Option<i32>,
    /// Standard output.
    pub out: String,
    /// Standard error.
    pub err: String,
}

impl Run {
    /// The same run, if it ended with this code.
    #[track_caller]
    pub fn ended(self, code: i32) -> Run {
        assert_eq!(self.status, Some(code), "{}", self.told());
        self
    }

    /// The same run, if its output says this.
    #[track_caller]
    pub fn says(self, text: &str) -> Run {
        assert!(
            flat(&self.out).contains(text),
            "no {text:?} in {}",
            self.told()
        );
        self
    }

    /// The same run, if its output does not say this.
    #[track_caller]
    pub fn says_nothing_of(self, text: &str) -> Run {
        assert!(
            !flat(&self.out).contains(text),
            "{text:?} in {}",
            self.told()
        );
        self
    }

    /// The same run, if its messages say this.
    #[track_caller]
    pub fn warns(self, text: &str) -> Run {
        assert!(
            flat(&self.err).contains(text),
            "no {text:?} in {}",
            self.told()
        );
        self
    }

    /// The one JSON document that it printed.
    #[track_caller]
    pub fn json(&self) -> Value {
        let value: Value = serde_json::from_str(&self.out)
            .unwrap_or_else(|error| panic!("{error}: {}", self.told()));
        assert_eq!(value["schema"], 1, "{}", self.told());
        value
    }

    /// Everything about it, for the message of a failed test.
    pub fn told(&self) -> String {
        format!(
            "{}\nended {:?}\n--- output\n{}\n--- messages\n{}",
            self.shown, self.status, self.out, self.err
        )
    }
}

/// A text as one line: wrapping, indents and the mark before a caution taken out.
pub fn flat(text: &str) -> String {
    text.lines()
        .map(|line| line.trim_start_matches(['▐', '>']).trim())
        .collect::<Vec<_>>()
        .join(" ")
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
}

/// Lines that are wider than `width`, but for a command that stands alone to be copied.
pub fn too_wide(text: &str, width: usize) -> Vec<&str> {
    text.lines()
        .filter(|line| line.chars().count() > width && !line.starts_with("whytrip "))
        .collect()
}

/// Control characters in a text, line ends left out.
pub fn control_characters(text: &str) -> String {
    text.chars()
        .filter(|c| c.is_control() && *c != '\n')
        .collect()
}

/// The strings below `key` in every object of a list.
pub fn each<'v>(list: &'v Value, key: &str) -> Vec<&'v str> {
    list.as_array()
        .unwrap_or_else(|| panic!("not a list: {list}"))
        .iter()
        .map(|one| {
            one[key]
                .as_str()
                .unwrap_or_else(|| panic!("no {key}: {one}"))
        })
        .collect()
}

/// The object must have these keys.
#[track_caller]
pub fn has_keys(object: &Value, keys: &[&str]) {
    for key in keys {
        assert!(object.get(key).is_some(), "no {key} in {object}");
    }
}
