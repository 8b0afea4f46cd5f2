//! Status words, control words and error codes of the open drive profiles, decoded.
//!
//! [`typed::read`] understands what was typed; [`decode`] says what the word means. A code never
//! proves a cause: it only picks the first questions.
//!
//! Sources: CiA 301, CiA 402 / IEC 61800-7-201 and IEC 61800-7-203. The standards themselves were not
//! seen; masks and bits stand in several open tables that agree.

mod control_word;
mod error_code;
mod profile_3;
mod reading;
mod status_word;
pub mod typed;

pub use reading::{Bit, Profile, Reading, WordKind};

use crate::knowledge::Library;

/// Decodes a word of a known kind.
pub fn decode(library: &Library, profile: Profile, kind: WordKind, word: u16) -> Reading {
    match (kind, profile) {
        (WordKind::Status, Profile::Cia402) => status_word::read(library, word),
        (WordKind::Control, Profile::Cia402) => control_word::read(word),
        (WordKind::Status, Profile::Profile3) => profile_3::status(library, word),
        (WordKind::Control, Profile::Profile3) => profile_3::control(word),
        (WordKind::Error, Profile::Cia402) => error_code::read(library, word),
        (WordKind::Error, Profile::Profile3) => profile_3::fault_number(word),
    }
}

/// Everything that a word may be when nobody said which word it is: status word, error code, control
/// word, in this order.
pub fn every_reading(library: &Library, profile: Profile, word: u16) -> Vec<Reading> {
    [WordKind::Status, WordKind::Error, WordKind::Control]
        .into_iter()
        .filter(|kind| *kind != WordKind::Error || profile == Profile::Cia402)
        .map(|kind| decode(library, profile, kind, word))
        .collect()
}
