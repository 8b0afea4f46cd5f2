//! Drives as rows.

use jiff::Timestamp;
use rusqlite::{Connection, OptionalExtension, Row, params};

use crate::plant::{Drive, text};

const LATEST: &str = "select id, name, place, duty, model, nameplate, notes from drive d
    where revision = (select max(revision) from drive where id = d.id)";

/// Enters a drive; if it is there and the same, nothing is written. Says whether it was.
pub(super) fn put(connection: &Connection, drive: &Drive, at: Timestamp) -> rusqlite::Result<bool> {
    if one(connection, &drive.id)?.as_ref() == Some(drive) {
        return Ok(false);
    }
    let nameplate = serde_json::to_string(&drive.nameplate).unwrap_or_default();
    let Drive {
        id,
        name,
        place,
        duty,
        model,
        notes,
        ..
    } = drive;
    connection
        .prepare_cached(
            "insert into drive (id, revision, recorded_at, name, place, duty, model, nameplate, notes)
             values (?1, 1 + (select coalesce(max(revision), 0) from drive where id = ?1), ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
        )?
        .execute(params![id, at.as_millisecond(), name, place, duty, model, nameplate, notes])?;
    Ok(true)
}

/// The drive with this id.
pub(super) fn one(connection: &Connection, id: &str) -> rusqlite::Result<Option<Drive>> {
    connection
        .prepare_cached(&format!("{LATEST} and id = ?1"))?
        .query_row([id], read)
        .optional()
}

/// All drives, by id.
pub(super) fn all(connection: &Connection) -> rusqlite::Result<Vec<Drive>> {
    connection
        .prepare_cached(&format!("{LATEST} order by id"))?
        .query_map([], read)?
        .collect()
}

fn read(row: &Row<'_>) -> rusqlite::Result<Drive> {
    let line = |column| row.get(column).map(|value: String| text::one_line(&value));
    let nameplate: String = row.get("nameplate")?;
    Ok(Drive {
        id: line("id")?,
        name: line("name")?,
        place: line("place")?,
        duty: line("duty")?,
        model: line("model")?,
        nameplate: serde_json::from_str(&nameplate).map_err(|error| {
            rusqlite::Error::FromSqlConversionFailure(5, rusqlite::types::Type::Text, error.into())
        })?,
        notes: row.get("notes").map(|value: String| text::clean(&value))?,
    })
}
