//! The flux in a motor: volts for each hertz at its terminals, and the slips that spoil it.

use uom::si::f64::{ElectricPotential, Frequency, Ratio};

use super::define::{Check, Example, Input, Outputs, Verdict, band, choice, output, reading, word};
use super::shared::{MOTOR_RATED_FREQUENCY, MOTOR_RATED_VOLTAGE, number, share};
use crate::quantity::Kind;

/// Flux of a motor relative to its rated flux.
///
/// Formula: `Φ / Φ_r = (U / f) / (U_r / f_r) · w`
/// Symbols: `U`, `f` voltage [V] and frequency [Hz] at the terminals; `U_r`, `f_r` rated; `w` voltage
/// of a winding against what the nameplate intends, see [`winding_share`]
/// Valid:   sine or fundamental, above some 10 Hz, where the winding's resistance counts for little
/// Source:  fitzgerald-electric-machinery, ch. 4 (from memory): induced voltage in proportion to
/// frequency and flux
pub fn relative_flux(
    voltage: ElectricPotential,
    frequency: Frequency,
    rated_voltage: ElectricPotential,
    rated_frequency: Frequency,
    winding: Ratio,
) -> Ratio {
    (voltage / rated_voltage) * (rated_frequency / frequency) * winding
}

/// Voltage of a winding against what the nameplate intends, by how the motor is connected: √3 in
/// delta where star is meant, 1/√3 the other way round.
///
/// Source: fitzgerald-electric-machinery, app. A (from memory)
pub fn winding_share(connection: Option<&str>) -> Ratio {
    match connection {
        Some("delta-for-star") => share(3f64.sqrt()),
        Some("star-for-delta") => share(1.0 / 3f64.sqrt()),
        _ => share(1.0),
    }
}

/// Which mix-up a flux looks like; within a twenty-fifth of its figure.
///
/// Source: derived: √3 and 1/√3 by the connection, 60/50 and 50/60 by the frequency
pub fn looks_like(flux: Ratio) -> &'static str {
    let flux = number(flux);
    let near = |figure: f64| (flux / figure - 1.0).abs() <= 0.04;
    match flux {
        _ if near(1.0) => "as rated",
        _ if near(3f64.sqrt()) => "delta instead of star",
        _ if near(1.0 / 3f64.sqrt()) => "star instead of delta",
        _ if near(1.2) => "60 Hz voltage at 50 Hz",
        _ if near(50.0 / 60.0) => "50 Hz voltage at 60 Hz",
        _ => "none of the usual mix-ups",
    }
}

const FED_VOLTAGE: Input = reading(
    "output_voltage",
    Kind::Voltage,
    "V",
    ("1 V", "1000 V"),
    "voltage that the motor gets, line to line: as the drive shows it, or by a meter that filters the pulses",
);
const FED_FREQUENCY: Input = reading(
    "output_frequency",
    Kind::Frequency,
    "Hz",
    ("1 Hz", "600 Hz"),
    "frequency that goes with it, as the drive shows it",
);

/// The checks of this area.
pub const CHECKS: &[Check] = &[Check {
    name: "motor-flux",
    purpose: "Flux in the motor against rated: saturation, weakness, and the star-delta or 50/60 Hz mix-up",
    inputs: &[
        MOTOR_RATED_VOLTAGE,
        MOTOR_RATED_FREQUENCY,
        FED_VOLTAGE,
        FED_FREQUENCY,
        choice(
            "connection_made",
            &["as-rated", "delta-for-star", "star-for-delta"],
            "how the motor is connected against the rated voltage given: delta-for-star is delta where that voltage belongs to star",
        ),
    ],
    outputs: &[
        output("flux", Kind::Ratio, "%", "flux of rated flux"),
        word("looks_like", "what that looks like"),
        output(
            "voltage_for_rated_flux",
            Kind::Voltage,
            "V",
            "voltage that gives rated flux at this frequency",
        ),
    ],
    formula: "Φ = (U / f) / (U_r / f_r) · w (U, f: at the terminals; U_r, f_r: nameplate; w: √3 in delta where star is meant, 1/√3 the other way round, else 1)",
    valid: "between some 10 Hz and rated frequency; above it a drive keeps the voltage and the flux falls by intent",
    sources: &[
        "fitzgerald-electric-machinery: ch. 4 (from memory)",
        "iec-60034-1: 7.3, zones A and B (from memory)",
        "practice",
    ],
    expect: &[
        "{motor_rated_voltage} at {motor_rated_frequency}, and in proportion below it",
        "the nameplate's volts for each hertz",
    ],
    bands: &[
        band(
            "flux > 115.8 %",
            Verdict::Bad,
            "Saturated: beyond 110 % voltage at 95 % frequency the iron takes a current that heats the motor even without load. Check star or delta, and the frequency on the nameplate.",
            "iec-60034-1",
        ),
        band(
            "flux > 107.2 %",
            Verdict::Suspect,
            "Near saturation: outside the zone for continuous running, 105 % voltage at 98 % frequency.",
            "iec-60034-1",
        ),
        band(
            "flux < 65 %",
            Verdict::Suspect,
            "Far below rated: ordinary well above rated frequency, where the torque falls off. At or below rated frequency check star or delta.",
            "practice",
        ),
        band(
            "flux < 90 %",
            Verdict::Suspect,
            "Weaker than rated: fine above rated frequency or with energy saving, else look for the wrong voltage.",
            "practice",
        ),
        band("", Verdict::Normal, "Rated flux.", "iec-60034-1"),
    ],
    doubtful: &["flux > 300 %"],
    example: Example {
        inputs: &[
            ("motor_rated_voltage", "400 V"),
            ("motor_rated_frequency", "50 Hz"),
            ("output_voltage", "200 V"),
            ("output_frequency", "25 Hz"),
            ("connection_made", "delta-for-star"),
        ],
        output: ("flux", "173.2 %"),
        tolerance: 1e-4,
    },
    compute: |inputs| {
        let rated = inputs
            .voltage("motor_rated_voltage")
            .zip(inputs.frequency("motor_rated_frequency"));
        let winding = winding_share(inputs.word("connection_made"));
        let flux = rated
            .zip(inputs.voltage("output_voltage"))
            .zip(inputs.frequency("output_frequency"))
            .map(|((rated, voltage), frequency)| {
                relative_flux(voltage, frequency, rated.0, rated.1, winding)
            });
        let right = rated
            .zip(inputs.frequency("output_frequency"))
            .map(|((voltage, rated), frequency)| voltage * (frequency / rated) / winding);
        let outputs = Outputs::new().with_some("flux", flux);
        Ok(match flux {
            Some(flux) => outputs.with_word("looks_like", looks_like(flux)),
            None => outputs,
        }
        .with_some("voltage_for_rated_flux", right))
    },
}];
