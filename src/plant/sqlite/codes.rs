//! The code sheet as rows.

use jiff::Timestamp;
use rusqlite::{Connection, OptionalExtension, Row, params};

use crate::plant::{Code, text};

const LATEST: &str = "select shown, model, class, note, removed from code c
    where revision = (select max(revision) from code where key = c.key and model = c.model)";

/// Enters a code; if it is there and the same, nothing is written. Says whether it was.
pub(super) fn put(connection: &Connection, code: &Code, at: Timestamp) -> rusqlite::Result<bool> {
    let there = one(connection, &code.key(), &code.model)?;
    if there.as_ref() == Some(code) {
        return Ok(false);
    }
    write(connection, code, at, false)?;
    Ok(true)
}

/// Marks a code as taken off the sheet; says whether it was there.
pub(super) fn remove(
    connection: &Connection,
    key: &str,
    model: &str,
    at: Timestamp,
) -> rusqlite::Result<bool> {
    match one(connection, key, model)? {
        Some(code) => write(connection, &code, at, true).map(|()| true),
        None => Ok(false),
    }
}

/// The code sheet, by text and model.
pub(super) fn all(connection: &Connection) -> rusqlite::Result<Vec<Code>> {
    connection
        .prepare_cached(&format!("{LATEST} and removed = 0 order by key, model"))?
        .query_map([], read)?
        .collect()
}

fn one(connection: &Connection, key: &str, model: &str) -> rusqlite::Result<Option<Code>> {
    connection
        .prepare_cached(&format!(
            "{LATEST} and removed = 0 and key = ?1 and model = ?2"
        ))?
        .query_row([key, model], read)
        .optional()
}

fn write(
    connection: &Connection,
    code: &Code,
    at: Timestamp,
    removed: bool,
) -> rusqlite::Result<()> {
    connection
        .prepare_cached(
            "insert into code (key, model, revision, recorded_at, shown, class, note, removed)
             values (?1, ?2, 1 + (select coalesce(max(revision), 0) from code where key = ?1 and model = ?2),
                 ?3, ?4, ?5, ?6, ?7)",
        )?
        .execute(params![
            code.key(),
            code.model,
            at.as_millisecond(),
            code.shown,
            code.class,
            code.note,
            removed,
        ])?;
    Ok(())
}

fn read(row: &Row<'_>) -> rusqlite::Result<Code> {
    let line = |column| row.get(column).map(|value: String| text::one_line(&value));
    Ok(Code {
        shown: line("shown")?,
        model: line("model")?,
        class: line("class")?,
        note: line("note")?,
    })
}
