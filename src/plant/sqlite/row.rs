//! A revision as a row: the columns in one list, written and read in the same order.

use std::sync::LazyLock;

use jiff::Timestamp;
use rusqlite::{
    Connection, Row, params_from_iter,
    types::{ToSqlOutput, Value, ValueRef},
};
use ulid::Ulid;

use super::digest::digest;
use crate::plant::{Coding, ConfirmedBy, FieldError, Incident, Logged, Record, Status};

/// The columns of a revision besides number and digest, in the order of [`values`].
const COLUMNS: [&str; 28] = [
    "revision",
    "recorded_at",
    "occurred_at",
    "drive",
    "class",
    "words",
    "display",
    "moment",
    "readings",
    "walk",
    "status",
    "cause",
    "cause_note",
    "confirmed_by",
    "done",
    "parts",
    "proof",
    "downtime_minutes",
    "labour_minutes",
    "who",
    "notes",
    "attachments",
    "coding_mode",
    "coding_mechanism",
    "coding_cause",
    "coding_activity",
    "wrong",
    "knowledge_version",
];

static INSERT: LazyLock<String> = LazyLock::new(|| {
    let marks = ", ?".repeat(COLUMNS.len());
    format!(
        "insert into revision (number, digest, {}) values (?, ?{marks})",
        COLUMNS.join(", ")
    )
});

/// A query for revisions `r` of incidents `i`, to be read by [`read`].
pub(super) fn select(conditions: &str) -> String {
    static COLUMNS_OF_R: LazyLock<String> = LazyLock::new(|| COLUMNS.join(", r."));
    format!(
        "select i.number as number, i.id as id, r.digest as digest, r.{}
         from incident i join revision r on r.number = i.number {conditions}",
        *COLUMNS_OF_R
    )
}

/// Writes a revision.
pub(super) fn write(
    connection: &Connection,
    number: u32,
    incident: &Incident,
) -> rusqlite::Result<()> {
    let values = values(incident);
    let digest = digest_of(number, incident, &values);
    let head = [ToSqlOutput::from(number), ToSqlOutput::from(digest)];
    connection
        .prepare_cached(&INSERT)?
        .execute(params_from_iter(head.iter().chain(&values)))?;
    Ok(())
}

/// The incident in a row, or its number and what is wrong with it.
pub(super) fn read(row: &Row<'_>) -> Result<Logged, (u32, String)> {
    let number = row.get("number").map_err(|error| (0, error.to_string()))?;
    let incident = read_incident(row).map_err(|detail| (number, detail))?;
    Ok(Logged { number, incident })
}

/// Whether the digest in the row is that of the incident that was read from it.
pub(super) fn is_intact(row: &Row<'_>, logged: &Logged) -> rusqlite::Result<bool> {
    let digest: i64 = row.get("digest")?;
    Ok(digest_of(logged.number, &logged.incident, &values(&logged.incident)) == digest)
}

fn digest_of(number: u32, incident: &Incident, values: &[ToSqlOutput<'_>]) -> i64 {
    let head = [
        ToSqlOutput::from(number),
        ToSqlOutput::from(incident.id.to_string()),
    ];
    digest(
        ["number", "id"]
            .into_iter()
            .zip(&head)
            .chain(COLUMNS.into_iter().zip(values)),
    )
}

/// The values of a revision in the order of [`COLUMNS`]. What says nothing is null.
fn values(incident: &Incident) -> [ToSqlOutput<'_>; COLUMNS.len()] {
    let Record { coding, .. } = &**incident;
    [
        ToSqlOutput::from(incident.revision),
        ToSqlOutput::from(incident.recorded_at.as_millisecond()),
        ToSqlOutput::from(incident.occurred_at.as_millisecond()),
        optional(&incident.drive),
        optional(&incident.class),
        text(&incident.words),
        text(&incident.display),
        text(&incident.moment),
        json(&incident.readings),
        owned(incident.walk.to_string()),
        text(incident.status.word()),
        optional(&incident.cause),
        text(&incident.cause_note),
        text(incident.confirmed_by.map_or("", ConfirmedBy::word)),
        text(&incident.done),
        text(&incident.parts),
        text(&incident.proof),
        minutes(incident.downtime_minutes),
        minutes(incident.labour_minutes),
        text(&incident.who),
        text(&incident.notes),
        json(&incident.attachments),
        optional(&coding.mode),
        optional(&coding.mechanism),
        optional(&coding.cause),
        optional(&coding.activity),
        optional(&incident.wrong),
        text(&incident.knowledge_version),
    ]
}

fn null() -> ToSqlOutput<'static> {
    ToSqlOutput::Owned(Value::Null)
}

fn text(text: &str) -> ToSqlOutput<'_> {
    if text.is_empty() {
        null()
    } else {
        ToSqlOutput::Borrowed(ValueRef::Text(text.as_bytes()))
    }
}

fn optional(value: &Option<String>) -> ToSqlOutput<'_> {
    match value {
        Some(text) => ToSqlOutput::Borrowed(ValueRef::Text(text.as_bytes())),
        None => null(),
    }
}

fn owned(text: String) -> ToSqlOutput<'static> {
    if text.is_empty() {
        null()
    } else {
        ToSqlOutput::from(text)
    }
}

fn minutes(minutes: Option<u32>) -> ToSqlOutput<'static> {
    minutes.map_or_else(null, ToSqlOutput::from)
}

/// A list as JSON. Lists of texts always have a JSON form.
fn json<T: serde::Serialize>(list: &[T]) -> ToSqlOutput<'static> {
    if list.is_empty() {
        null()
    } else {
        owned(serde_json::to_string(list).unwrap_or_default())
    }
}

fn read_incident(row: &Row<'_>) -> Result<Incident, String> {
    let text = |column| {
        row.get::<_, Option<String>>(column)
            .map_err(|error| error.to_string())
    };
    let words = |column| text(column).map(Option::unwrap_or_default);
    let minutes = |column| {
        row.get::<_, Option<u32>>(column)
            .map_err(|error| error.to_string())
    };
    let time = |column| {
        let milliseconds = row
            .get(column)
            .map_err(|error: rusqlite::Error| error.to_string())?;
        Timestamp::from_millisecond(milliseconds).map_err(|error| error.to_string())
    };
    let status = words("status")?;
    let confirmed_by = text("confirmed_by")?.map(|word| ConfirmedBy::from_word(&word).ok_or(word));
    let record = Record {
        id: Ulid::from_string(&words("id")?).map_err(|error| error.to_string())?,
        revision: row.get("revision").map_err(|error| error.to_string())?,
        recorded_at: time("recorded_at")?,
        occurred_at: time("occurred_at")?,
        drive: text("drive")?,
        class: text("class")?,
        words: words("words")?,
        display: words("display")?,
        moment: words("moment")?,
        readings: from_json(text("readings")?)?,
        walk: words("walk")?
            .parse()
            .map_err(|error: FieldError| error.to_string())?,
        status: Status::from_word(&status).ok_or_else(|| format!("status \"{status}\""))?,
        cause: text("cause")?,
        cause_note: words("cause_note")?,
        confirmed_by: confirmed_by
            .transpose()
            .map_err(|word| format!("confirmed_by \"{word}\""))?,
        done: words("done")?,
        parts: words("parts")?,
        proof: words("proof")?,
        downtime_minutes: minutes("downtime_minutes")?,
        labour_minutes: minutes("labour_minutes")?,
        who: words("who")?,
        notes: words("notes")?,
        attachments: from_json(text("attachments")?)?,
        coding: Coding {
            mode: text("coding_mode")?,
            mechanism: text("coding_mechanism")?,
            cause: text("coding_cause")?,
            activity: text("coding_activity")?,
        },
        wrong: text("wrong")?,
        knowledge_version: words("knowledge_version")?,
    };
    Incident::read_back(record).map_err(|error| error.to_string())
}

fn from_json<T: serde::de::DeserializeOwned>(text: Option<String>) -> Result<Vec<T>, String> {
    text.map_or(Ok(Vec::new()), |text| {
        serde_json::from_str(&text).map_err(|error| error.to_string())
    })
}
