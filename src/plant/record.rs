//! The fields of an incident, and making their texts harmless.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};
use ulid::Ulid;

use super::{Coding, ConfirmedBy, Status, WalkRecord, text, timestamps};

/// The fields of an incident. Texts that say nothing are empty.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Record {
    /// Time-ordered id, the same in every log that holds the incident.
    #[serde(with = "ulid_text")]
    pub id: Ulid,
    /// Which version of the record this is, from 1.
    pub revision: u32,
    /// When this revision was recorded.
    #[serde(with = "timestamps")]
    pub recorded_at: Timestamp,
    /// When it happened.
    #[serde(with = "timestamps")]
    pub occurred_at: Timestamp,
    /// The drive: an id of the register, or the plant's own words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub drive: Option<String>,
    /// Fault class id.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub class: Option<String>,
    /// What was seen, in the words of whoever saw it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub words: String,
    /// The text that the drive showed.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub display: String,
    /// At which moment it happened: at start, while slowing down.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub moment: String,
    /// What was measured.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub readings: Vec<ReadingNote>,
    /// What the walk asked, and the answers.
    #[serde(default, skip_serializing_if = "WalkRecord::is_empty")]
    pub walk: WalkRecord,
    /// How it ended.
    pub status: Status,
    /// Cause id.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cause: Option<String>,
    /// The cause in words, when no id fits.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub cause_note: String,
    /// How the cause was confirmed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub confirmed_by: Option<ConfirmedBy>,
    /// What was done.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub done: String,
    /// Parts used.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub parts: String,
    /// The run or the measurement that proved the repair.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub proof: String,
    /// How long the machine stood.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub downtime_minutes: Option<u32>,
    /// How long people worked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub labour_minutes: Option<u32>,
    /// Initials of whoever recorded it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub who: String,
    /// Anything else.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
    /// Paths of pictures and files, as text.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub attachments: Vec<String>,
    /// ISO 14224 codes.
    #[serde(default, skip_serializing_if = "Coding::is_empty")]
    pub coding: Coding,
    /// Why the record is wrong and must not count; none for a good record.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wrong: Option<String>,
    /// The version of the knowledge that the walk used.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub knowledge_version: String,
}

/// A reading as it was typed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ReadingNote {
    /// What was measured: a question, an input of a check, or plain words.
    pub what: String,
    /// The value with its unit, as typed.
    pub value: String,
}

/// Makes every text harmless and drops what says nothing.
pub(super) fn clean(record: &mut Record) {
    let Record {
        words,
        cause_note,
        done,
        parts,
        proof,
        notes,
        ..
    } = record;
    for long in [words, cause_note, done, parts, proof, notes] {
        *long = text::clean(long);
    }
    let Record {
        display,
        moment,
        who,
        knowledge_version,
        ..
    } = record;
    for short in [display, moment, who, knowledge_version] {
        *short = text::one_line(short);
    }
    for optional in [&mut record.drive, &mut record.class, &mut record.cause] {
        *optional = optional
            .take()
            .map(|value| text::one_line(&value))
            .filter(|value| !value.is_empty());
    }
    record.wrong = record.wrong.take().map(|reason| text::one_line(&reason));
    for reading in &mut record.readings {
        reading.what = text::one_line(&reading.what);
        reading.value = text::one_line(&reading.value);
    }
    record
        .readings
        .retain(|reading| !(reading.what.is_empty() && reading.value.is_empty()));
    for path in &mut record.attachments {
        *path = text::one_line(path);
    }
    record.attachments.retain(|path| !path.is_empty());
}

mod ulid_text {
    use serde::{Deserialize, Deserializer, Serializer, de::Error};
    use ulid::Ulid;

    pub(super) fn serialize<S: Serializer>(id: &Ulid, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(id)
    }

    pub(super) fn deserialize<'de, D: Deserializer<'de>>(
        deserializer: D,
    ) -> Result<Ulid, D::Error> {
        Ulid::from_string(&String::deserialize(deserializer)?).map_err(D::Error::custom)
    }
}
