//! `find`: the user's words, codes and typos to fault classes; what it says when nothing fits.

use crate::common::{Plant, control_characters, each, has_keys};
use serde_json::Value;

/// The class that the first hit leads to.
fn first_class(printed: &Value) -> &str {
    printed["hits"][0]["class"].as_str().unwrap_or("none")
}

#[test]
fn the_answer_keeps_its_contract() {
    let found = Plant::new()
        .run("find --json trips when it slows down, bus volts high")
        .json();
    assert_eq!(found["query"], "trips when it slows down, bus volts high");
    assert_eq!(first_class(&found), "dc-overvoltage-decelerating");
    for hit in found["hits"].as_array().expect("hits") {
        has_keys(hit, &["kind", "id", "class", "title", "score", "why"]);
        assert!(hit["why"].is_array() && hit["score"].is_number(), "{hit}");
    }
}

#[test]
fn the_text_tells_why_and_what_to_look_at_first() {
    Plant::new()
        .run("find trips when it slows down, bus volts high")
        .says("dc-overvoltage-decelerating")
        .says("Because ")
        .says("Look first: ")
        .says("Next: whytrip walk dc-overvoltage-decelerating");
}

#[test]
fn typos_are_read_and_told() {
    let plant = Plant::new();
    let found = plant
        .run("find --json trips when it slos down, buss volts hihg")
        .json();
    assert_eq!(first_class(&found), "dc-overvoltage-decelerating");
    plant
        .run("find earht fault")
        .says("\"earht\" read as \"earth\"")
        .says("ground-fault");
}

/// Error codes of CiA 402-2 / IEC 61800-7-201 (from memory): 3210h DC link overvoltage, 4210h excess
/// temperature of the device, 2330h earth leakage.
#[test]
fn standard_error_codes_lead_to_their_classes() {
    let plant = Plant::new();
    let found = plant.run("find --json 3210h").json();
    assert!(first_class(&found).starts_with("dc-overvoltage"), "{found}");
    let found = plant.run("find --json 4210h").json();
    assert_eq!(first_class(&found), "heatsink-overtemperature", "{found}");
    let found = plant.run("find --json 2330h").json();
    assert_eq!(first_class(&found), "ground-fault", "{found}");
}

#[test]
fn a_code_of_the_maker_is_never_guessed() {
    let run = Plant::new().call("find F0023").run().ended(1);
    run.says("F0023 is a code of the drive's maker")
        .says("the drive's own manual");
}

#[test]
fn nothing_found_ends_with_1_and_says_what_would_help() {
    let plant = Plant::new();
    plant
        .call("find purple elephants dancing")
        .run()
        .ended(1)
        .says("Nothing here matches")
        .says("What would help: ");
    let found = plant
        .call("find --json purple elephants dancing")
        .run()
        .ended(1)
        .json();
    assert_eq!(found["hits"], Value::Array(Vec::new()));
    assert!(
        !found["advice"].as_array().expect("advice").is_empty(),
        "{found}"
    );
}

#[test]
fn without_words_and_without_a_keyboard_it_says_how_to_ask() {
    Plant::new()
        .call("find")
        .run()
        .ended(2)
        .warns("what should be found?");
}

/// A byte that is no text, as an older file has them, spoils its word and no other line.
#[test]
fn bytes_that_are_no_text_do_not_end_the_answers() {
    let run = Plant::new()
        .call("find --stdin")
        .typed(&b"earth fault\r\n\xdcberstrom\novervoltage when braking\n"[..])
        .run()
        .ended(0);
    let answers: Vec<Value> = run
        .out
        .lines()
        .map(|line| serde_json::from_str(line).expect("a document"))
        .collect();
    assert_eq!(answers.len(), 3);
    assert_eq!(answers[0]["query"], "earth fault");
    assert_eq!(first_class(&answers[2]), "dc-overvoltage-decelerating");
}

#[test]
fn no_hits_at_all_can_not_be_asked_for() {
    let plant = Plant::new();
    plant
        .call("find --limit 0 overcurrent")
        .run()
        .ended(2)
        .warns("--limit");
}

#[test]
fn lines_are_answered_one_document_a_line() {
    let run = Plant::new()
        .call("find --stdin")
        .typed("bus volts high when braking\nxyzzyx\nearth fault after wash down\n")
        .run()
        .ended(0);
    let answers: Vec<Value> = run
        .out
        .lines()
        .map(|line| serde_json::from_str(line).unwrap_or_else(|error| panic!("{error}: {line}")))
        .collect();
    assert_eq!(answers.len(), 3);
    assert!(answers.iter().all(|answer| answer["schema"] == 1));
    assert_eq!(first_class(&answers[0]), "dc-overvoltage-decelerating");
    assert_eq!(first_class(&answers[1]), "none");
    assert_eq!(first_class(&answers[2]), "ground-fault");
    Plant::new()
        .call("find --stdin")
        .typed("xyzzyx\n")
        .run()
        .ended(1);
}

#[test]
fn control_characters_in_a_query_reach_no_terminal() {
    let plant = Plant::new();
    let query = "trips \u{1b}[31mwhen\u{7} it slows\u{9b}2J down \u{202e}";
    let text = plant.call("find").arg(query).run().ended(0);
    assert_eq!(control_characters(&text.out), "", "{}", text.told());
    assert!(!text.out.contains('\u{202e}'), "{}", text.told());
    let nothing = plant
        .call("find")
        .arg("xyzzyx\u{1b}]0;title\u{7}")
        .run()
        .ended(1);
    assert_eq!(control_characters(&nothing.out), "", "{}", nothing.told());
    let printed = plant.call("find --json").arg(query).run().ended(0);
    assert_eq!(control_characters(&printed.out), "", "{}", printed.told());
    assert_eq!(printed.json()["query"], query);
}

#[test]
fn a_query_of_100_kilobytes_is_answered_in_short() {
    let plant = Plant::new();
    let run = plant.call("find").arg("a".repeat(100_000)).run().ended(1);
    assert!(run.out.len() < 2_000, "{} bytes came back", run.out.len());
    let words = "trips when it slows down ".repeat(4_000);
    let run = plant.call("find --stdin").typed(words).run().ended(0);
    let answer: Value = serde_json::from_str(run.out.trim()).expect("one document");
    assert_eq!(first_class(&answer), "dc-overvoltage-decelerating");
}

#[test]
fn what_was_found_here_before_stands_with_the_answer() {
    let plant = Plant::tarn_hollow();
    let words = "earth fault on the first start after washing down";
    plant
        .call("find")
        .arg(words)
        .run()
        .ended(0)
        .says("Found here before")
        .says("rinser");
    let found = plant.call("find --json").arg(words).run().ended(0).json();
    let incidents: Vec<&Value> = found["hits"]
        .as_array()
        .expect("hits")
        .iter()
        .filter(|hit| hit["kind"] == "incident")
        .collect();
    assert!(!incidents.is_empty(), "{found}");
    for incident in incidents {
        has_keys(incident, &["id", "class", "title", "score", "why"]);
    }
    assert!(each(&found["hits"], "kind").contains(&"class"), "{found}");
}

#[test]
fn a_damaged_log_does_not_stop_the_answer() {
    let plant = Plant::new();
    plant.file("data/log.db", "this is no database");
    plant
        .call("find earth fault after wash down")
        .run()
        .ended(0)
        .says("ground-fault")
        .warns("the log was left out");
}
