//! Taking in revisions from elsewhere.

use std::path::Path;

use rusqlite::Connection;

use super::{
    failure::explain,
    incidents, row,
    words::{self, Pending},
};
use crate::plant::{
    Conflict, Incident, OnConflict, Refused, StoreError, United,
    union::{differing, say_the_same},
};

/// More conflicts than this are counted, not kept.
const CONFLICTS_KEPT: usize = 1_000;

/// Takes in all revisions; an error is for the caller to roll back.
pub(super) fn unite(
    connection: &Connection,
    path: &Path,
    revisions: &mut dyn Iterator<Item = Result<Incident, Refused>>,
    on_conflict: OnConflict,
) -> Result<United, StoreError> {
    let failed = |error| explain(path, error);
    let mut united = United::default();
    let mut refused = 0;
    let mut pending = Pending::default();
    words::prepare_for_many(connection).map_err(failed)?;
    for item in revisions {
        match item {
            Err(Refused) => refused += 1,
            Ok(_) if refused > 0 => {}
            Ok(incident) => take(connection, path, &incident, &mut united, &mut pending)?,
        }
    }
    if refused > 0 {
        return Err(StoreError::Refused { rows: refused });
    }
    if on_conflict == OnConflict::Refuse && !united.conflicts.is_empty() {
        return Err(StoreError::Conflicts {
            conflicts: united.conflicts,
        });
    }
    pending.enter(connection).map_err(failed)?;
    words::settle_after_many(connection).map_err(failed)?;
    Ok(united)
}

fn take(
    connection: &Connection,
    path: &Path,
    theirs: &Incident,
    united: &mut United,
    pending: &mut Pending,
) -> Result<(), StoreError> {
    let failed = |error| explain(path, error);
    if let Some(number) = incidents::insert(connection, theirs).map_err(failed)? {
        row::write(connection, number, theirs).map_err(failed)?;
        pending.put(connection, number, theirs).map_err(failed)?;
        united.added += 1;
        return Ok(());
    }
    let number = incidents::number_by_id(connection, &theirs.id.to_string()).map_err(failed)?;
    if let Some(ours) = incidents::revision(connection, path, number, theirs.revision)? {
        if say_the_same(&ours.incident, theirs) {
            united.same += 1;
        } else if united.conflicts.len() < CONFLICTS_KEPT {
            united.conflicts.push(Conflict {
                number,
                revision: theirs.revision,
                fields: differing(&ours.incident, theirs),
            });
        }
        return Ok(());
    }
    let latest = incidents::latest(connection, path, number)?
        .incident
        .revision;
    if theirs.revision > latest {
        incidents::revise(connection, number, theirs, pending).map_err(failed)?;
    } else {
        // An earlier revision that was missing here.
        row::write(connection, number, theirs).map_err(failed)?;
    }
    united.revised += 1;
    Ok(())
}
