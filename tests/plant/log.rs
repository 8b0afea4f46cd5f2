//! `log`: recording, looking up, marking wrong; what is refused, and a log that is damaged.

use std::fs;

use crate::common::{Plant, control_characters, each};

const INCIDENT: &str = "\
class: ground-fault
drive: rinser
words: Earth fault after washing down
readings:
  - { what: insulation, value: 0.38 MΩ }
cause: terminal-box-wet
confirmed_by: measured
done: Box dried, new seal
downtime_minutes: 110
who: RB
";

fn with_one() -> Plant {
    let plant = Plant::new();
    plant
        .call("log add --file -")
        .typed(INCIDENT)
        .run()
        .ended(0)
        .says("Logged incident 1.");
    plant
}

#[test]
fn an_incident_comes_from_yaml_json_or_standard_input() {
    let plant = with_one();
    let file = plant.file("two.yaml", "words: It hums\n");
    plant
        .call("log add --file")
        .arg(&file)
        .run()
        .ended(0)
        .says("Logged incident 2.");
    let added = plant
        .call("log add --json --file -")
        .typed(r#"{"class": "motor-overload", "display": 4, "notes": "one \"quoted\" word"}"#)
        .run()
        .ended(0)
        .json();
    assert_eq!(added["number"], 3);
    assert_eq!(added["display"], "4");
    assert_eq!(added["notes"], "one \"quoted\" word");
}

#[test]
fn what_was_written_is_shown_again() {
    let plant = with_one();
    let shown = plant.run("log show 1 --json").json();
    assert_eq!(shown["words"], "Earth fault after washing down");
    assert_eq!(shown["readings"][0]["value"], "0.38 MΩ");
    assert_eq!(shown["downtime_minutes"], 110);
    assert_eq!(shown["status"], "confirmed");
    plant
        .run("log show 1")
        .says("Seen: Earth fault after washing down")
        .says("Reading: insulation = 0.38 MΩ")
        .says("Downtime: 110 min")
        .says("Done: Box dried, new seal");
    let id = shown["id"].as_str().expect("an id");
    plant
        .call("log show")
        .arg(&id[..12])
        .run()
        .ended(0)
        .says("Incident 1");
}

#[test]
fn the_list_is_newest_first_and_can_be_narrowed() {
    let plant = Plant::tarn_hollow();
    let listed = plant.run("log list --json").json();
    let times = each(&listed["incidents"], "occurred_at");
    assert_eq!(times.len(), 8);
    assert!(times.is_sorted_by(|one, next| one >= next), "{times:?}");
    // The rinser had the same earth fault twice (examples/tarn-hollow).
    let rinser = plant.run("log list --drive rinser --json").json();
    assert_eq!(
        each(&rinser["incidents"], "class"),
        ["ground-fault", "ground-fault"]
    );
    let class = plant
        .run("log list --class ground-fault --limit 1 --json")
        .json();
    assert_eq!(each(&class["incidents"], "class"), ["ground-fault"]);
    plant
        .call("log list --class ground-fualt")
        .run()
        .ended(2)
        .warns("did you mean ground-fault?");
    plant
        .call("log list --drive nobody")
        .run()
        .ended(1)
        .says("no such incident");
}

#[test]
fn words_find_incidents() {
    let plant = Plant::tarn_hollow();
    let found = plant.run("log find seal wash-down --json").json();
    assert_eq!(found["hits"][0]["drive"], "rinser", "{found}");
    plant.run("log find seal").says("rinser");
    plant
        .call("log find xyzzyx")
        .run()
        .ended(1)
        .says("No incident in the log matches");
    // Signs that mean something to a query language are only words here.
    plant.call("log find \"xyzzyx* (NOT").run().ended(1);
}

#[test]
fn an_empty_log_is_no_failure() {
    let plant = Plant::new();
    plant.call("log list").run().ended(1).says("Record one: ");
    plant.call("log find anything").run().ended(1);
    plant
        .call("log show 1")
        .run()
        .ended(2)
        .warns("there is no log yet");
    assert!(
        !plant.data().join("log.db").exists(),
        "looking must not make a log"
    );
}

#[test]
fn a_wrong_record_stays_and_no_longer_counts() {
    let plant = with_one();
    plant
        .call("log wrong 1 --why")
        .arg("Other drive")
        .run()
        .ended(0)
        .says("marked wrong");
    plant.call("log list").run().ended(1);
    plant.run("log list --with-wrong").says("marked wrong");
    plant.run("log show 1").says("Marked wrong: Other drive");
    plant
        .call("log wrong 7 --why x")
        .run()
        .ended(2)
        .warns("there is no incident 7");
    plant
        .call("log show abc!")
        .run()
        .ended(2)
        .warns("is not a running number");
}

#[test]
fn an_entry_that_makes_no_sense_is_refused_with_the_remedy() {
    let plant = Plant::new();
    let refused = |text: &str, messages: &[&str]| {
        let mut run = plant.call("log add --file -").typed(text).run().ended(2);
        for message in messages {
            run = run.warns(message);
        }
    };
    refused(
        "class: grund-fault\n",
        &[
            "no fault class \"grund-fault\"",
            "did you mean ground-fault?",
        ],
    );
    refused(
        "class: ground-fault\ncause: terminal-box-wte\n",
        &["did you mean terminal-box-wet?"],
    );
    refused(
        "words: x\ndowntme_minutes: 3\n",
        &[
            "-:2:1:",
            "downtme_minutes",
            "did you mean `downtime_minutes`?",
        ],
    );
    refused("words: x\nwords: y\n", &["-:2:1:", "keep one of the two"]);
    refused("words: x\ndowntime_minutes: -4\n", &["downtime_minutes"]);
    refused("words: x\noccurred_at: yesterday\n", &["occurred_at"]);
    refused(
        "words: x\nstatus: confirmed\n",
        &["the status names a cause"],
    );
    refused("done: Dried\n", &["words", "class"]);
    refused("", &["error: "]);
    refused("words: [x\n", &["-:"]);
    plant
        .call("log add --file -")
        .typed(b"words: \xff\xfe\n".to_vec())
        .run()
        .ended(2)
        .warns("not UTF-8");
    plant
        .call("log add")
        .run()
        .ended(2)
        .warns("what should be recorded?");
    plant.call("log list").run().ended(1);
}

#[test]
fn a_damaged_log_is_reported_and_left_as_it_is() {
    let whole = with_one();
    let bytes = fs::read(whole.data().join("log.db")).expect("a log");
    let mut flipped = bytes.clone();
    for byte in &mut flipped[4096..4200] {
        *byte ^= 0x5a;
    }
    let half = bytes[..bytes.len() / 2].to_vec();
    for damaged in [b"this is no database".to_vec(), half, flipped] {
        let plant = Plant::new();
        let path = plant.file("data/log.db", "");
        fs::write(&path, &damaged).expect("a damaged log");
        for line in [
            "log list",
            "log show 1",
            "log find earth",
            "log wrong 1 --why x",
        ] {
            plant
                .call(line)
                .run()
                .ended(3)
                .warns("it was left as it is");
        }
        plant
            .call("log add --file -")
            .typed(INCIDENT)
            .run()
            .ended(3)
            .warns("it was left as it is");
        assert!(
            fs::read(&path).expect("the log") == damaged,
            "the damaged log was changed"
        );
    }
}

#[test]
fn a_damaged_log_does_not_stop_a_walk() {
    let plant = Plant::new();
    let path = plant.file("data/log.db", "this is no database");
    plant
        .call("walk ground-fault")
        .typed("q\n")
        .run()
        .ended(1)
        .warns("the log was left out");
    plant
        .call("walk ground-fault --drive rinser")
        .run()
        .ended(3)
        .warns("it was left as it is");
    assert_eq!(
        fs::read_to_string(path).expect("the log"),
        "this is no database"
    );
}

#[cfg(unix)]
#[test]
fn a_folder_that_can_not_be_made_is_named() {
    let plant = Plant::new();
    // A file where the folder should be, since a superuser may write into any folder.
    plant.file("data", "in the way");
    let run = plant
        .call("log add --file -")
        .typed(INCIDENT)
        .run()
        .ended(3);
    run.warns("can't be made").warns("--data DIR");
    let list = plant.call("log list").run();
    assert_ne!(list.status, Some(0), "{}", list.told());
    plant
        .run("find earth fault after wash down")
        .says("ground-fault");
    let mut walk = plant
        .call("walk ground-fault")
        .typed("s\nq\n")
        .run()
        .ended(1);
    walk = walk.warns("can't be kept");
    assert_eq!(
        walk.err.matches("can't be kept").count(),
        1,
        "{}",
        walk.told()
    );
}

#[test]
fn a_log_in_a_folder_that_may_only_be_read_still_reads() {
    let plant = with_one();
    let folder = plant.data();
    let mut rights = fs::metadata(&folder).expect("the folder").permissions();
    rights.set_readonly(true);
    fs::set_permissions(&folder, rights.clone()).expect("rights");
    let file = folder.join("log.db");
    let mut of_file = fs::metadata(&file).expect("the log").permissions();
    of_file.set_readonly(true);
    fs::set_permissions(&file, of_file).expect("rights");
    plant
        .run("log show 1")
        .says("Earth fault after washing down");
    // A superuser may write all the same: either it is recorded whole or refused in words.
    let added = plant.call("log add --file -").typed(INCIDENT).run();
    match added.status {
        Some(0) => drop(plant.run("log show 2")),
        _ => drop(added.ended(3).warns("written")),
    }
    #[expect(
        clippy::permissions_set_readonly_false,
        reason = "a temporary folder of this test"
    )]
    rights.set_readonly(false);
    fs::set_permissions(&folder, rights).expect("rights");
}

#[test]
fn notes_with_escape_sequences_and_formulas_come_out_harmless() {
    let plant = Plant::new();
    let added = plant
        .call("log add --json --file -")
        .typed(
            r#"{"words": "=1+1 \u001b[31mred\u0007 \u009b2J", "notes": "@sum\u202e", "drive": "\u001b]0;x\u0007d",
                "who": "A\u007fB"}"#,
        )
        .run()
        .ended(0);
    for line in [
        "log show 1",
        "log list",
        "log find red",
        "find red sum",
        "log show 1 --json",
        "log list --json",
    ] {
        let run = plant.call(line).run();
        assert_eq!(control_characters(&run.out), "", "{line}: {}", run.told());
        if !line.contains("--json") {
            assert!(!run.out.contains('\u{202e}'), "{line}: {}", run.told());
        }
    }
    assert_eq!(control_characters(&added.out), "", "{}", added.told());
    let words = plant.run("log show 1 --json").json()["words"].to_string();
    assert!(words.contains("=1+1"), "{words}");
}
