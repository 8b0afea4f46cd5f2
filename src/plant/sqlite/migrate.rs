//! Bringing a log up to date: steps that are only ever added, each run once.

use std::path::{Path, PathBuf};

use jiff::Timestamp;
use rusqlite::{Connection, OpenFlags, TransactionBehavior};

use super::{backup, failure::explain};
use crate::plant::StoreError;

/// The steps that lead from an empty file to today's format. A log's format is the number of steps
/// it has seen, kept as `user_version`.
pub(super) const STEPS: &[&str] = &[
    include_str!("../migrations/2026-11-25-1-incidents.sql"),
    include_str!("../migrations/2026-11-25-2-drives.sql"),
    include_str!("../migrations/2026-11-25-3-codes.sql"),
    include_str!("../migrations/2026-11-25-4-words.sql"),
    include_str!("../migrations/2026-11-25-5-incident-minutes.sql"),
];

/// The format of a log.
pub(super) fn format(connection: &Connection) -> rusqlite::Result<u32> {
    connection.query_row("pragma user_version", [], |row| row.get(0))
}

/// Runs the steps that the log hasn't seen, all or none. A log that has records is copied first;
/// the copy's path is given back.
pub(super) fn migrate(
    connection: &mut Connection,
    path: &Path,
    now: Timestamp,
    steps: &[&str],
) -> Result<Option<PathBuf>, StoreError> {
    if is_current(connection, path, steps)? {
        return Ok(None);
    }
    let failed = |error| explain(path, error);
    let transaction = connection
        .transaction_with_behavior(TransactionBehavior::Immediate)
        .map_err(failed)?;
    // Another program may have been faster: look again, now that it has to wait.
    if is_current(&transaction, path, steps)? {
        return Ok(None);
    }
    let found = format(&transaction).map_err(failed)?;
    let copy = if found > 0 {
        Some(copy(path, found, now)?)
    } else {
        None
    };
    for step in &steps[found as usize..] {
        transaction.execute_batch(step).map_err(failed)?;
    }
    transaction
        .pragma_update(None, "user_version", steps.len() as u32)
        .map_err(failed)?;
    transaction.commit().map_err(failed)?;
    Ok(copy)
}

/// Whether a log has seen all steps. One that has seen more is refused.
pub(super) fn is_current(
    connection: &Connection,
    path: &Path,
    steps: &[&str],
) -> Result<bool, StoreError> {
    let found = format(connection).map_err(|error| explain(path, error))?;
    let known = steps.len() as u32;
    if found > known {
        return Err(StoreError::Newer {
            path: path.to_owned(),
            found,
            known,
        });
    }
    Ok(found == known)
}

/// Copies a log to a file beside it that tells its format and the time.
fn copy(path: &Path, format: u32, now: Timestamp) -> Result<PathBuf, StoreError> {
    let name = path.file_stem().unwrap_or_default().to_string_lossy();
    let extension = path.extension().unwrap_or_default().to_string_lossy();
    let time = now.strftime("%Y%m%dT%H%M%SZ");
    let copy = path.with_file_name(format!("{name}-format-{format}-{time}.{extension}"));
    let reader = Connection::open_with_flags(path, OpenFlags::SQLITE_OPEN_READ_WRITE)
        .map_err(|error| explain(&copy, error))?;
    backup::copy_to(&reader, &copy)?;
    Ok(copy)
}
