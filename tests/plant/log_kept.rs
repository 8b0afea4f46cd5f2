//! What keeps a log: amendments and their history, the same fault again, files out and in, backups.

use std::fs;
use std::path::PathBuf;

use crate::common::{Plant, control_characters, each};

fn add(plant: &Plant, yaml: &str) -> serde_json::Value {
    plant
        .call("log add --json --file -")
        .typed(yaml)
        .run()
        .ended(0)
        .json()
}

const INCIDENT: &str = "{occurred_at: 2026-03-14 02:10, class: ground-fault, drive: rinser, words: \
    Earth fault after washing down, cause: terminal-box-wet, confirmed_by: measured, done: Box dried}";

#[test]
fn an_amendment_keeps_the_earlier_revision() {
    let plant = Plant::new();
    add(&plant, INCIDENT);
    plant
        .call("log amend 1 downtime_minutes=110 done=")
        .arg("parts=1 lid seal")
        .run()
        .ended(0)
        .says("Incident 1 was amended; it is now at revision 2.");
    let shown = plant.run("log show 1 --json --history").json();
    assert_eq!(
        (&shown["parts"], &shown["downtime_minutes"]),
        (&"1 lid seal".into(), &110.into())
    );
    assert_eq!(shown["history"][0]["done"], "Box dried");
    assert!(shown.get("done").is_none(), "{shown}");
    plant
        .run("log show 1 --history")
        .says("Revision 2")
        .says("done: Box dried → nothing")
        .says("parts: nothing → 1 lid seal");
    let file = plant.file(
        "more.yaml",
        "{who: RB, readings: [{what: insulation, value: 280 MΩ}]}",
    );
    plant.call("log amend 1 --file").arg(file).run().ended(0);
    let shown = plant.run("log show 1 --json").json();
    assert_eq!(
        (&shown["revision"], &shown["who"]),
        (&3.into(), &"RB".into())
    );
    assert_eq!(shown["readings"][0]["value"], "280 MΩ");
}

#[test]
fn an_amendment_that_makes_no_sense_changes_nothing() {
    let plant = Plant::new();
    add(&plant, INCIDENT);
    for (change, told) in [
        ("colour=grey", "closest: "),
        ("done", "is not FIELD=VALUE"),
        ("cause=terminal-box-wett", "did you mean"),
        ("status=unresolved", "names a cause"),
        ("attachments=../log.db", "below the attachment folder"),
        ("downtime_minutes=long", "such as 45"),
    ] {
        plant
            .call("log amend 1")
            .arg(change)
            .run()
            .ended(2)
            .warns(told);
    }
    plant
        .call("log amend 2 done=a")
        .run()
        .ended(2)
        .warns("no incident 2");
    plant
        .call("log amend 1")
        .run()
        .ended(2)
        .warns("what should be changed?");
    assert_eq!(plant.run("log show 1 --json").json()["revision"], 1);
}

#[test]
fn an_incident_is_reopened_and_a_wrong_one_restored() {
    let plant = Plant::new();
    add(&plant, INCIDENT);
    plant
        .run("log reopen 1 --why came-back")
        .says("Incident 1 is open again");
    let shown = plant.run("log show 1 --json").json();
    assert_eq!(shown["status"], "unresolved");
    let notes = shown["notes"].as_str().expect("notes");
    assert!(
        notes.contains("came-back") && notes.contains("terminal-box-wet"),
        "{notes}"
    );
    plant.run("log wrong 1 --why other");
    plant.run("log reopen 1").says("no longer marked wrong");
    assert!(plant.run("log show 1 --json").json().get("wrong").is_none());
}

#[test]
fn the_same_fault_on_the_same_drive_is_told_at_once() {
    let plant = Plant::new();
    let first = add(&plant, INCIDENT);
    assert_eq!(first["same_fault_before"], serde_json::json!([]));
    add(
        &plant,
        "{occurred_at: 2026-03-20 02:10, class: ground-fault, drive: filler}",
    );
    add(
        &plant,
        "{occurred_at: 2026-01-20 02:10, class: ground-fault, drive: rinser}",
    );
    plant
        .call("log add --file -")
        .typed("{occurred_at: 2026-04-02 06:00, class: ground-fault, drive: Rinser}")
        .run()
        .ended(0)
        .says("The same fault on this drive once in the 30 days before.")
        .says("1 19 days before: Water or wet dirt");
    let shown = plant.run("log show 4 --json").json();
    assert_eq!(shown["same_fault_before"][0]["number"], 1);
    let wide = plant
        .call("log add --json --within 100 --file -")
        .typed("{occurred_at: 2026-04-03 06:00, class: ground-fault, drive: rinser}")
        .run()
        .json();
    let numbers: Vec<_> = wide["same_fault_before"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|one| one["number"].as_u64().expect("a number"))
        .collect();
    assert_eq!(numbers, [4, 1, 3]);
}

/// Everything in a plant's log, as exported.
fn exported(plant: &Plant) -> String {
    plant.run("log export").out
}

#[test]
fn an_export_taken_in_elsewhere_is_the_same_log_and_taken_in_twice_adds_nothing() {
    let plant = Plant::tarn_hollow();
    plant.run("log amend 3 who=XY");
    plant.run("log wrong 5 --why other");
    let whole = exported(&plant);
    assert_eq!(whole.lines().count(), 10);
    for form in ["jsonl", "json", "csv"] {
        let file = plant.file(
            &format!("log.{form}"),
            &plant.run(&format!("log export --format {form}")).out,
        );
        let other = Plant::new();
        let import = || {
            other
                .call("log import --json")
                .arg(&file)
                .run()
                .ended(0)
                .json()
        };
        assert_eq!(import()["added"], 8, "{form}");
        let before = exported(&other);
        let again = import();
        assert_eq!((&again["added"], &again["revised"]), (&0.into(), &0.into()));
        assert_eq!(exported(&other), before);
        if form == "csv" {
            let latest = plant.run("log export --latest").out;
            assert_eq!(before, latest);
        } else {
            assert_eq!(before, whole);
        }
        other.run("log verify").says("8 incidents");
    }
}

#[test]
fn a_table_somebody_wrote_is_taken_in_whole_or_not_at_all() {
    let plant = Plant::new();
    let good = plant.file(
        "good.csv",
        "Occurred at,drive,class,words,downtime minutes\n\
         2026-01-02 03:04,rinser,ground-fault,\"Trips, wet\",45\n\
         2026-01-03 03:04,filler,,Hums,\n",
    );
    plant
        .call("log import")
        .arg(&good)
        .run()
        .ended(0)
        .says("Taken in: 2 incidents");
    plant
        .call("log import")
        .arg(&good)
        .run()
        .ended(0)
        .says("Taken in: 0 incidents")
        .says("Here already: 2 revisions");
    let bad = plant.file(
        "bad.csv",
        "occurred_at,words,class\n2026-01-04 03:04,new,\nsoon,a,\n2026-01-05 03:04,b,no-such-class\n",
    );
    plant
        .call("log import")
        .arg(&bad)
        .run()
        .ended(2)
        .warns("bad.csv:3: occurred_at \"soon\" is not a time")
        .warns("bad.csv:4: there is no fault class")
        .warns("nothing was taken in: 2 of the rows");
    assert_eq!(exported(&plant).lines().count(), 2);
    plant
        .call("log import missing.csv")
        .run()
        .ended(2)
        .warns("can't be read");
    plant
        .call("log import README.md")
        .run()
        .ended(2)
        .warns("--format");
}

#[test]
fn a_differing_incident_is_shown_and_nothing_is_taken_in() {
    let plant = Plant::new();
    let id = add(&plant, INCIDENT)["id"]
        .as_str()
        .expect("an id")
        .to_owned();
    let changed = exported(&plant).replace("Box dried", "Seal changed");
    let new = changed.replace(&id, "01ARZ3NDEKTSV4RRFFQ69G5FAV");
    let file = plant.file("other.jsonl", &format!("{new}{changed}"));
    plant
        .call("log import")
        .arg(&file)
        .run()
        .ended(2)
        .warns("incident 1, revision 1: done: \"Box dried\" here, \"Seal changed\" in the file")
        .warns("nothing was taken in");
    assert_eq!(exported(&plant).lines().count(), 1);
}

#[test]
fn an_anonymous_export_names_nobody_and_nothing() {
    let plant = Plant::tarn_hollow();
    let whole = exported(&plant);
    let anonymous = plant.run("log export --anonymous").out;
    for line in whole.lines() {
        let record: serde_json::Value = serde_json::from_str(line).expect("JSON");
        for field in [
            "drive", "who", "words", "done", "parts", "proof", "notes", "display",
        ] {
            if let Some(text) = record[field].as_str().filter(|text| text.len() > 2) {
                assert!(!anonymous.contains(text), "{field}: {text}");
            }
        }
        let class = record["class"].as_str().expect("a class");
        assert!(anonymous.contains(class), "{class}");
    }
}

#[test]
fn a_spreadsheet_finds_no_formula_and_import_gets_the_text_back() {
    let plant = Plant::new();
    add(
        &plant,
        r#"{"words": "=HYPERLINK(\"x\")", "notes": "@SUM(A1)", "done": "-5 V\u0007"}"#,
    );
    let table = plant.run("log export --format csv").out;
    assert!(control_characters(&table).is_empty());
    assert!(table.contains("\"'=HYPERLINK(\"\"x\"\")\""), "{table}");
    let other = Plant::new();
    let file = plant.file("log.csv", &table);
    other.call("log import").arg(file).run().ended(0);
    assert_eq!(exported(&other), exported(&plant));
}

#[test]
fn two_logs_become_one_and_what_differs_is_shown() {
    let (one, other) = (Plant::tarn_hollow(), Plant::new());
    let file = one.file("log.jsonl", &exported(&one));
    other.call("log import").arg(file).run().ended(0);
    other.run("code add EF --class ground-fault");
    other.run("log amend 2 who=AA");
    one.run("log amend 2 who=BB");
    one.run("log amend 3 who=CC");
    add(&other, "{occurred_at: 2026-11-01 10:00, words: only there}");
    let log = other.data().join("log.db");
    let before = fs::read(&log).expect("the other log");
    let merged = one.call("log merge --json").arg(&log).run().ended(1).json();
    assert_eq!(merged["added"], 1);
    assert_eq!(merged["codes"], 1);
    let conflicts = merged["conflicts"].as_array().expect("a list");
    assert_eq!(conflicts.len(), 1, "{merged}");
    assert_eq!(conflicts[0]["number"], 2);
    assert_eq!(conflicts[0]["fields"][0]["field"], "who");
    assert_eq!(fs::read(&log).expect("the other log"), before);
    one.call("log merge")
        .arg(&log)
        .run()
        .ended(1)
        .says("Differs");
    assert_eq!(one.run("log show 2 --json").json()["who"], "BB");
    one.run("log find only there").says("9");
    // The other way round the union is the same set, but for the one conflict.
    let back = other
        .call("log merge --json")
        .arg(one.data().join("log.db"))
        .run()
        .ended(1)
        .json();
    assert_eq!((&back["added"], &back["revised"]), (&0.into(), &1.into()));
    let ids = |plant: &Plant| {
        let listed = plant.run("log list --json --limit 99").json();
        let mut ids: Vec<String> = each(&listed["incidents"], "id")
            .iter()
            .map(|id| (*id).to_owned())
            .collect();
        ids.sort();
        ids
    };
    assert_eq!(ids(&one), ids(&other));
}

fn kept_files(plant: &Plant) -> Vec<PathBuf> {
    let files = fs::read_dir(plant.data()).expect("a data folder");
    files
        .map(|file| file.expect("a file").path())
        .filter(|path| path.to_string_lossy().contains("before-restore"))
        .collect()
}

#[test]
fn a_backup_is_put_back_and_what_was_there_is_kept() {
    let plant = Plant::tarn_hollow();
    let backup = plant.file("sub/keep", "").with_file_name("log-backup.db");
    plant
        .call("log backup")
        .arg(&backup)
        .run()
        .ended(0)
        .says("was copied");
    plant
        .call("log backup")
        .arg(&backup)
        .run()
        .ended(2)
        .warns("there is a file");
    let saved = exported(&plant);
    let bytes = fs::read(&backup).expect("a backup");
    add(&plant, "words: after the backup");
    plant
        .call("log restore")
        .arg(&backup)
        .run()
        .ended(2)
        .warns("there is a log")
        .warns("--replace");
    assert_eq!(exported(&plant).lines().count(), 9);
    plant
        .call("log restore --replace")
        .arg(&backup)
        .run()
        .ended(0)
        .says("8 incidents again")
        .says("before-restore");
    assert_eq!(exported(&plant), saved);
    assert_eq!(
        plant.run("drive list --json").json()["drives"]
            .as_array()
            .map(Vec::len),
        Some(12)
    );
    assert_eq!(fs::read(&backup).expect("a backup"), bytes);
    plant
        .call("log restore --replace")
        .arg(plant.data().join("log.db"))
        .run()
        .ended(2)
        .warns("is the log itself");
    // What was there can be put back as well.
    let kept = kept_files(&plant);
    assert_eq!(kept.len(), 1, "{kept:?}");
    let other = Plant::new();
    other
        .call("log restore")
        .arg(&kept[0])
        .run()
        .ended(0)
        .says("9 incidents");
}

#[test]
fn a_damaged_log_is_replaced_and_kept_and_a_damaged_backup_is_refused() {
    let plant = Plant::tarn_hollow();
    let backup = plant.file("sub/keep", "").with_file_name("log-backup.db");
    plant.call("log backup").arg(&backup).run().ended(0);
    let saved = exported(&plant);
    let log = plant.data().join("log.db");
    fs::write(&log, "no log at all ".repeat(100)).expect("a written file");
    plant
        .call("log restore --replace")
        .arg(&backup)
        .run()
        .ended(0)
        .says("8 incidents");
    assert_eq!(exported(&plant), saved);
    let kept = kept_files(&plant);
    assert!(
        fs::read(&kept[0])
            .expect("kept")
            .starts_with(b"no log at all")
    );
    let mut bytes = fs::read(&backup).expect("a backup");
    let middle = bytes.len() / 2;
    bytes.truncate(middle);
    let half = plant.file("half.db", "");
    fs::write(&half, bytes).expect("a written file");
    plant
        .call("log restore --replace")
        .arg(&half)
        .run()
        .ended(3)
        .warns("damaged");
    plant
        .call("log restore --replace README.md")
        .run()
        .ended(3)
        .warns("not a log");
    assert_eq!(exported(&plant), saved);
}

#[test]
fn without_a_log_everything_says_so_and_makes_none() {
    let plant = Plant::new();
    for line in [
        "log verify",
        "log export",
        "log backup b.db",
        "log amend 1 done=a",
        "log reopen 1",
        "log show 1",
    ] {
        plant.call(line).run().ended(2).warns("there is no log yet");
    }
    plant.call("code list").run().ended(1);
    assert!(!plant.data().exists());
}
