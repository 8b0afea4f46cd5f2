//! A look at a file that changes nothing: no lock, no journal, not a byte.

use std::{
    fs,
    io::ErrorKind,
    path::{Path, PathBuf},
};

use rusqlite::{Connection, OpenFlags};

use super::failure::{explain, no_access};
use crate::plant::StoreError;

/// Marks a database file as a log of ours: "Wtrp".
pub(super) const APPLICATION_ID: i32 = i32::from_be_bytes(*b"Wtrp");

/// A database file is never smaller than its smallest page (SQLite file format, section 1.3.2).
const SMALLEST_FILE: u64 = 512;

/// What lies at a path.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Found {
    /// Nothing, or an empty file.
    Nothing,
    /// A log of ours, as far as its first bytes tell.
    Log,
}

/// Looks at the file. Anything but a log or nothing is an error.
///
/// The file is opened by the database engine, not here: to close a file is to give up the locks that
/// the same program holds on it through other connections (POSIX, `fcntl`).
pub(super) fn look(path: &Path) -> Result<Found, StoreError> {
    let metadata = match fs::metadata(path) {
        Ok(metadata) => metadata,
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(Found::Nothing),
        Err(error) => return Err(no_access(path, error)),
    };
    if metadata.is_file() && metadata.len() == 0 {
        return Ok(Found::Nothing);
    }
    if metadata.is_dir() || metadata.len() < SMALLEST_FILE {
        return Err(StoreError::NotADatabase {
            path: path.to_owned(),
        });
    }
    let application_id = unchanging(path).and_then(|connection| {
        // A file that is shorter than its first page says may still be whole together with its
        // write-ahead log; this setting lets that pass, and nothing is written here.
        connection.pragma_update(None, "writable_schema", true)?;
        application_id(&connection)
    });
    match application_id.map_err(|error| explain(path, error))? {
        APPLICATION_ID => Ok(Found::Log),
        _ => Err(StoreError::Foreign {
            path: path.to_owned(),
        }),
    }
}

/// A connection that takes the file as one that nobody changes (SQLite, "URI filenames": immutable).
pub(super) fn unchanging(path: &Path) -> rusqlite::Result<Connection> {
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY
        | OpenFlags::SQLITE_OPEN_URI
        | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    Connection::open_with_flags(immutable_uri(path), flags)
}

pub(super) fn application_id(connection: &Connection) -> rusqlite::Result<i32> {
    connection.query_row("pragma application_id", [], |row| row.get(0))
}

fn immutable_uri(path: &Path) -> PathBuf {
    let root = if cfg!(windows) && path.is_absolute() {
        "///"
    } else {
        ""
    };
    let mut uri = format!("file:{root}");
    for &byte in path.as_os_str().as_encoded_bytes() {
        match byte {
            b'\\' if cfg!(windows) => uri.push('/'),
            b'/' | b':' | b'.' | b'-' | b'_' => uri.push(char::from(byte)),
            _ if byte.is_ascii_alphanumeric() => uri.push(char::from(byte)),
            _ => uri.push_str(&format!("%{byte:02x}")),
        }
    }
    (uri + "?immutable=1").into()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn odd_names_are_looked_at_and_not_created() {
        let folder = tempfile::TempDir::new().unwrap();
        for name in ["a?b#c%20.db", "Füller 2.db", "log.db?immutable=0"] {
            let path = folder.path().join(name);
            assert_eq!(look(&path).unwrap(), Found::Nothing);
            let connection = Connection::open(&path).unwrap();
            connection
                .pragma_update(None, "application_id", APPLICATION_ID)
                .unwrap();
            connection.execute_batch("create table a (b)").unwrap();
            assert_eq!(look(&path).unwrap(), Found::Log, "{name}");
        }
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 3);
    }
}
