//! `check`: the sums through the command line, and what it says to readings that can't be.

use crate::common::{Plant, each, has_keys};
use serde_json::Value;
use whytrip::checks;
use whytrip::quantity;

/// A number with its unit as the same kind of quantity in SI units.
fn si(kind: quantity::Kind, typed: &str) -> f64 {
    checks::read_output(kind, typed)
        .unwrap_or_else(|| panic!("{typed} is not readable"))
        .si()
}

fn output<'v>(printed: &'v Value, name: &str) -> &'v Value {
    let outputs = printed["outputs"].as_array().expect("outputs");
    outputs
        .iter()
        .find(|output| output["name"] == name)
        .unwrap_or_else(|| panic!("no {name} in {printed}"))
}

/// The value of an output that is a number.
fn number(printed: &Value, name: &str) -> f64 {
    output(printed, name)["value"].as_f64().expect("a number")
}

#[test]
fn every_worked_example_comes_out_of_the_command_line() {
    let plant = Plant::new();
    for check in checks::all() {
        let mut call = plant.call("check --json").arg(check.name);
        for (name, value) in check.example.inputs {
            call = call.arg(format!("{name}={value}"));
        }
        let run = call.run();
        let printed = run.json();
        let normal = matches!(printed["verdict"].as_str(), None | Some("normal"));
        assert_eq!(run.status, Some(i32::from(!normal)), "{}", run.told());
        has_keys(
            &printed,
            &[
                "check", "inputs", "outputs", "verdict", "expected", "formula", "sources",
            ],
        );
        let (name, wanted) = check.example.output;
        let computed = output(&printed, name);
        has_keys(computed, &["name", "value", "unit", "uncertainty"]);
        let kind = check
            .outputs
            .iter()
            .find(|output| output.name == name)
            .and_then(|output| output.kind);
        let Some(kind) = kind else {
            assert_eq!(computed["value"], wanted, "{}", run.told());
            continue;
        };
        let unit = computed["unit"].as_str().expect("a unit");
        let value = si(kind, &format!("{} {unit}", computed["value"]));
        let wanted = si(kind, wanted);
        let error = (value - wanted).abs() / wanted.abs().max(1e-12);
        assert!(
            error <= check.example.tolerance.max(1e-9),
            "{value} not {wanted}: {}",
            run.told()
        );
    }
}

/// A diode bridge charges its capacitor to the crest of the line: √2 · 400 V (Mohan, Power
/// Electronics, ch. 5).
#[test]
fn a_normal_reading_ends_with_0_and_a_bad_one_with_1() {
    let plant = Plant::new();
    let good = plant
        .run("check bus-at-rest supply_voltage=400V bus_voltage=566V --json")
        .json();
    assert_eq!(good["verdict"], "normal");
    assert!(
        (number(&good, "expected_bus_voltage") - 2f64.sqrt() * 400.0).abs() < 0.01,
        "{good}"
    );
    assert!(
        (number(&good, "ratio") - 100.0 * 566.0 / (2f64.sqrt() * 400.0)).abs() < 0.01,
        "{good}"
    );
    let low = plant
        .call("check bus-at-rest supply_voltage=400V bus_voltage=300V --json")
        .run()
        .ended(1);
    assert_eq!(low.json()["verdict"], "bad");
    plant
        .call("check bus-at-rest supply_voltage=400V bus_voltage=300V")
        .run()
        .ended(1)
        .says("Expected: 565.7 V");
}

#[test]
fn a_decimal_comma_and_prefixes_are_read_as_on_the_meter() {
    let plant = Plant::new();
    let comma = plant
        .run("check bus-at-rest supply_voltage=400,0V bus_voltage=0,566kV --json")
        .json();
    let point = plant
        .run("check bus-at-rest supply_voltage=400V bus_voltage=566 --json")
        .json();
    assert!((number(&comma, "ratio") - number(&point, "ratio")).abs() < 1e-9);
}

#[test]
fn an_impossible_reading_is_refused_with_the_range() {
    let plant = Plant::new();
    plant
        .call("check bus-at-rest supply_voltage=400V bus_voltage=5kV")
        .run()
        .ended(2)
        .warns("bus_voltage = 5 kV is outside 0 V to 1500 V");
    let negative = plant
        .call("check brake-resistor-value brake_resistance=15ohm measured_resistance=-3ohm")
        .run()
        .ended(2)
        .warns("measured_resistance = -3 Ω is outside");
    assert_eq!(negative.out, "");
}

#[test]
fn a_wrong_unit_is_refused_with_the_right_one() {
    Plant::new()
        .call("check bus-at-rest supply_voltage=400V bus_voltage=566A")
        .run()
        .ended(2)
        .warns("\"566A\" is a current; a voltage is wanted, such as 566 V");
}

#[test]
fn unknown_names_suggest_the_nearest() {
    let plant = Plant::new();
    plant
        .call("check bus-at-rset")
        .run()
        .ended(2)
        .warns("closest: bus-at-rest");
    plant
        .call("check xyzzy")
        .run()
        .ended(2)
        .warns("whytrip check --list");
    plant
        .call("check bus-at-rest suply_voltage=400V bus_voltage=566V")
        .run()
        .ended(2)
        .warns("did you mean supply_voltage=400V?");
    plant
        .call("check bus-at-rest 566")
        .run()
        .ended(2)
        .warns("\"566\" is not name=value");
    plant
        .call("check bus-at-rest supply_voltage=400V bus_voltage=1V bus_voltage=2V")
        .run()
        .ended(2)
        .warns("bus_voltage is given twice");
}

#[test]
fn missing_inputs_are_named_where_nobody_can_be_asked() {
    let run = Plant::new()
        .call("check bus-at-rest bus_voltage=566V")
        .run()
        .ended(2)
        .warns("bus-at-rest needs more to compute")
        .warns("supply_voltage=");
    assert!(!run.err.contains("bus_voltage="), "{}", run.told());
}

#[test]
fn the_list_tells_every_input_with_its_unit() {
    let plant = Plant::new();
    let listed = plant.run("check --list --json").json();
    let names: Vec<&str> = checks::all().map(|check| check.name).collect();
    assert_eq!(each(&listed["checks"], "check"), names);
    for check in listed["checks"].as_array().expect("checks") {
        for input in check["inputs"].as_array().expect("inputs") {
            has_keys(input, &["name", "quantity", "unit", "what", "required"]);
        }
    }
    let text = plant.run("check --list");
    for name in names {
        assert!(text.out.contains(name), "{name}: {}", text.told());
    }
}

#[test]
fn explain_gives_formula_limits_and_sources_without_computing() {
    let plant = Plant::new();
    plant
        .run("check bus-at-rest --explain")
        .says("Formula: U_dc = √2 · U_LL")
        .says("Sources: ");
    let explained = plant.run("check bus-at-rest --explain --json").json();
    assert_eq!(explained["check"], "bus-at-rest");
    has_keys(
        &explained,
        &["formula", "valid", "bands", "sources", "inputs", "outputs"],
    );
}

#[test]
fn a_drive_of_the_register_brings_its_nameplate() {
    let plant = Plant::tarn_hollow();
    let run = plant
        .run("check bus-at-rest bus_voltage=566V --drive conveyor-1 --json")
        .json();
    let supply = run["inputs"]
        .as_array()
        .expect("inputs")
        .iter()
        .find(|input| input["name"] == "supply_voltage");
    assert_eq!(supply.expect("a supply")["value"], 400.0);
    plant
        .call("check bus-at-rest bus_voltage=566V --drive conveyor-11")
        .run()
        .ended(2)
        .warns("closest: conveyor-1");
}

/// A tester for megohms shows no milliohms, and a fraction of two readings is no voltage.
#[test]
fn a_spelling_that_may_mislead_is_refused_with_what_was_understood() {
    let plant = Plant::new();
    plant
        .call("check insulation-resistance insulation_resistance=2mohm")
        .run()
        .ended(2)
        .warns("for megohms write 200 MΩ");
    plant
        .call("check bus-at-rest supply_voltage=400V bus_voltage=566/570V")
        .run()
        .ended(2)
        .warns("holds more than one number");
}

#[test]
fn a_missing_input_is_shown_with_a_value_of_its_own() {
    Plant::new()
        .call("check bus-at-rest")
        .run()
        .ended(2)
        .warns("supply_voltage=400V bus_voltage=566V");
}

#[test]
fn completions_know_the_checks_and_their_inputs() {
    let plant = Plant::new();
    for shell in ["bash", "zsh", "fish"] {
        let script = plant.run(&format!("completions {shell}")).out;
        assert!(script.contains("bus-at-rest"), "{shell}");
        assert!(script.contains("supply_voltage="), "{shell}");
    }
}

/// IEC 60204-1, 18.3 (from memory): 1 MΩ between conductors and earth, as read, whatever the heat.
#[test]
fn no_correction_for_heat_lifts_a_reading_over_one_megohm() {
    Plant::new()
        .call("check insulation-resistance insulation_resistance=0.7MΩ winding_temperature=70°C")
        .run()
        .ended(1)
        .says("Bad. Don't energise it")
        .says("Expected: at least 1 MΩ");
}

/// Rated current and cable limit may be left out; where they are given, they are judged too.
#[test]
fn a_limit_that_was_given_is_judged_and_one_that_was_not_is_left_out() {
    let judged = |line: &str| Plant::new().call(line).run();
    let lines = "check line-current-pattern current_l1=150 current_l2=150 current_l3=150";
    judged(lines).ended(0).says("Normal.");
    judged(&format!("{lines} motor_rated_current=28"))
        .ended(1)
        .says("Suspect. As while starting across the line");
    let motors = "check several-motors drive_rated_current=30 motor_count=4 \
                  motor_rated_current=5 total_cable_length=400";
    judged(motors).ended(0).says("Normal.");
    judged(&format!("{motors} longest_total_cable=300"))
        .ended(1)
        .says("Suspect. More cable than");
}
