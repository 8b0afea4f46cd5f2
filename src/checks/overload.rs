//! How long drive and motor stand an overload, and how their protection is set.

use uom::si::electric_current::ampere;
use uom::si::f64::{ElectricCurrent, Ratio, TemperatureInterval, Time};
use uom::si::temperature_interval::kelvin;
use uom::si::time::second;

use super::define::{
    Check, CheckError, Example, Input, Outputs, Verdict, assumed, band, choice, nameplate,
    optional, output, reading,
};
use super::shared::{
    DRIVE_RATED_CURRENT, MOTOR_CURRENT, MOTOR_RATED_CURRENT, MOTOR_SERVICE_FACTOR, OUTPUT_CURRENT,
    OVERLOAD_SETTING, contradiction, number, share,
};
use crate::quantity::Kind;

/// Time that a drive's overload rating leaves when the heat above rated current counts.
///
/// Formula: `t = t_0 · (k² − 1) / (r² − 1)`
/// Symbols: `k` overload rating, `t_0` its time [s]; `r` output current; both relative to rated
/// Valid:   drive at rated load before; never runs out at or below rated current
/// Source:  practice
pub fn time_by_excess_heat(current: Ratio, overload: Ratio, time: Time) -> Option<Time> {
    let excess = |ratio: Ratio| number(ratio) * number(ratio) - 1.0;
    (excess(current) > 0.0).then(|| time * (excess(overload) / excess(current)))
}

/// Time that a drive's overload rating leaves when all heat counts, as in a first moment.
///
/// Formula: `t = t_0 · k² / r²`
/// Symbols: as for [`time_by_excess_heat`]
/// Valid:   short overloads; never runs out at or below rated current
/// Source:  practice
pub fn time_by_all_heat(current: Ratio, overload: Ratio, time: Time) -> Option<Time> {
    let square = |ratio: Ratio| number(ratio) * number(ratio);
    (square(current) > 1.0).then(|| time * (square(overload) / square(current)))
}

/// Steady load between overloads that keeps the cycle's rms current at the rated current.
///
/// Formula: `b = √((T − k² · t) / (T − t))`
/// Symbols: `b` base load; `k` overload, both relative to rated; `t` its time, `T` cycle time [s]
/// Valid:   cycle short against the heating of what is rated
/// Errors:  a cycle no longer than the overload; an overload that alone fills the cycle
/// Source:  iec-60034-1, 3 (rms method for periodic duty, from memory)
pub fn base_load(overload: Ratio, time: Time, cycle: Time) -> Result<Ratio, CheckError> {
    if cycle <= time {
        return Err(contradiction(
            "the cycle must be longer than the overload in it",
        ));
    }
    let square = number((cycle - time * number(overload) * number(overload)) / (cycle - time));
    if square < 0.0 {
        return Err(contradiction(
            "the overload alone heats more than rated current does over the whole cycle: \
             no base load is left",
        ));
    }
    Ok(share(square.sqrt()))
}

/// Highest overload setting and the ceiling for motors that can't start otherwise, relative to
/// the nameplate current.
///
/// Formula: 125 % and 140 % with a service factor of at least 1.15 or a marked rise of at most
/// 40 K, else 115 % and 130 %
/// Symbols: `service_factor` and `rise` as marked on the nameplate
/// Valid:   continuous-duty motors above 1 hp with a separate overload device
/// Source:  nec-430, 430.32(A)(1) and 430.32(C)
pub fn code_setting_limits(
    service_factor: Ratio,
    rise: Option<TemperatureInterval>,
) -> (Ratio, Ratio) {
    let cool = rise.is_some_and(|rise| rise.get::<kelvin>() <= 40.0 + 1e-9);
    if number(service_factor) >= 1.15 - 1e-9 || cool {
        (share(1.25), share(1.40))
    } else {
        (share(1.15), share(1.30))
    }
}

/// Highest trip current of a thermal protector built into the motor, relative to the table's
/// full-load current.
///
/// Formula: 170 % up to 9 A, 156 % up to 20 A, 140 % above
/// Symbols: `table_current` full-load current by the code's table [A]
/// Valid:   continuous-duty motors above 1 hp with an integral protector
/// Source:  nec-430, 430.32(A)(2)
pub fn protector_limit(table_current: ElectricCurrent) -> Ratio {
    match table_current.get::<ampere>() {
        up_to_9 if up_to_9 <= 9.0 => share(1.70),
        up_to_20 if up_to_20 <= 20.0 => share(1.56),
        _ => share(1.40),
    }
}

/// Current that a motor must stand now and then, relative to rated, and for how long.
///
/// Valid:   polyphase motors up to 315 kW and 1 kV
/// Source:  iec-60034-1, 9.3
pub const MOTOR_EXCESS_CURRENT: (f64, f64) = (1.5, 120.0);
/// Torque that a motor must stand for a moment, relative to rated, and for how long.
///
/// Valid:   polyphase induction motors
/// Source:  iec-60034-1, 9.4
pub const MOTOR_EXCESS_TORQUE: (f64, f64) = (1.6, 15.0);
/// Overload rating, its time and its cycle, for heavy and normal duty.
///
/// Source:  practice; the drive's nameplate decides
pub const DUTIES: [(&str, f64, f64, f64); 2] =
    [("heavy", 1.5, 60.0, 600.0), ("normal", 1.1, 60.0, 600.0)];

pub(super) const DRIVE_OVERLOAD: Input = nameplate(
    "drive_overload",
    Kind::Ratio,
    "%",
    ("101 %", "400 %"),
    "overload rating of the drive, of its rated current, from its nameplate or manual",
);
pub(super) const DRIVE_OVERLOAD_TIME: Input = nameplate(
    "drive_overload_time",
    Kind::Time,
    "s",
    ("0.1 s", "1 h"),
    "how long the drive stands that overload",
);
const OVERLOAD_CYCLE: Input = nameplate(
    "overload_cycle",
    Kind::Time,
    "s",
    ("1 s", "24 h"),
    "how often the overload comes back",
);
const OVERLOAD_DURATION: Input = reading(
    "overload_duration",
    Kind::Time,
    "s",
    ("0 s", "24 h"),
    "how long the overload lasted",
);
const MARKED_RISE: Input = nameplate(
    "motor_temperature_rise",
    Kind::TemperatureDifference,
    "K",
    ("1 K", "180 K"),
    "temperature rise marked on the motor's nameplate",
);
const TABLE_CURRENT: Input = nameplate(
    "table_current",
    Kind::Current,
    "A",
    ("0.1 A", "5 kA"),
    "full-load current by the code's table, from the check of that name",
);

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "drive-current-to-rating",
        purpose: "Output current against the drive's rating",
        inputs: &[OUTPUT_CURRENT, DRIVE_RATED_CURRENT],
        outputs: &[output(
            "ratio",
            Kind::Ratio,
            "%",
            "output against rated current",
        )],
        formula: "ratio = I / I_r (I: output current; I_r: the drive's rated output current)",
        valid: "rating for the duty in use, at the drive's own ambient and altitude limits",
        sources: &["practice"],
        expect: &["at most {drive_rated_current}, but for short overloads"],
        bands: &[
            band(
                "ratio > 150 %",
                Verdict::Bad,
                "Above what most drives stand for even a minute: look for a jam, a short or a ramp too steep.",
                "practice",
            ),
            band(
                "ratio > 100 %",
                Verdict::Suspect,
                "Above the rating: only for as long as the overload rating lasts.",
                "practice",
            ),
            band(
                "",
                Verdict::Normal,
                "Within the drive's rating.",
                "practice",
            ),
        ],
        doubtful: &["ratio > 400 %"],
        example: Example {
            inputs: &[("output_current", "54 A"), ("drive_rated_current", "45 A")],
            output: ("ratio", "120 %"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let ratio = inputs
                .current("output_current")
                .zip(inputs.current("drive_rated_current"))
                .map(|(current, rated)| current / rated);
            Ok(Outputs::new().with_some("ratio", ratio))
        },
    },
    Check {
        name: "overload-time-left",
        purpose: "How long a drive stands an output current above its rating",
        inputs: &[
            OUTPUT_CURRENT,
            DRIVE_RATED_CURRENT,
            assumed(DRIVE_OVERLOAD, "150 %"),
            assumed(DRIVE_OVERLOAD_TIME, "60 s"),
            choice(
                "rule",
                &["excess-heat", "all-heat"],
                "which heat counts: that above rated current, or all of it; the drive's manual may say",
            ),
        ],
        outputs: &[
            output(
                "time",
                Kind::Time,
                "s",
                "time until the overload rating is used up",
            ),
            output("ratio", Kind::Ratio, "%", "output against rated current"),
            output(
                "to_overload",
                Kind::Ratio,
                "%",
                "output against the overload rating",
            ),
        ],
        formula: "excess-heat: t = t_0 · (k² − 1) / (r² − 1); all-heat: t = t_0 · k² / r² \
                  (k: overload rating, t_0: its time, r: output current; relative to rated)",
        valid: "from rated load on; the drive's own curve goes before this sum",
        sources: &["practice"],
        expect: &[
            "at most {drive_rated_current}; {drive_overload} of it for {drive_overload_time}",
        ],
        bands: &[
            band(
                "to_overload > 100 %",
                Verdict::Bad,
                "Above the overload rating: the drive limits or trips at once or soon.",
                "practice",
            ),
            band(
                "ratio > 100 %",
                Verdict::Suspect,
                "Only for the time computed.",
                "practice",
            ),
            band(
                "",
                Verdict::Normal,
                "Within the rating: it may last.",
                "practice",
            ),
        ],
        doubtful: &["ratio > 400 %"],
        example: Example {
            inputs: &[
                ("output_current", "120 A"),
                ("drive_rated_current", "100 A"),
            ],
            output: ("time", "170.5 s"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let ratio = inputs
                .current("output_current")
                .zip(inputs.current("drive_rated_current"))
                .map(|(current, rated)| current / rated);
            let overload = inputs.ratio("drive_overload");
            let all_heat = inputs.word("rule") == Some("all-heat");
            let time = ratio
                .zip(overload)
                .zip(inputs.time("drive_overload_time"))
                .map(|((ratio, overload), time)| match all_heat {
                    true => time_by_all_heat(ratio, overload, time),
                    false => time_by_excess_heat(ratio, overload, time),
                });
            let outputs = Outputs::new()
                .with_some("time", time.flatten())
                .with_some("ratio", ratio)
                .with_some(
                    "to_overload",
                    ratio
                        .zip(overload)
                        .map(|(ratio, overload)| ratio / overload),
                )
                .note(match all_heat {
                    true => "All heat counted, as in a first moment.",
                    false => "Heat above rated current counted.",
                });
            Ok(match time {
                Some(None) => outputs.note("At or below the rating: the time never runs out."),
                _ => outputs,
            })
        },
    },
    Check {
        name: "overload-base-load",
        purpose: "Steady load that a drive's overload rating leaves between overloads",
        inputs: &[
            choice(
                "drive_duty",
                &["heavy", "normal"],
                "duty that the drive is rated for",
            ),
            optional(DRIVE_OVERLOAD),
            optional(DRIVE_OVERLOAD_TIME),
            optional(OVERLOAD_CYCLE),
        ],
        outputs: &[
            output(
                "base_load",
                Kind::Ratio,
                "%",
                "load between overloads, of rated current",
            ),
            output(
                "overload",
                Kind::Ratio,
                "%",
                "overload that was counted with",
            ),
            output("overload_time", Kind::Time, "s", "its time"),
            output("cycle", Kind::Time, "s", "its cycle"),
        ],
        formula: "b = √((T − k² · t) / (T − t)) (b: base load, k: overload, of rated; t: its time; T: cycle)",
        valid: "rms current over the cycle at rated; what isn't given is taken from the duty",
        sources: &[
            "practice",
            "iec-60034-1: rms method for periodic duty (from memory)",
        ],
        expect: &[
            "up to {base_load} of rated current between overloads of {overload} for {overload_time}, one in {cycle}",
        ],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[("drive_duty", "heavy")],
            output: ("base_load", "92.8 %"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let (_, overload, time, cycle) = DUTIES
                .iter()
                .find(|(duty, ..)| Some(*duty) == inputs.word("drive_duty"))
                .ok_or_else(|| contradiction("the duty is heavy or normal"))?;
            let seconds = |value: &f64| Time::new::<second>(*value);
            let overload = inputs.ratio("drive_overload").unwrap_or(share(*overload));
            let time = inputs.time("drive_overload_time").unwrap_or(seconds(time));
            let cycle = inputs.time("overload_cycle").unwrap_or(seconds(cycle));
            Ok(Outputs::new()
                .with("base_load", base_load(overload, time, cycle)?)
                .with("overload", overload)
                .with("overload_time", time)
                .with("cycle", cycle)
                .note(
                    "What was not given is the duty's usual rating; the drive's nameplate decides.",
                ))
        },
    },
    Check {
        name: "overload-setting",
        purpose: "Motor overload setting against the nameplate",
        inputs: &[OVERLOAD_SETTING, MOTOR_RATED_CURRENT],
        outputs: &[output(
            "ratio",
            Kind::Ratio,
            "%",
            "setting against rated current",
        )],
        formula: "ratio = I_set / I_r (I_set: setting; I_r: nameplate current)",
        valid: "a setting that is the motor's rated current, as drives and most relays have it; where the \
                setting is the trip current itself, use overload-setting-nec",
        sources: &["practice"],
        expect: &["{motor_rated_current}, as on the nameplate"],
        bands: &[
            band(
                "ratio > 115 %",
                Verdict::Bad,
                "Set far above the nameplate: the motor is left without protection.",
                "practice",
            ),
            band(
                "ratio > 105 %",
                Verdict::Suspect,
                "Set above the nameplate.",
                "practice",
            ),
            band(
                "ratio < 85 %",
                Verdict::Suspect,
                "Set well below the nameplate: it trips before the motor is loaded.",
                "practice",
            ),
            band("", Verdict::Normal, "Set by the nameplate.", "practice"),
        ],
        doubtful: &["ratio > 500 %"],
        example: Example {
            inputs: &[
                ("overload_setting", "30 A"),
                ("motor_rated_current", "24 A"),
            ],
            output: ("ratio", "125 %"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let ratio = inputs
                .current("overload_setting")
                .zip(inputs.current("motor_rated_current"))
                .map(|(setting, rated)| setting / rated);
            Ok(Outputs::new().with_some("ratio", ratio))
        },
    },
    Check {
        name: "overload-setting-nec",
        purpose: "Motor overload trip current against what NEC 430.32 allows",
        inputs: &[
            optional(OVERLOAD_SETTING),
            MOTOR_RATED_CURRENT,
            assumed(MOTOR_SERVICE_FACTOR, "1 ×"),
            optional(MARKED_RISE),
        ],
        outputs: &[
            output("highest_setting", Kind::Current, "A", "highest setting"),
            output(
                "ceiling",
                Kind::Current,
                "A",
                "ceiling if the motor can't start otherwise",
            ),
            output(
                "to_highest",
                Kind::Ratio,
                "%",
                "setting against the highest",
            ),
            output(
                "to_ceiling",
                Kind::Ratio,
                "%",
                "setting against the ceiling",
            ),
        ],
        formula: "125 % (ceiling 140 %) of nameplate with service factor ≥ 1.15 or marked rise ≤ 40 K, \
                  else 115 % (ceiling 130 %)",
        valid: "continuous-duty motors above 1 hp with a separate overload device, where NEC holds",
        sources: &["nec-430: 430.32(A)(1)", "nec-430: 430.32(C)"],
        expect: &["at most {highest_setting}"],
        bands: &[
            band(
                "to_ceiling > 100 %",
                Verdict::Bad,
                "Above the ceiling: the motor is left without protection.",
                "nec-430",
            ),
            band(
                "to_highest > 100 %",
                Verdict::Suspect,
                "Only allowed where the motor can't start or carry its load otherwise.",
                "nec-430",
            ),
            band(
                "",
                Verdict::Normal,
                "Within what the code allows.",
                "nec-430",
            ),
        ],
        doubtful: &["to_highest > 500 %"],
        example: Example {
            inputs: &[
                ("motor_rated_current", "24 A"),
                ("motor_service_factor", "1.15"),
            ],
            output: ("highest_setting", "30 A"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let limits = inputs
                .ratio("motor_service_factor")
                .map(|factor| {
                    let rise = inputs.temperature_difference("motor_temperature_rise");
                    code_setting_limits(factor, rise)
                })
                .zip(inputs.current("motor_rated_current"))
                .map(|((highest, ceiling), rated)| (rated * highest, rated * ceiling));
            let setting = inputs.current("overload_setting");
            let against = setting.zip(limits);
            Ok(Outputs::new()
                .with_some("highest_setting", limits.map(|(highest, _)| highest))
                .with_some("ceiling", limits.map(|(_, ceiling)| ceiling))
                .with_some(
                    "to_highest",
                    against.map(|(set, (highest, _))| set / highest),
                )
                .with_some(
                    "to_ceiling",
                    against.map(|(set, (_, ceiling))| set / ceiling),
                ))
        },
    },
    Check {
        name: "thermal-protector",
        purpose: "Highest trip current of a thermal protector inside the motor",
        inputs: &[TABLE_CURRENT],
        outputs: &[
            output(
                "limit",
                Kind::Ratio,
                "%",
                "highest trip current, of the table's full-load current",
            ),
            output("trip_current", Kind::Current, "A", "highest trip current"),
        ],
        formula: "170 % up to 9 A, 156 % above 9 A and up to 20 A, 140 % above 20 A",
        valid: "continuous-duty motors above 1 hp with an integral protector, where NEC holds",
        sources: &["nec-430: 430.32(A)(2)"],
        expect: &[],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[("table_current", "15 A")],
            output: ("limit", "156 %"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let current = inputs.current("table_current");
            Ok(Outputs::new()
                .with_some("limit", current.map(protector_limit))
                .with_some(
                    "trip_current",
                    current.map(|current| current * protector_limit(current)),
                ))
        },
    },
    Check {
        name: "motor-occasional-overload",
        purpose: "Whether a motor must have stood an overload",
        inputs: &[MOTOR_CURRENT, MOTOR_RATED_CURRENT, OVERLOAD_DURATION],
        outputs: &[
            output("ratio", Kind::Ratio, "%", "reading against rated current"),
            output(
                "excess_current",
                Kind::Ratio,
                "%",
                "current that it must stand now and then, of rated",
            ),
            output("excess_current_time", Kind::Time, "s", "for how long"),
            output(
                "excess_torque",
                Kind::Ratio,
                "%",
                "torque that it must stand for a moment, of rated",
            ),
            output("excess_torque_time", Kind::Time, "s", "for how long"),
            output(
                "beyond",
                Kind::Time,
                "s",
                "how much longer it lasted above rated current",
            ),
        ],
        formula: "1.5 × rated current for 2 min; 1.6 × rated torque for 15 s",
        valid: "polyphase motors up to 315 kW and 1 kV, now and then; not again and again",
        sources: &["iec-60034-1: 9.3", "iec-60034-1: 9.4"],
        expect: &[
            "at most {excess_current} of {motor_rated_current}, for {excess_current_time} at most",
        ],
        bands: &[
            band(
                "ratio > 150 %",
                Verdict::Suspect,
                "More than a motor is built to stand now and then.",
                "iec-60034-1",
            ),
            band(
                "beyond > 0 s",
                Verdict::Suspect,
                "Above rated current for longer than the standard asks a motor to stand.",
                "iec-60034-1",
            ),
            band(
                "",
                Verdict::Normal,
                "No more than a motor is built to stand now and then.",
                "iec-60034-1",
            ),
        ],
        doubtful: &["ratio > 1200 %"],
        example: Example {
            inputs: &[
                ("motor_current", "42 A"),
                ("motor_rated_current", "28 A"),
                ("overload_duration", "150 s"),
            ],
            output: ("beyond", "30 s"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let seconds = Time::new::<second>;
            let (current, current_time) = MOTOR_EXCESS_CURRENT;
            let (torque, torque_time) = MOTOR_EXCESS_TORQUE;
            let ratio = inputs
                .current("motor_current")
                .zip(inputs.current("motor_rated_current"))
                .map(|(current, rated)| current / rated);
            let beyond = inputs
                .time("overload_duration")
                .zip(ratio)
                .map(|(lasted, ratio)| match number(ratio) > 1.0 {
                    true => (lasted - seconds(current_time)).max(seconds(0.0)),
                    false => seconds(0.0),
                });
            Ok(Outputs::new()
                .with_some("ratio", ratio)
                .with("excess_current", share(current))
                .with("excess_current_time", seconds(current_time))
                .with("excess_torque", share(torque))
                .with("excess_torque_time", seconds(torque_time))
                .with_some("beyond", beyond))
        },
    },
];
