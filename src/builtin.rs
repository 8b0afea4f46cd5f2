//! What is compiled into the program.

use crate::knowledge::{DecodeError, Library};

static KNOWLEDGE: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/knowledge.bin"));

/// The built-in knowledge, read in place.
///
/// # Errors
/// [`DecodeError`] if the program file is damaged.
pub fn knowledge() -> Result<Library, DecodeError> {
    Library::open(KNOWLEDGE)
}
