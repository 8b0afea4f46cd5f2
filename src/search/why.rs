//! Why a hit was found, in words.

use super::query::Query;
use super::rank::{ClassScore, ItemScore};
use super::shorthand;
use super::terms::Via;
use crate::knowledge::Library;

/// Most reasons for one hit.
const MOST_REASONS: usize = 6;
/// Evidence below this is no reason worth telling.
const LEAST_EVIDENCE: f32 = 0.1;
/// From this likeness on the phrase is shown.
const LIKE_A_PHRASE: f32 = 0.4;

/// Why a class was found, strongest reason first.
pub fn class(
    query: &Query,
    score: &ClassScore,
    library: &Library,
    id: &str,
    code: Option<&String>,
) -> Vec<String> {
    let mut reasons: Vec<String> = Vec::new();
    if let Some(code) = code {
        reasons.push(format!("carries the standard error code {code}h"));
    }
    let mut terms = score.terms.clone();
    terms.sort_by(|one, other| other.1.total_cmp(&one.1));
    for (number, evidence) in terms {
        if evidence < LEAST_EVIDENCE || reasons.len() >= MOST_REASONS {
            break;
        }
        let reason = term(query, number);
        if !reason.is_empty() && !reasons.iter().any(|told| told.starts_with(&reason)) {
            reasons.push(reason);
        }
    }
    if score.likeness >= LIKE_A_PHRASE
        && let Some(nth) = score.phrase
        && let Some(phrase) = library.phrase(id, usize::from(nth))
    {
        reasons.push(format!("people say \"{}\"", printable(phrase)));
    }
    reasons
}

/// Why a cause, question or check was found.
pub fn item(query: &Query, score: &ItemScore) -> Vec<String> {
    let mut reasons: Vec<String> = Vec::new();
    for number in &score.terms {
        let reason = term(query, *number);
        if !reason.is_empty() && !reasons.contains(&reason) && reasons.len() < MOST_REASONS {
            reasons.push(reason);
        }
    }
    if reasons.is_empty() {
        reasons.push("the words describe it".to_owned());
    }
    reasons
}

/// What a term stands for, with the words it came from; empty for what isn't worth telling.
fn term(query: &Query, number: usize) -> String {
    let Some(term) = query.analysis.terms.get(number) else {
        return String::new();
    };
    let words = query
        .words
        .get(term.span.0..term.span.1)
        .unwrap_or_default();
    let typed: Vec<String> = words.iter().map(|word| printable(&word.typed)).collect();
    let typed = typed.join(" ");
    let meant = match words {
        [word] if term.via == Via::Word => shorthand::whole(&word.plain),
        _ => None,
    };
    if let Some(meant) = meant {
        return format!("\"{typed}\" ≈ {meant}");
    }
    match &term.via {
        Via::Moment(moment) => format!("\"{typed}\" → {}", moment_in_words(moment)),
        Via::Meaning(means) | Via::Name(means) if !means.eq_ignore_ascii_case(&typed) => {
            format!("\"{typed}\" ≈ {means}")
        }
        Via::Meaning(_) | Via::Name(_) | Via::Word => format!("\"{typed}\""),
        Via::Part | Via::Negated | Via::Unit | Via::Filler => String::new(),
    }
}

/// A text without anything that a terminal could obey.
fn printable(text: &str) -> String {
    text.chars().filter(|c| !c.is_control()).collect()
}

fn moment_in_words(moment: &str) -> &str {
    match moment {
        "power-up" => "as the supply is switched on",
        "start" => "at the start",
        "accelerating" => "while speeding up",
        "steady" => "at rest or at a steady speed",
        "slowing" => "while slowing down",
        other => other,
    }
}
