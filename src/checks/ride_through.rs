//! Dips and interruptions of the supply: how long a bus lasts, and what equipment must stand.

use uom::si::f64::{Capacitance, ElectricPotential, Frequency, Power, Ratio, Time};
use uom::si::frequency::hertz;
use uom::si::time::second;

use super::dc_bus::{bus_at_rest, six_pulse_mean};
use super::define::{
    Check, CheckError, Example, Input, Outputs, Verdict, assumed, band, choice, nameplate,
    optional, output, word,
};
use super::shared::{
    BUS_CAPACITANCE, BUS_VOLTAGE, DIP_DURATION, REMAINING_VOLTAGE, SUPPLY_FREQUENCY,
    SUPPLY_VOLTAGE, UNDERVOLTAGE_LIMIT, contradiction, number, share,
};
use crate::quantity::Kind;

/// How long a capacitor carries a constant power while its voltage falls.
///
/// Formula: `t = C · (U_1² − U_2²) / (2 · P)`
/// Symbols: `C` bus capacitance [F]; `U_1` bus voltage at the start, `U_2` at the trip [V];
/// `P` power drawn [W]
/// Valid:   constant power; a load that slows down lasts longer
/// Errors:  a trip voltage that is not below the voltage at the start
/// Source:  mohan-power-electronics, ch. 5 (stored energy)
pub fn ride_through_time(
    capacitance: Capacitance,
    power: Power,
    start: ElectricPotential,
    end: ElectricPotential,
) -> Result<Time, CheckError> {
    falls(start, end)?;
    Ok(capacitance * (start * start - end * end) / (power * 2.0))
}

/// Capacitance that carries a constant power for a time: [`ride_through_time`] solved for it.
///
/// Formula: `C = 2 · P · t / (U_1² − U_2²)`
/// Errors:  as for [`ride_through_time`]
/// Source:  mohan-power-electronics, ch. 5 (stored energy)
pub fn ride_through_capacitance(
    time: Time,
    power: Power,
    start: ElectricPotential,
    end: ElectricPotential,
) -> Result<Capacitance, CheckError> {
    falls(start, end)?;
    Ok(power * time * 2.0 / (start * start - end * end))
}

fn falls(start: ElectricPotential, end: ElectricPotential) -> Result<(), CheckError> {
    if end < start {
        return Ok(());
    }
    Err(contradiction(
        "the bus starts at or below its undervoltage limit: it can't carry anything; \
         check bus voltage and limit",
    ))
}

/// One point of an immunity curve: at this remaining voltage equipment must last this long.
#[derive(Clone, Copy, Debug)]
pub struct DipLevel {
    /// Remaining voltage, of nominal.
    pub remaining: f64,
    /// Duration on a 50 Hz supply [s].
    pub seconds_at_50: f64,
    /// Duration on a 60 Hz supply [s].
    pub seconds_at_60: f64,
}

const fn cycles(remaining: f64, at_50: f64, at_60: f64) -> DipLevel {
    DipLevel {
        remaining,
        seconds_at_50: at_50 / 50.0,
        seconds_at_60: at_60 / 60.0,
    }
}

const fn seconds(remaining: f64, duration: f64) -> DipLevel {
    DipLevel {
        remaining,
        seconds_at_50: duration,
        seconds_at_60: duration,
    }
}

const SEMI_F47: [DipLevel; 3] = [seconds(0.5, 0.2), seconds(0.7, 0.5), seconds(0.8, 1.0)];
const CLASS_2: [DipLevel; 3] = [
    cycles(0.0, 0.5, 0.5),
    cycles(0.0, 1.0, 1.0),
    cycles(0.7, 25.0, 30.0),
];
const CLASS_3: [DipLevel; 5] = [
    cycles(0.0, 0.5, 0.5),
    cycles(0.0, 1.0, 1.0),
    cycles(0.4, 10.0, 12.0),
    cycles(0.7, 25.0, 30.0),
    cycles(0.8, 250.0, 300.0),
];
/// Short interruption, which classes 2 and 3 test apart from dips.
///
/// Source: iec-61000-4-11, Table 2
pub const INTERRUPTION: DipLevel = cycles(0.0, 250.0, 300.0);

/// The points of a rule's immunity curve.
///
/// Source: semi-f47 (durations at 70 % and 80 % from memory); iec-61000-4-11, Table 1
pub fn dip_levels(rule: &str) -> Option<&'static [DipLevel]> {
    match rule {
        "semi-f47" => Some(&SEMI_F47),
        "iec-61000-4-11-class-2" => Some(&CLASS_2),
        "iec-61000-4-11-class-3" => Some(&CLASS_3),
        _ => None,
    }
}

/// How long equipment must last at a remaining voltage: the longest point at or below it.
///
/// Valid:   remaining voltage below 90 %; zero where the curve asks nothing
/// Source:  as for [`dip_levels`]
pub fn required_time(levels: &[DipLevel], remaining: Ratio, frequency: Frequency) -> Time {
    let longest = levels
        .iter()
        .filter(|level| level.remaining <= number(remaining) + 1e-9)
        .map(|level| match frequency.get::<hertz>() > 55.0 {
            true => level.seconds_at_60,
            false => level.seconds_at_50,
        })
        .fold(0.0, f64::max);
    Time::new::<second>(longest)
}

/// What a supply event is called by its remaining voltage and duration, with a remark where the
/// table leaves it open.
///
/// Formula: sag 0.1 to 0.9, swell above 1.1, interruption below 0.1 of nominal; instantaneous
/// 0.5 to 30 cycles, momentary to 3 s, temporary to 1 min, above that undervoltage, overvoltage or
/// sustained interruption
/// Symbols: `remaining` rms voltage of nominal; `duration` [s]; `frequency` of the supply [Hz]
/// Valid:   0.9 and 1.1 themselves count as normal, one minute itself as temporary
/// Source:  ieee-1159, Table 2
pub fn supply_event(
    remaining: Ratio,
    duration: Time,
    frequency: Frequency,
) -> (String, Option<&'static str>) {
    let voltage = number(remaining);
    let time = duration.get::<second>();
    let cycle = 1.0 / frequency.get::<hertz>();
    if (0.9..=1.1).contains(&voltage) {
        return ("normal".to_owned(), None);
    }
    if time < 0.5 * cycle {
        return (
            "transient".to_owned(),
            Some("Shorter than half a cycle: the table of sags and swells begins above that."),
        );
    }
    if time > 60.0 {
        return match voltage {
            low if low < 0.1 => ("sustained interruption".to_owned(), None),
            low if low < 0.8 => (
                "undervoltage".to_owned(),
                Some(
                    "Below 80 % for more than a minute has no name in the table; called undervoltage here.",
                ),
            ),
            low if low < 0.9 => ("undervoltage".to_owned(), None),
            high if high > 1.2 => (
                "overvoltage".to_owned(),
                Some(
                    "Above 120 % for more than a minute has no name in the table; called overvoltage here.",
                ),
            ),
            _ => ("overvoltage".to_owned(), None),
        };
    }
    let kind = match voltage {
        low if low < 0.1 => "interruption",
        low if low < 0.9 => "sag",
        _ => "swell",
    };
    let length = match time {
        long if long > 3.0 => "temporary",
        longer if longer > 30.0 * cycle || kind == "interruption" => "momentary",
        _ => "instantaneous",
    };
    (format!("{length} {kind}"), None)
}

const LOAD_POWER: Input = nameplate(
    "load_power",
    Kind::Power,
    "kW",
    ("0.01 kW", "5 MW"),
    "power that the drive takes from its bus: about output power over efficiency",
);
const WANTED_TIME: Input = nameplate(
    "wanted_time",
    Kind::Time,
    "s",
    ("0.1 ms", "1 h"),
    "how long the bus is to carry the load",
);

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "ride-through-time",
        purpose: "How long the DC bus carries the load when the supply is gone",
        inputs: &[
            BUS_CAPACITANCE,
            LOAD_POWER,
            BUS_VOLTAGE,
            UNDERVOLTAGE_LIMIT,
            optional(DIP_DURATION),
        ],
        outputs: &[
            output("time", Kind::Time, "s", "time until the undervoltage limit"),
            output(
                "ratio",
                Kind::Ratio,
                "%",
                "duration of the event against that time",
            ),
        ],
        formula: "t = C · (U_1² − U_2²) / (2 · P) \
                  (C: bus capacitance; U_1: bus voltage before; U_2: undervoltage limit; P: power)",
        valid: "constant power, supply gone altogether; a load that slows down or is let coast lasts longer",
        sources: &["mohan-power-electronics: ch. 5", "practice"],
        expect: &[
            "the bus carries the load for {time}",
            "at full load 10 to 20 ms for most drives",
        ],
        bands: &[
            band(
                "ratio > 100 %",
                Verdict::Normal,
                "Longer than the bus can last: a trip is to be expected; the supply is what to look at.",
                "mohan-power-electronics",
            ),
            band(
                "",
                Verdict::Suspect,
                "The bus should have lasted: has it lost capacitance, or is the load higher than thought?",
                "practice",
            ),
        ],
        doubtful: &["time > 2 s"],
        example: Example {
            inputs: &[
                ("bus_capacitance", "4700 µF"),
                ("load_power", "30 kW"),
                ("bus_voltage", "648 V"),
                ("undervoltage_limit", "450 V"),
            ],
            output: ("time", "17.03 ms"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let time = inputs
                .capacitance("bus_capacitance")
                .zip(inputs.power("load_power"))
                .zip(inputs.voltage("bus_voltage"))
                .zip(inputs.voltage("undervoltage_limit"))
                .map(|(((capacitance, power), start), end)| {
                    ride_through_time(capacitance, power, start, end)
                })
                .transpose()?;
            let ratio = inputs
                .time("dip_duration")
                .zip(time)
                .map(|(lasted, time)| lasted / time);
            Ok(Outputs::new()
                .with_some("time", time)
                .with_some("ratio", ratio))
        },
    },
    Check {
        name: "ride-through-capacitance",
        purpose: "Bus capacitance that carries the load for a wanted time",
        inputs: &[WANTED_TIME, LOAD_POWER, BUS_VOLTAGE, UNDERVOLTAGE_LIMIT],
        outputs: &[output(
            "capacitance",
            Kind::Capacitance,
            "µF",
            "bus capacitance needed",
        )],
        formula: "C = 2 · P · t / (U_1² − U_2²) \
                  (P: power; t: wanted time; U_1: bus voltage before; U_2: undervoltage limit)",
        valid: "constant power, supply gone altogether",
        sources: &["mohan-power-electronics: ch. 5"],
        expect: &[],
        bands: &[],
        doubtful: &["capacitance > 1 F"],
        example: Example {
            inputs: &[
                ("wanted_time", "20 ms"),
                ("load_power", "100 W"),
                ("bus_voltage", "400 V"),
                ("undervoltage_limit", "300 V"),
            ],
            output: ("capacitance", "57.14 µF"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let capacitance = inputs
                .time("wanted_time")
                .zip(inputs.power("load_power"))
                .zip(inputs.voltage("bus_voltage"))
                .zip(inputs.voltage("undervoltage_limit"))
                .map(|(((time, power), start), end)| {
                    ride_through_capacitance(time, power, start, end)
                })
                .transpose()?;
            Ok(Outputs::new().with_some("capacitance", capacitance))
        },
    },
    Check {
        name: "bus-in-dip",
        purpose: "Where the DC bus settles while all three lines are low",
        inputs: &[
            SUPPLY_VOLTAGE,
            REMAINING_VOLTAGE,
            optional(UNDERVOLTAGE_LIMIT),
        ],
        outputs: &[
            output(
                "peak_bus_voltage",
                Kind::Voltage,
                "V",
                "idle bus during the dip",
            ),
            output(
                "mean_bus_voltage",
                Kind::Voltage,
                "V",
                "loaded bus during the dip",
            ),
            output(
                "margin",
                Kind::Voltage,
                "V",
                "loaded bus above the undervoltage limit",
            ),
        ],
        formula: "U_peak = √2 · r · U_LL, U_mean = 3√2/π · r · U_LL \
                  (r: remaining share; U_LL: supply voltage before)",
        valid: "all three lines dip alike and long enough for the bus to follow",
        sources: &["mohan-power-electronics: ch. 5"],
        expect: &[
            "between {mean_bus_voltage} and {peak_bus_voltage} during the dip",
            "1.35 to 1.41 times what is left of the supply voltage",
        ],
        bands: &[
            band(
                "margin < 0 V",
                Verdict::Bad,
                "Below the undervoltage limit: a loaded drive trips if the dip lasts.",
                "mohan-power-electronics",
            ),
            band(
                "",
                Verdict::Normal,
                "Above the undervoltage limit.",
                "mohan-power-electronics",
            ),
        ],
        doubtful: &["peak_bus_voltage > 1400 V"],
        example: Example {
            inputs: &[("supply_voltage", "400 V"), ("remaining_voltage", "70 %")],
            output: ("peak_bus_voltage", "396 V"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let during = inputs
                .voltage("supply_voltage")
                .zip(inputs.ratio("remaining_voltage"))
                .map(|(supply, remaining)| supply * remaining);
            let margin = during
                .zip(inputs.voltage("undervoltage_limit"))
                .map(|(during, limit)| six_pulse_mean(during) - limit);
            Ok(Outputs::new()
                .with_some("peak_bus_voltage", during.map(bus_at_rest))
                .with_some("mean_bus_voltage", during.map(six_pulse_mean))
                .with_some("margin", margin))
        },
    },
    Check {
        name: "dip-immunity",
        purpose: "Whether a dip lies inside the curve that equipment is built to ride through",
        inputs: &[
            REMAINING_VOLTAGE,
            DIP_DURATION,
            assumed(SUPPLY_FREQUENCY, "50 Hz"),
            choice(
                "rule",
                &[
                    "semi-f47",
                    "iec-61000-4-11-class-3",
                    "iec-61000-4-11-class-2",
                ],
                "which curve the equipment claims",
            ),
        ],
        outputs: &[
            output(
                "required_time",
                Kind::Time,
                "s",
                "how long it must last at this voltage",
            ),
            output("beyond", Kind::Time, "s", "how much longer the dip lasted"),
            word("position", "inside or outside the curve, or no dip"),
        ],
        formula: "semi-f47: 50 % 0.2 s, 70 % 0.5 s, 80 % 1 s; iec-61000-4-11: 0 % 1 cycle, class 3 also \
                  40 % 10/12 cycles and 80 % 250/300 cycles, both 70 % 25/30 cycles",
        valid: "remaining rms voltage below 90 % of nominal, which is a dip; equipment that claims the curve; \
                above 16 A the same levels stand in IEC 61000-4-34 (from memory)",
        sources: &[
            "semi-f47: required points (70 % and 80 % durations from memory)",
            "iec-61000-4-11: Table 1",
        ],
        expect: &[
            "at {remaining_voltage} equipment on this curve lasts {required_time}",
            "a dip inside the curve that the equipment claims",
        ],
        bands: &[
            band(
                "beyond > 0 s",
                Verdict::Bad,
                "Deeper or longer than the curve: a supply event, to be mitigated, not repaired.",
                "semi-f47",
            ),
            band(
                "",
                Verdict::Normal,
                "Inside the curve: equipment that claims it should have lasted.",
                "semi-f47",
            ),
        ],
        doubtful: &[],
        example: Example {
            inputs: &[("remaining_voltage", "50 %"), ("dip_duration", "0.3 s")],
            output: ("required_time", "0.2 s"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let rule = inputs.word("rule").unwrap_or_default();
            let levels = dip_levels(rule)
                .ok_or_else(|| contradiction("no such curve; whytrip check shows the choices"))?;
            let remaining = inputs.ratio("remaining_voltage");
            let duration = inputs.time("dip_duration");
            let zero = Time::new::<second>(0.0);
            if remaining.is_some_and(|remaining| number(remaining) >= 0.9) {
                return Ok(Outputs::new()
                    .with("beyond", zero)
                    .with_word("position", "no dip")
                    .note("From 90 % of nominal up it is no dip."));
            }
            let required = remaining
                .zip(inputs.frequency("supply_frequency"))
                .map(|(remaining, frequency)| required_time(levels, remaining, frequency));
            let beyond = duration
                .zip(required)
                .map(|(duration, required)| (duration - required).max(zero));
            let outputs = Outputs::new()
                .with_some("required_time", required)
                .with_some("beyond", beyond)
                .note(format!("Curve {rule}."));
            let outputs = match rule {
                "semi-f47" => outputs,
                _ => outputs.note(format!(
                    "Interruptions of {} s are tested apart; there the equipment may stop.",
                    INTERRUPTION.seconds_at_50
                )),
            };
            Ok(match beyond {
                Some(beyond) if beyond > zero => outputs.with_word("position", "outside"),
                Some(_) => outputs.with_word("position", "inside"),
                None => outputs,
            })
        },
    },
    Check {
        name: "supply-event",
        purpose: "What a supply event is called",
        inputs: &[
            REMAINING_VOLTAGE,
            DIP_DURATION,
            assumed(SUPPLY_FREQUENCY, "50 Hz"),
        ],
        outputs: &[
            word("event", "name of the event"),
            output(
                "depth",
                Kind::Ratio,
                "%",
                "voltage lost, of nominal; negative for a rise",
            ),
        ],
        formula: "sag 10 to 90 %, swell above 110 %, interruption below 10 % of nominal; instantaneous to 30 cycles, \
                  momentary to 3 s, temporary to 1 min, then undervoltage, overvoltage or sustained interruption",
        valid: "rms voltage; 90 %, 110 % and one minute themselves count as normal and temporary",
        sources: &["ieee-1159: Table 2"],
        expect: &["between 90 and 110 % of nominal"],
        bands: &[
            band(
                "depth > 90 %",
                Verdict::Bad,
                "An interruption: the supply was gone.",
                "ieee-1159",
            ),
            band(
                "depth > 10 %",
                Verdict::Suspect,
                "The supply was low.",
                "ieee-1159",
            ),
            band(
                "depth < -10 %",
                Verdict::Suspect,
                "The supply was high.",
                "ieee-1159",
            ),
            band("", Verdict::Normal, "No event.", "ieee-1159"),
        ],
        doubtful: &["depth < -80 %"],
        example: Example {
            inputs: &[
                ("remaining_voltage", "75 %"),
                ("dip_duration", "100 ms"),
                ("supply_frequency", "60 Hz"),
            ],
            output: ("event", "instantaneous sag"),
            tolerance: 0.0,
        },
        compute: |inputs| {
            let remaining = inputs.ratio("remaining_voltage");
            let event = remaining
                .zip(inputs.time("dip_duration"))
                .zip(inputs.frequency("supply_frequency"))
                .map(|((remaining, duration), frequency)| {
                    supply_event(remaining, duration, frequency)
                });
            let outputs = match event {
                Some((event, Some(remark))) => {
                    Outputs::new().with_word("event", event).note(remark)
                }
                Some((event, None)) => Outputs::new().with_word("event", event),
                None => Outputs::new(),
            };
            Ok(outputs.with_some("depth", remaining.map(|remaining| share(1.0) - remaining)))
        },
    },
];
