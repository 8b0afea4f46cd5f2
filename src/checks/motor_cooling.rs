//! What heats a motor beside its load: slow running on its own fan, and frequent starts.

use uom::si::f64::{Frequency, MomentOfInertia, Power, Ratio, Time};
use uom::si::power::watt;
use uom::si::time::second;

use super::define::{
    Check, CheckError, Example, Input, Outputs, Verdict, band, choice, nameplate, optional, output,
    reading,
};
use super::motor_table::HORSEPOWER_WATTS;
use super::shared::{
    MOTOR_POLES, MOTOR_RATED_FREQUENCY, MOTOR_RATED_POWER, OUTPUT_FREQUENCY, contradiction, number,
    share,
};
use crate::quantity::{Kind, Quantity};

/// Torque that a motor with its own shaft fan may give for hours, by its speed: share of rated
/// frequency and of rated torque.
///
/// Source: practice; the curves of nema-mg1, Part 30, and iec-60034-25 have this shape, and the
/// motor's maker has the figures
pub const OWN_FAN: [(f64, f64); 5] = [
    (0.0, 0.40),
    (0.1, 0.55),
    (0.2, 0.65),
    (0.5, 0.90),
    (1.0, 1.00),
];

/// Torque that a motor may give for hours, relative to rated.
///
/// Formula: straight lines between the points of [`OWN_FAN`]; 1 with a fan of its own drive;
/// `f_r / f` above rated frequency
/// Symbols: `f` output frequency, `f_r` rated frequency [Hz]
/// Valid:   totally enclosed motors up to twice rated frequency
/// Source:  practice (own fan); mohan-power-electronics, ch. 14 (above rated frequency, from memory)
pub fn continuous_torque(frequency: Frequency, rated: Frequency, own_fan: bool) -> Ratio {
    let speed = number(frequency / rated);
    if speed >= 1.0 {
        return share(1.0 / speed);
    }
    if !own_fan {
        return share(1.0);
    }
    let between = OWN_FAN.windows(2).find_map(|pair| match pair {
        [(from, low), (to, high)] if speed <= *to => {
            Some(low + (high - low) * (speed - from) / (to - from))
        }
        _ => None,
    });
    share(between.unwrap_or(1.0))
}

/// A row of the table of starts: horsepower, then starts an hour, largest product of starts and
/// load inertia [lb·ft²], and rest between starts [s] for 2, 4 and 6 poles.
type Starts = (f64, [(f64, f64, f64); 3]);

/// Starts straight from the line that a motor of design A or B stands.
///
/// Source: nema-mg10, Table 2-3, as trade handbooks repeat it
pub const STARTS: &[Starts] = &[
    (
        1.0,
        [(15.0, 1.2, 75.0), (30.0, 5.8, 38.0), (34.0, 15.0, 33.0)],
    ),
    (
        1.5,
        [(12.9, 1.8, 76.0), (25.7, 8.6, 38.0), (29.1, 23.0, 34.0)],
    ),
    (
        2.0,
        [(11.5, 2.4, 77.0), (23.0, 11.0, 39.0), (26.1, 30.0, 35.0)],
    ),
    (
        3.0,
        [(9.9, 3.5, 80.0), (19.8, 17.0, 40.0), (22.4, 44.0, 36.0)],
    ),
    (
        5.0,
        [(8.1, 5.7, 83.0), (16.3, 27.0, 42.0), (18.4, 71.0, 37.0)],
    ),
    (
        7.5,
        [(7.0, 8.3, 88.0), (13.9, 39.0, 44.0), (15.8, 104.0, 39.0)],
    ),
    (
        10.0,
        [(6.2, 11.0, 92.0), (12.5, 51.0, 46.0), (14.2, 137.0, 41.0)],
    ),
    (
        15.0,
        [(5.4, 16.0, 100.0), (10.7, 75.0, 50.0), (12.1, 200.0, 44.0)],
    ),
    (
        20.0,
        [(4.8, 21.0, 110.0), (9.6, 99.0, 55.0), (10.9, 262.0, 48.0)],
    ),
    (
        25.0,
        [(4.4, 26.0, 115.0), (8.8, 122.0, 58.0), (10.0, 324.0, 51.0)],
    ),
    (
        30.0,
        [(4.1, 31.0, 120.0), (8.2, 144.0, 60.0), (9.3, 384.0, 53.0)],
    ),
    (
        40.0,
        [(3.7, 40.0, 130.0), (7.4, 189.0, 65.0), (8.4, 503.0, 57.0)],
    ),
    (
        50.0,
        [(3.4, 49.0, 145.0), (6.8, 232.0, 72.0), (7.7, 620.0, 64.0)],
    ),
    (
        60.0,
        [(3.2, 58.0, 170.0), (6.3, 275.0, 85.0), (7.2, 735.0, 75.0)],
    ),
    (
        75.0,
        [(2.9, 71.0, 180.0), (5.8, 338.0, 90.0), (6.6, 904.0, 79.0)],
    ),
    (
        100.0,
        [(2.6, 92.0, 220.0), (5.2, 441.0, 110.0), (5.9, 1181.0, 97.0)],
    ),
    (
        125.0,
        [
            (2.4, 113.0, 275.0),
            (4.8, 542.0, 140.0),
            (5.4, 1452.0, 120.0),
        ],
    ),
    (
        150.0,
        [
            (2.2, 133.0, 320.0),
            (4.5, 640.0, 160.0),
            (5.1, 1719.0, 140.0),
        ],
    ),
    (
        200.0,
        [
            (2.0, 172.0, 600.0),
            (4.0, 831.0, 300.0),
            (4.5, 2238.0, 265.0),
        ],
    ),
    (
        250.0,
        [
            (1.8, 210.0, 1000.0),
            (3.7, 1017.0, 500.0),
            (4.2, 2744.0, 440.0),
        ],
    ),
];

/// Pound-foot squared in kg·m² (NIST SP 811, Appendix B).
const POUND_FOOT_SQUARED: f64 = 0.042_140_11;

/// Starts an hour that a motor stands straight from the line, and the rest between two.
///
/// Formula: the lesser of `A` and `B / J_load` by table; between two powers the larger one's row
/// Symbols: `A` starts an hour; `B` starts an hour times load inertia; `J_load` load inertia
/// Valid:   2, 4 or 6 poles, up to 250 hp (186 kW), load torque rising with the square of the speed
/// Errors:  other poles or a larger motor
/// Source:  nema-mg10, Table 2-3
pub fn allowed_starts(
    power: Power,
    poles: Ratio,
    load_inertia: Option<MomentOfInertia>,
) -> Result<(f64, Time), CheckError> {
    let column = match number(poles).round() as i64 {
        2 => 0,
        4 => 1,
        6 => 2,
        _ => {
            return Err(contradiction(
                "the table has 2, 4 and 6 poles; ask the motor's maker for others",
            ));
        }
    };
    let horsepower = power.get::<watt>() / HORSEPOWER_WATTS;
    // A metric rating a little above its sister in horsepower (0.75 kW, 1 hp) takes the same row.
    let row = STARTS
        .iter()
        .find(|(size, _)| horsepower <= size * 1.02)
        .ok_or_else(|| contradiction("the table ends at 250 hp (186 kW); ask the motor's maker"))?;
    let (most, product, rest) = row.1[column];
    let by_inertia = load_inertia
        .map(|inertia| product / (inertia.value / POUND_FOOT_SQUARED))
        .unwrap_or(f64::INFINITY);
    Ok((most.min(by_inertia), Time::new::<second>(rest)))
}

const TORQUE_SHARE: Input = reading(
    "torque_share",
    Kind::Ratio,
    "%",
    ("0 %", "300 %"),
    "torque that the load asks for hours, of rated torque, as the drive shows it; if it shows none, about current over rated current",
);
const STARTS_PER_HOUR: Input = reading(
    "starts_per_hour",
    Kind::Count,
    "",
    ("0", "3600"),
    "starts in the busiest hour, counted or from the log",
);
const LOAD_INERTIA: Input = nameplate(
    "load_inertia_at_motor",
    Kind::Inertia,
    "kg·m²",
    ("0.0001 kg·m²", "1000000 kg·m²"),
    "inertia of the load, at the motor shaft",
);

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "low-speed-cooling",
        purpose: "Torque that a motor may give for hours at low speed, and the load against it",
        inputs: &[
            MOTOR_RATED_FREQUENCY,
            OUTPUT_FREQUENCY,
            optional(TORQUE_SHARE),
            choice(
                "cooling",
                &["own-fan", "separate-fan"],
                "fan on the motor's own shaft, or one with a motor of its own",
            ),
        ],
        outputs: &[
            output(
                "allowed_torque",
                Kind::Ratio,
                "%",
                "torque for hours, of rated torque",
            ),
            output("ratio", Kind::Ratio, "%", "load against that torque"),
        ],
        formula: "own fan: 55 % at f/f_r = 0.1, 65 % at 0.2, 90 % at 0.5, 100 % at 1, straight between; separate fan: 100 %; above f_r: f_r / f (f: output frequency; f_r: rated frequency)",
        valid: "totally enclosed motors, steady load; minutes of overload are another matter; the motor's maker rules",
        sources: &[
            "practice",
            "nema-mg1: Part 30, shape of the curve (from memory)",
            "iec-60034-25: torque derating (from memory)",
        ],
        expect: &[
            "at most {allowed_torque} of rated torque for hours at {output_frequency}",
            "less torque the slower a motor with its own fan turns",
        ],
        bands: &[
            band(
                "ratio > 100 %",
                Verdict::Bad,
                "More than its fan can cool at this speed: a separate fan, a larger motor, or pauses.",
                "practice",
            ),
            band(
                "ratio > 90 %",
                Verdict::Suspect,
                "No margin: feel for blocked cooling air and watch the winding's temperature.",
                "practice",
            ),
            band("", Verdict::Normal, "Cooled well enough.", "practice"),
        ],
        doubtful: &["ratio > 400 %"],
        example: Example {
            inputs: &[
                ("motor_rated_frequency", "50 Hz"),
                ("output_frequency", "10 Hz"),
                ("torque_share", "90 %"),
            ],
            output: ("allowed_torque", "65 %"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let own_fan = inputs.word("cooling") != Some("separate-fan");
            let allowed = inputs
                .frequency("output_frequency")
                .zip(inputs.frequency("motor_rated_frequency"))
                .map(|(frequency, rated)| continuous_torque(frequency, rated, own_fan));
            let ratio = inputs
                .ratio("torque_share")
                .zip(allowed)
                .map(|(load, allowed)| -> Ratio { load / allowed });
            Ok(Outputs::new()
                .with_some("allowed_torque", allowed)
                .with_some("ratio", ratio)
                .note(if own_fan {
                    "For a fan on the motor's own shaft."
                } else {
                    "For a separate fan: make sure that it runs."
                }))
        },
    },
    Check {
        name: "motor-starts",
        purpose: "Starts an hour straight from the line against what the motor stands",
        inputs: &[
            MOTOR_RATED_POWER,
            MOTOR_POLES,
            optional(LOAD_INERTIA),
            STARTS_PER_HOUR,
        ],
        outputs: &[
            output("allowed_starts", Kind::Count, "", "starts an hour at most"),
            output("rest", Kind::Time, "s", "least rest between two starts"),
            output("ratio", Kind::Ratio, "%", "starts against that number"),
        ],
        formula: "starts ≤ A and ≤ B / J_load by table (A: starts an hour; B: starts times load inertia; J_load: load inertia)",
        valid: "design A or B, 2, 4 or 6 poles, 1 to 250 hp, straight from the line; through a drive's ramp the motor draws no starting current and this limit does not apply",
        sources: &[
            "nema-mg10: Table 2-3",
            "iec-60034-1: 4.2.5, duty S4 (from memory)",
            "practice",
        ],
        expect: &["at most {allowed_starts} an hour, with {rest} of rest between two"],
        bands: &[
            band(
                "ratio > 100 %",
                Verdict::Bad,
                "More starts than the motor is made for: each heats the rotor like minutes of full load.",
                "nema-mg10",
            ),
            band(
                "ratio > 80 %",
                Verdict::Suspect,
                "Hardly any margin for a restart after a trip.",
                "practice",
            ),
            band(
                "",
                Verdict::Normal,
                "Fewer than the motor stands.",
                "nema-mg10",
            ),
        ],
        doubtful: &["ratio > 10000 %"],
        example: Example {
            inputs: &[
                ("motor_rated_power", "25 hp"),
                ("motor_poles", "4"),
                ("load_inertia_at_motor", "50 lb-ft2"),
                ("starts_per_hour", "2"),
            ],
            output: ("allowed_starts", "2.44"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let allowed = inputs
                .power("motor_rated_power")
                .zip(inputs.count("motor_poles"))
                .map(|(power, poles)| {
                    allowed_starts(power, poles, inputs.inertia("load_inertia_at_motor"))
                })
                .transpose()?;
            let ratio = inputs
                .count("starts_per_hour")
                .zip(allowed)
                .map(|(starts, (allowed, _))| share(number(starts) / allowed));
            Ok(Outputs::new()
                .with_some(
                    "allowed_starts",
                    allowed.map(|(starts, _)| Quantity::from_si(Kind::Count, starts)),
                )
                .with_some("rest", allowed.map(|(_, rest)| rest))
                .with_some("ratio", ratio))
        },
    },
];
