//! Answers that do not fit together are shown, never hidden, and never stop a walk.

use super::belief::{Answer, Belief};
use super::model::Model;

/// Share of *something else* from which the answers are called contradictory (`practice`).
pub const SOMETHING_ELSE_ALARM: f64 = 0.30;
/// An answer with less chance than this when it was given is a surprise (`practice`).
pub const SURPRISE: f64 = 0.05;

/// What speaks for a contradiction, and which answers to look at again.
#[derive(Debug, Clone, PartialEq)]
pub struct Contradiction {
    /// *Something else* passed [`SOMETHING_ELSE_ALARM`].
    pub fits_no_cause: bool,
    /// Positions of answers that had less chance than [`SURPRISE`].
    pub surprises: Vec<usize>,
    /// Causes whose confirming action failed.
    pub not_confirmed: Vec<usize>,
    /// The two answers most likely to be slips, the likelier first, with that chance:
    /// offer to repeat them, to take them back, or to keep them.
    pub most_doubted: Vec<(usize, f64)>,
}

/// `None` while the answers agree.
#[must_use]
pub fn contradiction(model: &Model, answers: &[Answer], belief: &Belief) -> Option<Contradiction> {
    let share = belief
        .posterior()
        .get(model.something_else())
        .copied()
        .unwrap_or(0.0);
    let fits_no_cause = model.something_else() > 0 && share > SOMETHING_ELSE_ALARM;
    let surprised = |answer: &usize| {
        belief.effects()[*answer].doubt.is_some() && belief.effects()[*answer].chance < SURPRISE
    };
    let surprises: Vec<usize> = (0..belief.effects().len()).filter(surprised).collect();
    let not_confirmed: Vec<usize> = answers
        .iter()
        .filter_map(|answer| match answer {
            Answer::NotConfirmed { cause } => Some(*cause),
            _ => None,
        })
        .collect();
    if !fits_no_cause && surprises.is_empty() && not_confirmed.is_empty() {
        return None;
    }
    let doubts = belief.effects().iter().enumerate();
    let mut most_doubted: Vec<(usize, f64)> = doubts
        .filter_map(|(answer, effect)| effect.doubt.map(|doubt| (answer, doubt)))
        .collect();
    most_doubted.sort_by(|left, right| right.1.total_cmp(&left.1));
    most_doubted.truncate(2);
    Some(Contradiction {
        fits_no_cause,
        surprises,
        not_confirmed,
        most_doubted,
    })
}
