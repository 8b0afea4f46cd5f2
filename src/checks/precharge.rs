//! How the DC bus is charged through its resistor, and how often that may happen.

use std::f64::consts::PI;

use uom::si::f64::{
    Capacitance, ElectricCurrent, ElectricPotential, ElectricalResistance, Power, Ratio, Time,
};
use uom::si::time::hour;

use super::capacitor::stored_energy;
use super::define::{
    Check, Example, Input, Outputs, Verdict, band, choice, nameplate, optional, output, reading,
};
use super::shared::{BUS_CAPACITANCE, CHARGED_BUS_VOLTAGE, number, share};
use crate::quantity::{Kind, Quantity};

/// What charges the bus through its resistor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ChargingSource {
    /// A bridge on three phases.
    ThreePhaseBridge,
    /// A bridge on one phase, or on three with one missing.
    SinglePhaseBridge,
    /// A constant voltage: a bus that other drives keep up, a battery.
    ConstantDc,
}

/// The share of the end voltage at which a bus counts as charged.
const CHARGED: f64 = 0.95;

/// Mean of what a rectified wave stands above a level, both relative to its crest.
///
/// Formula: `w − v` below the wave's lowest instant, else `(2/θ) · (sin α − α · v)`, `α = arccos v`
/// Symbols: `v` level; `w` mean of the wave; `θ` angle from crest to crest, 60° or 180°
/// Source:  mohan-power-electronics, ch. 5, integrated
fn mean_above(level: f64, crest_to_crest: f64) -> f64 {
    let lowest = (crest_to_crest / 2.0).cos();
    if level <= lowest {
        return 2.0 / crest_to_crest * (crest_to_crest / 2.0).sin() - level;
    }
    let angle = level.acos();
    2.0 / crest_to_crest * (angle.sin() - angle * level)
}

/// Time to 95 % in time constants: 3.00 from a constant voltage, 4.30 behind a three-phase bridge,
/// 11.4 behind a single-phase one, as near the end current flows at the crests only.
///
/// Formula: `t / (R·C) = ∫ dv / m(v)` from 0 to 0.95, `m` as in [`mean_above`]; `ln 20` if constant
/// Valid:   `R·C` longer than the time from crest to crest; empty bus, no load
/// Source:  iec-80000-6, resistance and capacitance (from memory); mohan-power-electronics, ch. 5
pub fn time_constants_to_charge(source: ChargingSource) -> f64 {
    let crest_to_crest = match source {
        ChargingSource::ConstantDc => return (1.0 / (1.0 - CHARGED)).ln(),
        ChargingSource::ThreePhaseBridge => PI / 3.0,
        ChargingSource::SinglePhaseBridge => PI,
    };
    // Simpson's rule; the integrand is smooth enough for six digits.
    let steps = 2000;
    let step = CHARGED / f64::from(steps);
    let sum: f64 = (0..=steps)
        .map(|at| {
            let weight = match at {
                0 => 1.0,
                at if at == steps => 1.0,
                at if at % 2 == 1 => 4.0,
                _ => 2.0,
            };
            weight / mean_above(f64::from(at) * step, crest_to_crest)
        })
        .sum();
    sum * step / 3.0
}

/// Time in which a bus charges to 95 % through a resistor.
///
/// Formula: `t = k · R · C`, `k` as in [`time_constants_to_charge`]
/// Source:  as for [`time_constants_to_charge`]
pub fn precharge_time(
    resistance: ElectricalResistance,
    capacitance: Capacitance,
    source: ChargingSource,
) -> Time {
    resistance * capacitance * time_constants_to_charge(source)
}

/// Mean power in the precharge resistor from one power-up after another: `P = C · U² / 2 · n`.
///
/// Symbols: `C` bus capacitance [F]; `U` bus voltage [V]; `n` power-ups an hour
/// Valid:   bus empty before each; no load while it charges
/// Source:  iec-80000-6, energy of a capacitance (from memory)
pub fn mean_power(capacitance: Capacitance, voltage: ElectricPotential, an_hour: f64) -> Power {
    stored_energy(capacitance, voltage) * an_hour / Time::new::<hour>(1.0)
}

const PRECHARGE_RESISTANCE: Input = nameplate(
    "precharge_resistance",
    Kind::Resistance,
    "Ω",
    ("0.1 Ω", "10 kΩ"),
    "precharge resistor, from the drive's own manual or as measured",
);
const POWER_UPS: Input = reading(
    "power_ups_per_hour",
    Kind::Count,
    "",
    ("0", "1000"),
    "power-ups in the busiest hour, counted or from the log",
);

fn source_of(word: Option<&str>) -> (ChargingSource, &'static str) {
    match word {
        Some("single-phase-bridge") => (
            ChargingSource::SinglePhaseBridge,
            "Behind a single-phase bridge: 11.4 time constants, as near the end current flows at the crests only.",
        ),
        Some("constant-dc") => (
            ChargingSource::ConstantDc,
            "From a constant dc voltage: three time constants. Behind a bridge on the mains it takes longer.",
        ),
        _ => (
            ChargingSource::ThreePhaseBridge,
            "Behind a three-phase bridge: 4.3 time constants, as near the end current flows at the crests only; three from a constant dc voltage.",
        ),
    }
}

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "precharge-time",
        purpose: "Time, current and energy of charging the DC bus through its resistor",
        inputs: &[
            PRECHARGE_RESISTANCE,
            BUS_CAPACITANCE,
            optional(CHARGED_BUS_VOLTAGE),
            choice(
                "charging_source",
                &["three-phase-bridge", "single-phase-bridge", "constant-dc"],
                "what charges the bus: rectified mains, or a constant dc voltage such as a bus kept up by other drives",
            ),
        ],
        outputs: &[
            output("time", Kind::Time, "s", "time to 95 % of the bus voltage"),
            output(
                "time_constant",
                Kind::Time,
                "s",
                "time constant, resistance times capacitance",
            ),
            output(
                "peak_current",
                Kind::Current,
                "A",
                "current at the first moment",
            ),
            output(
                "energy",
                Kind::Energy,
                "J",
                "energy in the resistor at each charge, at most",
            ),
        ],
        formula: "t = k · R · C, k = 4.30 behind a three-phase bridge, 11.4 behind a single-phase one, ln 20 = 3.00 from constant dc; I = U / R, E = C · U² / 2 (R: precharge resistance; C: bus capacitance; U: bus voltage)",
        valid: "bus empty at first, time constant longer than 10 ms; a bus that is loaded or leaks charges more slowly",
        sources: &[
            "iec-80000-6: resistance, capacitance, energy (from memory)",
            "mohan-power-electronics: ch. 5",
        ],
        expect: &["{time} to 95 %, from a time constant of {time_constant}"],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[
                ("precharge_resistance", "47 Ω"),
                ("bus_capacitance", "1000 µF"),
                ("bus_voltage", "566 V"),
            ],
            output: ("time", "0.202 s"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let resistance = inputs.resistance("precharge_resistance");
            let capacitance = inputs.capacitance("bus_capacitance");
            let voltage = inputs.voltage("bus_voltage");
            let (source, note) = source_of(inputs.word("charging_source"));
            let path = resistance.zip(capacitance);
            let peak = voltage
                .zip(resistance)
                .map(|(u, r)| -> ElectricCurrent { u / r });
            Ok(Outputs::new()
                .with_some("time", path.map(|(r, c)| precharge_time(r, c, source)))
                .with_some("time_constant", path.map(|(r, c)| -> Time { r * c }))
                .with_some("peak_current", peak)
                .with_some(
                    "energy",
                    capacitance.zip(voltage).map(|(c, u)| stored_energy(c, u)),
                )
                .note(note))
        },
    },
    Check {
        name: "precharge-starts",
        purpose: "Power-ups an hour against what the precharge resistor takes",
        inputs: &[
            BUS_CAPACITANCE,
            CHARGED_BUS_VOLTAGE,
            nameplate(
                "precharge_power",
                Kind::Power,
                "W",
                ("0.1 W", "10 kW"),
                "rated power of the precharge resistor, from its body or the drive's own manual",
            ),
            optional(nameplate(
                "precharge_pulse_energy",
                Kind::Energy,
                "J",
                ("0.1 J", "1 MJ"),
                "energy that the resistor takes in one pulse, from its data sheet",
            )),
            POWER_UPS,
        ],
        outputs: &[
            output(
                "energy",
                Kind::Energy,
                "J",
                "energy of each charge, at most",
            ),
            output(
                "average_power",
                Kind::Power,
                "W",
                "mean power in the resistor",
            ),
            output(
                "highest_count",
                Kind::Count,
                "",
                "power-ups an hour that its rated power allows",
            ),
            output(
                "ratio",
                Kind::Ratio,
                "%",
                "mean power or single charge against the rating, whichever is nearer to it",
            ),
        ],
        formula: "E = C · U² / 2, P = E · n / 1 h, ratio = max(P / P_r, E / E_r) (C: bus capacitance; U: bus voltage; n: power-ups an hour; P_r, E_r: rated power and pulse energy of the resistor)",
        valid: "bus empty before each power-up; a PTC resistor needs its own cooling time between two, and the drive's manual may allow fewer",
        sources: &[
            "iec-80000-6: resistance, capacitance, energy (from memory)",
            "practice",
        ],
        expect: &[
            "{energy} at each power-up; no more than {highest_count} an hour, and no more than the drive's manual allows",
        ],
        bands: &[
            band(
                "ratio > 100 %",
                Verdict::Bad,
                "More than the resistor is rated for: leave the drive powered and stop it by its own command.",
                "practice",
            ),
            band(
                "ratio > 50 %",
                Verdict::Suspect,
                "The resistor gets hot: half its rating leaves room for a warm cabinet.",
                "practice",
            ),
            band(
                "",
                Verdict::Normal,
                "Well within the resistor's rating.",
                "practice",
            ),
        ],
        doubtful: &["ratio > 10000 %"],
        example: Example {
            inputs: &[
                ("bus_capacitance", "2000 µF"),
                ("bus_voltage", "566 V"),
                ("precharge_power", "10 W"),
                ("power_ups_per_hour", "60"),
            ],
            output: ("average_power", "5.339 W"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let held = inputs
                .capacitance("bus_capacitance")
                .zip(inputs.voltage("bus_voltage"));
            let energy = held.map(|(c, u)| stored_energy(c, u));
            let power = held
                .zip(inputs.count("power_ups_per_hour"))
                .map(|((c, u), count)| mean_power(c, u, number(count)));
            let rated = inputs.power("precharge_power");
            let by_power = power.zip(rated).map(|(p, rated)| -> Ratio { p / rated });
            let by_pulse = energy
                .zip(inputs.energy("precharge_pulse_energy"))
                .map(|(e, rated)| -> Ratio { e / rated });
            let ratio = by_power.map(|by_power| by_power.max(by_pulse.unwrap_or(share(0.0))));
            let highest = rated
                .zip(energy.filter(|energy| energy.value > 0.0))
                .map(|(rated, energy)| number(rated * Time::new::<hour>(1.0) / energy).floor());
            Ok(Outputs::new()
                .with_some("energy", energy)
                .with_some("average_power", power)
                .with_some(
                    "highest_count",
                    highest.map(|count| Quantity::from_si(Kind::Count, count)),
                )
                .with_some("ratio", ratio))
        },
    },
];
