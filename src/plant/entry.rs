//! What somebody writes in a file to record an incident, and how it becomes one.

use std::fmt;

use serde::{Deserialize, Deserializer, de};

use super::{
    Birth, Coding, ConfirmedBy, FieldError, ReadingNote, Record, Status, WalkRecord, timestamps,
};

/// An incident as written by hand. Everything may be left out, except that either `words` or
/// `class` must be there.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Entry {
    /// When it happened: `2026-03-14 02:10` (local) or RFC 3339; now, if left out.
    #[serde(default)]
    pub occurred_at: Option<String>,
    /// The drive: an id of the register, or the plant's own words.
    #[serde(default)]
    pub drive: Option<String>,
    /// Fault class id.
    #[serde(default)]
    pub class: Option<String>,
    /// What was seen.
    #[serde(default)]
    pub words: Option<String>,
    /// The text that the drive showed.
    #[serde(default)]
    pub display: Option<ScalarText>,
    /// At which moment it happened.
    #[serde(default)]
    pub moment: Option<String>,
    /// What was measured.
    #[serde(default)]
    pub readings: Vec<ReadingEntry>,
    /// What was asked and answered: `question=answer;question=answer`.
    #[serde(default)]
    pub walk: WalkRecord,
    /// How it ended.
    #[serde(default)]
    pub status: Option<Status>,
    /// Cause id.
    #[serde(default)]
    pub cause: Option<String>,
    /// The cause in words, when no id fits.
    #[serde(default)]
    pub cause_note: Option<String>,
    /// How the cause was confirmed.
    #[serde(default)]
    pub confirmed_by: Option<ConfirmedBy>,
    /// What was done.
    #[serde(default)]
    pub done: Option<String>,
    /// Parts used.
    #[serde(default)]
    pub parts: Option<String>,
    /// What proved the repair.
    #[serde(default)]
    pub proof: Option<String>,
    /// How long the machine stood, in minutes.
    #[serde(default)]
    pub downtime_minutes: Option<f64>,
    /// How long people worked, in minutes.
    #[serde(default)]
    pub labour_minutes: Option<f64>,
    /// Initials.
    #[serde(default)]
    pub who: Option<String>,
    /// Anything else.
    #[serde(default)]
    pub notes: Option<String>,
    /// Paths of pictures and files.
    #[serde(default)]
    pub attachments: Vec<String>,
    /// ISO 14224 codes.
    #[serde(default)]
    pub coding: Coding,
}

/// A reading as written by hand.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReadingEntry {
    /// What was measured.
    pub what: String,
    /// The value with its unit.
    pub value: ScalarText,
}

/// A text that may be written as a plain number: `4` as well as `"4"`.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ScalarText(pub String);

impl Entry {
    /// Whether it names a cause, by id or in words.
    pub(super) fn names_a_cause(&self) -> bool {
        let told = [&self.cause, &self.cause_note];
        told.into_iter()
            .flatten()
            .any(|cause| !cause.trim().is_empty())
    }

    /// The record as told, with what was left out taken from the rest. It isn't checked yet.
    pub(super) fn into_record(self, birth: &Birth) -> Result<Record, FieldError> {
        let status = self.status.unwrap_or(match self.confirmed_by {
            Some(ConfirmedBy::NotFound) => Status::Unresolved,
            Some(ConfirmedBy::Presumed) => Status::Likely,
            Some(_) => Status::Confirmed,
            None if self.names_a_cause() => Status::Likely,
            None => Status::Unresolved,
        });
        let unstated = (status == Status::Likely).then_some(ConfirmedBy::Presumed);
        let occurred_at = match &self.occurred_at {
            Some(typed) => timestamps::parse("occurred_at", typed, birth.zone())?,
            None => birth.recorded_at(),
        };
        let readings = self.readings.into_iter().map(Into::into);
        Ok(Record {
            id: birth.id(),
            revision: 1,
            recorded_at: birth.recorded_at(),
            occurred_at: timestamps::to_milliseconds(occurred_at),
            drive: self.drive,
            class: self.class,
            words: self.words.unwrap_or_default(),
            display: self.display.unwrap_or_default().0,
            moment: self.moment.unwrap_or_default(),
            readings: readings.collect(),
            walk: self.walk,
            status,
            cause: self.cause,
            cause_note: self.cause_note.unwrap_or_default(),
            confirmed_by: self.confirmed_by.or(unstated),
            done: self.done.unwrap_or_default(),
            parts: self.parts.unwrap_or_default(),
            proof: self.proof.unwrap_or_default(),
            downtime_minutes: whole_minutes("downtime_minutes", self.downtime_minutes)?,
            labour_minutes: whole_minutes("labour_minutes", self.labour_minutes)?,
            who: self.who.unwrap_or_default(),
            notes: self.notes.unwrap_or_default(),
            attachments: self.attachments,
            coding: self.coding,
            wrong: None,
            knowledge_version: String::new(),
        })
    }
}

pub(super) fn whole_minutes(
    field: &'static str,
    minutes: Option<f64>,
) -> Result<Option<u32>, FieldError> {
    let limit = super::rules::LONGEST_MINUTES;
    match minutes {
        None => Ok(None),
        // The cast is exact: the value is whole and lies within the limit.
        Some(value) if (0.0..=f64::from(limit)).contains(&value) => Ok(Some(value.round() as u32)),
        Some(value) => Err(FieldError::Minutes {
            field,
            value: value.to_string(),
            limit,
        }),
    }
}

impl From<ReadingEntry> for ReadingNote {
    fn from(reading: ReadingEntry) -> Self {
        Self {
            what: reading.what,
            value: reading.value.0,
        }
    }
}

impl<'de> Deserialize<'de> for ScalarText {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Visitor;

        impl de::Visitor<'_> for Visitor {
            type Value = ScalarText;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a text or a number")
            }

            fn visit_str<E: de::Error>(self, value: &str) -> Result<ScalarText, E> {
                Ok(ScalarText(value.to_owned()))
            }

            fn visit_i64<E: de::Error>(self, value: i64) -> Result<ScalarText, E> {
                Ok(ScalarText(value.to_string()))
            }

            fn visit_u64<E: de::Error>(self, value: u64) -> Result<ScalarText, E> {
                Ok(ScalarText(value.to_string()))
            }

            fn visit_f64<E: de::Error>(self, value: f64) -> Result<ScalarText, E> {
                Ok(ScalarText(value.to_string()))
            }
        }

        deserializer.deserialize_any(Visitor)
    }
}
