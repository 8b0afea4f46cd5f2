//! The plant's memory: its drives and its log of incidents.
//!
//! An [`Incident`] is born in one of three ways (from a walk, from a file somebody wrote, read back
//! from a log) and is valid from then on. A [`Store`] keeps incidents and drives; [`SqliteStore`]
//! does so in one file. Nothing here prints, reads the environment or looks at a clock: the time
//! is handed in, and whoever calls decides where the file lies.
//!
//! What holds for every store: an incident that was acknowledged is on disk; a record is never
//! edited in place, an amendment is a new revision; deletion is a mark.

mod amendment;
mod anonymous;
mod attachment;
mod code;
mod coding;
mod content_id;
mod counts;
mod drive;
mod entry;
pub mod exchange;
mod field;
mod from_walk;
mod histories;
mod incident;
mod named_fields;
mod record;
pub mod register;
mod rules;
mod same_fault;
mod sqlite;
pub mod statistics;
mod status;
mod store;
mod store_error;
pub mod text;
mod timestamps;
mod union;
mod walk_record;
mod which;

pub use amendment::Amendment;
pub use anonymous::anonymous;
pub use attachment::is_path as is_attachment_path;
pub use code::{Code, CodeEntry, CodeMatch, Likeness};
pub use coding::Coding;
pub use counts::{Counts, Whose};
pub use drive::{Drive, DriveEntry};
pub use entry::{Entry, ReadingEntry, ScalarText};
pub use field::FieldError;
pub use from_walk::{FromWalkError, from_walk};
pub use histories::histories;
pub use incident::{Birth, Incident, Walked};
pub use named_fields::{FIELDS, field_name};
pub use record::{ReadingNote, Record};
pub use same_fault::{SAME_FAULT_DAYS, is_same_fault, same_fault_before};
pub use sqlite::{Restored, SqliteStore, Verified};
pub use status::{ConfirmedBy, Status};
pub use store::{Added, Filter, Found, Logged, Pages, Store};

pub use store_error::StoreError;
pub use union::{Conflict, OnConflict, Refused, United};
pub use walk_record::{Step, WalkRecord};
pub use which::Which;
