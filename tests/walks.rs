//! Resolved cases, written from the physics of each fault and not from the knowledge tables: the
//! walk must end in the cause that turned out true.
//!
//! `tests/walks/<class>/<cause>.yaml`, a second case of a cause as `<cause>-2.yaml`.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use whytrip::builtin;
use whytrip::diagnosis::case::{Case, History};
use whytrip::diagnosis::replay;
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

struct Ended {
    confirmed: Option<String>,
    leader: String,
}

fn replayed(library: &Library, class_id: &str, recorded: &RecordedCase) -> Ended {
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
    let read = replay::read(library, Walk::new(case, BTreeMap::new()), &facts)
        .unwrap_or_else(|error| panic!("{class_id}: {error}"));
    let walk = read.replayed().expect("a walk");
    let belief = walk.belief().expect("a belief");
    let id = |index: usize| {
        walk.case
            .causes
            .get(index)
            .map_or("something-else".to_owned(), |c| c.id.clone())
    };
    Ended {
        confirmed: match walk.verdict().expect("a verdict") {
            Verdict::Confirmed(cause) => Some(id(cause)),
            _ => None,
        },
        leader: id(belief.leader()),
    }
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

/// Every class has at least three cases that end in three different confirmed causes, and without
/// the confirming step the evidence alone puts the true cause first in nearly all of them.
#[test]
fn cases_end_in_the_cause_that_turned_out_true() {
    let library = builtin::knowledge().expect("built-in knowledge");
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/walks");
    let (mut cases, mut first_by_evidence) = (0, 0);
    let mut wrong = Vec::new();
    for class in library.classes() {
        let mut ends = std::collections::BTreeSet::new();
        for path in files(&root.join(&class.id)) {
            let stem = path
                .file_stem()
                .expect("a name")
                .to_string_lossy()
                .into_owned();
            let cause = stem
                .trim_end_matches("-2")
                .trim_end_matches("-3")
                .to_owned();
            let mut recorded = read(&path);
            let ended = replayed(&library, &class.id, &recorded);
            if ended.confirmed.as_deref() != Some(&cause) {
                wrong.push(format!(
                    "{}/{stem}: ended in {:?}",
                    class.id, ended.confirmed
                ));
            }
            ends.insert(ended.confirmed);
            // The same case without being told the answer.
            recorded.facts.retain(|key, _| library.cause(key).is_none());
            let blind = replayed(&library, &class.id, &recorded);
            cases += 1;
            if blind.leader == cause {
                first_by_evidence += 1;
            } else {
                println!(
                    "{}/{stem}: evidence alone puts {} first",
                    class.id, blind.leader
                );
            }
        }
        assert!(
            ends.len() >= 3,
            "{} ends in {} causes only",
            class.id,
            ends.len()
        );
    }
    println!("{first_by_evidence} of {cases} cases have the true cause first by evidence alone");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(
        first_by_evidence * 100 >= cases * 80,
        "{first_by_evidence} of {cases}"
    );
}
