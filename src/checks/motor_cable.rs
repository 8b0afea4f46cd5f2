//! What a drive's pulses do to a long motor cable: charging current and reflected voltage.

use std::f64::consts::{PI, SQRT_2};

use uom::si::electric_permittivity::farad_per_meter;
use uom::si::electric_potential::volt;
use uom::si::f64::{
    Capacitance, ElectricCurrent, ElectricPotential, ElectricalResistance, Frequency, Length,
    Ratio, Time, Velocity,
};
use uom::si::time::second;

use super::dc_bus::bus_at_rest;
use super::define::{
    Check, CheckError, Example, Input, Outputs, Verdict, assumed, band, choice, nameplate,
    optional, output, reading, word,
};
use super::shared::{
    BUS_VOLTAGE, CABLE_LENGTH, DRIVE_RATED_CURRENT, MOTOR_RATED_VOLTAGE, OUTPUT_FREQUENCY,
    SUPPLY_VOLTAGE, contradiction, number, share,
};
use crate::quantity::Kind;

/// Current that a sine voltage drives into a cable's capacitance, a phase.
///
/// Formula: `I = 2π · f · C · U / √3`
/// Symbols: `f` frequency [Hz]; `C` capacitance of one phase to the star point [F]; `U` line voltage [V]
/// Valid:   sine voltage, three balanced phases
/// Source:  fitzgerald-electric-machinery, app. A (from memory)
pub fn sine_charging_current(
    frequency: Frequency,
    capacitance: Capacitance,
    voltage: ElectricPotential,
) -> ElectricCurrent {
    frequency * capacitance * voltage * (2.0 * PI / 3f64.sqrt())
}

/// Mean current that a drive's pulses push into a cable's capacitance, a phase.
///
/// Formula: `I = 2 · f_s · C · U_dc`, the charge of two edges in each switching period
/// Symbols: `f_s` switching frequency [Hz]; `C` capacitance of one core to the screen [F];
/// `U_dc` DC bus voltage [V]
/// Valid:   mean of the amount; the peaks at each edge are far higher and shorter
/// Source:  mohan-power-electronics, ch. 3 (capacitor current i = C · du/dt)
pub fn pulse_charging_current(
    switching_frequency: Frequency,
    capacitance: Capacitance,
    bus_voltage: ElectricPotential,
) -> ElectricCurrent {
    switching_frequency * capacitance * bus_voltage * 2.0
}

/// Cable length from which a pulse is reflected in full at the motor.
///
/// Formula: `l_c = v · t_r / 2`
/// Symbols: `v` speed of the wave, 150 to 170 m/µs [m/s]; `t_r` rise time of the pulse [s]
/// Valid:   one cable without branches
/// Source:  pyrhonen-electrical-machine-drives-control, ch. 13
pub fn critical_length(wave_speed: Velocity, rise_time: Time) -> Length {
    wave_speed * rise_time / 2.0
}

/// Peak at the motor's terminals, relative to the pulse, beyond the critical length.
///
/// Formula: `2 · Z_m / (Z_m + Z_0)`
/// Symbols: `Z_m` surge impedance of the motor, `Z_0` of the cable [Ω]
/// Valid:   a first pulse on a cable at rest; ringing on a charged cable can pass 2
/// Source:  pyrhonen-electrical-machine-drives-control, eq. 13.6
pub fn transmission_factor(motor: ElectricalResistance, cable: ElectricalResistance) -> Ratio {
    motor * 2.0 / (motor + cable)
}

/// Peak voltage and shortest rise time that a motor's insulation is built for.
///
/// Formula: general purpose 1000 V, 2 µs; inverter duty `1.1 · 2 · √2 · U_r`, 0.1 µs; inverter
/// duty of early editions 1600 V, 0.1 µs
/// Symbols: `U_r` rated voltage [V]
/// Valid:   motors rated up to 600 V; nothing above
/// Errors:  a motor kind that is none of the three
/// Source:  nema-mg1, Part 30; nema-mg1, 31.4.4.2; early editions from memory
pub fn peak_limit(
    motor_kind: &str,
    rated_voltage: ElectricPotential,
) -> Result<Option<(ElectricPotential, Time)>, CheckError> {
    let (peak, microseconds) = match motor_kind {
        "general-purpose" => (ElectricPotential::new::<volt>(1000.0), 2.0),
        "inverter-duty" => (rated_voltage * (1.1 * 2.0 * SQRT_2), 0.1),
        "inverter-duty-early" => (ElectricPotential::new::<volt>(1600.0), 0.1),
        _ => {
            return Err(contradiction(
                "no such motor; whytrip check shows the choices",
            ));
        }
    };
    let in_scope = rated_voltage <= ElectricPotential::new::<volt>(600.0);
    Ok(in_scope.then(|| (peak, Time::new::<second>(microseconds * 1e-6))))
}

/// Stress category of a winding by its overshoot, peak over DC bus voltage.
///
/// Valid:   the upper figure of a category is included
/// Source:  iec-60034-18-41 (from memory)
pub fn stress_category(overshoot: Ratio) -> &'static str {
    match number(overshoot) - 1e-9 {
        benign if benign <= 1.1 => "benign",
        moderate if moderate <= 1.5 => "moderate",
        severe if severe <= 2.0 => "severe",
        extreme if extreme <= 2.5 => "extreme",
        _ => "beyond extreme",
    }
}

/// Capacitance of a shielded motor cable, core to screen, from and to [F/m]: 0.15 to 0.6 µF/km.
///
/// Valid:   4 to 50 mm²; the cable's data sheet decides
/// Source:  practice
pub const TYPICAL_CAPACITANCE: (f64, f64) = (0.15e-9, 0.6e-9);

pub(super) const SWITCHING_FREQUENCY: Input = nameplate(
    "switching_frequency",
    Kind::Frequency,
    "kHz",
    ("0.5 kHz", "100 kHz"),
    "switching frequency set in the drive",
);
pub(super) const CABLE_CAPACITANCE: Input = nameplate(
    "cable_capacitance",
    Kind::CapacitancePerLength,
    "µF/km",
    ("0.02 µF/km", "3 µF/km"),
    "capacitance of one core to the screen, from the cable's data sheet; usually 0.15 to 0.6 µF/km",
);
const RISE_TIME: Input = nameplate(
    "rise_time",
    Kind::Time,
    "µs",
    ("0.01 µs", "20 µs"),
    "rise time of the drive's output pulses, from its manual; 0.05 to 0.5 µs is usual",
);
const WAVE_SPEED: Input = nameplate(
    "wave_speed",
    Kind::Velocity,
    "m/µs",
    ("50 m/µs", "300 m/µs"),
    "speed of a pulse in the cable; 150 to 170 m/µs is usual",
);
const CABLE_IMPEDANCE: Input = nameplate(
    "cable_impedance",
    Kind::Resistance,
    "Ω",
    ("5 Ω", "500 Ω"),
    "surge impedance of the cable",
);
const MOTOR_IMPEDANCE: Input = nameplate(
    "motor_impedance",
    Kind::Resistance,
    "Ω",
    ("5 Ω", "20 kΩ"),
    "surge impedance of the motor; the smaller the motor, the higher",
);
const MEASURED_PEAK: Input = reading(
    "measured_peak_voltage",
    Kind::Voltage,
    "V",
    ("0 V", "6 kV"),
    "peak between two motor terminals, by a scope with a probe rated for it",
);

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "cable-charging-current",
        purpose: "Current that a long motor cable draws from the drive on top of the motor's",
        inputs: &[
            CABLE_LENGTH,
            SUPPLY_VOLTAGE,
            assumed(SWITCHING_FREQUENCY, "4 kHz"),
            assumed(CABLE_CAPACITANCE, "0.3 µF/km"),
            assumed(OUTPUT_FREQUENCY, "50 Hz"),
            optional(DRIVE_RATED_CURRENT),
        ],
        outputs: &[
            output(
                "current",
                Kind::Current,
                "A",
                "mean charging current of the pulses, a phase",
            ),
            output(
                "sine_current",
                Kind::Current,
                "A",
                "charging current of the fundamental, a phase",
            ),
            output(
                "share",
                Kind::Ratio,
                "%",
                "pulse charging current, of the drive's rated current",
            ),
        ],
        formula: "I = 2 · f_s · C' · L · √2 · U; sine part 2π · f · C' · L · U / √3 \
                  (f_s: switching frequency; C': capacitance; L: length; U: supply voltage; f: output frequency)",
        valid: "shielded cable, one motor, no output filter; mean values: the peaks at each edge are far higher",
        sources: &["mohan-power-electronics: ch. 3", "practice"],
        expect: &[
            "{current} for this cable; a tenth of the drive's rated current is much",
            "well below a tenth of the drive's rated current",
        ],
        bands: &[
            band(
                "share > 25 %",
                Verdict::Bad,
                "The cable alone takes a good part of the drive's current: shorter cable, filter, lower switching frequency, or a larger drive.",
                "practice",
            ),
            band(
                "share > 10 %",
                Verdict::Suspect,
                "The cable takes a noticeable part of the drive's current: compare its length with the drive's manual.",
                "practice",
            ),
            band(
                "",
                Verdict::Normal,
                "Small against the drive's current.",
                "practice",
            ),
        ],
        doubtful: &["share > 200 %"],
        example: Example {
            inputs: &[
                ("cable_length", "1 km"),
                ("supply_voltage", "400 V"),
                ("output_frequency", "50 Hz"),
            ],
            output: ("sine_current", "21.77 mA"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let capacitance = inputs
                .length("cable_length")
                .zip(inputs.capacitance_per_length("cable_capacitance"))
                .map(|(length, per_metre)| -> Capacitance { length * per_metre });
            let supply = inputs.voltage("supply_voltage");
            let current = inputs
                .frequency("switching_frequency")
                .zip(capacitance)
                .zip(supply)
                .map(|((frequency, capacitance), supply)| {
                    pulse_charging_current(frequency, capacitance, bus_at_rest(supply))
                });
            let sine = inputs
                .frequency("output_frequency")
                .zip(capacitance)
                .zip(supply)
                .map(|((frequency, capacitance), supply)| {
                    sine_charging_current(frequency, capacitance, supply)
                });
            let share = current
                .zip(inputs.current("drive_rated_current"))
                .map(|(current, rated)| current / rated);
            let outputs = Outputs::new()
                .with_some("current", current)
                .with_some("sine_current", sine)
                .with_some("share", share);
            let (least, most) = TYPICAL_CAPACITANCE;
            let usual = inputs
                .capacitance_per_length("cable_capacitance")
                .is_none_or(|own| (least..=most).contains(&own.get::<farad_per_meter>()));
            Ok(match usual {
                true => outputs,
                false => outputs.note(
                    "This capacitance is not usual for a shielded motor cable: 0.15 to 0.6 µF/km.",
                ),
            })
        },
    },
    Check {
        name: "cable-critical-length",
        purpose: "Cable length from which pulses are reflected in full at the motor",
        inputs: &[
            RISE_TIME,
            assumed(WAVE_SPEED, "150 m/µs"),
            optional(CABLE_LENGTH),
        ],
        outputs: &[
            output(
                "critical_length",
                Kind::Length,
                "m",
                "length from which reflection is full",
            ),
            output("ratio", Kind::Ratio, "%", "cable against that length"),
        ],
        formula: "l_c = v · t_r / 2 (v: speed of the wave; t_r: rise time)",
        valid: "one cable without branches or filter",
        sources: &[
            "pyrhonen-electrical-machine-drives-control: ch. 13",
            "practice",
        ],
        expect: &["reflection is full from {critical_length} on"],
        bands: &[
            band(
                "ratio > 100 %",
                Verdict::Suspect,
                "Long enough for full reflection: the motor sees up to twice the bus voltage.",
                "pyrhonen-electrical-machine-drives-control",
            ),
            band(
                "",
                Verdict::Normal,
                "Shorter: the motor's peak stays well below twice the bus voltage.",
                "pyrhonen-electrical-machine-drives-control",
            ),
        ],
        doubtful: &[],
        example: Example {
            inputs: &[("rise_time", "0.1 µs")],
            output: ("critical_length", "7.5 m"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let critical = inputs
                .velocity("wave_speed")
                .zip(inputs.time("rise_time"))
                .map(|(speed, time)| critical_length(speed, time));
            let ratio = inputs
                .length("cable_length")
                .zip(critical)
                .map(|(length, critical)| length / critical);
            Ok(Outputs::new()
                .with_some("critical_length", critical)
                .with_some("ratio", ratio))
        },
    },
    Check {
        name: "reflected-peak",
        purpose: "Peak voltage at the motor on a long cable, against what its insulation stands",
        inputs: &[
            MOTOR_RATED_VOLTAGE,
            optional(SUPPLY_VOLTAGE),
            optional(BUS_VOLTAGE),
            choice(
                "motor_kind",
                &["general-purpose", "inverter-duty", "inverter-duty-early"],
                "what the motor's insulation is built for, from its nameplate or data sheet",
            ),
            optional(CABLE_IMPEDANCE),
            optional(MOTOR_IMPEDANCE),
            optional(MEASURED_PEAK),
        ],
        outputs: &[
            output(
                "peak_voltage",
                Kind::Voltage,
                "V",
                "peak at the motor with full reflection",
            ),
            output(
                "overshoot",
                Kind::Ratio,
                "%",
                "peak, measured or computed, against the bus voltage",
            ),
            word("stress", "stress category by that overshoot"),
            output(
                "limit",
                Kind::Voltage,
                "V",
                "peak that the motor is built for",
            ),
            output(
                "shortest_rise_time",
                Kind::Time,
                "µs",
                "rise time that goes with it",
            ),
            output(
                "ratio",
                Kind::Ratio,
                "%",
                "peak, measured or computed, against that limit",
            ),
        ],
        formula: "U_peak = U_dc · 2 · Z_m / (Z_m + Z_0), twice U_dc if the impedances are not known; \
                  limits: 1000 V, or 1.1 · 2 · √2 · U_r = 3.11 · U_r (U_dc: bus; Z_m, Z_0: surge impedance of \
                  motor and cable; U_r: rated voltage)",
        valid: "cable beyond its critical length, no output filter; limits for motors rated up to 600 V",
        sources: &[
            "pyrhonen-electrical-machine-drives-control: eq. 13.6",
            "nema-mg1: Part 30",
            "nema-mg1: 31.4.4.2",
            "nema-mg1: Part 31, early editions, 1600 V (from memory)",
            "iec-60034-18-41: stress categories (from memory)",
            "practice",
        ],
        expect: &[
            "at most {peak_voltage}; the motor is built for {limit}",
            "at most {peak_voltage}",
        ],
        bands: &[
            band(
                "ratio > 100 %",
                Verdict::Bad,
                "More than the motor is built for: a filter, a shorter cable, or an inverter-duty motor.",
                "nema-mg1",
            ),
            band(
                "ratio > 90 %",
                Verdict::Suspect,
                "Hardly any margin: a supply 5 to 10 % high uses it up.",
                "practice",
            ),
            band(
                "",
                Verdict::Normal,
                "Within what the motor is built for.",
                "nema-mg1",
            ),
        ],
        doubtful: &["overshoot > 350 %", "overshoot < 50 %"],
        example: Example {
            inputs: &[
                ("motor_rated_voltage", "460 V"),
                ("supply_voltage", "480 V"),
                ("motor_kind", "inverter-duty"),
            ],
            output: ("peak_voltage", "1357.6 V"),
            tolerance: 1e-4,
        },
        compute: |inputs| {
            let bus = inputs
                .voltage("bus_voltage")
                .or_else(|| inputs.voltage("supply_voltage").map(bus_at_rest))
                .filter(|bus| bus.value > 0.0);
            let impedances = inputs
                .resistance("motor_impedance")
                .zip(inputs.resistance("cable_impedance"));
            let factor = impedances.map_or(share(2.0), |(motor, cable)| {
                transmission_factor(motor, cable)
            });
            let computed = bus.map(|bus| bus * factor);
            let peak = inputs.voltage("measured_peak_voltage").or(computed);
            let overshoot = peak.zip(bus).map(|(peak, bus)| peak / bus);
            let limit = inputs
                .voltage("motor_rated_voltage")
                .map(|rated| peak_limit(inputs.word("motor_kind").unwrap_or_default(), rated))
                .transpose()?;
            let known = limit.flatten();
            let outputs = Outputs::new()
                .with_some("peak_voltage", computed)
                .with_some("overshoot", overshoot);
            let outputs = match overshoot {
                Some(overshoot) => outputs.with_word("stress", stress_category(overshoot)),
                None => outputs.note(
                    "Give the bus voltage or the supply voltage: without it there is no overshoot.",
                ),
            };
            let outputs = outputs
                .with_some("limit", known.map(|(limit, _)| limit))
                .with_some("shortest_rise_time", known.map(|(_, rise)| rise))
                .with_some(
                    "ratio",
                    peak.zip(known).map(|(peak, (limit, _))| peak / limit),
                );
            let outputs = match impedances {
                Some(_) => outputs,
                None => outputs.note(
                    "Impedances not given: full reflection taken, the worst for a small motor.",
                ),
            };
            Ok(match limit {
                Some(None) => outputs.note("The limits end at 600 V rated: ask the motor's maker."),
                _ => outputs,
            })
        },
    },
];
