//! Looking through a whole log for damage.

use std::path::Path;

use rusqlite::Connection;

use super::{SqliteStore, codes, drives, failure::explain, incidents};
use crate::plant::StoreError;

/// What was looked through and found good.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Verified {
    /// How many incidents.
    pub incidents: u32,
    /// How many revisions of them.
    pub revisions: u32,
}

pub(super) fn verify(store: &SqliteStore) -> Result<Verified, StoreError> {
    let damaged = |detail: String| StoreError::Damaged {
        path: store.path.clone(),
        detail,
    };
    let count = |sql: &str| -> Result<u32, StoreError> {
        store
            .connection
            .query_row(sql, [], |row| row.get(0))
            .map_err(store.explain())
    };
    integrity(&store.connection, &store.path)?;
    if count("select count(*) from pragma_foreign_key_check")? > 0 {
        return Err(damaged("a revision belongs to no incident".to_owned()));
    }
    if count("select count(*) from incident_text")?
        != count("select count(*) from incident where wrong = 0")?
    {
        return Err(damaged(
            "the index of words doesn't fit the incidents".to_owned(),
        ));
    }
    if count(UNLIKE_ITS_REVISION)? > 0 {
        return Err(damaged(
            "the list of incidents doesn't fit their latest revisions".to_owned(),
        ));
    }
    drives::all(&store.connection).map_err(store.explain())?;
    codes::all(&store.connection).map_err(store.explain())?;
    let revisions = incidents::check_all(&store.connection, &store.path)?;
    Ok(Verified {
        incidents: count("select count(*) from incident")?,
        revisions,
    })
}

/// Looks through the pages of a database and what they say of each other.
pub(super) fn integrity(connection: &Connection, path: &Path) -> Result<(), StoreError> {
    let failed = |error| explain(path, error);
    let mut query = connection
        .prepare("pragma integrity_check(5)")
        .map_err(failed)?;
    let answers: Vec<String> = query
        .query_map([], |row| row.get(0))
        .and_then(Iterator::collect)
        .map_err(failed)?;
    if answers == ["ok"] {
        return Ok(());
    }
    Err(StoreError::Damaged {
        path: path.to_owned(),
        detail: answers.join("; "),
    })
}

/// How many incidents are listed otherwise than their latest revision says.
const UNLIKE_ITS_REVISION: &str = "
    select count(*) from incident i left join revision r
        on r.number = i.number and r.revision = (select max(revision) from revision where number = i.number)
    where r.revision is not i.revision
        or i.occurred_at is not r.occurred_at
        or i.drive is not r.drive
        or i.class is not r.class
        or i.cause is not r.cause
        or i.downtime_minutes is not r.downtime_minutes
        or i.labour_minutes is not r.labour_minutes
        or i.wrong is not (r.wrong is not null)";
