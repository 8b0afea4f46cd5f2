//! The fields of an incident by name: what a table's header, an amendment and a command line write.

use super::{
    ConfirmedBy, Entry, FieldError, ReadingEntry, ScalarText, Status,
    field::{form, nearest},
};

/// The names of the fields that somebody may write, in the order of a table's columns.
pub const FIELDS: [&str; 24] = [
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
];

/// The name in [`FIELDS`] that is meant.
///
/// # Errors
/// [`FieldError::Unknown`] with the closest name.
pub fn field_name(typed: &str) -> Result<&'static str, FieldError> {
    let name = typed.trim().to_ascii_lowercase().replace([' ', '-'], "_");
    let known = FIELDS.iter().find(|&&field| field == name).copied();
    known.ok_or_else(|| FieldError::Unknown {
        field: super::text::one_line(typed).chars().take(60).collect(),
        nearest: nearest(&name, &FIELDS),
    })
}

impl Entry {
    /// Sets a field from text. An empty text leaves the field out.
    ///
    /// Readings are written `what = value; what = value`, attachments `path; path`; a text that
    /// begins with `[` is a JSON list.
    ///
    /// # Errors
    /// When there is no such field, or the text isn't what it takes.
    pub fn set(&mut self, field: &str, text: &str) -> Result<(), FieldError> {
        let field = field_name(field)?;
        let given = (!text.trim().is_empty()).then(|| text.to_owned());
        match field {
            "occurred_at" => self.occurred_at = given,
            "drive" => self.drive = given,
            "class" => self.class = given,
            "words" => self.words = given,
            "display" => self.display = given.map(ScalarText),
            "moment" => self.moment = given,
            "readings" => self.readings = readings(text)?,
            "walk" => self.walk = text.parse()?,
            "status" => self.status = given.map(|word| status(&word)).transpose()?,
            "cause" => self.cause = given,
            "cause_note" => self.cause_note = given,
            "confirmed_by" => {
                self.confirmed_by = given.map(|word| confirmed_by(&word)).transpose()?;
            }
            "done" => self.done = given,
            "parts" => self.parts = given,
            "proof" => self.proof = given,
            "downtime_minutes" | "labour_minutes" => {
                let minutes = given.map(|typed| minutes(field, &typed)).transpose()?;
                if field == "downtime_minutes" {
                    self.downtime_minutes = minutes;
                } else {
                    self.labour_minutes = minutes;
                }
            }
            "who" => self.who = given,
            "notes" => self.notes = given,
            "attachments" => self.attachments = attachments(text)?,
            code => {
                let given = given.map(|typed| typed.trim().to_owned());
                match code {
                    "coding_mode" => self.coding.mode = given,
                    "coding_mechanism" => self.coding.mechanism = given,
                    "coding_cause" => self.coding.cause = given,
                    _ => self.coding.activity = given,
                }
            }
        }
        Ok(())
    }
}

fn status(word: &str) -> Result<Status, FieldError> {
    Status::from_word(&word.trim().to_lowercase())
        .ok_or_else(|| form("status", word, "confirmed, likely or unresolved"))
}

fn confirmed_by(word: &str) -> Result<ConfirmedBy, FieldError> {
    ConfirmedBy::from_word(&word.trim().to_lowercase()).ok_or_else(|| {
        form(
            "confirmed_by",
            word,
            "measured, proved-by-run, exchanged, presumed or not-found",
        )
    })
}

fn minutes(field: &str, typed: &str) -> Result<f64, FieldError> {
    let number = typed.trim().trim_end_matches("min").trim();
    number
        .parse()
        .map_err(|_| form(field, typed, "minutes as a number, such as 45"))
}

fn readings(text: &str) -> Result<Vec<ReadingEntry>, FieldError> {
    let wanted = "what = value; what = value, such as bus = 566 V; ripple = 4 V";
    if text.trim_start().starts_with('[') {
        return serde_json::from_str(text).map_err(|_| form("readings", text, wanted));
    }
    let pieces = text
        .split(';')
        .map(str::trim)
        .filter(|piece| !piece.is_empty());
    pieces
        .map(|piece| match piece.split_once('=') {
            Some((what, value)) if !what.trim().is_empty() && !value.trim().is_empty() => {
                Ok(ReadingEntry {
                    what: what.trim().to_owned(),
                    value: ScalarText(value.trim().to_owned()),
                })
            }
            _ => Err(form("readings", piece, wanted)),
        })
        .collect()
}

fn attachments(text: &str) -> Result<Vec<String>, FieldError> {
    if text.trim_start().starts_with('[') {
        return serde_json::from_str(text)
            .map_err(|_| form("attachments", text, "paths with ; between"));
    }
    let pieces = text
        .split(';')
        .map(str::trim)
        .filter(|piece| !piece.is_empty());
    Ok(pieces.map(str::to_owned).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_name_sets_a_field_and_an_empty_text_takes_it_back() {
        for field in FIELDS {
            let text = match field {
                "readings" => "bus = 566 V; chopper = on",
                "walk" => "trip-moment=slowing",
                "status" => "likely",
                "confirmed_by" => "presumed",
                "downtime_minutes" | "labour_minutes" => "45 min",
                _ => "some",
            };
            let mut entry = Entry::default();
            entry.set(field, text).unwrap();
            assert_ne!(entry, Entry::default(), "{field}");
            entry.set(field, " ").unwrap();
            assert_eq!(entry, Entry::default(), "{field}");
        }
    }

    #[test]
    fn a_wrong_name_or_text_is_told_with_what_is_wanted() {
        let mut entry = Entry::default();
        for (field, text, expected) in [
            ("downtime", "4", "closest: downtime_minutes"),
            ("Downtime minutes", "soon", "such as 45"),
            ("status", "open", "confirmed, likely or unresolved"),
            ("readings", "566 V", "what = value"),
            ("confirmed by", "guess", "proved-by-run"),
        ] {
            let error = entry.set(field, text).unwrap_err().to_string();
            assert!(error.contains(expected), "{field}: {error}");
        }
    }

    #[test]
    fn lists_are_read_in_both_forms() {
        let mut entry = Entry::default();
        entry
            .set("readings", r#"[{"what": "a;b", "value": "=1"}]"#)
            .unwrap();
        assert_eq!(entry.readings[0].what, "a;b");
        entry.set("attachments", "a.jpg; b/c.pdf").unwrap();
        assert_eq!(entry.attachments, ["a.jpg", "b/c.pdf"]);
    }
}
