//! The control word of CiA 402 / IEC 61800-7-201, object 6040h.

use super::reading::{BitNames, Profile, Reading, Row, WordKind, bits, is_set};

/// The six commands. Every word fits exactly one.
const COMMANDS: [Row; 6] = [
    row(0x0080, 0x0080, "fault reset"),
    row(0x0087, 0x0006, "shutdown"),
    row(0x008F, 0x0007, "switch on"),
    row(0x008F, 0x000F, "enable operation"),
    row(0x0086, 0x0002, "quick stop"),
    row(0x0082, 0x0000, "disable voltage"),
];

const fn row(mask: u16, value: u16, name: &'static str) -> Row {
    Row { mask, value, name }
}

const BITS: BitNames = [
    ("switch on", "", ""),
    ("enable voltage", "", ""),
    (
        "quick stop",
        "no quick stop (inverted bit)",
        "quick stop (inverted bit)",
    ),
    ("enable operation", "", ""),
    (
        "of the mode of operation",
        "velocity mode: ramp enabled",
        "",
    ),
    (
        "of the mode of operation",
        "velocity mode: ramp not frozen",
        "",
    ),
    (
        "of the mode of operation",
        "velocity mode: reference passed",
        "",
    ),
    ("fault reset", "acts on the edge from 0 to 1 only", ""),
    ("halt", "stop with the ramp, stay enabled", ""),
    ("of the mode of operation", "", ""),
    ("reserved", "", ""),
    ("the maker's", "", ""),
    ("the maker's", "", ""),
    ("the maker's", "", ""),
    ("the maker's", "", ""),
    ("the maker's", "", ""),
];

/// Decodes a control word.
pub fn read(word: u16) -> Reading {
    let mut reading = Reading::new(Profile::Cia402, WordKind::Control, word);
    reading.bits = bits(word, &BITS);
    let Some(command) = Row::of(&COMMANDS, word) else {
        return reading;
    };
    reading.state = Some(command.name.to_owned());
    reading.exact = true;
    reading.because = command.because(word);
    let mut note = |text: &str| reading.notes.push(text.to_owned());
    match command.name {
        "fault reset" => {
            note("Only the edge of bit 7 from 0 to 1 resets, and only if the cause has gone.")
        }
        "switch on" => note("The same word, sent while operation is enabled, disables operation."),
        "enable operation" => {
            if word & 0x0070 != 0x0070 {
                note(
                    "In velocity mode bits 4, 5 and 6 must all be 1 as well for the reference to pass: \
                     007Fh.",
                );
            }
            if is_set(word, 8) {
                note("Bit 8 set: halt; the drive stays enabled and does not turn.");
            }
        }
        "quick stop" => note("Bit 2 is inverted: at 0 it commands the quick stop."),
        "disable voltage" => note("From operation enabled the motor coasts."),
        _ => {}
    }
    reading
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The set and reset bits of the six commands, as open implementations of the profile have them,
    /// share out all 65 536 words.
    #[test]
    fn every_word_is_exactly_one_command() {
        for word in 0..=u16::MAX {
            let fits = COMMANDS
                .iter()
                .filter(|row| word & row.mask == row.value)
                .count();
            assert_eq!(fits, 1, "{word:04X}");
        }
    }
}
