//! The gates of the knowledge, and the ten-minute story of DEVELOPERS.md done as it is told.

use std::fs;
use std::path::Path;

use crate::common::{Plant, each, root};
use whytrip::builtin;
use whytrip::gates::{self, Scope};

/// ISO 14224:2016, tables B.2, B.3, B.5 and the failure modes of B.6 as open material repeats them: a
/// class or cause whose proposed codes do not exist does not pass the gate "coding".
#[test]
fn the_built_in_knowledge_passes_every_gate() {
    let library = builtin::knowledge().expect("the knowledge opens");
    let searcher = builtin::searcher(&library).expect("the index opens");
    let found = gates::check(&Scope::whole(&library), &searcher).expect("an index");
    let told: Vec<String> = found
        .iter()
        .map(|one| format!("{} [{}] {}", one.about, one.gate, one.text))
        .collect();
    assert!(told.is_empty(), "{}", told.join("\n"));
}

/// The commands of a section, as they stand behind `$`.
fn commands(section: &str) -> Vec<String> {
    let text = fs::read_to_string(root().join("DEVELOPERS.md")).expect("DEVELOPERS.md");
    let (_, from) = text.split_once(section).expect("the section");
    let own = from.split("\n## ").next().unwrap_or("");
    let lines = own
        .lines()
        .filter_map(|line| line.trim().strip_prefix("$ whytrip "));
    lines.map(str::to_owned).collect()
}

/// Steps 2 and 3: what an author writes into the three files.
fn fill_in(folder: &Path) {
    for sort in ["classes", "causes", "questions"] {
        let name = format!("{sort}/pump-loses-prime.yaml");
        let written = root().join("tests/data/ten-minutes").join(&name);
        let own = folder.join(&name);
        assert!(own.exists(), "{name} was not begun");
        fs::copy(written, own).expect("a written file");
    }
}

#[test]
fn the_ten_minute_story_goes_as_it_is_told() {
    let plant = Plant::new();
    let folder = tempfile::TempDir::new().expect("a folder");
    let call = |line: &str| plant.call(line).at(folder.path());
    let told = commands("## Add a fault class in ten minutes");
    let [begin, check, find, walk] = told.as_slice() else {
        panic!("four commands are told: {told:?}");
    };
    call(begin).run().ended(0).says("Begun.");
    // Begun and not written: nothing is wrong, everything is missing.
    call(check)
        .run()
        .ended(1)
        .says("meaning: still to be written");
    // Begun twice would lose what was written.
    call(begin).run().ended(2).warns("is there already");
    fill_in(&folder.path().join("mine"));
    call(check).run().ended(0).says("Knowledge is in order");
    call(find).run().ended(0).says("pump-loses-prime");
    // Its own question, answered as it is asked.
    let facts = "facts: { pump-loses-prime-suction-level: falls }\n";
    let run = call(&format!("{walk} --json --facts -")).typed(facts).run();
    let verdict = run.ended(0).json();
    assert_eq!(
        verdict["verdict"]["cause"], "pump-loses-prime-foot-valve-leaks",
        "{verdict}"
    );
}

#[test]
fn a_class_cannot_be_begun_under_a_wrong_or_taken_id() {
    let plant = Plant::new();
    let folder = tempfile::TempDir::new().expect("a folder");
    for (id, why) in [
        ("ground-fault", "is built in"),
        ("Ground", "is not an id"),
        ("../x", "is not an id"),
    ] {
        let run = plant.call("knowledge new class").arg(id).at(folder.path());
        run.run().ended(2).warns(why);
    }
    assert_eq!(fs::read_dir(folder.path()).expect("a folder").count(), 0);
}

/// A folder of one class with its parts, some of them changed.
fn changed(plant: &Plant, change: impl Fn(&str, String) -> String) -> std::path::PathBuf {
    let mut folder = None;
    for sort in ["classes", "causes", "questions"] {
        let name = format!("{sort}/pump-loses-prime.yaml");
        let text = fs::read_to_string(root().join("tests/data/ten-minutes").join(&name));
        let file = plant.file(
            &format!("mine/{name}"),
            &change(sort, text.expect("a file")),
        );
        folder = file.ancestors().nth(2).map(Path::to_path_buf);
    }
    folder.expect("a folder")
}

#[test]
fn each_gate_stops_what_it_is_for() {
    type Change = (&'static str, &'static str, &'static str);
    let slips: [(Change, &str); 8] = [
        (
            ("classes", "pump has lost its prime", "it is as it is"),
            "words: \"it is as it is\" does not find it",
        ),
        (
            ("causes", "{ stays: always }", "{ falls: always }"),
            "no question tells pump-loses-prime-foot-valve-leaks from pump-loses-prime-air-at-suction",
        ),
        (
            ("causes", "{ falls: always }", "{ falls: rarely }"),
            "so state that sign as sometimes or more",
        ),
        (
            (
                "questions",
                "Stop the pump, fill",
                "You stop the pump, fill",
            ),
            "begin with what to do, not with \"you\"",
        ),
        (
            ("questions", "for ten minutes", "for 10min"),
            "put a space between figure and unit in \"10min\"",
        ),
        (
            ("questions", "for ten minutes", "until it shows F0023"),
            "\"F0023\" looks like a maker's code",
        ),
        (
            (
                "causes",
                "One hour of full",
                "One hour [no-such-source] of full",
            ),
            "no-such-source",
        ),
        (
            (
                "questions",
                "Does the filled suction line keep its level while the pump stands?",
                "At which moment does the trouble show, or does it trip?",
            ),
            "says the same as that of trip-moment",
        ),
    ];
    for ((sort, from, to), told) in slips {
        let plant = Plant::new();
        let folder = changed(&plant, |own, text| {
            if own == sort {
                assert!(text.contains(from), "{from}");
                text.replace(from, to)
            } else {
                text
            }
        });
        let run = plant.call("knowledge check").arg(&folder).run();
        let all = crate::common::flat(&format!("{}\n{}", run.out, run.err));
        assert!(all.contains(told), "no {told:?} in {}", run.told());
        assert!(matches!(run.status, Some(1 | 3)), "{}", run.told());
    }
}

#[test]
fn a_pair_that_is_named_inseparable_passes_with_its_reason() {
    let plant = Plant::new();
    let folder = changed(&plant, |sort, text| match sort {
        "causes" => text.replace("{ stays: always }", "{ falls: always }"),
        "classes" => format!(
            "{text}inseparable:\n  - causes: [pump-loses-prime-foot-valve-leaks, \
             pump-loses-prime-air-at-suction]\n    because: Both let the line drain.\n"
        ),
        _ => text,
    });
    plant
        .call("knowledge check")
        .arg(&folder)
        .run()
        .ended(0)
        .says("Knowledge is in order");
    // A reason that no longer holds is told as well.
    let folder = changed(&plant, |sort, text| match sort {
        "classes" => format!(
            "{text}inseparable:\n  - causes: [pump-loses-prime-foot-valve-leaks, \
             pump-loses-prime-air-at-suction]\n    because: Both let the line drain.\n"
        ),
        _ => text,
    });
    plant
        .call("knowledge check")
        .arg(&folder)
        .run()
        .ended(1)
        .says("take the pair out");
}

#[test]
fn recorded_cases_must_end_in_their_cause() {
    let plant = Plant::new();
    let folder = changed(&plant, |_, text| text);
    let case = "walks/pump-loses-prime/pump-loses-prime-foot-valve-leaks.yaml";
    let file = plant.file(case, "facts: { pump-loses-prime-suction-level: falls }\n");
    let walks = file.ancestors().nth(2).expect("a folder");
    let check = |walks: &Path| {
        let call = plant.call("knowledge check").arg(&folder);
        call.arg("--walks").arg(walks).run()
    };
    check(walks).ended(0);
    fs::write(&file, "facts: { pump-loses-prime-suction-level: stays }\n").expect("written");
    check(walks).ended(1).says("foot-valve-leaks.yaml ends in");
    fs::remove_file(&file).expect("removed");
    check(walks).ended(1).says("no recorded case reaches it");
    check(&walks.join("nowhere")).ended(2);
}

#[test]
fn what_a_folder_puts_in_place_of_built_in_items_is_told_once_and_not_in_json() {
    let plant = Plant::new();
    let text = fs::read_to_string(root().join("knowledge/classes/ground-fault.yaml"));
    let file = plant.file("own/classes/ground-fault.yaml", &text.expect("a class"));
    let folder = file.ancestors().nth(2).expect("a folder");
    let run = plant
        .call("show ground-fault --json --knowledge")
        .arg(folder)
        .run()
        .ended(0)
        .warns("in place of built-in items: class ground-fault");
    assert_eq!(run.err.matches("in place of").count(), 1, "{}", run.told());
    run.json();
    let run = plant.call("knowledge check --json").arg(folder).run();
    let overrides = run.json()["overrides"].clone();
    assert_eq!(overrides, serde_json::json!(["class ground-fault"]));
}

#[test]
fn coverage_counts_every_class() {
    let plant = Plant::new();
    let folder = changed(&plant, |_, text| text);
    let report = plant
        .call("knowledge check --json")
        .arg(&folder)
        .run()
        .ended(0)
        .json();
    let classes = &report["coverage"]["classes"];
    assert_eq!(each(classes, "class"), ["pump-loses-prime"]);
    assert_eq!(classes[0]["causes"], 4);
    assert_eq!(classes[0]["pairs"], 6);
    assert!(
        classes[0]["expected_minutes"]
            .as_f64()
            .is_some_and(|m| m > 0.0)
    );
}
