//! Whether two incidents are the same fault on the same drive, and which came before.

use jiff::{SignedDuration, Timestamp};

use super::{Filter, Incident, Logged, Record, Store, StoreError};

/// The same fault on the same drive within so many days before is told (judgement; common practice, no
/// source).
pub const SAME_FAULT_DAYS: u32 = 30;

/// Most earlier incidents of a drive that are compared.
const COMPARED: usize = 500;

/// Whether both are of the same drive and the same class; where one has no class, whether the drive
/// showed the same text. Without a drive nothing is the same.
pub fn is_same_fault(one: &Record, other: &Record) -> bool {
    let same_drive = match (&one.drive, &other.drive) {
        (Some(one), Some(other)) => one.eq_ignore_ascii_case(other),
        _ => false,
    };
    same_drive
        && match (&one.class, &other.class) {
            (Some(one), Some(other)) => one == other,
            _ => !one.display.is_empty() && one.display.eq_ignore_ascii_case(&other.display),
        }
}

/// Earlier incidents of the same fault within so many days before this one, newest first. Those
/// marked wrong are left out.
///
/// # Errors
/// When the log can't be read.
pub fn same_fault_before(
    store: &dyn Store,
    incident: &Incident,
    days: u32,
) -> Result<Vec<Logged>, StoreError> {
    let Some(drive) = &incident.drive else {
        return Ok(Vec::new());
    };
    let window = SignedDuration::from_hours(i64::from(days) * 24);
    let since = incident.occurred_at.checked_sub(window);
    let earlier = store.incidents(&Filter {
        drive: Some(drive.clone()),
        since: Some(since.unwrap_or(Timestamp::MIN)),
        until: Some(incident.occurred_at),
        limit: COMPARED,
        ..Filter::default()
    })?;
    Ok(earlier
        .into_iter()
        .filter(|one| one.incident.id != incident.id && is_same_fault(&one.incident, incident))
        .collect())
}

#[cfg(test)]
mod tests {
    use jiff::tz::TimeZone;

    use super::*;
    use crate::plant::{Birth, Entry};

    #[test]
    fn the_same_drive_and_class_or_display() {
        let incident = |yaml: &str| {
            let entry: Entry = serde_saphyr::from_str(yaml).unwrap();
            Incident::from_entry(&Birth::at(Timestamp::UNIX_EPOCH, TimeZone::UTC), entry).unwrap()
        };
        let one = incident("{drive: Rinser, class: ground-fault, display: EF, words: a}");
        for (yaml, same) in [
            ("{drive: rinser, class: ground-fault}", true),
            ("{drive: rinser, class: motor-overload, display: EF}", false),
            ("{drive: rinser, display: ef, words: a}", true),
            ("{drive: rinser, words: a}", false),
            ("{drive: filler, class: ground-fault}", false),
            ("{class: ground-fault}", false),
        ] {
            assert_eq!(is_same_fault(&one, &incident(yaml)), same, "{yaml}");
        }
    }
}
