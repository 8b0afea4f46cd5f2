//! Unbalance of three voltages or three currents, by each of the definitions in use.

use uom::si::f64::{ElectricCurrent, ElectricPotential, Ratio};

use super::define::{
    Check, CheckError, Example, Input, Outputs, Verdict, band, choice, nameplate, optional, output,
    reading,
};
use super::shared::{
    CURRENT_L1, CURRENT_L2, CURRENT_L3, VOLTAGE_L1_L2, VOLTAGE_L2_L3, VOLTAGE_L3_L1, contradiction,
    number, share, three_currents, three_voltages,
};
use crate::quantity::Kind;

/// How three like values lie around their mean.
#[derive(Clone, Copy, Debug)]
pub struct PhaseSpread<Q> {
    /// Mean of the three.
    pub mean: Q,
    /// Largest deviation from the mean, relative to it: the NEMA unbalance.
    pub unbalance: Ratio,
    /// Lowest of the three, relative to the mean.
    pub lowest_share: Ratio,
    /// Highest less lowest, relative to the mean: not an unbalance by any standard.
    pub spread: Ratio,
}

/// Unbalance of three line-to-line voltages as NEMA defines it, with its companions.
///
/// Formula: `u = max|U_i − U_m| / U_m`
/// Symbols: `U_i` the three line voltages [V]; `U_m` their mean [V]
/// Valid:   line-to-line rms voltages, mean above zero
/// Errors:  three voltages of zero
/// Source:  nema-mg1, 14.36
pub fn phase_spread(
    lines: [ElectricPotential; 3],
) -> Result<PhaseSpread<ElectricPotential>, CheckError> {
    let spread = numbers_spread(lines.map(|line| line.value))
        .ok_or_else(|| contradiction("no voltage on any line: there is no unbalance to compute"))?;
    let [first, second, third] = lines;
    Ok(PhaseSpread {
        mean: (first + second + third) / 3.0,
        unbalance: spread.unbalance,
        lowest_share: spread.lowest_share,
        spread: spread.spread,
    })
}

/// Unbalance of three line currents, by the same definition.
///
/// Formula: `u = max|I_i − I_m| / I_m`
/// Symbols: `I_i` the three line currents [A]; `I_m` their mean [A]
/// Valid:   rms currents at one load, mean above zero
/// Errors:  three currents of zero
/// Source:  nema-mg1, 14.36
pub fn current_spread(
    lines: [ElectricCurrent; 3],
) -> Result<PhaseSpread<ElectricCurrent>, CheckError> {
    let spread = numbers_spread(lines.map(|line| line.value))
        .ok_or_else(|| contradiction("no current in any line: there is no unbalance to compute"))?;
    let [first, second, third] = lines;
    Ok(PhaseSpread {
        mean: (first + second + third) / 3.0,
        unbalance: spread.unbalance,
        lowest_share: spread.lowest_share,
        spread: spread.spread,
    })
}

fn numbers_spread(values: [f64; 3]) -> Option<PhaseSpread<f64>> {
    let mean = values.iter().sum::<f64>() / 3.0;
    let lowest = values.iter().copied().fold(f64::INFINITY, f64::min);
    let highest = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    (mean > 0.0).then(|| PhaseSpread {
        mean,
        unbalance: share((highest - mean).max(mean - lowest) / mean),
        lowest_share: share(lowest / mean),
        spread: share((highest - lowest) / mean),
    })
}

/// Negative-sequence unbalance `|U2|/|U1|` from three line-to-line voltages.
///
/// Formula: `β = ΣU⁴ / (ΣU²)²`, `|U2|/|U1| = √((1 − √(3 − 6β)) / (1 + √(3 − 6β)))`
/// Symbols: `U` the three line voltages [V]
/// Valid:   voltages that close a triangle; 2 % of meter error is let pass and counts as 100 %
/// Errors:  three voltages of zero; one longer than the other two together
/// Source:  iec-61000-4-30, 5.7 (from memory)
pub fn negative_sequence(lines: [ElectricPotential; 3]) -> Result<Ratio, CheckError> {
    let [a, b, c] = lines.map(|line| line.value);
    let longest = a.max(b).max(c);
    if longest <= 0.0 {
        return Err(contradiction(
            "no voltage on any line: there is no unbalance to compute",
        ));
    }
    if longest > (a + b + c - longest) * 1.02 {
        return Err(contradiction(
            "three line voltages close a triangle, so none can be larger than the other two together; \
             measure line to line again",
        ));
    }
    let squares = a * a + b * b + c * c;
    let beta = (a.powi(4) + b.powi(4) + c.powi(4)) / (squares * squares);
    let root = (3.0 - 6.0 * beta).clamp(0.0, 1.0).sqrt();
    Ok(share(((1.0 - root) / (1.0 + root)).sqrt()))
}

/// What a motor may still give on an unbalanced supply, relative to its rated power.
///
/// Formula: straight lines between points read off the curve
/// Symbols: `unbalance` by the NEMA definition [%]
/// Valid:   motor fed straight from the line, 0 to 5 %; the curve reads to ±0.02
/// Errors:  none; above 5 % nothing is given, as the motor should not run
/// Source:  nema-mg1, 14.36, curve
pub fn unbalance_derating(unbalance: Ratio) -> Option<Ratio> {
    let percent = number(unbalance) * 100.0;
    if percent < DERATING_CURVE[0].0 {
        return Some(share(1.0));
    }
    DERATING_CURVE.windows(2).find_map(|pair| {
        let [(from, high), (to, low)] = [pair[0], pair[1]];
        (percent >= from && percent <= to + 1e-9)
            .then(|| share(high + (low - high) * (percent - from) / (to - from)))
    })
}

/// Points of the derating curve: unbalance [%] and share of rated power.
const DERATING_CURVE: [(f64, f64); 9] = [
    (0.5, 1.00),
    (1.5, 0.97),
    (2.0, 0.95),
    (2.5, 0.93),
    (3.0, 0.89),
    (3.5, 0.85),
    (4.0, 0.82),
    (4.5, 0.78),
    (5.0, 0.76),
];

/// Rise of a motor's winding temperature that unbalance adds, relative to its normal rise.
///
/// Formula: `Δ = 2 · u²` with both in percent
/// Symbols: `u` unbalance by the NEMA definition [%]; `Δ` added temperature rise [%]
/// Valid:   motor fed straight from the line; a rule of thumb, good to a fifth
/// Source:  nema-mg1, 14.36 (from memory)
pub fn added_temperature_rise(unbalance: Ratio) -> Ratio {
    let percent = number(unbalance) * 100.0;
    share(2.0 * percent * percent / 100.0)
}

/// How many times the voltage unbalance a motor's current unbalance is, from and to.
///
/// Source: nema-mg1, 14.36 (from memory)
pub const CURRENT_PER_VOLTAGE_UNBALANCE: (f64, f64) = (6.0, 10.0);

/// Largest negative-sequence unbalance by each rule. All from memory.
pub const NEGATIVE_SEQUENCE_LIMITS: &[(&str, f64, &str)] = &[
    (
        "en-50160",
        0.02,
        "EN 50160: 2 % for 95 % of the ten-minute means of a week, 3 % in some areas (from memory).",
    ),
    (
        "iec-61000-2-4-class-2",
        0.02,
        "IEC 61000-2-4 class 2, industrial network: 2 % (from memory).",
    ),
    (
        "iec-61000-2-4-class-3",
        0.03,
        "IEC 61000-2-4 class 3, industrial network with large drives: 3 % (from memory).",
    ),
];

const VOLTAGE_UNBALANCE: Input = nameplate(
    "voltage_unbalance",
    Kind::Ratio,
    "%",
    ("0 %", "5 %"),
    "voltage unbalance by the NEMA definition, from the check of that name",
);
const CURRENT_UNBALANCE: Input = reading(
    "current_unbalance",
    Kind::Ratio,
    "%",
    ("0 %", "200 %"),
    "current unbalance, from the check of that name",
);

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "voltage-unbalance",
        purpose: "Unbalance of the three line voltages as NEMA defines it",
        inputs: &[VOLTAGE_L1_L2, VOLTAGE_L2_L3, VOLTAGE_L3_L1],
        outputs: &[
            output(
                "unbalance",
                Kind::Ratio,
                "%",
                "NEMA unbalance: largest deviation from the mean",
            ),
            output("mean_voltage", Kind::Voltage, "V", "mean of the three"),
            output(
                "lowest_share",
                Kind::Ratio,
                "%",
                "lowest of the three against the mean",
            ),
            output(
                "spread",
                Kind::Ratio,
                "%",
                "highest less lowest against the mean: not the NEMA figure",
            ),
        ],
        formula: "u = max|U_i − U_m| / U_m (U_i: line voltages; U_m: their mean)",
        valid: "line-to-line rms voltages; line to earth or to star point gives another figure",
        sources: &[
            "nema-mg1: 14.36",
            "nema-mg1: 12.45",
            "ansi-c84-1: Annex C",
            "practice",
        ],
        expect: &["three voltages within 1 % of their mean"],
        bands: &[
            band(
                "unbalance > 5 %",
                Verdict::Bad,
                "No motor should run on this straight from the line: a line is weak or missing.",
                "nema-mg1",
            ),
            band(
                "unbalance > 3 %",
                Verdict::Bad,
                "More than a supply should have without load: find the cause.",
                "ansi-c84-1",
            ),
            band(
                "unbalance > 2 %",
                Verdict::Suspect,
                "More than usual: a drive's input currents spread far more than its voltages.",
                "practice",
            ),
            band(
                "unbalance > 1 %",
                Verdict::Normal,
                "Acceptable; a motor fed straight from this supply is to be derated a little.",
                "nema-mg1",
            ),
            band(
                "",
                Verdict::Normal,
                "Balanced: motors are built for up to 1 %.",
                "nema-mg1",
            ),
        ],
        doubtful: &["mean_voltage < 50 V"],
        example: Example {
            inputs: &[
                ("voltage_l1_l2", "480 V"),
                ("voltage_l2_l3", "476 V"),
                ("voltage_l3_l1", "472 V"),
            ],
            output: ("unbalance", "0.8403 %"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let spread = three_voltages(inputs).map(phase_spread).transpose()?;
            Ok(match spread {
                Some(spread) => Outputs::new()
                    .with("unbalance", spread.unbalance)
                    .with("mean_voltage", spread.mean)
                    .with("lowest_share", spread.lowest_share)
                    .with("spread", spread.spread)
                    .note("NEMA definition: largest deviation from the mean. |U2|/|U1| of IEC and EN is negative-sequence-unbalance; largest less smallest over the mean is neither."),
                None => Outputs::new(),
            })
        },
    },
    Check {
        name: "negative-sequence-unbalance",
        purpose: "Unbalance of the three line voltages as IEC and EN define it",
        inputs: &[
            VOLTAGE_L1_L2,
            VOLTAGE_L2_L3,
            VOLTAGE_L3_L1,
            choice(
                "rule",
                &["en-50160", "iec-61000-2-4-class-2", "iec-61000-2-4-class-3"],
                "which standard's limit is used",
            ),
        ],
        outputs: &[
            output(
                "unbalance",
                Kind::Ratio,
                "%",
                "negative against positive sequence, |U2|/|U1|",
            ),
            output("limit", Kind::Ratio, "%", "largest unbalance by the rule"),
            output("share", Kind::Ratio, "%", "unbalance against that limit"),
        ],
        formula: "β = ΣU⁴ / (ΣU²)², u = √((1 − √(3 − 6β)) / (1 + √(3 − 6β))) (U: line voltages)",
        valid: "line-to-line rms voltages, which close a triangle; ten-minute means for the limit",
        sources: &[
            "iec-61000-4-30: 5.7 (from memory)",
            "en-50160: 4.2.4 (from memory)",
            "iec-61000-2-4: Table 1 (from memory)",
        ],
        expect: &["three nearly equal voltages: an unbalance below {limit}"],
        bands: &[
            band(
                "share > 100 %",
                Verdict::Bad,
                "More unbalance than the chosen standard allows.",
                "memory",
            ),
            band(
                "",
                Verdict::Normal,
                "Within what the chosen standard allows.",
                "memory",
            ),
        ],
        doubtful: &["unbalance > 50 %"],
        example: Example {
            inputs: &[
                ("voltage_l1_l2", "460 V"),
                ("voltage_l2_l3", "467 V"),
                ("voltage_l3_l1", "450 V"),
            ],
            output: ("unbalance", "2.146 %"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let (_, limit, note) = NEGATIVE_SEQUENCE_LIMITS
                .iter()
                .find(|(rule, _, _)| Some(*rule) == inputs.word("rule"))
                .ok_or_else(|| contradiction("no such rule; whytrip check shows the choices"))?;
            let unbalance = three_voltages(inputs).map(negative_sequence).transpose()?;
            Ok(Outputs::new()
                .with_some("unbalance", unbalance)
                .with("limit", share(*limit))
                .with_some(
                    "share",
                    unbalance.map(|unbalance| unbalance / share(*limit)),
                )
                .note(*note))
        },
    },
    Check {
        name: "current-unbalance",
        purpose: "Unbalance of the three line currents",
        inputs: &[CURRENT_L1, CURRENT_L2, CURRENT_L3],
        outputs: &[
            output(
                "unbalance",
                Kind::Ratio,
                "%",
                "largest deviation from the mean",
            ),
            output(
                "lowest_share",
                Kind::Ratio,
                "%",
                "lowest of the three against the mean",
            ),
            output("mean_current", Kind::Current, "A", "mean of the three"),
        ],
        formula: "u = max|I_i − I_m| / I_m (I_i: line currents; I_m: their mean)",
        valid: "rms currents at one steady load near rated; at light load they always differ more",
        sources: &["nema-mg1: 14.36", "practice"],
        expect: &["three currents within 10 % of their mean"],
        bands: &[
            band(
                "lowest_share < 10 %",
                Verdict::Bad,
                "One line carries next to nothing: it is open.",
                "practice",
            ),
            band(
                "unbalance > 10 %",
                Verdict::Suspect,
                "More than usual under load: compare with the voltages, and see whether the odd one follows the line or the motor.",
                "practice",
            ),
            band("", Verdict::Normal, "Balanced.", "practice"),
        ],
        doubtful: &["mean_current < 0.05 A"],
        example: Example {
            inputs: &[
                ("current_l1", "27.0 A"),
                ("current_l2", "25.2 A"),
                ("current_l3", "24.0 A"),
            ],
            output: ("unbalance", "6.299 %"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let spread = three_currents(inputs).map(current_spread).transpose()?;
            Ok(match spread {
                Some(spread) => Outputs::new()
                    .with("unbalance", spread.unbalance)
                    .with("lowest_share", spread.lowest_share)
                    .with("mean_current", spread.mean),
                None => Outputs::new(),
            })
        },
    },
    Check {
        name: "unbalance-derating",
        purpose: "What a line-fed motor may still give on an unbalanced supply",
        inputs: &[VOLTAGE_UNBALANCE],
        outputs: &[
            output(
                "derating",
                Kind::Ratio,
                "%",
                "share of rated power that it may give",
            ),
            output(
                "added_temperature_rise",
                Kind::Ratio,
                "%",
                "added to the winding's temperature rise",
            ),
        ],
        formula: "derating: points of the NEMA curve, straight lines between; Δ = 2 · u² in percent \
                  (u: NEMA unbalance)",
        valid: "motor fed straight from the line, 0 to 5 %; not for a drive's input",
        sources: &[
            "nema-mg1: 14.36",
            "nema-mg1: 14.36, temperature rule (from memory)",
        ],
        expect: &[],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[("voltage_unbalance", "3 %")],
            output: ("derating", "89 %"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let unbalance = inputs.ratio("voltage_unbalance");
            Ok(Outputs::new()
                .with_some("derating", unbalance.and_then(unbalance_derating))
                .with_some(
                    "added_temperature_rise",
                    unbalance.map(added_temperature_rise),
                )
                .note("Read off a curve: good to ±2 % of rated power. The temperature rule is good to a fifth."))
        },
    },
    Check {
        name: "current-unbalance-from-voltage",
        purpose: "Whether the supply's unbalance explains a line-fed motor's current unbalance",
        inputs: &[VOLTAGE_UNBALANCE, optional(CURRENT_UNBALANCE)],
        outputs: &[
            output(
                "lowest_expected",
                Kind::Ratio,
                "%",
                "current unbalance that the supply causes, from",
            ),
            output(
                "highest_expected",
                Kind::Ratio,
                "%",
                "current unbalance that the supply causes, to",
            ),
            output(
                "unexplained",
                Kind::Ratio,
                "%",
                "current unbalance above that",
            ),
        ],
        formula: "u_I = 6 to 10 × u_U (u_I, u_U: unbalance of current and voltage)",
        valid: "motor fed straight from the line, near rated load",
        sources: &["nema-mg1: 14.36 (from memory)"],
        expect: &["{lowest_expected} to {highest_expected}, 6 to 10 times the voltage unbalance"],
        bands: &[
            band(
                "unexplained > 0 %",
                Verdict::Suspect,
                "More than the supply explains: look at the motor, its connections and its cable.",
                "memory",
            ),
            band(
                "",
                Verdict::Normal,
                "The supply's unbalance explains it.",
                "memory",
            ),
        ],
        doubtful: &[],
        example: Example {
            inputs: &[("voltage_unbalance", "3 %"), ("current_unbalance", "25 %")],
            output: ("highest_expected", "30 %"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let (least, most) = CURRENT_PER_VOLTAGE_UNBALANCE;
            let voltage = inputs.ratio("voltage_unbalance");
            let highest = voltage.map(|voltage| voltage * most);
            let unexplained = inputs
                .ratio("current_unbalance")
                .zip(highest)
                .map(|(current, highest)| (current - highest).max(share(0.0)));
            Ok(Outputs::new()
                .with_some("lowest_expected", voltage.map(|voltage| voltage * least))
                .with_some("highest_expected", highest)
                .with_some("unexplained", unexplained))
        },
    },
];
