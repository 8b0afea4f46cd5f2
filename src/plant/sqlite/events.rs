//! Events for the statistics, in one pass over the small table.

use rusqlite::{Connection, ToSql, types::ValueRef};

use crate::plant::ConfirmedBy;
use crate::plant::statistics::{EventFilter, Events, NamedEvent};

/// All events that pass the filter, in the order of time.
///
/// The rows are read as they lie in the file and put in order here: for a large log that is several
/// times faster than following an index to each of them, or grouping in the database.
pub(super) fn read(connection: &Connection, filter: &EventFilter) -> rusqlite::Result<Events> {
    let since = filter.since.map(|since| since.as_millisecond());
    let until = filter.until.map(|until| until.as_millisecond());
    let mut sql = String::from(
        "select occurred_at, drive, class, cause, counted_as, downtime_minutes, labour_minutes
         from incident where wrong = 0",
    );
    let mut parameters: Vec<&dyn ToSql> = Vec::new();
    for (condition, value) in [
        (
            " and drive = ?",
            filter.drive.as_ref().map(|value| value as &dyn ToSql),
        ),
        (
            " and class = ?",
            filter.class.as_ref().map(|value| value as &dyn ToSql),
        ),
        (
            " and occurred_at >= ?",
            since.as_ref().map(|value| value as &dyn ToSql),
        ),
        (
            " and occurred_at < ?",
            until.as_ref().map(|value| value as &dyn ToSql),
        ),
    ] {
        if let Some(value) = value {
            sql.push_str(condition);
            parameters.push(value);
        }
    }
    let proved = [
        ConfirmedBy::Measured,
        ConfirmedBy::ProvedByRun,
        ConfirmedBy::Exchanged,
    ];
    let mut events = Events::default();
    let mut query = connection.prepare(&sql)?;
    let mut rows = query.query(parameters.as_slice())?;
    while let Some(row) = rows.next()? {
        let counted_as = text(row.get_ref(4)?)?;
        events.push(NamedEvent {
            at: row.get(0)?,
            drive: text(row.get_ref(1)?)?,
            class: text(row.get_ref(2)?)?,
            cause: text(row.get_ref(3)?)?,
            confirmed: counted_as.is_some_and(|word| proved.iter().any(|way| way.word() == word)),
            downtime_minutes: row.get(5)?,
            labour_minutes: row.get(6)?,
        });
    }
    Ok(events.sorted())
}

fn text(value: ValueRef<'_>) -> rusqlite::Result<Option<&str>> {
    Ok(value.as_str_or_null()?)
}
