//! A look at the first bytes of a file, before the database engine may touch it.

use std::{
    fs::File,
    io::{ErrorKind, Read},
    path::Path,
};

use super::failure;
use crate::plant::StoreError;

/// Marks a database file as a log of ours: "Wtrp".
pub(super) const APPLICATION_ID: i32 = i32::from_be_bytes(*b"Wtrp");

/// What lies at a path.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Found {
    /// Nothing, or an empty file.
    Nothing,
    /// A log of ours, as far as its first bytes tell.
    Log,
}

/// Looks at the file without changing it. Anything but a log or nothing is an error.
pub(super) fn look(path: &Path) -> Result<Found, StoreError> {
    let mut file = match File::open(path) {
        Ok(file) => file,
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(Found::Nothing),
        Err(error) => return Err(failure::no_access(path, error)),
    };
    // The SQLite file format, section 1.3: the magic string, and the application id at offset 68.
    let mut header = [0; 100];
    let mut read = 0;
    while read < header.len() {
        match file.read(&mut header[read..]) {
            Ok(0) => break,
            Ok(more) => read += more,
            Err(error) if error.kind() == ErrorKind::Interrupted => {}
            Err(error) => return Err(failure::no_access(path, error)),
        }
    }
    if read == 0 {
        Ok(Found::Nothing)
    } else if read < header.len() || !header.starts_with(b"SQLite format 3\0") {
        Err(StoreError::NotADatabase {
            path: path.to_owned(),
        })
    } else if header[68..72] != APPLICATION_ID.to_be_bytes() {
        Err(StoreError::Foreign {
            path: path.to_owned(),
        })
    } else {
        Ok(Found::Log)
    }
}
