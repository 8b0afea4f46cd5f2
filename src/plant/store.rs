//! What any log can do, wherever it keeps its records.

use jiff::Timestamp;

use super::statistics::{EventFilter, Events};
use super::{Code, Counts, Drive, Incident, OnConflict, Refused, StoreError, United, Which, Whose};

/// A place that keeps incidents and drives.
///
/// What is added or amended is safe on disk when the call returns. Nothing is ever edited in place:
/// the latest revision is the one that is read, and the earlier ones stay.
pub trait Store {
    /// Adds incidents, all or none. One that is there already, the same in every field, is left
    /// alone, so that an import can be repeated.
    fn add_incidents(&mut self, incidents: &[Incident]) -> Result<Vec<Added>, StoreError>;

    /// Adds the next revision of an incident. Fails if somebody else amended it meanwhile.
    fn amend_incident(&mut self, incident: &Incident) -> Result<u32, StoreError>;

    /// The incident with this number or id.
    fn incident(&self, which: &Which) -> Result<Logged, StoreError>;

    /// All revisions of an incident, the first one first.
    fn revisions(&self, which: &Which) -> Result<Vec<Incident>, StoreError>;

    /// Incidents that pass the filter, newest first.
    fn incidents(&self, filter: &Filter) -> Result<Vec<Logged>, StoreError>;

    /// Incidents with these words in their texts, best first; the newest, if no word is given. The
    /// words may be anything; they can't be wrong.
    fn search(&self, words: &str, limit: usize) -> Result<Vec<Found>, StoreError>;

    /// How often which cause was behind which class.
    fn counts(&self, whose: Whose<'_>) -> Result<Counts, StoreError>;

    /// What the statistics need of the incidents that pass the filter, in the order of time.
    fn events(&self, filter: &EventFilter) -> Result<Events, StoreError>;

    /// Takes in revisions from elsewhere, all or none. Those that are here already, the same, are
    /// left alone, so that it can be repeated. If an item is refused, nothing is taken in; the rest
    /// is read all the same, so that everything that is wrong can be told at once.
    fn unite(
        &mut self,
        revisions: &mut dyn Iterator<Item = Result<Incident, Refused>>,
        on_conflict: OnConflict,
    ) -> Result<United, StoreError>;

    /// The next so many incidents after a running number, by number; each with all its revisions,
    /// the first one first, or with its latest only.
    fn page(&self, after: u32, incidents: u32, latest: bool) -> Result<Vec<Logged>, StoreError>;

    /// Enters drives, or new revisions of them, all or none. Says how many weren't there just so.
    fn put_drives(&mut self, drives: &[Drive], at: Timestamp) -> Result<u32, StoreError>;

    /// Enters codes, or new revisions of them, all or none. Says how many weren't there just so.
    fn put_codes(&mut self, codes: &[Code], at: Timestamp) -> Result<u32, StoreError>;

    /// Takes a code off the sheet; says whether it was there.
    fn remove_code(&mut self, shown: &str, model: &str, at: Timestamp) -> Result<bool, StoreError>;

    /// The code sheet, by text and model.
    fn codes(&self) -> Result<Vec<Code>, StoreError>;

    /// The drive with this id.
    fn drive(&self, id: &str) -> Result<Option<Drive>, StoreError>;

    /// All drives, by id.
    fn drives(&self) -> Result<Vec<Drive>, StoreError>;

    /// Enters a drive, or a new revision of it.
    fn put_drive(&mut self, drive: &Drive, at: Timestamp) -> Result<(), StoreError> {
        self.put_drives(std::slice::from_ref(drive), at).map(|_| ())
    }

    /// Adds one incident.
    fn add_incident(&mut self, incident: &Incident) -> Result<Added, StoreError> {
        let added = self.add_incidents(std::slice::from_ref(incident))?;
        added.first().copied().ok_or(StoreError::NotFound {
            which: Which::Id(incident.id.to_string()),
        })
    }

    /// Marks an incident wrong: it stays in the log and counts no more.
    fn mark_wrong(
        &mut self,
        which: &Which,
        reason: &str,
        at: Timestamp,
    ) -> Result<Logged, StoreError> {
        let incident = self.incident(which)?.incident.marked_wrong(at, reason)?;
        let number = self.amend_incident(&incident)?;
        Ok(Logged { number, incident })
    }
}

/// An incident with its running number, which people use and which holds in this log only.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Logged {
    /// The running number, from 1.
    pub number: u32,
    /// The latest revision.
    pub incident: Incident,
}

/// What became of an incident that was to be added.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Added {
    /// Its running number.
    pub number: u32,
    /// Whether it is new; if not, it was there before.
    pub new: bool,
}

/// An incident that a search found.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// The incident.
    pub logged: Logged,
    /// Those of the words that it holds.
    pub matched: Vec<String>,
    /// How well it fits, from 0 to 1.
    pub score: f64,
}

/// Which incidents are wanted. By default the newest fifty, without those marked wrong.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Filter {
    /// Only those of this fault class.
    pub class: Option<String>,
    /// Only those of this drive.
    pub drive: Option<String>,
    /// Only those with this cause.
    pub cause: Option<String>,
    /// Only those that happened at this time or later.
    pub since: Option<Timestamp>,
    /// Only those that happened at this time or before.
    pub until: Option<Timestamp>,
    /// Also those marked wrong.
    pub with_wrong: bool,
    /// At most this many.
    pub limit: usize,
}

impl Default for Filter {
    fn default() -> Self {
        Self {
            class: None,
            drive: None,
            cause: None,
            since: None,
            until: None,
            with_wrong: false,
            limit: 50,
        }
    }
}

/// All incidents of a log, page by page, so that a large one needs little memory.
pub struct Pages<'s> {
    store: &'s dyn Store,
    latest: bool,
    after: u32,
    page: std::vec::IntoIter<Logged>,
    ended: bool,
}

/// So many incidents are read at a time.
const PAGE: u32 = 500;

impl<'s> Pages<'s> {
    /// Every revision by number, or the latest ones only.
    pub fn of(store: &'s dyn Store, latest: bool) -> Self {
        Self {
            store,
            latest,
            after: 0,
            page: Vec::new().into_iter(),
            ended: false,
        }
    }
}

impl Iterator for Pages<'_> {
    type Item = Result<Logged, StoreError>;

    fn next(&mut self) -> Option<Self::Item> {
        if let Some(logged) = self.page.next() {
            self.after = logged.number;
            return Some(Ok(logged));
        }
        if self.ended {
            return None;
        }
        match self.store.page(self.after, PAGE, self.latest) {
            Ok(page) => {
                self.ended = page.is_empty();
                self.page = page.into_iter();
                let logged = self.page.next()?;
                self.after = logged.number;
                Some(Ok(logged))
            }
            Err(error) => {
                self.ended = true;
                Some(Err(error))
            }
        }
    }
}
