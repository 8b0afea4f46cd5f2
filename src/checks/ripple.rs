//! Ripple on the DC bus: its frequency tells the phases that feed it, its size the load and the capacitors.

use std::f64::consts::{PI, SQRT_2};

use uom::si::f64::{Capacitance, ElectricCurrent, ElectricPotential, Frequency, Ratio};
use uom::si::frequency::hertz;

use super::dc_bus::{bus_at_rest, six_pulse_trough};
use super::define::{
    Check, Example, Input, Outputs, Verdict, band, optional, output, reading, word,
};
use super::shared::{
    BUS_CAPACITANCE, BUS_CURRENT, BUS_VOLTAGE, SUPPLY_FREQUENCY, SUPPLY_VOLTAGE, number, share,
};
use crate::quantity::Kind;

/// Ripple frequency of a bridge: `f_r = pulses · f`, with 6 pulses on three phases, 2 on one.
///
/// Source:  mohan-power-electronics, ch. 5
pub fn ripple_frequency(supply_frequency: Frequency, pulses: f64) -> Frequency {
    supply_frequency * pulses
}

/// Peak-to-peak ripple of an unfiltered six-pulse wave, relative to its mean: 14.03 %.
///
/// Formula: `(√2 − √2 · cos 30°) / (3√2/π)`
/// Source:  mohan-power-electronics, ch. 5
pub fn six_pulse_peak_to_peak() -> Ratio {
    share((SQRT_2 - SQRT_2 * (PI / 6.0).cos()) / (3.0 * SQRT_2 / PI))
}

/// Rms ripple of an unfiltered six-pulse wave, relative to its mean: 4.2 %.
///
/// Formula: `√((U_rms / U_mean)² − 1)`, `U_rms = Û · √(1/2 + 3√3/(4π))`, `U_mean = Û · 3/π`
/// Source:  mohan-power-electronics, ch. 5
pub fn six_pulse_ripple_factor() -> Ratio {
    let rms_squared = 0.5 + 3.0 * 3f64.sqrt() / (4.0 * PI);
    let mean = 3.0 / PI;
    share((rms_squared / (mean * mean) - 1.0).sqrt())
}

/// Peak of a harmonic of an unfiltered six-pulse wave, relative to its mean.
///
/// Formula: `2 / (n² − 1)`
/// Symbols: `n` order against the supply: 6, 12, 18 and so on
/// Valid:   multiples of six; nothing for other orders
/// Source:  mohan-power-electronics, ch. 5
pub fn six_pulse_harmonic(order: u32) -> Option<Ratio> {
    let n = f64::from(order);
    (order > 0 && order.is_multiple_of(6)).then(|| share(2.0 / (n * n - 1.0)))
}

/// Largest peak-to-peak ripple on three healthy phases: from the peak to the next crossing.
///
/// Formula: `ΔU = √2 · (1 − cos 30°) · U_LL = 0.1895 · U_LL`
/// Symbols: `U_LL` supply voltage, line to line, rms [V]
/// Valid:   three balanced phases; more means a lost phase or dips
/// Source:  mohan-power-electronics, ch. 5
pub fn largest_healthy_ripple(supply_voltage: ElectricPotential) -> ElectricPotential {
    bus_at_rest(supply_voltage) - six_pulse_trough(supply_voltage)
}

/// Peak-to-peak ripple that a load draws from a capacitor between two pulses.
///
/// Formula: `ΔU = I / (f_r · C)`
/// Symbols: `I` bus current [A]; `f_r` ripple frequency [Hz]; `C` bus capacitance [F]
/// Valid:   upper bound: the bridge recharges before a whole period has passed
/// Source:  mohan-power-electronics, ch. 5
pub fn capacitor_ripple(
    current: ElectricCurrent,
    ripple_frequency: Frequency,
    capacitance: Capacitance,
) -> ElectricPotential {
    current / (ripple_frequency * capacitance)
}

/// Largest capacitance that a ripple under a load allows.
///
/// Formula: `C = I · t / ΔU`, `t = 1/f_r − arccos(1 − ΔU/Û) · p / (2π · f_r)`
/// Symbols: `I` bus current [A]; `t` time from a crest until the next one takes over [s]; `ΔU` ripple,
/// peak to peak [V]; `f_r` ripple frequency [Hz]; `Û` crest of the line voltage [V]; `p` pulses, 6
/// above 200 Hz, else 2
/// Valid:   constant current between two crests; without the crest `t = 1/f_r`. The line's own
/// inductance makes the ripple smaller, so that the true capacitance is below this, never above
/// Source:  mohan-power-electronics, ch. 5; the crossing derived
pub fn capacitance_at_most(
    current: ElectricCurrent,
    ripple_frequency: Frequency,
    ripple: ElectricPotential,
    crest: Option<ElectricPotential>,
) -> Capacitance {
    let pulses = if ripple_frequency.get::<hertz>() > 200.0 {
        6.0
    } else {
        2.0
    };
    let charging = crest.map_or(0.0, |crest| {
        let level = (1.0 - number(ripple / crest)).clamp((PI / pulses).cos(), 1.0);
        level.acos() * pulses / (2.0 * PI)
    });
    current * (share(1.0 - charging) / ripple_frequency) / ripple
}

const RIPPLE_FREQUENCY: Input = reading(
    "ripple_frequency",
    Kind::Frequency,
    "Hz",
    ("1 Hz", "2 kHz"),
    "frequency of the strongest ripple on the DC bus: meter on AC volts and hertz, or a scope",
);
const RIPPLE_VOLTAGE: Input = reading(
    "ripple_voltage",
    Kind::Voltage,
    "V",
    ("0 V", "1500 V"),
    "ripple on the DC bus under load, peak to peak",
);

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "ripple-frequency",
        purpose: "Whether the DC bus ripple is that of three phases or of one",
        inputs: &[SUPPLY_FREQUENCY, RIPPLE_FREQUENCY],
        outputs: &[
            output("ratio", Kind::Ratio, "%", "ripple against supply frequency"),
            output(
                "six_pulse",
                Kind::Frequency,
                "Hz",
                "ripple with three phases",
            ),
            output(
                "two_pulse",
                Kind::Frequency,
                "Hz",
                "ripple with a phase lost, or on one phase",
            ),
            word("pattern", "what the ripple looks like"),
        ],
        formula: "f_r = 6 · f on three phases, 2 · f with one lost or on a single-phase supply (f: supply frequency)",
        valid: "diode bridge, motor loaded; with the motor at rest there is no ripple to speak of",
        sources: &["mohan-power-electronics: ch. 5", "practice"],
        expect: &["{six_pulse} on three phases; {two_pulse} when one is missing"],
        bands: &[
            band(
                "ratio > 800 %",
                Verdict::Suspect,
                "Not from the supply: the inverter or noise.",
                "practice",
            ),
            band(
                "ratio > 500 %",
                Verdict::Normal,
                "Three phases feed the bus.",
                "mohan-power-electronics",
            ),
            band(
                "ratio > 300 %",
                Verdict::Suspect,
                "Between the two: unbalanced lines mix both; read again under more load.",
                "practice",
            ),
            band(
                "ratio > 150 %",
                Verdict::Bad,
                "Twice the supply frequency: one phase is missing, unless the supply has only one.",
                "mohan-power-electronics",
            ),
            band(
                "",
                Verdict::Suspect,
                "Slower than the supply can make it: the load swings.",
                "practice",
            ),
        ],
        doubtful: &["ratio > 1300 %"],
        example: Example {
            inputs: &[
                ("supply_frequency", "50 Hz"),
                ("ripple_frequency", "100 Hz"),
            ],
            output: ("pattern", "two-pulse"),
            tolerance: 0.0,
        },
        compute: |inputs| {
            let supply = inputs.frequency("supply_frequency");
            let ratio = inputs
                .frequency("ripple_frequency")
                .zip(supply)
                .map(|(ripple, supply)| ripple / supply);
            let outputs = Outputs::new()
                .with_some("ratio", ratio)
                .with_some("six_pulse", supply.map(|f| ripple_frequency(f, 6.0)))
                .with_some("two_pulse", supply.map(|f| ripple_frequency(f, 2.0)));
            Ok(match ratio.map(number) {
                Some(ratio) if ratio > 5.0 && ratio <= 8.0 => {
                    outputs.with_word("pattern", "six-pulse")
                }
                Some(ratio) if ratio > 1.5 && ratio <= 3.0 => {
                    outputs.with_word("pattern", "two-pulse")
                }
                Some(_) => outputs.with_word("pattern", "neither"),
                None => outputs,
            })
        },
    },
    Check {
        name: "ripple-share",
        purpose: "Size of the DC bus ripple",
        inputs: &[BUS_VOLTAGE, RIPPLE_VOLTAGE, optional(SUPPLY_VOLTAGE)],
        outputs: &[
            output(
                "ratio",
                Kind::Ratio,
                "%",
                "ripple, peak to peak, against the bus voltage",
            ),
            output(
                "largest_healthy",
                Kind::Voltage,
                "V",
                "largest ripple on three healthy phases",
            ),
        ],
        formula: "ratio = ΔU / U_dc; ΔU_max = √2 · (1 − cos 30°) · U_LL = 0.1895 · U_LL \
                  (ΔU: ripple, peak to peak; U_dc: bus voltage; U_LL: supply voltage)",
        valid: "three-phase supply, motor near rated load",
        sources: &["mohan-power-electronics: ch. 5", "practice"],
        expect: &[
            "below 5 % of {bus_voltage}; never above {largest_healthy} on three healthy phases",
            "below 5 % of the bus voltage; never above {largest_healthy} on three healthy phases",
            "below 5 % of the bus voltage",
        ],
        bands: &[
            band(
                "ratio > 14.03 %",
                Verdict::Bad,
                "More than three healthy phases ever leave: a phase is missing or the lines are unbalanced.",
                "mohan-power-electronics",
            ),
            band(
                "ratio > 5 %",
                Verdict::Suspect,
                "More than usual: worn capacitors, unbalanced lines, or more than rated load.",
                "practice",
            ),
            band("", Verdict::Normal, "As usual at rated load.", "practice"),
        ],
        doubtful: &["ratio > 100 %"],
        example: Example {
            inputs: &[
                ("bus_voltage", "540 V"),
                ("ripple_voltage", "27 V"),
                ("supply_voltage", "400 V"),
            ],
            output: ("largest_healthy", "75.79 V"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let bus = inputs.voltage("bus_voltage");
            if bus.is_some_and(|bus| bus.value <= 0.0) {
                return Err(super::shared::contradiction(
                    "there is no bus voltage to compare the ripple with",
                ));
            }
            let ratio = inputs
                .voltage("ripple_voltage")
                .zip(bus)
                .map(|(ripple, bus)| ripple / bus);
            Ok(Outputs::new().with_some("ratio", ratio).with_some(
                "largest_healthy",
                inputs.voltage("supply_voltage").map(largest_healthy_ripple),
            ))
        },
    },
    Check {
        name: "ripple-estimate",
        purpose: "Ripple to expect from load and capacitance, and the capacitance that a ripple stands for",
        inputs: &[
            BUS_CURRENT,
            RIPPLE_FREQUENCY,
            BUS_CAPACITANCE,
            optional(RIPPLE_VOLTAGE),
            optional(SUPPLY_VOLTAGE),
        ],
        outputs: &[
            output(
                "estimate",
                Kind::Voltage,
                "V",
                "ripple, peak to peak, at most",
            ),
            output("ratio", Kind::Ratio, "%", "reading against that estimate"),
            output(
                "capacitance",
                Kind::Capacitance,
                "µF",
                "capacitance that the reading stands for, at most",
            ),
            output(
                "capacitance_share",
                Kind::Ratio,
                "%",
                "that capacitance against the rated one",
            ),
        ],
        formula: "ΔU ≤ I / (f_r · C); C ≤ I · t / ΔU, t = 1/f_r − arccos(1 − ΔU / (√2 · U_LL)) · p / (2π · f_r) \
                  (I: bus current; f_r: ripple frequency; C: bus capacitance; ΔU: ripple, peak to peak; \
                  U_LL: supply voltage, without it t = 1/f_r; p: pulses, 6 above 200 Hz, else 2)",
        valid: "both are upper bounds: a choke or a weak supply makes the ripple smaller and so hides lost \
                capacitance, never the other way round; on three healthy phases ripple never passes 0.1895 × supply voltage",
        sources: &["mohan-power-electronics: ch. 5", "practice"],
        expect: &[
            "at most {estimate}, and well below it behind a choke",
            "at most bus current over ripple frequency and capacitance",
        ],
        bands: &[
            band(
                "capacitance_share < 50 %",
                Verdict::Bad,
                "This ripple takes less than half the rated capacitance: the bank is worn, or more current flows than thought.",
                "practice",
            ),
            band(
                "capacitance_share < 80 %",
                Verdict::Suspect,
                "This ripple takes less than 80 % of the rated capacitance: measure the bank's capacitance, and the current once more.",
                "practice",
            ),
            band(
                "",
                Verdict::Normal,
                "No lost capacitance shows. A choke can hide some: only a measured capacitance clears the bank.",
                "practice",
            ),
        ],
        doubtful: &["estimate > 400 V", "capacitance_share < 5 %"],
        example: Example {
            inputs: &[
                ("bus_current", "12 A"),
                ("ripple_frequency", "300 Hz"),
                ("bus_capacitance", "1000 µF"),
                ("ripple_voltage", "50 V"),
                ("supply_voltage", "400 V"),
            ],
            output: ("estimate", "40 V"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let load = inputs
                .current("bus_current")
                .zip(inputs.frequency("ripple_frequency"));
            let rated = inputs.capacitance("bus_capacitance");
            let estimate = load.zip(rated).map(|((current, frequency), capacitance)| {
                capacitor_ripple(current, frequency, capacitance)
            });
            let ripple = inputs
                .voltage("ripple_voltage")
                .filter(|ripple| ripple.value > 0.0);
            let ratio = ripple
                .zip(estimate)
                .filter(|(_, estimate)| estimate.value > 0.0)
                .map(|(ripple, estimate)| ripple / estimate);
            let crest = inputs.voltage("supply_voltage").map(bus_at_rest);
            let most = load
                .filter(|(current, _)| current.value > 0.0)
                .zip(ripple)
                .map(|((current, frequency), ripple)| {
                    capacitance_at_most(current, frequency, ripple, crest)
                });
            Ok(Outputs::new()
                .with_some("estimate", estimate)
                .with_some("ratio", ratio)
                .with_some("capacitance", most)
                .with_some(
                    "capacitance_share",
                    most.zip(rated)
                        .map(|(most, rated)| -> Ratio { most / rated }),
                ))
        },
    },
];
