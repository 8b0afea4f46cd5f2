//! Drives on one phase: a three-phase drive fed from two wires, the voltage doubler, the wall outlet.

use std::f64::consts::SQRT_2;

use uom::si::f64::{ElectricCurrent, ElectricPotential, Power, Ratio};

use super::define::{Check, Example, Outputs, Verdict, assumed, band, nameplate, optional, output};
use super::shared::{
    BUS_CAPACITANCE, BUS_VOLTAGE, DRIVE_INPUT_CURRENT, DRIVE_RATED_CURRENT, MOTOR_RATED_CURRENT,
    SUPPLY_FREQUENCY, SUPPLY_VOLTAGE, share,
};
use crate::quantity::Kind;

/// Input current of a three-phase drive on two wires: √3 times that on three, at the same power.
///
/// Source: fitzgerald-electric-machinery, app. A (from memory): `P = U · I` against `√3 · U · I`
pub fn single_phase_current(three_phase: ElectricCurrent) -> ElectricCurrent {
    three_phase * 3f64.sqrt()
}

/// What is left of a three-phase drive's output current on a single-phase supply.
///
/// Source: practice; the drive's own manual says whether it may be fed so at all
pub const SINGLE_PHASE_SHARE: f64 = 0.5;

/// Bus of a voltage doubler without load: twice the crest.
///
/// Formula: `U_dc = 2√2 · U`
/// Symbols: `U` supply voltage, rms [V]
/// Valid:   two capacitors in series, each charged in one half-wave
/// Source:  mohan-power-electronics, ch. 5
pub fn doubler_bus(supply: ElectricPotential) -> ElectricPotential {
    supply * (2.0 * SQRT_2)
}

/// Power that a motor can give at its shaft from a circuit that runs for hours.
///
/// Formula: `P = U · k · I_n · λ · η`
/// Symbols: `U` voltage [V]; `I_n` rating of the circuit's breaker [A]; `k` 0.8; `λ` power factor of
/// the drive's input; `η` efficiency of drive and motor
/// Valid:   load for three hours or more; else `k` may be 1
/// Source:  nec-210, 210.20(A) (80 %, from memory); practice for `λ` 0.65 and `η` 0.75
pub fn outlet_shaft_power(
    voltage: ElectricPotential,
    breaker: ElectricCurrent,
    power_factor: Ratio,
    efficiency: Ratio,
) -> Power {
    voltage * breaker * share(0.8) * power_factor * efficiency
}

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "single-phase-feed",
        purpose: "A three-phase drive on a single-phase supply: current in, current out, ripple",
        inputs: &[
            DRIVE_RATED_CURRENT,
            MOTOR_RATED_CURRENT,
            SUPPLY_FREQUENCY,
            optional(DRIVE_INPUT_CURRENT),
            assumed(
                nameplate(
                    "single_phase_share",
                    Kind::Ratio,
                    "%",
                    ("20 %", "100 %"),
                    "output current left on one phase, from the drive's own manual",
                ),
                "50 %",
            ),
            optional(BUS_CAPACITANCE),
        ],
        outputs: &[
            output(
                "output_current",
                Kind::Current,
                "A",
                "output current that is left",
            ),
            output("ratio", Kind::Ratio, "%", "motor against that current"),
            output(
                "input_current",
                Kind::Current,
                "A",
                "input current at the same power as on three phases",
            ),
            output(
                "ripple_frequency",
                Kind::Frequency,
                "Hz",
                "ripple on the bus",
            ),
            output(
                "ripple",
                Kind::Voltage,
                "V",
                "ripple at the motor's rated current, peak to peak, at most",
            ),
        ],
        formula: "I_out = k · I_N, k = 0.5; I_in = √3 · I_three; f_r = 2 · f; ΔU ≤ I / (f_r · C) (I_N: drive's rated current; I_three: input current on three phases; f: supply frequency; I: bus current, taken as the motor's rated current; C: bus capacitance)",
        valid: "only where the drive's manual allows it and its phase-loss detection may be set for it; size fuses and cable for the input current",
        sources: &[
            "fitzgerald-electric-machinery: app. A (from memory)",
            "mohan-power-electronics: ch. 5",
            "practice",
        ],
        expect: &["{output_current} at most; ripple at {ripple_frequency}"],
        bands: &[
            band(
                "ratio > 100 %",
                Verdict::Bad,
                "The motor takes more than a drive of this size has left on one phase: take one about twice as large.",
                "practice",
            ),
            band(
                "ratio > 90 %",
                Verdict::Suspect,
                "No margin: rectifier and capacitors carry twice the ripple.",
                "practice",
            ),
            band(
                "",
                Verdict::Normal,
                "Within what is left on one phase.",
                "practice",
            ),
        ],
        doubtful: &["ratio > 1000 %"],
        example: Example {
            inputs: &[
                ("drive_rated_current", "16 A"),
                ("motor_rated_current", "7.5 A"),
                ("supply_frequency", "60 Hz"),
                ("drive_input_current", "18 A"),
            ],
            output: ("input_current", "31.18 A"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let left = inputs
                .current("drive_rated_current")
                .zip(inputs.ratio("single_phase_share"))
                .map(|(rated, left)| -> ElectricCurrent { rated * left });
            let motor = inputs.current("motor_rated_current");
            let ripple_frequency = inputs
                .frequency("supply_frequency")
                .map(|frequency| super::ripple::ripple_frequency(frequency, 2.0));
            let ripple = motor
                .zip(ripple_frequency)
                .zip(inputs.capacitance("bus_capacitance"))
                .map(|((i, f), c)| super::ripple::capacitor_ripple(i, f, c));
            Ok(Outputs::new()
                .with_some("output_current", left)
                .with_some(
                    "ratio",
                    motor.zip(left).map(|(motor, left)| -> Ratio { motor / left }),
                )
                .with_some(
                    "input_current",
                    inputs.current("drive_input_current").map(single_phase_current),
                )
                .with_some("ripple_frequency", ripple_frequency)
                .with_some("ripple", ripple)
                .note("Half is a habit of the trade: the drive's own manual rules, and may forbid it."))
        },
    },
    Check {
        name: "voltage-doubler",
        purpose: "DC bus of a drive for 115 V that doubles its input, as many demonstration drives do",
        inputs: &[
            nameplate(
                "supply_voltage",
                Kind::Voltage,
                "V",
                ("90 V", "140 V"),
                "voltage of the outlet, rms",
            ),
            BUS_VOLTAGE,
        ],
        outputs: &[
            output("peak_bus_voltage", Kind::Voltage, "V", "bus without load"),
            output(
                "motor_voltage",
                Kind::Voltage,
                "V",
                "line voltage that it can give to a motor: that of a 230 V motor",
            ),
            output(
                "ratio",
                Kind::Ratio,
                "%",
                "reading against the supply voltage",
            ),
        ],
        formula: "U_dc = 2√2 · U = 2.83 · U (U: supply voltage, rms); the motor's voltage is 2 · U",
        valid: "single-phase voltage doubler: two capacitors in series, the neutral between them; without one the bus stands at 1.41 · U",
        sources: &["mohan-power-electronics: ch. 5", "practice"],
        expect: &[
            "{peak_bus_voltage} without load, as 2.83 × {supply_voltage}; 15 % less under load",
        ],
        bands: &[
            band(
                "ratio > 288 %",
                Verdict::Bad,
                "More than a doubler can give: energy comes back from the load, or a meter is wrong.",
                "mohan-power-electronics",
            ),
            band(
                "ratio > 235 %",
                Verdict::Normal,
                "As a doubler holds.",
                "practice",
            ),
            band(
                "ratio > 145 %",
                Verdict::Suspect,
                "Low for a doubler: heavy load, worn capacitors, or half of it is open.",
                "practice",
            ),
            band(
                "",
                Verdict::Bad,
                "No doubling: one half-wave charges nothing, or this drive has a plain bridge: see bus-single-phase.",
                "practice",
            ),
        ],
        doubtful: &["ratio > 500 %"],
        example: Example {
            inputs: &[("supply_voltage", "115 V"), ("bus_voltage", "318 V")],
            output: ("peak_bus_voltage", "325.3 V"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let supply = inputs.voltage("supply_voltage");
            let ratio = inputs
                .voltage("bus_voltage")
                .zip(supply)
                .map(|(bus, supply)| -> Ratio { bus / supply });
            Ok(Outputs::new()
                .with_some("peak_bus_voltage", supply.map(doubler_bus))
                .with_some("motor_voltage", supply.map(|supply| supply * 2.0))
                .with_some("ratio", ratio))
        },
    },
    Check {
        name: "outlet-power",
        purpose: "Largest motor that a drive on a wall outlet can carry for hours",
        inputs: &[
            SUPPLY_VOLTAGE,
            assumed(
                nameplate(
                    "breaker_rating",
                    Kind::Current,
                    "A",
                    ("5 A", "63 A"),
                    "rating of the breaker before the outlet",
                ),
                "15 A",
            ),
            assumed(
                nameplate(
                    "input_power_factor",
                    Kind::Ratio,
                    "×",
                    ("0.3 ×", "1 ×"),
                    "power factor of the drive's input, harmonics included",
                ),
                "0.65 ×",
            ),
            assumed(
                nameplate(
                    "total_efficiency",
                    Kind::Ratio,
                    "%",
                    ("20 %", "99 %"),
                    "efficiency of drive and motor together",
                ),
                "75 %",
            ),
            optional(super::shared::MOTOR_RATED_POWER),
        ],
        outputs: &[
            output("current", Kind::Current, "A", "current for hours"),
            output("shaft_power", Kind::Power, "kW", "power at the shaft"),
            output("ratio", Kind::Ratio, "%", "motor's rated power against it"),
        ],
        formula: "P = U · 0.8 · I_n · λ · η (U: supply voltage; I_n: breaker; λ: power factor of the input; η: efficiency)",
        valid: "single-phase outlet with nothing else on it, load for three hours or more",
        sources: &["nec-210: 210.20(A) (from memory)", "practice"],
        expect: &["up to {shaft_power} at the shaft, {current} from the outlet"],
        bands: &[
            band(
                "ratio > 100 %",
                Verdict::Suspect,
                "At full load the breaker trips in the end; unloaded, as in a demonstration, it holds.",
                "practice",
            ),
            band("", Verdict::Normal, "The outlet carries it.", "practice"),
        ],
        doubtful: &["ratio > 2000 %"],
        example: Example {
            inputs: &[
                ("supply_voltage", "115 V"),
                ("motor_rated_power", "0.55 kW"),
            ],
            output: ("shaft_power", "0.6728 kW"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let breaker = inputs.current("breaker_rating");
            let power = inputs
                .voltage("supply_voltage")
                .zip(breaker)
                .zip(inputs.ratio("input_power_factor"))
                .zip(inputs.ratio("total_efficiency"))
                .map(|(((u, i), factor), efficiency)| outlet_shaft_power(u, i, factor, efficiency));
            let ratio = inputs
                .power("motor_rated_power")
                .zip(power)
                .map(|(rated, power)| -> Ratio { rated / power });
            Ok(Outputs::new()
                .with_some("current", breaker.map(|breaker| breaker * share(0.8)))
                .with_some("shaft_power", power)
                .with_some("ratio", ratio))
        },
    },
];
