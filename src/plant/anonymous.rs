//! An incident for other eyes: what people, places and free text say is left out.

use super::{Incident, Record, Step, field::check_id};
use crate::quantity::{self, Kind};

/// The incident without initials, drive, free text, attachments and display text. What stays are
/// ids of the knowledge, times, minutes, codes, findings, and readings that are a quantity under an
/// id's name.
pub fn anonymous(incident: &Incident) -> Incident {
    let Record {
        id,
        revision,
        recorded_at,
        occurred_at,
        class,
        mut readings,
        mut walk,
        status,
        cause,
        confirmed_by,
        downtime_minutes,
        labour_minutes,
        coding,
        wrong,
        knowledge_version,
        ..
    } = incident.clone().into_record();
    readings.retain(|reading| is_name(&reading.what) && is_quantity(&reading.value));
    walk.steps.retain(says_no_more_than_a_finding);
    Incident::without_texts(Record {
        id,
        revision,
        recorded_at,
        occurred_at,
        drive: None,
        class,
        words: String::new(),
        display: String::new(),
        moment: String::new(),
        readings,
        walk,
        status,
        cause,
        cause_note: String::new(),
        confirmed_by,
        done: String::new(),
        parts: String::new(),
        proof: String::new(),
        downtime_minutes,
        labour_minutes,
        who: String::new(),
        notes: String::new(),
        attachments: Vec::new(),
        coding,
        wrong: wrong.map(|_| "marked wrong".to_owned()),
        knowledge_version,
    })
}

fn says_no_more_than_a_finding(step: &Step) -> bool {
    check_id("answer", &step.answer).is_ok() || is_quantity(&step.answer)
}

/// A name of the knowledge or of a check: lower-case words joined by hyphens or underscores.
fn is_name(text: &str) -> bool {
    check_id("reading", &text.replace('_', "-")).is_ok()
}

fn is_quantity(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_digit() || "-+<>".contains(c))
        && Kind::ALL
            .iter()
            .any(|&kind| quantity::parse(kind, text, None).is_ok())
}

#[cfg(test)]
mod tests {
    use jiff::{Timestamp, tz::TimeZone};

    use super::*;
    use crate::plant::{Birth, Entry};

    #[test]
    fn nothing_that_names_people_or_places_is_left() {
        let yaml = r#"
occurred_at: 2026-01-02T03:04:05Z
drive: SECRET-1
class: ground-fault
words: SECRET words
display: SECRET
moment: SECRET moment
readings:
  - { what: insulation_resistance, value: 0.38 MΩ }
  - { what: SECRET cable, value: 2 V }
  - { what: bus-at-rest, value: SECRET }
walk: wet-or-washed-down=wet;bus-at-rest=566 V;trip-moment=at SECRET
cause: terminal-box-wet
cause_note: SECRET
confirmed_by: measured
done: SECRET
parts: SECRET
proof: SECRET
downtime_minutes: 110
who: SECRET
notes: SECRET
attachments: [SECRET.jpg]
coding: { mode: UST, mechanism: "4.5" }
"#;
        let entry: Entry = serde_saphyr::from_str(yaml).unwrap();
        let birth = Birth::at(
            Timestamp::UNIX_EPOCH + jiff::SignedDuration::from_hours(24 * 365 * 60),
            TimeZone::UTC,
        );
        let before = Incident::from_entry(&birth, entry).unwrap();
        let before = before
            .marked_wrong(Timestamp::UNIX_EPOCH, "SECRET")
            .unwrap_or(before);
        let after = anonymous(&before);
        let json = serde_json::to_string(&after).unwrap();
        assert!(!json.contains("SECRET"), "{json}");
        assert_eq!(
            after.walk.to_string(),
            "wet-or-washed-down=wet;bus-at-rest=566 V"
        );
        assert_eq!(after.readings.len(), 1);
        assert_eq!(
            (after.class.as_deref(), after.downtime_minutes),
            (Some("ground-fault"), Some(110))
        );
        assert_eq!(
            (after.id, after.occurred_at),
            (before.id, before.occurred_at)
        );
    }
}
