//! The log in one SQLite file.
//!
//! Write-ahead log with full synchronisation: when a call returns, what it wrote is on the disk.
//! Several programs may use the file at once. A file that isn't ours, that is damaged or that a
//! newer version wrote is reported and left byte for byte as it is.

mod backup;
mod codes;
mod digest;
mod drives;
mod events;
mod failure;
mod incidents;
mod look;
mod migrate;
mod open;
mod restore;
mod row;
mod search;
mod union;
mod verify;
mod words;

use std::path::{Path, PathBuf};

use jiff::Timestamp;
use rusqlite::{Connection, Transaction, TransactionBehavior};

use super::statistics::{EventFilter, Events};
use super::{
    Added, Code, CodeEntry, Counts, Drive, Filter, Found, Incident, Logged, OnConflict, Refused,
    ScalarText, Store, StoreError, United, Which, Whose,
};
pub use restore::Restored;
pub use verify::Verified;

/// A log in an SQLite file.
#[derive(Debug)]
pub struct SqliteStore {
    connection: Connection,
    path: PathBuf,
    saved_copy: Option<PathBuf>,
}

impl SqliteStore {
    /// Opens a log for reading and writing, and makes a new one if there is none. The folder has to
    /// be there.
    ///
    /// A log of an older version is brought up to date, after a copy of it was put beside it; `now`
    /// goes into the name of the copy, see [`SqliteStore::saved_copy`].
    pub fn open(path: &Path, now: Timestamp) -> Result<Self, StoreError> {
        open::for_writing(path, now)
    }

    /// Opens a log that exists for reading; none if there is no log yet. It creates nothing, except
    /// that a log of an older version is brought up to date as in [`SqliteStore::open`].
    pub fn open_existing(path: &Path, now: Timestamp) -> Result<Option<Self>, StoreError> {
        open::for_reading(path, now)
    }

    /// The copy that was made before the log was brought up to date, if it was just now.
    pub fn saved_copy(&self) -> Option<&Path> {
        self.saved_copy.as_deref()
    }

    /// Looks through the whole log for damage.
    pub fn verify(&self) -> Result<Verified, StoreError> {
        verify::verify(self)
    }

    /// Writes a copy of the log to a new file, while others use it.
    pub fn backup(&self, to: &Path) -> Result<(), StoreError> {
        backup::backup(&self.connection, to)
    }

    /// Puts the backup `from` in the place of the log at `path`. A log that is there is replaced
    /// only if `replace` says so, and kept beside it.
    pub fn restore(
        path: &Path,
        from: &Path,
        replace: bool,
        now: Timestamp,
    ) -> Result<Restored, StoreError> {
        restore::restore(path, from, replace, now)
    }

    /// Runs `work` in a transaction that others wait for, and commits if it went well.
    fn write<T>(
        &mut self,
        work: impl FnOnce(&Transaction<'_>, &Path) -> Result<T, StoreError>,
    ) -> Result<T, StoreError> {
        let explain = |error| failure::explain(&self.path, error);
        let transaction = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(explain)?;
        let result = work(&transaction, &self.path)?;
        transaction.commit().map_err(explain)?;
        Ok(result)
    }

    fn set_cache(&self, kibibytes: i32) -> Result<(), StoreError> {
        self.connection
            .pragma_update(None, "cache_size", -kibibytes)
            .map_err(self.explain())
    }

    fn explain(&self) -> impl Fn(rusqlite::Error) -> StoreError + '_ {
        |error| failure::explain(&self.path, error)
    }
}

/// What the database engine takes by itself (SQLite, "Pragma statements": cache_size).
const DEFAULT_CACHE_KIBIBYTES: i32 = 2_000;

impl Store for SqliteStore {
    fn add_incidents(&mut self, incidents: &[Incident]) -> Result<Vec<Added>, StoreError> {
        self.write(|transaction, path| {
            let mut pending = words::Pending::default();
            let added = incidents
                .iter()
                .map(|incident| incidents::add(transaction, path, incident, &mut pending))
                .collect::<Result<_, _>>()?;
            pending
                .enter(transaction)
                .map_err(|error| failure::explain(path, error))?;
            Ok(added)
        })
    }

    fn amend_incident(&mut self, incident: &Incident) -> Result<u32, StoreError> {
        self.write(|transaction, path| incidents::amend(transaction, path, incident))
    }

    fn incident(&self, which: &Which) -> Result<Logged, StoreError> {
        let number = incidents::number_of(&self.connection, &self.path, which)?;
        incidents::latest(&self.connection, &self.path, number)
    }

    fn revisions(&self, which: &Which) -> Result<Vec<Incident>, StoreError> {
        let number = incidents::number_of(&self.connection, &self.path, which)?;
        incidents::revisions(&self.connection, &self.path, number)
    }

    fn incidents(&self, filter: &Filter) -> Result<Vec<Logged>, StoreError> {
        incidents::list(&self.connection, &self.path, filter)
    }

    fn search(&self, words: &str, limit: usize) -> Result<Vec<Found>, StoreError> {
        search::search(self, words, limit)
    }

    fn counts(&self, whose: Whose<'_>) -> Result<Counts, StoreError> {
        incidents::counts(&self.connection, whose).map_err(self.explain())
    }

    fn events(&self, filter: &EventFilter) -> Result<Events, StoreError> {
        events::read(&self.connection, filter).map_err(self.explain())
    }

    fn unite(
        &mut self,
        revisions: &mut dyn Iterator<Item = Result<Incident, Refused>>,
        on_conflict: OnConflict,
    ) -> Result<United, StoreError> {
        // Pages that many rows touch stay in memory meanwhile: 128 MiB at the most.
        self.set_cache(131_072)?;
        let united =
            self.write(|transaction, path| union::unite(transaction, path, revisions, on_conflict));
        self.set_cache(DEFAULT_CACHE_KIBIBYTES)?;
        united
    }

    fn page(&self, after: u32, incidents: u32, latest: bool) -> Result<Vec<Logged>, StoreError> {
        incidents::page(&self.connection, &self.path, after, incidents, latest)
    }

    fn put_drives(&mut self, drives: &[Drive], at: Timestamp) -> Result<u32, StoreError> {
        drives.iter().try_for_each(Drive::check)?;
        self.write(|transaction, path| {
            let mut new = 0;
            for drive in drives {
                let put = drives::put(transaction, drive, at);
                new += u32::from(put.map_err(|error| failure::explain(path, error))?);
            }
            Ok(new)
        })
    }

    fn put_codes(&mut self, codes: &[Code], at: Timestamp) -> Result<u32, StoreError> {
        self.write(|transaction, path| {
            let mut new = 0;
            for code in codes {
                let put = codes::put(transaction, code, at);
                new += u32::from(put.map_err(|error| failure::explain(path, error))?);
            }
            Ok(new)
        })
    }

    fn remove_code(&mut self, shown: &str, model: &str, at: Timestamp) -> Result<bool, StoreError> {
        let code = Code::from_entry(CodeEntry {
            shown: ScalarText(shown.to_owned()),
            model: ScalarText(model.to_owned()),
            class: "any".to_owned(),
            ..CodeEntry::default()
        })?;
        self.write(|transaction, path| {
            codes::remove(transaction, &code.key(), &code.model, at)
                .map_err(|error| failure::explain(path, error))
        })
    }

    fn codes(&self) -> Result<Vec<Code>, StoreError> {
        codes::all(&self.connection).map_err(self.explain())
    }

    fn drive(&self, id: &str) -> Result<Option<Drive>, StoreError> {
        drives::one(&self.connection, id).map_err(self.explain())
    }

    fn drives(&self) -> Result<Vec<Drive>, StoreError> {
        drives::all(&self.connection).map_err(self.explain())
    }
}

#[cfg(test)]
mod tests {
    use jiff::tz::TimeZone;
    use tempfile::TempDir;

    use super::*;
    use crate::plant::{Birth, Entry};

    fn open(folder: &TempDir) -> SqliteStore {
        SqliteStore::open(&folder.path().join("log.db"), Timestamp::UNIX_EPOCH).unwrap()
    }

    fn incident(words: String) -> Incident {
        let birth = Birth::at(Timestamp::UNIX_EPOCH, TimeZone::UTC);
        Incident::from_entry(
            &birth,
            Entry {
                words: Some(words),
                ..Entry::default()
            },
        )
        .unwrap()
    }

    fn number(store: &SqliteStore, sql: &str) -> u32 {
        store
            .connection
            .query_row(sql, [], |row| row.get(0))
            .unwrap()
    }

    #[test]
    fn settings_are_those_that_keep_what_was_acknowledged() {
        // SQLite, "Pragma statements": synchronous 2 is FULL, which in write-ahead mode syncs the
        // log after each transaction.
        let folder = TempDir::new().unwrap();
        let store = open(&folder);
        let mode: String = store
            .connection
            .query_row("pragma journal_mode", [], |row| row.get(0))
            .unwrap();
        assert_eq!(mode, "wal");
        for (pragma, expected) in [
            ("synchronous", 2),
            ("fullfsync", 1),
            ("foreign_keys", 1),
            ("trusted_schema", 0),
            ("busy_timeout", 15_000),
            ("application_id", 0x5774_7270),
            ("user_version", migrate::STEPS.len() as u32),
        ] {
            assert_eq!(
                number(&store, &format!("pragma {pragma}")),
                expected,
                "{pragma}"
            );
        }
    }

    #[test]
    fn a_full_disk_is_told_and_loses_nothing() {
        let folder = TempDir::new().unwrap();
        let mut store = open(&folder);
        // A limit on the size of the file gives the same error as a full disk.
        let pages = number(&store, "pragma page_count") + 20;
        number(&store, &format!("pragma max_page_count = {pages}"));
        let mut kept = 0;
        let error = loop {
            match store.add_incident(&incident("x".repeat(3_000))) {
                Ok(_) => kept += 1,
                Err(error) => break error,
            }
        };
        assert!(matches!(error, StoreError::Full { .. }), "{error}");
        assert!(kept > 0);
        assert_eq!(store.verify().unwrap().incidents, kept);
        drop(store);
        assert_eq!(open(&folder).verify().unwrap().incidents, kept);
    }

    #[test]
    fn a_log_that_others_keep_locked_is_told() {
        let folder = TempDir::new().unwrap();
        let (mut store, mut other) = (open(&folder), open(&folder));
        store
            .connection
            .busy_timeout(std::time::Duration::from_millis(1))
            .unwrap();
        other
            .write(|_, _| {
                let error = store.add_incident(&incident("a".to_owned())).unwrap_err();
                assert!(matches!(error, StoreError::Busy { .. }), "{error}");
                Ok(())
            })
            .unwrap();
        store.add_incident(&incident("a".to_owned())).unwrap();
    }
}
