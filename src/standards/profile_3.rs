//! Status word 1 and control word 1 of IEC 61800-7-203 (PROFIdrive) in speed-control mode.

use super::reading::{BitNames, Profile, Reading, Row, WordKind, bits, is_set};
use crate::knowledge::Library;

/// The states by bits 0, 1, 2 and 6 (from memory; they fit two open implementations).
const STATES: [Row; 4] = [
    row(0x0047, 0x0040, "S1 switching on inhibited"),
    row(0x0047, 0x0001, "S2 ready for switching on"),
    row(0x0047, 0x0003, "S3 switched on"),
    row(0x0047, 0x0007, "S4 operation"),
];

const fn row(mask: u16, value: u16, name: &'static str) -> Row {
    Row { mask, value, name }
}

const STATUS_BITS: BitNames = [
    ("ready to switch on", "", ""),
    ("ready for operation", "", ""),
    ("operation enabled", "follows the reference", ""),
    ("fault present", "", ""),
    (
        "coast stop (OFF2)",
        "no coast stop (inverted bit)",
        "coast stop acts (inverted bit)",
    ),
    (
        "quick stop (OFF3)",
        "no quick stop (inverted bit)",
        "quick stop acts (inverted bit)",
    ),
    ("switching on inhibited", "", ""),
    ("warning present", "", ""),
    ("speed deviation within tolerance", "", ""),
    (
        "control requested",
        "the controller may take over",
        "local control only",
    ),
    ("comparison speed reached or passed", "", ""),
    ("of the device", "", ""),
    ("of the device", "", ""),
    ("of the device", "", ""),
    ("of the device", "", ""),
    ("of the device", "", ""),
];

const CONTROL_BITS: BitNames = [
    ("ON", "", "OFF1: ramp down, then switch off"),
    (
        "no coast stop (OFF2)",
        "",
        "coast, then switching on inhibited",
    ),
    (
        "no quick stop (OFF3)",
        "",
        "fastest stop, then switching on inhibited",
    ),
    ("enable operation", "", ""),
    ("ramp generator enabled", "", "its output is zero"),
    ("ramp generator runs", "", "it is frozen"),
    ("reference passed", "", "the reference is zero"),
    ("fault acknowledge", "acts on the edge from 0 to 1 only", ""),
    ("jog 1", "", ""),
    ("jog 2", "", ""),
    ("control by the controller", "", "the whole word is ignored"),
    ("of the device", "", ""),
    ("of the device", "", ""),
    ("of the device", "", ""),
    ("of the device", "", ""),
    ("of the device", "", ""),
];

/// Decodes status word 1.
pub fn status(library: &Library, word: u16) -> Reading {
    let mut reading = Reading::new(Profile::Profile3, WordKind::Status, word);
    reading.bits = bits(word, &STATUS_BITS);
    let bit = |number| is_set(word, number);
    let Some(state) = Row::of(&STATES, word) else {
        reading.because = format!("bits 0, 1, 2 and 6 of {word:04X}h fit none of the states");
        reading
            .warnings
            .push("Check profile, byte order and address of the word.".to_owned());
        return reading;
    };
    reading.state = Some(state.name.to_owned());
    reading.exact = true;
    reading.because = state.because(word);
    let inhibited = state.value == 0x0040;
    let id = match state.value {
        _ if bit(3) => "fault-present",
        0x0040 if !bit(4) => "s1-coast-stop",
        0x0040 if !bit(5) => "s1-quick-stop",
        0x0040 => "s1-switching-on-inhibited",
        0x0001 => "s2-ready-for-switching-on",
        0x0003 => "s3-switched-on",
        _ => "s4-operation",
    };
    reading.help_of(library, id);
    let mut note = |text: &str| reading.notes.push(text.to_owned());
    if bit(3) {
        note("Bit 3 set: a fault is present. It can stand beside any state.");
    }
    if inhibited && !bit(4) {
        note("Bit 4 clear: a coast stop (OFF2) acts.");
    }
    if inhibited && !bit(5) {
        note("Bit 5 clear: a quick stop (OFF3) acts.");
    }
    if matches!(state.value, 0x0003 | 0x0007) {
        note("Switching off (S5) cannot be told from S3 and S4 by these bits alone.");
    }
    if inhibited {
        note(
            "Safe torque off mostly shows as this state; closing it again does not restart the drive [memory].",
        );
    }
    if bit(7) {
        note("Bit 7 set: a warning is present. Read it.");
    }
    if !bit(9) {
        reading.notes.insert(
            0,
            "Bit 9 clear: the drive does not offer control to the bus; it is in local control."
                .to_owned(),
        );
        reading.first_class("control-source-local-or-remote");
    }
    reading
}

/// Decodes control word 1.
pub fn control(word: u16) -> Reading {
    let mut reading = Reading::new(Profile::Profile3, WordKind::Control, word);
    reading.bits = bits(word, &CONTROL_BITS);
    let bit = |number| is_set(word, number);
    let command = if !bit(1) {
        "coast stop (OFF2)"
    } else if !bit(2) {
        "quick stop (OFF3)"
    } else if !bit(0) {
        "OFF1: ramp down and switch off, or stay ready"
    } else if !bit(3) {
        "ON, operation not enabled"
    } else if word & 0x0070 != 0x0070 {
        "ON, reference held back"
    } else {
        "run"
    };
    reading.exact = true;
    reading.because = "by bits 0 to 6 and 10".to_owned();
    if bit(10) {
        reading.state = Some(command.to_owned());
    } else {
        reading.state = Some("ignored: no control by the controller".to_owned());
        reading.notes.push(format!(
            "Bit 10 clear: the drive ignores the whole word [memory]. With bit 10 set it would be: {command}."
        ));
        reading.first_class("control-source-local-or-remote");
    }
    if bit(7) {
        reading
            .notes
            .push("Bit 7 acknowledges a fault, on its edge from 0 to 1 only.".to_owned());
    }
    reading
}

/// The fault numbers of this profile are the maker's.
pub fn fault_number(word: u16) -> Reading {
    let mut reading = Reading::new(Profile::Profile3, WordKind::Error, word);
    reading.because = "this profile leaves the fault numbers to the maker".to_owned();
    reading.notes.push(
        "Look the number up in the drive's own manual, and search here by its meaning.".to_owned(),
    );
    reading
}
