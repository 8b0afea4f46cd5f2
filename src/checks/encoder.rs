//! Pulses of an incremental encoder.

use uom::si::angular_velocity::radian_per_second;
use uom::si::f64::{AngularVelocity, Frequency, Ratio, Time};
use uom::si::frequency::hertz;
use uom::si::ratio::ratio;

use super::define::{
    Check, Example, Input, Outputs, Verdict, band, nameplate, optional, output, reading,
};
use super::shared::MOTOR_SPEED;
use crate::quantity::{Kind, Quantity};

/// One turn [rad].
const TURN: f64 = 2.0 * std::f64::consts::PI;

/// Edges counted for each pulse of two channels.
pub const EDGES_PER_PULSE: f64 = 4.0;

/// Frequency of one channel.
///
/// Formula: `f = N · n / 60`
/// Symbols: `N` pulses per revolution; `n` speed [r/min]
/// Valid:   no gear between shaft and encoder
/// Source:  definition of the pulse number
pub fn pulse_frequency(pulses: Ratio, speed: AngularVelocity) -> Frequency {
    Frequency::new::<hertz>(pulses.get::<ratio>() * speed.value / TURN)
}

/// Speed from the frequency of one channel: `n = 60 · f / N`.
///
/// Source: as for [`pulse_frequency`]
pub fn speed_of_frequency(frequency: Frequency, pulses: Ratio) -> AngularVelocity {
    AngularVelocity::new::<radian_per_second>(frequency.value * TURN / pulses.get::<ratio>())
}

/// Pulses that fall into a time: `f · t`.
///
/// Source: as for [`pulse_frequency`]
pub fn pulses_in(frequency: Frequency, window: Time) -> f64 {
    frequency.value * window.value
}

const PULSES: Input = nameplate(
    "encoder_pulses",
    Kind::Count,
    "",
    ("1", "100000"),
    "pulses per revolution of one channel, from the encoder's plate",
);
const PULSE_FREQUENCY: Input = reading(
    "pulse_frequency",
    Kind::Frequency,
    "Hz",
    ("0 Hz", "10 MHz"),
    "frequency of one channel by oscilloscope or counter",
);

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "encoder-frequency",
        purpose: "Pulse frequency to expect of an encoder, and the reading against it",
        inputs: &[PULSES, MOTOR_SPEED, optional(PULSE_FREQUENCY)],
        outputs: &[
            output(
                "frequency",
                Kind::Frequency,
                "Hz",
                "frequency of one channel",
            ),
            output(
                "edge_frequency",
                Kind::Frequency,
                "Hz",
                "counted edges, four to a pulse",
            ),
            output("ratio", Kind::Ratio, "%", "reading against expectation"),
        ],
        formula: "f = N · n / 60, edges 4 · f (N: pulses per revolution; n: speed in r/min)",
        valid: "no gear between shaft and encoder, speed steady",
        sources: &["practice"],
        expect: &["{frequency}, as {encoder_pulses} pulses × {motor_speed}"],
        bands: &[
            band(
                "ratio > 410 %",
                Verdict::Bad,
                "Not any multiple: noise is counted.",
                "practice",
            ),
            band(
                "ratio > 390 %",
                Verdict::Bad,
                "Four times: edges are counted, or the pulse number is set wrong.",
                "practice",
            ),
            band(
                "ratio > 205 %",
                Verdict::Bad,
                "Far too many: noise, or a wrong pulse number.",
                "practice",
            ),
            band(
                "ratio > 195 %",
                Verdict::Bad,
                "Twice: both edges are counted, or the pulse number is set wrong.",
                "practice",
            ),
            band(
                "ratio > 105 %",
                Verdict::Bad,
                "Too many: noise, or a wrong pulse number.",
                "practice",
            ),
            band(
                "ratio < 24 %",
                Verdict::Bad,
                "Hardly any: a channel, the supply or the coupling fails.",
                "practice",
            ),
            band(
                "ratio < 26 %",
                Verdict::Bad,
                "A quarter: wrong pulse number or counting mode.",
                "practice",
            ),
            band(
                "ratio < 49 %",
                Verdict::Bad,
                "Far too few: pulses are lost or the coupling slips.",
                "practice",
            ),
            band(
                "ratio < 51 %",
                Verdict::Bad,
                "Half: wrong pulse number or counting mode.",
                "practice",
            ),
            band(
                "ratio < 95 %",
                Verdict::Bad,
                "Too few: pulses are lost or the coupling slips.",
                "practice",
            ),
            band(
                "ratio > 101 %",
                Verdict::Suspect,
                "A little off: compare the speed by another instrument.",
                "practice",
            ),
            band(
                "ratio < 99 %",
                Verdict::Suspect,
                "A little off: compare the speed by another instrument.",
                "practice",
            ),
            band("", Verdict::Normal, "As the speed gives.", "practice"),
        ],
        doubtful: &["ratio > 1000 %"],
        example: Example {
            inputs: &[("encoder_pulses", "1024"), ("motor_speed", "1800 rpm")],
            output: ("frequency", "30720 Hz"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let expected = inputs
                .count("encoder_pulses")
                .zip(inputs.speed("motor_speed"))
                .map(|(pulses, speed)| pulse_frequency(pulses, speed));
            let share = inputs
                .frequency("pulse_frequency")
                .zip(expected)
                .map(|(reading, expected)| -> Ratio { reading / expected });
            Ok(Outputs::new()
                .with_some("frequency", expected)
                .with_some("edge_frequency", expected.map(|f| f * EDGES_PER_PULSE))
                .with_some("ratio", share))
        },
    },
    Check {
        name: "encoder-input-limit",
        purpose: "Highest pulse frequency against what the encoder input takes",
        inputs: &[
            PULSES,
            MOTOR_SPEED,
            nameplate(
                "input_frequency_limit",
                Kind::Frequency,
                "kHz",
                ("10 Hz", "50 MHz"),
                "highest frequency of one channel, from the drive's own manual",
            ),
        ],
        outputs: &[
            output(
                "frequency",
                Kind::Frequency,
                "Hz",
                "frequency of one channel",
            ),
            output("share", Kind::Ratio, "%", "share of the limit"),
        ],
        formula: "f = N · n / 60 (N: pulses per revolution; n: highest speed in r/min)",
        valid: "the limit stands for one channel; a limit for counted edges is four times as high",
        sources: &["practice"],
        expect: &["below {input_frequency_limit}; this speed gives {frequency}"],
        bands: &[
            band(
                "share > 100 %",
                Verdict::Bad,
                "Above the limit: pulses are lost.",
                "practice",
            ),
            band(
                "share > 90 %",
                Verdict::Suspect,
                "Close to the limit.",
                "practice",
            ),
            band(
                "",
                Verdict::Normal,
                "Within what the input takes.",
                "practice",
            ),
        ],
        doubtful: &[],
        example: Example {
            inputs: &[
                ("encoder_pulses", "4096"),
                ("motor_speed", "6000 rpm"),
                ("input_frequency_limit", "300 kHz"),
            ],
            output: ("frequency", "409.6 kHz"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let frequency = inputs
                .count("encoder_pulses")
                .zip(inputs.speed("motor_speed"))
                .map(|(pulses, speed)| pulse_frequency(pulses, speed));
            let share = frequency
                .zip(inputs.frequency("input_frequency_limit"))
                .map(|(frequency, limit)| -> Ratio { frequency / limit });
            Ok(Outputs::new()
                .with_some("frequency", frequency)
                .with_some("share", share))
        },
    },
    Check {
        name: "encoder-window",
        purpose: "Pulses that fall into one sampling time: how fine the speed is seen",
        inputs: &[
            PULSES,
            MOTOR_SPEED,
            nameplate(
                "sampling_time",
                Kind::Time,
                "ms",
                ("1 µs", "10 s"),
                "time over which pulses are counted, from the drive's own manual",
            ),
        ],
        outputs: &[
            output("pulses", Kind::Count, "", "pulses in the time"),
            output(
                "speed_step",
                Kind::Speed,
                "rpm",
                "speed of one pulse in the time",
            ),
        ],
        formula: "pulses = N · n / 60 · t, step = 60 / (N · t) (N: pulses per revolution; n: speed in r/min; t: sampling time)",
        valid: "counting whole pulses; counting edges is four times as fine",
        sources: &["practice"],
        expect: &["{pulses} pulses in {sampling_time}, steps of {speed_step}"],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[
                ("encoder_pulses", "1000"),
                ("motor_speed", "1 rpm"),
                ("sampling_time", "100 ms"),
            ],
            output: ("pulses", "1.6667"),
            tolerance: 1e-4,
        },
        compute: |inputs| {
            let pulses = inputs.count("encoder_pulses");
            let window = inputs.time("sampling_time");
            let counted = pulses
                .zip(inputs.speed("motor_speed"))
                .zip(window)
                .map(|((pulses, speed), window)| pulses_in(pulse_frequency(pulses, speed), window));
            let step = pulses.zip(window).map(|(pulses, window)| {
                speed_of_frequency(Frequency::new::<hertz>(1.0 / window.value), pulses)
            });
            Ok(Outputs::new()
                .with_some("pulses", counted.map(|n| Quantity::from_si(Kind::Count, n)))
                .with_some("speed_step", step))
        },
    },
    Check {
        name: "encoder-speed",
        purpose: "Speed that a pulse frequency stands for",
        inputs: &[PULSE_FREQUENCY, PULSES],
        outputs: &[output("speed", Kind::Speed, "rpm", "speed")],
        formula: "n = 60 · f / N (f: frequency of one channel; N: pulses per revolution)",
        valid: "no gear between shaft and encoder",
        sources: &["practice"],
        expect: &["the speed that the drive displays"],
        bands: &[],
        doubtful: &["speed > 60000 rpm"],
        example: Example {
            inputs: &[("pulse_frequency", "51200 Hz"), ("encoder_pulses", "2048")],
            output: ("speed", "1500 rpm"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let speed = inputs
                .frequency("pulse_frequency")
                .zip(inputs.count("encoder_pulses"))
                .map(|(frequency, pulses)| speed_of_frequency(frequency, pulses));
            Ok(Outputs::new().with_some("speed", speed))
        },
    },
];
