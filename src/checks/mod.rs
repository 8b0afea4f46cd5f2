//! The electrical computations: one file an area, one list of all.
//!
//! Every [`Check`] is one definition from which help, limits, the sum, the verdict and the names
//! that knowledge files refer to are taken. [`evaluate`] runs it and propagates the meter's
//! uncertainty; [`expectation`] says what a healthy reading would be before it is taken.

pub mod braking;
pub mod cable;
pub mod capacitor;
pub mod capacitor_life;
mod condition;
pub mod contacts;
pub mod dc_bus;
mod define;
pub mod derating;
pub mod enclosure;
pub mod encoder;
mod evaluate;
pub mod inertia;
pub mod insulation;
pub mod insulation_trend;
pub mod locked_rotor;
pub mod meter;
pub mod metering;
pub mod motor;
pub mod motor_cable;
pub mod motor_table;
pub mod overload;
pub mod ride_through;
pub mod ripple;
pub mod safety;
pub mod sensors;
pub mod serial_bus;
mod shared;
pub mod signal;
pub mod single_phasing;
pub mod supply;
pub mod thermal_class;
pub mod trip_class;
pub mod unbalance;
pub mod winding;

pub use condition::{Condition, Relation};
pub use define::{
    Band, Check, CheckError, Example, Input, Inputs, Need, Origin, Output, Outputs, Value, Verdict,
};
pub use evaluate::{
    Computed, Evaluation, Given, Judgement, evaluate, expectation, limits, read_input,
    read_nameplate, read_output,
};

/// Every area's checks, in the order in which they are listed.
const AREAS: &[&[Check]] = &[
    dc_bus::CHECKS,
    supply::CHECKS,
    unbalance::CHECKS,
    motor::CHECKS,
    motor_table::CHECKS,
    overload::CHECKS,
    trip_class::CHECKS,
    ripple::CHECKS,
    ride_through::CHECKS,
    single_phasing::CHECKS,
    locked_rotor::CHECKS,
    cable::CHECKS,
    motor_cable::CHECKS,
    inertia::CHECKS,
    braking::CHECKS,
    insulation::CHECKS,
    insulation_trend::CHECKS,
    winding::CHECKS,
    sensors::CHECKS,
    thermal_class::CHECKS,
    derating::CHECKS,
    enclosure::CHECKS,
    signal::CHECKS,
    contacts::CHECKS,
    capacitor::CHECKS,
    capacitor_life::CHECKS,
    encoder::CHECKS,
    serial_bus::CHECKS,
    metering::CHECKS,
    safety::CHECKS,
];

/// Every check, area by area.
pub fn all() -> impl Iterator<Item = &'static Check> {
    AREAS.iter().flat_map(|area| area.iter())
}

/// The check called `name`.
pub fn find(name: &str) -> Option<&'static Check> {
    all().find(|check| check.name == name)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::{BTreeMap, BTreeSet};

    fn inputs_of(check: &'static Check, typed: &[(&str, &str)]) -> BTreeMap<String, Given> {
        typed
            .iter()
            .map(|(name, text)| {
                let input = check
                    .inputs
                    .iter()
                    .find(|input| input.name == *name)
                    .unwrap_or_else(|| panic!("{}: no input {name}", check.name));
                let given = read_input(input, text)
                    .unwrap_or_else(|error| panic!("{}: {name}: {error}", check.name));
                ((*name).to_owned(), given)
            })
            .collect()
    }

    #[test]
    fn every_definition_is_whole() {
        let mut names = BTreeSet::new();
        for check in all() {
            let name = check.name;
            assert!(names.insert(name), "{name} twice");
            assert!(
                !check.purpose.is_empty() && !check.sources.is_empty(),
                "{name}"
            );
            assert!(
                !check.formula.is_empty() && !check.valid.is_empty(),
                "{name}"
            );
            for input in check.inputs {
                assert!(!input.what.is_empty(), "{name}: {}", input.name);
                if input.choices.is_empty() {
                    let (least, most) =
                        limits(input).unwrap_or_else(|| panic!("{name}: limits of {}", input.name));
                    assert!(least.si() < most.si(), "{name}: {}", input.name);
                }
            }
            for band in check.bands.iter().filter(|band| !band.when.is_empty()) {
                Condition::parse(band.when, check).unwrap_or_else(|e| panic!("{name}: {e}"));
            }
            assert!(
                check.bands.last().is_none_or(|band| band.when.is_empty()),
                "{name}: last band"
            );
            for doubt in check.doubtful {
                Condition::parse(doubt, check).unwrap_or_else(|e| panic!("{name}: {e}"));
            }
        }
    }

    #[test]
    fn every_worked_example_comes_out() {
        for check in all() {
            let given = inputs_of(check, check.example.inputs);
            let result = evaluate(check, &given).unwrap_or_else(|e| panic!("{}: {e}", check.name));
            let (name, typed) = check.example.output;
            let computed = result
                .output(name)
                .unwrap_or_else(|| panic!("{}: no {name}", check.name));
            match &computed.value {
                Value::Word(word) => assert_eq!(word, typed, "{}", check.name),
                Value::Quantity(quantity) => {
                    let wanted = read_output(quantity.kind(), typed)
                        .unwrap_or_else(|| panic!("{}: {typed}", check.name));
                    let error = (quantity.si() - wanted.si()).abs() / wanted.si().abs().max(1e-12);
                    assert!(
                        error <= check.example.tolerance,
                        "{}: {quantity} not {typed}",
                        check.name
                    );
                }
            }
        }
    }
}
