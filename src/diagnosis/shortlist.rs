//! Which questions are worth planning with: a class may share a hundred, and most of them say next
//! to nothing about the causes that are still open.

use super::belief::Belief;
use super::model::Model;

/// Questions kept for what they tell, and questions kept for what they tell a minute.
const BY_GAIN: usize = 30;
const BY_GAIN_A_MINUTE: usize = 14;

/// Minutes that every question costs beside its own, so that a quick one is not asked for its
/// quickness alone (common practice, no source).
const ANY_STEP: f64 = 2.0;

/// The open questions that can be left out of the next plan. Those in `always` stay.
pub fn left_out(model: &Model, belief: &Belief, open: &[usize], always: &[usize]) -> Vec<usize> {
    if open.len() <= BY_GAIN + BY_GAIN_A_MINUTE {
        return Vec::new();
    }
    let mut by_gain: Vec<(usize, f64)> = open
        .iter()
        .map(|question| (*question, gain_bits(model, belief, *question)))
        .collect();
    by_gain.sort_by(|one, other| other.1.total_cmp(&one.1).then(one.0.cmp(&other.0)));
    let (kept, mut rest) = (&by_gain[..BY_GAIN], by_gain[BY_GAIN..].to_vec());
    let a_minute =
        |(question, gain): &(usize, f64)| gain / (model.questions()[*question].minutes + ANY_STEP);
    rest.sort_by(|one, other| {
        a_minute(other)
            .total_cmp(&a_minute(one))
            .then(one.0.cmp(&other.0))
    });
    let quick = rest.iter().take(BY_GAIN_A_MINUTE);
    let stays: std::collections::BTreeSet<usize> = kept
        .iter()
        .chain(quick)
        .map(|(question, _)| *question)
        .chain(always.iter().copied())
        .collect();
    open.iter()
        .copied()
        .filter(|question| !stays.contains(question))
        .collect()
}

/// Information that the answer to a question gives about the causes, in bits:
/// `Σ_o Σ_i P(i) L(o|i) log2(L(o|i) / P(o))`.
fn gain_bits(model: &Model, belief: &Belief, question: usize) -> f64 {
    belief
        .chances(model, question)
        .iter()
        .enumerate()
        .filter(|(_, chance)| **chance > 0.0)
        .map(|(finding, chance)| {
            let likelihoods = model.floored(question, finding);
            let terms = belief
                .weights()
                .iter()
                .zip(likelihoods)
                .filter(|(_, l)| **l > 0.0);
            terms
                .map(|(share, l)| share * l * (l / chance).log2())
                .sum::<f64>()
        })
        .sum()
}
