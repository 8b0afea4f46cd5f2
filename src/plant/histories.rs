//! What a log knows of every class, as a walk takes it.

use std::collections::BTreeMap;

use super::{Store, StoreError, Whose};
use crate::diagnosis::case::History;

/// What the log knows of every class, by its id; what happened to one drive stands apart.
///
/// # Errors
/// When the log can't be read.
pub fn histories(
    store: &dyn Store,
    drive: Option<&str>,
) -> Result<BTreeMap<String, History>, StoreError> {
    let mut histories: BTreeMap<String, History> = BTreeMap::new();
    let others = store.counts(drive.map_or(Whose::All, Whose::AllBut))?;
    for (class, causes) in others.iter() {
        histories.entry(class.to_owned()).or_default().other_drives = causes.clone();
    }
    if let Some(drive) = drive {
        for (class, causes) in store.counts(Whose::Drive(drive))?.iter() {
            histories.entry(class.to_owned()).or_default().this_drive = causes.clone();
        }
    }
    Ok(histories)
}
