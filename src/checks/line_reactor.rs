//! What stands between the network and a drive: transformer and line reactor.

use std::f64::consts::PI;

use uom::si::f64::{ElectricCurrent, ElectricPotential, Frequency, Inductance, Power, Ratio};

use super::dc_bus::six_pulse_mean;
use super::define::{Check, Example, Outputs, Verdict, assumed, band, nameplate, optional, output};
use super::shared::{DRIVE_INPUT_CURRENT, SUPPLY_FREQUENCY, SUPPLY_VOLTAGE, number, share};
use crate::quantity::Kind;

/// Inductance of a reactor, a phase, from its impedance relative to a current.
///
/// Formula: `L = u_k · U / (√3 · I · 2π · f)`
/// Symbols: `u_k` relative impedance; `U` line voltage [V]; `I` its rated current [A]; `f` [Hz]
/// Valid:   resistance left out
/// Source:  fitzgerald-electric-machinery, app. A (from memory)
pub fn reactor_inductance(
    impedance: Ratio,
    voltage: ElectricPotential,
    current: ElectricCurrent,
    frequency: Frequency,
) -> Inductance {
    voltage * impedance / (current * frequency * (2.0 * PI * 3f64.sqrt()))
}

/// Mean of a loaded bus behind an inductance, at the current to which it is related.
///
/// Formula: `U_d = 3√2/π · U · (1 − u_k / 2)`
/// Symbols: `U` line voltage [V]; `u_k` relative impedance of network and reactor together
/// Valid:   rated load, bus current smooth; part load loses in proportion less
/// Source:  mohan-power-electronics, ch. 5 (commutation drop, related to rated values; from memory)
pub fn bus_behind(voltage: ElectricPotential, impedance: Ratio) -> ElectricPotential {
    six_pulse_mean(voltage) * (share(1.0) - impedance / 2.0)
}

/// Harmonic distortion of a six-pulse drive's current at full load, by the relative impedance of
/// network and reactor together: up to the 40th harmonic.
///
/// Source: circuit simulated (tests/data/reference_runs.py, reactor): constant power, 75 µF for each
/// kilowatt; Mohan, ch. 5, has the same shape
pub const DISTORTION: [(f64, f64); 7] = [
    (0.005, 1.05),
    (0.01, 0.85),
    (0.02, 0.57),
    (0.03, 0.43),
    (0.04, 0.37),
    (0.05, 0.33),
    (0.08, 0.27),
];

/// Distortion of the line current, between the points of [`DISTORTION`]; beyond its ends the end's.
pub fn current_distortion(impedance: Ratio) -> Ratio {
    let z = number(impedance);
    let (first, last) = (DISTORTION[0], DISTORTION[DISTORTION.len() - 1]);
    if z <= first.0 {
        return share(first.1);
    }
    let between = DISTORTION.windows(2).find_map(|pair| match pair {
        [(from, high), (to, low)] if z <= *to => {
            Some(high + (low - high) * (z - from) / (to - from))
        }
        _ => None,
    });
    share(between.unwrap_or(last.1))
}

/// Short-circuit current behind a transformer on a stiff network: `I = S / (√3 · U · u_k)`.
///
/// Symbols: `S` rated power [VA]; `U` its secondary line voltage [V]; `u_k` relative impedance
/// Valid:   network far stronger than the transformer, no motors that feed back
/// Source:  iec-60909-0, without the voltage factor (from memory)
pub fn transformer_short_circuit(
    power: Power,
    voltage: ElectricPotential,
    impedance: Ratio,
) -> ElectricCurrent {
    power / (voltage * 3f64.sqrt() * impedance)
}

/// Short-circuit current behind one more inductance: reactances add.
///
/// Formula: `1 / I = 1 / I_before + √3 · 2π · f · L / U`
/// Source:  as for [`transformer_short_circuit`]
pub fn behind_inductance(
    before: ElectricCurrent,
    voltage: ElectricPotential,
    frequency: Frequency,
    inductance: Inductance,
) -> ElectricCurrent {
    let own: ElectricPotential = before * frequency * inductance * (2.0 * PI * 3f64.sqrt());
    before / (share(1.0) + own / voltage)
}

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "line-reactor",
        purpose: "What a line reactor does: bus under load, short-circuit current, harmonics",
        inputs: &[
            SUPPLY_VOLTAGE,
            SUPPLY_FREQUENCY,
            DRIVE_INPUT_CURRENT,
            assumed(
                nameplate(
                    "reactor_impedance",
                    Kind::Ratio,
                    "%",
                    ("0 %", "15 %"),
                    "impedance of the reactor relative to the drive's input current, from its plate; 0 for none",
                ),
                "3 %",
            ),
            assumed(
                nameplate(
                    "network_impedance",
                    Kind::Ratio,
                    "%",
                    ("0.05 %", "15 %"),
                    "impedance of the network relative to the drive: input current over short-circuit current",
                ),
                "0.5 %",
            ),
        ],
        outputs: &[
            output(
                "inductance",
                Kind::Inductance,
                "mH",
                "inductance of the reactor, a phase",
            ),
            output(
                "voltage_drop",
                Kind::Voltage,
                "V",
                "voltage across the reactor, a phase",
            ),
            output("mean_bus_voltage", Kind::Voltage, "V", "bus at full load"),
            output(
                "bus_loss",
                Kind::Ratio,
                "%",
                "bus lost by reactor and network together",
            ),
            output(
                "short_circuit_current",
                Kind::Current,
                "kA",
                "short-circuit current at the drive's terminals",
            ),
            output(
                "distortion",
                Kind::Ratio,
                "%",
                "harmonic distortion of the line current at full load",
            ),
        ],
        formula: "L = u · U / (√3 · I · 2π · f), U_d = 1.35 · U · (1 − (u + u_n) / 2), I_k = I / (u + u_n); distortion by simulation, 105 % at 0.5 %, 85 % at 1 %, 43 % at 3 %, 33 % at 5 % of u + u_n (u: reactor; u_n: network; U: supply voltage; I: input current; f: frequency)",
        valid: "six-pulse diode bridge at full load, no choke on the dc side; the resistances left out",
        sources: &[
            "mohan-power-electronics: ch. 5 (from memory)",
            "fitzgerald-electric-machinery: app. A (from memory)",
            "iec-60909-0: without voltage factor (from memory)",
            "practice",
        ],
        expect: &[
            "{mean_bus_voltage} on the bus at full load, {short_circuit_current} at most into a short circuit",
        ],
        bands: &[
            band(
                "bus_loss > 5 %",
                Verdict::Suspect,
                "So much inductance costs the motor voltage at full speed and load.",
                "practice",
            ),
            band(
                "distortion > 80 %",
                Verdict::Suspect,
                "Hardly any inductance: tall current peaks wear rectifier and capacitors, and the supply's spikes reach them. A reactor of 3 % is usual.",
                "practice",
            ),
            band("", Verdict::Normal, "As with a usual reactor.", "practice"),
        ],
        doubtful: &["short_circuit_current > 200 kA"],
        example: Example {
            inputs: &[
                ("supply_voltage", "400 V"),
                ("supply_frequency", "50 Hz"),
                ("drive_input_current", "28.87 A"),
                ("reactor_impedance", "3 %"),
                ("network_impedance", "1 %"),
            ],
            output: ("inductance", "0.764 mH"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let supply = inputs.voltage("supply_voltage");
            let current = inputs.current("drive_input_current");
            let reactor = inputs.ratio("reactor_impedance");
            let total = reactor
                .zip(inputs.ratio("network_impedance"))
                .map(|(reactor, network)| -> Ratio { reactor + network });
            let inductance = reactor
                .zip(supply)
                .zip(current)
                .zip(inputs.frequency("supply_frequency"))
                .map(|(((z, u), i), f)| reactor_inductance(z, u, i, f));
            Ok(Outputs::new()
                .with_some("inductance", inductance)
                .with_some(
                    "voltage_drop",
                    reactor.zip(supply).map(|(z, u)| u * z / 3f64.sqrt()),
                )
                .with_some(
                    "mean_bus_voltage",
                    supply.zip(total).map(|(u, z)| bus_behind(u, z)),
                )
                .with_some("bus_loss", total.map(|z| z / 2.0))
                .with_some(
                    "short_circuit_current",
                    current.zip(total).map(|(i, z)| i / z),
                )
                .with_some("distortion", total.map(current_distortion)))
        },
    },
    Check {
        name: "short-circuit-at-drive",
        purpose: "Short-circuit current at the drive's input against what the drive is rated for",
        inputs: &[
            SUPPLY_VOLTAGE,
            nameplate(
                "transformer_power",
                Kind::ApparentPower,
                "kVA",
                ("1 kVA", "10 MVA"),
                "rated power of the transformer that feeds the drive",
            ),
            assumed(
                nameplate(
                    "transformer_impedance",
                    Kind::Ratio,
                    "%",
                    ("1 %", "20 %"),
                    "impedance (u_k, %Z) of the transformer, from its plate",
                ),
                "4 %",
            ),
            SUPPLY_FREQUENCY,
            assumed(
                nameplate(
                    "reactor_inductance",
                    Kind::Inductance,
                    "mH",
                    ("0 mH", "100 mH"),
                    "inductance of reactors and cable on the way, a phase; about 0.3 µH a metre of cable",
                ),
                "0 mH",
            ),
            optional(nameplate(
                "short_circuit_rating",
                Kind::Current,
                "kA",
                ("0.1 kA", "300 kA"),
                "short-circuit current rating of the drive with the fuse or breaker its manual names",
            )),
        ],
        outputs: &[
            output(
                "at_transformer",
                Kind::Current,
                "kA",
                "short-circuit current at the transformer",
            ),
            output(
                "at_drive",
                Kind::Current,
                "kA",
                "short-circuit current at the drive",
            ),
            output("ratio", Kind::Ratio, "%", "that current against the rating"),
        ],
        formula: "I_k = S / (√3 · U · u_k), behind L: 1/I = 1/I_k + √3 · 2π · f · L / U (S, u_k: transformer's power and impedance; U: supply voltage; L: inductance on the way; f: frequency)",
        valid: "stiff network, three-phase short circuit, no motors that feed back; up to a tenth more by the standard's voltage factor",
        sources: &[
            "iec-60909-0: without voltage factor (from memory)",
            "practice",
        ],
        expect: &["{at_drive} at most"],
        bands: &[
            band(
                "ratio > 100 %",
                Verdict::Bad,
                "More than the drive with its protection is rated for: current-limiting fuses or a reactor, as its manual asks.",
                "practice",
            ),
            band(
                "ratio > 90 %",
                Verdict::Suspect,
                "Within a tenth of the rating, which is what the standard's voltage factor can add.",
                "iec-60909-0",
            ),
            band("", Verdict::Normal, "Within the rating.", "practice"),
        ],
        doubtful: &["at_transformer > 300 kA"],
        example: Example {
            inputs: &[
                ("supply_voltage", "400 V"),
                ("transformer_power", "630 kVA"),
                ("transformer_impedance", "4 %"),
                ("supply_frequency", "50 Hz"),
            ],
            output: ("at_transformer", "22.73 kA"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let supply = inputs.voltage("supply_voltage");
            let first = inputs
                .apparent_power("transformer_power")
                .zip(supply)
                .zip(inputs.ratio("transformer_impedance"))
                .map(|((s, u), z)| transformer_short_circuit(s, u, z));
            let there = first
                .zip(supply)
                .zip(inputs.frequency("supply_frequency"))
                .zip(inputs.inductance("reactor_inductance"))
                .map(|(((i, u), f), l)| behind_inductance(i, u, f, l));
            let ratio = there
                .zip(inputs.current("short_circuit_rating"))
                .map(|(there, rated)| -> Ratio { there / rated });
            Ok(Outputs::new()
                .with_some("at_transformer", first)
                .with_some("at_drive", there)
                .with_some("ratio", ratio))
        },
    },
];
