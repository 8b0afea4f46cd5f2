//! Drives on a generator: its size, and what a load step does to its voltage and frequency.

use uom::si::f64::Ratio;

use super::define::{
    Check, Example, Input, Outputs, Verdict, assumed, band, choice, nameplate, output, reading,
    said, word,
};
use super::shared::{number, share};
use super::supply::{VOLTAGE_BEFORE, VOLTAGE_DURING};
use crate::quantity::Kind;

/// What a class of generating set may do for a moment, relative to rated: voltage dip and rise,
/// frequency dip and rise.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StepLimits {
    /// Deepest voltage when load comes.
    pub voltage_dip: f64,
    /// Highest voltage when load goes.
    pub voltage_rise: f64,
    /// Deepest frequency when load comes.
    pub frequency_dip: f64,
    /// Highest frequency when load goes.
    pub frequency_rise: f64,
}

/// Limits of a performance class, G1, G2 or G3; G2 for anything else.
///
/// Source: iso-8528-5, operating limit values (from memory)
pub fn step_limits(class: Option<&str>) -> StepLimits {
    let (voltage_dip, voltage_rise, frequency_dip, frequency_rise) = match class {
        Some("G1") => (0.25, 0.35, 0.15, 0.18),
        Some("G3") => (0.15, 0.20, 0.07, 0.10),
        _ => (0.20, 0.25, 0.10, 0.12),
    };
    StepLimits {
        voltage_dip,
        voltage_rise,
        frequency_dip,
        frequency_rise,
    }
}

/// How much of what a class allows a deviation uses: above 1 it is exceeded.
pub fn used(deviation: f64, dip: f64, rise: f64) -> f64 {
    if deviation < 0.0 {
        -deviation / dip
    } else {
        deviation / rise
    }
}

const fn hertz(name: &'static str, what: &'static str) -> Input {
    reading(name, Kind::Frequency, "Hz", ("1 Hz", "120 Hz"), what)
}

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "generator-size",
        purpose: "Whether a generator is large enough for the drives on it",
        inputs: &[
            nameplate(
                "generator_power",
                Kind::ApparentPower,
                "kVA",
                ("1 kVA", "20 MVA"),
                "rated power of the generator, from its plate",
            ),
            nameplate(
                "drives_power",
                Kind::ApparentPower,
                "kVA",
                ("0.1 kVA", "20 MVA"),
                "input power of all drives that run together: √3 × supply voltage × input current of each",
            ),
            assumed(
                nameplate(
                    "other_power",
                    Kind::ApparentPower,
                    "kVA",
                    ("0 kVA", "20 MVA"),
                    "all other load on it",
                ),
                "0 kVA",
            ),
            choice(
                "input_kind",
                &["six-pulse", "low-harmonic"],
                "plain six-pulse bridge, or twelve and more pulses, active front end or a harmonic filter",
            ),
        ],
        outputs: &[
            output(
                "wanted_power",
                Kind::ApparentPower,
                "kVA",
                "generator that practice asks for",
            ),
            output("ratio", Kind::Ratio, "%", "generator against that power"),
            output("load_share", Kind::Ratio, "%", "load on the generator"),
        ],
        formula: "S_want = k · S_drives + S_other, k = 2 for six-pulse drives, 1.4 for low-harmonic ones (S: apparent power)",
        valid: "drives that start on a ramp; a motor started from the line needs its own sum; the generator's maker has the last word on harmonics",
        sources: &["practice"],
        expect: &["a generator of {wanted_power} or more"],
        bands: &[
            band(
                "load_share > 100 %",
                Verdict::Bad,
                "More load than the generator's rating.",
                "practice",
            ),
            band(
                "ratio < 100 %",
                Verdict::Suspect,
                "Smaller than practice asks for: its voltage is distorted, the regulator may hunt and drives trip on dips.",
                "practice",
            ),
            band(
                "",
                Verdict::Normal,
                "As large as practice asks for.",
                "practice",
            ),
        ],
        doubtful: &["ratio > 10000 %"],
        example: Example {
            inputs: &[("generator_power", "150 kVA"), ("drives_power", "60 kVA")],
            output: ("ratio", "125 %"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let factor = if inputs.word("input_kind") == Some("low-harmonic") {
                1.4
            } else {
                2.0
            };
            let loads = inputs
                .apparent_power("drives_power")
                .zip(inputs.apparent_power("other_power"));
            let wanted = loads.map(|(drives, other)| drives * factor + other);
            let generator = inputs.apparent_power("generator_power");
            Ok(Outputs::new()
                .with_some(
                    "wanted_power",
                    wanted.map(crate::quantity::Quantity::ApparentPower),
                )
                .with_some(
                    "ratio",
                    generator
                        .zip(wanted)
                        .map(|(has, wants)| -> Ratio { has / wants }),
                )
                .with_some(
                    "load_share",
                    loads
                        .zip(generator)
                        .map(|((drives, other), has)| -> Ratio { (drives + other) / has }),
                )
                .note(format!(
                    "Reckoned with {factor} times the drives' power, a habit of the trade."
                )))
        },
    },
    Check {
        name: "generator-step",
        purpose: "Voltage and frequency of a generator when load comes or goes, against its class",
        inputs: &[
            said(VOLTAGE_BEFORE, "line voltage before the step"),
            said(
                VOLTAGE_DURING,
                "lowest or highest line voltage just after it",
            ),
            hertz("frequency_before", "frequency before the step"),
            hertz(
                "frequency_during",
                "lowest or highest frequency just after it",
            ),
            choice(
                "rule",
                &["G2", "G1", "G3"],
                "performance class of the set by ISO 8528: G2 is usual for drives, G3 the strictest",
            ),
        ],
        outputs: &[
            output("voltage_step", Kind::Ratio, "%", "change of voltage"),
            output("frequency_step", Kind::Ratio, "%", "change of frequency"),
            output(
                "used",
                Kind::Ratio,
                "%",
                "of what the class allows, the larger of both",
            ),
            word("class", "performance class"),
        ],
        formula: "d = x_during / x_before − 1 for both; voltage −20/+25 %, frequency −10/+12 % in class G2; −25/+35, −15/+18 in G1; −15/+20, −7/+10 in G3 (x: voltage or frequency)",
        valid: "the largest step that the set must take; a drive's own limits may be narrower than the class",
        sources: &[
            "iso-8528-5: operating limit values (from memory)",
            "practice",
        ],
        expect: &["a dip of no more than the class allows, recovered within some seconds"],
        bands: &[
            band(
                "used > 100 %",
                Verdict::Bad,
                "More than the class allows: step the load, slow the ramps, or look at governor and regulator.",
                "iso-8528-5",
            ),
            band(
                "used > 80 %",
                Verdict::Suspect,
                "Close to what the class allows.",
                "practice",
            ),
            band("", Verdict::Normal, "Within the class.", "iso-8528-5"),
        ],
        doubtful: &["used > 500 %"],
        example: Example {
            inputs: &[
                ("voltage_before", "400 V"),
                ("voltage_during", "340 V"),
                ("frequency_before", "50 Hz"),
                ("frequency_during", "47 Hz"),
                ("rule", "G2"),
            ],
            output: ("used", "75 %"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let class = inputs.word("rule").unwrap_or("G2");
            let limits = step_limits(Some(class));
            let voltage = inputs
                .voltage("voltage_during")
                .zip(inputs.voltage("voltage_before"))
                .map(|(during, before)| -> Ratio { during / before - share(1.0) });
            let frequency = inputs
                .frequency("frequency_during")
                .zip(inputs.frequency("frequency_before"))
                .map(|(during, before)| -> Ratio { during / before - share(1.0) });
            let most = voltage.zip(frequency).map(|(u, f)| {
                let by_voltage = used(number(u), limits.voltage_dip, limits.voltage_rise);
                let by_frequency = used(number(f), limits.frequency_dip, limits.frequency_rise);
                share(by_voltage.max(by_frequency))
            });
            Ok(Outputs::new()
                .with_some("voltage_step", voltage)
                .with_some("frequency_step", frequency)
                .with_some("used", most)
                .with_word("class", class)
                .note(format!(
                    "Judged by class {class} of ISO 8528-5, from memory."
                )))
        },
    },
];
