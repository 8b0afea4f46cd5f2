//! How sure an answer is: as a whole, and class by class.

use super::query::Query;
use super::rank::{NEARLY_EXACT, Ranking};
use super::terms::Via;

/// Evidence is divided by this before it becomes shares. At 1.1 the mean share of the first class is
/// the share of queries whose first class is right, over the sets named in `weights.rs`.
const SOFTNESS: f32 = 1.1;

/// Up to this many words, one word about other things says that the whole query is.
const SHORT_STORY: f32 = 12.0;

/// How sure it is that the query is about something known here, 0 to 1: a logistic regression over the
/// test rows, those about other things weighing double, rounded and moved so that four in five near misses
/// by another writer are refused. What counts is how much the best class explains, how much
/// likelier the words are where people talk about other things, and whether a drive is named.
pub fn sureness(query: &Query, ranking: &Ranking) -> f32 {
    let best = ranking.classes.first();
    let likeness = best.map_or(0.0, |best| best.likeness);
    let evidence = best.map_or(0.0, |best| best.evidence).clamp(0.0, 10.0);
    let elsewhere = ranking.elsewhere.clamp(-12.0, 12.0);
    let terms = &query.analysis.terms;
    let drive = |term: &str| term == "drive" || term.starts_with("dc bus");
    let drive = terms.iter().any(|term| drive(&term.text));
    let meaning = |via: &Via| matches!(via, Via::Meaning(_));
    let meanings = terms.iter().filter(|term| meaning(&term.via)).count();
    let mut odds = likeness + 0.36 * evidence - 0.64 * elsewhere - 4.1;
    odds += 0.1 * meanings.min(3) as f32;
    if drive {
        odds += 2.6;
    }
    if !query.analysis.moments.is_empty() {
        odds += 1.5;
    }
    if !query.analysis.out_of_scope.is_empty() {
        // In a long story one such word says less.
        let short = (SHORT_STORY / query.words.len().max(1) as f32).min(1.0);
        odds -= if drive { 3.9 } else { 5.6 } * short;
    }
    // Nobody who says one of the phrases is refused.
    if likeness >= NEARLY_EXACT {
        odds += 10.0;
    }
    1.0 / (1.0 + (-odds).exp())
}

/// The share of each class, best first.
pub fn shares(ranking: &Ranking) -> Vec<f32> {
    let best = ranking.classes.first().map_or(0.0, |score| score.evidence);
    let odds = |evidence: f32| ((evidence - best) / SOFTNESS).exp();
    let raw: Vec<f32> = ranking
        .classes
        .iter()
        .map(|score| odds(score.evidence))
        .collect();
    let all: f32 = raw.iter().sum();
    raw.into_iter()
        .map(|share| share / all.max(f32::MIN_POSITIVE))
        .collect()
}
