//! An incident: what was seen, measured, found and done, as a value that is always valid.

use std::{ops::Deref, time::SystemTime};

use jiff::{Timestamp, tz::TimeZone};
use serde::Serialize;
use ulid::Ulid;

use super::{
    ConfirmedBy, Entry, FieldError, ReadingNote, Record, Status, WalkRecord, attachment,
    content_id,
    record::clean,
    rules::{check_forms, check_limits, check_outcome},
    text, timestamps,
};

/// A valid incident. It reads like its [`Record`] and changes only by [`Incident::amended`].
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(transparent)]
pub struct Incident(Record);

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

    /// A birth now under an id that was handed out before, so that the same thing told twice is one
    /// incident.
    pub fn with_id(id: Ulid, now: Timestamp, zone: TimeZone) -> Self {
        Self::known(id, now, zone)
    }

    /// A birth that was before, as an export tells it.
    pub(super) fn known(id: Ulid, recorded_at: Timestamp, zone: TimeZone) -> Self {
        Self {
            id,
            recorded_at: timestamps::to_milliseconds(recorded_at),
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

    /// An incident from a row that has no id, such as one of a spreadsheet. Its id follows from what
    /// it says, so that the same row is always the same incident.
    ///
    /// # Errors
    /// As [`Incident::from_entry`], and when the row doesn't say when it happened.
    pub fn from_row(now: Timestamp, zone: TimeZone, entry: Entry) -> Result<Self, FieldError> {
        if entry.occurred_at.is_none() {
            return Err(FieldError::Missing {
                field: "occurred_at",
                wanted: "a row needs the time it happened, so that it is taken in only once",
            });
        }
        let mut incident = Self::from_entry(&Birth::at(now, zone), entry)?;
        incident.0.id = content_id::of(&incident.0);
        Ok(incident)
    }

    /// An incident from an export: as [`Incident::read_back`], and its attachments stay below the
    /// attachment folder.
    ///
    /// # Errors
    /// When a field doesn't have the form it needs.
    pub fn from_export(record: Record) -> Result<Self, FieldError> {
        let incident = Self::read_back(record)?;
        incident
            .attachments
            .iter()
            .try_for_each(|path| attachment::check(path))?;
        Ok(incident)
    }

    /// A record from which texts were taken: nothing can be wrong with it that wasn't before.
    pub(super) fn without_texts(record: Record) -> Self {
        Self(record)
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
    record
        .attachments
        .iter()
        .try_for_each(|path| attachment::check(path))?;
    // Logs are written on machines whose clocks may differ by a time zone, not by more.
    if record.occurred_at.as_second() - record.recorded_at.as_second() > 24 * 60 * 60 {
        return Err(FieldError::Contradiction {
            what: "the incident lies more than a day ahead of this machine's clock",
            remedy: "correct occurred_at, or set the clock",
        });
    }
    Ok(Incident(record))
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
        fn text_stays_as_it_is_but_for_control_characters(words in any::<String>(), path in "[a-zäΩ]{0,20}") {
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
