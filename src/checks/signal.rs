//! Control signals: 24 V, digital inputs, 4–20 mA, 0–10 V.

use uom::si::electric_current::{milliampere, nanoampere};
use uom::si::electric_potential::volt;
use uom::si::f64::{ElectricCurrent, ElectricPotential, Ratio};

use super::define::{
    Check, Example, Outputs, Verdict, assumed, band, choice, nameplate, optional, output, reading,
    word,
};
use crate::quantity::Kind;

/// Share of the span of a live-zero loop: `(I − 4 mA) / 16 mA`.
///
/// Valid:  4–20 mA loops
/// Source: iec-60381-1 (from memory)
pub fn loop_share(current: ElectricCurrent) -> Ratio {
    let milliamperes = ElectricCurrent::new::<milliampere>;
    (current - milliamperes(4.0)) / milliamperes(16.0)
}

/// What a loop current says of the loop itself.
///
/// Formula: 3.8 mA to 20.5 mA valid; up to 3.6 mA and from 21 mA failure; the strips between are neither
/// Source:  namur-ne-43
pub fn loop_state(current: ElectricCurrent) -> &'static str {
    // In whole nanoamperes, so that a figure on the limit falls on its own side.
    match current.get::<nanoampere>().round() {
        i if i <= 3.6e6 => "failure low",
        i if i >= 21.0e6 => "failure high",
        i if (3.8e6..=20.5e6).contains(&i) => "valid",
        _ => "between bands",
    }
}

/// How far a loop current lies inside a strip that is neither valid nor failure; zero outside them.
///
/// Source: namur-ne-43
pub fn into_gap(current: ElectricCurrent) -> ElectricCurrent {
    let milliamperes = ElectricCurrent::new::<milliampere>;
    let inside = |low, high| (current - milliamperes(low)).min(milliamperes(high) - current);
    let depth = inside(3.6, 3.8).max(inside(20.5, 21.0));
    // Less than a nanoampere is rounding.
    if depth < ElectricCurrent::new::<nanoampere>(1.0) {
        return ElectricCurrent::default();
    }
    depth
}

/// Limits of a 24 V digital input of a type.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InputType {
    /// Off between this and `off_to` [V].
    pub off_from: f64,
    /// See `off_from`.
    pub off_to: f64,
    /// On between this and `on_to` [V].
    pub on_from: f64,
    /// See `on_from`.
    pub on_to: f64,
    /// Input current when on, from this to `most_current` [mA].
    pub least_current: f64,
    /// See `least_current`.
    pub most_current: f64,
}

/// Limits of input type 1, 2 or 3; type 1 for anything else.
///
/// Source: iec-61131-2, digital inputs (from memory)
pub fn input_type(name: &str) -> InputType {
    let (on_from, least_current, most_current) = match name {
        "2" => (11.0, 6.0, 30.0),
        "3" => (11.0, 2.0, 15.0),
        _ => (15.0, 2.0, 15.0),
    };
    InputType {
        off_from: -3.0,
        off_to: 5.0,
        on_from,
        on_to: 30.0,
        least_current,
        most_current,
    }
}

/// State of a digital input.
///
/// Source: as for [`input_type`]
pub fn input_state(voltage: ElectricPotential, limits: InputType) -> &'static str {
    match voltage.get::<volt>() {
        v if v < limits.off_from => "below range",
        v if v <= limits.off_to => "off",
        v if v < limits.on_from => "undefined",
        v if v <= limits.on_to => "on",
        _ => "above range",
    }
}

/// Mean voltage of a 24 V supply [V], −15 % to +20 %; with 5 % ripple on top the instantaneous value.
///
/// Source: iec-61131-2, DC supplies (from memory)
pub const MEAN_24_V: (f64, f64) = (20.4, 28.8);
/// See [`MEAN_24_V`].
pub const INSTANTANEOUS_24_V: (f64, f64) = (MEAN_24_V.0 - 1.2, MEAN_24_V.1 + 1.2);

fn volts(value: f64) -> ElectricPotential {
    ElectricPotential::new::<volt>(value)
}

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "control-supply",
        purpose: "Control supply of 24 V against its limits",
        inputs: &[reading(
            "control_voltage",
            Kind::Voltage,
            "V",
            ("-60 V", "60 V"),
            "voltage between +24 V and 0 V at the drive's terminals, under load",
        )],
        outputs: &[
            output("deviation", Kind::Ratio, "%", "deviation from 24 V"),
            output("lowest_mean", Kind::Voltage, "V", "lowest mean voltage"),
            output("highest_mean", Kind::Voltage, "V", "highest mean voltage"),
            output(
                "lowest_instantaneous",
                Kind::Voltage,
                "V",
                "lowest with ripple",
            ),
            output(
                "highest_instantaneous",
                Kind::Voltage,
                "V",
                "highest with ripple",
            ),
        ],
        formula: "deviation = U / 24 V − 1; mean −15 % to +20 %, with 5 % ripple 19.2 V to 30 V (U: voltage)",
        valid: "24 V DC supplies; a meter shows the mean, only an oscilloscope the ripple",
        sources: &["iec-61131-2: DC supplies (from memory)"],
        expect: &["24 V DC, between {lowest_mean} and {highest_mean}"],
        bands: &[
            band(
                "deviation < -20 %",
                Verdict::Bad,
                "Too low even with ripple: overload, a lost feed or a bad joint.",
                "iec-61131-2",
            ),
            band(
                "deviation > 25 %",
                Verdict::Bad,
                "Too high: inputs and relays are in danger.",
                "iec-61131-2",
            ),
            band(
                "deviation < -15 %",
                Verdict::Suspect,
                "Lower than the mean may be.",
                "iec-61131-2",
            ),
            band(
                "deviation > 20 %",
                Verdict::Suspect,
                "Higher than the mean may be.",
                "iec-61131-2",
            ),
            band("", Verdict::Normal, "Within its limits.", "iec-61131-2"),
        ],
        doubtful: &["deviation < -150 %"],
        example: Example {
            inputs: &[("control_voltage", "18 V")],
            output: ("deviation", "-25 %"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let deviation = inputs
                .voltage("control_voltage")
                .map(|voltage| (voltage - volts(24.0)) / volts(24.0));
            Ok(Outputs::new()
                .with_some("deviation", deviation)
                .with("lowest_mean", volts(MEAN_24_V.0))
                .with("highest_mean", volts(MEAN_24_V.1))
                .with("lowest_instantaneous", volts(INSTANTANEOUS_24_V.0))
                .with("highest_instantaneous", volts(INSTANTANEOUS_24_V.1)))
        },
    },
    Check {
        name: "digital-input",
        purpose: "Whether a 24 V digital input is on, off, or neither",
        inputs: &[
            reading(
                "input_voltage",
                Kind::Voltage,
                "V",
                ("-60 V", "60 V"),
                "voltage between the input's terminal and its common",
            ),
            choice(
                "input_type",
                &["1", "2", "3"],
                "type of the input by IEC 61131-2, from the manual",
            ),
        ],
        outputs: &[
            output("input_voltage", Kind::Voltage, "V", "voltage at the input"),
            word("state", "state of the input"),
            output(
                "undefined_by",
                Kind::Voltage,
                "V",
                "distance to the nearer of on and off",
            ),
            output("off_from", Kind::Voltage, "V", "off from"),
            output("off_to", Kind::Voltage, "V", "off up to"),
            output("on_from", Kind::Voltage, "V", "on from"),
            output("on_to", Kind::Voltage, "V", "on up to"),
            output(
                "least_current",
                Kind::Current,
                "mA",
                "least input current when on",
            ),
            output(
                "most_current",
                Kind::Current,
                "mA",
                "most input current when on",
            ),
        ],
        formula: "off −3 V to 5 V; on from 15 V (type 1) or 11 V (types 2 and 3) to 30 V; undefined between",
        valid: "24 V inputs that sink current; for other inputs take the drive's own manual",
        sources: &["iec-61131-2: digital inputs (from memory)"],
        expect: &["below {off_to} when off, {on_from} to {on_to} when on"],
        bands: &[
            band(
                "input_voltage > 30 V",
                Verdict::Bad,
                "Above what the input stands.",
                "iec-61131-2",
            ),
            band(
                "input_voltage < -3 V",
                Verdict::Bad,
                "Reversed, or another common.",
                "iec-61131-2",
            ),
            band(
                "undefined_by > 0 V",
                Verdict::Bad,
                "Neither on nor off: a leak, a voltage drop or a shared common.",
                "iec-61131-2",
            ),
            band(
                "",
                Verdict::Normal,
                "Clearly on or clearly off.",
                "iec-61131-2",
            ),
        ],
        doubtful: &[],
        example: Example {
            inputs: &[("input_voltage", "12 V"), ("input_type", "1")],
            output: ("state", "undefined"),
            tolerance: 0.0,
        },
        compute: |inputs| {
            let name = inputs.word("input_type").unwrap_or("1");
            let limits = input_type(name);
            let voltage = inputs.voltage("input_voltage");
            let undefined_by = voltage.map(|voltage| {
                let above_off = voltage - volts(limits.off_to);
                let below_on = volts(limits.on_from) - voltage;
                above_off.min(below_on).max(volts(0.0))
            });
            let milliamperes = ElectricCurrent::new::<milliampere>;
            let mut outputs = Outputs::new().with_some("input_voltage", voltage);
            if let Some(voltage) = voltage {
                outputs = outputs.with_word("state", input_state(voltage, limits));
            }
            Ok(outputs
                .with_some("undefined_by", undefined_by)
                .with("off_from", volts(limits.off_from))
                .with("off_to", volts(limits.off_to))
                .with("on_from", volts(limits.on_from))
                .with("on_to", volts(limits.on_to))
                .with("least_current", milliamperes(limits.least_current))
                .with("most_current", milliamperes(limits.most_current))
                .note(format!("Judged as an input of type {name}.")))
        },
    },
    Check {
        name: "loop-current",
        purpose: "What a 4–20 mA signal says, and whether the loop is sound",
        inputs: &[
            reading(
                "loop_current",
                Kind::Current,
                "mA",
                ("-50 mA", "100 mA"),
                "current in the loop, meter in series",
            ),
            assumed(
                nameplate(
                    "scale_low",
                    Kind::Frequency,
                    "Hz",
                    ("-600 Hz", "600 Hz"),
                    "frequency at 4 mA, as set",
                ),
                "0 Hz",
            ),
            optional(nameplate(
                "scale_high",
                Kind::Frequency,
                "Hz",
                ("-600 Hz", "600 Hz"),
                "frequency at 20 mA, as set",
            )),
            optional(nameplate(
                "burden_resistance",
                Kind::Resistance,
                "Ω",
                ("1 Ω", "10 kΩ"),
                "resistance of the analog input",
            )),
        ],
        outputs: &[
            output("share", Kind::Ratio, "%", "share of the span"),
            output("current", Kind::Current, "mA", "loop current"),
            word("state", "state of the loop"),
            output(
                "into_gap",
                Kind::Current,
                "mA",
                "distance into the strip between valid and failure",
            ),
            output(
                "frequency",
                Kind::Frequency,
                "Hz",
                "frequency it stands for",
            ),
            output(
                "voltage",
                Kind::Voltage,
                "V",
                "voltage across the analog input",
            ),
        ],
        formula: "share = (I − 4 mA) / 16 mA, f = f_low + share · (f_high − f_low), U = I · R (I: loop current; f: frequency by the set scale; R: input resistance)",
        valid: "4–20 mA; valid 3.8 mA to 20.5 mA, failure up to 3.6 mA and from 21 mA",
        sources: &["namur-ne-43"],
        expect: &["4 mA to 20 mA, in step with what the transmitter measures"],
        bands: &[
            band(
                "into_gap > 0 mA",
                Verdict::Suspect,
                "Outside the valid range, not yet a failure.",
                "namur-ne-43",
            ),
            band(
                "current < 3.8 mA",
                Verdict::Bad,
                "3.6 mA or less, a loop fault: a break, no supply or a dead transmitter.",
                "namur-ne-43",
            ),
            band(
                "current > 20.5 mA",
                Verdict::Bad,
                "21 mA or more: the transmitter reports a failure, or the loop is shorted.",
                "namur-ne-43",
            ),
            band("", Verdict::Normal, "A valid signal.", "namur-ne-43"),
        ],
        doubtful: &["current > 50 mA", "current < -1 mA"],
        example: Example {
            inputs: &[("loop_current", "13.6 mA"), ("scale_high", "60 Hz")],
            output: ("frequency", "36 Hz"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let current = inputs.current("loop_current");
            let share = current.map(loop_share);
            let frequency = inputs
                .frequency("scale_low")
                .zip(inputs.frequency("scale_high"))
                .zip(share)
                .map(|((low, high), share)| low + (high - low) * share);
            let voltage = current
                .zip(inputs.resistance("burden_resistance"))
                .map(|(current, resistance)| current * resistance);
            let mut outputs = Outputs::new()
                .with_some("share", share)
                .with_some("current", current);
            if let Some(current) = current {
                outputs = outputs
                    .with_word("state", loop_state(current))
                    .with("into_gap", into_gap(current));
            }
            Ok(outputs
                .with_some("frequency", frequency)
                .with_some("voltage", voltage))
        },
    },
    Check {
        name: "voltage-signal",
        purpose: "Share of the span that an analog voltage stands for",
        inputs: &[
            reading(
                "signal_voltage",
                Kind::Voltage,
                "V",
                ("-30 V", "30 V"),
                "voltage between the analog input and its common",
            ),
            assumed(
                nameplate(
                    "full_scale_voltage",
                    Kind::Voltage,
                    "V",
                    ("1 V", "20 V"),
                    "voltage of the full signal, as set",
                ),
                "10 V",
            ),
        ],
        outputs: &[output("share", Kind::Ratio, "%", "share of the span")],
        formula: "share = U / U_full (U: signal; U_full: full scale)",
        valid: "signals that begin at 0 V",
        sources: &["practice"],
        expect: &["0 V to {full_scale_voltage}, in step with what is asked for"],
        bands: &[],
        doubtful: &["share > 120 %", "share < -120 %"],
        example: Example {
            inputs: &[("signal_voltage", "7.5 V")],
            output: ("share", "75 %"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let share = inputs
                .voltage("signal_voltage")
                .zip(inputs.voltage("full_scale_voltage"))
                .map(|(signal, full)| signal / full);
            Ok(Outputs::new().with_some("share", share))
        },
    },
];
