//! Incidents in files: JSON lines, JSON and CSV, out and in again without a loss.
//!
//! What has an id comes from an export and is taken as it stands. What has none was written by
//! somebody and is read like a file of `log add`; its id follows from what it says.

mod json;
mod table;

use std::io::BufRead;

use jiff::{Timestamp, tz::TimeZone};

use super::Incident;
pub use json::{array_end, array_item, array_start, line};
pub use table::{cell, header, row};

/// How incidents are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// One JSON object a line.
    JsonLines,
    /// One JSON document: `{"schema": 1, "incidents": […]}`, or a plain list.
    Json,
    /// A table with a header.
    Csv,
}

impl Form {
    /// The form that a file's name tells.
    pub fn of_name(name: &str) -> Option<Self> {
        match name.rsplit_once('.')?.1.to_ascii_lowercase().as_str() {
            "jsonl" | "ndjson" => Some(Self::JsonLines),
            "json" => Some(Self::Json),
            "csv" => Some(Self::Csv),
            _ => None,
        }
    }
}

/// Where and when rows are read.
#[derive(Clone, Debug)]
pub struct Reading {
    /// The time of the import.
    pub now: Timestamp,
    /// The zone of local times.
    pub zone: TimeZone,
}

/// A row of a file.
#[derive(Debug)]
pub struct Row {
    /// The line it starts on, or its place in a JSON list; from 1.
    pub line: u64,
    /// The incident, or why it is none.
    pub incident: Result<Incident, String>,
}

/// The incidents in a file, one after the other.
///
/// # Errors
/// When the beginning can't be read: no header that is known, no list.
pub fn read<'r>(
    form: Form,
    reader: impl BufRead + 'r,
    reading: Reading,
) -> Result<Box<dyn Iterator<Item = Row> + 'r>, String> {
    match form {
        Form::JsonLines => Ok(Box::new(json::lines(reader, reading))),
        Form::Json => Ok(Box::new(json::document(reader, reading)?)),
        Form::Csv => Ok(Box::new(table::rows(reader, reading)?)),
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::plant::{
        Birth, Coding, ConfirmedBy, Entry, ReadingEntry, ScalarText, Status, WalkRecord,
    };

    fn reading() -> Reading {
        Reading {
            now: "2026-11-25T08:00:00Z".parse().unwrap(),
            zone: TimeZone::UTC,
        }
    }

    fn back(form: Form, text: &str) -> Vec<Incident> {
        read(form, text.as_bytes(), reading())
            .unwrap()
            .map(|row| row.incident.unwrap())
            .collect()
    }

    fn written(form: Form, incidents: &[Incident]) -> String {
        match form {
            Form::JsonLines => incidents.iter().map(|one| line(one) + "\n").collect(),
            Form::Json => {
                let items: Vec<String> = incidents
                    .iter()
                    .enumerate()
                    .map(|(index, one)| array_item(one, index == 0))
                    .collect();
                format!("{}{}{}", array_start(), items.concat(), array_end())
            }
            Form::Csv => {
                let rows: Vec<String> = (1..).zip(incidents).map(|(n, one)| row(n, one)).collect();
                header() + &rows.concat()
            }
        }
    }

    /// Texts with what breaks tables, formulas, lists and JSON.
    fn odd() -> impl Strategy<Value = String> {
        prop_oneof![
            any::<String>(),
            "[-=+@'\"\\[\\];,\n\t a-c]{0,8}",
            Just("[\"a\"]".to_owned())
        ]
    }

    prop_compose! {
        fn incident()(
            texts in prop::collection::vec(odd(), 12),
            readings in prop::collection::vec((odd(), odd()), 0..3),
            answers in prop::collection::vec(odd(), 0..3),
            minutes in prop::option::of(0u32..100_000),
            attached in prop::collection::vec("[a-z;= \\[]{1,6}\\.jpg", 0..3),
            how in prop::option::of(0usize..5),
        ) -> Option<Incident> {
            let mut texts = texts.into_iter();
            let mut next = || texts.next();
            let mut walk = WalkRecord::default();
            for answer in &answers {
                walk.push("bus-at-rest", answer);
            }
            let entry = Entry {
                words: next(),
                class: Some("ground-fault".to_owned()),
                drive: next(),
                display: next().map(ScalarText),
                moment: next(),
                readings: readings.into_iter().map(|(what, value)| ReadingEntry { what, value: ScalarText(value) }).collect(),
                walk,
                cause_note: next(),
                confirmed_by: how.map(|how| ConfirmedBy::ALL[how]),
                done: next(),
                parts: next(),
                proof: next(),
                notes: next(),
                downtime_minutes: minutes.map(f64::from),
                attachments: attached,
                coding: Coding { mode: Some("UST".to_owned()), ..Coding::default() },
                ..Entry::default()
            };
            let birth = Birth::at(reading().now, TimeZone::UTC);
            let first = Incident::from_entry(&birth, entry).ok()?;
            if minutes.is_some_and(|minutes| minutes % 2 == 0) {
                return first.marked_wrong(reading().now, &next().unwrap_or_default()).ok();
            }
            Some(first)
        }
    }

    proptest! {
        #[test]
        fn what_is_written_is_read_again_the_same(incidents in prop::collection::vec(incident(), 0..4)) {
            let incidents: Vec<Incident> = incidents.into_iter().flatten().collect();
            for form in [Form::JsonLines, Form::Json, Form::Csv] {
                let text = written(form, &incidents);
                prop_assert_eq!(&back(form, &text), &incidents, "{:?}: {}", form, text);
            }
        }

        #[test]
        fn no_file_is_too_odd(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
            for form in [Form::JsonLines, Form::Json, Form::Csv] {
                if let Ok(rows) = read(form, bytes.as_slice(), reading()) {
                    let _ = rows.count();
                }
            }
        }
    }

    #[test]
    fn a_row_without_an_id_is_the_same_incident_each_time() {
        let table =
            "occurred_at,words,class,cause,confirmed_by\n2026-03-14 02:10,Trips,ground-fault,,\n";
        let (one, other) = (back(Form::Csv, table), back(Form::Csv, table));
        assert_eq!(one, other);
        let json =
            r#"[{"occurred_at": "2026-03-14 02:10", "words": "Trips", "class": "ground-fault"}]"#;
        assert_eq!(back(Form::Json, json), one);
        assert_eq!(one[0].id.timestamp_ms(), 1_773_454_200_000);
        assert_eq!(one[0].status, Status::Unresolved);
    }

    #[test]
    fn what_is_wrong_is_told_with_its_line() {
        for (form, text, line, expected) in [
            (
                Form::Csv,
                "words,occurred_at\na,2026-01-02 03:04\nb,soon\n",
                3,
                "write 2026-03-14",
            ),
            (
                Form::Csv,
                "words,occurred_at\n\"a\nb\",2026-01-02 03:04\nb\n",
                4,
                "columns",
            ),
            (Form::Csv, "words\na\n", 2, "occurred_at is missing"),
            (Form::JsonLines, "\n{\"words\": 4}\n", 2, "string"),
            (Form::JsonLines, "{}\nx\n", 2, "JSON"),
            (
                Form::Json,
                "[{\"occurred_at\": \"2026-01-02 03:04\", \"wrds\": \"a\"}]",
                1,
                "wrds",
            ),
        ] {
            let rows: Vec<Row> = read(form, text.as_bytes(), reading()).unwrap().collect();
            let row = rows.iter().find(|row| row.line == line).unwrap();
            let error = row.incident.as_ref().unwrap_err();
            assert!(error.contains(expected), "{error}");
        }
        for (form, text, expected) in [
            (Form::Csv, "words,colour\n", "no field \"colour\""),
            (Form::Csv, "words,words\n", "twice"),
            (Form::Json, "{\"drives\": []}", "no list of incidents"),
        ] {
            let error = read(form, text.as_bytes(), reading()).err().unwrap();
            assert!(error.contains(expected), "{error}");
        }
    }
}
