//! Which causes this plant meets more often than the built-in judgement says.

use std::collections::BTreeMap;

use super::distribution::binomial_at_least;
use super::events::Event;
use super::interval::{CONFIDENCE, Interval, share_limits};
use crate::diagnosis::case::judged_shares;
use crate::knowledge::Library;

/// A cause that is behind a class more often here than judged.
#[derive(Clone, Debug, PartialEq)]
pub struct MoreOften {
    /// Fault class id.
    pub class: String,
    /// Cause id.
    pub cause: String,
    /// How often it was confirmed as the cause.
    pub count: u64,
    /// Confirmed incidents of the class.
    pub of: u64,
    /// The share that is judged, from 0 to 1.
    pub judged: f64,
    /// Limits of the share here.
    pub limits: Interval,
    /// One-sided probability of so many by chance, times all causes compared (Bonferroni).
    pub chance: f64,
}

/// Once is no pattern.
const LEAST_COUNT: u64 = 2;
/// The chance at which a difference is shown (common practice, no source).
const SHOWN_BELOW: f64 = 0.05;

/// Compares confirmed causes with what is judged, by the exact binomial test.
///
/// A cause that the class does not list is compared with the share of *something else*.
pub fn more_often(
    events: &[Event],
    class_of: impl Fn(u32) -> String,
    cause_of: impl Fn(u32) -> String,
    library: &Library,
) -> Vec<MoreOften> {
    let mut counts: BTreeMap<u32, BTreeMap<u32, u64>> = BTreeMap::new();
    for event in events.iter().filter(|event| event.confirmed) {
        if let (Some(class), Some(cause)) = (event.class, event.cause) {
            *counts.entry(class).or_default().entry(cause).or_default() += 1;
        }
    }
    let mut found = Vec::new();
    let mut compared = 0;
    for (class, causes) in counts {
        let class = class_of(class);
        let Some(known) = library.class(&class) else {
            continue;
        };
        let judged = judged_shares(library, known);
        compared += judged.shares.len() + 1;
        let of: u64 = causes.values().sum();
        for (cause, count) in causes {
            let cause = cause_of(cause);
            let listed = judged.shares.iter().find(|(id, _)| *id == cause);
            let share = listed.map_or(judged.something_else, |(_, share)| *share);
            if count >= LEAST_COUNT {
                found.push(MoreOften {
                    class: class.clone(),
                    cause,
                    count,
                    of,
                    judged: share,
                    limits: share_limits(count, of, CONFIDENCE),
                    chance: binomial_at_least(count, of, share),
                });
            }
        }
    }
    for one in &mut found {
        one.chance = (one.chance * compared as f64).min(1.0);
    }
    found.retain(|one| one.chance < SHOWN_BELOW);
    found.sort_by(|one, other| {
        one.chance
            .total_cmp(&other.chance)
            .then_with(|| (&one.class, &one.cause).cmp(&(&other.class, &other.cause)))
    });
    found
}
