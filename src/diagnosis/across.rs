//! With no class named: what is known, weighed over every class.
//!
//! A fact that a class asks about counts by its causes' signs; one that it never asks about counts
//! by the question's base rates, which say how often that is found in drives with other troubles,
//! and less, since nobody tells what has nothing to do with the trouble. So every fact weighs in
//! every class, and the shares can be compared.

use std::collections::BTreeMap;

use super::case::{Case, History, SOMETHING_ELSE_ID};
use super::record::{Fact, nameplate_input};
use super::replay;
use super::reply::{self, Nameplate};
use super::settings::Settings;
use super::walk::{Given, Walk};
use crate::knowledge::{FaultClass, Library};

/// Share that the words leave to each class they do not speak for, of the best one's
/// (common practice, no source).
const UNSPOKEN: f64 = 0.02;

/// What a fact counts, of its base rate, in a class that never asks about it (common practice, no
/// source).
const UNASKED: f64 = 0.3;

/// How well a class fits what is known.
#[derive(Clone, Debug)]
pub struct Fit<'k> {
    /// The class.
    pub class: &'k FaultClass,
    /// Its share of all classes, 0 to 1.
    pub share: f64,
    /// How many of the facts it can use.
    pub used: usize,
}

/// Classes and causes by how well they fit, the best first.
#[derive(Clone, Debug)]
pub struct Across<'k> {
    /// The classes.
    pub classes: Vec<Fit<'k>>,
    /// Ids of the causes of all classes with their shares.
    pub causes: Vec<(String, f64)>,
    /// Facts that no class could use, with the reason.
    pub not_used: Vec<String>,
}

/// Weighs every class by the facts and by what the words say (`spoken`: class id to a weight above
/// 0, empty when there were no words). A class that can't be computed is left out.
pub fn rank<'k>(
    library: &'k Library,
    facts: &[Fact],
    spoken: &BTreeMap<String, f64>,
    history: &dyn Fn(&str) -> History,
) -> Across<'k> {
    let best_spoken = spoken.values().copied().fold(0.0, f64::max);
    let mut weighed: Vec<(Fit<'k>, Vec<(String, f64)>)> = Vec::new();
    for class in library.classes() {
        let words = match spoken.get(&class.id) {
            _ if best_spoken <= 0.0 => 1.0,
            Some(weight) => weight / best_spoken,
            None => UNSPOKEN,
        };
        if let Some(found) = weigh(library, class, facts, history(&class.id)) {
            let fit = Fit {
                class,
                share: found.weight + words.max(UNSPOKEN).ln(),
                used: found.used,
            };
            weighed.push((fit, found.causes));
        }
    }
    let most = weighed
        .iter()
        .map(|(fit, _)| fit.share)
        .fold(f64::NEG_INFINITY, f64::max);
    for (fit, _) in &mut weighed {
        fit.share = (fit.share - most).exp();
    }
    let all: f64 = weighed.iter().map(|(fit, _)| fit.share).sum();
    let mut by_cause: BTreeMap<String, f64> = BTreeMap::new();
    for (fit, causes) in &mut weighed {
        fit.share /= all;
        for (id, share) in causes {
            *by_cause.entry(std::mem::take(id)).or_default() += fit.share * *share;
        }
    }
    let mut classes: Vec<Fit<'k>> = weighed.into_iter().map(|(fit, _)| fit).collect();
    classes.sort_by(|one, other| {
        let by_share = other.share.total_cmp(&one.share);
        by_share.then_with(|| one.class.id.cmp(&other.class.id))
    });
    let mut causes: Vec<(String, f64)> = by_cause.into_iter().collect();
    causes.sort_by(|one, other| other.1.total_cmp(&one.1).then_with(|| one.0.cmp(&other.0)));
    Across {
        classes,
        causes,
        not_used: not_used(library, facts),
    }
}

/// A class weighed by itself.
struct Weighed {
    /// Logarithm of the chance of the facts under it.
    weight: f64,
    /// How many facts it uses.
    used: usize,
    /// Its causes' shares by id.
    causes: Vec<(String, f64)>,
}

fn weigh(
    library: &Library,
    class: &FaultClass,
    facts: &[Fact],
    history: History,
) -> Option<Weighed> {
    let case = Case::compile(library, class, history).ok()?;
    let mut walk = Walk::new(case, Nameplate::new());
    let mut weight = 0.0;
    let mut used = 0;
    for fact in ordered(facts) {
        // What makes no sense is told once, not class by class.
        let Ok(read) = replay::read(library, walk.clone(), std::slice::from_ref(fact)) else {
            continue;
        };
        walk = read.walk;
        let Some(given) = read.answers.into_iter().next() else {
            weight += base_weight(library, fact, &walk.nameplate);
            continue;
        };
        if let Given::Found { question, .. } = given {
            used += usize::from(!walk.is_answered(question));
        }
        walk = walk.answered(given, true);
    }
    let belief = walk.belief().ok()?;
    weight += belief.evidence_probability().max(f64::MIN_POSITIVE).ln();
    let shares = belief.posterior().iter().enumerate();
    let causes = shares
        .map(|(index, share)| {
            let id = walk.case.causes.get(index).map(|cause| cause.id.as_str());
            (id.unwrap_or(SOMETHING_ELSE_ID).to_owned(), *share)
        })
        .collect();
    Some(Weighed {
        weight,
        used,
        causes,
    })
}

/// Nameplate values first, since readings are judged by them.
fn ordered(facts: &[Fact]) -> impl Iterator<Item = &Fact> {
    let is_nameplate = |fact: &&Fact| !fact.0.contains('-') && nameplate_input(&fact.0).is_some();
    let first = facts.iter().filter(is_nameplate);
    first.chain(facts.iter().filter(move |fact| !is_nameplate(fact)))
}

/// Logarithm of the chance of a fact by the base rates of its question, floored as signs are.
fn base_weight(library: &Library, fact: &Fact, nameplate: &Nameplate) -> f64 {
    let Some(question) = library.question_named(&fact.0) else {
        return 0.0;
    };
    let Ok(reply) = reply::understand(question, &fact.1, nameplate) else {
        return 0.0;
    };
    let all: f64 = question.findings.iter().map(|finding| finding.base).sum();
    let floor = Settings::default().floor;
    let even = floor / question.findings.len() as f64;
    let chance: f64 = question
        .findings
        .iter()
        .zip(&reply.weights)
        .map(|(finding, weight)| weight * ((1.0 - floor) * finding.base / all + even))
        .sum();
    (UNASKED * chance).max(f64::MIN_POSITIVE).ln()
}

/// Keys that name no question, cause or nameplate value at all.
fn not_used(library: &Library, facts: &[Fact]) -> Vec<String> {
    let is_known = |key: &str| {
        library.question_named(key).is_some()
            || library.cause(key).is_some()
            || nameplate_input(key).is_some()
    };
    facts
        .iter()
        .filter(|(key, _)| !is_known(key))
        .map(|(key, _)| key.clone())
        .collect()
}
