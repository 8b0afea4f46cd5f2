//! The supply against the limits that standards set for voltage, frequency and distortion.

use uom::si::f64::{ElectricPotential, Frequency, Ratio};

use super::define::{
    Check, CheckError, Example, Input, Outputs, Verdict, band, choice, optional, output, reading,
    word,
};
use super::shared::{
    LINE_VOLTAGE, MEASURED_FREQUENCY, MOTOR_RATED_FREQUENCY, MOTOR_RATED_VOLTAGE, SUPPLY_FREQUENCY,
    SUPPLY_VOLTAGE, VOLTAGE_L1_L2, VOLTAGE_L2_L3, VOLTAGE_L3_L1, beyond, contradiction, number,
    share, three_voltages,
};
use super::unbalance::phase_spread;
use crate::quantity::Kind;

/// What one rule allows, as shares of the nominal value.
#[derive(Debug)]
pub struct Allowed {
    /// The rule's name, as it is chosen.
    pub rule: &'static str,
    /// Where the value normally lies.
    pub normal: (f64, f64),
    /// Where it may lie for a time, or as the outermost limit.
    pub tolerated: (f64, f64),
    /// What a value is called that is normal, tolerated or neither.
    pub words: [&'static str; 3],
    /// Which standard and what it says.
    pub note: &'static str,
}

const PLAIN_WORDS: [&str; 3] = ["normal", "tolerated", "outside"];
const RANGES: [&str; 3] = ["range A", "range B", "outside"];

/// Supply voltage: what each standard allows. All limits from memory.
pub const VOLTAGE_RULES: &[Allowed] = &[
    Allowed {
        rule: "en-50160",
        normal: (0.90, 1.10),
        tolerated: (0.85, 1.10),
        words: PLAIN_WORDS,
        note: "EN 50160, public low voltage: ±10 % for 95 % of a week, +10/-15 % always (from memory). It leaves industrial networks out.",
    },
    Allowed {
        rule: "iec-60038",
        normal: (0.90, 1.10),
        tolerated: (0.90, 1.10),
        words: PLAIN_WORDS,
        note: "IEC 60038, supply terminals: ±10 % (from memory).",
    },
    Allowed {
        rule: "iec-61000-2-4-class-2",
        normal: (0.90, 1.10),
        tolerated: (0.90, 1.10),
        words: PLAIN_WORDS,
        note: "IEC 61000-2-4 class 2, industrial network: ±10 % (from memory).",
    },
    Allowed {
        rule: "iec-61000-2-4-class-3",
        normal: (0.85, 1.10),
        tolerated: (0.85, 1.10),
        words: PLAIN_WORDS,
        note: "IEC 61000-2-4 class 3, industrial network with large drives: +10/-15 % (from memory).",
    },
    Allowed {
        rule: "ansi-c84-1-service",
        normal: (114.0 / 120.0, 126.0 / 120.0),
        tolerated: (110.0 / 120.0, 127.0 / 120.0),
        words: RANGES,
        note: "ANSI C84.1 at the service entrance, on the 120 V base; its table rounds to whole volts (from memory).",
    },
    Allowed {
        rule: "ansi-c84-1-utilization",
        normal: (108.0 / 120.0, 126.0 / 120.0),
        tolerated: (104.0 / 120.0, 127.0 / 120.0),
        words: RANGES,
        note: "ANSI C84.1 at the equipment, circuits without lighting, on the 120 V base; its table rounds to whole volts (from memory).",
    },
    Allowed {
        rule: "ansi-c84-1-lighting",
        normal: (110.0 / 120.0, 125.0 / 120.0),
        tolerated: (106.0 / 120.0, 127.0 / 120.0),
        words: RANGES,
        note: "ANSI C84.1 at the equipment, circuits with lighting, on the 120 V base; its table rounds to whole volts (from memory).",
    },
];

/// Supply frequency: what EN 50160 allows. All limits from memory.
pub const FREQUENCY_RULES: &[Allowed] = &[
    Allowed {
        rule: "interconnected",
        normal: (0.99, 1.01),
        tolerated: (0.94, 1.04),
        words: PLAIN_WORDS,
        note: "EN 50160, interconnected grid: ±1 % for 99.5 % of a year, +4/-6 % always (from memory); applied to 60 Hz in proportion (common practice).",
    },
    Allowed {
        rule: "island",
        normal: (0.98, 1.02),
        tolerated: (0.85, 1.15),
        words: PLAIN_WORDS,
        note: "EN 50160, island network: ±2 % for 95 % of a week, ±15 % always (from memory); applied to 60 Hz in proportion (common practice).",
    },
];

/// Largest total harmonic distortion of the voltage in a public low-voltage network: 8 %.
///
/// Source: en-50160, 4.2.5 (from memory)
pub const VOLTAGE_DISTORTION_LIMIT: f64 = 0.08;

/// The rule called `name`.
///
/// # Errors
/// [`CheckError::Contradiction`] for a name that is no rule.
pub fn rule_named(
    rules: &'static [Allowed],
    name: Option<&str>,
) -> Result<&'static Allowed, CheckError> {
    rules
        .iter()
        .find(|allowed| Some(allowed.rule) == name)
        .ok_or_else(|| contradiction("no such rule; whytrip check shows the choices"))
}

/// How far a value lies from nominal.
///
/// Formula: `d = x / x_n − 1`
/// Symbols: `x` measured voltage [V]; `x_n` nominal voltage [V]
/// Valid:   both of the same kind: line to line, or line to star point
/// Source:  iec-60038, 3 (from memory)
pub fn voltage_deviation(measured: ElectricPotential, nominal: ElectricPotential) -> Ratio {
    measured / nominal - share(1.0)
}

/// How much of a motor's voltage and frequency tolerance is used up; above 1 it is exceeded.
///
/// Formula: `u = max(|ΔU|/10 %, |Δf|/5 %, (|ΔU| + |Δf|)/10 %)`
/// Symbols: `ΔU`, `Δf` deviation of voltage and frequency from the nameplate [%]
/// Valid:   motor fed straight from the line
/// Source:  nema-mg1, 12.44
pub fn motor_tolerance_used(voltage_deviation: Ratio, frequency_deviation: Ratio) -> Ratio {
    let voltage = number(voltage_deviation).abs();
    let frequency = number(frequency_deviation).abs();
    share(
        (voltage / 0.10)
            .max(frequency / 0.05)
            .max((voltage + frequency) / 0.10),
    )
}

/// Voltage lost in a dip, relative to the voltage before it: `(U_before − U_during) / U_before`.
///
/// Source: ieee-1159, 4.4.2 (from memory)
pub fn dip(before: ElectricPotential, during: ElectricPotential) -> Ratio {
    (before - during) / before
}

fn frequency_deviation(measured: Frequency, nominal: Frequency) -> Ratio {
    measured / nominal - share(1.0)
}

/// Deviation, word and overshoot over both ranges of a rule, for a value relative to nominal.
fn judged_by(allowed: &Allowed, relative: Option<Ratio>) -> Outputs {
    let Some(relative) = relative.map(number) else {
        return Outputs::new();
    };
    let beyond_normal = beyond(relative, allowed.normal);
    let beyond_tolerated = beyond(relative, allowed.tolerated);
    let [normal, tolerated, outside] = allowed.words;
    let range = match (beyond_normal > 0.0, beyond_tolerated > 0.0) {
        (false, _) => normal,
        (true, false) => tolerated,
        (true, true) => outside,
    };
    Outputs::new()
        .with("deviation", share(relative - 1.0))
        .with_word("range", range)
        .with("beyond_normal", share(beyond_normal))
        .with("beyond_tolerated", share(beyond_tolerated))
}

const VOLTAGE_DISTORTION: Input = reading(
    "voltage_distortion",
    Kind::Ratio,
    "%",
    ("0 %", "100 %"),
    "total harmonic distortion of the line voltage, from a power analyser",
);
pub(super) const VOLTAGE_BEFORE: Input = reading(
    "voltage_before",
    Kind::Voltage,
    "V",
    ("50 V", "830 V"),
    "line voltage before the event",
);
pub(super) const VOLTAGE_DURING: Input = reading(
    "voltage_during",
    Kind::Voltage,
    "V",
    ("0 V", "1500 V"),
    "line voltage during the event",
);

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "supply-band",
        purpose: "Whether a line voltage is what a standard allows",
        inputs: &[
            SUPPLY_VOLTAGE,
            LINE_VOLTAGE,
            choice(
                "rule",
                &[
                    "en-50160",
                    "iec-60038",
                    "iec-61000-2-4-class-2",
                    "iec-61000-2-4-class-3",
                    "ansi-c84-1-service",
                    "ansi-c84-1-utilization",
                    "ansi-c84-1-lighting",
                ],
                "which standard holds at the point measured",
            ),
        ],
        outputs: &[
            output(
                "deviation",
                Kind::Ratio,
                "%",
                "measured against nominal voltage",
            ),
            word("range", "which range the voltage lies in"),
            output(
                "beyond_normal",
                Kind::Ratio,
                "%",
                "how far outside the normal range, of nominal",
            ),
            output(
                "beyond_tolerated",
                Kind::Ratio,
                "%",
                "how far outside the tolerated range, of nominal",
            ),
            output(
                "lowest_voltage",
                Kind::Voltage,
                "V",
                "lowest normal voltage",
            ),
            output(
                "highest_voltage",
                Kind::Voltage,
                "V",
                "highest normal voltage",
            ),
            output(
                "lowest_tolerated",
                Kind::Voltage,
                "V",
                "lowest tolerated voltage",
            ),
            output(
                "highest_tolerated",
                Kind::Voltage,
                "V",
                "highest tolerated voltage",
            ),
        ],
        formula: "d = U / U_n − 1 (U: measured; U_n: nominal voltage); limits are shares of U_n",
        valid: "rms voltage of the supply, not of a drive's output; the rule decides at which point",
        sources: &[
            "en-50160: 4.2.2 (from memory)",
            "iec-60038: Table 1 (from memory)",
            "iec-61000-2-4: Table 1 (from memory)",
            "ansi-c84-1: Table 1 (from memory)",
        ],
        expect: &[
            "between {lowest_voltage} and {highest_voltage} for a nominal {supply_voltage}",
            "within 10 % of the nominal voltage",
        ],
        bands: &[
            band(
                "beyond_tolerated > 0 %",
                Verdict::Bad,
                "Outside what the chosen standard tolerates: have it corrected promptly.",
                "memory",
            ),
            band(
                "beyond_normal > 0 %",
                Verdict::Suspect,
                "Tolerated for a time only: find out why.",
                "memory",
            ),
            band(
                "",
                Verdict::Normal,
                "Inside the normal range of the chosen standard.",
                "memory",
            ),
        ],
        doubtful: &["deviation < -60 %", "deviation > 40 %"],
        example: Example {
            inputs: &[
                ("supply_voltage", "480 V"),
                ("line_voltage", "445 V"),
                ("rule", "ansi-c84-1-service"),
            ],
            output: ("range", "range B"),
            tolerance: 0.0,
        },
        compute: |inputs| {
            let allowed = rule_named(VOLTAGE_RULES, inputs.word("rule"))?;
            let nominal = inputs.voltage("supply_voltage");
            let at = |share: f64| nominal.map(|nominal| nominal * share);
            let relative = inputs
                .voltage("line_voltage")
                .zip(nominal)
                .map(|(line, nominal)| line / nominal);
            Ok(judged_by(allowed, relative)
                .with_some("lowest_voltage", at(allowed.normal.0))
                .with_some("highest_voltage", at(allowed.normal.1))
                .with_some("lowest_tolerated", at(allowed.tolerated.0))
                .with_some("highest_tolerated", at(allowed.tolerated.1))
                .note(allowed.note))
        },
    },
    Check {
        name: "supply-lines",
        purpose: "The three line voltages against nominal and against each other",
        inputs: &[SUPPLY_VOLTAGE, VOLTAGE_L1_L2, VOLTAGE_L2_L3, VOLTAGE_L3_L1],
        outputs: &[
            output(
                "mean_deviation",
                Kind::Ratio,
                "%",
                "mean of the three against nominal",
            ),
            output(
                "lowest_deviation",
                Kind::Ratio,
                "%",
                "lowest of the three against nominal",
            ),
            output(
                "highest_deviation",
                Kind::Ratio,
                "%",
                "highest of the three against nominal",
            ),
            output(
                "unbalance",
                Kind::Ratio,
                "%",
                "NEMA unbalance: largest deviation from the mean",
            ),
        ],
        formula: "d = U / U_n − 1 for mean, lowest and highest; unbalance = max|U_i − U_m| / U_m \
                  (U_n: nominal; U_m: mean of the three)",
        valid: "line-to-line rms voltages of a three-phase supply, read shortly after one another",
        sources: &[
            "en-50160: 4.2.2 (from memory)",
            "nema-mg1: 14.36",
            "ansi-c84-1: Annex C",
            "practice",
        ],
        expect: &["three nearly equal voltages, each within 10 % of {supply_voltage}"],
        bands: &[
            band(
                "highest_deviation > 10 %",
                Verdict::Bad,
                "A line voltage is above +10 %, the limit of EN 50160 and IEC 60038.",
                "memory",
            ),
            band(
                "lowest_deviation < -15 %",
                Verdict::Bad,
                "A line voltage is below -15 %, the lowest that EN 50160 ever allows: a line is weak or missing.",
                "memory",
            ),
            band(
                "unbalance > 3 %",
                Verdict::Bad,
                "More unbalance than a supply should have without load: find the cause.",
                "ansi-c84-1",
            ),
            band(
                "lowest_deviation < -10 %",
                Verdict::Suspect,
                "A line voltage is 10 to 15 % low: EN 50160 tolerates that for a short time only.",
                "memory",
            ),
            band(
                "unbalance > 2 %",
                Verdict::Suspect,
                "More unbalance than usual: a drive's input currents spread far more than its voltages.",
                "practice",
            ),
            band("", Verdict::Normal, "Three healthy lines.", "memory"),
        ],
        doubtful: &["highest_deviation > 40 %", "highest_deviation < -60 %"],
        example: Example {
            inputs: &[
                ("supply_voltage", "460 V"),
                ("voltage_l1_l2", "460 V"),
                ("voltage_l2_l3", "467 V"),
                ("voltage_l3_l1", "450 V"),
            ],
            output: ("unbalance", "1.961 %"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let lines = three_voltages(inputs);
            let spread = lines.map(phase_spread).transpose()?;
            let against = |pick: fn(ElectricPotential, ElectricPotential) -> ElectricPotential| {
                let [a, b, c] = lines?;
                let nominal = inputs.voltage("supply_voltage")?;
                Some(voltage_deviation(pick(pick(a, b), c), nominal))
            };
            let mean = spread
                .as_ref()
                .zip(inputs.voltage("supply_voltage"))
                .map(|(spread, nominal)| voltage_deviation(spread.mean, nominal));
            Ok(Outputs::new()
                .with_some("mean_deviation", mean)
                .with_some("lowest_deviation", against(ElectricPotential::min))
                .with_some("highest_deviation", against(ElectricPotential::max))
                .with_some("unbalance", spread.map(|spread| spread.unbalance)))
        },
    },
    Check {
        name: "supply-frequency",
        purpose: "Whether the supply frequency is what a grid or an island network holds",
        inputs: &[
            SUPPLY_FREQUENCY,
            MEASURED_FREQUENCY,
            choice(
                "network",
                &["interconnected", "island"],
                "what feeds the plant: the interconnected grid, or an island or generator",
            ),
        ],
        outputs: &[
            output(
                "deviation",
                Kind::Ratio,
                "%",
                "measured against nominal frequency",
            ),
            word("range", "which range the frequency lies in"),
            output(
                "beyond_normal",
                Kind::Ratio,
                "%",
                "how far outside the normal range, of nominal",
            ),
            output(
                "beyond_tolerated",
                Kind::Ratio,
                "%",
                "how far outside the tolerated range, of nominal",
            ),
            output(
                "lowest_frequency",
                Kind::Frequency,
                "Hz",
                "lowest normal frequency",
            ),
            output(
                "highest_frequency",
                Kind::Frequency,
                "Hz",
                "highest normal frequency",
            ),
            output(
                "lowest_tolerated",
                Kind::Frequency,
                "Hz",
                "lowest tolerated frequency",
            ),
            output(
                "highest_tolerated",
                Kind::Frequency,
                "Hz",
                "highest tolerated frequency",
            ),
        ],
        formula: "d = f / f_n − 1 (f: measured; f_n: nominal frequency); limits are shares of f_n",
        valid: "frequency of the supply, averaged over seconds; EN 50160 is written for 50 Hz",
        sources: &["en-50160: 4.2.1 (from memory)", "practice"],
        expect: &[
            "between {lowest_frequency} and {highest_frequency}",
            "within 1 % of the nominal frequency",
        ],
        bands: &[
            band(
                "beyond_tolerated > 0 %",
                Verdict::Bad,
                "Further off than EN 50160 allows at any time.",
                "memory",
            ),
            band(
                "beyond_normal > 0 %",
                Verdict::Suspect,
                "Further off than such a network normally strays: is a generator or an island feeding the plant?",
                "memory",
            ),
            band("", Verdict::Normal, "As such a network holds it.", "memory"),
        ],
        doubtful: &["deviation > 16 %", "deviation < -16 %"],
        example: Example {
            inputs: &[
                ("supply_frequency", "50 Hz"),
                ("measured_frequency", "49.2 Hz"),
            ],
            output: ("range", "tolerated"),
            tolerance: 0.0,
        },
        compute: |inputs| {
            let allowed = rule_named(FREQUENCY_RULES, inputs.word("network"))?;
            let nominal = inputs.frequency("supply_frequency");
            let at = |share: f64| nominal.map(|nominal| nominal * share);
            let relative = inputs
                .frequency("measured_frequency")
                .zip(nominal)
                .map(|(measured, nominal)| measured / nominal);
            Ok(judged_by(allowed, relative)
                .with_some("lowest_frequency", at(allowed.normal.0))
                .with_some("highest_frequency", at(allowed.normal.1))
                .with_some("lowest_tolerated", at(allowed.tolerated.0))
                .with_some("highest_tolerated", at(allowed.tolerated.1))
                .note(allowed.note))
        },
    },
    Check {
        name: "supply-dip",
        purpose: "How deep a voltage dip was",
        inputs: &[VOLTAGE_BEFORE, VOLTAGE_DURING],
        outputs: &[output(
            "dip",
            Kind::Ratio,
            "%",
            "voltage lost, of the voltage before",
        )],
        formula: "dip = (U_before − U_during) / U_before",
        valid: "rms voltages of the same line before and during one event",
        sources: &["ieee-1159: Table 2"],
        expect: &[
            "the voltage before, {voltage_before}, less at most 10 %",
            "no dip beyond 10 %",
        ],
        bands: &[
            band(
                "dip > 90 %",
                Verdict::Bad,
                "An interruption: next to nothing was left.",
                "ieee-1159",
            ),
            band(
                "dip > 10 %",
                Verdict::Suspect,
                "A sag: whether a drive should ride through depends on how long it lasted.",
                "ieee-1159",
            ),
            band(
                "dip < -10 %",
                Verdict::Suspect,
                "A swell: the voltage rose.",
                "ieee-1159",
            ),
            band(
                "",
                Verdict::Normal,
                "No sag: less than a tenth was lost.",
                "ieee-1159",
            ),
        ],
        doubtful: &["dip < -50 %"],
        example: Example {
            inputs: &[("voltage_before", "400 V"), ("voltage_during", "280 V")],
            output: ("dip", "30 %"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let dip = inputs
                .voltage("voltage_before")
                .zip(inputs.voltage("voltage_during"))
                .map(|(before, during)| dip(before, during));
            Ok(Outputs::new().with_some("dip", dip))
        },
    },
    Check {
        name: "supply-distortion",
        purpose: "Whether the supply's harmonic distortion is within the public limit",
        inputs: &[VOLTAGE_DISTORTION],
        outputs: &[
            output(
                "limit",
                Kind::Ratio,
                "%",
                "largest total harmonic distortion",
            ),
            output("share", Kind::Ratio, "%", "reading against that limit"),
        ],
        formula: "share = THD_U / 8 % (THD_U: total harmonic distortion of the voltage)",
        valid: "public low-voltage network, ten-minute means; harmonics up to the 40th",
        sources: &["en-50160: 4.2.5 (from memory)"],
        expect: &["less than {limit}"],
        bands: &[
            band(
                "share > 100 %",
                Verdict::Bad,
                "More than EN 50160 allows.",
                "memory",
            ),
            band(
                "",
                Verdict::Normal,
                "Within what EN 50160 allows.",
                "memory",
            ),
        ],
        doubtful: &["share > 400 %"],
        example: Example {
            inputs: &[("voltage_distortion", "6 %")],
            output: ("share", "75 %"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let limit = share(VOLTAGE_DISTORTION_LIMIT);
            let used = inputs
                .ratio("voltage_distortion")
                .map(|distortion| distortion / limit);
            Ok(Outputs::new().with("limit", limit).with_some("share", used))
        },
    },
    Check {
        name: "line-fed-motor-supply",
        purpose: "Whether a motor fed straight from the line gets the voltage and frequency it can stand",
        inputs: &[
            MOTOR_RATED_VOLTAGE,
            LINE_VOLTAGE,
            optional(MOTOR_RATED_FREQUENCY),
            optional(MEASURED_FREQUENCY),
        ],
        outputs: &[
            output(
                "lowest_voltage",
                Kind::Voltage,
                "V",
                "lowest voltage at rated frequency",
            ),
            output(
                "highest_voltage",
                Kind::Voltage,
                "V",
                "highest voltage at rated frequency",
            ),
            output(
                "voltage_deviation",
                Kind::Ratio,
                "%",
                "measured against rated voltage",
            ),
            output(
                "frequency_deviation",
                Kind::Ratio,
                "%",
                "measured against rated frequency",
            ),
            output(
                "tolerance_used",
                Kind::Ratio,
                "%",
                "how much of the tolerance is used up",
            ),
            word("range", "within or outside the tolerance"),
        ],
        formula: "|ΔU| ≤ 10 %, |Δf| ≤ 5 %, |ΔU| + |Δf| ≤ 10 % \
                  (ΔU, Δf: deviation from rated voltage and frequency)",
        valid: "motor fed straight from the line or through a bypass, not from a drive",
        sources: &["nema-mg1: 12.44"],
        expect: &["between {lowest_voltage} and {highest_voltage}"],
        bands: &[
            band(
                "tolerance_used > 100 %",
                Verdict::Bad,
                "Outside what the motor is built for: it runs hot or weak.",
                "nema-mg1",
            ),
            band(
                "",
                Verdict::Normal,
                "Within what the motor is built for.",
                "nema-mg1",
            ),
        ],
        doubtful: &["voltage_deviation < -60 %", "voltage_deviation > 40 %"],
        example: Example {
            inputs: &[
                ("motor_rated_voltage", "400 V"),
                ("line_voltage", "432 V"),
                ("motor_rated_frequency", "50 Hz"),
                ("measured_frequency", "52 Hz"),
            ],
            output: ("range", "outside"),
            tolerance: 0.0,
        },
        compute: |inputs| {
            let rated = inputs.voltage("motor_rated_voltage");
            let voltage = inputs
                .voltage("line_voltage")
                .zip(rated)
                .map(|(line, rated)| voltage_deviation(line, rated));
            let frequency = inputs
                .frequency("measured_frequency")
                .zip(inputs.frequency("motor_rated_frequency"))
                .map(|(measured, rated)| frequency_deviation(measured, rated));
            let used = voltage
                .map(|voltage| motor_tolerance_used(voltage, frequency.unwrap_or(share(0.0))));
            let outputs = Outputs::new()
                .with_some("lowest_voltage", rated.map(|rated| rated * 0.90))
                .with_some("highest_voltage", rated.map(|rated| rated * 1.10))
                .with_some("voltage_deviation", voltage)
                .with_some("frequency_deviation", frequency);
            let outputs = match used.map(number) {
                Some(used) if beyond(used, (0.0, 1.0)) > 0.0 => outputs
                    .with("tolerance_used", share(used))
                    .with_word("range", "outside"),
                Some(used) => outputs
                    .with("tolerance_used", share(used.min(1.0)))
                    .with_word("range", "within"),
                None => outputs,
            };
            Ok(match frequency {
                Some(_) => outputs,
                None => outputs.note("Frequency not measured: taken as rated."),
            })
        },
    },
];
