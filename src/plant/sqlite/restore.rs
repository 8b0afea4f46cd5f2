//! Putting a backup in the place of a log, which is kept.

use std::{
    fs,
    path::{Path, PathBuf},
};

use jiff::Timestamp;
use rusqlite::{
    Connection, OpenFlags,
    backup::{Backup, StepResult},
};

use super::{
    SqliteStore, backup,
    failure::{explain, no_access},
    look::{Found, look},
    migrate::{STEPS, is_current},
    open,
};
use crate::plant::{StoreError, Verified};

/// What was put back, and what was there before.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Restored {
    /// What the log holds now.
    pub verified: Verified,
    /// Where the log that was there is kept.
    pub kept: Option<PathBuf>,
}

/// Puts the log `from` in the place of the log at `path`.
///
/// The backup is looked through first, and isn't changed. A log that is there is replaced only if
/// `replace` says so, and kept beside it. Programs that use it meanwhile see the one or the other:
/// what they recorded before is in the kept file, what they record after is in the log.
pub(super) fn restore(
    path: &Path,
    from: &Path,
    replace: bool,
    now: Timestamp,
) -> Result<Restored, StoreError> {
    let source = open_backup(from)?;
    super::verify::integrity(&source, from)?;
    let canonical = |path| fs::canonicalize(path).ok();
    if canonical(path).is_some_and(|log| canonical(from) == Some(log)) {
        return Err(StoreError::SameFile {
            path: path.to_owned(),
        });
    }
    let there = fs::metadata(path).is_ok_and(|metadata| metadata.len() > 0);
    if there && !replace {
        return Err(StoreError::LogExists {
            path: path.to_owned(),
        });
    }
    let kept = there.then(|| kept_name(path, now));
    let mut usable = open::for_writing(path, now);
    if let (Err(_), Some(kept)) = (&usable, &kept) {
        // Damaged, foreign or newer: nobody can be writing to it in earnest.
        move_away(path, kept)?;
        usable = open::for_writing(path, now);
    }
    let mut log = usable?.connection;
    let failed = |error| explain(path, error);
    let locked = Backup::new(&source, &mut log).map_err(failed)?;
    // No page yet: this only takes the lock that keeps others from writing.
    step(&locked, 0, path)?;
    if let Some(kept) = kept.as_deref().filter(|kept| !kept.exists()) {
        let reader =
            Connection::open_with_flags(path, OpenFlags::SQLITE_OPEN_READ_WRITE).map_err(failed)?;
        backup::copy_to(&reader, kept)?;
        backup::sync_folder(&backup::folder_of(kept));
    }
    step(&locked, -1, path)?;
    drop(locked);
    drop(log);
    // A backup of an older format is brought up to date here, as a log of it would be.
    let store = SqliteStore::open(path, now)?;
    Ok(Restored {
        verified: store.verify()?,
        kept,
    })
}

/// Opens a backup so that nothing in it changes.
fn open_backup(from: &Path) -> Result<Connection, StoreError> {
    if look(from)? == Found::Nothing {
        return Err(StoreError::NotADatabase {
            path: from.to_owned(),
        });
    }
    let source = open::open_to_read(from).map_err(|error| explain(from, error))?;
    is_current(&source, from, STEPS)?;
    Ok(source)
}

fn step(copying: &Backup<'_, '_>, pages: i32, path: &Path) -> Result<(), StoreError> {
    // Others may be writing for a moment: a few seconds in all.
    for _ in 0..300 {
        match copying.step(pages).map_err(|error| explain(path, error))? {
            StepResult::Busy | StepResult::Locked => {
                std::thread::sleep(std::time::Duration::from_millis(20));
            }
            _ => return Ok(()),
        }
    }
    Err(StoreError::Busy {
        path: path.to_owned(),
    })
}

fn kept_name(path: &Path, now: Timestamp) -> PathBuf {
    let name = path.file_stem().unwrap_or_default().to_string_lossy();
    let extension = path.extension().unwrap_or_default().to_string_lossy();
    let time = now.strftime("%Y%m%dT%H%M%S%3fZ");
    path.with_file_name(format!("{name}-before-restore-{time}.{extension}"))
}

/// Moves a file that is no usable log out of the way, with what belongs to it.
fn move_away(path: &Path, kept: &Path) -> Result<(), StoreError> {
    for ending in ["-wal", "-shm", ""] {
        let with_ending = |path: &Path| {
            let mut name = path.as_os_str().to_owned();
            name.push(ending);
            PathBuf::from(name)
        };
        let from = with_ending(path);
        if from.exists() {
            fs::rename(&from, with_ending(kept)).map_err(|error| no_access(&from, error))?;
        }
    }
    Ok(())
}
