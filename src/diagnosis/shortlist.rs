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

/// Of the open questions those that are worth planning with, in their order.
pub(super) fn worth_planning(model: &Model, belief: &Belief, mut open: Vec<usize>) -> Vec<usize> {
    if open.len() <= BY_GAIN + BY_GAIN_A_MINUTE {
        return open;
    }
    let gains: Vec<f64> = (0..model.questions().len())
        .map(|question| gain_bits(model, belief, question))
        .collect();
    let by = |value: &dyn Fn(usize) -> f64, questions: &mut [usize]| {
        questions.sort_by(|one, other| value(*other).total_cmp(&value(*one)).then(one.cmp(other)));
    };
    by(&|question| gains[question], &mut open);
    let a_minute =
        |question: usize| gains[question] / (model.questions()[question].minutes + ANY_STEP);
    by(&a_minute, &mut open[BY_GAIN..]);
    open.truncate(BY_GAIN + BY_GAIN_A_MINUTE);
    open.sort_unstable();
    open
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
