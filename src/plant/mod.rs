//! The plant's memory: its drives and its log of incidents.
//!
//! An [`Incident`] is born in one of three ways (from a walk, from a file somebody wrote, read back
//! from a log) and is valid from then on. A [`Store`] keeps incidents and drives; [`SqliteStore`]
//! does so in one file. Nothing here prints, reads the environment or looks at a clock: the time
//! is handed in, and whoever calls decides where the file lies.
//!
//! What holds for every store: an incident that was acknowledged is on disk; a record is never
//! edited in place, an amendment is a new revision; deletion is a mark.

mod coding;
mod counts;
mod drive;
mod entry;
mod field;
mod incident;
mod record;
mod rules;
mod sqlite;
pub mod statistics;
mod status;
mod store;
mod store_error;
pub mod text;
mod timestamps;
mod walk_record;
mod which;

pub use coding::Coding;
pub use counts::{Counts, Whose};
pub use drive::{Drive, DriveEntry};
pub use entry::{Entry, ReadingEntry, ScalarText};
pub use field::FieldError;
pub use incident::{Birth, Incident, Walked};
pub use record::{ReadingNote, Record};
pub use sqlite::{SqliteStore, Verified};
pub use status::{ConfirmedBy, Status};
pub use store::{Added, Filter, Found, Logged, Store};
pub use store_error::StoreError;
pub use walk_record::{Step, WalkRecord};
pub use which::Which;
