//! The guided walk as somebody in front of a drive answers it, and the recorded cases of `tests/walks`.

mod changes;
#[path = "../common/mod.rs"]
mod common;
mod facts;
mod guided;
mod record;
mod recorded;
mod safety;
