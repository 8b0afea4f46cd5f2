//! What whytrip knows about faults: classes, causes, questions, cautions, sources, words.
//!
//! [`load`](load::load) turns YAML files into checked values and reports every problem with file,
//! line, column and remedy. [`Library`] hands items out, decoding each one only when it is asked for.

mod blob;
mod library;
pub mod load;
mod problem;
mod raw;
mod standard;
pub(crate) mod table;
mod types;
mod validate;

pub use blob::{DecodeError, encode};
pub use library::Library;
pub use load::{Loaded, SourceFile, load};
pub use problem::Problem;
pub use standard::{ErrorCode, FIRST_OF_THE_MAKER, StateHelp};
pub use types::{
    Abbreviation, Access, Cause, Caution, ClassCause, ClassKind, Coding, Confirm, FaultClass,
    Finding, HowOften, Inseparable, Level, LookAlike, Measure, Question, Reference, Sign, Synonym,
    Translation, Words,
};
pub use validate::{Advice, CheckCatalogue, MOST_QUESTIONS, is_id, named_checks, separable};
