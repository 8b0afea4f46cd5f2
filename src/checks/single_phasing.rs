//! A three-phase motor with one line open, and what three currents tell.

use uom::si::f64::{ElectricCurrent, Ratio};

use super::define::{
    Check, Example, Input, Outputs, Verdict, assumed, band, band_if_known, nameplate, optional,
    output, word,
};
use super::shared::{
    CURRENT_L1, CURRENT_L2, CURRENT_L3, MOTOR_CURRENT, MOTOR_RATED_CURRENT, number, share,
    three_currents,
};
use super::unbalance::{PhaseSpread, current_spread};
use crate::quantity::Kind;

/// Current of the two live lines when one is open, relative to three-phase running.
///
/// Formula: `√3`, as `P = √3 · U · I₃ = U · I₁`
/// Valid:   same shaft power, power factor and efficiency; in the field 1.7 to 2
/// Source:  fitzgerald-electric-machinery, app. A (from memory)
pub fn line_current_multiple() -> Ratio {
    share(3f64.sqrt())
}

/// Load up to which the two live lines stay within rated current: `1/√3` of rated load.
///
/// Source: as for [`line_current_multiple`]
pub fn hidden_load() -> Ratio {
    share(1.0) / line_current_multiple()
}

/// Current of the winding that a delta-connected motor has between its two live lines, relative
/// to the same winding in three-phase running.
///
/// Formula: `(2/3 · √3 · I) / (I / √3) = 2`
/// Symbols: `I` line current in three-phase running [A]; one winding in parallel with two in series
/// Valid:   as for [`line_current_multiple`]
/// Source:  fitzgerald-electric-machinery, app. A (from memory)
pub fn delta_winding_multiple() -> Ratio {
    line_current_multiple() * (2.0 / 3.0) / share(1.0 / 3f64.sqrt())
}

/// Current in the two live lines when one is open, at a share of rated load.
///
/// Formula: `I = √3 · b · I_r`
/// Symbols: `I_r` rated current [A]; `b` load, of rated
/// Valid:   a motor that was running when the line opened; at rest it does not start
/// Source:  as for [`line_current_multiple`]
pub fn open_line_current(rated: ElectricCurrent, load: Ratio) -> ElectricCurrent {
    rated * load * line_current_multiple()
}

/// Below this share of the mean a line counts as open. Source: practice
const OPEN_BELOW: f64 = 0.10;
/// Above this multiple of rated current a motor is starting or held. Source: practice
const STARTING_ABOVE: f64 = 4.0;
/// Above this unbalance three currents count as unbalanced. Source: practice
const UNBALANCED_ABOVE: f64 = 0.10;

fn pattern(
    lines: [ElectricCurrent; 3],
    spread: &PhaseSpread<ElectricCurrent>,
    highest_ratio: Option<Ratio>,
) -> &'static str {
    if number(spread.lowest_share) < OPEN_BELOW {
        let [first, second, third] = lines;
        return if first <= second && first <= third {
            "line 1 open"
        } else if second <= third {
            "line 2 open"
        } else {
            "line 3 open"
        };
    }
    if highest_ratio.is_some_and(|ratio| number(ratio) > STARTING_ABOVE) {
        return "starting or held";
    }
    if number(spread.unbalance) > UNBALANCED_ABOVE {
        "unbalanced"
    } else {
        "balanced"
    }
}

const LOAD_SHARE: Input = nameplate(
    "load_share",
    Kind::Ratio,
    "%",
    ("0 %", "150 %"),
    "load of the motor, of rated load",
);

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "single-phasing",
        purpose: "Currents of a motor that goes on running with one line open",
        inputs: &[
            MOTOR_RATED_CURRENT,
            assumed(LOAD_SHARE, "100 %"),
            optional(MOTOR_CURRENT),
        ],
        outputs: &[
            output(
                "line_current",
                Kind::Current,
                "A",
                "current in the two live lines",
            ),
            output(
                "multiple",
                Kind::Ratio,
                "%",
                "that current against three-phase running",
            ),
            output(
                "delta_winding_multiple",
                Kind::Ratio,
                "%",
                "worst winding of a delta motor against three-phase running",
            ),
            output(
                "hidden_load",
                Kind::Ratio,
                "%",
                "load up to which the lines stay within rated current",
            ),
            output(
                "ratio",
                Kind::Ratio,
                "%",
                "reading against the current computed",
            ),
        ],
        formula: "I = √3 · b · I_r; worst delta winding 2 ×; hidden up to 1/√3 of rated load \
                  (b: load; I_r: rated current)",
        valid: "motor that was running when the line opened; same shaft power; in the field 1.7 to 2 × rated",
        sources: &[
            "fitzgerald-electric-machinery: app. A (from memory)",
            "practice",
        ],
        expect: &[
            "two lines at {line_current}, the third at zero, if one line is open; at most {motor_rated_current} if none is",
        ],
        bands: &[
            band(
                "ratio > 80 %",
                Verdict::Suspect,
                "As much as with one line open: clamp all three lines.",
                "practice",
            ),
            band(
                "",
                Verdict::Normal,
                "Less than one open line would bring at this load. At part load an open line hides: clamp all three lines if in doubt.",
                "practice",
            ),
        ],
        doubtful: &["ratio > 600 %"],
        example: Example {
            inputs: &[("motor_rated_current", "27 A")],
            output: ("line_current", "46.77 A"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let expected = inputs
                .current("motor_rated_current")
                .zip(inputs.ratio("load_share"))
                .map(|(rated, load)| open_line_current(rated, load));
            let ratio = inputs
                .current("motor_current")
                .zip(expected)
                .filter(|(_, expected)| expected.value > 0.0)
                .map(|(current, expected)| current / expected);
            Ok(Outputs::new()
                .with_some("line_current", expected)
                .with("multiple", line_current_multiple())
                .with("delta_winding_multiple", delta_winding_multiple())
                .with("hidden_load", hidden_load())
                .with_some("ratio", ratio)
                .note("A motor at rest does not start with one line open: it hums and heats."))
        },
    },
    Check {
        name: "line-current-pattern",
        purpose: "What three line currents tell: balanced, unbalanced, a line open, starting or held",
        inputs: &[
            CURRENT_L1,
            CURRENT_L2,
            CURRENT_L3,
            optional(MOTOR_RATED_CURRENT),
        ],
        outputs: &[
            word("pattern", "what the three currents look like"),
            output(
                "lowest_share",
                Kind::Ratio,
                "%",
                "lowest of the three against the mean",
            ),
            output(
                "unbalance",
                Kind::Ratio,
                "%",
                "largest deviation from the mean",
            ),
            output(
                "highest_ratio",
                Kind::Ratio,
                "%",
                "highest of the three against rated current",
            ),
        ],
        formula: "open: lowest < 10 % of the mean; starting or held: highest > 4 × rated; \
                  unbalanced: max|I_i − I_m| > 10 % of the mean",
        valid: "rms currents read at one load; a drive's output needs a clamp that reads pulsed currents",
        sources: &["practice", "nema-mg1: 14.36"],
        expect: &[
            "three currents within 10 % of their mean, at most {motor_rated_current}",
            "three currents within 10 % of their mean",
        ],
        bands: &[
            band(
                "lowest_share < 10 %",
                Verdict::Bad,
                "One line is open: fuse, contact, terminal, lead, or a power device of the drive.",
                "practice",
            ),
            band_if_known(
                "highest_ratio > 400 %",
                Verdict::Suspect,
                "As while starting across the line, or held fast: if it lasts, switch off and see what holds it.",
                "practice",
            ),
            band(
                "unbalance > 10 %",
                Verdict::Suspect,
                "Unbalanced: see whether the odd one follows the line or the motor.",
                "practice",
            ),
            band("", Verdict::Normal, "Three lines carry alike.", "practice"),
        ],
        doubtful: &["highest_ratio > 1200 %"],
        example: Example {
            inputs: &[
                ("current_l1", "46 A"),
                ("current_l2", "46 A"),
                ("current_l3", "0 A"),
            ],
            output: ("pattern", "line 3 open"),
            tolerance: 0.0,
        },
        compute: |inputs| {
            let Some(lines) = three_currents(inputs) else {
                return Ok(Outputs::new());
            };
            let spread = current_spread(lines)?;
            let [first, second, third] = lines;
            let highest_ratio = inputs
                .current("motor_rated_current")
                .map(|rated| first.max(second).max(third) / rated);
            Ok(Outputs::new()
                .with_word("pattern", pattern(lines, &spread, highest_ratio))
                .with("lowest_share", spread.lowest_share)
                .with("unbalance", spread.unbalance)
                .with_some("highest_ratio", highest_ratio))
        },
    },
];
