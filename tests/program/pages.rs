//! Pages to print: the decision tree of a class, and the sheet of what a drive should read.

use crate::common::{Plant, each};
use whytrip::checks;

#[test]
fn a_tree_is_the_same_twice_and_keeps_every_caution_in_front() {
    let plant = Plant::new();
    let first = plant
        .run("tree supply-phase-loss --one-page --width 80")
        .ended(0);
    let second = plant
        .run("tree supply-phase-loss --one-page --width 80")
        .ended(0);
    assert_eq!(first.out, second.out);
    let step = first.out.find("\n1. ").expect("a first step");
    let caution = first
        .out
        .find("DANGER: Qualified person only")
        .expect("a caution");
    assert!(caution < step, "{}", first.out);
}

#[test]
fn every_step_that_a_tree_sends_to_is_there() {
    let page = Plant::new()
        .run("tree supply-phase-loss --one-page")
        .ended(0)
        .out;
    let targets: Vec<&str> = page
        .split("→ step ")
        .skip(1)
        .map(|rest| {
            rest.split(|c: char| !c.is_ascii_digit())
                .next()
                .unwrap_or("")
        })
        .collect();
    assert!(!targets.is_empty(), "{page}");
    for target in targets {
        let heading = format!("{target}. ");
        assert!(
            page.lines().any(|line| line.starts_with(&heading)),
            "no step {target}\n{page}"
        );
    }
}

#[test]
fn a_tree_can_be_drawn() {
    let plant = Plant::new();
    let dot = plant
        .run("tree supply-phase-loss --one-page --format dot")
        .ended(0)
        .out;
    assert!(dot.starts_with("digraph"), "{dot}");
    assert!(dot.contains("DANGER:") && dot.contains("s1 -> "), "{dot}");
    let chart = plant
        .run("tree supply-phase-loss --one-page --format mermaid")
        .ended(0)
        .out;
    assert!(
        chart.starts_with("flowchart TD") && chart.contains("DANGER:"),
        "{chart}"
    );
    plant
        .call("tree suply-phase-loss")
        .run()
        .ended(2)
        .warns("supply-phase-loss");
}

/// The bus of a 400 V drive at rest is √2 · 400 V (Mohan, Undeland, Robbins: Power Electronics,
/// ch. 5), its rated torque P/ω (37 kW at 1480 rpm: 238.7 N·m).
#[test]
fn a_sheet_says_what_a_drive_should_read() {
    let plant = Plant::tarn_hollow();
    plant
        .run("check --all --drive centrifuge")
        .ended(0)
        .says("565.7 V")
        .says("238.7 N·m");
    let json = plant
        .run("check --all --drive centrifuge --json")
        .ended(0)
        .json();
    assert!(
        each(&json["checks"], "check").contains(&"bus-at-rest"),
        "{json}"
    );
    let page = plant
        .run("check --all --drive centrifuge --format html")
        .ended(0)
        .out;
    assert!(
        page.starts_with("<!doctype html>") && !page.contains("http"),
        "{page}"
    );
    plant
        .run("check --all --drive centrifuge --format markdown")
        .ended(0)
        .says("# What centrifuge should read");
    plant
        .call("check --all")
        .run()
        .ended(2)
        .warns("nothing is known");
    plant
        .call("check --all supply_voltage=400A")
        .run()
        .ended(2)
        .warns("is a current");
}

#[test]
fn a_sheet_leaves_out_what_says_nothing_of_the_drive() {
    let plant = Plant::tarn_hollow();
    let page = plant
        .run("check --all --drive conveyor-1 --width 80")
        .ended(0)
        .says("At rest: 565.7 V")
        .says("Assumed, as not given: ");
    for beside in ["single-phase", "Drive at this place", "by NEC", "normal:"] {
        assert!(!page.out.contains(beside), "{beside}: {}", page.out);
    }
    // Without a drive, values can be given in the line.
    plant
        .run("check --all supply_voltage=480V supply_frequency=60Hz motor_rated_current=28A")
        .ended(0)
        .says("At rest: 678.8 V")
        .says("What the drive should read");
}

#[test]
fn the_handbook_has_every_check_with_an_index_that_leads_to_it() {
    let plant = Plant::new();
    let page = plant
        .run("check --all --explain --format html")
        .ended(0)
        .out;
    let text = plant
        .run("check --all --explain --format markdown")
        .ended(0)
        .out;
    let lines: Vec<&str> = text.lines().collect();
    for check in checks::all() {
        let name = check.name;
        assert!(page.contains(&format!("<a href=\"#{name}\">")), "{name}");
        assert!(page.contains(&format!("<h3 id=\"{name}\">")), "{name}");
        assert!(text.contains(&format!("[{name}](#{name})")), "{name}");
        assert!(lines.contains(&format!("### {name}").as_str()), "{name}");
    }
    assert!(text.contains("## Sources"), "no sources");
    let listed = plant.run("check --all --explain --json").ended(0).json();
    assert_eq!(
        each(&listed["checks"], "check").len(),
        checks::all().count()
    );
}
