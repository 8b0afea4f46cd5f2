//! A walk as people really go through it: unsure of an answer, wrong in one, with facts and no class,
//! and looked at again later.

use crate::common::talk::Talk;
use crate::common::{Plant, each, flat};

#[test]
fn an_answer_can_be_changed_and_the_rest_is_computed_anew() {
    let plant = Plant::new();
    let run = plant
        .call("walk dc-overvoltage-decelerating")
        .typed("5\nc 1\n3\nw\nq\n")
        .run()
        .ended(1)
        .says("While speeding up")
        .says("Answered so far");
    let kept = run.told();
    assert!(
        kept.contains("--answers \"trip-moment=accelerating\""),
        "{kept}"
    );
}

#[test]
fn a_number_that_was_never_answered_is_told() {
    Plant::new()
        .call("walk dc-overvoltage-decelerating")
        .typed("c 1\n5\nc 7\nq\n")
        .run()
        .says("Nothing has been answered yet.")
        .says("There are answers 1 to 1; w shows them.");
}

#[test]
fn a_guess_counts_less_than_a_sight() {
    let plant = Plant::new();
    let lead = |answer: &str| {
        let file = plant.file("case.yaml", &format!("facts:\n  trip-moment: {answer}\n"));
        let run = plant
            .call("walk dc-overvoltage-decelerating --all-facts --json --facts")
            .arg(file)
            .run();
        let document = run.json();
        let ramp = document["causes"]
            .as_array()
            .and_then(|causes| causes.iter().find(|c| c["id"] == "decel-ramp-too-short"))
            .expect("the cause is listed")
            .clone();
        ramp["probability"].as_f64().expect("a number")
    };
    let shares = ["slowing", "slowing fairly", "slowing guess"].map(lead);
    assert!(shares[0] > shares[1] && shares[1] > shares[2], "{shares:?}");
}

#[test]
fn a_cause_that_was_not_found_raises_a_doubt_about_the_answers() {
    let plant = Plant::new();
    let mut talk = Talk::start(plant.call("walk dc-overvoltage-decelerating"));
    talk.go_on(|prompt| {
        let stop = prompt.flat().contains("A doubt: ");
        Some(
            match () {
                () if stop => "q",
                () if prompt.asks_to_confirm() => "2",
                () if prompt.asks_nameplate() => "s",
                () => "1",
            }
            .to_owned(),
        )
    });
    assert!(
        flat(&talk.said).contains("Answer again: c "),
        "{}",
        talk.said
    );
}

#[test]
fn facts_without_a_class_rank_all_of_them() {
    let run = Plant::new().run("walk when=slowing supply_voltage=400V --json");
    let document = run.json();
    assert_eq!(
        each(&document["classes"], "id")[0],
        "dc-overvoltage-decelerating"
    );
    let all: f64 = document["classes"]
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(|class| class["probability"].as_f64())
        .sum();
    assert!(all > 0.5 && all <= 1.0 + 1e-9, "{all}");
    Plant::new()
        .run("walk when=slowing supply_voltage=400V nothing-like-it=1")
        .says("whytrip walk dc-overvoltage-decelerating when=slowing supply_voltage=400V")
        .warns("there is no question or nameplate value \"nothing-like-it\"");
}

#[test]
fn a_walk_of_older_knowledge_is_replayed_and_what_differs_is_told() {
    let plant = Plant::new();
    let file = plant.file(
        "old.yaml",
        "class: ground-fault
words: trips at start after rain
status: confirmed
cause: terminal-box-wet
confirmed_by: measured
walk: trip-moment=start;wet-or-washed-down=wet;asked-in-older-days=yes
",
    );
    plant.call("log add --file").arg(file).run().ended(0);
    plant
        .run("walk --incident 1")
        .ended(0)
        .says("Recorded: Water or wet dirt in the motor's terminal box (confirmed)")
        .says("By its answers alone, today")
        .warns("asked-in-older-days");
}

#[test]
fn the_class_page_says_what_the_log_has_moved() {
    let plant = Plant::new();
    plant
        .run("show ground-fault")
        .says_nothing_of("What your log has moved");
    let file = plant.file(
        "wet.yaml",
        "class: ground-fault
words: trips at start after rain
status: confirmed
cause: terminal-box-wet
confirmed_by: measured
",
    );
    plant.call("log add --file").arg(&file).run().ended(0);
    plant
        .run("show ground-fault")
        .says("What your log has moved")
        .says("Water or wet dirt in the motor's terminal box: up from ");
    let document = plant.run("show ground-fault --json").json();
    assert_eq!(document["learned"][0]["cause"], "terminal-box-wet");
}
