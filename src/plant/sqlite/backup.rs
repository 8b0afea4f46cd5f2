//! A copy of a log while others use it.

use std::{
    fs::{self, File},
    path::{Path, PathBuf},
};

use rusqlite::Connection;

use super::failure::{explain, no_access};
use crate::plant::StoreError;

/// Writes a copy of the log to a new file. The copy is whole and on the disk when this returns;
/// until then the file has another name.
pub(super) fn backup(connection: &Connection, to: &Path) -> Result<(), StoreError> {
    if to.exists() {
        return Err(StoreError::Exists {
            path: to.to_owned(),
        });
    }
    let folder = folder_of(to);
    if !folder.is_dir() {
        return Err(StoreError::NoFolder { path: folder });
    }
    let mut name = to.as_os_str().to_owned();
    name.push(".part");
    let part = PathBuf::from(name);
    // What a backup that was stopped has left.
    if part.is_file() {
        fs::remove_file(&part).map_err(|error| no_access(&part, error))?;
    }
    let written = copy_to(connection, &part)
        .and_then(|()| fs::rename(&part, to).map_err(|error| no_access(to, error)));
    if written.is_err() {
        // Half a copy is of no use; the error that is told says why.
        let _ = fs::remove_file(&part);
    }
    written?;
    sync_folder(&folder);
    Ok(())
}

/// Copies the log into a file that isn't there yet, and syncs it.
pub(super) fn copy_to(connection: &Connection, to: &Path) -> Result<(), StoreError> {
    let failed = |error| explain(to, error);
    // A log that was opened to be read lets nothing be written otherwise, not even elsewhere.
    let only_read: bool = connection
        .query_row("pragma query_only", [], |row| row.get(0))
        .map_err(failed)?;
    let may_only_read = |yes| connection.pragma_update(None, "query_only", yes);
    may_only_read(false).map_err(failed)?;
    let copied = connection.execute("vacuum into ?1", [to.to_string_lossy()]);
    may_only_read(only_read).map_err(failed)?;
    copied.map_err(failed)?;
    File::options()
        .write(true)
        .open(to)
        .and_then(|file| file.sync_all())
        .map_err(|error| no_access(to, error))
}

/// The folder that a file lies in.
pub(super) fn folder_of(path: &Path) -> PathBuf {
    path.parent()
        .filter(|folder| !folder.as_os_str().is_empty())
        .unwrap_or(Path::new("."))
        .to_owned()
}

/// Brings a new name in a folder to the disk, where the system can do that.
pub(super) fn sync_folder(folder: &Path) {
    if let Ok(folder) = File::open(folder) {
        // Systems that can't sync a folder keep names safe in another way.
        let _ = folder.sync_all();
    }
}
