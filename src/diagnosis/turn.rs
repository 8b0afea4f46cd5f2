//! What comes next in a walk: the planner's step, but for causes that a question's own finding
//! settles. A live walk and a printed tree both take their steps from here, so they agree.

use super::belief::{Answer, AnswerError};
use super::model::Model;
use super::planner::{Action, Plan, plan};
use super::situation::Situation;

/// Weight from which a finding counts as seen when it settles a cause (common practice, no source).
const SETTLING_WEIGHT: f64 = 0.9;

/// Likelihood from which another finding of a cause's decisive question leaves the cause open: then
/// its own confirming step decides (common practice, no source).
const STILL_POSSIBLE: f64 = 0.05;

/// Likelihood from which another cause shares a finding, so that it settles neither: above
/// *sometimes* (common practice, no source).
const SHARED: f64 = 0.6;

/// What comes next.
#[derive(Clone, Debug)]
pub enum Turn {
    /// A question.
    Ask {
        /// Index of the question.
        question: usize,
        /// The cause that this question would settle, if it is asked for that.
        confirms: Option<usize>,
        /// The prices behind the choice.
        plan: Plan,
    },
    /// The confirming step of a cause.
    Confirm {
        /// Index of the cause.
        cause: usize,
        /// The prices behind the choice.
        plan: Plan,
    },
    /// A cause is confirmed by what was answered.
    Settled {
        /// Index of the cause.
        cause: usize,
    },
    /// A specialist is now the cheaper way, or nothing is left to ask.
    HandOver {
        /// The prices behind the choice.
        plan: Plan,
    },
}

/// Whether no other open cause makes this finding at least likely: what two causes show settles
/// neither.
fn is_alone(
    model: &Model,
    situation: &Situation,
    cause: usize,
    (question, finding): (usize, usize),
) -> bool {
    let likelihood = &model.questions()[question].likelihood;
    (0..model.something_else()).all(|other| {
        let failed = Answer::NotConfirmed { cause: other };
        other == cause || likelihood[other][finding] < SHARED || situation.answers.contains(&failed)
    })
}

/// What comes next in a situation.
///
/// # Errors
/// As [`plan`].
pub fn turn(model: &Model, situation: &Situation) -> Result<Turn, AnswerError> {
    let mut situation = situation.clone();
    loop {
        let plan = plan(model, &situation)?;
        match plan.action {
            Action::Ask(question) => {
                return Ok(Turn::Ask {
                    question,
                    confirms: None,
                    plan,
                });
            }
            Action::Escalate => return Ok(Turn::HandOver { plan }),
            Action::Confirm(cause) => match settling(model, &situation, cause) {
                Settling::Positive => return Ok(Turn::Settled { cause }),
                // The decisive reading spoke against it: there is nothing to repeat.
                Settling::Negative => situation.excluded_causes.push(cause),
                Settling::Open(question) => {
                    return Ok(Turn::Ask {
                        question,
                        confirms: Some(cause),
                        plan,
                    });
                }
                Settling::None => return Ok(Turn::Confirm { cause, plan }),
            },
        }
    }
}

/// What the answers say of a cause's decisive question.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Settling {
    /// It has none, or it can't be asked.
    None,
    /// It has one that was not asked yet.
    Open(usize),
    /// It spoke for the cause.
    Positive,
    /// It spoke against the cause.
    Negative,
}

/// What the answers say of a cause's decisive question.
#[must_use]
pub fn settling(model: &Model, situation: &Situation, cause: usize) -> Settling {
    let Some((question, finding)) = model.settled_by(cause) else {
        return Settling::None;
    };
    let given = situation
        .answers
        .iter()
        .find(|answer| answer.question() == Some(question));
    match given {
        Some(Answer::Found { weights, .. }) => {
            let weight = weights.get(finding).copied().unwrap_or(0.0);
            if weight >= SETTLING_WEIGHT && is_alone(model, situation, cause, (question, finding)) {
                Settling::Positive
            } else if weight >= SETTLING_WEIGHT {
                Settling::None
            } else if weights.iter().enumerate().any(|(other, weight)| {
                let likelihood = &model.questions()[question].likelihood[cause];
                *weight >= SETTLING_WEIGHT && likelihood[other] < STILL_POSSIBLE
            }) {
                Settling::Negative
            } else {
                Settling::None
            }
        }
        Some(_) => Settling::None,
        None if situation.is_allowed(model.questions()[question].access)
            && is_alone(model, situation, cause, (question, finding)) =>
        {
            Settling::Open(question)
        }
        None => Settling::None,
    }
}
