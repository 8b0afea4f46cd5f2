//! Error codes of CiA 301 and CiA 402: object 603Fh, or the code of an emergency message.

use super::reading::{Profile, Reading, WordKind};
use crate::knowledge::{ErrorCode, FIRST_OF_THE_MAKER, Library};

/// Decodes an error code. A code whose last figures are unknown falls back to its group
/// (code AND FF00h), then to its class (code AND F000h).
pub fn read(library: &Library, word: u16) -> Reading {
    let mut reading = Reading::new(Profile::Cia402, WordKind::Error, word);
    if word >= FIRST_OF_THE_MAKER {
        reading.because = "FF00h to FFFFh is left to the maker".to_owned();
        reading.notes.push(
            "The maker defines what it means: look it up in the drive's own manual, and search here by \
             its meaning."
                .to_owned(),
        );
        return reading;
    }
    let listed = |word: u16| library.error_code(&format!("{word:04X}"));
    if let Some(code) = listed(word) {
        reading.exact = true;
        reading.because = format!("{word:04X}h stands in the table of error codes");
        take(&mut reading, code);
        return reading;
    }
    let group = word & 0xFF00;
    // 0000h is no class: it stands for "no error" alone.
    let class = Some(word & 0xF000).filter(|class| *class != 0);
    if let Some(code) = listed(group) {
        reading.because = format!("{word:04X}h is not listed; this is its group, {group:04X}h");
        take(&mut reading, code);
    } else if let Some(code) = class.and_then(listed) {
        reading.because = format!(
            "{word:04X}h is not listed, nor is its group; this is its class, {}h",
            code.code
        );
        take(&mut reading, code);
    } else {
        reading.because = format!("neither {word:04X}h nor its group or class is listed");
    }
    if reading.means_something() {
        reading.warnings.push(format!(
            "The figures behind the {} of {word:04X}h are not known here: the drive's own manual says more.",
            if listed(group).is_some() { "group" } else { "class" },
        ));
    }
    if let Some(code) = listed(word.swap_bytes()) {
        reading.warnings.push(format!(
            "With its two bytes swapped it is {}h: {}. An emergency message carries the low byte first; make \
             sure of the byte order before you believe either.",
            code.code, code.meaning
        ));
        for class in &code.classes {
            if !reading.classes.contains(class) {
                reading.classes.push(class.clone());
            }
        }
        if reading.classes.len() > 1 {
            reading.ask = Some(format!(
                "Is the code {word:04X}h, or {}h with its bytes swapped?",
                code.code
            ));
        }
    }
    reading
}

fn take(reading: &mut Reading, code: &ErrorCode) {
    reading.state = Some(code.meaning.clone());
    reading.classes.clone_from(&code.classes);
    reading.ask.clone_from(&code.ask);
    reading.notes.extend(code.note.clone());
}
