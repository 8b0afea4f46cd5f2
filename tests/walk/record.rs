//! A walk that ends is recorded; what is recorded is found again and moves the next walk.

use crate::common::Plant;
use crate::common::talk::Talk;
use serde_json::Value;

/// A wet terminal box, confirmed by looking into it.
const ANSWERS: &str = "trip-moment=start;wet-or-washed-down=wet;terminal-box-wet=confirmed";

/// Walks to the confirmed cause and answers the questions of the record.
fn recorded_walk(plant: &Plant) -> Talk {
    let mut talk = Talk::start(
        plant
            .call("walk ground-fault --drive rinser --answers")
            .arg(ANSWERS),
    );
    let status = talk.go_on(|prompt| {
        let line = prompt.flat();
        Some(
            match () {
                () if prompt.asks_how_it_went() => "1",
                () if prompt.offers_the_log() => "3",
                () if line.ends_with("leave out)?") => "tripped after the hose was left running",
                () if line.ends_with("What did the drive show?") => "EF",
                () if line.ends_with("What was done?") => "Box dried",
                () if line.ends_with("Initials?") => "RB",
                () => "s",
            }
            .to_owned(),
        )
    });
    assert_eq!(status, Some(0), "{}", talk.said);
    talk
}

#[test]
fn a_recorded_walk_lands_in_the_log_whole() {
    let plant = Plant::new();
    plant.run("drive add --file examples/tarn-hollow/drives.yaml");
    let talk = recorded_walk(&plant);
    assert!(talk.said.contains("Logged incident 1."), "{}", talk.said);
    let incident = plant.run("log show 1 --json").json();
    for (field, wanted) in [
        ("class", "ground-fault"),
        ("cause", "terminal-box-wet"),
        ("status", "confirmed"),
        ("confirmed_by", "proved-by-run"),
        ("drive", "rinser"),
        ("words", "tripped after the hose was left running"),
        ("display", "EF"),
        ("done", "Box dried"),
        ("who", "RB"),
    ] {
        assert_eq!(incident[field], wanted, "{incident}");
    }
    let walk = incident["walk"].to_string();
    assert!(
        walk.contains("trip-moment") && walk.contains("start"),
        "{walk}"
    );
    plant
        .run("log show 1")
        .says("Water or wet dirt in the motor's terminal box");
}

#[test]
fn a_recorded_walk_is_found_again() {
    let plant = Plant::new();
    plant.run("drive add --file examples/tarn-hollow/drives.yaml");
    recorded_walk(&plant);
    plant
        .run("find tripped after the hose was left running")
        .says("Found here before");
    plant.run("log find hose").says("rinser");
    plant
        .call("walk --resume")
        .run()
        .ended(2)
        .warns("no stopped walk");
}

#[test]
fn one_key_records_a_walk_with_its_answers() {
    let plant = Plant::new();
    plant.run("drive add --file examples/tarn-hollow/drives.yaml");
    let mut talk = Talk::start(
        plant
            .call("walk ground-fault --drive rinser --answers")
            .arg(ANSWERS),
    );
    let mut keys = 0;
    let status = talk.go_on(|prompt| {
        keys += usize::from(prompt.offers_the_log());
        Some("1".to_owned())
    });
    assert_eq!((status, keys), (Some(0), 1), "{}", talk.said);
    assert!(talk.said.contains("Logged incident 1."), "{}", talk.said);
    let incident = plant.run("log show 1 --json").json();
    assert_eq!(incident["drive"], "rinser");
    assert_eq!(incident["cause"], "terminal-box-wet");
    let walk = incident["walk"].to_string();
    assert!(walk.contains("wet-or-washed-down=wet"), "{walk}");
}

#[test]
fn a_no_records_nothing() {
    let plant = Plant::new();
    let mut talk = Talk::start(plant.call("walk ground-fault --answers").arg(ANSWERS));
    talk.go_on(|prompt| Some(if prompt.offers_the_log() { "2" } else { "1" }.to_owned()));
    assert!(talk.said.contains("Record it in the log?"), "{}", talk.said);
    plant
        .call("log list")
        .run()
        .ended(1)
        .says("The log has no such incident.");
}

/// The share of a cause in a walk without any answers.
fn share(plant: &Plant, options: &str, cause: &str) -> f64 {
    let printed: Value = plant
        .call("walk ground-fault --all-facts --json --facts -")
        .arg(options)
        .typed("facts: {}\n")
        .run()
        .json();
    let causes = printed["causes"].as_array().expect("causes");
    let one = causes
        .iter()
        .find(|one| one["id"] == cause)
        .expect("the cause");
    one["probability"].as_f64().expect("a share")
}

#[test]
fn what_happens_here_moves_the_order_of_the_walk() {
    let plant = Plant::new();
    plant.run("drive add --file examples/tarn-hollow/drives.yaml");
    let cause = "terminal-box-wet";
    let before = share(&plant, "--drive=rinser", cause);
    recorded_walk(&plant);
    let here = share(&plant, "--drive=rinser", cause);
    let elsewhere = share(&plant, "--drive=filler", cause);
    assert!(
        here > elsewhere && elsewhere > before,
        "{before}, here {here}, elsewhere {elsewhere}"
    );
    plant.run("log wrong 1 --why tried-out");
    assert_eq!(share(&plant, "--drive=rinser", cause), before);
}
