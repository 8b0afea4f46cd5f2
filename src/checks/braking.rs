//! Where the energy of a stop goes: losses, DC bus, braking resistor.

use uom::si::electric_potential::volt;
use uom::si::energy::joule;
use uom::si::f64::{
    AngularVelocity, Capacitance, ElectricCurrent, ElectricPotential, ElectricalResistance, Energy,
    Mass, MomentOfInertia, Power, Ratio, Time, Velocity,
};
use uom::si::power::watt;
use uom::si::time::second;

use super::define::{
    Check, CheckError, Example, Input, Outputs, Verdict, assumed, band, nameplate, optional,
    output, reading,
};
use super::inertia::{DECELERATION_TIME, kinetic_energy};
use super::shared::{
    BUS_CAPACITANCE, CHARGED_BUS_VOLTAGE, INERTIA, MOTOR_RATED_POWER, MOTOR_SPEED,
};
use crate::quantity::Kind;

/// Standard gravity [m/s²], exact by definition (CGPM 1901).
const GRAVITY: f64 = 9.806_65;

/// Shortest linear stop whose power never exceeds what the losses take.
///
/// Formula: `t = J · ω² / (k · P_N)`: the power `J · ω² / t` at the start of the stop equals the losses
/// Symbols: `J` inertia [kg·m²]; `ω` speed [rad/s]; `k` loss share of motor, drive and machine; `P_N` motor power [W]
/// Valid:   linear ramp to standstill, no brake, the bus stores next to nothing, `k > 0`
/// Source:  iso-80000-4, energy and power (from memory); practice for the loss share
pub fn minimum_stop_time(
    inertia: MomentOfInertia,
    speed: AngularVelocity,
    rated_power: Power,
    loss_share: Ratio,
) -> Time {
    let taken = rated_power * loss_share;
    Time::new::<second>(inertia.value * speed.value * speed.value / taken.value)
}

/// Power of a resistor at a voltage: `P = U² / R`.
///
/// Source: iec-80000-6, power of a resistance (from memory)
pub fn resistor_power(voltage: ElectricPotential, resistance: ElectricalResistance) -> Power {
    voltage * voltage / resistance
}

/// Largest braking resistor that still takes a power.
///
/// Formula: `R_max = U_on² / P_peak`
/// Symbols: `U_on` bus voltage at which the chopper switches on [V]; `P_peak` highest braking power [W]
/// Valid:   chopper fully on at the peak
/// Source:  iec-80000-6, power of a resistance (from memory)
pub fn largest_resistance(threshold: ElectricPotential, peak_power: Power) -> ElectricalResistance {
    threshold * threshold / peak_power
}

/// Smallest braking resistor that the chopper can switch: `R_min = U_on / I_max`.
///
/// Source: iec-80000-6, resistance (from memory); the current limit is the drive's own
pub fn smallest_resistance(
    threshold: ElectricPotential,
    chopper_current: ElectricCurrent,
) -> ElectricalResistance {
    threshold / chopper_current
}

/// Energy that the bus capacitors take between two voltages: `E = C · (U₂² − U₁²) / 2`.
///
/// Valid:  capacitance constant; losses not counted
/// Source: iec-80000-6, energy of a capacitance (from memory)
pub fn bus_energy(
    capacitance: Capacitance,
    from: ElectricPotential,
    to: ElectricPotential,
) -> Energy {
    let squares = to.value * to.value - from.value * from.value;
    Energy::new::<joule>(capacitance.value * squares / 2.0)
}

/// Bus voltage after an energy came back.
///
/// Formula: `U₂ = √(U₁² + 2E / C)`
/// Symbols: `U₁`, `U₂` bus voltage before and after [V]; `E` energy [J]; `C` bus capacitance [F]
/// Valid:   no chopper, no losses, `E ≥ 0`
/// Source:  iec-80000-6, energy of a capacitance (from memory)
pub fn bus_after(
    capacitance: Capacitance,
    before: ElectricPotential,
    energy: Energy,
) -> ElectricPotential {
    let square = before.value * before.value + 2.0 * energy.value / capacitance.value;
    ElectricPotential::new::<volt>(square.max(0.0).sqrt())
}

/// Power that a lowered load gives back as long as it moves: `P = m · g · v · η`.
///
/// Valid:  steady speed; the efficiency helps, as losses take their part
/// Source: iso-80000-4, potential energy (from memory); standard gravity of CGPM 1901
pub fn lowering_power(mass: Mass, velocity: Velocity, efficiency: Ratio) -> Power {
    Power::new::<watt>(mass.value * GRAVITY * velocity.value * efficiency.value)
}

const CHOPPER_THRESHOLD: Input = nameplate(
    "chopper_threshold",
    Kind::Voltage,
    "V",
    ("150 V", "1300 V"),
    "bus voltage at which the braking chopper switches on, from the drive's own manual or settings",
);
const BRAKE_RESISTANCE: Input = nameplate(
    "brake_resistance",
    Kind::Resistance,
    "Ω",
    ("0.1 Ω", "10 kΩ"),
    "rated value of the braking resistor, from its plate or the drive's planning papers",
);

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "minimum-stop-time",
        purpose: "Shortest stop that needs no braking resistor, and the set time against it",
        inputs: &[
            INERTIA,
            MOTOR_SPEED,
            MOTOR_RATED_POWER,
            DECELERATION_TIME,
            assumed(
                nameplate(
                    "loss_share",
                    Kind::Ratio,
                    "%",
                    ("1 %", "100 %"),
                    "share of the motor's rated power that motor, drive and machine lose while braking",
                ),
                "15 %",
            ),
        ],
        outputs: &[
            output(
                "minimum_time",
                Kind::Time,
                "s",
                "shortest stop on losses alone",
            ),
            output("ratio", Kind::Ratio, "%", "set time against the shortest"),
        ],
        formula: "t_min = J · ω² / (k · P_N) (J: inertia; ω: speed; k: loss share; P_N: rated motor power)",
        valid: "linear ramp to standstill, no braking resistor; the loss share is an assumption unless it is known",
        sources: &["iso-80000-4: energy, power (from memory)", "practice"],
        expect: &[
            "at least {minimum_time}, as {inertia} × the square of {motor_speed} / ({loss_share} of {motor_rated_power})",
            "longer than the losses need to take the energy",
        ],
        bands: &[
            band(
                "ratio < 90 %",
                Verdict::Bad,
                "Shorter than the losses allow: it needs a braking resistor or a longer ramp.",
                "practice",
            ),
            band(
                "ratio < 130 %",
                Verdict::Suspect,
                "About as long as the losses allow: a little more load or speed and it trips.",
                "practice",
            ),
            band(
                "",
                Verdict::Normal,
                "The losses alone take the energy of the stop.",
                "practice",
            ),
        ],
        doubtful: &["ratio < 1 %"],
        example: Example {
            inputs: &[
                ("inertia", "1.2 kg·m²"),
                ("motor_speed", "1480 rpm"),
                ("motor_rated_power", "15 kW"),
                ("deceleration_time", "8 s"),
            ],
            output: ("minimum_time", "12.81 s"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let minimum = inputs
                .inertia("inertia")
                .zip(inputs.speed("motor_speed"))
                .zip(inputs.power("motor_rated_power"))
                .zip(inputs.ratio("loss_share"))
                .map(|(((inertia, speed), power), losses)| {
                    minimum_stop_time(inertia, speed, power, losses)
                });
            let ratio = inputs
                .time("deceleration_time")
                .zip(minimum)
                .map(|(set, minimum)| set / minimum);
            Ok(Outputs::new()
                .with_some("minimum_time", minimum)
                .with_some("ratio", ratio))
        },
    },
    Check {
        name: "brake-resistor-value",
        purpose: "Braking resistor as measured against its rated value",
        inputs: &[
            BRAKE_RESISTANCE,
            reading(
                "measured_resistance",
                Kind::Resistance,
                "Ω",
                ("0 Ω", "1000 GΩ"),
                "resistance between the resistor's leads, lifted at the drive, cold",
            ),
        ],
        outputs: &[output("ratio", Kind::Ratio, "%", "measured against rated")],
        formula: "ratio = R / R_N (R: measured; R_N: rated resistance)",
        valid: "resistor cold, leads lifted, bus proved dead",
        sources: &["practice"],
        expect: &[
            "{brake_resistance}, within a tenth",
            "the value on the resistor's plate, within a tenth",
        ],
        bands: &[
            band(
                "ratio > 300 %",
                Verdict::Bad,
                "Open, or most of it is: it brakes little or not at all.",
                "practice",
            ),
            band(
                "ratio > 120 %",
                Verdict::Bad,
                "Clearly above its rating: a branch is open or a joint is bad; it brakes too weakly.",
                "practice",
            ),
            band(
                "ratio < 80 %",
                Verdict::Bad,
                "Clearly below its rating: it overloads the chopper.",
                "practice",
            ),
            band(
                "ratio > 110 %",
                Verdict::Suspect,
                "A little high for a cold resistor.",
                "practice",
            ),
            band(
                "ratio < 90 %",
                Verdict::Suspect,
                "A little low for a cold resistor.",
                "practice",
            ),
            band("", Verdict::Normal, "As rated.", "practice"),
        ],
        doubtful: &[],
        example: Example {
            inputs: &[
                ("brake_resistance", "40 Ω"),
                ("measured_resistance", "41 Ω"),
            ],
            output: ("ratio", "102.5 %"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let ratio = inputs
                .resistance("measured_resistance")
                .zip(inputs.resistance("brake_resistance"))
                .map(|(measured, rated)| measured / rated);
            Ok(Outputs::new().with_some("ratio", ratio))
        },
    },
    Check {
        name: "brake-resistor-power",
        purpose: "Power and current of the braking resistor while the chopper is on",
        inputs: &[CHOPPER_THRESHOLD, BRAKE_RESISTANCE],
        outputs: &[
            output("power", Kind::Power, "W", "power while on"),
            output("current", Kind::Current, "A", "current while on"),
        ],
        formula: "P = U_on² / R, I = U_on / R (U_on: chopper threshold; R: resistance)",
        valid: "chopper fully on; the average over a cycle is far smaller",
        sources: &["iec-80000-6: resistance, power, energy (from memory)"],
        expect: &["{power}, as {chopper_threshold} × {chopper_threshold} / {brake_resistance}"],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[("chopper_threshold", "390 V"), ("brake_resistance", "25 Ω")],
            output: ("power", "6084 W"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let on = inputs
                .voltage("chopper_threshold")
                .zip(inputs.resistance("brake_resistance"));
            Ok(Outputs::new()
                .with_some("power", on.map(|(u, r)| resistor_power(u, r)))
                .with_some("current", on.map(|(u, r)| u / r)))
        },
    },
    Check {
        name: "brake-resistor-range",
        purpose: "Largest and smallest braking resistor for a stop and a chopper",
        inputs: &[
            CHOPPER_THRESHOLD,
            nameplate(
                "peak_power",
                Kind::Power,
                "kW",
                ("1 W", "10 MW"),
                "highest braking power, as stop-energy or lowering-power gives it",
            ),
            nameplate(
                "chopper_current",
                Kind::Current,
                "A",
                ("0.1 A", "5 kA"),
                "highest current that the chopper may switch, from the drive's own manual",
            ),
            optional(BRAKE_RESISTANCE),
        ],
        outputs: &[
            output(
                "largest_resistance",
                Kind::Resistance,
                "Ω",
                "largest that takes the power",
            ),
            output(
                "smallest_resistance",
                Kind::Resistance,
                "Ω",
                "smallest that the chopper can switch",
            ),
            output(
                "share_of_largest",
                Kind::Ratio,
                "%",
                "resistor against the largest",
            ),
            output(
                "share_of_smallest",
                Kind::Ratio,
                "%",
                "resistor against the smallest",
            ),
        ],
        formula: "R_max = U_on² / P_peak, R_min = U_on / I_max (U_on: chopper threshold; P_peak: braking power; I_max: chopper current)",
        valid: "threshold and current limit of this very drive; the resistor's own power rating is another matter",
        sources: &["iec-80000-6: resistance, power, energy (from memory)"],
        expect: &["between {smallest_resistance} and {largest_resistance}"],
        bands: &[
            band(
                "share_of_smallest < 100 %",
                Verdict::Bad,
                "Below the smallest value: the chopper is overloaded.",
                "iec-80000-6",
            ),
            band(
                "share_of_largest > 100 %",
                Verdict::Bad,
                "Above the largest value: it can't take the power, and the bus climbs.",
                "iec-80000-6",
            ),
            band(
                "",
                Verdict::Normal,
                "The resistor suits stop and chopper.",
                "iec-80000-6",
            ),
        ],
        doubtful: &[],
        example: Example {
            inputs: &[
                ("chopper_threshold", "780 V"),
                ("peak_power", "3603 W"),
                ("chopper_current", "20 A"),
            ],
            output: ("largest_resistance", "168.9 Ω"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let threshold = inputs.voltage("chopper_threshold");
            let largest = threshold
                .zip(inputs.power("peak_power"))
                .map(|(threshold, power)| largest_resistance(threshold, power));
            let smallest = threshold
                .zip(inputs.current("chopper_current"))
                .map(|(threshold, current)| smallest_resistance(threshold, current));
            let fitted = inputs.resistance("brake_resistance");
            let outputs = Outputs::new()
                .with_some("largest_resistance", largest)
                .with_some("smallest_resistance", smallest)
                .with_some(
                    "share_of_largest",
                    fitted.zip(largest).map(|(r, most)| r / most),
                )
                .with_some(
                    "share_of_smallest",
                    fitted.zip(smallest).map(|(r, least)| r / least),
                );
            if largest < smallest && largest.is_some() {
                return Ok(outputs.note(
                    "No resistor suits both: this chopper can't take that power, so the stop must be longer.",
                ));
            }
            Ok(outputs)
        },
    },
    Check {
        name: "bus-absorption",
        purpose: "Energy that the bus itself can take, against the energy of a stop",
        inputs: &[
            BUS_CAPACITANCE,
            CHARGED_BUS_VOLTAGE,
            nameplate(
                "highest_bus_voltage",
                Kind::Voltage,
                "V",
                ("150 V", "1500 V"),
                "chopper threshold or overvoltage level, from the drive's own manual",
            ),
            optional(INERTIA),
            optional(MOTOR_SPEED),
        ],
        outputs: &[
            output("energy", Kind::Energy, "J", "energy that the bus can take"),
            output("stop_energy", Kind::Energy, "J", "energy of the stop"),
            output(
                "ratio",
                Kind::Ratio,
                "%",
                "stop against what the bus can take",
            ),
        ],
        formula: "E_C = C · (U₂² − U₁²) / 2, E = J · ω² / 2 (C: bus capacitance; U₁, U₂: bus voltage now and at most; J: inertia; ω: speed)",
        valid: "losses not counted; U₂ above U₁",
        sources: &["iec-80000-6: resistance, power, energy (from memory)"],
        expect: &[
            "the bus takes {energy} of the {stop_energy} of a stop",
            "the bus takes {energy} from {bus_voltage} to {highest_bus_voltage}",
        ],
        bands: &[
            band(
                "ratio > 100 %",
                Verdict::Bad,
                "More than the bus can take: losses, a resistor or a longer ramp must take the rest.",
                "iec-80000-6",
            ),
            band(
                "",
                Verdict::Normal,
                "The bus alone can take the stop.",
                "iec-80000-6",
            ),
        ],
        doubtful: &[],
        example: Example {
            inputs: &[
                ("bus_capacitance", "1500 µF"),
                ("bus_voltage", "540 V"),
                ("highest_bus_voltage", "780 V"),
            ],
            output: ("energy", "237.6 J"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let voltages = inputs
                .voltage("bus_voltage")
                .zip(inputs.voltage("highest_bus_voltage"));
            if voltages.is_some_and(|(now, most)| now >= most) {
                return Err(CheckError::Contradiction(
                    "bus_voltage is not below highest_bus_voltage: the bus has no room left"
                        .to_owned(),
                ));
            }
            let energy = inputs
                .capacitance("bus_capacitance")
                .zip(voltages)
                .map(|(capacitance, (now, most))| bus_energy(capacitance, now, most));
            let stop = inputs
                .inertia("inertia")
                .zip(inputs.speed("motor_speed"))
                .map(|(inertia, speed)| kinetic_energy(inertia, speed, AngularVelocity::default()));
            Ok(Outputs::new()
                .with_some("energy", energy)
                .with_some("stop_energy", stop)
                .with_some("ratio", stop.zip(energy).map(|(stop, room)| stop / room)))
        },
    },
    Check {
        name: "bus-rise",
        purpose: "Bus voltage after an energy came back into it",
        inputs: &[
            BUS_CAPACITANCE,
            CHARGED_BUS_VOLTAGE,
            nameplate(
                "returned_energy",
                Kind::Energy,
                "J",
                ("0 J", "1 MJ"),
                "energy that neither losses nor a resistor take",
            ),
        ],
        outputs: &[output(
            "bus_voltage_after",
            Kind::Voltage,
            "V",
            "bus voltage afterwards",
        )],
        formula: "U₂ = √(U₁² + 2E / C) (U₁: bus voltage before; E: energy; C: bus capacitance)",
        valid: "no chopper at work; a drive trips before the bus gets far",
        sources: &["iec-80000-6: resistance, power, energy (from memory)"],
        expect: &["{bus_voltage_after}, from {bus_voltage} with {returned_energy}"],
        bands: &[],
        doubtful: &["bus_voltage_after > 1500 V"],
        example: Example {
            inputs: &[
                ("bus_capacitance", "1000 µF"),
                ("bus_voltage", "565.7 V"),
                ("returned_energy", "50 J"),
            ],
            output: ("bus_voltage_after", "648.09 V"),
            tolerance: 1e-4,
        },
        compute: |inputs| {
            let after = inputs
                .capacitance("bus_capacitance")
                .zip(inputs.voltage("bus_voltage"))
                .zip(inputs.energy("returned_energy"))
                .map(|((capacitance, before), energy)| bus_after(capacitance, before, energy));
            Ok(Outputs::new().with_some("bus_voltage_after", after))
        },
    },
    Check {
        name: "lowering-power",
        purpose: "Power that a load gives back as long as it is lowered",
        inputs: &[
            nameplate(
                "mass",
                Kind::Mass,
                "kg",
                ("1 g", "1000 t"),
                "mass that is lowered",
            ),
            nameplate(
                "load_velocity",
                Kind::Velocity,
                "m/s",
                ("0.0001 m/s", "100 m/s"),
                "speed of lowering",
            ),
            assumed(
                nameplate(
                    "efficiency",
                    Kind::Ratio,
                    "%",
                    ("10 %", "100 %"),
                    "efficiency from the load to the DC bus",
                ),
                "100 %",
            ),
        ],
        outputs: &[output("power", Kind::Power, "W", "power given back")],
        formula: "P = m · g · v · η (m: mass; g: 9.80665 m/s²; v: speed; η: efficiency)",
        valid: "steady lowering; the brake resistor takes it for the whole time, not in short pulses",
        sources: &["iso-80000-4: energy, power (from memory)"],
        expect: &["{power}, as {mass} × 9.81 m/s² × {load_velocity} × {efficiency}"],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[
                ("mass", "1000 kg"),
                ("load_velocity", "0.5 m/s"),
                ("efficiency", "85 %"),
            ],
            output: ("power", "4167.8 W"),
            tolerance: 1e-4,
        },
        compute: |inputs| {
            let power = inputs
                .mass("mass")
                .zip(inputs.velocity("load_velocity"))
                .zip(inputs.ratio("efficiency"))
                .map(|((mass, velocity), efficiency)| lowering_power(mass, velocity, efficiency));
            Ok(Outputs::new().with_some("power", power))
        },
    },
];
