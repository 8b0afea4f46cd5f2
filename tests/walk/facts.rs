//! `walk --facts`: recorded cases, replayed as text and as JSON.

use std::sync::LazyLock;

use crate::common::{Plant, Run, each, flat, has_keys};
use serde_json::Value;
use whytrip::builtin;

/// The demo cases, with the cause that their story tells (examples/tarn-hollow).
const CASES: &[(&str, &str, &str)] = &[
    (
        "dc-overvoltage-decelerating",
        "centrifuge-overvoltage",
        "brake-resistor-open",
    ),
    (
        "ground-fault",
        "wash-down-earth-fault",
        "motor-cable-insulation-damaged",
    ),
    ("motor-overload", "conveyor-overload", "gearbox-failing"),
];

/// A demo case, replayed at the demo plant once for all tests.
struct Replayed {
    cause: &'static str,
    text: Run,
    printed: Value,
}

static REPLAYED: LazyLock<Vec<Replayed>> = LazyLock::new(|| {
    let plant = Plant::tarn_hollow();
    let replay = |&(class, name, cause): &(&str, &str, &'static str)| {
        let line = format!("walk {class} --facts {}", case_file(name));
        Replayed {
            cause,
            text: plant.run(&line),
            printed: plant.run(&format!("{line} --json")).json(),
        }
    };
    CASES.iter().map(replay).collect()
});

fn case_file(name: &str) -> String {
    format!("examples/tarn-hollow/{name}.yaml")
}

#[test]
fn the_demo_cases_end_in_the_cause_that_their_story_tells() {
    let library = builtin::knowledge().expect("built-in knowledge");
    for case in REPLAYED.iter() {
        let verdict = &case.printed["verdict"];
        assert_eq!(verdict["status"], "confirmed", "{}", case.cause);
        assert_eq!(verdict["cause"], case.cause);
        let name = &library.cause(case.cause).expect("a cause").name;
        let text = flat(&case.text.out);
        assert!(
            text.contains(&format!("Confirmed: {name}")),
            "{}",
            case.text.told()
        );
    }
}

#[test]
fn the_document_keeps_its_contract() {
    for (case, (class, _, _)) in REPLAYED.iter().zip(CASES) {
        let printed = &case.printed;
        has_keys(
            printed,
            &["class", "asked", "causes", "verdict", "minutes", "cautions"],
        );
        assert_eq!(printed["class"], *class);
        for asked in printed["asked"].as_array().expect("asked") {
            has_keys(
                asked,
                &[
                    "question", "finding", "value", "expected", "why", "access", "minutes",
                ],
            );
            assert_ne!(asked["why"], "", "{asked}");
        }
        let causes = printed["causes"].as_array().expect("causes");
        let share = |cause: &Value| cause["probability"].as_f64().expect("a share");
        let total: f64 = causes.iter().map(share).sum();
        assert!((total - 1.0).abs() < 1e-9, "shares add up to {total}");
        assert!(
            causes.is_sorted_by(|one, next| share(one) >= share(next)),
            "{printed}"
        );
        assert!(printed["minutes"].as_f64().expect("minutes") > 0.0);
    }
}

#[test]
fn a_reading_stands_with_what_was_expected() {
    let asked = REPLAYED[0].printed["asked"].as_array().expect("asked");
    let resistor = asked
        .iter()
        .find(|asked| asked["question"] == "brake-resistor-resistance")
        .expect("the resistor was measured");
    assert_eq!(resistor["value"], "OL");
    assert_eq!(resistor["finding"], "open");
    let expected = resistor["expected"].as_str().expect("an expectation");
    // The resistor on the plate of the drive (examples/tarn-hollow/drives.yaml).
    assert!(expected.contains("15 Ω"), "{expected}");
}

#[test]
fn cautions_of_every_step_are_in_the_document_and_in_front_of_the_text() {
    let library = builtin::knowledge().expect("built-in knowledge");
    for case in REPLAYED.iter() {
        let all = each(&case.printed["cautions"], "id");
        let text = flat(&case.text.out);
        let steps = text.find("1) ").expect("the first step");
        for asked in case.printed["asked"].as_array().expect("asked") {
            let id = asked["question"].as_str().expect("an id");
            let own = &library.question(id).expect("a question").cautions;
            assert_eq!(each(&asked["cautions"], "id"), *own, "{id}");
            for caution in own {
                assert!(all.contains(&caution.as_str()), "{id}: {caution}");
                let words = &library.caution(caution).expect("a caution").text;
                assert!(
                    text[..steps].contains(words.as_str()),
                    "{id}: {caution} in {text}"
                );
            }
        }
    }
}

#[test]
fn all_facts_come_first_and_then_what_would_be_asked() {
    let plant = Plant::new();
    let facts = plant.file(
        "facts.yaml",
        "facts: { trip-moment: slowing, how-often: every-time }\n",
    );
    let call = |options: &str| {
        plant
            .call("walk dc-overvoltage-decelerating --all-facts")
            .arg("--facts")
            .arg(&facts)
            .arg(options)
            .run()
    };
    let printed = call("--json").ended(1).json();
    assert!(
        printed["asked"]
            .as_array()
            .expect("asked")
            .iter()
            .all(|asked| asked["volunteered"] == true)
    );
    assert_eq!(
        each(&printed["asked"], "question"),
        ["how-often", "trip-moment"]
    );
    has_keys(
        &printed["next"],
        &["action", "question", "cause", "expected_minutes"],
    );
    assert_eq!(printed["next"]["action"], "ask", "{printed}");
    call("--ascii").ended(1).says("Would be asked next");
}

/// A reading is not dropped without a word where the value is missing by which it would be judged.
#[test]
fn a_reading_that_can_not_be_judged_is_told() {
    let plant = Plant::new();
    let call = |facts: &str| {
        let line = format!("walk dc-undervoltage-at-power-up {facts}");
        plant.call(&line).typed("").run()
    };
    call("bus-at-rest=790V").warns("bus-at-rest=790V can't be judged without supply_voltage");
    let judged = call("supply_voltage=480V bus-at-rest=790V");
    assert!(!judged.err.contains("judged"), "{}", judged.err);
}

#[test]
fn the_nameplate_may_stand_in_the_file() {
    let plant = Plant::new();
    let facts = "drive: { supply_voltage: 400 V }\nfacts: { bus-at-rest: 566 V }\n";
    let printed = plant
        .call("walk dc-overvoltage-supply --all-facts --json --facts -")
        .typed(facts)
        .run()
        .json();
    let asked = &printed["asked"][0];
    assert_eq!(asked["question"], "bus-at-rest");
    // √2 · 400 V = 565.7 V (Mohan, Power Electronics, ch. 5).
    assert!(
        asked["expected"]
            .as_str()
            .expect("an expectation")
            .contains("565.7 V"),
        "{asked}"
    );
}

#[test]
fn the_drive_of_the_command_line_goes_before_the_one_of_the_file() {
    let plant = Plant::tarn_hollow();
    plant
        .run(&format!(
            "walk ground-fault --drive conveyor-1 --facts {}",
            case_file("wash-down-earth-fault")
        ))
        .warns("--drive conveyor-1 is used instead");
    Plant::new()
        .call(&format!(
            "walk ground-fault --facts {}",
            case_file("centrifuge-overvoltage")
        ))
        .run()
        .ended(2)
        .warns("there is no drive \"centrifuge\" in the register");
}

#[test]
fn without_facts_the_walk_ends_unresolved_and_hands_over() {
    let plant = Plant::new();
    let facts = plant.file("facts.yaml", "facts: {}\n");
    let run = plant
        .call("walk ground-fault --facts")
        .arg(&facts)
        .run()
        .ended(1);
    run.says("Unresolved")
        .says("For whoever takes over")
        .says("Still open: ");
    let printed = plant
        .call("walk ground-fault --json --facts")
        .arg(&facts)
        .run()
        .ended(1)
        .json();
    assert_eq!(printed["verdict"]["status"], "unresolved");
    assert_eq!(printed["verdict"]["cause"], Value::Null);
}

#[test]
fn facts_that_make_no_sense_are_refused_with_the_nearest() {
    let plant = Plant::new();
    let refused = |text: &str, message: &str| {
        plant
            .call("walk ground-fault --json --facts -")
            .typed(text)
            .run()
            .ended(2)
            .warns(message);
    };
    refused("facts: { trip-momnet: start }\n", "closest: trip-moment");
    refused(
        "facts: { trip-moment: strat }\n",
        "\"strat\" is not an answer here",
    );
    refused("fact: { trip-moment: start }\n", "did you mean `facts`?");
    refused("facts: [ trip-moment ]\n", "-:1:");
    refused("drive: { supply_voltage: 400 A }\n", "a voltage is wanted");
    plant
        .call("walk ground-fault --facts nowhere.yaml")
        .run()
        .ended(2)
        .warns("nowhere.yaml can't be read");
    plant
        .call("walk ground-fault --all-facts")
        .run()
        .ended(2)
        .warns("--facts");
}

#[test]
fn a_fact_of_another_class_is_told_and_left_out() {
    let plant = Plant::new();
    plant
        .call("walk ground-fault --facts -")
        .typed("facts: { brake-resistor-resistance: open }\n")
        .run()
        .ended(1)
        .warns("brake-resistor-resistance is not used by ground-fault");
}
