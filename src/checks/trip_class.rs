//! When an overload protection trips: by its class, and by the thermal model behind it.

use uom::si::f64::{Ratio, Time};
use uom::si::time::second;

use super::define::{
    Check, CheckError, Example, Input, Outputs, Verdict, assumed, band, choice, nameplate,
    optional, output, reading, word,
};
use super::shared::{MOTOR_CURRENT, MOTOR_RATED_CURRENT, contradiction, number, share};
use crate::quantity::Kind;

/// Trip classes: shortest and longest time at 7.2 × the setting from cold, longest time at
/// 1.5 × from warm [s]. Source: iec-60947-4-1, trip classes (from memory).
const CLASSES: [(&str, f64, f64, f64); 5] = [
    ("10", 4.0, 10.0, 240.0),
    ("10A", 2.0, 10.0, 120.0),
    ("5", 0.5, 5.0, 120.0),
    ("20", 6.0, 20.0, 480.0),
    ("30", 9.0, 30.0, 720.0),
];
/// Two hours, for which 1.05 × the setting must not and within which 1.2 × must trip.
const TWO_HOURS: f64 = 7200.0;

/// Shortest and longest trip time of a class at one of the currents its standard tests.
///
/// Formula: table look-up; the shortest itself is excluded, the longest included
/// Symbols: `class` 5, 10A, 10, 20 or 30; `multiple` current over setting, and the state before
/// Valid:   three poles loaded alike, 20 °C; between the tested currents no time is given
/// Errors:  a class or multiple that the standard doesn't have
/// Source:  iec-60947-4-1, trip classes; class as seconds at 6 × for the last (both from memory)
pub fn trip_band(class: &str, multiple: &str) -> Result<(Time, Option<Time>), CheckError> {
    let (_, shortest, longest, warm) = CLASSES
        .iter()
        .find(|(name, ..)| *name == class)
        .ok_or_else(|| contradiction("the trip class is 5, 10A, 10, 20 or 30"))?;
    let (from, to) = match multiple {
        "7.2-cold" => (*shortest, Some(*longest)),
        "1.5-warm" => (0.0, Some(*warm)),
        "1.2-warm" => (0.0, Some(TWO_HOURS)),
        "1.05-cold" => (TWO_HOURS, None),
        "6-nema" => match class.parse() {
            Ok(seconds) if class != "5" => (0.0, Some(seconds)),
            _ => return Err(contradiction("NEMA has classes 10, 20 and 30 only")),
        },
        _ => {
            return Err(contradiction(
                "no such test current; whytrip check shows the choices",
            ));
        }
    };
    let seconds = Time::new::<second>;
    Ok((seconds(from), to.map(seconds)))
}

/// Time until a first-order thermal model of the motor trips; none if it never does.
///
/// Formula: `t = τ · ln((I² − I_p²) / (I² − k²))`
/// Symbols: `τ` heating time constant [s]; `I` current, `I_p` load before, both relative to the
/// setting; `k` pick-up, 1.05 to 1.1
/// Valid:   constant current after a constant load; one time constant
/// Errors:  a load before that is above the pick-up
/// Source:  iec-60255-149 (from memory)
pub fn thermal_trip_time(
    time_constant: Time,
    current: Ratio,
    load_before: Ratio,
    pickup: Ratio,
) -> Result<Option<Time>, CheckError> {
    let square = |ratio: Ratio| number(ratio) * number(ratio);
    if load_before > pickup {
        return Err(contradiction(
            "the load before is above the pick-up: the protection would have tripped already",
        ));
    }
    if current <= pickup {
        return Ok(None);
    }
    let quotient = (square(current) - square(load_before)) / (square(current) - square(pickup));
    Ok(Some(time_constant * quotient.ln()))
}

const TRIP_TIME: Input = reading(
    "trip_time",
    Kind::Time,
    "s",
    ("0 s", "24 h"),
    "time from the start of the overload to the trip",
);
const TIME_CONSTANT: Input = nameplate(
    "thermal_time_constant",
    Kind::Time,
    "s",
    ("1 s", "24 h"),
    "heating time constant set in the protection or given for the motor",
);
const PICKUP: Input = nameplate(
    "pickup_factor",
    Kind::Ratio,
    "×",
    ("1 ×", "1.5 ×"),
    "multiple of the setting from which the protection trips in the end",
);
const LOAD_BEFORE: Input = nameplate(
    "load_before",
    Kind::Ratio,
    "%",
    ("0 %", "150 %"),
    "current before the overload, of the setting; 0 % from cold",
);

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "overload-trip-time",
        purpose: "Whether an overload protection tripped in the time of its class",
        inputs: &[
            choice(
                "trip_class",
                &["10", "10A", "5", "20", "30"],
                "class of the protection, marked on it or set in the drive",
            ),
            choice(
                "multiple",
                &["7.2-cold", "1.5-warm", "1.2-warm", "1.05-cold", "6-nema"],
                "the tested current nearest to the one that flowed, as a multiple of the setting",
            ),
            optional(TRIP_TIME),
        ],
        outputs: &[
            output("shortest_time", Kind::Time, "s", "shortest time to trip"),
            output("longest_time", Kind::Time, "s", "longest time to trip"),
            output(
                "below_shortest",
                Kind::Time,
                "s",
                "how much sooner it tripped",
            ),
            output(
                "beyond_longest",
                Kind::Time,
                "s",
                "how much later it tripped",
            ),
        ],
        formula: "7.2 × from cold: class band; 1.5 × from warm: 2, 2, 4, 8, 12 min for classes 5, 10A, 10, 20, 30; \
                  1.2 ×: within 2 h; 1.05 ×: not within 2 h; NEMA: class in seconds at 6 ×",
        valid: "three poles loaded alike, 20 °C; IEC classes are tested at 7.2 ×, NEMA classes at 6 ×",
        sources: &[
            "iec-60947-4-1: trip classes (from memory)",
            "nema-ics-2: class as seconds (from memory)",
        ],
        expect: &[
            "between {shortest_time} and {longest_time}",
            "not within {shortest_time}",
        ],
        bands: &[
            band(
                "beyond_longest > 0 s",
                Verdict::Bad,
                "Slower than its class allows: setting, class or device are not right for this motor.",
                "memory",
            ),
            band(
                "below_shortest > 0 s",
                Verdict::Suspect,
                "Quicker than its class: set too low, started hot, or unbalanced.",
                "memory",
            ),
            band(
                "",
                Verdict::Normal,
                "The protection did its job: look at the load.",
                "memory",
            ),
        ],
        doubtful: &[],
        example: Example {
            inputs: &[("trip_class", "20"), ("trip_time", "4 s")],
            output: ("below_shortest", "2 s"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let class = inputs.word("trip_class").unwrap_or_default();
            let multiple = inputs.word("multiple").unwrap_or_default();
            let (shortest, longest) = trip_band(class, multiple)?;
            let zero = Time::new::<second>(0.0);
            let trip_time = inputs.time("trip_time");
            let outputs = Outputs::new()
                .with("shortest_time", shortest)
                .with_some("longest_time", longest)
                .with_some(
                    "below_shortest",
                    trip_time.map(|time| (shortest - time).max(zero)),
                )
                .with_some(
                    "beyond_longest",
                    trip_time
                        .map(|time| longest.map_or(zero, |longest| (time - longest).max(zero))),
                )
                .note(format!("Class {class}, tested at {multiple}; from memory."));
            Ok(match longest {
                Some(_) => outputs,
                None => outputs.note("At this current it must not trip within the shortest time."),
            })
        },
    },
    Check {
        name: "thermal-trip-time",
        purpose: "When a thermal motor model trips at a given current",
        inputs: &[
            MOTOR_CURRENT,
            MOTOR_RATED_CURRENT,
            TIME_CONSTANT,
            assumed(PICKUP, "1.05 ×"),
            assumed(LOAD_BEFORE, "0 %"),
            optional(TRIP_TIME),
        ],
        outputs: &[
            output("time", Kind::Time, "s", "time until it trips"),
            word("trips", "in time or never"),
            output(
                "ratio",
                Kind::Ratio,
                "%",
                "trip time as noted against that time",
            ),
        ],
        formula: "t = τ · ln((I² − I_p²) / (I² − k²)) \
                  (τ: time constant; I: current, I_p: load before, of rated; k: pick-up)",
        valid: "constant current after a constant load; one time constant, set for this motor",
        sources: &[
            "iec-60255-149: thermal characteristic (from memory)",
            "practice",
        ],
        expect: &[
            "never at or below {pickup_factor} of {motor_rated_current}; sooner the more above it",
        ],
        bands: &[
            band(
                "ratio < 50 %",
                Verdict::Suspect,
                "Far sooner than the model: started hot, set too low, or another protection.",
                "practice",
            ),
            band(
                "ratio > 200 %",
                Verdict::Suspect,
                "Far later than the model: set too high, or the current was lower for most of the time.",
                "practice",
            ),
            band(
                "",
                Verdict::Normal,
                "As the model has it: the protection did its job.",
                "practice",
            ),
        ],
        doubtful: &["time > 24 h"],
        example: Example {
            inputs: &[
                ("motor_current", "30 A"),
                ("motor_rated_current", "20 A"),
                ("thermal_time_constant", "600 s"),
            ],
            output: ("time", "404 s"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let time = inputs
                .current("motor_current")
                .zip(inputs.current("motor_rated_current"))
                .map(|(current, rated)| current / rated)
                .zip(inputs.time("thermal_time_constant"))
                .map(|(current, time_constant)| {
                    let pickup = inputs.ratio("pickup_factor").unwrap_or(share(1.05));
                    let load_before = inputs.ratio("load_before").unwrap_or(share(0.0));
                    thermal_trip_time(time_constant, current, load_before, pickup)
                })
                .transpose()?;
            let ratio = inputs
                .time("trip_time")
                .zip(time.flatten())
                .filter(|(_, time)| *time > Time::new::<second>(0.0))
                .map(|(noted, time)| noted / time);
            Ok(match time {
                Some(Some(time)) => Outputs::new()
                    .with("time", time)
                    .with_word("trips", "in time")
                    .with_some("ratio", ratio),
                Some(None) => Outputs::new().with_word("trips", "never"),
                None => Outputs::new(),
            })
        },
    },
];
