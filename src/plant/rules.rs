//! What has to hold for the fields of an incident.

use super::{
    ConfirmedBy, FieldError, Record, Status,
    field::{check_count, check_id, check_length},
};

/// The forms that every record has, whenever it was written.
pub(super) fn check_forms(record: &Record) -> Result<(), FieldError> {
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

/// Nothing is longer, or more, than fits.
pub(super) fn check_limits(record: &Record) -> Result<(), FieldError> {
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
pub(super) fn check_outcome(record: &Record) -> Result<(), FieldError> {
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
