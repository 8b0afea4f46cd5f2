//! A drive against what hangs on it: heavy or normal duty, one motor or several.

use uom::si::f64::{ElectricCurrent, Ratio, Time};
use uom::si::time::second;

use super::dc_bus::bus_at_rest;
use super::define::{
    Check, Example, Input, Outputs, Verdict, assumed, band, band_if_known, choice, nameplate,
    optional, output,
};
use super::motor_cable::{CABLE_CAPACITANCE, SWITCHING_FREQUENCY, pulse_charging_current};
use super::overload::{DRIVE_OVERLOAD, DRIVE_OVERLOAD_TIME, DUTIES};
use super::shared::{DRIVE_RATED_CURRENT, MOTOR_RATED_CURRENT, SUPPLY_VOLTAGE, number};
use crate::quantity::Kind;

/// Overload that a duty stands for, relative to the drive's rated current for it, with its time and
/// cycle [s].
///
/// Source: practice, in the form of iec-61800-2; the drive's nameplate decides
pub fn duty(word: Option<&str>) -> (f64, f64, f64) {
    let (_, overload, time, cycle) = DUTIES
        .iter()
        .find(|(name, ..)| word == Some(*name))
        .unwrap_or(&DUTIES[0]);
    (*overload, *time, *cycle)
}

const MOTOR_COUNT: Input = nameplate(
    "motor_count",
    Kind::Count,
    "",
    ("1", "200"),
    "number of such motors on the drive's output",
);

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "duty-rating",
        purpose: "Whether a drive is large enough for its motor in heavy or normal duty",
        inputs: &[
            DRIVE_RATED_CURRENT,
            MOTOR_RATED_CURRENT,
            choice(
                "drive_duty",
                &["heavy", "normal"],
                "heavy: 150 % for 60 s; normal: 110 % for 60 s; each in ten minutes, of the current on the plate for that duty",
            ),
            optional(DRIVE_OVERLOAD),
            optional(DRIVE_OVERLOAD_TIME),
            optional(nameplate(
                "overload_wanted",
                Kind::Ratio,
                "%",
                ("50 %", "400 %"),
                "highest current that the load asks for a minute, of the motor's rated current",
            )),
        ],
        outputs: &[
            output("size", Kind::Ratio, "%", "drive against motor"),
            output(
                "overload_current",
                Kind::Current,
                "A",
                "current that the drive gives for the overload's time",
            ),
            output("overload_time", Kind::Time, "s", "for how long"),
            output("overload_cycle", Kind::Time, "s", "once in"),
            output(
                "motor_overload",
                Kind::Ratio,
                "%",
                "that current, of the motor's rated current",
            ),
            output(
                "ratio",
                Kind::Ratio,
                "%",
                "what is needed against what the drive gives, the larger of steady and overload",
            ),
        ],
        formula: "ratio = max(I_motor / I_drive, w · I_motor / (k · I_drive)), k = 1.5 heavy, 1.1 normal, unless the nameplate marks another (I: rated currents; w: overload wanted)",
        valid: "the current on the plate for the duty chosen, at its ambient and switching frequency; some drives give 120 % in normal duty: their plate decides",
        sources: &["iec-61800-2: overload duty (from memory)", "practice"],
        expect: &[
            "at least {motor_rated_current} for the motor; it gives {overload_current} for {overload_time}",
            "at least the motor's rated current; it gives {overload_current} for {overload_time}",
        ],
        bands: &[
            band(
                "ratio > 105 %",
                Verdict::Bad,
                "Too small: the drive limits its current or trips before the motor has its torque.",
                "practice",
            ),
            band(
                "ratio > 100 %",
                Verdict::Suspect,
                "A few per cent short: enough only if the motor is never fully loaded.",
                "practice",
            ),
            band(
                "size > 400 %",
                Verdict::Suspect,
                "Far larger than the motor: its current measurement and protection become coarse.",
                "practice",
            ),
            band(
                "",
                Verdict::Normal,
                "Large enough for this duty.",
                "practice",
            ),
        ],
        doubtful: &["size > 2000 %"],
        example: Example {
            inputs: &[
                ("drive_rated_current", "31 A"),
                ("motor_rated_current", "28 A"),
                ("drive_duty", "normal"),
            ],
            output: ("motor_overload", "121.8 %"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let word = inputs.word("drive_duty").unwrap_or("heavy");
            let (usual, time, cycle) = duty(Some(word));
            let marked = inputs.ratio("drive_overload");
            let overload = marked.map_or(usual, number);
            let seconds = Time::new::<second>;
            let time = inputs.time("drive_overload_time").unwrap_or(seconds(time));
            let drive = inputs.current("drive_rated_current");
            let motor = inputs.current("motor_rated_current");
            let both = drive.zip(motor);
            let highest = drive.map(|drive| drive * overload);
            let needed = both.map(|(drive, motor)| -> Ratio {
                let steady: Ratio = motor / drive;
                match inputs.ratio("overload_wanted") {
                    Some(wanted) => steady.max(steady * wanted / overload),
                    None => steady,
                }
            });
            Ok(Outputs::new()
                .with_some(
                    "size",
                    both.map(|(drive, motor)| -> Ratio { drive / motor }),
                )
                .with_some("overload_current", highest)
                .with("overload_time", time)
                .with("overload_cycle", seconds(cycle))
                .with_some(
                    "motor_overload",
                    highest
                        .zip(motor)
                        .map(|(most, motor)| -> Ratio { most / motor }),
                )
                .with_some("ratio", needed)
                .note(match marked {
                    Some(_) => "By the overload on the drive's nameplate.".to_owned(),
                    None => format!(
                        "Reckoned as {word} duty, a habit of the trade; the drive's nameplate decides."
                    ),
                }))
        },
    },
    Check {
        name: "several-motors",
        purpose: "Several motors on one drive: sum of currents, summed cable, and what the drive can't protect",
        inputs: &[
            DRIVE_RATED_CURRENT,
            MOTOR_COUNT,
            MOTOR_RATED_CURRENT,
            assumed(
                nameplate(
                    "other_motors_current",
                    Kind::Current,
                    "A",
                    ("0 A", "5 kA"),
                    "rated currents of further, different motors, added up",
                ),
                "0 A",
            ),
            optional(nameplate(
                "total_cable_length",
                Kind::Length,
                "m",
                ("0.1 m", "20 km"),
                "lengths of all motor cables added up: common run and every branch",
            )),
            optional(nameplate(
                "longest_total_cable",
                Kind::Length,
                "m",
                ("1 m", "20 km"),
                "longest motor cable that the drive's own manual allows, all branches added up",
            )),
            optional(SUPPLY_VOLTAGE),
            assumed(SWITCHING_FREQUENCY, "4 kHz"),
            assumed(CABLE_CAPACITANCE, "0.3 µF/km"),
        ],
        outputs: &[
            output(
                "motors_current",
                Kind::Current,
                "A",
                "sum of the motors' currents",
            ),
            output(
                "charging_current",
                Kind::Current,
                "A",
                "mean charging current of all cables, a phase",
            ),
            output(
                "ratio",
                Kind::Ratio,
                "%",
                "motors and cables against the drive's rating",
            ),
            output(
                "cable_share",
                Kind::Ratio,
                "%",
                "summed cable against the longest allowed",
            ),
        ],
        formula: "ratio = (n · I_m + I_other + I_c) / I_drive, I_c = 2 · f_s · C' · L · √2 · U (n: number of motors; I_m: rated current; f_s: switching frequency; C': capacitance; L: all cables; U: supply voltage)",
        valid: "motors that start and stop together under volts per hertz; one that is switched on while the drive runs draws its starting current; each needs its own overload relay",
        sources: &[
            "mohan-power-electronics: ch. 3",
            "nec-430: 430.124(C), each motor protected for itself (from memory)",
            "practice",
        ],
        expect: &["{motors_current} for the motors, below {drive_rated_current} with the cables"],
        bands: &[
            band(
                "ratio > 100 %",
                Verdict::Bad,
                "More than the drive is rated for.",
                "practice",
            ),
            band_if_known(
                "cable_share > 100 %",
                Verdict::Suspect,
                "More cable than the drive's manual allows: its charging current and the peaks at the motors come on top.",
                "practice",
            ),
            band(
                "ratio > 90 %",
                Verdict::Suspect,
                "No margin: motors in parallel share the load unevenly.",
                "practice",
            ),
            band(
                "",
                Verdict::Normal,
                "Within the drive's rating. Each motor still needs its own overload relay.",
                "practice",
            ),
        ],
        doubtful: &["ratio > 1000 %"],
        example: Example {
            inputs: &[
                ("drive_rated_current", "30 A"),
                ("motor_count", "4"),
                ("motor_rated_current", "5 A"),
                ("total_cable_length", "160 m"),
                ("supply_voltage", "400 V"),
            ],
            output: ("charging_current", "0.2172 A"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let motors = inputs
                .count("motor_count")
                .zip(inputs.current("motor_rated_current"))
                .zip(inputs.current("other_motors_current"))
                .map(|((count, each), others)| each * number(count) + others);
            let length = inputs.length("total_cable_length");
            let charging = length
                .zip(inputs.capacitance_per_length("cable_capacitance"))
                .zip(inputs.frequency("switching_frequency"))
                .zip(inputs.voltage("supply_voltage"))
                .map(|(((length, per_metre), frequency), supply)| {
                    pulse_charging_current(frequency, length * per_metre, bus_at_rest(supply))
                });
            let total =
                motors.map(|motors| motors + charging.unwrap_or(ElectricCurrent::default()));
            let outputs = Outputs::new()
                .with_some("motors_current", motors)
                .with_some("charging_current", charging)
                .with_some(
                    "ratio",
                    total
                        .zip(inputs.current("drive_rated_current"))
                        .map(|(total, rated)| -> Ratio { total / rated }),
                )
                .with_some(
                    "cable_share",
                    length
                        .zip(inputs.length("longest_total_cable"))
                        .map(|(length, most)| -> Ratio { length / most }),
                )
                .note("The drive sees the sum only: give each motor its own overload relay, wired to stop the drive.");
            Ok(match length {
                Some(_) if charging.is_some() => outputs,
                _ => outputs.note("The cables' charging current is left out: it takes the supply voltage and the summed cable length."),
            })
        },
    },
];
