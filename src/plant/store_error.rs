//! What can go wrong with a log: what it is, where, and what to do next.

use std::{error::Error, path::PathBuf};

use super::{FieldError, Which};

/// Why a log couldn't do what was asked. The message says what is wrong and where;
/// [`StoreError::next_step`] says what to do about it.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// The folder of the log doesn't exist.
    #[error("there is no folder {}", .path.display())]
    NoFolder {
        /// The folder.
        path: PathBuf,
    },
    /// The log can't be opened or created.
    #[error("the log {} can't be opened", .path.display())]
    NoAccess {
        /// The log.
        path: PathBuf,
        /// What the system said.
        #[source]
        source: Box<dyn Error + Send + Sync>,
    },
    /// The log can be read but not written.
    #[error("the log {} can be read but not written", .path.display())]
    ReadOnly {
        /// The log.
        path: PathBuf,
    },
    /// The file isn't a database.
    #[error("{} is not a log, or its beginning is damaged", .path.display())]
    NotADatabase {
        /// The file.
        path: PathBuf,
    },
    /// The file is a database of another program.
    #[error("{} is a database of another program", .path.display())]
    Foreign {
        /// The file.
        path: PathBuf,
    },
    /// The log is damaged.
    #[error("the log {} is damaged: {detail}", .path.display())]
    Damaged {
        /// The log.
        path: PathBuf,
        /// What was found.
        detail: String,
    },
    /// A record that can't be read.
    #[error("incident {number} in the log {} is damaged: {detail}", .path.display())]
    BadRecord {
        /// The log.
        path: PathBuf,
        /// The running number.
        number: u32,
        /// What was found.
        detail: String,
    },
    /// The log was written by a newer version of the program.
    #[error("the log {} has format {found}; this version knows formats up to {known}", .path.display())]
    Newer {
        /// The log.
        path: PathBuf,
        /// Its format.
        found: u32,
        /// The newest format that is known.
        known: u32,
    },
    /// Another program kept the log locked for too long.
    #[error("the log {} is in use by another program", .path.display())]
    Busy {
        /// The log.
        path: PathBuf,
    },
    /// The disk is full.
    #[error("no room is left on the disk of the log {}", .path.display())]
    Full {
        /// The log.
        path: PathBuf,
    },
    /// There is no such incident.
    #[error("there is no incident {which}")]
    NotFound {
        /// What was looked for.
        which: Which,
    },
    /// Several incidents are meant.
    #[error("{which} begins the id of several incidents: {}", list(.numbers))]
    Ambiguous {
        /// What was looked for.
        which: Which,
        /// The running numbers of the first few.
        numbers: Vec<u32>,
    },
    /// An incident with the same id and other content is there already.
    #[error("incident {id} is in the log already, as number {number}, and differs")]
    Differs {
        /// The id.
        id: String,
        /// Its running number.
        number: u32,
    },
    /// Somebody else amended the incident meanwhile.
    #[error("incident {number} has been amended by somebody else: its latest revision is {latest}")]
    Outdated {
        /// The running number.
        number: u32,
        /// The latest revision in the log.
        latest: u32,
    },
    /// Something is wrong with what was to be taken in.
    #[error("nothing was taken in: {rows} of the rows can't be used")]
    Refused {
        /// How many.
        rows: u32,
    },
    /// What was to be taken in differs from what is here.
    #[error("nothing was taken in: {} of the incidents are in the log and differ", .conflicts.len())]
    Conflicts {
        /// Each of them.
        conflicts: Vec<super::Conflict>,
    },
    /// There is a file already where one was to be written.
    #[error("there is a file {} already", .path.display())]
    Exists {
        /// The file.
        path: PathBuf,
    },
    /// There is a log where one was to be put back.
    #[error("there is a log {} already", .path.display())]
    LogExists {
        /// The log.
        path: PathBuf,
    },
    /// The log itself was named as its own backup.
    #[error("{} is the log itself, not a backup of it", .path.display())]
    SameFile {
        /// The file.
        path: PathBuf,
    },
    /// A field is not as it has to be.
    #[error(transparent)]
    Field(#[from] FieldError),
    /// Anything else that the storage reports.
    #[error("the log {} failed", .path.display())]
    Failed {
        /// The log.
        path: PathBuf,
        /// What the storage said.
        #[source]
        source: Box<dyn Error + Send + Sync>,
    },
}

impl StoreError {
    /// What to do next.
    pub fn next_step(&self) -> &'static str {
        match self {
            Self::NoFolder { .. } => "create the folder, or name another one",
            Self::NoAccess { .. } => {
                "check that you may read and write in that folder, or name another one"
            }
            Self::ReadOnly { .. } => {
                "ask for the right to write there, or copy the log to a folder of your own"
            }
            Self::NotADatabase { .. } => {
                "it was left as it is; if it should be a log, put a backup in its place, otherwise name another file"
            }
            Self::Foreign { .. } => "it was left as it is; name another file for the log",
            Self::Damaged { .. } | Self::BadRecord { .. } => {
                "it was left as it is; keep a copy of it, then put the latest backup in its place"
            }
            Self::Newer { .. } => "it was left as it is; use the newer version of the program",
            Self::Busy { .. } => "wait until the other program is done, then try again",
            Self::Full { .. } => {
                "what was recorded before is safe; make room, then record this one again"
            }
            Self::NotFound { .. } => "list the incidents to see their numbers",
            Self::Ambiguous { .. } => "give more of the id, or the running number",
            Self::Differs { .. } => {
                "compare the two; amend the one in the log if the other is right"
            }
            Self::Outdated { .. } => "look at the incident again, then repeat the amendment",
            Self::Refused { .. } => {
                "correct the rows and repeat it; the same file adds nothing twice"
            }
            Self::Conflicts { .. } => {
                "amend the one in the log if the other is right, or take the rows out of the file"
            }
            Self::Exists { .. } => "name another file, or remove it first",
            Self::SameFile { .. } => "name a file that whytrip log backup wrote",
            Self::LogExists { .. } => {
                "repeat it with --replace; the log that is there is kept beside it"
            }
            Self::Field(_) => "correct the field and try again",
            Self::Failed { .. } => {
                "what was recorded before is safe; try again, and check the disk if it stays so"
            }
        }
    }
}

fn list(numbers: &[u32]) -> String {
    let numbers: Vec<String> = numbers.iter().map(u32::to_string).collect();
    numbers.join(", ")
}
