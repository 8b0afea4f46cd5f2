//! What the log teaches: counts, times, patterns and changes, each with how sure it is.
//!
//! A store hands over [`Events`], a few bytes an incident; everything else is arithmetic on them, the
//! same for eight incidents and for a million. Times are calendar time: the log does not know when a
//! machine was meant to run.

mod distribution;
mod events;
mod growth;
mod interval;
mod judgement;
mod pareto;
mod recurrence;
mod rhythm;
mod together;

use jiff::Timestamp;
use jiff::tz::TimeZone;
use uom::si::f64::Time;
use uom::si::time::{day, second};

use crate::knowledge::Library;

pub use distribution::{
    beta_quantile, binomial_at_least, chi_squared_above, chi_squared_quantile, poisson_at_least,
};
pub use events::{Event, EventFilter, Events, NamedEvent, Names};
pub use growth::{Change, Growth, Stretches};
pub use interval::{
    CONFIDENCE, Comparison, FEW, Interval, MeanTime, compare, mean_time_between, poisson_limits,
    share_limits,
};
pub use judgement::MoreOften;
pub use pareto::{NO_NAME, Pareto, Sums};
pub use recurrence::{Recurrence, Returned};
pub use rhythm::{Rhythm, Slot, SpreadTest};
pub use together::{Together, TogetherAll};

/// Within how many days a cause counts as come back (common practice, no source).
pub const RECURS_WITHIN_DAYS: u32 = 90;
/// How close together drives trip to be called together, in seconds: clocks of drives and of whoever
/// writes the log agree to a minute or two (common practice, no source).
pub const TOGETHER_WITHIN_SECONDS: u32 = 120;

/// The time that is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Window {
    /// From here.
    pub since: Timestamp,
    /// To just before here.
    pub until: Timestamp,
    /// Whether the start was asked for; else it is the day of the first record.
    pub asked: bool,
}

/// Mean time between the incidents of a drive.
#[derive(Clone, Debug, PartialEq)]
pub struct Between {
    /// The drive.
    pub drive: String,
    /// How long between its incidents.
    pub time: MeanTime,
}

/// All that the log teaches about a time.
#[derive(Clone, Debug)]
pub struct Statistics {
    /// The time looked at.
    pub window: Window,
    /// Incidents in it.
    pub incidents: u64,
    /// Occasions: drives that went together count once.
    pub occasions: u64,
    /// Sums by fault class.
    pub classes: Pareto,
    /// Sums by cause.
    pub causes: Pareto,
    /// Sums by drive.
    pub drives: Pareto,
    /// Mean time between incidents of each drive, the shortest first.
    pub between: Vec<Between>,
    /// What came back.
    pub recurrence: Recurrence,
    /// By the hour of the day.
    pub hours: Rhythm,
    /// By the day of the week.
    pub weekdays: Rhythm,
    /// By the month of the year.
    pub months: Rhythm,
    /// Several drives at once.
    pub together: TogetherAll,
    /// Against the time before; none if no time passed.
    pub growth: Option<Growth>,
    /// Causes met more often than judged.
    pub more_often: Vec<MoreOften>,
    /// The names behind the numbers.
    pub names: Events,
}

impl Window {
    /// The window from `since`, or from the day of the first event, to `until`.
    pub fn of(
        events: &Events,
        since: Option<Timestamp>,
        until: Timestamp,
        zone: &TimeZone,
    ) -> Self {
        let first = events.all().first();
        let start_of_log = || {
            let first = Timestamp::from_millisecond(first?.at).ok()?;
            let midnight = first.to_zoned(zone.clone()).start_of_day().ok()?;
            Some(midnight.timestamp())
        };
        Self {
            since: since.or_else(start_of_log).unwrap_or(until).min(until),
            until,
            asked: since.is_some(),
        }
    }

    /// How long it is.
    pub fn length(&self) -> Time {
        Time::new::<second>(
            (self.until - self.since)
                .total(jiff::Unit::Second)
                .unwrap_or(0.0),
        )
    }

    /// The start of the equally long time before a window that starts at `since`.
    pub fn before(since: Timestamp, until: Timestamp) -> Timestamp {
        let length = until.duration_since(since);
        since.checked_sub(length).unwrap_or(Timestamp::MIN)
    }

    /// What is compared: the window with as long a time before it; or, if the log does not reach back
    /// so far, its later half with its earlier half.
    fn stretches(&self, first: i64) -> Option<Stretches> {
        let (since, until) = (self.since.as_millisecond(), self.until.as_millisecond());
        let half = (until - since) / 2;
        if half <= 0 {
            return None;
        }
        let start = Self::before(self.since, self.until).as_millisecond();
        // A log that began a little later than the time before did is taken as there all along.
        let reaches_back = self.asked && first <= start + half / 2;
        Some(Stretches {
            start: if reaches_back { start } else { since },
            middle: if reaches_back { since } else { since + half },
            end: until,
        })
    }
}

impl Statistics {
    /// Works everything out. `registered` are the drives of the register, so that one without an
    /// incident is told too; none where a class or a drive was picked.
    pub fn of(
        mut events: Events,
        window: Window,
        registered: &[String],
        library: &Library,
        zone: &TimeZone,
    ) -> Self {
        for drive in registered {
            events.drives.enter(drive);
        }
        let (since, until) = (window.since.as_millisecond(), window.until.as_millisecond());
        let seen = events.between(since, until);
        let length = window.length();
        let occasions = together::occasions(seen, TOGETHER_WITHIN_SECONDS);
        let first = events.all().first().map_or(i64::MAX, |event| event.at);
        let growth = window.stretches(first).map(|stretches| {
            let compared = events.between(stretches.start, stretches.end);
            let occasions = together::occasions(compared, TOGETHER_WITHIN_SECONDS);
            growth::growth(stretches, &occasions, compared, &events.drives)
        });
        Self {
            window,
            incidents: seen.len() as u64,
            occasions: occasions.len() as u64,
            classes: pareto::pareto(seen, &events.classes, |event| event.class),
            causes: pareto::pareto(seen, &events.causes, |event| event.cause),
            drives: pareto::pareto(seen, &events.drives, |event| event.drive),
            between: between(seen, &events.drives, length),
            recurrence: recurrence::recurrence(seen, until, RECURS_WITHIN_DAYS),
            hours: rhythm::by_hour(&occasions, length.get::<day>(), zone),
            weekdays: rhythm::by_weekday(&occasions, since, until, zone),
            months: rhythm::by_month(&occasions, since, until, zone),
            together: together::together(seen, length.get::<second>(), TOGETHER_WITHIN_SECONDS),
            growth,
            more_often: judgement::more_often(
                seen,
                |class| events.classes.of(class).to_owned(),
                |cause| events.causes.of(cause).to_owned(),
                library,
            ),
            names: events,
        }
    }

    /// The name of a drive by its number.
    pub fn drive(&self, number: u32) -> &str {
        self.names.drives.of(number)
    }
}

fn between(events: &[Event], drives: &Names, length: Time) -> Vec<Between> {
    let mut counts = vec![0_u64; drives.count()];
    for event in events {
        if let Some(count) = event.drive.and_then(|drive| counts.get_mut(drive as usize)) {
            *count += 1;
        }
    }
    let mut found: Vec<Between> = counts
        .into_iter()
        .enumerate()
        .map(|(drive, count)| Between {
            drive: drives.of(drive as u32).to_owned(),
            time: mean_time_between(count, length, CONFIDENCE),
        })
        .collect();
    found.sort_by(|one, other| {
        (other.time.count.cmp(&one.time.count)).then_with(|| one.drive.cmp(&other.drive))
    });
    found
}
