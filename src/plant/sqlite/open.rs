//! Opening a log: looking first, then touching.

use std::{fs, path::Path, thread::sleep, time::Duration};

use jiff::Timestamp;
use rusqlite::{Connection, ErrorCode, OpenFlags, TransactionBehavior, config::DbConfig};

use super::{
    SqliteStore,
    failure::explain,
    look::{APPLICATION_ID, Found, application_id, look, unchanging},
    migrate::{STEPS, format, is_current, migrate},
};
use crate::plant::StoreError;

/// How long to wait for another program that is writing.
const PATIENCE: Duration = Duration::from_secs(15);

/// Up to this size a log is looked through for damage each time it is opened for writing.
const QUICKLY_CHECKED_BYTES: u64 = 8 << 20;

pub(super) fn for_writing(path: &Path, now: Timestamp) -> Result<SqliteStore, StoreError> {
    let failed = |error| explain(path, error);
    let folder = path
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty());
    if let Some(folder) = folder.filter(|folder| !folder.is_dir()) {
        return Err(StoreError::NoFolder {
            path: folder.to_owned(),
        });
    }
    look(path)?;
    let mut connection = open_file(path, OpenFlags::SQLITE_OPEN_CREATE).map_err(failed)?;
    if connection.is_readonly("main").map_err(failed)? {
        return Err(StoreError::ReadOnly {
            path: path.to_owned(),
        });
    }
    configure(&connection).map_err(failed)?;
    refuse_if_damaged(&connection, path)?;
    is_current(&connection, path, STEPS)?;
    claim(&mut connection, path)?;
    write_ahead(&connection).map_err(failed)?;
    let saved_copy = migrate(&mut connection, path, now, STEPS)?;
    Ok(SqliteStore {
        connection,
        path: path.to_owned(),
        saved_copy,
    })
}

pub(super) fn for_reading(path: &Path, now: Timestamp) -> Result<Option<SqliteStore>, StoreError> {
    let failed = |error| explain(path, error);
    if look(path)? == Found::Nothing {
        return Ok(None);
    }
    let connection = open_to_read(path).map_err(failed)?;
    if format(&connection).map_err(failed)? == 0 {
        // Whoever created it was stopped before the first record.
        return Ok(None);
    }
    let mut saved_copy = None;
    if !is_current(&connection, path, STEPS)? {
        saved_copy = for_writing(path, now)?.saved_copy;
    }
    connection
        .pragma_update(None, "query_only", true)
        .map_err(failed)?;
    Ok(Some(SqliteStore {
        connection,
        path: path.to_owned(),
        saved_copy,
    }))
}

/// Opens the file for writing; if this user may not write it, for reading.
fn open_file(path: &Path, create: OpenFlags) -> rusqlite::Result<Connection> {
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    Connection::open_with_flags(path, flags | create)
}

fn configure(connection: &Connection) -> rusqlite::Result<()> {
    connection.busy_timeout(PATIENCE)?;
    connection.execute_batch(
        "pragma synchronous = full;
         pragma fullfsync = on;
         pragma foreign_keys = on;
         pragma trusted_schema = off;
         pragma cell_size_check = on;",
    )
}

/// A connection for reading that leaves everything as it is.
///
/// It is one that could write, because only such a one removes the files of the write-ahead log
/// that reading needs. A write-ahead log that somebody left is read and left, too. Where this user
/// can't write and no write-ahead log lies there, nobody else seems to be writing, and the file is
/// read as it is.
pub(super) fn open_to_read(path: &Path) -> rusqlite::Result<Connection> {
    let connection = open_file(path, OpenFlags::empty())?;
    let left_behind = write_ahead_log(path);
    if connection.is_readonly("main")? && left_behind.is_none() {
        return unchanging(path);
    }
    if left_behind.unwrap_or(0) > 0 {
        leave_write_ahead_log(&connection);
    }
    match configure(&connection).and_then(|()| format(&connection)) {
        Ok(_) => Ok(connection),
        // The folder forbids what reading needs: to create the files of the write-ahead log.
        Err(error) if is_forbidden(&error) && write_ahead_log(path).unwrap_or(0) == 0 => {
            unchanging(path)
        }
        Err(error) => Err(error),
    }
}

fn is_forbidden(error: &rusqlite::Error) -> bool {
    matches!(
        error.sqlite_error_code(),
        Some(ErrorCode::CannotOpen | ErrorCode::ReadOnly)
    )
}

/// Makes an empty file a log of ours, so that its first bytes say so from the first write on.
///
/// What the first bytes said before doesn't settle it: if a program was killed while it wrote them,
/// the database engine has taken them back by now, and the file is empty again.
fn claim(connection: &mut Connection, path: &Path) -> Result<(), StoreError> {
    let failed = |error| explain(path, error);
    if application_id(connection).map_err(failed)? == APPLICATION_ID {
        return Ok(());
    }
    let transaction = connection
        .transaction_with_behavior(TransactionBehavior::Exclusive)
        .map_err(failed)?;
    // Another program may have been faster, and it may be one of ours.
    let application = application_id(&transaction).map_err(failed)?;
    let tables: u32 = transaction
        .query_row("select count(*) from sqlite_schema", [], |row| row.get(0))
        .map_err(failed)?;
    if application == APPLICATION_ID {
        return Ok(());
    }
    if application != 0 || tables > 0 {
        return Err(StoreError::Foreign {
            path: path.to_owned(),
        });
    }
    transaction
        .pragma_update(None, "application_id", APPLICATION_ID)
        .map_err(failed)?;
    transaction.commit().map_err(failed)
}

/// Switches to the write-ahead log. While another program does the same the switch may be refused
/// without waiting, so it is tried again.
fn write_ahead(connection: &Connection) -> rusqlite::Result<()> {
    let mut tries = 0;
    loop {
        match connection.query_row("pragma journal_mode = wal", [], |_| Ok(())) {
            Err(error)
                if error.sqlite_error_code() == Some(ErrorCode::DatabaseBusy) && tries < 200 =>
            {
                tries += 1;
                sleep(Duration::from_millis(20));
            }
            result => return result,
        }
    }
}

/// Looks through a small log for damage. If there is any, the file keeps every byte: what a
/// write-ahead log still holds isn't moved into it when the connection closes.
fn refuse_if_damaged(connection: &Connection, path: &Path) -> Result<(), StoreError> {
    let size = fs::metadata(path)
        .map(|metadata| metadata.len())
        .unwrap_or(0);
    let result = if size > QUICKLY_CHECKED_BYTES {
        format(connection).map(|_| "ok".to_owned())
    } else {
        connection.query_row("pragma quick_check(1)", [], |row| row.get::<_, String>(0))
    };
    let error = match result {
        Ok(answer) if answer == "ok" => return Ok(()),
        Ok(detail) => StoreError::Damaged {
            path: path.to_owned(),
            detail,
        },
        Err(error) => explain(path, error),
    };
    if write_ahead_log(path).unwrap_or(0) > 0 {
        leave_write_ahead_log(connection);
    }
    Err(error)
}

/// Keeps a connection from moving the write-ahead log into the file when it closes. It does so only
/// when it is the last one, and nothing depends on it.
fn leave_write_ahead_log(connection: &Connection) {
    let _ = connection.set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, true);
}

/// The size of the write-ahead log beside a log, if there is one.
fn write_ahead_log(path: &Path) -> Option<u64> {
    let mut name = path.as_os_str().to_owned();
    name.push("-wal");
    fs::metadata(name).ok().map(|metadata| metadata.len())
}
