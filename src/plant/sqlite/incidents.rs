//! Incidents in the database: adding, amending, listing, counting.

use std::path::Path;

use rusqlite::{Connection, OptionalExtension, ToSql, params};

use super::{failure::explain, row, words::Pending};
use crate::plant::{
    Added, ConfirmedBy, Counts, Filter, Incident, Logged, StoreError, Which, Whose,
};

/// Adds an incident that isn't there yet; leaves one alone that is there and is the same.
pub(super) fn add(
    connection: &Connection,
    path: &Path,
    incident: &Incident,
    pending: &mut Pending,
) -> Result<Added, StoreError> {
    let failed = |error| explain(path, error);
    if let Some(number) = insert(connection, incident).map_err(failed)? {
        row::write(connection, number, incident).map_err(failed)?;
        pending.put(connection, number, incident).map_err(failed)?;
        return Ok(Added { number, new: true });
    }
    let id = incident.id.to_string();
    let there = latest(
        connection,
        path,
        number_of(connection, path, &Which::Id(id.clone()))?,
    )?;
    if there.incident == *incident {
        Ok(Added {
            number: there.number,
            new: false,
        })
    } else {
        Err(StoreError::Differs {
            id,
            number: there.number,
        })
    }
}

/// Adds the next revision of an incident.
pub(super) fn amend(
    connection: &Connection,
    path: &Path,
    incident: &Incident,
) -> Result<u32, StoreError> {
    let failed = |error| explain(path, error);
    let number = number_of(connection, path, &Which::Id(incident.id.to_string()))?;
    let latest = latest(connection, path, number)?.incident.revision;
    if incident.revision != latest.saturating_add(1) {
        return Err(StoreError::Outdated { number, latest });
    }
    let mut pending = Pending::default();
    revise(connection, number, incident, &mut pending)
        .and_then(|()| pending.enter(connection))
        .map_err(failed)?;
    Ok(number)
}

/// Writes a later revision, and makes it the one that is listed, counted and found.
pub(super) fn revise(
    connection: &Connection,
    number: u32,
    incident: &Incident,
    pending: &mut Pending,
) -> rusqlite::Result<()> {
    update(connection, number, incident)?;
    row::write(connection, number, incident)?;
    pending.replace(connection, number, incident)
}

/// Gives the incident its number; none if its id is there already.
pub(super) fn insert(
    connection: &Connection,
    incident: &Incident,
) -> rusqlite::Result<Option<u32>> {
    connection
        .prepare_cached(
            "insert into incident (id, revision, occurred_at, drive, class, cause, counted_as, wrong,
             downtime_minutes, labour_minutes)
             values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10) on conflict (id) do nothing returning number",
        )?
        .query_row(
            params![
                incident.id.to_string(),
                incident.revision,
                incident.occurred_at.as_millisecond(),
                incident.drive,
                incident.class,
                incident.cause,
                counted_as(incident),
                incident.wrong.is_some(),
                incident.downtime_minutes,
                incident.labour_minutes,
            ],
            |row| row.get(0),
        )
        .optional()
}

/// Makes the incident's revision the one that is listed and counted.
fn update(connection: &Connection, number: u32, incident: &Incident) -> rusqlite::Result<usize> {
    connection
        .prepare_cached(
            "update incident set revision = ?2, occurred_at = ?3, drive = ?4, class = ?5, cause = ?6,
             counted_as = ?7, wrong = ?8, downtime_minutes = ?9, labour_minutes = ?10 where number = ?1",
        )?
        .execute(params![
            number,
            incident.revision,
            incident.occurred_at.as_millisecond(),
            incident.drive,
            incident.class,
            incident.cause,
            counted_as(incident),
            incident.wrong.is_some(),
            incident.downtime_minutes,
            incident.labour_minutes,
        ])
}

/// Only what has a class and a cause can be counted.
fn counted_as(incident: &Incident) -> Option<&'static str> {
    let known = incident.class.is_some() && incident.cause.is_some();
    incident
        .counted_as()
        .filter(|_| known)
        .map(ConfirmedBy::word)
}

/// The running number of the incident that is meant.
pub(super) fn number_of(
    connection: &Connection,
    path: &Path,
    which: &Which,
) -> Result<u32, StoreError> {
    let find = |sql, parameters: &[&dyn ToSql]| -> rusqlite::Result<Vec<u32>> {
        connection
            .prepare_cached(sql)?
            .query_map(parameters, |row| row.get(0))?
            .collect()
    };
    let numbers = match which {
        Which::Number(number) => find("select number from incident where number = ?1", &[number]),
        // No digit of an id comes after Z, and [ does.
        Which::Id(id) => find(
            "select number from incident where id >= ?1 and id < ?2 order by id limit 5",
            &[id, &format!("{id}[")],
        ),
    };
    match numbers.map_err(|error| explain(path, error))?.as_slice() {
        [] => Err(StoreError::NotFound {
            which: which.clone(),
        }),
        [number] => Ok(*number),
        numbers => Err(StoreError::Ambiguous {
            which: which.clone(),
            numbers: numbers.to_vec(),
        }),
    }
}

/// The latest revision of an incident.
pub(super) fn latest(
    connection: &Connection,
    path: &Path,
    number: u32,
) -> Result<Logged, StoreError> {
    let found = select(
        connection,
        path,
        "where i.number = ?1 and r.revision = i.revision",
        &[&number],
    )?;
    found.into_iter().next().ok_or(StoreError::NotFound {
        which: Which::Number(number),
    })
}

/// The running number of the incident with this whole id.
pub(super) fn number_by_id(connection: &Connection, id: &str) -> rusqlite::Result<u32> {
    connection
        .prepare_cached("select number from incident where id = ?1")?
        .query_row([id], |row| row.get(0))
}

/// One revision of an incident, if it is there.
pub(super) fn revision(
    connection: &Connection,
    path: &Path,
    number: u32,
    revision: u32,
) -> Result<Option<Logged>, StoreError> {
    let found = select(
        connection,
        path,
        "where i.number = ?1 and r.revision = ?2",
        &[&number, &revision],
    )?;
    Ok(found.into_iter().next())
}

/// The next incidents after a number, by number, with all revisions or the latest.
pub(super) fn page(
    connection: &Connection,
    path: &Path,
    after: u32,
    incidents: u32,
    latest: bool,
) -> Result<Vec<Logged>, StoreError> {
    let conditions = format!(
        "where i.number > ?1 and i.number <= (select max(number) from
             (select number from incident where number > ?1 order by number limit ?2)) {}
         order by i.number, r.revision",
        if latest {
            "and r.revision = i.revision"
        } else {
            ""
        }
    );
    select(connection, path, &conditions, &[&after, &incidents])
}

/// All revisions of an incident.
pub(super) fn revisions(
    connection: &Connection,
    path: &Path,
    number: u32,
) -> Result<Vec<Incident>, StoreError> {
    let found = select(
        connection,
        path,
        "where i.number = ?1 order by r.revision",
        &[&number],
    )?;
    Ok(found.into_iter().map(|logged| logged.incident).collect())
}

/// Incidents that pass the filter, newest first.
pub(super) fn list(
    connection: &Connection,
    path: &Path,
    filter: &Filter,
) -> Result<Vec<Logged>, StoreError> {
    let since = filter.since.map(|since| since.as_millisecond());
    let until = filter.until.map(|until| until.as_millisecond());
    let limit = i64::try_from(filter.limit).unwrap_or(i64::MAX);
    let mut conditions = String::from("where r.revision = i.revision");
    let mut parameters: Vec<&dyn ToSql> = Vec::new();
    for (condition, value) in [
        (
            " and i.class = ?",
            filter.class.as_ref().map(|value| value as &dyn ToSql),
        ),
        (
            " and i.drive = ?",
            filter.drive.as_ref().map(|value| value as &dyn ToSql),
        ),
        (
            " and i.cause = ?",
            filter.cause.as_ref().map(|value| value as &dyn ToSql),
        ),
        (
            " and i.occurred_at >= ?",
            since.as_ref().map(|value| value as &dyn ToSql),
        ),
        (
            " and i.occurred_at <= ?",
            until.as_ref().map(|value| value as &dyn ToSql),
        ),
    ] {
        if let Some(value) = value {
            conditions.push_str(condition);
            parameters.push(value);
        }
    }
    if !filter.with_wrong {
        conditions.push_str(" and i.wrong = 0");
    }
    conditions.push_str(" order by i.occurred_at desc, i.number desc limit ?");
    parameters.push(&limit);
    select(connection, path, &conditions, &parameters)
}

/// How often which cause was behind which class.
pub(super) fn counts(connection: &Connection, whose: Whose<'_>) -> rusqlite::Result<Counts> {
    let (condition, drive) = match whose {
        Whose::All => ("?1 is null", None),
        Whose::Drive(drive) => ("drive = ?1", Some(drive)),
        Whose::AllBut(drive) => ("drive is not ?1", Some(drive)),
    };
    let sql = format!(
        "select class, cause, counted_as, count(*) from incident
         where counted_as is not null and {condition} group by class, cause, counted_as"
    );
    let mut counts = Counts::default();
    let mut query = connection.prepare_cached(&sql)?;
    let mut rows = query.query([drive])?;
    while let Some(row) = rows.next()? {
        let word: String = row.get(2)?;
        if let Some(confirmed_by) = ConfirmedBy::from_word(&word) {
            counts.add(row.get(0)?, row.get(1)?, confirmed_by, row.get(3)?);
        }
    }
    Ok(counts)
}

/// How many revisions there are, after each was read and found to be what was written. Of the bad
/// ones the first few are named.
pub(super) fn check_all(connection: &Connection, path: &Path) -> Result<u32, StoreError> {
    const NAMED: usize = 10;
    let failed = |error| explain(path, error);
    let mut query = connection
        .prepare(&row::select("order by i.number, r.revision"))
        .map_err(failed)?;
    let mut rows = query.query([]).map_err(failed)?;
    let mut revisions = 0;
    let mut bad: Vec<(u32, String)> = Vec::new();
    while let Some(row) = rows.next().map_err(failed)? {
        revisions += 1;
        match row::read(row) {
            Err(found) => bad.push(found),
            Ok(logged) if !row::is_intact(row, &logged).map_err(failed)? => bad.push((
                logged.number,
                "its digest is not that of what was written".to_owned(),
            )),
            Ok(_) => {}
        }
    }
    let path = path.to_owned();
    match bad.as_slice() {
        [] => Ok(revisions),
        [(number, detail)] => Err(StoreError::BadRecord {
            path,
            number: *number,
            detail: detail.clone(),
        }),
        many => {
            let named: Vec<String> = many
                .iter()
                .take(NAMED)
                .map(|(number, detail)| format!("incident {number}: {detail}"))
                .collect();
            Err(StoreError::Damaged {
                path,
                detail: format!("{} revisions are bad; {}", many.len(), named.join("; ")),
            })
        }
    }
}

/// The incidents that a query gives, with `conditions` after its joins.
fn select(
    connection: &Connection,
    path: &Path,
    conditions: &str,
    parameters: &[&dyn ToSql],
) -> Result<Vec<Logged>, StoreError> {
    let failed = |error| explain(path, error);
    let mut query = connection
        .prepare_cached(&row::select(conditions))
        .map_err(failed)?;
    let mut rows = query.query(parameters).map_err(failed)?;
    let mut found = Vec::new();
    while let Some(row) = rows.next().map_err(failed)? {
        let bad = |(number, detail)| StoreError::BadRecord {
            path: path.to_owned(),
            number,
            detail,
        };
        found.push(row::read(row).map_err(bad)?);
    }
    Ok(found)
}
