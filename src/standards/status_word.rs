//! The status word of CiA 402 / IEC 61800-7-201, object 6041h.

use super::reading::{BitNames, Profile, Reading, Row, WordKind, bits, is_set};
use crate::knowledge::Library;

/// The eight states. Bit 5 counts only where the mask holds it: 0238h is "fault" as 0218h is.
const STATES: [Row; 8] = [
    row(0x004F, 0x0000, "not ready to switch on"),
    row(0x004F, 0x0040, "switch on disabled"),
    row(0x006F, 0x0021, "ready to switch on"),
    row(0x006F, 0x0023, "switched on"),
    row(0x006F, 0x0027, "operation enabled"),
    row(0x006F, 0x0007, "quick stop active"),
    row(0x004F, 0x000F, "fault reaction active"),
    row(0x004F, 0x0008, "fault"),
];

const fn row(mask: u16, value: u16, name: &'static str) -> Row {
    Row { mask, value, name }
}

const BITS: BitNames = [
    ("ready to switch on", "", ""),
    ("switched on", "", ""),
    ("operation enabled", "the motor can be driven", ""),
    ("fault", "", ""),
    (
        "voltage enabled",
        "main voltage is on the power stage",
        "no main voltage on the power stage",
    ),
    (
        "quick stop",
        "no quick stop (inverted bit)",
        "quick stop acts (inverted bit)",
    ),
    ("switch on disabled", "", ""),
    ("warning", "a warning stands; the drive keeps running", ""),
    ("the maker's", "", ""),
    (
        "remote",
        "the drive obeys the control word",
        "local control: the bus is ignored",
    ),
    (
        "target reached",
        "its meaning depends on the mode of operation",
        "",
    ),
    (
        "internal limit active",
        "a limit acts: current, torque, speed or position",
        "",
    ),
    (
        "of the mode of operation",
        "in cyclic modes: the drive follows the command",
        "",
    ),
    ("of the mode of operation", "", ""),
    ("the maker's", "", ""),
    ("the maker's", "", ""),
];

/// Decodes a status word.
pub fn read(library: &Library, word: u16) -> Reading {
    let mut reading = Reading::new(Profile::Cia402, WordKind::Status, word);
    reading.bits = bits(word, &BITS);
    let Some(state) = Row::of(&STATES, word) else {
        reading.because = format!("bits 0 to 6 of {word:04X}h fit none of the eight states");
        reading
            .warnings
            .push("Check profile, byte order and address of the word.".to_owned());
        if let Some(swapped) = Row::of(&STATES, word.swap_bytes()) {
            reading.warnings.push(format!(
                "With its two bytes swapped, {:04X}h, it would be \"{}\": make sure of the byte order \
                 before you believe that.",
                word.swap_bytes(),
                swapped.name
            ));
        }
        return reading;
    };
    reading.state = Some(state.name.to_owned());
    reading.exact = true;
    if state.mask & 0x0020 == 0
        && let Some(quick_stop) = reading.bits.get_mut(5)
    {
        quick_stop.says = "does not count in this state";
    }
    reading.because = state.because(word);
    reading.help_of(library, &state.name.replace(' ', "-"));
    hints(&mut reading);
    reading
}

/// What single bits say besides the state.
fn hints(reading: &mut Reading) {
    let word = reading.word;
    let bit = |number| is_set(word, number);
    if word == 0 {
        reading.warnings.push(
            "0000h is also what a wrong address or a dead bus reads: make sure of both first."
                .to_owned(),
        );
        return;
    }
    if bit(2) && bit(7) && !bit(3) {
        reading
            .notes
            .push("Bit 7 set while enabled: a trip may be coming. Read the warning.".to_owned());
    }
    if bit(11) {
        reading
            .notes
            .push("Bit 11 set: a limit acts; find out which.".to_owned());
        if bit(2) && !bit(3) {
            reading.first_class("drive-in-current-limit");
        }
    }
    // In a fault the bits of the state say nothing about the supply.
    if !bit(4) && !bit(3) && (bit(0) || bit(1)) {
        reading.notes.push(
            "Bit 4 clear: no main voltage. Ask about main supply, main contactor and precharging."
                .to_owned(),
        );
    }
    if !bit(9) {
        reading.notes.insert(
            0,
            "Bit 9 clear: the drive is in local control and ignores the bus. Ask about local or remote \
             first."
                .to_owned(),
        );
        reading.first_class("control-source-local-or-remote");
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Counted over all words: 24 of the 128 patterns of bits 0 to 6 are states (the mask pairs of two
    /// open implementations of the profile agree), so 12 288 words have one and 53 248 have none.
    #[test]
    fn every_word_has_one_state_or_none() {
        let mut with_state = 0;
        for word in 0..=u16::MAX {
            let fits = STATES
                .iter()
                .filter(|row| word & row.mask == row.value)
                .count();
            assert!(fits <= 1, "{word:04X}");
            with_state += fits;
        }
        assert_eq!(with_state, 12_288);
    }
}
