//! Incidents as JSON: one a line, or one document.

use std::io::BufRead;

use serde_json::Value;

use super::{Reading, Row};
use crate::plant::{Entry, Incident, Record};

/// Longest line that is read; what a record may hold is far shorter.
const LONGEST_LINE: u64 = 4 << 20;

/// Keys that other outputs of the program add to a record.
const ADDED: [&str; 4] = ["schema", "number", "same_fault", "same_fault_before"];

/// An incident as one line, without its end.
pub fn line(incident: &Incident) -> String {
    serde_json::to_string(incident).unwrap_or_default()
}

/// What stands before the incidents of a document.
pub fn array_start() -> &'static str {
    "{\"schema\": 1, \"incidents\": ["
}

/// An incident of a document.
pub fn array_item(incident: &Incident, first: bool) -> String {
    format!("{}\n{}", if first { "" } else { "," }, line(incident))
}

/// What stands behind the incidents of a document.
pub fn array_end() -> &'static str {
    "\n]}\n"
}

/// The incidents of a file with one a line. Empty lines are skipped.
pub(super) fn lines<'r>(
    mut reader: impl BufRead + 'r,
    reading: Reading,
) -> impl Iterator<Item = Row> + 'r {
    let mut number = 0;
    let mut ended = false;
    let mut bytes = Vec::new();
    std::iter::from_fn(move || {
        while !ended {
            bytes.clear();
            number += 1;
            let failed = |error: String| Row {
                line: number,
                incident: Err(error),
            };
            let read = std::io::Read::take(&mut reader, LONGEST_LINE).read_until(b'\n', &mut bytes);
            match read {
                Err(error) => {
                    ended = true;
                    return Some(failed(format!("can't be read: {error}")));
                }
                Ok(0) => ended = true,
                Ok(_) if bytes.len() as u64 == LONGEST_LINE => {
                    ended = true;
                    return Some(failed("is longer than 4 MiB".to_owned()));
                }
                Ok(_) => {
                    let text = bytes.trim_ascii();
                    // A byte order mark may stand in front of the first line.
                    let text = text.strip_prefix(b"\xef\xbb\xbf").unwrap_or(text);
                    if !text.is_empty() {
                        return Some(Row {
                            line: number,
                            incident: from_text(text, &reading),
                        });
                    }
                }
            }
        }
        None
    })
}

/// The incidents of a document.
pub(super) fn document<'r>(
    reader: impl BufRead + 'r,
    reading: Reading,
) -> Result<impl Iterator<Item = Row> + 'r, String> {
    let value: Value = serde_json::from_reader(reader)
        .map_err(|error| format!("the file is not JSON: {error}"))?;
    let list = match value {
        Value::Array(list) => list,
        Value::Object(mut map) => match map.remove("incidents") {
            Some(Value::Array(list)) => list,
            _ => return Err("the file has no list of incidents: write [{…}, {…}]".to_owned()),
        },
        _ => return Err("the file has no list of incidents: write [{…}, {…}]".to_owned()),
    };
    Ok((1..).zip(list).map(move |(line, value)| Row {
        line,
        incident: from_value(value, &reading),
    }))
}

fn from_text(text: &[u8], reading: &Reading) -> Result<Incident, String> {
    // What an export wrote is read straight away; everything else with more care.
    if let Ok(record) = serde_json::from_slice::<Record>(text) {
        return Incident::from_export(record).map_err(|error| error.to_string());
    }
    let value = serde_json::from_slice(text).map_err(|error| format!("is not JSON: {error}"))?;
    from_value(value, reading)
}

fn from_value(mut value: Value, reading: &Reading) -> Result<Incident, String> {
    let exported = value.get("id").is_some();
    if let Some(map) = value.as_object_mut() {
        for key in ADDED {
            map.remove(key);
        }
    }
    if exported {
        let record: Record = serde_json::from_value(value).map_err(|error| error.to_string())?;
        return Incident::from_export(record).map_err(|error| error.to_string());
    }
    let entry: Entry = serde_json::from_value(value).map_err(|error| error.to_string())?;
    Incident::from_row(reading.now, reading.zone.clone(), entry).map_err(|error| error.to_string())
}
