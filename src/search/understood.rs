//! What a query was understood as, beside its terms: observations, a wish for a quantity.

use super::facts;
use super::hit::Understood;
use super::query::Query;
use super::terms::{NEGATED_MARK, Via};

/// Ways to ask for a quantity: then the check that computes it comes first.
const ASKS: &[&[&str]] = &[
    &["how", "long"],
    &["how", "much"],
    &["how", "many"],
    &["how", "high"],
    &["how", "big"],
    &["how", "often"],
    &["how", "low"],
    &["how", "far"],
    &["what", "size"],
    &["what", "value"],
    &["what", "should"],
    &["which", "value"],
    &["calculate"],
    &["compute"],
    &["formula"],
    &["is", "it", "safe"],
    &["wie", "lange"],
    &["combien", "de", "temps"],
    &["cuanto", "tiempo"],
    &["quanto", "tempo"],
];

/// What the query was understood as.
pub fn understood(query: &Query) -> Understood {
    Understood {
        corrected: query.corrected.clone(),
        moment: query.analysis.moments.first().cloned(),
        not_moments: query.analysis.not_moments.clone(),
        observed: observed(query),
        readings: query.readings.clone(),
        maker_codes: query.maker_codes.clone(),
        unknown: query.unknown.clone(),
    }
}

/// What was observed besides the moment, each question once.
fn observed(query: &Query) -> Vec<(String, String)> {
    let mut observed: Vec<(String, String)> = Vec::new();
    for term in &query.analysis.terms {
        let said = match &term.via {
            Via::Meaning(means) | Via::Name(means) => facts::observed(means, false),
            Via::Negated => facts::observed(term.text.trim_start_matches(NEGATED_MARK), true),
            _ => None,
        };
        if let Some((question, finding)) = said
            && !observed.iter().any(|(taken, _)| *taken == question)
        {
            observed.push((question, finding));
        }
    }
    observed
}

/// Whether a quantity is asked for.
pub fn asks(query: &Query) -> bool {
    let words: Vec<&str> = query.words.iter().map(|word| word.plain.as_str()).collect();
    ASKS.iter()
        .any(|ask| words.windows(ask.len()).any(|window| window == *ask))
}
