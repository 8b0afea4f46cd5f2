//! Resolved cases, written from the physics of each fault and not from the knowledge tables: the
//! walk must end in the cause that turned out true.
//!
//! `tests/walks/<class>/<cause>.yaml`, a second case of a cause as `<cause>-2.yaml`.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use whytrip::builtin;
use whytrip::diagnosis::case::{Case, History};
use whytrip::diagnosis::replay::{self, Facts};
use whytrip::diagnosis::verdict::Verdict;
use whytrip::diagnosis::walk::Walk;
use whytrip::knowledge::load::parse;
use whytrip::knowledge::{Library, SourceFile};

#[derive(serde::Deserialize)]
struct RecordedCase {
    #[serde(default)]
    drive: BTreeMap<String, String>,
    facts: BTreeMap<String, String>,
}

/// The walk of a case with its facts read.
fn facts_of<'k>(library: &'k Library, class_id: &str, recorded: &RecordedCase) -> Facts<'k> {
    let class = library
        .class(class_id)
        .unwrap_or_else(|| panic!("no class {class_id}"));
    let case = Case::compile(library, class, History::default()).expect("a model");
    let facts: Vec<(String, String)> = recorded
        .drive
        .iter()
        .chain(&recorded.facts)
        .map(|(k, v)| (k.clone(), v.clone()))
        .collect();
    replay::read(library, Walk::new(case, BTreeMap::new()), &facts)
        .unwrap_or_else(|error| panic!("{class_id}: {error}"))
}

fn cause_id(walk: &Walk<'_>, index: usize) -> String {
    walk.case
        .causes
        .get(index)
        .map_or("something-else".to_owned(), |cause| cause.id.clone())
}

fn files(folder: &Path) -> Vec<PathBuf> {
    let mut paths: Vec<PathBuf> = fs::read_dir(folder)
        .unwrap_or_else(|error| panic!("{}: {error}", folder.display()))
        .map(|entry| entry.expect("an entry").path())
        .collect();
    paths.sort();
    paths
}

fn read(path: &Path) -> RecordedCase {
    let text = fs::read_to_string(path).expect("a readable file");
    let source = SourceFile {
        name: path.display().to_string(),
        text,
    };
    parse(&source).unwrap_or_else(|problem| panic!("{problem}"))
}

/// The cause that a case is about, from its file's name.
fn cause_of(path: &Path) -> String {
    let stem = path
        .file_stem()
        .expect("a name")
        .to_string_lossy()
        .into_owned();
    stem.trim_end_matches("-2")
        .trim_end_matches("-3")
        .to_owned()
}

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/walks")
}

/// The walk, asking in its own order, ends in the cause that was confirmed in the end.
fn check(classes: impl Fn(usize) -> bool) {
    let library = builtin::knowledge().expect("built-in knowledge");
    let mut wrong = Vec::new();
    for (_, class) in library
        .classes()
        .enumerate()
        .filter(|(index, _)| classes(*index))
    {
        let mut ends = BTreeSet::new();
        for path in files(&root().join(&class.id)) {
            let walk = facts_of(&library, &class.id, &read(&path))
                .replayed()
                .expect("a walk");
            let ended = match walk.verdict().expect("a verdict") {
                Verdict::Confirmed(cause) => Some(cause_id(&walk, cause)),
                _ => None,
            };
            if ended.as_ref() != Some(&cause_of(&path)) {
                wrong.push(format!("{}: ended in {ended:?}", path.display()));
            }
            ends.insert(ended);
        }
        assert!(
            ends.len() >= 3,
            "{} ends in {} causes only",
            class.id,
            ends.len()
        );
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

// Two halves, so that two processors share the work.
#[test]
fn cases_of_every_even_class_end_in_the_cause_that_turned_out_true() {
    check(|index| index % 2 == 0);
}

#[test]
fn cases_of_every_odd_class_end_in_the_cause_that_turned_out_true() {
    check(|index| index % 2 == 1);
}

/// Without being told the answer, the evidence alone puts the true cause first in nearly all cases.
#[test]
fn evidence_alone_puts_the_true_cause_first() {
    let library = builtin::knowledge().expect("built-in knowledge");
    let (mut cases, mut first) = (0, 0);
    for class in library.classes() {
        for path in files(&root().join(&class.id)) {
            let mut recorded = read(&path);
            recorded.facts.retain(|key, _| library.cause(key).is_none());
            let walk = facts_of(&library, &class.id, &recorded).all_given();
            let leader = cause_id(&walk, walk.belief().expect("a belief").leader());
            cases += 1;
            if leader == cause_of(&path) {
                first += 1;
            } else {
                println!("{}: evidence alone puts {leader} first", path.display());
            }
        }
    }
    println!("{first} of {cases} cases have the true cause first by evidence alone");
    assert!(first * 100 >= cases * 90, "{first} of {cases}");
}
