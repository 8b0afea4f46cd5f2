//! Several drives at once: what hits them together comes from what they share.

use std::collections::HashMap;

use super::distribution::poisson_at_least;
use super::events::Event;

/// Several drives within a short time.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Together {
    /// When the first went, in milliseconds since 1970.
    pub at: i64,
    /// From the first to the last of them, in seconds.
    pub seconds: u64,
    /// The drives' numbers in the order in which they went, each once.
    pub drives: Vec<u32>,
    /// Minutes that their machines stood, as far as recorded.
    pub downtime_minutes: u64,
}

/// Occasions on which drives went together.
#[derive(Clone, Debug, PartialEq)]
pub struct TogetherAll {
    /// How close together they have to be, in seconds.
    pub within_seconds: u32,
    /// The occasions, the most drives first, then the latest.
    pub occasions: Vec<Together>,
    /// Pairs of drives that went together.
    pub pairs: u64,
    /// Pairs to be expected if every drive went by itself, at its own rate.
    pub pairs_by_chance: f64,
    /// Probability of so many pairs by chance.
    pub chance: f64,
}

/// The first event of each occasion: what follows within the time, at another drive, belongs to it.
/// Events of one drive, or without a drive, are occasions of their own.
pub fn occasions(events: &[Event], within_seconds: u32) -> Vec<Event> {
    let mut firsts = Vec::new();
    for group in groups(events, within_seconds) {
        let mut seen: Vec<u32> = Vec::new();
        for (index, event) in group.iter().enumerate() {
            let joins = index > 0 && event.drive.is_some_and(|drive| !seen.contains(&drive));
            if !joins {
                firsts.push(*event);
            }
            seen.extend(event.drive);
        }
    }
    firsts
}

/// Finds drives that went together.
///
/// Formula: pairs by chance `Σ n_i · n_j · 2w / T` over all pairs of drives.
/// Symbols: `n` incidents of a drive; `w` how close they have to be; `T` time observed.
/// Valid:   `w` much shorter than the time between a drive's incidents.
/// Source:  the rate at which independent Poisson processes coincide, Cox and Lewis 1966, The
///          Statistical Analysis of Series of Events, chapter 8 (from memory).
pub fn together(events: &[Event], observed_seconds: f64, within_seconds: u32) -> TogetherAll {
    let mut occasions = Vec::new();
    let mut pairs = 0;
    for group in groups(events, within_seconds) {
        let mut drives: Vec<u32> = Vec::new();
        for drive in group.iter().filter_map(|event| event.drive) {
            if !drives.contains(&drive) {
                drives.push(drive);
            }
        }
        let (Some(first), Some(last)) = (group.first(), group.last()) else {
            continue;
        };
        if drives.len() < 2 {
            continue;
        }
        let several = drives.len() as u64;
        pairs += several * (several - 1) / 2;
        let with_drive = group.iter().filter(|event| event.drive.is_some());
        occasions.push(Together {
            at: first.at,
            seconds: last.at.abs_diff(first.at) / 1000,
            drives,
            downtime_minutes: with_drive
                .map(|event| u64::from(event.downtime_minutes.unwrap_or(0)))
                .sum(),
        });
    }
    occasions.sort_by_key(|one| std::cmp::Reverse((one.drives.len(), one.at)));
    let pairs_by_chance = pairs_by_chance(events, observed_seconds, within_seconds);
    TogetherAll {
        within_seconds,
        occasions,
        pairs,
        pairs_by_chance,
        chance: poisson_at_least(pairs, pairs_by_chance),
    }
}

fn pairs_by_chance(events: &[Event], observed_seconds: f64, within_seconds: u32) -> f64 {
    let mut counts: HashMap<u32, f64> = HashMap::new();
    for drive in events.iter().filter_map(|event| event.drive) {
        *counts.entry(drive).or_default() += 1.0;
    }
    let all: f64 = counts.values().sum();
    let squares: f64 = counts.values().map(|count| count * count).sum();
    if observed_seconds > 0.0 {
        (all * all - squares) / 2.0 * 2.0 * f64::from(within_seconds) / observed_seconds
    } else {
        0.0
    }
}

/// Cuts events into groups: each holds what follows its first event within the time.
fn groups(events: &[Event], within_seconds: u32) -> impl Iterator<Item = &[Event]> {
    let within = i64::from(within_seconds) * 1000;
    let mut rest = events;
    std::iter::from_fn(move || {
        let first = rest.first()?;
        let length = rest.partition_point(|event| event.at <= first.at.saturating_add(within));
        let (group, others) = rest.split_at(length.max(1));
        rest = others;
        Some(group)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn event(seconds: i64, drive: Option<u32>) -> Event {
        Event {
            at: seconds * 1000,
            drive,
            class: None,
            cause: None,
            confirmed: false,
            downtime_minutes: Some(10),
            labour_minutes: None,
        }
    }

    #[test]
    fn drives_within_the_time_are_one_occasion() {
        let events = [
            event(0, Some(1)),
            event(40, Some(2)),
            event(110, Some(3)),
            event(115, Some(2)),
            event(130, Some(4)),
            event(5_000, Some(1)),
            event(5_010, Some(1)),
            event(9_000, None),
            event(9_001, None),
        ];
        let found = together(&events, 10_000.0, 120);
        assert_eq!(found.occasions.len(), 1);
        let one = &found.occasions[0];
        assert_eq!(
            (one.drives.as_slice(), one.seconds),
            ([1, 2, 3].as_slice(), 115)
        );
        assert_eq!(one.downtime_minutes, 40);
        assert_eq!(found.pairs, 3);
        // Drives with 3, 2, 1 and 1 incidents: 17 pairs of incidents at different drives.
        assert!((found.pairs_by_chance - 17.0 * 240.0 / 10_000.0).abs() < 1e-12);
        // Two drives join the first; the repeats and those without a drive stand for themselves.
        assert_eq!(occasions(&events, 120).len(), 7);
    }

    #[test]
    fn four_drives_at_once_are_no_chance() {
        let events: Vec<Event> = (0..4)
            .map(|drive| event(i64::from(drive), Some(drive)))
            .collect();
        let year = 365.0 * 86_400.0;
        assert!(together(&events, year, 120).chance < 1e-9);
        assert_eq!(together(&[], year, 120).chance, 1.0);
    }
}
