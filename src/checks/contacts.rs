//! Contacts, wires and semiconductors by meter: small voltages and resistances.

use uom::si::f64::{ElectricCurrent, ElectricPotential, ElectricalResistance, Ratio};
use uom::si::ratio::ratio;

use super::define::{
    Check, CheckError, Example, Outputs, Verdict, band, nameplate, optional, output, reading,
};
use crate::quantity::Kind;

/// Resistance of a contact from its drop: `R = |U| / I`.
///
/// Valid:  steady load current above zero
/// Source: iec-80000-6, resistance (from memory)
pub fn contact_resistance(
    drop: ElectricPotential,
    current: ElectricCurrent,
) -> ElectricalResistance {
    drop.abs() / current
}

/// Difference of a displayed current against a measured one, relative to the measured.
///
/// Formula: `d = I_shown / I − 1`
/// Symbols: `I_shown` on the drive's display, `I` by the clamp [A]
/// Errors:  nothing measured
/// Source:  practice
pub fn display_difference(
    shown: ElectricCurrent,
    measured: ElectricCurrent,
) -> Result<Ratio, CheckError> {
    if measured.value <= 0.0 {
        return Err(CheckError::Contradiction(
            "the clamp shows no current: close it round one single conductor of a running motor and read again"
                .to_owned(),
        ));
    }
    Ok(shown / measured - Ratio::new::<ratio>(1.0))
}

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "contact-drop",
        purpose: "Voltage across a closed contact under load",
        inputs: &[
            reading(
                "contact_voltage_drop",
                Kind::Voltage,
                "mV",
                ("-1000 V", "1000 V"),
                "voltage from one side of the closed pole to the other, load flowing",
            ),
            optional(nameplate(
                "load_current",
                Kind::Current,
                "A",
                ("1 mA", "10 kA"),
                "current through the pole",
            )),
        ],
        outputs: &[
            output("voltage", Kind::Voltage, "V", "voltage across the pole"),
            output(
                "contact_resistance",
                Kind::Resistance,
                "mΩ",
                "resistance of the pole",
            ),
        ],
        formula: "R = |U| / I (U: voltage across the pole; I: current through it)",
        valid: "closed pole with load current; compare the poles of one device with each other",
        sources: &["practice"],
        expect: &["below 100 mV, and alike on all poles"],
        bands: &[
            band(
                "voltage > 500 mV",
                Verdict::Bad,
                "A burnt or open contact, or a loose joint.",
                "practice",
            ),
            band(
                "voltage > 200 mV",
                Verdict::Suspect,
                "More than a sound contact drops: compare the poles.",
                "practice",
            ),
            band("", Verdict::Normal, "A sound contact.", "practice"),
        ],
        doubtful: &["voltage > 50 V"],
        example: Example {
            inputs: &[("contact_voltage_drop", "-80 mV"), ("load_current", "40 A")],
            output: ("contact_resistance", "2 mΩ"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let drop = inputs
                .voltage("contact_voltage_drop")
                .map(ElectricPotential::abs);
            let resistance = drop
                .zip(inputs.current("load_current"))
                .map(|(drop, current)| contact_resistance(drop, current));
            Ok(Outputs::new()
                .with_some("voltage", drop)
                .with_some("contact_resistance", resistance))
        },
    },
    Check {
        name: "continuity",
        purpose: "Whether a fuse, contact, wire or link conducts",
        inputs: &[reading(
            "resistance",
            Kind::Resistance,
            "Ω",
            ("0 Ω", "1000 GΩ"),
            "resistance from end to end, isolated, at least one end lifted",
        )],
        outputs: &[output(
            "resistance",
            Kind::Resistance,
            "Ω",
            "resistance from end to end",
        )],
        formula: "R as measured, less the resistance of the leads",
        valid: "proved dead, no parallel path",
        sources: &["practice"],
        expect: &["below 1 Ω, little more than the meter's leads"],
        bands: &[
            band("resistance > 100 Ω", Verdict::Bad, "Open.", "practice"),
            band(
                "resistance > 1 Ω",
                Verdict::Suspect,
                "Closed, but a poor joint or a long wire.",
                "practice",
            ),
            band("", Verdict::Normal, "It conducts.", "practice"),
        ],
        doubtful: &[],
        example: Example {
            inputs: &[("resistance", "0.3 Ω")],
            output: ("resistance", "0.3 Ω"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            Ok(Outputs::new().with_some("resistance", inputs.resistance("resistance")))
        },
    },
    Check {
        name: "diode-drop",
        purpose: "Forward voltage of a rectifier or inverter diode in the meter's diode range",
        inputs: &[reading(
            "forward_voltage",
            Kind::Voltage,
            "V",
            ("0 V", "10 V"),
            "reading of the meter's diode range in the direction that conducts; OL if it is open",
        )],
        outputs: &[output("voltage", Kind::Voltage, "V", "forward voltage")],
        formula: "U_F as measured; silicon drops 0.3 V to 0.7 V at a meter's test current",
        valid: "bus proved dead; the other direction must be open; legs of one bridge agree",
        sources: &["practice"],
        expect: &["0.3 V to 0.7 V, alike on all legs, and open the other way round"],
        bands: &[
            band("voltage < 0.15 V", Verdict::Bad, "Shorted.", "practice"),
            band("voltage > 1 V", Verdict::Bad, "Open.", "practice"),
            band(
                "voltage < 0.25 V",
                Verdict::Suspect,
                "Low for silicon: a parallel path, or a damaged junction.",
                "practice",
            ),
            band(
                "voltage > 0.8 V",
                Verdict::Suspect,
                "High for one diode: two in series, or a poor joint.",
                "practice",
            ),
            band(
                "",
                Verdict::Normal,
                "A sound diode in this direction.",
                "practice",
            ),
        ],
        doubtful: &[],
        example: Example {
            inputs: &[("forward_voltage", "0.45 V")],
            output: ("voltage", "0.45 V"),
            tolerance: 1e-9,
        },
        compute: |inputs| Ok(Outputs::new().with_some("voltage", inputs.voltage("forward_voltage"))),
    },
    Check {
        name: "resistance-to-expected",
        purpose: "A resistance as measured against what it should be",
        inputs: &[
            reading(
                "measured_resistance",
                Kind::Resistance,
                "Ω",
                ("0 Ω", "1000 GΩ"),
                "resistance, isolated, one end lifted",
            ),
            nameplate(
                "expected_resistance",
                Kind::Resistance,
                "Ω",
                ("1 mΩ", "10 GΩ"),
                "resistance it should have, from its papers or an equal sound one",
            ),
        ],
        outputs: &[output(
            "ratio",
            Kind::Ratio,
            "%",
            "measured against expected",
        )],
        formula: "ratio = R / R₀ (R: measured; R₀: expected resistance)",
        valid: "both at about the same temperature",
        sources: &["practice"],
        expect: &["{expected_resistance}, within a tenth"],
        bands: &[
            band(
                "ratio > 150 %",
                Verdict::Bad,
                "Far too high: open, or partly so.",
                "practice",
            ),
            band(
                "ratio < 67 %",
                Verdict::Bad,
                "Far too low: a short, or the wrong part.",
                "practice",
            ),
            band(
                "ratio > 110 %",
                Verdict::Suspect,
                "A little high.",
                "practice",
            ),
            band(
                "ratio < 90 %",
                Verdict::Suspect,
                "A little low.",
                "practice",
            ),
            band("", Verdict::Normal, "As it should be.", "practice"),
        ],
        doubtful: &[],
        example: Example {
            inputs: &[
                ("measured_resistance", "52 Ω"),
                ("expected_resistance", "50 Ω"),
            ],
            output: ("ratio", "104 %"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let share = inputs
                .resistance("measured_resistance")
                .zip(inputs.resistance("expected_resistance"))
                .map(|(measured, expected)| -> Ratio { measured / expected });
            Ok(Outputs::new().with_some("ratio", share))
        },
    },
    Check {
        name: "output-to-motor-current",
        purpose: "Current on the drive's display against the clamp meter at the motor",
        inputs: &[
            reading(
                "displayed_current",
                Kind::Current,
                "A",
                ("0 A", "20 kA"),
                "output current on the drive's display",
            ),
            reading(
                "measured_current",
                Kind::Current,
                "A",
                ("0 A", "20 kA"),
                "current of one motor conductor by a true-rms clamp, at the same moment",
            ),
        ],
        outputs: &[output(
            "difference",
            Kind::Ratio,
            "%",
            "displayed against measured",
        )],
        formula: "difference = I_shown / I − 1 (I_shown: display; I: clamp)",
        valid: "steady running above a third of rated speed; a clamp misleads at a few hertz",
        sources: &["practice"],
        expect: &[
            "within a tenth of {displayed_current}",
            "what the drive displays, within a tenth",
        ],
        bands: &[
            band(
                "difference > 25 %",
                Verdict::Bad,
                "The drive sees far more than the motor gets: a leak, a long cable, or its current sensors.",
                "practice",
            ),
            band(
                "difference < -25 %",
                Verdict::Bad,
                "The drive sees far less than flows: its current sensors, or the clamp.",
                "practice",
            ),
            band(
                "difference > 10 %",
                Verdict::Suspect,
                "The display reads higher than the clamp.",
                "practice",
            ),
            band(
                "difference < -10 %",
                Verdict::Suspect,
                "The display reads lower than the clamp.",
                "practice",
            ),
            band("", Verdict::Normal, "Display and clamp agree.", "practice"),
        ],
        doubtful: &["difference > 300 %", "difference < -80 %"],
        example: Example {
            inputs: &[("displayed_current", "12 A"), ("measured_current", "10 A")],
            output: ("difference", "20 %"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let difference = inputs
                .current("displayed_current")
                .zip(inputs.current("measured_current"))
                .map(|(shown, measured)| display_difference(shown, measured))
                .transpose()?;
            Ok(Outputs::new().with_some("difference", difference))
        },
    },
];
