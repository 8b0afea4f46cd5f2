//! What somebody changes in an incident: fields that get another text, fields that are emptied.

use std::collections::BTreeSet;

use jiff::{Timestamp, tz::TimeZone};

use super::{
    Coding, ConfirmedBy, Entry, FieldError, Incident, Record, Status, entry::whole_minutes,
    named_fields::field_name, text, timestamps,
};

/// Changes to an incident.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Amendment {
    told: Entry,
    cleared: BTreeSet<&'static str>,
}

impl From<Entry> for Amendment {
    /// What the entry names is changed; what it leaves out stays.
    fn from(told: Entry) -> Self {
        Self {
            told,
            cleared: BTreeSet::new(),
        }
    }
}

impl Amendment {
    /// Gives a field another text; an empty one empties it.
    ///
    /// # Errors
    /// As [`Entry::set`].
    pub fn set(&mut self, field: &str, text: &str) -> Result<(), FieldError> {
        let name = field_name(field)?;
        self.told.set(name, text)?;
        if text.trim().is_empty() {
            self.cleared.insert(name);
        } else {
            self.cleared.remove(name);
        }
        Ok(())
    }

    /// Whether it changes nothing.
    pub fn is_empty(&self) -> bool {
        self.cleared.is_empty() && self.told == Entry::default()
    }

    /// The fields it gives.
    pub fn told(&self) -> &Entry {
        &self.told
    }

    /// Whether what decides the outcome is touched, apart from the status itself.
    fn touches_the_outcome(&self) -> bool {
        let told = &self.told;
        told.cause.is_some()
            || told.cause_note.is_some()
            || told.confirmed_by.is_some()
            || ["cause", "cause_note", "confirmed_by", "status"]
                .iter()
                .any(|field| self.cleared.contains(field))
    }
}

impl Incident {
    /// The next revision of this incident, with some fields changed at `at`.
    ///
    /// If the cause or its confirmation changes and no status is given, the status follows from
    /// them as it does in a new entry.
    ///
    /// # Errors
    /// When the outcome is no valid incident.
    pub fn changed(
        &self,
        at: Timestamp,
        zone: &TimeZone,
        amendment: Amendment,
    ) -> Result<Self, FieldError> {
        let mut record = self.clone().into_record();
        for field in &amendment.cleared {
            clear(&mut record, field);
        }
        let follows = amendment.touches_the_outcome() && amendment.told.status.is_none();
        let told_status = amendment.told.status;
        let told_confirmed_by = amendment.told.confirmed_by;
        write(&mut record, zone, amendment.told)?;
        if follows {
            let before = self.status;
            follow(&mut record, before);
        } else if told_confirmed_by.is_none() {
            fit_confirmation(&mut record, told_status);
        }
        self.amended(at, record)
    }

    /// The next revision of this incident, open again: nothing counts as its cause any more, and
    /// the notes say what did. One that was marked wrong counts again instead, as it stood.
    ///
    /// # Errors
    /// When the notes get too long.
    pub fn reopened(&self, at: Timestamp, reason: &str) -> Result<Self, FieldError> {
        let mut record = self.clone().into_record();
        let reason = text::one_line(reason);
        let mut note = String::from("Reopened");
        if !reason.is_empty() {
            note += &format!(": {reason}");
        }
        if let Some(wrong) = record.wrong.take() {
            note += &format!(" (was marked wrong: {wrong})");
        } else {
            let causes = [record.cause.take(), Some(record.cause_note.clone())];
            let causes: Vec<String> = causes
                .into_iter()
                .flatten()
                .filter(|cause| !cause.is_empty())
                .collect();
            if !causes.is_empty() {
                let how = record.confirmed_by.map_or("", ConfirmedBy::word);
                note += &format!(" (was taken for: {}; {how})", causes.join(", "));
            }
            record.cause_note = String::new();
            record.confirmed_by = None;
            record.status = Status::Unresolved;
        }
        if !record.notes.is_empty() {
            record.notes.push('\n');
        }
        record.notes.push_str(&note);
        self.amended(at, record)
    }
}

fn clear(record: &mut Record, field: &str) {
    match field {
        "drive" => record.drive = None,
        "class" => record.class = None,
        "words" => record.words.clear(),
        "display" => record.display.clear(),
        "moment" => record.moment.clear(),
        "readings" => record.readings.clear(),
        "walk" => record.walk.steps.clear(),
        "cause" => record.cause = None,
        "cause_note" => record.cause_note.clear(),
        "confirmed_by" => record.confirmed_by = None,
        "done" => record.done.clear(),
        "parts" => record.parts.clear(),
        "proof" => record.proof.clear(),
        "downtime_minutes" => record.downtime_minutes = None,
        "labour_minutes" => record.labour_minutes = None,
        "who" => record.who.clear(),
        "notes" => record.notes.clear(),
        "attachments" => record.attachments.clear(),
        "coding_mode" => record.coding.mode = None,
        "coding_mechanism" => record.coding.mechanism = None,
        "coding_cause" => record.coding.cause = None,
        "coding_activity" => record.coding.activity = None,
        // When it happened and how it ended always stand somewhere.
        _ => {}
    }
}

fn write(record: &mut Record, zone: &TimeZone, told: Entry) -> Result<(), FieldError> {
    if let Some(typed) = &told.occurred_at {
        record.occurred_at = timestamps::parse("occurred_at", typed, zone)?;
    }
    for (field, given) in [
        (&mut record.drive, told.drive),
        (&mut record.class, told.class),
        (&mut record.cause, told.cause),
    ] {
        *field = given.or(field.take());
    }
    for (field, given) in [
        (&mut record.words, told.words),
        (&mut record.display, told.display.map(|text| text.0)),
        (&mut record.moment, told.moment),
        (&mut record.cause_note, told.cause_note),
        (&mut record.done, told.done),
        (&mut record.parts, told.parts),
        (&mut record.proof, told.proof),
        (&mut record.who, told.who),
        (&mut record.notes, told.notes),
    ] {
        if let Some(given) = given {
            *field = given;
        }
    }
    if !told.readings.is_empty() {
        record.readings = told.readings.into_iter().map(Into::into).collect();
    }
    if !told.walk.is_empty() {
        record.walk = told.walk;
    }
    if !told.attachments.is_empty() {
        record.attachments = told.attachments;
    }
    record.status = told.status.unwrap_or(record.status);
    record.confirmed_by = told.confirmed_by.or(record.confirmed_by);
    let downtime = whole_minutes("downtime_minutes", told.downtime_minutes)?;
    let labour = whole_minutes("labour_minutes", told.labour_minutes)?;
    record.downtime_minutes = downtime.or(record.downtime_minutes);
    record.labour_minutes = labour.or(record.labour_minutes);
    let Coding {
        mode,
        mechanism,
        cause,
        activity,
    } = told.coding;
    for (field, given) in [
        (&mut record.coding.mode, mode),
        (&mut record.coding.mechanism, mechanism),
        (&mut record.coding.cause, cause),
        (&mut record.coding.activity, activity),
    ] {
        *field = given.or(field.take());
    }
    Ok(())
}

/// The status that a cause and its confirmation stand for.
fn follow(record: &mut Record, before: Status) {
    use ConfirmedBy::{Exchanged, NotFound, Presumed};
    let names_a_cause = record.cause.is_some() || !record.cause_note.trim().is_empty();
    if !names_a_cause {
        record.status = Status::Unresolved;
        record.confirmed_by = record.confirmed_by.filter(|&by| by == NotFound);
        return;
    }
    (record.status, record.confirmed_by) = match record.confirmed_by {
        None | Some(NotFound | Presumed) => (Status::Likely, Some(Presumed)),
        Some(Exchanged) if before == Status::Likely => (Status::Likely, Some(Exchanged)),
        by => (Status::Confirmed, by),
    };
}

/// A confirmation that a newly given status leaves no room for is taken back.
fn fit_confirmation(record: &mut Record, told: Option<Status>) {
    use ConfirmedBy::{Exchanged, NotFound, Presumed};
    record.confirmed_by = match told {
        Some(Status::Unresolved) => record.confirmed_by.filter(|&by| by == NotFound),
        Some(Status::Likely) => match record.confirmed_by {
            Some(Exchanged) => Some(Exchanged),
            _ => Some(Presumed),
        },
        _ => record.confirmed_by,
    };
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plant::Birth;

    fn now() -> Timestamp {
        "2026-11-25T08:00:00Z".parse().unwrap()
    }

    fn incident(yaml: &str) -> Incident {
        let entry: Entry = serde_saphyr::from_str(yaml).unwrap();
        Incident::from_entry(&Birth::at(now(), TimeZone::UTC), entry).unwrap()
    }

    fn changed(before: &Incident, pairs: &[(&str, &str)]) -> Result<Incident, FieldError> {
        let mut amendment = Amendment::default();
        for (field, text) in pairs {
            amendment.set(field, text)?;
        }
        before.changed(now(), &TimeZone::UTC, amendment)
    }

    #[test]
    fn what_is_not_named_stays_and_what_is_emptied_goes() {
        let before = incident("{words: a, done: b, parts: c, downtime_minutes: 4}");
        let after = changed(&before, &[("done", "d"), ("parts", "")]).unwrap();
        assert_eq!(
            (after.words.as_str(), after.done.as_str(), &*after.parts),
            ("a", "d", "")
        );
        assert_eq!((after.downtime_minutes, after.revision), (Some(4), 2));
    }

    #[test]
    fn every_field_can_be_changed_and_emptied() {
        use crate::plant::FIELDS;
        let before = incident("{words: a, class: ground-fault, cause: b, confirmed_by: measured}");
        for field in FIELDS {
            let text = match field {
                "occurred_at" => "2026-01-02 03:04",
                "readings" => "bus = 566 V",
                "walk" => "trip-moment=slowing",
                "status" => "likely",
                "confirmed_by" => "exchanged",
                "downtime_minutes" | "labour_minutes" => "45",
                "coding_mode" => "UST",
                "coding_mechanism" => "4.5",
                "coding_cause" => "3.2",
                "coding_activity" => "4",
                _ => "some",
            };
            let after = changed(&before, &[(field, text)]).unwrap();
            let same = Incident::amended(&before, now(), before.clone().into_record()).unwrap();
            assert_ne!(after, same, "{field}");
            if ![
                "words",
                "class",
                "cause",
                "occurred_at",
                "status",
                "confirmed_by",
            ]
            .contains(&field)
            {
                let emptied = changed(&after, &[(field, "")]).unwrap().into_record();
                let mut wanted = before.clone().into_record();
                wanted.revision = 3;
                assert_eq!(emptied, wanted, "{field}");
            }
        }
    }

    #[test]
    fn the_status_follows_the_cause() {
        use ConfirmedBy::*;
        let open = incident("words: a");
        let likely = changed(&open, &[("cause", "b")]).unwrap();
        assert_eq!(
            (likely.status, likely.confirmed_by),
            (Status::Likely, Some(Presumed))
        );
        let sure = changed(&likely, &[("confirmed_by", "measured")]).unwrap();
        assert_eq!(
            (sure.status, sure.confirmed_by),
            (Status::Confirmed, Some(Measured))
        );
        let other = changed(&sure, &[("cause", "c")]).unwrap();
        assert_eq!(
            (other.status, other.confirmed_by),
            (Status::Confirmed, Some(Measured))
        );
        let gone = changed(&other, &[("cause", "")]).unwrap();
        assert_eq!((gone.status, gone.confirmed_by), (Status::Unresolved, None));
        let doubt = changed(&sure, &[("status", "likely")]).unwrap();
        assert_eq!(
            (doubt.status, doubt.confirmed_by),
            (Status::Likely, Some(Presumed))
        );
        let error = changed(&sure, &[("status", "unresolved")])
            .unwrap_err()
            .to_string();
        assert!(error.contains("names a cause"), "{error}");
    }

    #[test]
    fn a_reopened_incident_counts_no_more_and_says_what_it_was_taken_for() {
        let sure = incident("{words: a, cause: b, confirmed_by: measured, notes: first}");
        let open = sure.reopened(now(), "came back").unwrap();
        assert_eq!((open.status, open.weight()), (Status::Unresolved, 0.0));
        assert_eq!(
            open.notes,
            "first\nReopened: came back (was taken for: b; measured)"
        );
        let wrong = sure.marked_wrong(now(), "other motor").unwrap();
        let again = wrong.reopened(now(), "").unwrap();
        assert_eq!((again.wrong.as_deref(), again.weight()), (None, 1.0));
        assert_eq!(again.revision, 3);
    }
}
