//! The speed potentiometer: its wiper, its reference, and whether its value suits.

use uom::si::f64::{ElectricCurrent, ElectricPotential, ElectricalResistance, Ratio};

use super::define::{
    Check, Example, Input, Outputs, Verdict, assumed, band, measured, nameplate, optional, output,
    reading, said,
};
use crate::quantity::Kind;

/// Current that a potentiometer with a loaded wiper takes from its reference.
///
/// Formula: `I = U_ref · (R_in + x·R_p) / (R_p · (R_in + x·(1 − x)·R_p))`
/// Symbols: `U_ref` reference [V]; `x` position; `R_in` input, `R_p` potentiometer resistance [Ω]
/// Valid:   linear potentiometer, input to the low end
/// Source:  iec-80000-6 (from memory): the upper part in series with the lower part beside the input
pub fn reference_current(
    reference: ElectricPotential,
    position: Ratio,
    potentiometer: ElectricalResistance,
    input: ElectricalResistance,
) -> ElectricCurrent {
    let rest = Ratio::new::<uom::si::ratio::ratio>(1.0) - position;
    reference * (input + potentiometer * position)
        / (potentiometer * (input + potentiometer * position * rest))
}

/// Voltage at the wiper of a potentiometer that an input loads.
///
/// Formula: `U = U_ref · x · R_in / (R_in + x·(1 − x)·R_p)`
/// Symbols: `U_ref` reference [V]; `x` position; `R_in` input, `R_p` potentiometer resistance [Ω]
/// Valid:   `0 ≤ x ≤ 1`; the error is largest near two thirds of travel
/// Source:  iec-80000-6, resistance (from memory)
pub fn wiper_voltage(
    reference: ElectricPotential,
    position: Ratio,
    potentiometer: ElectricalResistance,
    input: ElectricalResistance,
) -> ElectricPotential {
    let rest = Ratio::new::<uom::si::ratio::ratio>(1.0) - position;
    reference * position * (input / (input + potentiometer * position * rest))
}

const REFERENCE: Input = nameplate(
    "reference_voltage",
    Kind::Voltage,
    "V",
    ("1 V", "30 V"),
    "voltage that feeds the potentiometer",
);

const POTENTIOMETER: Input = nameplate(
    "potentiometer_resistance",
    Kind::Resistance,
    "Ω",
    ("100 Ω", "1 MΩ"),
    "resistance end to end",
);

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "potentiometer",
        purpose: "Voltage to expect at a potentiometer's wiper, and its load on the reference",
        inputs: &[
            REFERENCE,
            POTENTIOMETER,
            assumed(
                nameplate(
                    "wiper_position",
                    Kind::Ratio,
                    "%",
                    ("0 %", "100 %"),
                    "position of the wiper",
                ),
                "50 %",
            ),
            assumed(
                nameplate(
                    "input_resistance",
                    Kind::Resistance,
                    "kΩ",
                    ("100 Ω", "100 MΩ"),
                    "resistance of the analog input, from the drive's own manual",
                ),
                "100 kΩ",
            ),
            optional(reading(
                "measured_wiper_voltage",
                Kind::Voltage,
                "V",
                ("-30 V", "30 V"),
                "voltage between wiper and 0 V",
            )),
        ],
        outputs: &[
            output(
                "expected_wiper_voltage",
                Kind::Voltage,
                "V",
                "voltage at the wiper",
            ),
            output(
                "reference_current",
                Kind::Current,
                "mA",
                "load of the potentiometer alone on the reference",
            ),
            output(
                "loaded_reference_current",
                Kind::Current,
                "mA",
                "load on the reference, the input's share included",
            ),
            output("difference", Kind::Voltage, "V", "measured minus expected"),
        ],
        formula: "U = U_ref · x · R_in / (R_in + x·(1 − x)·R_p), I = U_ref / R_p alone, and with the input I = U_ref · (R_in + x·R_p) / (R_p · (R_in + x·(1 − x)·R_p)) (U_ref: reference; x: position; R_in: input; R_p: potentiometer)",
        valid: "linear potentiometer; a reference that sags is shorted or loaded too much",
        sources: &["iec-80000-6: resistance (from memory)"],
        expect: &["{expected_wiper_voltage} at {wiper_position} of {reference_voltage}"],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[
                ("reference_voltage", "10 V"),
                ("potentiometer_resistance", "10 kΩ"),
                ("wiper_position", "50 %"),
                ("input_resistance", "20 kΩ"),
            ],
            output: ("expected_wiper_voltage", "4.444 V"),
            tolerance: 2e-4,
        },
        compute: |inputs| {
            let reference = inputs.voltage("reference_voltage");
            let potentiometer = inputs.resistance("potentiometer_resistance");
            let expected = reference
                .zip(inputs.ratio("wiper_position"))
                .zip(potentiometer)
                .zip(inputs.resistance("input_resistance"))
                .map(|(((reference, position), pot), input)| {
                    wiper_voltage(reference, position, pot, input)
                });
            let difference = inputs
                .voltage("measured_wiper_voltage")
                .zip(expected)
                .map(|(measured, expected)| measured - expected);
            Ok(Outputs::new()
                .with_some("expected_wiper_voltage", expected)
                .with_some(
                    "reference_current",
                    reference.zip(potentiometer).map(|(u, r)| u / r),
                )
                .with_some(
                    "loaded_reference_current",
                    reference
                        .zip(inputs.ratio("wiper_position"))
                        .zip(potentiometer)
                        .zip(inputs.resistance("input_resistance"))
                        .map(|(((reference, position), pot), input)| {
                            reference_current(reference, position, pot, input)
                        }),
                )
                .with_some("difference", difference))
        },
    },
    Check {
        name: "reference-supply",
        purpose: "Voltage that feeds a potentiometer, under its load, against its rated value",
        inputs: &[
            reading(
                "measured_reference_voltage",
                Kind::Voltage,
                "V",
                ("-30 V", "30 V"),
                "voltage between the reference terminal and 0 V, potentiometer connected",
            ),
            assumed(REFERENCE, "10 V"),
        ],
        outputs: &[output(
            "deviation",
            Kind::Ratio,
            "%",
            "deviation from the rated value",
        )],
        formula: "deviation = U / U_ref − 1 (U: measured; U_ref: rated reference)",
        valid: "potentiometer connected; lift it and measure again to tell a short from a dead reference",
        sources: &["practice"],
        expect: &["{reference_voltage}, within a twentieth"],
        bands: &[
            band(
                "deviation < -50 %",
                Verdict::Bad,
                "Collapsed: a short in the wiring, or the reference is dead.",
                "practice",
            ),
            band(
                "deviation < -5 %",
                Verdict::Suspect,
                "It sags: too low a potentiometer, or a leak.",
                "practice",
            ),
            band(
                "deviation > 5 %",
                Verdict::Suspect,
                "Too high: another voltage gets in.",
                "practice",
            ),
            band("", Verdict::Normal, "As it should be.", "practice"),
        ],
        doubtful: &[],
        example: Example {
            inputs: &[("measured_reference_voltage", "9 V")],
            output: ("deviation", "-10 %"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let deviation = inputs
                .voltage("measured_reference_voltage")
                .zip(inputs.voltage("reference_voltage"))
                .map(|(measured, rated)| -> Ratio { (measured - rated) / rated });
            Ok(Outputs::new().with_some("deviation", deviation))
        },
    },
    Check {
        name: "potentiometer-value",
        purpose: "Whether a speed potentiometer's resistance suits the reference that feeds it",
        inputs: &[
            said(
                measured(POTENTIOMETER),
                "resistance from end to end, its three wires lifted at the drive",
            ),
            assumed(REFERENCE, "10 V"),
        ],
        outputs: &[
            output("resistance", Kind::Resistance, "kΩ", "resistance"),
            output(
                "reference_current",
                Kind::Current,
                "mA",
                "current that it takes from the reference",
            ),
        ],
        formula: "I = U_ref / R (U_ref: reference; R: resistance end to end); 1 kΩ to 10 kΩ at 10 V",
        valid: "references of about 10 V that give some 10 mA; the drive's own manual rules",
        sources: &["practice", "iec-80000-6: resistance (from memory)"],
        expect: &["1 kΩ to 10 kΩ on {reference_voltage}"],
        bands: &[
            band(
                "resistance < 700 Ω",
                Verdict::Bad,
                "It takes more than most references give: a short, or the wrong value.",
                "practice",
            ),
            band(
                "resistance < 950 Ω",
                Verdict::Suspect,
                "Low: look up what the reference of this drive may give.",
                "practice",
            ),
            band(
                "resistance > 100 kΩ",
                Verdict::Bad,
                "The track is broken, or it is the wrong value.",
                "practice",
            ),
            band(
                "resistance > 12 kΩ",
                Verdict::Suspect,
                "High: the input bends its scale, and the line picks up noise.",
                "practice",
            ),
            band("", Verdict::Normal, "A usual value.", "practice"),
        ],
        doubtful: &[],
        example: Example {
            inputs: &[("potentiometer_resistance", "4.7 kΩ")],
            output: ("reference_current", "2.128 mA"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let resistance = inputs.resistance("potentiometer_resistance");
            let current = inputs
                .voltage("reference_voltage")
                .zip(resistance)
                .map(|(reference, resistance)| -> ElectricCurrent { reference / resistance });
            Ok(Outputs::new()
                .with_some("resistance", resistance)
                .with_some("reference_current", current))
        },
    },
];
