//! Points in time as text: RFC 3339 in files, and the local form people write.

use jiff::{Timestamp, civil::DateTime, tz::TimeZone};
use serde::{Deserialize, Deserializer, Serializer, de::Error};

use super::field::{FieldError, form};

/// The point in time behind `2026-03-14T02:10:00Z` (RFC 3339) or `2026-03-14 02:10`, which is local.
///
/// A local time that the clocks skipped counts as the hour after; of one that came twice the first
/// is taken (RFC 5545, section 3.3.5).
pub(super) fn parse(field: &str, typed: &str, zone: &TimeZone) -> Result<Timestamp, FieldError> {
    let typed = typed.trim();
    if let Ok(timestamp) = typed.parse::<Timestamp>() {
        return Ok(timestamp);
    }
    let wanted = "a time: write 2026-03-14 02:10 (local) or 2026-03-14T02:10:00Z";
    if !typed.contains(':') {
        return Err(form(field, typed, wanted));
    }
    let local = typed
        .parse::<DateTime>()
        .ok()
        .and_then(|local| zone.to_timestamp(local).ok());
    local.ok_or_else(|| form(field, typed, wanted))
}

/// The timestamp cut to whole milliseconds, which is what a log keeps.
pub(super) fn to_milliseconds(timestamp: Timestamp) -> Timestamp {
    Timestamp::from_millisecond(timestamp.as_millisecond()).unwrap_or(timestamp)
}

pub(super) fn serialize<S: Serializer>(
    timestamp: &Timestamp,
    serializer: S,
) -> Result<S::Ok, S::Error> {
    serializer.collect_str(timestamp)
}

pub(super) fn deserialize<'de, D: Deserializer<'de>>(
    deserializer: D,
) -> Result<Timestamp, D::Error> {
    let text = String::deserialize(deserializer)?;
    text.parse().map(to_milliseconds).map_err(D::Error::custom)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(typed: &str, expected: &str) {
        // CET/CEST as a POSIX rule (IEEE 1003.1, TZ), so that no time zone database is needed.
        let zone = TimeZone::posix("CET-1CEST,M3.5.0,M10.5.0/3").unwrap();
        assert_eq!(
            parse("occurred_at", typed, &zone).unwrap().to_string(),
            expected,
            "{typed}"
        );
    }

    #[test]
    fn rfc_3339_and_local_times() {
        // RFC 3339, section 5.8: the first and the second example are what they are, in UTC.
        check("1985-04-12T23:20:50.52Z", "1985-04-12T23:20:50.52Z");
        check("1996-12-19T16:39:57-08:00", "1996-12-20T00:39:57Z");
        check("2026-03-14 02:10", "2026-03-14T01:10:00Z");
        check("2026-07-14 02:10:30", "2026-07-14T00:10:30Z");
    }

    #[test]
    fn hours_skipped_and_doubled_by_the_clock_change() {
        // The European change, 29 March and 25 October 2026 at 01:00 UTC (Directive 2000/84/EC).
        check("2026-03-29 02:30", "2026-03-29T01:30:00Z");
        check("2026-10-25 02:30", "2026-10-25T00:30:00Z");
    }

    #[test]
    fn anything_else_is_refused_with_the_two_forms() {
        for typed in [
            "",
            "yesterday",
            "2026-03-14",
            "14.03.2026 02:10",
            "2026-13-01 02:10",
            "2026-03-14 25:10",
        ] {
            let error = parse("occurred_at", typed, &TimeZone::UTC)
                .unwrap_err()
                .to_string();
            assert!(error.contains("2026-03-14 02:10 (local)"), "{error}");
        }
    }
}
