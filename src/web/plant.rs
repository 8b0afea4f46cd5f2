//! What a page needs of the plant: the knowledge, the searcher, the log and what people may do.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant, SystemTime};

use jiff::Timestamp;
use jiff::tz::TimeZone;
use ulid::Ulid;

use super::kept::{Kept, Turns};
use super::page::Page;
use crate::diagnosis::case::History;
use crate::knowledge::Library;
use crate::plant::{Birth, SqliteStore, StoreError, histories};
use crate::search::{Found, Searcher};

/// A store that was opened longer ago than this is opened anew: the log's file may have been
/// replaced meanwhile.
const OPEN_FOR: Duration = Duration::from_secs(2);

/// The knowledge, the log and the clock behind the pages.
pub struct Plant {
    /// The knowledge.
    pub library: &'static Library,
    /// The search.
    pub searcher: Searcher<'static>,
    /// What words led to before.
    pub found: Kept<Found>,
    /// Steps that were planned before.
    pub turns: Turns,
    /// Pages of walks that were made before.
    pub pages: Kept<Page>,
    /// Trees that were drawn before.
    pub trees: Kept<String>,
    data: PathBuf,
    clock: fn() -> Timestamp,
    zone: TimeZone,
    open: Mutex<Vec<(Instant, SqliteStore)>>,
}

impl Plant {
    /// A plant whose log lies in this folder.
    pub fn new(
        library: &'static Library,
        searcher: Searcher<'static>,
        data: PathBuf,
        clock: fn() -> Timestamp,
        zone: TimeZone,
    ) -> Plant {
        Plant {
            library,
            searcher,
            found: Kept::at_most(512),
            turns: Kept::at_most(4096),
            pages: Kept::at_most(1024),
            trees: Kept::at_most(128),
            data,
            clock,
            zone,
            open: Mutex::default(),
        }
    }

    fn log(&self) -> PathBuf {
        self.data.join("log.db")
    }

    /// The folder in which attachments lie.
    pub fn attachments(&self) -> PathBuf {
        self.data.join("attachments")
    }

    /// A new id for an incident that is to be recorded.
    pub fn new_id(&self) -> Ulid {
        Ulid::from_datetime(SystemTime::from(self.now()))
    }

    /// The birth, now, of the incident to which an id was given.
    pub fn birth_of(&self, id: Ulid) -> Birth {
        Birth::with_id(id, self.now(), self.zone.clone())
    }

    /// Now.
    pub fn now(&self) -> Timestamp {
        (self.clock)()
    }

    /// Reads the log; none if there is none yet. Opened logs are kept for the next page.
    ///
    /// # Errors
    /// When it is damaged, foreign, newer or can't be read.
    pub fn read<T>(
        &self,
        look: impl FnOnce(&SqliteStore) -> Result<T, StoreError>,
    ) -> Result<Option<T>, StoreError> {
        let opened = self.take();
        let opened = match opened {
            Some(opened) => Some(opened),
            None => SqliteStore::open_existing(&self.log(), self.now())?
                .map(|store| (Instant::now(), store)),
        };
        let Some((since, store)) = opened else {
            return Ok(None);
        };
        let looked = look(&store)?;
        self.opened().push((since, store));
        Ok(Some(looked))
    }

    fn opened(&self) -> std::sync::MutexGuard<'_, Vec<(Instant, SqliteStore)>> {
        self.open.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn take(&self) -> Option<(Instant, SqliteStore)> {
        let mut opened = self.opened();
        opened.retain(|(since, _)| since.elapsed() < OPEN_FOR);
        opened.pop()
    }

    /// The log for writing; it is made if there is none.
    ///
    /// # Errors
    /// As [`Plant::read`], or when it can't be written.
    pub fn store(&self) -> Result<SqliteStore, StoreError> {
        SqliteStore::open(&self.log(), self.now())
    }

    /// What the log knows of every class. A log that can't be read must not stop a walk: it goes
    /// without.
    pub fn histories(&self, drive: Option<&str>) -> BTreeMap<String, History> {
        self.read(|store| histories(store, drive))
            .ok()
            .flatten()
            .unwrap_or_default()
    }
}
