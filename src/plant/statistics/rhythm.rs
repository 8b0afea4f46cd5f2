//! When it happens: by the hour of the day and by the day of the week, and whether that is more than
//! chance.

use jiff::civil::Weekday;
use jiff::tz::TimeZone;
use jiff::{Timestamp, ToSpan};

use super::distribution::chi_squared_above;
use super::events::Event;

/// How wide a slot of the day is.
const SLOT_HOURS: u8 = 2;
/// Shifts as they usually change: 6, 14 and 22 o'clock (common practice, no source).
const SHIFTS: [(u8, u8); 3] = [(6, 14), (14, 22), (22, 6)];
/// The χ² test wants so many expected in each slot (Cochran 1954, Biometrics 10, 417; from memory).
const LEAST_EXPECTED: f64 = 5.0;
/// Days that have to be observed before their pattern is tested (common practice, no source).
const LEAST_DAYS: f64 = 14.0;

/// A slot of the day, or a weekday.
#[derive(Clone, Debug, PartialEq)]
pub struct Slot {
    /// What it is: `06-08`, `Mon`.
    pub name: String,
    /// Occasions in it.
    pub count: u64,
    /// How many are to be expected if it made no difference.
    pub expected: f64,
}

/// A test of slots against an even spread.
#[derive(Clone, Debug, PartialEq)]
pub struct SpreadTest {
    /// What was tested, which may be coarser than what is shown.
    pub slots: Vec<Slot>,
    /// χ² = Σ (count − expected)² / expected.
    pub statistic: f64,
    /// Slots less one.
    pub degrees_of_freedom: u32,
    /// Probability of a spread at least so uneven by chance.
    pub chance: f64,
    /// The slot that stands out most above what is expected.
    pub peak: usize,
}

/// Occasions by slot, with a test if there are enough of them.
#[derive(Clone, Debug, PartialEq)]
pub struct Rhythm {
    /// The slots in order.
    pub slots: Vec<Slot>,
    /// The test; none if there is too little to tell.
    pub test: Option<SpreadTest>,
}

/// Local clock times of events. Offsets from UTC change at whole quarters of an hour, so that the one
/// of the last quarter looked up holds for its neighbours in a sorted list.
struct Clock<'z> {
    zone: &'z TimeZone,
    quarter: i64,
    offset_seconds: i64,
}

const QUARTER: i64 = 15 * 60 * 1000;

impl Clock<'_> {
    /// Milliseconds since 1970 on the local clock.
    fn local(&mut self, at: i64) -> i64 {
        let quarter = at.div_euclid(QUARTER);
        if quarter != self.quarter {
            let offset = Timestamp::from_millisecond(at)
                .map_or(0, |time| self.zone.to_offset(time).seconds().into());
            (self.quarter, self.offset_seconds) = (quarter, offset);
        }
        at.saturating_add(self.offset_seconds * 1000)
    }
}

fn clock(zone: &TimeZone) -> Clock<'_> {
    Clock {
        zone,
        quarter: i64::MIN,
        offset_seconds: 0,
    }
}

/// Occasions by the hour of the day.
pub fn by_hour(occasions: &[Event], days: f64, zone: &TimeZone) -> Rhythm {
    let mut hours = [0_u64; 24];
    let mut clock = clock(zone);
    for event in occasions {
        let hour = clock.local(event.at).div_euclid(3_600_000).rem_euclid(24);
        if let Some(count) = usize::try_from(hour)
            .ok()
            .and_then(|hour| hours.get_mut(hour))
        {
            *count += 1;
        }
    }
    let all = occasions.len() as f64;
    let slot = |from: u8, to: u8| {
        let length = (to + 24 - from) % 24;
        let inside = (0..length).map(|step| usize::from((from + step) % 24));
        Slot {
            name: format!("{from:02}-{to:02}"),
            count: inside.filter_map(|hour| hours.get(hour)).sum(),
            expected: all * f64::from(length) / 24.0,
        }
    };
    let slots: Vec<Slot> = (0..24 / SLOT_HOURS)
        .map(|index| slot(index * SLOT_HOURS, (index + 1) * SLOT_HOURS % 24))
        .collect();
    let shifts = SHIFTS.map(|(from, to)| slot(from, to));
    let test = (days >= LEAST_DAYS)
        .then(|| tested(&slots).or_else(|| tested(&shifts)))
        .flatten();
    Rhythm { slots, test }
}

/// Occasions by the day of the week, against how many of each day there were.
pub fn by_weekday(occasions: &[Event], since: i64, until: i64, zone: &TimeZone) -> Rhythm {
    let mut counts = [0_u64; 7];
    let mut clock = clock(zone);
    for event in occasions {
        // 1 January 1970 was a Thursday, three days after a Monday.
        let day = (clock.local(event.at).div_euclid(86_400_000) + 3).rem_euclid(7);
        if let Some(count) = usize::try_from(day)
            .ok()
            .and_then(|day| counts.get_mut(day))
        {
            *count += 1;
        }
    }
    let days = days_of_each(since, until, zone);
    let all_days: f64 = days.iter().sum();
    let all = occasions.len() as f64;
    let names = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];
    let slots: Vec<Slot> = names
        .iter()
        .zip(counts)
        .zip(days)
        .map(|((name, count), days)| Slot {
            name: (*name).to_owned(),
            count,
            expected: if all_days > 0.0 {
                all * days / all_days
            } else {
                0.0
            },
        })
        .collect();
    let test = (all_days >= LEAST_DAYS).then(|| tested(&slots)).flatten();
    Rhythm { slots, test }
}

/// How many Mondays to Sundays lie between two times, the days that are cut counting in part.
fn days_of_each(since: i64, until: i64, zone: &TimeZone) -> [f64; 7] {
    let mut days = [0.0; 7];
    let (Ok(start), Ok(end)) = (
        Timestamp::from_millisecond(since),
        Timestamp::from_millisecond(until.max(since)),
    ) else {
        return days;
    };
    let hours = |from: Timestamp, to: Timestamp| (to - from).total(jiff::Unit::Hour).unwrap_or(0.0);
    let whole_weeks = (hours(start, end) / 168.0).floor();
    days.iter_mut().for_each(|day| *day += whole_weeks);
    // What is left is less than a week, walked through day by day.
    let weeks = (whole_weeks as i64) * 168;
    let Ok(mut at) = start.checked_add(weeks.hours()) else {
        return days;
    };
    for _ in 0..9 {
        let local = at.to_zoned(zone.clone());
        let next = local
            .start_of_day()
            .and_then(|day| day.tomorrow())
            .map_or(end, |day| day.timestamp())
            .min(end);
        if next <= at {
            break;
        }
        if let Some(day) = days.get_mut(monday_first(local.weekday())) {
            *day += hours(at, next) / 24.0;
        }
        at = next;
    }
    days
}

fn monday_first(day: Weekday) -> usize {
    day.to_monday_zero_offset().unsigned_abs().into()
}

/// The χ² test against what is expected; none if some slot expects too few.
///
/// Source: NIST e-Handbook, 1.3.5.15, chi-square goodness-of-fit test.
fn tested(slots: &[Slot]) -> Option<SpreadTest> {
    if slots.len() < 2 || slots.iter().any(|slot| slot.expected < LEAST_EXPECTED) {
        return None;
    }
    let distance = |slot: &Slot| {
        let difference = slot.count as f64 - slot.expected;
        difference * difference.abs() / slot.expected
    };
    let statistic: f64 = slots.iter().map(|slot| distance(slot).abs()).sum();
    let degrees_of_freedom = (slots.len() - 1) as u32;
    let peak = (0..slots.len()).max_by(|&one, &other| {
        let of = |index: usize| slots.get(index).map_or(0.0, distance);
        of(one).total_cmp(&of(other))
    })?;
    Some(SpreadTest {
        slots: slots.to_vec(),
        statistic,
        degrees_of_freedom,
        chance: chi_squared_above(statistic, f64::from(degrees_of_freedom)),
        peak,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(time: &str) -> Event {
        Event {
            at: time.parse::<Timestamp>().unwrap().as_millisecond(),
            drive: None,
            class: None,
            cause: None,
            confirmed: false,
            downtime_minutes: None,
            labour_minutes: None,
        }
    }

    fn zone() -> TimeZone {
        // CET/CEST as a POSIX rule (IEEE 1003.1, TZ).
        TimeZone::posix("CET-1CEST,M3.5.0,M10.5.0/3").unwrap()
    }

    #[test]
    fn the_local_clock_counts_in_summer_and_winter() {
        let events = [at("2026-01-10T21:30:00Z"), at("2026-07-10T20:30:00Z")];
        let slots = by_hour(&events, 300.0, &zone()).slots;
        assert_eq!(slots[11].name, "22-00");
        assert_eq!(slots[11].count, 2);
        // 30 August 2026 is a Sunday (ISO 8601 week date 2026-W35-7); in UTC it is still Saturday.
        let event = at("2026-08-29T22:30:00Z");
        let week = by_weekday(&[event], event.at, event.at + 1, &zone());
        assert_eq!(week.slots[6].count, 1);
    }

    #[test]
    fn the_test_of_a_die() {
        // A die thrown 60 times, a worked example of many textbooks: 5, 8, 9, 8, 10, 20 against 10
        // each: χ² = 13.4 with 5 degrees of freedom, p = 0.0199.
        let slots: Vec<Slot> = [5, 8, 9, 8, 10, 20]
            .iter()
            .map(|&count| Slot {
                name: String::new(),
                count,
                expected: 10.0,
            })
            .collect();
        let test = tested(&slots).unwrap();
        assert!((test.statistic - 13.4).abs() < 1e-12);
        assert!((test.chance - 0.0199).abs() < 5e-5, "{}", test.chance);
        assert_eq!((test.degrees_of_freedom, test.peak), (5, 5));
    }

    #[test]
    fn few_events_are_not_tested_or_only_by_shift() {
        let some: Vec<Event> = (0..20)
            .map(|day| at(&format!("2026-01-{:02}T23:10:00Z", day + 1)))
            .collect();
        let by_shift = by_hour(&some, 300.0, &TimeZone::UTC).test.unwrap();
        assert_eq!(by_shift.slots[by_shift.peak].name, "22-06");
        assert!(by_shift.chance < 1e-6);
        assert_eq!(by_hour(&some[..14], 300.0, &TimeZone::UTC).test, None);
        assert_eq!(by_hour(&some, 5.0, &TimeZone::UTC).test, None);
    }

    #[test]
    fn weekdays_are_weighed_by_how_many_there_were() {
        let since = at("2026-08-29T12:00:00Z").at;
        let until = at("2026-09-07T12:00:00Z").at;
        // Saturday noon to Monday noon, nine days later.
        let days = days_of_each(since, until, &TimeZone::UTC);
        assert_eq!(days, [1.5, 1.0, 1.0, 1.0, 1.0, 1.5, 2.0]);
    }
}
