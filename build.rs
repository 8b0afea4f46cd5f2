//! Compiles the knowledge and its search index into the program.
//!
//! A wrong knowledge file stops the build with file, line, column and remedy.

#![forbid(unsafe_code)]
#![allow(dead_code, unused_imports)]

#[path = "src/diagnosis/catalogue.rs"]
mod catalogue;
#[path = "src/checks/mod.rs"]
mod checks;
#[path = "src/search/index.rs"]
mod index;
#[path = "src/knowledge/mod.rs"]
mod knowledge;
#[path = "src/search/lexicon.rs"]
mod lexicon;
#[path = "build/link.rs"]
mod link;
#[path = "src/search/normalise.rs"]
mod normalise;
#[path = "src/search/notes.rs"]
mod notes;
#[path = "src/search/postings.rs"]
mod postings;
#[path = "src/quantity/mod.rs"]
mod quantity;
#[path = "src/search/shorthand.rs"]
mod shorthand;
#[path = "src/search/slip.rs"]
mod slip;
#[path = "src/search/splitting.rs"]
mod splitting;
#[path = "src/search/stem.rs"]
mod stem;
#[path = "src/search/terms.rs"]
mod terms;
#[path = "src/search/vocabulary.rs"]
mod vocabulary;

use std::path::{Path, PathBuf};
use std::{env, fs, io, process};

use knowledge::{SourceFile, table};

fn main() -> io::Result<()> {
    println!("cargo::rerun-if-changed=build");
    println!("cargo::rerun-if-changed=knowledge");
    println!("cargo::rerun-if-changed=src/knowledge");
    println!("cargo::rerun-if-changed=src/checks");
    println!("cargo::rerun-if-changed=src/quantity");
    println!("cargo::rerun-if-changed=src/search");
    println!("cargo::rerun-if-changed=src/diagnosis/catalogue.rs");
    let files = yaml_files(Path::new("knowledge"))?;
    let loaded = match knowledge::load(&files, None, &catalogue::BuiltInChecks) {
        Ok(loaded) => loaded,
        Err(problems) => {
            for problem in &problems {
                eprintln!("knowledge/{problem}\n");
            }
            eprintln!("{} problems in the knowledge files", problems.len());
            process::exit(1);
        }
    };
    let out = PathBuf::from(env::var_os("OUT_DIR").unwrap_or_default());
    link::set_up(&out)?;
    fs::write(out.join("knowledge.bin"), knowledge::encode(&loaded))?;
    let classes: Vec<_> = loaded.classes.iter().map(|placed| &placed.item).collect();
    let causes: Vec<_> = loaded.causes.iter().map(|placed| &placed.item).collect();
    let index = index::write(&index::Contents {
        classes,
        causes,
        questions: loaded.questions.iter().map(|placed| &placed.item).collect(),
        checks: knowledge::named_checks(&catalogue::BuiltInChecks),
        words: &loaded.words,
    })
    .map_err(io::Error::other)?;
    fs::write(out.join("search.bin"), index)?;
    Ok(())
}

/// The YAML files below a folder in a fixed order.
fn yaml_files(root: &Path) -> io::Result<Vec<SourceFile>> {
    let mut files = Vec::new();
    let mut folders = vec![root.to_path_buf()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder)? {
            let path = entry?.path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|ending| ending == "yaml") {
                let name = path
                    .strip_prefix(root)
                    .unwrap_or(&path)
                    .to_string_lossy()
                    .into_owned();
                files.push(SourceFile {
                    name,
                    text: fs::read_to_string(&path)?,
                });
            }
        }
    }
    files.sort_by(|one, other| one.name.cmp(&other.name));
    Ok(files)
}
