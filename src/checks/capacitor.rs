//! Charge in the DC bus: how long it stays, what it holds.

use uom::si::f64::{
    Capacitance, ElectricCharge, ElectricPotential, ElectricalResistance, Energy, Time,
};
use uom::si::time::minute;

use super::braking::bus_energy;
use super::define::{
    Check, Example, Outputs, Verdict, assumed, band, nameplate, optional, output, reading,
};
use super::safety::{DischargeRule, discharge_limit};
use super::shared::{BUS_CAPACITANCE, CHARGED_BUS_VOLTAGE};
use crate::quantity::Kind;

/// Time in which a capacitor falls to a voltage through a resistor; none if it is there already.
///
/// Formula: `t = R · C · ln(U₀ / U)`
/// Symbols: `R` discharge resistance [Ω]; `C` bus capacitance [F]; `U₀`, `U` voltage at first and at last [V]
/// Valid:   the discharge path is whole
/// Source:  iec-80000-6, resistance and capacitance (from memory), solved for the voltage
pub fn discharge_time(
    resistance: ElectricalResistance,
    capacitance: Capacitance,
    from: ElectricPotential,
    to: ElectricPotential,
) -> Time {
    if from <= to {
        return Time::default();
    }
    resistance * capacitance * (from.value / to.value).ln()
}

/// Voltage left after a time: `U = U₀ · exp(−t / RC)`.
///
/// Source: as for [`discharge_time`]
pub fn voltage_after(
    from: ElectricPotential,
    time: Time,
    resistance: ElectricalResistance,
    capacitance: Capacitance,
) -> ElectricPotential {
    let constants: Time = resistance * capacitance;
    from * (-(time.value / constants.value)).exp()
}

/// Longest time constant with which a wait is enough: `RC = t / ln(U₀ / U)`; none where there is nothing to wait for.
///
/// Source: as for [`discharge_time`]
pub fn longest_time_constant(
    time: Time,
    from: ElectricPotential,
    to: ElectricPotential,
) -> Option<Time> {
    (from > to).then(|| time / (from.value / to.value).ln())
}

/// Energy of a charged capacitor: `E = C · U² / 2`; a precharge resistor takes the same at each charge.
///
/// Source: iec-80000-6, energy of a capacitance (from memory)
pub fn stored_energy(capacitance: Capacitance, voltage: ElectricPotential) -> Energy {
    bus_energy(capacitance, ElectricPotential::default(), voltage)
}

/// The wait before a drive is opened, if its label asks for no more. Source: practice.
fn usual_wait() -> Time {
    Time::new::<minute>(5.0)
}

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "discharge-wait",
        purpose: "How long the DC bus takes to fall to a safe voltage once the supply is off",
        inputs: &[
            BUS_CAPACITANCE,
            nameplate(
                "discharge_resistance",
                Kind::Resistance,
                "kΩ",
                ("1 Ω", "10 MΩ"),
                "discharge resistance across the bus, from the drive's own manual",
            ),
            CHARGED_BUS_VOLTAGE,
            assumed(
                nameplate(
                    "safe_voltage",
                    Kind::Voltage,
                    "V",
                    ("5 V", "60 V"),
                    "voltage to fall to",
                ),
                "60 V",
            ),
            optional(nameplate(
                "label_time",
                Kind::Time,
                "min",
                ("1 s", "24 h"),
                "waiting time on the drive's own label",
            )),
        ],
        outputs: &[
            output("time", Kind::Time, "s", "time to the safe voltage"),
            output("time_constant", Kind::Time, "s", "time constant"),
            output(
                "wait",
                Kind::Time,
                "s",
                "wait: the longest of five minutes, label and sum",
            ),
            output(
                "voltage_after_wait",
                Kind::Voltage,
                "V",
                "voltage left after that wait",
            ),
            output(
                "longest_time_constant",
                Kind::Time,
                "s",
                "longest time constant for which five minutes do",
            ),
        ],
        formula: "t = R · C · ln(U₀ / U) (R: discharge resistance; C: bus capacitance; U₀: bus voltage; U: safe voltage)",
        valid: "the discharge path is whole; a broken one keeps the charge for hours",
        sources: &[
            "iec-60204-1: 6.2.4",
            "iec-61800-5-1: discharge of capacitors (from memory)",
            "practice",
        ],
        expect: &["at least {wait}, or the label's time if that is longer; then measure"],
        bands: &[
            band(
                "time > 5 min",
                Verdict::Suspect,
                "The five minutes of habit are too short here: wait longer.",
                "practice",
            ),
            band(
                "",
                Verdict::Normal,
                "Five minutes are enough if the discharge path is whole.",
                "practice",
            ),
        ],
        doubtful: &["time > 1 h"],
        example: Example {
            inputs: &[
                ("bus_capacitance", "2000 µF"),
                ("discharge_resistance", "50 kΩ"),
                ("bus_voltage", "680 V"),
            ],
            output: ("time", "242.8 s"),
            tolerance: 2e-4,
        },
        compute: |inputs| {
            let path = inputs
                .resistance("discharge_resistance")
                .zip(inputs.capacitance("bus_capacitance"));
            let voltages = inputs
                .voltage("bus_voltage")
                .zip(inputs.voltage("safe_voltage"));
            let time = path
                .zip(voltages)
                .map(|((r, c), (from, to))| discharge_time(r, c, from, to));
            let label = inputs.time("label_time").unwrap_or_default();
            let wait = time.map(|time| time.max(usual_wait()).max(label));
            let left = path
                .zip(voltages)
                .zip(wait)
                .map(|(((r, c), (from, _)), wait)| voltage_after(from, wait, r, c));
            let longest =
                voltages.and_then(|(from, to)| longest_time_constant(usual_wait(), from, to));
            Ok(Outputs::new()
                .with_some("time", time)
                .with_some("time_constant", path.map(|(r, c)| -> Time { r * c }))
                .with_some("wait", wait)
                .with_some("voltage_after_wait", left)
                .with_some("longest_time_constant", longest)
                .note("The label's time rules, and no sum replaces the meter: prove the bus dead with a proven tester."))
        },
    },
    Check {
        name: "residual-voltage",
        purpose: "Voltage left on the DC bus after the wait",
        inputs: &[reading(
            "residual_voltage",
            Kind::Voltage,
            "V",
            ("-1500 V", "1500 V"),
            "DC bus voltage after the label's time, measured with a proven tester",
        )],
        outputs: &[output(
            "voltage",
            Kind::Voltage,
            "V",
            "voltage left, whichever way the leads lie",
        )],
        formula: "|U| below 60 V (U: voltage between plus and minus of the bus)",
        valid: "supply isolated and locked; the tester proved before and after",
        sources: &["iec-60204-1: 6.2.4", "cfr-1910-333: (a)(1)"],
        expect: &["close to 0 V, at any rate below 50 V"],
        bands: &[
            band(
                "voltage < 50 V",
                Verdict::Normal,
                "The stored charge is no longer a source of shock; prove dead every conductor you will touch.",
                "cfr-1910-333",
            ),
            band(
                "voltage < 60 V",
                Verdict::Suspect,
                "Below the limit of 60 V but above 50 V: wait on and measure again.",
                "iec-60204-1",
            ),
            band(
                "",
                Verdict::Bad,
                "Still charged: the discharge path is open or the supply is on. Stay out and treat it as live.",
                "iec-60204-1",
            ),
        ],
        doubtful: &[],
        example: Example {
            inputs: &[("residual_voltage", "-310 V")],
            output: ("voltage", "310 V"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let voltage = inputs
                .voltage("residual_voltage")
                .map(ElectricPotential::abs);
            Ok(Outputs::new().with_some("voltage", voltage))
        },
    },
    Check {
        name: "stored-energy",
        purpose: "Energy and charge that the DC bus holds",
        inputs: &[BUS_CAPACITANCE, CHARGED_BUS_VOLTAGE],
        outputs: &[
            output("energy", Kind::Energy, "J", "energy held"),
            output("charge", Kind::Charge, "µC", "charge held"),
            output(
                "exempt_charge",
                Kind::Charge,
                "µC",
                "charge up to which no discharge is asked for",
            ),
        ],
        formula: "E = C · U² / 2, Q = C · U (C: bus capacitance; U: bus voltage)",
        valid: "bus capacitors alone; filters and other drives on the same bus come on top",
        sources: &[
            "iec-80000-6: resistance, capacitance, energy (from memory)",
            "iec-60204-1: 6.2.4",
        ],
        expect: &["{charge}, against {exempt_charge} that may be left alone"],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[("bus_capacitance", "2000 µF"), ("bus_voltage", "680 V")],
            output: ("energy", "462.4 J"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let held = inputs
                .capacitance("bus_capacitance")
                .zip(inputs.voltage("bus_voltage"));
            let charge = held.map(|(c, u)| -> ElectricCharge { c * u });
            Ok(Outputs::new()
                .with_some("energy", held.map(|(c, u)| stored_energy(c, u)))
                .with_some("charge", charge)
                .with(
                    "exempt_charge",
                    discharge_limit(DischargeRule::Machine).charge,
                )
                .note("60 µC by IEC 60204-1; IEC 61800-5-1 leaves 50 µC (from memory). A drive's bus holds far more than either."))
        },
    },
];
