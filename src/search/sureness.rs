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
/// test rows, phrases left out of the index and rows about other things, rounded. What counts is how
/// much the best class explains, how many things of the trade are named, and how much had to be
/// corrected before anything was understood.
pub fn sureness(query: &Query, ranking: &Ranking) -> f32 {
    let best = ranking.classes.first();
    let likeness = best.map_or(0.0, |best| best.likeness);
    let evidence = best.map_or(0.0, |best| best.evidence).clamp(0.0, 8.0);
    let terms = &query.analysis.terms;
    let drive = |term: &str| term == "drive" || term.starts_with("dc bus");
    let drive = terms.iter().any(|term| drive(&term.text));
    let count = |is: fn(&Via) -> bool| terms.iter().filter(|term| is(&term.via)).count();
    let meanings = count(|via| matches!(via, Via::Meaning(_))).min(3) as f32;
    let named = count(|via| matches!(via, Via::Name(_))) > 0;
    let telling = |via: &Via| !matches!(via, Via::Part | Via::Negated | Via::Unit);
    let all = terms.iter().filter(|term| telling(&term.via)).count();
    let corrected = terms
        .iter()
        .filter(|term| telling(&term.via) && query.corrected_span(term.span))
        .count();
    let corrected = corrected as f32 / all.max(1) as f32;
    let mut odds = 1.3 * likeness + 0.55 * evidence + meanings - 1.6 * corrected - 2.6;
    if drive {
        odds += 0.15;
    }
    if named {
        odds += 1.15;
    }
    if !query.analysis.moments.is_empty() {
        odds += 1.7;
    }
    if !query.analysis.out_of_scope.is_empty() {
        // In a long story one such word says less.
        let short = (SHORT_STORY / query.words.len().max(1) as f32).min(1.0);
        odds -= if drive { 2.7 } else { 7.0 } * short;
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
