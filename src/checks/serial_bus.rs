//! Serial lines: timing, termination, levels, length.

use uom::si::electric_potential::volt;
use uom::si::electrical_resistance::ohm;
use uom::si::f64::{ElectricPotential, ElectricalResistance, Frequency, Length, Ratio, Time};
use uom::si::frequency::{hertz, kilohertz};
use uom::si::length::meter;
use uom::si::ratio::ratio;
use uom::si::time::{microsecond, second};

use super::define::{
    Band, Check, CheckError, Example, Input, Inputs, Outputs, Verdict, assumed, band, choice,
    nameplate, optional, output, reading,
};
use crate::quantity::Kind;

/// Bit rate above which the silent times of a frame are fixed. Source: modbus-serial, 2.5.1.1.
fn fixed_above() -> Frequency {
    Frequency::new::<hertz>(19_200.0)
}

/// Time of so many characters: `t = n · bits / rate`.
///
/// Source: iec-80000-13, definition of the bit rate (from memory)
pub fn character_time(rate: Frequency, bits: Ratio, characters: f64) -> Time {
    Time::new::<second>(characters * bits.get::<ratio>() / rate.value)
}

/// Silence between two frames: 3.5 characters, above 19 200 bit/s 1.75 ms.
///
/// Source: modbus-serial, 2.5.1.1
pub fn frame_gap(rate: Frequency, bits: Ratio) -> Time {
    if rate > fixed_above() {
        return Time::new::<microsecond>(1750.0);
    }
    character_time(rate, bits, 3.5)
}

/// Longest silence within a frame: 1.5 characters, above 19 200 bit/s 0.75 ms.
///
/// Source: modbus-serial, 2.5.1.1 (0.75 ms from memory)
pub fn character_gap(rate: Frequency, bits: Ratio) -> Time {
    if rate > fixed_above() {
        return Time::new::<microsecond>(750.0);
    }
    character_time(rate, bits, 1.5)
}

/// Check sum of a frame, sent low byte first.
///
/// Formula: CRC-16 with the reflected polynomial 0xA001, begun at 0xFFFF
/// Source:  modbus-serial, appendix on the CRC
pub fn frame_check(frame: &[u8]) -> u16 {
    frame.iter().fold(0xFFFF, |sum, byte| {
        (0..8).fold(sum ^ u16::from(*byte), |sum, _| {
            if sum & 1 == 1 {
                (sum >> 1) ^ 0xA001
            } else {
                sum >> 1
            }
        })
    })
}

/// Resistance between the two wires of an unpowered line.
///
/// Formula: `R = 1 / (n / R_t + u / 12 kΩ)`
/// Symbols: `n` terminators of `R_t`; `u` unit loads of 12 kΩ each
/// Valid:   power off, short line
/// Errors:  neither a terminator nor a unit load
/// Source:  tia-485 (unit load); iec-80000-6, resistance (from memory)
pub fn line_resistance(
    terminators: Ratio,
    each: ElectricalResistance,
    unit_loads: Ratio,
) -> Result<ElectricalResistance, CheckError> {
    let conductance =
        terminators.get::<ratio>() / each.get::<ohm>() + unit_loads.get::<ratio>() / UNIT_LOAD_OHMS;
    if conductance <= 0.0 {
        return Err(CheckError::Contradiction(
            "without a terminator or a device the line is open: there is no resistance to expect"
                .to_owned(),
        ));
    }
    Ok(ElectricalResistance::new::<ohm>(1.0 / conductance))
}

const UNIT_LOAD_OHMS: f64 = 12_000.0;

/// Idle voltage that two bias resistors make: `U = U_s · R / (2·R_b + R)`.
///
/// Symbols: `U_s` supply [V]; `R_b` each bias resistor; `R` line resistance [Ω]
/// Source:  iec-80000-6, resistance (from memory)
pub fn bias_voltage(
    supply: ElectricPotential,
    each: ElectricalResistance,
    line: ElectricalResistance,
) -> ElectricPotential {
    supply * (line / (each * 2.0 + line))
}

/// Difference from which a receiver is sure of the state [V]. Source: tia-485.
pub const RECEIVER_THRESHOLD: f64 = 0.2;

/// Bit rate [kbit/s], longest line by the more cautious and by the more generous table [m].
///
/// Source: cia-303-1 and practice
pub const LINE_LENGTHS: [(f64, f64, f64); 5] = [
    (1000.0, 25.0, 40.0),
    (500.0, 100.0, 100.0),
    (250.0, 250.0, 250.0),
    (125.0, 500.0, 500.0),
    (50.0, 1000.0, 1000.0),
];

/// Longest line at a bit rate, cautious and generous, by the table's next faster rate.
///
/// Source: as for [`LINE_LENGTHS`]
pub fn longest_line(rate: Frequency) -> (Length, Length) {
    let wanted = rate.get::<kilohertz>();
    let (_, cautious, generous) = LINE_LENGTHS
        .iter()
        .rev()
        .find(|(own, _, _)| *own >= wanted)
        .unwrap_or(&LINE_LENGTHS[0]);
    (
        Length::new::<meter>(*cautious),
        Length::new::<meter>(*generous),
    )
}

/// Levels of a two-wire line with a recessive and a dominant state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Levels {
    /// Nominal voltage of the high wire [V].
    pub high: f64,
    /// Nominal voltage of the low wire [V].
    pub low: f64,
    /// Least difference [V].
    pub least_difference: f64,
    /// Largest difference [V].
    pub largest_difference: f64,
}

/// Levels of the recessive or the dominant state.
///
/// Source: iso-11898-2 (from memory)
pub fn levels(dominant: bool) -> Levels {
    if dominant {
        return Levels {
            high: 3.5,
            low: 1.5,
            least_difference: 1.5,
            largest_difference: 3.0,
        };
    }
    Levels {
        high: 2.5,
        low: 2.5,
        least_difference: -0.5,
        largest_difference: 0.05,
    }
}

const BIT_RATE: Input = nameplate(
    "bit_rate",
    Kind::BitRate,
    "baud",
    ("300 baud", "1 Mbit/s"),
    "bit rate, as set in every device of the line",
);
const LINE_RESISTANCE: Input = reading(
    "line_resistance",
    Kind::Resistance,
    "Ω",
    ("0 Ω", "1000 GΩ"),
    "resistance between the two wires, every device powered off",
);
const TERMINATORS: Input = assumed(
    nameplate(
        "terminators",
        Kind::Count,
        "",
        ("0", "10"),
        "terminators that should be in place",
    ),
    "2",
);
const TERMINATOR: Input = assumed(
    nameplate(
        "terminator_resistance",
        Kind::Resistance,
        "Ω",
        ("50 Ω", "1 kΩ"),
        "each terminator",
    ),
    "120 Ω",
);

fn termination(inputs: &Inputs) -> Result<Outputs, CheckError> {
    let unit_loads = inputs.count("unit_loads").unwrap_or_default();
    let expected = inputs
        .count("terminators")
        .zip(inputs.resistance("terminator_resistance"))
        .map(|(count, each)| line_resistance(count, each, unit_loads))
        .transpose()?;
    let reading = inputs.resistance("line_resistance");
    let share = reading
        .zip(expected)
        .map(|(reading, expected)| -> Ratio { reading / expected });
    Ok(Outputs::new()
        .with_some("expected_resistance", expected)
        .with_some("ratio", share))
}

const TERMINATION_BANDS: &[Band] = &[
    band(
        "ratio > 500 %",
        Verdict::Bad,
        "Open: no terminator at all, or a break.",
        "practice",
    ),
    band(
        "ratio > 150 %",
        Verdict::Bad,
        "A terminator is missing.",
        "practice",
    ),
    band(
        "ratio < 70 %",
        Verdict::Bad,
        "One terminator too many, or a short.",
        "practice",
    ),
    band(
        "ratio > 110 %",
        Verdict::Suspect,
        "A little high: a poor joint or a long line.",
        "practice",
    ),
    band(
        "ratio < 90 %",
        Verdict::Suspect,
        "A little low: many devices, or one still powered.",
        "practice",
    ),
    band(
        "",
        Verdict::Normal,
        "Terminated as it should be.",
        "practice",
    ),
];

const EXPECTED_RESISTANCE: super::define::Output = output(
    "expected_resistance",
    Kind::Resistance,
    "Ω",
    "resistance to expect",
);
const SHARE: super::define::Output =
    output("ratio", Kind::Ratio, "%", "reading against expectation");

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "modbus-timing",
        purpose: "Silent times and frame time of a Modbus RTU line",
        inputs: &[
            BIT_RATE,
            assumed(
                nameplate(
                    "bits_per_character",
                    Kind::Count,
                    "",
                    ("10", "12"),
                    "start, data, parity and stop bits together",
                ),
                "11",
            ),
            assumed(
                nameplate(
                    "frame_bytes",
                    Kind::Count,
                    "",
                    ("1", "256"),
                    "bytes of the frame, check sum included",
                ),
                "8",
            ),
        ],
        outputs: &[
            output("frame_gap", Kind::Time, "ms", "silence between frames"),
            output(
                "character_gap",
                Kind::Time,
                "ms",
                "longest silence within a frame",
            ),
            output("frame_time", Kind::Time, "ms", "time of the frame"),
            output(
                "frame_and_gap",
                Kind::Time,
                "ms",
                "frame and silence together",
            ),
        ],
        formula: "t = n · bits / rate; gap 3.5 characters, within a frame 1.5; above 19200 bit/s 1.75 ms and 0.75 ms (n: characters; bits: per character)",
        valid: "RTU framing; the answer time of the device comes on top",
        sources: &["modbus-serial: 2.5.1.1 (0.75 ms from memory)"],
        expect: &["{frame_gap} between frames, {frame_time} for {frame_bytes} bytes"],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[("bit_rate", "9600 baud")],
            output: ("frame_gap", "4.0104 ms"),
            tolerance: 1e-4,
        },
        compute: |inputs| {
            let line = inputs
                .bit_rate("bit_rate")
                .zip(inputs.count("bits_per_character"));
            let gap = line.map(|(rate, bits)| frame_gap(rate, bits));
            let frame = line
                .zip(inputs.count("frame_bytes"))
                .map(|((rate, bits), bytes)| character_time(rate, bits, bytes.get::<ratio>()));
            Ok(Outputs::new()
                .with_some("frame_gap", gap)
                .with_some(
                    "character_gap",
                    line.map(|(rate, bits)| character_gap(rate, bits)),
                )
                .with_some("frame_time", frame)
                .with_some(
                    "frame_and_gap",
                    frame.zip(gap).map(|(frame, gap)| frame + gap),
                ))
        },
    },
    Check {
        name: "rs485-termination",
        purpose: "Resistance between the wires of an unpowered RS-485 line",
        inputs: &[
            LINE_RESISTANCE,
            TERMINATORS,
            TERMINATOR,
            assumed(
                nameplate(
                    "unit_loads",
                    Kind::Count,
                    "",
                    ("0", "256"),
                    "unit loads of 12 kΩ of all devices that load the line even unpowered",
                ),
                "0",
            ),
        ],
        outputs: &[EXPECTED_RESISTANCE, SHARE],
        formula: "R = 1 / (n / R_t + u / 12 kΩ) (n: terminators; R_t: each; u: unit loads)",
        valid: "every device powered off; two terminators of 120 Ω give 60 Ω",
        sources: &["tia-485", "practice"],
        expect: &[
            "{expected_resistance}, from {terminators} terminators of {terminator_resistance}",
        ],
        bands: TERMINATION_BANDS,
        doubtful: &[],
        example: Example {
            inputs: &[("line_resistance", "61 Ω")],
            output: ("expected_resistance", "60 Ω"),
            tolerance: 1e-9,
        },
        compute: termination,
    },
    Check {
        name: "rs485-idle",
        purpose: "Voltage between the wires of an idle RS-485 line",
        inputs: &[
            reading(
                "idle_voltage",
                Kind::Voltage,
                "mV",
                ("-15 V", "15 V"),
                "voltage between the wires, plus lead on the one that is to be positive when idle; devices on, nobody talking",
            ),
            assumed(
                nameplate(
                    "bias_supply_voltage",
                    Kind::Voltage,
                    "V",
                    ("3 V", "15 V"),
                    "supply of the bias resistors",
                ),
                "5 V",
            ),
            optional(nameplate(
                "bias_resistance",
                Kind::Resistance,
                "Ω",
                ("100 Ω", "10 kΩ"),
                "each bias resistor, one to plus and one to 0 V",
            )),
            assumed(
                nameplate(
                    "terminated_resistance",
                    Kind::Resistance,
                    "Ω",
                    ("20 Ω", "10 kΩ"),
                    "resistance between the wires",
                ),
                "60 Ω",
            ),
        ],
        outputs: &[
            output("voltage", Kind::Voltage, "mV", "idle voltage"),
            output(
                "expected_voltage",
                Kind::Voltage,
                "mV",
                "voltage that the bias gives",
            ),
            output(
                "receiver_threshold",
                Kind::Voltage,
                "mV",
                "what a receiver needs",
            ),
        ],
        formula: "U = U_s · R / (2·R_b + R) (U_s: bias supply; R_b: each bias resistor; R: resistance between the wires)",
        valid: "line idle, two terminators; makers name the wires A and B in either order",
        sources: &["tia-485: receiver threshold", "practice"],
        expect: &[
            "{expected_voltage}, from {bias_supply_voltage} by two resistors of {bias_resistance}",
            "200 mV to 500 mV with bias and two terminators",
        ],
        bands: &[
            band(
                "voltage < -200 mV",
                Verdict::Bad,
                "The wires are crossed, or a device holds the line.",
                "practice",
            ),
            band(
                "voltage < 200 mV",
                Verdict::Bad,
                "No bias, or the line is loaded too much: receivers are not sure.",
                "tia-485",
            ),
            band(
                "voltage > 1 V",
                Verdict::Bad,
                "No terminator, or a device holds the line.",
                "practice",
            ),
            band(
                "voltage > 500 mV",
                Verdict::Suspect,
                "More than usual: a terminator may be missing.",
                "practice",
            ),
            band("", Verdict::Normal, "Biased as it should be.", "practice"),
        ],
        doubtful: &[],
        example: Example {
            inputs: &[("idle_voltage", "210 mV"), ("bias_resistance", "680 Ω")],
            output: ("expected_voltage", "211.3 mV"),
            tolerance: 5e-4,
        },
        compute: |inputs| {
            let expected = inputs
                .voltage("bias_supply_voltage")
                .zip(inputs.resistance("bias_resistance"))
                .zip(inputs.resistance("terminated_resistance"))
                .map(|((supply, each), line)| bias_voltage(supply, each, line));
            Ok(Outputs::new()
                .with_some("voltage", inputs.voltage("idle_voltage"))
                .with_some("expected_voltage", expected)
                .with(
                    "receiver_threshold",
                    ElectricPotential::new::<volt>(RECEIVER_THRESHOLD),
                ))
        },
    },
    Check {
        name: "can-termination",
        purpose: "Resistance between the wires of an unpowered CAN line",
        inputs: &[LINE_RESISTANCE, TERMINATORS, TERMINATOR],
        outputs: &[EXPECTED_RESISTANCE, SHARE],
        formula: "R = R_t / n (n: terminators; R_t: each)",
        valid: "every device powered off; two terminators of 120 Ω give 60 Ω",
        sources: &["iso-11898-2", "practice"],
        expect: &[
            "{expected_resistance}, from {terminators} terminators of {terminator_resistance}",
        ],
        bands: TERMINATION_BANDS,
        doubtful: &[],
        example: Example {
            inputs: &[("line_resistance", "119 Ω")],
            output: ("ratio", "198.33 %"),
            tolerance: 1e-4,
        },
        compute: termination,
    },
    Check {
        name: "can-length",
        purpose: "Longest CAN line at a bit rate, and the line against it",
        inputs: &[
            Input {
                limits: ("50 kbit/s", "1 Mbit/s"),
                ..BIT_RATE
            },
            optional(nameplate(
                "line_length",
                Kind::Length,
                "m",
                ("0.1 m", "10 km"),
                "length of the line from end to end",
            )),
        ],
        outputs: &[
            output("longest_line", Kind::Length, "m", "longest line"),
            output(
                "generous_length",
                Kind::Length,
                "m",
                "longest by the more generous table",
            ),
            output("share", Kind::Ratio, "%", "line against the longest"),
        ],
        formula: "table by bit rate; between two rates the faster one is taken",
        valid: "50 kbit/s to 1 Mbit/s, trunk without long stubs or repeaters",
        sources: &["cia-303-1: bit rates and lengths", "practice"],
        expect: &["up to {longest_line} at {bit_rate}"],
        bands: &[
            band(
                "share > 100 %",
                Verdict::Bad,
                "Too long for this bit rate.",
                "cia-303-1",
            ),
            band(
                "share > 80 %",
                Verdict::Suspect,
                "Close to the longest for this bit rate.",
                "practice",
            ),
            band(
                "",
                Verdict::Normal,
                "Short enough for this bit rate.",
                "cia-303-1",
            ),
        ],
        doubtful: &[],
        example: Example {
            inputs: &[("bit_rate", "250 kbit/s")],
            output: ("longest_line", "250 m"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let table = inputs.bit_rate("bit_rate").map(longest_line);
            let longest = table.map(|(cautious, _)| cautious);
            let share = inputs
                .length("line_length")
                .zip(longest)
                .map(|(line, longest)| -> Ratio { line / longest });
            Ok(Outputs::new()
                .with_some("longest_line", longest)
                .with_some("generous_length", table.map(|(_, generous)| generous))
                .with_some("share", share)
                .note("Tables differ at 1 Mbit/s, 25 m and 40 m; the shorter one is used."))
        },
    },
    Check {
        name: "can-levels",
        purpose: "Voltages of the two CAN wires in a steady state",
        inputs: &[
            reading(
                "can_high_voltage",
                Kind::Voltage,
                "V",
                ("-30 V", "30 V"),
                "high wire against the line's common",
            ),
            reading(
                "can_low_voltage",
                Kind::Voltage,
                "V",
                ("-30 V", "30 V"),
                "low wire against the line's common",
            ),
            choice(
                "line_state",
                &["recessive", "dominant"],
                "recessive: the line is idle; dominant: a device holds it",
            ),
        ],
        outputs: &[
            output("difference", Kind::Voltage, "V", "high minus low"),
            output("expected_high", Kind::Voltage, "V", "high wire to expect"),
            output("expected_low", Kind::Voltage, "V", "low wire to expect"),
            output(
                "expected_difference",
                Kind::Voltage,
                "V",
                "difference to expect",
            ),
            output("least_difference", Kind::Voltage, "V", "least difference"),
            output(
                "largest_difference",
                Kind::Voltage,
                "V",
                "largest difference",
            ),
            output(
                "outside",
                Kind::Voltage,
                "V",
                "difference beyond its limits",
            ),
        ],
        formula: "recessive: both wires near 2.5 V, difference −0.5 V to 0.05 V; dominant: 3.5 V and 1.5 V, difference 1.5 V to 3 V",
        valid: "steady state; with traffic a meter shows a mean between the two",
        sources: &["iso-11898-2: from memory"],
        expect: &["high {expected_high}, low {expected_low}, difference {expected_difference}"],
        bands: &[
            band(
                "outside > 0 V",
                Verdict::Bad,
                "Not this state: traffic, a short, a break or a faulty device.",
                "iso-11898-2",
            ),
            band(
                "",
                Verdict::Normal,
                "As this state should be.",
                "iso-11898-2",
            ),
        ],
        doubtful: &["difference > 6 V", "difference < -3 V"],
        example: Example {
            inputs: &[
                ("can_high_voltage", "3.5 V"),
                ("can_low_voltage", "1.5 V"),
                ("line_state", "dominant"),
            ],
            output: ("difference", "2 V"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let levels = levels(inputs.word("line_state") == Some("dominant"));
            let volts = ElectricPotential::new::<volt>;
            let difference = inputs
                .voltage("can_high_voltage")
                .zip(inputs.voltage("can_low_voltage"))
                .map(|(high, low)| high - low);
            let outside = difference.map(|difference| {
                let value = difference.get::<volt>();
                let below = levels.least_difference - value;
                let above = value - levels.largest_difference;
                volts(below.max(above).max(0.0))
            });
            Ok(Outputs::new()
                .with_some("difference", difference)
                .with("expected_high", volts(levels.high))
                .with("expected_low", volts(levels.low))
                .with("expected_difference", volts(levels.high - levels.low))
                .with("least_difference", volts(levels.least_difference))
                .with("largest_difference", volts(levels.largest_difference))
                .with_some("outside", outside))
        },
    },
];
