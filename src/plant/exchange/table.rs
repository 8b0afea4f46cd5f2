//! Incidents as a table: CSV (RFC 4180) with a header, one row an incident.
//!
//! The columns are `number`, `id`, `revision`, `recorded_at`, then [`FIELDS`], then `wrong` and
//! `knowledge_version`. To read, any of them will do in any order, with `occurred_at` and one of
//! `words` and `class`; `number` belongs to the log it came from and is not read.

use std::io::BufRead;

use csv::{ReaderBuilder, StringRecord, Terminator, WriterBuilder};
use ulid::Ulid;

use super::{Reading, Row};
use crate::plant::{
    Birth, ConfirmedBy, Entry, FIELDS, Incident, ReadingNote, Record, field_name,
    text::{csv_cell, from_csv_cell},
};

/// Columns in front of the fields.
const BEFORE: [&str; 4] = ["number", "id", "revision", "recorded_at"];

/// Columns behind the fields.
const BEHIND: [&str; 2] = ["wrong", "knowledge_version"];

/// The first line of a table.
pub fn header() -> String {
    to_line(BEFORE.iter().chain(&FIELDS).chain(&BEHIND).copied())
}

/// An incident as a row. No spreadsheet takes a cell for a formula.
pub fn row(number: u32, incident: &Incident) -> String {
    let head = [
        number.to_string(),
        incident.id.to_string(),
        incident.revision.to_string(),
        incident.recorded_at.to_string(),
    ];
    let fields = FIELDS.iter().map(|field| cell(incident, field));
    let tail = [
        incident.wrong.clone().unwrap_or_default(),
        incident.knowledge_version.clone(),
    ];
    let cells: Vec<String> = head.into_iter().chain(fields).chain(tail).collect();
    to_line(cells.iter().map(|text| csv_cell(text).into_owned()))
}

fn to_line(cells: impl Iterator<Item = impl AsRef<[u8]>>) -> String {
    let mut writer = WriterBuilder::new()
        .terminator(Terminator::Any(b'\n'))
        .from_writer(Vec::new());
    // Into memory; it has room, and a row of cells is never uneven.
    let _ = writer.write_record(cells);
    String::from_utf8(writer.into_inner().unwrap_or_default()).unwrap_or_default()
}

/// A field of an incident as [`Entry::set`] reads it.
pub fn cell(incident: &Record, field: &str) -> String {
    let optional = |text: &Option<String>| text.clone().unwrap_or_default();
    let minutes = |minutes: Option<u32>| minutes.map(|m| m.to_string()).unwrap_or_default();
    match field {
        "occurred_at" => incident.occurred_at.to_string(),
        "drive" => optional(&incident.drive),
        "class" => optional(&incident.class),
        "words" => incident.words.clone(),
        "display" => incident.display.clone(),
        "moment" => incident.moment.clone(),
        "readings" => readings(&incident.readings),
        "walk" => incident.walk.to_string(),
        "status" => incident.status.word().to_owned(),
        "cause" => optional(&incident.cause),
        "cause_note" => incident.cause_note.clone(),
        "confirmed_by" => incident
            .confirmed_by
            .map_or("", ConfirmedBy::word)
            .to_owned(),
        "done" => incident.done.clone(),
        "parts" => incident.parts.clone(),
        "proof" => incident.proof.clone(),
        "downtime_minutes" => minutes(incident.downtime_minutes),
        "labour_minutes" => minutes(incident.labour_minutes),
        "who" => incident.who.clone(),
        "notes" => incident.notes.clone(),
        "attachments" => attachments(&incident.attachments),
        "coding_mode" => optional(&incident.coding.mode),
        "coding_mechanism" => optional(&incident.coding.mechanism),
        "coding_cause" => optional(&incident.coding.cause),
        _ => optional(&incident.coding.activity),
    }
}

fn readings(readings: &[ReadingNote]) -> String {
    let is_plain =
        |text: &str| !text.is_empty() && text.trim().len() == text.len() && !text.contains(';');
    let all_plain = readings.iter().all(|reading| {
        is_plain(&reading.what)
            && is_plain(&reading.value)
            && !reading.what.contains('=')
            && !reading.what.starts_with('[')
    });
    if !all_plain {
        return serde_json::to_string(readings).unwrap_or_default();
    }
    let pairs: Vec<String> = readings
        .iter()
        .map(|reading| format!("{} = {}", reading.what, reading.value))
        .collect();
    pairs.join("; ")
}

fn attachments(paths: &[String]) -> String {
    let is_plain = |path: &String| !path.contains(';') && !path.starts_with('[');
    if paths.iter().all(is_plain) {
        paths.join("; ")
    } else {
        serde_json::to_string(paths).unwrap_or_default()
    }
}

/// The incidents of a table.
pub(super) fn rows<'r>(
    reader: impl BufRead + 'r,
    reading: Reading,
) -> Result<impl Iterator<Item = Row> + 'r, String> {
    let mut reader = ReaderBuilder::new().flexible(true).from_reader(reader);
    let header = reader
        .headers()
        .map_err(|error| format!("the header can't be read: {error}"))?;
    let columns = columns(header)?;
    let mut record = StringRecord::new();
    Ok(std::iter::from_fn(move || {
        let line = reader.position().line();
        match reader.read_record(&mut record) {
            Ok(false) => None,
            Ok(true) => Some(Row {
                line: record.position().map_or(line, csv::Position::line),
                incident: from_cells(&columns, &record, &reading),
            }),
            Err(error) => {
                let ended = matches!(error.kind(), csv::ErrorKind::Io(_));
                let line = error.position().map_or(line, csv::Position::line);
                let row = Row {
                    line,
                    incident: Err(if ended {
                        format!("can't be read: {error}")
                    } else {
                        "is not UTF-8 text".to_owned()
                    }),
                };
                Some(row)
            }
        }
    })
    // After a failure of the disk there is no end to be read.
    .scan(false, |ended, row| {
        let go_on = !*ended;
        *ended = matches!(&row.incident, Err(error) if error.starts_with("can't be read"));
        go_on.then_some(row)
    }))
}

/// The names of the columns, each known and there once.
fn columns(header: &StringRecord) -> Result<Vec<&'static str>, String> {
    let mut columns: Vec<&'static str> = Vec::new();
    for name in header {
        let name = name.trim_start_matches('\u{feff}').trim();
        let lower = name.to_ascii_lowercase();
        let own = BEFORE.iter().chain(&BEHIND).find(|&&own| own == lower);
        let column = match own {
            Some(column) => column,
            None => field_name(name).map_err(|error| format!("the header: {error}"))?,
        };
        if columns.contains(&column) {
            return Err(format!("the header has {column} twice"));
        }
        columns.push(column);
    }
    Ok(columns)
}

fn from_cells(
    columns: &[&'static str],
    cells: &StringRecord,
    reading: &Reading,
) -> Result<Incident, String> {
    if cells.len() != columns.len() {
        return Err(format!(
            "has {} columns and the header has {}; put quotes around texts with commas",
            cells.len(),
            columns.len()
        ));
    }
    let mut entry = Entry::default();
    let own = |wanted: &str| {
        let place = columns.iter().position(|column| *column == wanted);
        from_csv_cell(place.and_then(|place| cells.get(place)).unwrap_or(""))
    };
    for (column, cell) in columns.iter().zip(cells) {
        if FIELDS.contains(column) {
            let text = from_csv_cell(cell);
            entry.set(column, text).map_err(|error| error.to_string())?;
        }
    }
    if own("id").trim().is_empty() {
        return Incident::from_row(reading.now, reading.zone.clone(), entry)
            .map_err(|error| error.to_string());
    }
    let id = Ulid::from_string(own("id").trim())
        .map_err(|error| format!("id \"{}\": {error}", own("id")))?;
    let recorded_at = match own("recorded_at").trim() {
        "" => reading.now,
        time => time
            .parse()
            .map_err(|_| format!("recorded_at \"{time}\" is no RFC 3339 time"))?,
    };
    let revision = match own("revision").trim() {
        "" => 1,
        number => number
            .parse()
            .map_err(|_| format!("revision \"{number}\" is no number"))?,
    };
    let birth = Birth::known(id, recorded_at, reading.zone.clone());
    let confirmed_by = entry.confirmed_by;
    let mut record = entry
        .into_record(&birth)
        .map_err(|error| error.to_string())?;
    record.revision = revision;
    record.confirmed_by = confirmed_by;
    let wrong = own("wrong").to_owned();
    record.wrong = (!wrong.is_empty()).then_some(wrong);
    record.knowledge_version = own("knowledge_version").to_owned();
    Incident::from_export(record).map_err(|error| error.to_string())
}
