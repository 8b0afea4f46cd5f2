//! What came back: the same cause at the same drive within some days of the repair.

use std::collections::BTreeMap;

use super::events::Event;
use super::interval::{CONFIDENCE, Interval, share_limits};

const DAY: i64 = 24 * 60 * 60 * 1000;

/// A cause that came back at a drive.
#[derive(Clone, Debug, PartialEq)]
pub struct Returned {
    /// The drive's number.
    pub drive: u32,
    /// The cause's number.
    pub cause: u32,
    /// How often this drive had this cause in all.
    pub incidents: u64,
    /// How often it was back within the days.
    pub returns: u64,
    /// Shortest time between two of them, in days.
    pub shortest_days: f64,
    /// Days without it since the last time.
    pub quiet_days: f64,
}

/// How well repairs hold.
#[derive(Clone, Debug, PartialEq)]
pub struct Recurrence {
    /// Within how many days a return counts.
    pub within_days: u32,
    /// Repairs whose days are over, so that it is known whether they held.
    pub repairs: u64,
    /// Those of them after which the same cause was back in time.
    pub returns: u64,
    /// Limits of the share of returns.
    pub limits: Interval,
    /// Repairs too fresh to tell, which are not counted.
    pub too_fresh: u64,
    /// What came back, the most frequent first.
    pub returned: Vec<Returned>,
}

/// Looks for the same cause at the same drive within so many days. Incidents without a drive or
/// without a cause have nothing to come back to.
pub fn recurrence(events: &[Event], until: i64, within_days: u32) -> Recurrence {
    let within = i64::from(within_days) * DAY;
    let mut times: BTreeMap<(u32, u32), Vec<i64>> = BTreeMap::new();
    for event in events {
        if let (Some(drive), Some(cause)) = (event.drive, event.cause) {
            times.entry((drive, cause)).or_default().push(event.at);
        }
    }
    let (mut repairs, mut returns, mut too_fresh) = (0, 0, 0);
    let mut returned = Vec::new();
    for ((drive, cause), at) in times {
        let gaps: Vec<i64> = at.windows(2).map(|pair| pair[1] - pair[0]).collect();
        let back = gaps.iter().filter(|&&gap| gap <= within).count() as u64;
        for (index, &time) in at.iter().enumerate() {
            if until - time < within {
                too_fresh += 1;
                continue;
            }
            repairs += 1;
            returns += u64::from(gaps.get(index).is_some_and(|&gap| gap <= within));
        }
        if back > 0 {
            returned.push(Returned {
                drive,
                cause,
                incidents: at.len() as u64,
                returns: back,
                shortest_days: gaps.iter().min().map_or(0.0, |&gap| days(gap)),
                quiet_days: at.last().map_or(0.0, |&last| days(until - last)),
            });
        }
    }
    returned.sort_by_key(|one| (std::cmp::Reverse((one.returns, one.incidents)), one.drive));
    Recurrence {
        within_days,
        repairs,
        returns,
        limits: share_limits(returns, repairs, CONFIDENCE),
        too_fresh,
        returned,
    }
}

fn days(milliseconds: i64) -> f64 {
    milliseconds as f64 / DAY as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    fn event(day: i64, drive: u32, cause: u32) -> Event {
        Event {
            at: day * DAY,
            drive: Some(drive),
            class: None,
            cause: Some(cause),
            confirmed: true,
            downtime_minutes: None,
            labour_minutes: None,
        }
    }

    #[test]
    fn only_the_same_cause_at_the_same_drive_comes_back() {
        let events = [
            event(0, 1, 7),
            event(5, 2, 7),
            event(10, 1, 8),
            event(20, 1, 7),
            event(200, 1, 7),
            event(390, 2, 8),
        ];
        let found = recurrence(&events, 400 * DAY, 30);
        // Day 0 came back on day 20; 5, 10, 20 and 200 held for 30 days; 390 is too fresh.
        assert_eq!((found.returns, found.repairs, found.too_fresh), (1, 5, 1));
        assert_eq!(found.returned.len(), 1);
        let back = &found.returned[0];
        assert_eq!((back.drive, back.cause), (1, 7));
        assert_eq!((back.incidents, back.returns), (3, 1));
        assert_eq!((back.shortest_days, back.quiet_days), (20.0, 200.0));
    }
}
