//! What a drive shows of its motor's speed against what the shaft does.

use uom::si::f64::{AngularVelocity, Ratio};

use super::define::{
    Check, CheckError, Example, Input, Outputs, Verdict, band, output, reading, word,
};
use super::shared::{contradiction, number};
use crate::quantity::Kind;

/// Displayed over measured speed.
///
/// Formula: `r = n_shown / n`
/// Symbols: `n_shown` on the display, `n` by tachometer [r/min]
/// Errors:  a shaft that stands still
/// Source:  practice
pub fn display_ratio(
    shown: AngularVelocity,
    measured: AngularVelocity,
) -> Result<Ratio, CheckError> {
    if measured.value <= 0.0 {
        return Err(contradiction(
            "the shaft stands still: measure it while it runs steadily",
        ));
    }
    Ok(shown / measured)
}

/// What a wrong ratio looks like: pole numbers that were mixed up give 2/4, 4/6, 6/8 and their like.
///
/// Source: derived from `n = 120 · f / p`
pub fn ratio_looks_like(ratio: Ratio) -> &'static str {
    let ratio = number(ratio);
    let near = |figure: f64| (ratio / figure - 1.0).abs() <= 0.06;
    match ratio {
        r if (0.99..=1.06).contains(&r) => "as it should be",
        _ if near(2.0) => "twice: half the poles set, 2 for 4 or 4 for 8",
        _ if near(0.5) => "half: twice the poles set, 4 for 2 or 8 for 4",
        _ if near(1.5) => "one and a half: 4 poles set for 6",
        _ if near(2.0 / 3.0) => "two thirds: 6 poles set for 4",
        _ if near(4.0 / 3.0) => "four thirds: 6 poles set for 8",
        _ if near(0.75) => "three quarters: 8 poles set for 6",
        _ if near(60.0 / 50.0) => "six fifths: 60 Hz set for 50 Hz",
        _ if near(50.0 / 60.0) => "five sixths: 50 Hz set for 60 Hz",
        _ => "no usual mix-up: a gear, a pulley or a display scale",
    }
}

const DISPLAYED_SPEED: Input = reading(
    "displayed_speed",
    Kind::Speed,
    "rpm",
    ("0 rpm", "120000 rpm"),
    "speed on the drive's display while it runs steadily",
);

const SHAFT_SPEED: Input = reading(
    "measured_speed",
    Kind::Speed,
    "rpm",
    ("0 rpm", "120000 rpm"),
    "speed of the motor's shaft, by tachometer or strobe, at the same moment",
);

/// The checks of this area.
pub const CHECKS: &[Check] = &[Check {
    name: "speed-display",
    purpose: "Speed that the drive shows against the shaft, and what a wrong ratio points to",
    inputs: &[DISPLAYED_SPEED, SHAFT_SPEED],
    outputs: &[
        output(
            "ratio",
            Kind::Ratio,
            "%",
            "displayed against measured speed",
        ),
        word("looks_like", "what that looks like"),
    ],
    formula: "r = n_shown / n (n_shown: on the display; n: measured at the shaft)",
    valid: "steady running, the motor's own shaft; without a speed sensor a display may stand above the shaft by the slip, up to 6 %",
    sources: &[
        "practice",
        "fitzgerald-electric-machinery: ch. 4 (from memory)",
    ],
    expect: &["the same, or above the shaft by the motor's slip"],
    bands: &[
        band(
            "ratio > 112 %",
            Verdict::Bad,
            "Far above the shaft: poles, rated speed or the display's scale are set wrong.",
            "practice",
        ),
        band(
            "ratio < 90 %",
            Verdict::Bad,
            "Far below the shaft: poles, rated speed or the display's scale are set wrong.",
            "practice",
        ),
        band(
            "ratio > 106 %",
            Verdict::Suspect,
            "More than slip explains: a loaded motor near its limit, or a wrong rated speed.",
            "practice",
        ),
        band(
            "ratio < 99 %",
            Verdict::Suspect,
            "Below the shaft: the load drives the motor, or the rated speed is set too low.",
            "practice",
        ),
        band("", Verdict::Normal, "Equal within slip.", "practice"),
    ],
    doubtful: &["ratio > 1000 %"],
    example: Example {
        inputs: &[
            ("displayed_speed", "1500 rpm"),
            ("measured_speed", "974 rpm"),
        ],
        output: ("ratio", "154 %"),
        tolerance: 1e-4,
    },
    compute: |inputs| {
        let ratio = inputs
            .speed("displayed_speed")
            .zip(inputs.speed("measured_speed"))
            .map(|(shown, measured)| display_ratio(shown, measured))
            .transpose()?;
        let outputs = Outputs::new().with_some("ratio", ratio);
        Ok(match ratio {
            Some(ratio) => outputs.with_word("looks_like", ratio_looks_like(ratio)),
            None => outputs,
        })
    },
}];
