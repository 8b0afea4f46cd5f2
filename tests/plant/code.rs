//! `code`: the plant's code sheet, and what `find` and `walk` make of it; the second time a trouble
//! comes.

use crate::common::{Plant, each};

const CLASS: &str = "dc-overvoltage-decelerating";

fn with_code() -> Plant {
    let plant = Plant::new();
    plant
        .call("code add --class dc-overvoltage-decelerating --model press-drive --note page-12")
        .arg("F 07")
        .run()
        .ended(0)
        .says("\"F 07\" on press-drive");
    plant
}

#[test]
fn find_knows_a_code_at_once_for_what_it_is() {
    let plant = with_code();
    for words in ["F07", "f 07 on stopping", "F 07"] {
        let found = plant.call("find --json").arg(words).run().ended(0).json();
        let first = &found["hits"][0];
        for (key, wanted) in [
            ("kind", "plant-code"),
            ("id", "F 07"),
            ("class", CLASS),
            ("model", "press-drive"),
            ("note", "page-12"),
        ] {
            assert_eq!(first[key], wanted, "{words}: {found}");
        }
    }
    plant
        .run("find F07")
        .says("On your code sheet")
        .says(&format!("whytrip walk {CLASS}"))
        .says_nothing_of("code of the drive's maker")
        .says_nothing_of("Nothing here matches");
    let near = plant.run("find --json F7").json();
    assert_eq!(near["hits"][0]["kind"], "plant-code");
    plant.run("find F7").says("Not quite as typed");
    // The next number is another code.
    plant
        .call("find F08")
        .run()
        .ended(1)
        .says("code of the drive's maker");
    let lines = plant
        .call("find --stdin")
        .typed("F07\nF08\n")
        .run()
        .ended(0);
    assert!(
        lines
            .out
            .lines()
            .next()
            .expect("a line")
            .contains("plant-code")
    );
}

#[test]
fn a_walk_starts_from_a_code() {
    let plant = with_code();
    plant.call("walk F07").typed("1\nq\n").run().says("DC");
}

#[test]
fn a_code_is_listed_replaced_and_removed() {
    let plant = with_code();
    plant.run("code add F-07 --class ground-fault --model press-drive");
    let listed = plant.run("code list --json").json();
    assert_eq!(each(&listed["codes"], "class"), ["ground-fault"]);
    plant.run("code add F07 --class motor-overload");
    let found = plant.run("find --json F07").json();
    assert_eq!(
        each(&found["hits"], "kind")[..2],
        ["plant-code", "plant-code"]
    );
    plant
        .call("code remove F08")
        .run()
        .ended(2)
        .warns("code list");
    plant.run("code remove F07");
    plant.run("code remove F07 --model press-drive");
    plant.call("code list").run().ended(1).says("code add");
    plant
        .call("code add X1 --class no-such")
        .run()
        .ended(2)
        .warns("no fault class");
    plant
        .call("code add -- --class ground-fault")
        .run()
        .ended(2);
}

#[test]
fn a_sheet_goes_out_and_in_and_bad_rows_are_told() {
    let plant = Plant::new();
    let sheet = plant.file(
        "codes.csv",
        "shown,model,class,note\nF 07,a,ground-fault,\"=1+1\"\nF 08,,motor-overload,\n--,,ground-fault,\nF 09,,earth,\n",
    );
    plant
        .call("code import")
        .arg(&sheet)
        .run()
        .ended(2)
        .warns("codes.csv:4: code \"--\" is not")
        .warns("codes.csv:5: there is no fault class \"earth\"")
        .warns("nothing was taken in: 2 of 4 rows")
        .warns("--good-rows");
    plant.call("code list").run().ended(1);
    plant
        .call("code import --good-rows")
        .arg(&sheet)
        .run()
        .ended(1)
        .says("Taken in: 2 codes");
    let out = plant.run("code export").out;
    assert!(out.contains("'=1+1"), "{out}");
    let other = Plant::new();
    let file = plant.file("out.csv", &out);
    other.call("code import").arg(&file).run().ended(0);
    assert_eq!(other.run("code export").out, out);
    other
        .call("code import")
        .arg(&file)
        .run()
        .ended(0)
        .says("2 stood so already");
}

/// The first question that a walk asks on a drive when nothing is known.
fn first_question(plant: &Plant, drive: &str) -> String {
    let walked = plant
        .call(&format!(
            "walk supply-phase-loss --drive {drive} --all-facts --json --facts -"
        ))
        .typed("facts: {}\n")
        .run()
        .json();
    walked["next"]["question"]
        .as_str()
        .expect("a question")
        .to_owned()
}

#[test]
fn the_second_time_the_past_incident_leads_and_the_deciding_question_comes_first() {
    let plant = Plant::new();
    plant.run("drive add --file examples/tarn-hollow/drives.yaml");
    let words = "find --json supply phase loss under load on the rinser";
    assert_eq!(plant.run(words).json()["hits"][0]["kind"], "class");
    let before = first_question(&plant, "rinser");
    plant
        .call("log add --file -")
        .typed(
            "{class: supply-phase-loss, drive: rinser, words: Supply phase loss under load, \
             cause: dc-link-capacitors-aged, confirmed_by: measured, done: New capacitors}",
        )
        .run()
        .ended(0);
    let found = plant.run(words).json();
    assert_eq!(found["hits"][0]["kind"], "incident", "{found}");
    assert_eq!(found["hits"][0]["class"], "supply-phase-loss");
    plant
        .run("find phase loss under load --drive rinser")
        .says("It happened here before")
        .says("Done then: New capacitors")
        .says("whytrip walk supply-phase-loss --drive rinser");
    // On another drive it doesn't lead.
    let elsewhere = plant.run("find --json supply phase loss under load --drive filler");
    assert_eq!(elsewhere.json()["hits"][0]["kind"], "class");
    // The walk now starts with a question of which one answer settles that cause.
    let after = first_question(&plant, "rinser");
    assert_ne!(after, before);
    let signs = plant.run("show dc-link-capacitors-aged --json").json()["signs"].clone();
    let decides = signs.as_array().expect("signs").iter().any(|sign| {
        sign["question"] == *after
            && ["always", "never"].contains(&sign["level"].as_str().unwrap_or(""))
    });
    assert!(decides, "{after}: {signs}");
    assert_eq!(first_question(&plant, "centrifuge"), before);
}
