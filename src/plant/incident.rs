//! An incident: what was seen, measured, found and done, as a value that is always valid.

use std::{ops::Deref, time::SystemTime};

use jiff::{Timestamp, tz::TimeZone};
use serde::{Deserialize, Serialize};
use ulid::Ulid;

use super::{
    Coding, ConfirmedBy, Entry, FieldError, Status, WalkRecord,
    field::{check_count, check_id, check_length},
    text, timestamps,
};

/// A valid incident. It reads like its [`Record`] and changes only by [`Incident::amended`].
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(transparent)]
pub struct Incident(Record);

/// The fields of an incident. Texts that say nothing are empty.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
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

/// What an incident gets at its birth, handed in because nothing here looks at a clock.
#[derive(Clone, Debug)]
pub struct Birth {
    id: Ulid,
    recorded_at: Timestamp,
    zone: TimeZone,
}

/// What a finished walk knows about its incident.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Walked {
    /// Fault class id.
    pub class: String,
    /// What was asked, and the answers.
    pub walk: WalkRecord,
    /// The readings taken on the way.
    pub readings: Vec<ReadingNote>,
    /// The verdict.
    pub status: Status,
    /// The cause that the verdict names.
    pub cause: Option<String>,
    /// How it was confirmed.
    pub confirmed_by: Option<ConfirmedBy>,
    /// The version of the knowledge.
    pub knowledge_version: String,
}

impl Birth {
    /// A birth now, with a new random id that sorts by this time. `zone` is the one in which people
    /// here write local times.
    pub fn at(now: Timestamp, zone: TimeZone) -> Self {
        Self {
            id: Ulid::from_datetime(SystemTime::from(now)),
            recorded_at: timestamps::to_milliseconds(now),
            zone,
        }
    }

    pub(super) fn id(&self) -> Ulid {
        self.id
    }

    pub(super) fn recorded_at(&self) -> Timestamp {
        self.recorded_at
    }

    pub(super) fn zone(&self) -> &TimeZone {
        &self.zone
    }
}

impl Incident {
    /// An incident from a file that somebody wrote.
    ///
    /// What is left out is taken from what is there: it happened now; a cause that nobody confirmed
    /// is likely; without a cause the incident is unresolved.
    pub fn from_entry(birth: &Birth, entry: Entry) -> Result<Self, FieldError> {
        let mut record = entry.into_record(birth)?;
        clean(&mut record);
        checked(record)
    }

    /// An incident from a walk, with what the user told besides.
    ///
    /// The class, the answers and the knowledge version are the walk's. So is the outcome, as far as
    /// the user didn't state another: a cause of the user's own sets the whole verdict aside.
    pub fn from_walk(birth: &Birth, walked: Walked, mut told: Entry) -> Result<Self, FieldError> {
        if !told.names_a_cause() {
            if told.status.is_none() && told.confirmed_by.is_none() {
                told.status = Some(walked.status);
                told.confirmed_by = walked.confirmed_by;
            }
            let not_found = told.status == Some(Status::Unresolved)
                || told.confirmed_by == Some(ConfirmedBy::NotFound);
            told.cause = walked.cause.filter(|_| !not_found);
        }
        told.class = Some(walked.class);
        let mut record = told.into_record(birth)?;
        record.walk = walked.walk;
        record.knowledge_version = walked.knowledge_version;
        record.readings.splice(0..0, walked.readings);
        clean(&mut record);
        checked(record)
    }

    /// An incident that was valid once, read back from a log or an export. Its texts are made
    /// harmless again, because somebody else may have written the file; lengths and outcome are left
    /// as they are, because the rules of the day were kept then.
    pub fn read_back(mut record: Record) -> Result<Self, FieldError> {
        clean(&mut record);
        check_forms(&record)?;
        Ok(Self(record))
    }

    /// The next revision of this incident, with the fields of `record` recorded at `at`. Id and
    /// revision are kept by this function, whatever `record` says.
    pub fn amended(&self, at: Timestamp, mut record: Record) -> Result<Self, FieldError> {
        record.id = self.id;
        record.revision = self.revision.saturating_add(1);
        record.recorded_at = timestamps::to_milliseconds(at);
        record.occurred_at = timestamps::to_milliseconds(record.occurred_at);
        clean(&mut record);
        checked(record)
    }

    /// The next revision of this incident, marked wrong: it stays in the log and no longer counts.
    pub fn marked_wrong(&self, at: Timestamp, reason: &str) -> Result<Self, FieldError> {
        let reason = text::one_line(reason);
        let reason = if reason.is_empty() {
            "no reason given".to_owned()
        } else {
            reason
        };
        self.amended(
            at,
            Record {
                wrong: Some(reason),
                ..self.0.clone()
            },
        )
    }

    /// The way of confirming that makes the incident count towards its cause; none if it doesn't.
    pub fn counted_as(&self) -> Option<ConfirmedBy> {
        let counts = self.wrong.is_none() && self.status != Status::Unresolved;
        self.confirmed_by.filter(|_| counts)
    }

    /// How much the incident counts as experience with its cause, from 0 to 1.
    pub fn weight(&self) -> f64 {
        self.counted_as().map_or(0.0, ConfirmedBy::weight)
    }

    /// The fields, to be changed and handed to [`Incident::amended`].
    pub fn into_record(self) -> Record {
        self.0
    }
}

impl Deref for Incident {
    type Target = Record;

    fn deref(&self) -> &Record {
        &self.0
    }
}

/// Makes every text harmless and drops what says nothing.
fn clean(record: &mut Record) {
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

fn checked(record: Record) -> Result<Incident, FieldError> {
    check_forms(&record)?;
    check_limits(&record)?;
    check_outcome(&record)?;
    if record.words.is_empty() && record.class.is_none() {
        return Err(FieldError::Missing {
            field: "words",
            wanted: "say what was seen, or give the fault class",
        });
    }
    // Logs are written on machines whose clocks may differ by a time zone, not by more.
    if record.occurred_at.as_second() - record.recorded_at.as_second() > 24 * 60 * 60 {
        return Err(FieldError::Contradiction {
            what: "the incident lies more than a day ahead of this machine's clock",
            remedy: "correct occurred_at, or set the clock",
        });
    }
    Ok(Incident(record))
}

fn check_forms(record: &Record) -> Result<(), FieldError> {
    for (field, id) in [("class", &record.class), ("cause", &record.cause)] {
        if let Some(id) = id {
            check_id(field, id)?;
        }
    }
    if record.revision == 0 {
        return Err(FieldError::Missing {
            field: "revision",
            wanted: "revisions count from 1",
        });
    }
    record.walk.check()?;
    record.coding.check()
}

/// The most minutes accepted: two years.
pub(super) const LONGEST_MINUTES: u32 = 2 * 366 * 24 * 60;

fn check_limits(record: &Record) -> Result<(), FieldError> {
    let walk = record.walk.to_string();
    for (field, text, limit) in [
        ("words", &record.words, 4_000),
        ("display", &record.display, 200),
        ("moment", &record.moment, 80),
        ("walk", &walk, 8_000),
        ("cause_note", &record.cause_note, 1_000),
        ("done", &record.done, 4_000),
        ("parts", &record.parts, 1_000),
        ("proof", &record.proof, 1_000),
        ("who", &record.who, 12),
        ("notes", &record.notes, 20_000),
        ("knowledge_version", &record.knowledge_version, 40),
    ] {
        check_length(field, text, limit)?;
    }
    check_length("drive", record.drive.as_deref().unwrap_or(""), 80)?;
    check_length("wrong", record.wrong.as_deref().unwrap_or(""), 400)?;
    check_count("readings", record.readings.len(), 100)?;
    for reading in &record.readings {
        if reading.what.is_empty() || reading.value.is_empty() {
            return Err(FieldError::Missing {
                field: "readings",
                wanted: "each needs a what and a value with its unit",
            });
        }
        check_length("readings: what", &reading.what, 80)?;
        check_length("readings: value", &reading.value, 80)?;
    }
    check_count("attachments", record.attachments.len(), 20)?;
    record
        .attachments
        .iter()
        .try_for_each(|path| check_length("attachments", path, 500))?;
    for (field, minutes) in [
        ("downtime_minutes", record.downtime_minutes),
        ("labour_minutes", record.labour_minutes),
    ] {
        if let Some(value) = minutes.filter(|&minutes| minutes > LONGEST_MINUTES) {
            return Err(FieldError::Minutes {
                field,
                value: value.to_string(),
                limit: LONGEST_MINUTES,
            });
        }
    }
    Ok(())
}

/// A status, a cause and the way of confirming have to agree, because they are counted.
fn check_outcome(record: &Record) -> Result<(), FieldError> {
    use ConfirmedBy::{Exchanged, Measured, NotFound, Presumed, ProvedByRun};
    let has_cause = record.cause.is_some() || !record.cause_note.is_empty();
    let contradiction = |what, remedy| Err(FieldError::Contradiction { what, remedy });
    match (record.status, has_cause, record.confirmed_by) {
        (Status::Confirmed | Status::Likely, false, _) => contradiction(
            "the status names a cause, and none is given",
            "give cause or cause_note, or status unresolved",
        ),
        (Status::Confirmed, _, None | Some(Presumed | NotFound)) => contradiction(
            "the cause is confirmed, and nothing says how",
            "give confirmed_by measured, proved-by-run or exchanged, or status likely",
        ),
        (Status::Likely, _, Some(Measured | ProvedByRun | NotFound)) => contradiction(
            "the status is likely, which doesn't agree with confirmed_by",
            "give confirmed_by exchanged or presumed, or another status",
        ),
        (Status::Unresolved, true, _) => contradiction(
            "the incident is unresolved and names a cause",
            "give status likely, or move the suspicion to notes",
        ),
        (Status::Unresolved, _, Some(Measured | ProvedByRun | Exchanged | Presumed)) => {
            contradiction(
                "the incident is unresolved, which doesn't agree with confirmed_by",
                "leave confirmed_by out, or give the cause that was found",
            )
        }
        _ => Ok(()),
    }
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

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn birth() -> Birth {
        Birth::at(
            "2026-03-14T08:00:00.123456Z".parse().unwrap(),
            TimeZone::UTC,
        )
    }

    fn entry(yaml: &str) -> Entry {
        serde_saphyr::from_str(yaml).unwrap()
    }

    fn incident(yaml: &str) -> Result<Incident, FieldError> {
        Incident::from_entry(&birth(), entry(yaml))
    }

    fn walked(status: Status, cause: Option<&str>, confirmed_by: Option<ConfirmedBy>) -> Walked {
        Walked {
            class: "dc-overvoltage-decelerating".to_owned(),
            walk: "trip-moment=slowing;bus-at-rest=566 V".parse().unwrap(),
            readings: vec![ReadingNote {
                what: "bus_voltage".to_owned(),
                value: "566 V".to_owned(),
            }],
            status,
            cause: cause.map(str::to_owned),
            confirmed_by,
            knowledge_version: "7".to_owned(),
        }
    }

    #[test]
    fn id_sorts_by_the_time_of_birth() {
        // The ULID specification: the first 48 bits are milliseconds since 1970.
        let incident = incident("words: trips").unwrap();
        assert_eq!(incident.id.timestamp_ms(), 1_773_475_200_123);
        assert_eq!(incident.recorded_at.to_string(), "2026-03-14T08:00:00.123Z");
        assert_eq!(incident.occurred_at, incident.recorded_at);
        assert_eq!(incident.revision, 1);
    }

    #[test]
    fn outcome_follows_from_what_was_told() {
        use ConfirmedBy::*;
        for (yaml, status, confirmed_by, weight) in [
            ("words: a", Status::Unresolved, None, 0.0),
            (
                "{words: a, confirmed_by: not-found}",
                Status::Unresolved,
                Some(NotFound),
                0.0,
            ),
            ("{words: a, cause: b}", Status::Likely, Some(Presumed), 0.3),
            (
                "{words: a, cause: b, confirmed_by: presumed}",
                Status::Likely,
                Some(Presumed),
                0.3,
            ),
            (
                "{words: a, cause: b, confirmed_by: exchanged}",
                Status::Confirmed,
                Some(Exchanged),
                0.7,
            ),
            (
                "{words: a, cause_note: b, confirmed_by: measured}",
                Status::Confirmed,
                Some(Measured),
                1.0,
            ),
            (
                "{words: a, cause: b, confirmed_by: proved-by-run}",
                Status::Confirmed,
                Some(ProvedByRun),
                1.0,
            ),
            (
                "{words: a, cause: b, status: likely, confirmed_by: exchanged}",
                Status::Likely,
                Some(Exchanged),
                0.7,
            ),
        ] {
            let incident = incident(yaml).unwrap();
            assert_eq!(
                (incident.status, incident.confirmed_by),
                (status, confirmed_by),
                "{yaml}"
            );
            assert_eq!(incident.weight(), weight, "{yaml}");
        }
    }

    #[test]
    fn contradictions_are_told() {
        for (yaml, expected) in [
            (
                "{words: a, confirmed_by: measured}",
                "names a cause, and none is given",
            ),
            (
                "{words: a, cause: b, status: confirmed}",
                "nothing says how",
            ),
            (
                "{words: a, cause: b, status: likely, confirmed_by: measured}",
                "doesn't agree",
            ),
            (
                "{words: a, cause: b, status: unresolved}",
                "is unresolved and names a cause",
            ),
            (
                "{words: a, status: unresolved, confirmed_by: presumed}",
                "doesn't agree",
            ),
            (
                "{drive: FC-101}",
                "say what was seen, or give the fault class",
            ),
            ("{words: ' '}", "say what was seen, or give the fault class"),
            ("{words: a, class: OV}", "is not an id"),
            ("{words: a, who: thirteen signs}", "at most 12"),
            ("{words: a, downtime_minutes: -1}", "must lie between 0"),
            ("{words: a, downtime_minutes: .nan}", "must lie between 0"),
            ("{words: a, labour_minutes: 1e9}", "must lie between 0"),
            (
                "{words: a, readings: [{what: bus, value: ''}]}",
                "a what and a value",
            ),
            ("{words: a, coding: {mechanism: '9.9'}}", "table B.2"),
            (
                "{words: a, occurred_at: 2026-03-15 09:00}",
                "ahead of this machine's clock",
            ),
        ] {
            let error = incident(yaml).unwrap_err().to_string();
            assert!(error.contains(expected), "{yaml}: {error}");
        }
    }

    #[test]
    fn a_walk_gives_class_answers_and_verdict() {
        let walked = walked(
            Status::Confirmed,
            Some("decel-ramp-too-short"),
            Some(ConfirmedBy::ProvedByRun),
        );
        let told = entry(
            "{words: trips on stopping, drive: filler-2, done: ramp set to 12 s, downtime_minutes: 40}",
        );
        let incident = Incident::from_walk(&birth(), walked, told).unwrap();
        assert_eq!(
            incident.class.as_deref(),
            Some("dc-overvoltage-decelerating")
        );
        assert_eq!(incident.cause.as_deref(), Some("decel-ramp-too-short"));
        assert_eq!(
            incident.walk.to_string(),
            "trip-moment=slowing;bus-at-rest=566 V"
        );
        assert_eq!(incident.downtime_minutes, Some(40));
        assert_eq!(incident.weight(), 1.0);
    }

    #[test]
    fn what_the_user_found_sets_the_verdict_of_the_walk_aside() {
        let likely = || walked(Status::Likely, Some("decel-ramp-too-short"), None);
        let found = |told| Incident::from_walk(&birth(), likely(), entry(told)).unwrap();
        let other = found("{cause: brake-resistor-open, confirmed_by: measured}");
        assert_eq!(
            (other.cause.as_deref(), other.status),
            (Some("brake-resistor-open"), Status::Confirmed)
        );
        let proved = found("{confirmed_by: proved-by-run}");
        assert_eq!(
            (proved.cause.as_deref(), proved.status),
            (Some("decel-ramp-too-short"), Status::Confirmed)
        );
        let gone = found("{status: unresolved}");
        assert_eq!(
            (gone.cause.as_deref(), gone.status),
            (None, Status::Unresolved)
        );
    }

    #[test]
    fn an_amendment_is_the_next_revision_of_the_same_incident() {
        let first =
            incident("{words: a, class: ground-fault, cause: b, confirmed_by: measured}").unwrap();
        let mut record = first.clone().into_record();
        record.id = Ulid::nil();
        record.revision = 40;
        record.done = "dried the motor".to_owned();
        let later: Timestamp = "2026-03-15T08:00:00Z".parse().unwrap();
        let second = first.amended(later, record).unwrap();
        assert_eq!(
            (second.id, second.revision, second.recorded_at),
            (first.id, 2, later)
        );
        let wrong = second.marked_wrong(later, "other\nmotor").unwrap();
        assert_eq!(
            (wrong.revision, wrong.wrong.as_deref()),
            (3, Some("other motor"))
        );
        assert_eq!((second.weight(), wrong.weight()), (1.0, 0.0));
    }

    #[test]
    fn json_gives_the_same_incident_back() {
        let yaml = "{words: a, class: ground-fault, readings: [{what: bus, value: 566}], walk: a=b, who: TH,
            coding: {mode: UST, mechanism: '4.5'}, attachments: [a.jpg], occurred_at: 2026-03-14 02:10}";
        let incident = incident(yaml).unwrap();
        let json = serde_json::to_string(&incident).unwrap();
        assert_eq!(
            Incident::read_back(serde_json::from_str(&json).unwrap()),
            Ok(incident)
        );
    }

    #[test]
    fn unknown_and_doubled_keys_are_refused() {
        for yaml in [
            "{words: a, colour: grey}",
            "{words: a, coding: {modes: UST}}",
            "words: a\nwords: b",
        ] {
            assert!(serde_saphyr::from_str::<Entry>(yaml).is_err(), "{yaml}");
        }
    }

    proptest! {
        #[test]
        fn text_stays_as_it_is_but_for_control_characters(words in any::<String>(), path in "\\PC{0,20}") {
            let entry = Entry { words: Some(words.clone()), attachments: vec![path.clone()], class: Some("a".to_owned()), ..Entry::default() };
            let incident = Incident::from_entry(&birth(), entry).unwrap();
            let kept: String = words.chars().filter(|c| !c.is_control() || "\n\t".contains(*c)).collect();
            prop_assert_eq!(&incident.words, kept.trim_end());
            prop_assert_eq!(incident.attachments.concat(), path.trim());
            prop_assert_eq!(Incident::read_back(incident.clone().into_record()), Ok(incident));
        }

        #[test]
        fn no_entry_is_too_odd(
            texts in prop::collection::vec(prop::option::of(any::<String>()), 6),
            minutes in any::<f64>(),
        ) {
            let mut texts = texts.into_iter();
            let mut next = || texts.next().flatten();
            let _ = Incident::from_entry(&birth(), Entry {
                occurred_at: next(), drive: next(), class: next(), words: next(), cause: next(), who: next(),
                downtime_minutes: Some(minutes), ..Entry::default()
            });
        }
    }
}
