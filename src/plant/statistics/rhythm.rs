//! When it happens: by the hour of the day and by the day of the week, and whether that is more than
//! chance.

use jiff::civil::{Date, Time};
use jiff::tz::TimeZone;
use jiff::{Timestamp, ToSpan, Unit};

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
    /// What it is: `06–08`, `Mon`.
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
    /// The neighbouring slots, at most half of them, that stand out most above what is expected.
    pub peak: Slot,
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
const DAY: i64 = 24 * 60 * 60 * 1000;

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
            name: format!("{from:02}–{to:02}"),
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
    let day_of = |date: Date| usize::from(date.weekday().to_monday_zero_offset().unsigned_abs());
    let days = days_in_slots::<7>(since, until, zone, day_of);
    let counts: [f64; 7] = counted_by_date(occasions, zone, day_of);
    let names = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];
    let slots = spread(&names, &counts, &days);
    let enough = days.iter().sum::<f64>() >= LEAST_DAYS;
    Rhythm {
        test: enough.then(|| tested(&slots)).flatten(),
        slots,
    }
}

/// Occasions by the month of the year, against how many days of each there were. Tested by month, or
/// by season if there are few; not at all below a year.
pub fn by_month(occasions: &[Event], since: i64, until: i64, zone: &TimeZone) -> Rhythm {
    let month_of = |date: Date| usize::from(date.month().unsigned_abs()) - 1;
    let days = days_in_slots::<12>(since, until, zone, month_of);
    let counts: [f64; 12] = counted_by_date(occasions, zone, month_of);
    let names = [
        "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
    ];
    let slots = spread(&names, &counts, &days);
    let seasons = ["Dec–Feb", "Mar–May", "Jun–Aug", "Sep–Nov"];
    let in_season = |months: &[f64; 12], season: usize| -> f64 {
        (0..3)
            .map(|step| months[(season * 3 + 11 + step) % 12])
            .sum()
    };
    let coarse = |months: &[f64; 12]| [0, 1, 2, 3].map(|season| in_season(months, season));
    let by_season = spread(&seasons, &coarse(&counts), &coarse(&days));
    let enough = days.iter().sum::<f64>() >= 365.0;
    Rhythm {
        test: enough
            .then(|| tested(&slots).or_else(|| tested(&by_season)))
            .flatten(),
        slots,
    }
}

/// Slots with their counts, and what an even spread over the days would give.
fn spread(names: &[&str], counts: &[f64], days: &[f64]) -> Vec<Slot> {
    let all: f64 = counts.iter().sum();
    let all_days: f64 = days.iter().sum();
    let slots = names.iter().zip(counts).zip(days);
    slots
        .map(|((name, count), days)| Slot {
            name: (*name).to_owned(),
            count: *count as u64,
            expected: if all_days > 0.0 {
                all * days / all_days
            } else {
                0.0
            },
        })
        .collect()
}

/// How many events fall into each slot of their local date.
fn counted_by_date<const N: usize>(
    events: &[Event],
    zone: &TimeZone,
    slot_of: impl Fn(Date) -> usize,
) -> [f64; N] {
    let mut counts = [0.0; N];
    let mut clock = clock(zone);
    // Neighbours in a sorted list mostly share their day.
    let mut last = (i64::MIN, None);
    for event in events {
        let day = clock.local(event.at).div_euclid(DAY);
        if day != last.0 {
            let date = Date::new(1970, 1, 1)
                .ok()
                .and_then(|first| first.checked_add(day.days()).ok());
            last = (day, date.map(&slot_of));
        }
        if let Some(count) = last.1.and_then(|slot| counts.get_mut(slot)) {
            *count += 1.0;
        }
    }
    counts
}

/// How many days of each slot lie between two times; days that are cut count in part.
fn days_in_slots<const N: usize>(
    since: i64,
    until: i64,
    zone: &TimeZone,
    slot_of: impl Fn(Date) -> usize,
) -> [f64; N] {
    let mut days = [0.0; N];
    let local = |at: i64| Some(zone.to_datetime(Timestamp::from_millisecond(at).ok()?));
    let (Some(start), Some(end)) = (local(since), local(until.max(since))) else {
        return days;
    };
    let part = |time: Time| (time - Time::midnight()).total(Unit::Hour).unwrap_or(0.0) / 24.0;
    let mut date = start.date();
    while date <= end.date() {
        let from = if date == start.date() {
            part(start.time())
        } else {
            0.0
        };
        let to = if date == end.date() {
            part(end.time())
        } else {
            1.0
        };
        if let Some(day) = days.get_mut(slot_of(date)) {
            *day += (to - from).max(0.0);
        }
        let Ok(next) = date.tomorrow() else { break };
        date = next;
    }
    days
}

/// The χ² test against what is expected; none if some slot expects too few.
///
/// Source: NIST e-Handbook, 1.3.5.15, chi-square goodness-of-fit test.
fn tested(slots: &[Slot]) -> Option<SpreadTest> {
    if slots.len() < 2 || slots.iter().any(|slot| slot.expected < LEAST_EXPECTED) {
        return None;
    }
    let distance = |slot: &Slot| (slot.count as f64 - slot.expected).powi(2) / slot.expected;
    let statistic: f64 = slots.iter().map(distance).sum();
    let degrees_of_freedom = (slots.len() - 1) as u32;
    Some(SpreadTest {
        slots: slots.to_vec(),
        statistic,
        degrees_of_freedom,
        chance: chi_squared_above(statistic, f64::from(degrees_of_freedom)),
        peak: peak(slots)?,
    })
}

/// The run of neighbours, round the end too, whose count is most standard deviations above what is
/// expected.
fn peak(slots: &[Slot]) -> Option<Slot> {
    let runs = (0..slots.len())
        .flat_map(|first| (1..=(slots.len() / 2).max(1)).map(move |length| (first, length)));
    let together = |(first, length): (usize, usize)| -> Option<Slot> {
        let run: Vec<&Slot> = slots.iter().cycle().skip(first).take(length).collect();
        let (start, end) = (run.first()?, run.last()?);
        let from = start.name.split('–').next()?;
        let to = end.name.split('–').next_back()?;
        Some(Slot {
            name: if from == to {
                start.name.clone()
            } else {
                format!("{from}–{to}")
            },
            count: run.iter().map(|slot| slot.count).sum(),
            expected: run.iter().map(|slot| slot.expected).sum(),
        })
    };
    let above = |slot: &Slot| (slot.count as f64 - slot.expected) / slot.expected.sqrt();
    runs.filter_map(together)
        .max_by(|one, other| above(one).total_cmp(&above(other)))
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
        assert_eq!(slots[11].name, "22–00");
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
            .zip(["1", "2", "3", "4", "5", "6"])
            .map(|(&count, name)| Slot {
                name: name.to_owned(),
                count,
                expected: 10.0,
            })
            .collect();
        let test = tested(&slots).unwrap();
        assert!((test.statistic - 13.4).abs() < 1e-12);
        assert!((test.chance - 0.0199).abs() < 5e-5, "{}", test.chance);
        assert_eq!((test.degrees_of_freedom, test.peak.count), (5, 20));
    }

    #[test]
    fn few_events_are_not_tested_or_only_by_shift() {
        let some: Vec<Event> = (0..20)
            .map(|day| at(&format!("2026-01-{:02}T23:10:00Z", day + 1)))
            .collect();
        let by_shift = by_hour(&some, 300.0, &TimeZone::UTC).test.unwrap();
        assert_eq!(by_shift.peak.name, "22–06");
        assert!(by_shift.chance < 1e-6);
        assert_eq!(by_hour(&some[..14], 300.0, &TimeZone::UTC).test, None);
        assert_eq!(by_hour(&some, 5.0, &TimeZone::UTC).test, None);
    }

    #[test]
    fn weekdays_are_weighed_by_how_many_there_were() {
        let since = at("2026-08-29T12:00:00Z").at;
        let until = at("2026-09-07T12:00:00Z").at;
        // Saturday noon to Monday noon, nine days later.
        let day_of =
            |date: Date| usize::from(date.weekday().to_monday_zero_offset().unsigned_abs());
        let days: [f64; 7] = days_in_slots(since, until, &TimeZone::UTC, day_of);
        assert_eq!(days, [1.5, 1.0, 1.0, 1.0, 1.0, 1.5, 2.0]);
    }

    #[test]
    fn a_season_shows_where_months_are_too_thin() {
        let since = at("2024-01-01T00:00:00Z").at;
        let until = at("2026-01-01T00:00:00Z").at;
        let summers: Vec<Event> = (0..24)
            .map(|index| {
                let (year, month, day) = (2024 + index / 12, 6 + index % 3, 1 + index);
                at(&format!("{year}-{month:02}-{day:02}T12:00:00Z"))
            })
            .collect();
        let test = by_month(&summers, since, until, &TimeZone::UTC)
            .test
            .unwrap();
        assert_eq!((test.peak.name.as_str(), test.peak.count), ("Jun–Aug", 24));
        // 2024 and 2025 have 731 days, 184 of them in June to August.
        assert!((test.peak.expected - 24.0 * 184.0 / 731.0).abs() < 1e-9);
        assert!(test.chance < 1e-6);
    }

    #[test]
    fn neighbours_make_one_peak_round_midnight() {
        let night = ["22", "23", "00", "01", "02", "03"];
        let events: Vec<Event> = (0..120)
            .map(|index| {
                let hour = if index % 2 == 0 {
                    night[index / 2 % 6].to_owned()
                } else {
                    format!("{:02}", index / 2 % 24)
                };
                at(&format!("2026-01-{:02}T{hour}:10:00Z", 1 + index / 5))
            })
            .collect();
        let test = by_hour(&events, 300.0, &TimeZone::UTC).test.unwrap();
        assert_eq!(test.peak.name, "22–04");
    }
}
