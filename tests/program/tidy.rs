//! The repository itself: which module may use which, that every module says what it is, and that
//! no text leaves the program past the one door to the streams.

use std::fs;
use std::path::{Path, PathBuf};

/// What each module may use, besides itself. The order is the direction of flow.
const MAY_USE: &[(&str, &[&str])] = &[
    ("quantity", &[]),
    ("knowledge", &["quantity"]),
    ("checks", &["quantity"]),
    ("standards", &["knowledge"]),
    ("search", &["quantity", "knowledge", "standards"]),
    ("diagnosis", &["quantity", "knowledge", "checks"]),
    ("plant", &["quantity", "knowledge", "diagnosis"]),
    (
        "gates",
        &[
            "quantity",
            "knowledge",
            "checks",
            "search",
            "diagnosis",
            "plant",
        ],
    ),
    (
        "render",
        &[
            "quantity",
            "knowledge",
            "checks",
            "standards",
            "search",
            "diagnosis",
            "plant",
            "gates",
        ],
    ),
    ("builtin", &["knowledge", "search"]),
    (
        "offline",
        &[
            "quantity",
            "knowledge",
            "checks",
            "search",
            "diagnosis",
            "plant",
            "render",
        ],
    ),
    (
        "web",
        &[
            "quantity",
            "knowledge",
            "checks",
            "standards",
            "search",
            "diagnosis",
            "plant",
            "gates",
            "render",
            "builtin",
        ],
    ),
    (
        "cli",
        &[
            "quantity",
            "knowledge",
            "checks",
            "standards",
            "search",
            "diagnosis",
            "plant",
            "gates",
            "render",
            "builtin",
            "web",
            "offline",
        ],
    ),
];

fn sources() -> Vec<(String, PathBuf)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut found = Vec::new();
    let mut folders = vec![root.clone()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).expect("a readable folder") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|ending| ending == "rs") {
                let relative = path.strip_prefix(&root).expect("below src");
                let first = relative.components().next().expect("a name");
                let module = Path::new(first.as_os_str()).file_stem().expect("a stem");
                found.push((module.to_string_lossy().into_owned(), path));
            }
        }
    }
    found.sort();
    found
}

/// The code of a file without its comments, so that prose about a module is not a use of it.
fn code(path: &Path) -> String {
    let text = fs::read_to_string(path).expect("a readable file");
    text.lines()
        .map(|line| line.split("//").next().unwrap_or(""))
        .collect::<Vec<_>>()
        .join("\n")
}

#[test]
fn modules_use_only_what_they_may() {
    let mut wrong = Vec::new();
    for (module, path) in sources() {
        if module == "main" || module == "lib" {
            continue;
        }
        let (_, allowed) = MAY_USE
            .iter()
            .find(|(name, _)| *name == module)
            .unwrap_or_else(|| panic!("{module} is not in the table of modules"));
        let code = code(&path);
        for (other, _) in MAY_USE {
            let used = code.contains(&format!("crate::{other}::"))
                || code.contains(&format!("crate::{{{other}"))
                || code.contains(&format!("use crate::{other};"));
            if used && *other != module && !allowed.contains(other) {
                wrong.push(format!("{} uses {other}", path.display()));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_file_says_what_it_is() {
    for (_, path) in sources() {
        let text = fs::read_to_string(&path).expect("a readable file");
        assert!(
            text.starts_with("//! "),
            "{} has no //! in front",
            path.display()
        );
    }
}

#[test]
fn only_the_command_line_touches_streams_clock_and_environment() {
    let forbidden = [
        "println!",
        "print!",
        "std::io::stdout",
        "std::io::stdin",
        "std::env::",
        "SystemTime::now",
        "Timestamp::now",
        "process::exit",
    ];
    for (module, path) in sources() {
        if module == "cli" || module == "main" {
            continue;
        }
        let code = code(&path);
        let body = code.split("#[cfg(test)]").next().unwrap_or("");
        for word in forbidden {
            assert!(!body.contains(word), "{} uses {word}", path.display());
        }
    }
}

#[test]
fn nothing_is_printed_past_the_one_door() {
    for (module, path) in sources() {
        if module == "cli" && !path.ends_with("cli/ui.rs") {
            let code = code(&path);
            for word in ["println!", "print!", "eprint", "stdout()"] {
                assert!(
                    !code.contains(word),
                    "{} uses {word}; use the Ui",
                    path.display()
                );
            }
        }
    }
}
