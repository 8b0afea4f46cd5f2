//! Insulation to earth: the reading carried to 40 °C, and what the standards ask for.

use std::ops::RangeInclusive;

use uom::si::electric_potential::{kilovolt, volt};
use uom::si::electrical_resistance::megaohm;
use uom::si::f64::{ElectricPotential, ElectricalResistance, Ratio, ThermodynamicTemperature};
use uom::si::ratio::ratio;
use uom::si::thermodynamic_temperature::degree_celsius;

use super::define::{
    Check, CheckError, Example, Input, Inputs, Outputs, Verdict, assumed, band, choice, nameplate,
    output, reading,
};
use crate::quantity::Kind;

/// How insulation resistance is carried from one temperature to another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Correction {
    /// Half the resistance for each 10 K more; older, thermoplastic insulation.
    Halving,
    /// The formula for thermosetting insulation, from 10 °C to 85 °C.
    Thermosetting,
}

/// Factor by which a reading is multiplied to give the resistance at 40 °C.
///
/// Formula: halving `K = 0.5^((40 − t)/10)`; thermosetting `K = exp(−B·(1/(t + 273) − 1/313))`
/// Symbols: `t` winding temperature [°C]; `B` 4230 K above 40 °C, 1245 K below
/// Valid:   halving above the dew point; thermosetting 10 °C to 85 °C
/// Errors:  thermosetting outside its range
/// Source:  ieee-43 (2013), clause on temperature correction; the thermosetting constants from memory
pub fn factor_to_40(
    temperature: ThermodynamicTemperature,
    rule: Correction,
) -> Result<Ratio, CheckError> {
    let celsius = temperature.get::<degree_celsius>();
    let factor = match rule {
        Correction::Halving => 0.5f64.powf((40.0 - celsius) / 10.0),
        Correction::Thermosetting if (10.0..=85.0).contains(&celsius) => {
            let constant = if celsius > 40.0 { 4230.0 } else { 1245.0 };
            (-constant * (1.0 / (celsius + 273.0) - 1.0 / 313.0)).exp()
        }
        Correction::Thermosetting => {
            return Err(CheckError::Contradiction(format!(
                "the thermosetting rule holds from 10 °C to 85 °C, not at {celsius:.0} °C"
            )));
        }
    };
    Ok(Ratio::new::<ratio>(factor))
}

/// What kind of winding is judged.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Winding {
    /// Random-wound, as almost every low-voltage motor is.
    Random,
    /// Form-wound.
    Form,
    /// Made before about 1970, or a field winding.
    Old,
    /// Armature of a DC machine.
    DcArmature,
}

/// Least insulation resistance of a winding at 40 °C after one minute.
///
/// Formula: 5 MΩ random-wound, DC armatures and anything below 1 kV; 100 MΩ form-wound from 1 kV;
///          `kV + 1` MΩ before about 1970 and for field windings
/// Symbols: `kV` rated voltage, line to line [kV]
/// Valid:   whole winding to earth, all phases together
/// Source:  ieee-43 (2013), Table 3 (from memory)
pub fn least_of_winding(winding: Winding, rated: ElectricPotential) -> ElectricalResistance {
    let kilovolts = rated.get::<kilovolt>();
    ElectricalResistance::new::<megaohm>(match winding {
        Winding::Old => kilovolts + 1.0,
        Winding::Form if kilovolts >= 1.0 => 100.0,
        Winding::Form | Winding::Random | Winding::DcArmature => 5.0,
    })
}

/// The old rule of one megohm per kilovolt, at least one megohm.
///
/// Source: practice
pub fn megohm_per_kilovolt(rated: ElectricPotential) -> ElectricalResistance {
    ElectricalResistance::new::<megaohm>(rated.get::<kilovolt>().max(1.0))
}

/// DC test voltage for a winding of a rated voltage.
///
/// Valid:  line-to-line voltage of AC machines
/// Source: ieee-43, Table 1
pub fn winding_test_voltage(rated: ElectricPotential) -> RangeInclusive<ElectricPotential> {
    let (low, high) = match rated.get::<volt>() {
        v if v < 1000.0 => (500.0, 500.0),
        v if v <= 2500.0 => (500.0, 1000.0),
        v if v <= 5000.0 => (1000.0, 2500.0),
        v if v <= 12_000.0 => (2500.0, 5000.0),
        _ => (5000.0, 10_000.0),
    };
    ElectricPotential::new::<volt>(low)..=ElectricPotential::new::<volt>(high)
}

/// Test voltage and least resistance of equipment that doesn't rotate, up to 5 kV.
///
/// Source: neta-mts (2019), Table 100.1
pub fn apparatus_test(
    rated: ElectricPotential,
) -> Option<(ElectricPotential, ElectricalResistance)> {
    let (test, least) = match rated.get::<volt>() {
        v if v <= 250.0 => (500.0, 25.0),
        v if v <= 1000.0 => (1000.0, 100.0),
        v if v <= 2500.0 => (1000.0, 500.0),
        v if v <= 5000.0 => (2500.0, 1500.0),
        _ => return None,
    };
    Some((
        ElectricPotential::new::<volt>(test),
        ElectricalResistance::new::<megaohm>(least),
    ))
}

fn beyond_apparatus() -> CheckError {
    CheckError::Contradiction(
        "the table for equipment that doesn't rotate is held here up to 5 kV".to_owned(),
    )
}

/// Highest voltage of SELV and PELV, dc; ac ends at 50 V.
///
/// Source: iec-60364-6, with the voltage band I of IEC 60449 (from memory)
const EXTRA_LOW: f64 = 120.0;

/// Test voltage and least resistance of an installation's circuit.
///
/// Source: iec-60364-6, Table 6.1 (from memory)
pub fn installation_test(
    nominal: ElectricPotential,
    extra_low: bool,
) -> (ElectricPotential, ElectricalResistance) {
    let (test, least) = match nominal.get::<volt>() {
        _ if extra_low => (250.0, 0.5),
        v if v <= 500.0 => (500.0, 1.0),
        _ => (1000.0, 1.0),
    };
    (
        ElectricPotential::new::<volt>(test),
        ElectricalResistance::new::<megaohm>(least),
    )
}

pub(super) const RULE: Input = choice(
    "rule",
    &["halving", "thermosetting"],
    "temperature correction: halving for each 10 K, or the formula for thermosetting insulation",
);

pub(super) fn rule_of(inputs: &Inputs) -> (Correction, &'static str) {
    match inputs.word("rule") {
        Some("thermosetting") => (
            Correction::Thermosetting,
            "Corrected by the formula for thermosetting insulation; halving for each 10 K corrects far more.",
        ),
        _ => (
            Correction::Halving,
            "Corrected by halving for each 10 K; for a hot motor that is the optimistic rule.",
        ),
    }
}

/// Least resistance at 40 °C of a random-wound motor, MΩ (IEEE 43, Table 3; from memory).
const LEAST_OF_MOTOR: f64 = 5.0;

/// Least reading of power circuits at any temperature, MΩ (IEC 60204-1, 18.3; from memory).
const LEAST_OF_ANY: f64 = 1.0;

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "insulation-resistance",
        purpose: "Insulation resistance carried to 40 °C, against what a low-voltage motor needs",
        inputs: &[
            reading(
                "insulation_resistance",
                Kind::Resistance,
                "MΩ",
                ("0 Ω", "10000 GΩ"),
                "reading of the insulation tester after one minute, drive disconnected",
            ),
            assumed(
                nameplate(
                    "winding_temperature",
                    Kind::Temperature,
                    "°C",
                    ("-20 °C", "180 °C"),
                    "temperature of the winding while it is tested",
                ),
                "20 °C",
            ),
            RULE,
        ],
        outputs: &[
            output(
                "resistance_at_40",
                Kind::Resistance,
                "MΩ",
                "resistance at 40 °C",
            ),
            output(
                "correction",
                Kind::Ratio,
                "%",
                "factor from the reading to 40 °C",
            ),
            output(
                "least_reading",
                Kind::Resistance,
                "MΩ",
                "reading to reach: 5 MΩ at 40 °C, and never under 1 MΩ",
            ),
            output("uncorrected", Kind::Resistance, "MΩ", "the reading itself"),
        ],
        formula: "R₄₀ = R · K; halving K = 0.5^((40 − t)/10), thermosetting K = exp(−B · (1/(t + 273) − 1/313)) (R: reading; t: winding temperature; B: 4230 above 40 °C, 1245 below)",
        valid: "one-minute reading above the dew point; thermosetting from 10 °C to 85 °C",
        sources: &[
            "ieee-43: 2013, temperature correction and Table 3 (from memory)",
            "iec-60204-1: 18.3 (from memory)",
            "practice",
        ],
        expect: &[
            "at least {least_reading}: 5 MΩ at 40 °C, never under 1 MΩ; a sound dry motor reads over 100 MΩ",
        ],
        bands: &[
            band(
                "uncorrected < 1 MΩ",
                Verdict::Bad,
                "Don't energise it: earth fault, water or carbonised insulation. No correction for heat lifts a reading over this limit.",
                "iec-60204-1",
            ),
            band(
                "resistance_at_40 < 1 MΩ",
                Verdict::Bad,
                "Don't energise it: earth fault, water or carbonised insulation.",
                "iec-60204-1",
            ),
            band(
                "resistance_at_40 < 5 MΩ",
                Verdict::Bad,
                "Below the minimum of a random-wound motor: dry it out or have it repaired.",
                "ieee-43",
            ),
            band(
                "resistance_at_40 < 100 MΩ",
                Verdict::Suspect,
                "Usable, but not as a dry, clean motor reads: compare with earlier readings.",
                "practice",
            ),
            band("", Verdict::Normal, "Sound insulation.", "practice"),
        ],
        doubtful: &["resistance_at_40 > 2000 GΩ"],
        example: Example {
            inputs: &[
                ("insulation_resistance", "200 MΩ"),
                ("winding_temperature", "20 °C"),
            ],
            output: ("resistance_at_40", "50 MΩ"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let (rule, note) = rule_of(inputs);
            let factor = inputs
                .temperature("winding_temperature")
                .map(|temperature| factor_to_40(temperature, rule))
                .transpose()?;
            let at_40 = inputs
                .resistance("insulation_resistance")
                .zip(factor)
                .map(|(reading, factor)| reading * factor);
            let least = ElectricalResistance::new::<megaohm>(LEAST_OF_MOTOR);
            Ok(Outputs::new()
                .with_some("resistance_at_40", at_40)
                .with_some("correction", factor)
                .with_some(
                    "least_reading",
                    factor.map(|factor| {
                        (least / factor).max(ElectricalResistance::new::<megaohm>(LEAST_OF_ANY))
                    }),
                )
                .with_some("uncorrected", inputs.resistance("insulation_resistance"))
                .note(note))
        },
    },
    Check {
        name: "insulation-minimum",
        purpose: "Least insulation resistance of a winding at 40 °C",
        inputs: &[
            nameplate(
                "motor_rated_voltage",
                Kind::Voltage,
                "V",
                ("20 V", "15 kV"),
                "rated voltage of the machine, line to line",
            ),
            choice(
                "winding",
                &["random", "form", "before-1970", "dc-armature"],
                "how the machine is wound; before-1970 also stands for field windings",
            ),
            choice(
                "rule",
                &["ieee-43", "iec-60204-1", "neta-mts", "megohm-per-kilovolt"],
                "by object: motor winding, a machine's power circuits, equipment that doesn't rotate; or the old rule of one megohm per kilovolt",
            ),
        ],
        outputs: &[output(
            "least_resistance",
            Kind::Resistance,
            "MΩ",
            "least insulation resistance at 40 °C",
        )],
        formula: "5 MΩ random-wound, below 1 kV and DC armatures; 100 MΩ form-wound; kV + 1 before about 1970; machine's power circuits 1 MΩ; equipment that doesn't rotate by table, 100 MΩ from 250 V to 1 kV; old rule 1 MΩ per kV, at least 1 MΩ",
        valid: "whole winding to earth; one phase with the others earthed needs twice as much",
        sources: &[
            "ieee-43: 2013, Table 3 (from memory)",
            "iec-60204-1: 18.3 (from memory)",
            "neta-mts: 2019, Table 100.1",
            "practice",
        ],
        expect: &["at least {least_resistance} at 40 °C"],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[("motor_rated_voltage", "460 V"), ("winding", "before-1970")],
            output: ("least_resistance", "1.46 MΩ"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let winding = match inputs.word("winding") {
                Some("form") => Winding::Form,
                Some("before-1970") => Winding::Old,
                Some("dc-armature") => Winding::DcArmature,
                _ => Winding::Random,
            };
            let rule = inputs.word("rule");
            let least = inputs
                .voltage("motor_rated_voltage")
                .map(|rated| match rule {
                    Some("megohm-per-kilovolt") => Ok(megohm_per_kilovolt(rated)),
                    Some("iec-60204-1") => Ok(ElectricalResistance::new::<megaohm>(1.0)),
                    Some("neta-mts") => apparatus_test(rated)
                        .map(|(_, least)| least)
                        .ok_or_else(beyond_apparatus),
                    _ => Ok(least_of_winding(winding, rated)),
                })
                .transpose()?;
            Ok(Outputs::new()
                .with_some("least_resistance", least)
                .note(match rule {
                    Some("megohm-per-kilovolt") => {
                        "By the old rule of one megohm per kilovolt; IEEE 43 asks for more."
                    }
                    Some("iec-60204-1") => {
                        "By IEC 60204-1 for a machine's power circuits as a whole, from memory; IEEE 43 asks more of a motor alone."
                    }
                    Some("neta-mts") => {
                        "By ANSI/NETA MTS-2019 for equipment that doesn't rotate; not a limit for motors."
                    }
                    _ => "By IEEE 43-2013; its 2000 edition asked 100 MΩ of DC armatures as well.",
                }))
        },
    },
    Check {
        name: "insulation-test-voltage",
        purpose: "Test voltage of the insulation tester, and the least reading where the rule gives one",
        inputs: &[
            nameplate(
                "rated_voltage",
                Kind::Voltage,
                "V",
                ("12 V", "15 kV"),
                "rated voltage of what is tested, line to line",
            ),
            choice(
                "rule",
                &["ieee-43", "iec-60364-6", "iec-60204-1", "neta-mts"],
                "by object: motor winding, installation, machine's power circuits, equipment that doesn't rotate",
            ),
            choice(
                "circuit",
                &["mains", "extra-low"],
                "whether the circuit is a mains circuit or SELV or PELV",
            ),
        ],
        outputs: &[
            output(
                "lowest_test_voltage",
                Kind::Voltage,
                "V",
                "lowest test voltage, DC",
            ),
            output(
                "highest_test_voltage",
                Kind::Voltage,
                "V",
                "highest test voltage, DC",
            ),
            output("least_resistance", Kind::Resistance, "MΩ", "least reading"),
        ],
        formula: "table by rated voltage; IEEE 43 gives a range of test voltages, the others one",
        valid: "drive and electronics disconnected: the test voltage destroys them",
        sources: &[
            "ieee-43: Table 1",
            "iec-60364-6: Table 6.1 (from memory)",
            "iec-60204-1: 18.3 (from memory)",
            "neta-mts: 2019, Table 100.1",
        ],
        expect: &[
            "{highest_test_voltage} DC, and at least {least_resistance}",
            "{lowest_test_voltage} DC, at most {highest_test_voltage}",
        ],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[("rated_voltage", "460 V")],
            output: ("highest_test_voltage", "500 V"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let Some(rated) = inputs.voltage("rated_voltage") else {
                return Ok(Outputs::new());
            };
            let extra_low = inputs.word("circuit") == Some("extra-low");
            let one = |test: ElectricPotential, least: ElectricalResistance| {
                Outputs::new()
                    .with("lowest_test_voltage", test)
                    .with("highest_test_voltage", test)
                    .with("least_resistance", least)
            };
            let outputs = match inputs.word("rule") {
                Some("iec-60364-6") if extra_low && rated.get::<volt>() > EXTRA_LOW => {
                    return Err(CheckError::Contradiction(
                        "SELV and PELV end at 120 V dc and 50 V ac; choose the mains circuit"
                            .to_owned(),
                    ));
                }
                Some("iec-60364-6") => {
                    let (test, least) = installation_test(rated, extra_low);
                    one(test, least).note("By IEC 60364-6.")
                }
                Some("iec-60204-1") => one(
                    ElectricPotential::new::<volt>(500.0),
                    ElectricalResistance::new::<megaohm>(1.0),
                )
                .note("By IEC 60204-1, power circuits against the protective conductor."),
                Some("neta-mts") => {
                    let (test, least) = apparatus_test(rated).ok_or_else(beyond_apparatus)?;
                    one(test, least).note("By the NETA table for equipment that doesn't rotate.")
                }
                _ => {
                    let range = winding_test_voltage(rated);
                    Outputs::new()
                        .with("lowest_test_voltage", *range.start())
                        .with("highest_test_voltage", *range.end())
                        .note(
                            "By IEEE 43 for windings; insulation-minimum gives the least reading.",
                        )
                }
            };
            Ok(outputs.note("Disconnect the drive first: the test voltage destroys it."))
        },
    },
];
