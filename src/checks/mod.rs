//! The electrical computations: one file an area, one list of all.
//!
//! Every [`Check`] is one definition from which help, limits, the sum, the verdict and the names
//! that knowledge files refer to are taken. [`evaluate`] runs it and propagates the meter's
//! uncertainty; [`expectation`] says what a healthy reading would be before it is taken.

pub mod braking;
pub mod bus_ceiling;
pub mod cable;
pub mod capacitor;
pub mod capacitor_life;
pub mod condensation;
mod condition;
pub mod contacts;
pub mod dc_bus;
mod define;
pub mod derating;
pub mod display;
pub mod enclosure;
pub mod encoder;
mod evaluate;
pub mod generator;
pub mod inertia;
pub mod insulation;
pub mod insulation_trend;
pub mod line_reactor;
pub mod locked_rotor;
pub mod meter;
pub mod metering;
pub mod motor;
pub mod motor_cable;
pub mod motor_cooling;
pub mod motor_flux;
pub mod motor_table;
pub mod overload;
pub mod potentiometer;
pub mod precharge;
pub mod protection;
pub mod ride_through;
pub mod ripple;
pub mod safety;
pub mod sensors;
pub mod serial_bus;
mod shared;
pub mod signal;
pub mod single_phase_feed;
pub mod single_phasing;
pub mod sizing;
pub mod supply;
pub mod thermal_class;
pub mod trip_class;
mod typed;
pub mod unbalance;
pub mod winding;

pub use condition::{Condition, Relation};
pub use define::{
    Band, Check, CheckError, Example, Input, Inputs, Need, Origin, Output, Outputs, Value, Verdict,
};
pub use evaluate::{Computed, Evaluation, Given, Judgement, evaluate, expectation, limits};
pub use typed::{example, read_input, read_inputs, read_nameplate, read_output};

/// An area of checks that belong together.
#[derive(Debug)]
pub struct Area {
    /// Its name, as a heading.
    pub title: &'static str,
    parts: &'static [&'static [Check]],
}

impl Area {
    /// The area's checks, in the order in which they are listed.
    pub fn checks(&self) -> impl Iterator<Item = &'static Check> + use<> {
        self.parts.iter().flat_map(|part| part.iter())
    }
}

const fn area(title: &'static str, parts: &'static [&'static [Check]]) -> Area {
    Area { title, parts }
}

/// Every area, in the order in which the checks are listed.
pub const AREAS: &[Area] = &[
    area(
        "DC bus",
        &[
            dc_bus::CHECKS,
            bus_ceiling::CHECKS,
            ripple::CHECKS,
            capacitor::CHECKS,
            precharge::CHECKS,
            capacitor_life::CHECKS,
        ],
    ),
    area(
        "Supply",
        &[
            supply::CHECKS,
            unbalance::CHECKS,
            ride_through::CHECKS,
            line_reactor::CHECKS,
            generator::CHECKS,
            single_phase_feed::CHECKS,
        ],
    ),
    area(
        "Motor",
        &[
            motor::CHECKS,
            motor_flux::CHECKS,
            motor_table::CHECKS,
            motor_cooling::CHECKS,
            single_phasing::CHECKS,
            locked_rotor::CHECKS,
            display::CHECKS,
        ],
    ),
    area(
        "Overload and sizing",
        &[overload::CHECKS, trip_class::CHECKS, sizing::CHECKS],
    ),
    area("Cable", &[cable::CHECKS, motor_cable::CHECKS]),
    area(
        "Acceleration and braking",
        &[inertia::CHECKS, braking::CHECKS],
    ),
    area(
        "Insulation and windings",
        &[
            insulation::CHECKS,
            insulation_trend::CHECKS,
            winding::CHECKS,
        ],
    ),
    area(
        "Temperature and cabinet",
        &[
            sensors::CHECKS,
            thermal_class::CHECKS,
            derating::CHECKS,
            enclosure::CHECKS,
            condensation::CHECKS,
        ],
    ),
    area(
        "Control signals",
        &[
            signal::CHECKS,
            potentiometer::CHECKS,
            encoder::CHECKS,
            serial_bus::CHECKS,
        ],
    ),
    area(
        "Contacts and devices",
        &[contacts::CHECKS, protection::CHECKS],
    ),
    area("Measuring", &[metering::CHECKS]),
    area("Safety", &[safety::CHECKS]),
];

/// Every check, area by area.
pub fn all() -> impl Iterator<Item = &'static Check> {
    AREAS.iter().flat_map(Area::checks)
}

/// The title of the area that a check stands in.
pub fn area_of(check: &Check) -> &'static str {
    AREAS
        .iter()
        .find(|area| area.checks().any(|own| own.name == check.name))
        .map_or("", |area| area.title)
}

/// The check called `name`.
pub fn find(name: &str) -> Option<&'static Check> {
    all().find(|check| check.name == name)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_definition_is_whole() {
        let mut names = BTreeSet::new();
        for check in all() {
            let name = check.name;
            assert!(names.insert(name), "{name} twice");
            for text in [
                check.name,
                check.purpose,
                check.formula,
                check.valid,
                area_of(check),
            ] {
                assert!(!text.trim().is_empty(), "{name}");
            }
            let capital = check.purpose.starts_with(char::is_uppercase);
            assert!(capital, "{name}: {}", check.purpose);
            for list in [check.sources, check.expect] {
                assert!(list.iter().all(|text| !text.trim().is_empty()), "{name}");
            }
            assert!(
                !check.sources.is_empty() && !check.inputs.is_empty(),
                "{name}"
            );
            assert!(!check.outputs.is_empty(), "{name}");
            assert!(!check.example.inputs.is_empty(), "{name}");
            for output in check.outputs {
                assert!(!output.what.is_empty(), "{name}: {}", output.name);
            }
            let takes_a_reading = check
                .inputs
                .iter()
                .any(|input| input.origin == Origin::Reading && input.choices.is_empty());
            assert_eq!(meter::stated(check).is_some(), takes_a_reading, "{name}");
            for input in check.inputs {
                assert!(!input.what.is_empty(), "{name}: {}", input.name);
                let bare = input.kind == crate::quantity::Kind::Count;
                assert!(bare || !input.unit.is_empty(), "{name}: {}", input.name);
                if input.choices.is_empty() {
                    let (least, most) =
                        limits(input).unwrap_or_else(|| panic!("{name}: limits of {}", input.name));
                    assert!(least.si() < most.si(), "{name}: {}", input.name);
                }
            }
            for band in check.bands {
                assert!(!band.means.is_empty() && !band.source.is_empty(), "{name}");
                assert!(
                    check.sources.iter().any(|source| {
                        let id = source.split(':').next().unwrap_or(source);
                        id == band.source
                            || (band.source == "memory" && source.contains("from memory"))
                    }),
                    "{name}: {} is not among its sources",
                    band.source
                );
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
            let given = read_inputs(check, check.example.inputs.iter().copied())
                .unwrap_or_else(|e| panic!("{}: {e}", check.name));
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
