//! The whole plan of a class as a decision tree, for printing.
//!
//! The tree takes its steps from [`turn()`] as a live walk does; where a branch is reached too seldom
//! to be worth paper, the confirm-only list stands in. A walk that gives the printed answers sees the
//! printed steps.

use super::belief::{Answer, AnswerError, Belief};
use super::model::Model;
use super::planner::confirm_only;
use super::situation::Situation;
use super::turn::{Settling, Turn, settling, turn};

/// A compiled tree.
#[derive(Debug, Clone, PartialEq)]
pub struct Tree {
    /// The first step.
    pub root: Node,
    /// What a walk along this tree costs on average, hazard prices included.
    pub expected_minutes: f64,
}

/// One place of the tree.
#[derive(Debug, Clone, PartialEq)]
pub enum Node {
    /// Ask, then go on by finding.
    Ask {
        /// The question.
        question: usize,
        /// The cause that it would settle, if it is asked for that.
        confirms: Option<usize>,
        /// Access the walk comes from.
        from: usize,
        /// Minutes of the move to the question's access.
        move_minutes: f64,
        /// One branch a finding, in the question's order.
        branches: Vec<Branch>,
    },
    /// Try to confirm a cause and go on asking if it was not it.
    Confirm {
        /// The step.
        step: Step,
        /// What follows when it was not it.
        otherwise: Box<Node>,
    },
    /// The finding before has settled a cause.
    Settled {
        /// The cause.
        cause: usize,
    },
    /// Confirm in this order, then hand over.
    Leaf {
        /// The order; empty means hand over at once.
        steps: Vec<Step>,
    },
}

/// One branch of a question.
#[derive(Debug, Clone, PartialEq)]
pub struct Branch {
    /// The finding.
    pub finding: usize,
    /// Its chance at this question, 0 to 1.
    pub chance: f64,
    /// Its chance from the start of the tree, 0 to 1.
    pub reach: f64,
    /// What follows.
    pub then: Node,
}

/// One confirming action of the tree.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// The cause.
    pub cause: usize,
    /// Its share at this point.
    pub share: f64,
    /// Chance from the start of the tree to get to this step.
    pub reach: f64,
    /// Access the walk comes from.
    pub from: usize,
    /// Minutes of the move.
    pub move_minutes: f64,
    /// Minutes of the action itself.
    pub minutes: f64,
    /// Access it needs.
    pub access: usize,
    /// Access it ends in.
    pub ends_in: usize,
}

/// Reach below which a branch becomes a list, for one page (`practice`).
pub const REACH_ONE_PAGE: f64 = 0.03;
/// Reach below which a branch becomes a list, for a text (`practice`).
pub const REACH_TEXT: f64 = 0.01;

/// Compiles the tree from a situation; a branch reached with less chance than `cut` is a list.
///
/// # Errors
/// As [`plan`].
pub fn compile(model: &Model, situation: &Situation, cut: f64) -> Result<Tree, AnswerError> {
    let mut minutes = 0.0;
    let root = grow(model, situation, 1.0, cut, &mut minutes)?;
    Ok(Tree {
        root,
        expected_minutes: minutes,
    })
}

fn grow(
    model: &Model,
    situation: &Situation,
    reach: f64,
    cut: f64,
    minutes: &mut f64,
) -> Result<Node, AnswerError> {
    if reach <= 0.0 {
        return Ok(Node::Leaf { steps: Vec::new() });
    }
    if reach < cut {
        return listed(model, situation, reach, minutes);
    }
    match turn(model, situation)? {
        Turn::Settled { cause } => Ok(Node::Settled { cause }),
        Turn::HandOver { .. } => {
            *minutes += reach * model.escalate_minutes();
            Ok(Node::Leaf { steps: Vec::new() })
        }
        Turn::Confirm { cause, .. } => {
            let (step, next, left) = confirm(model, situation, cause, reach, minutes)?;
            Ok(match grow(model, &next, left, cut, minutes)? {
                Node::Leaf { mut steps } => {
                    steps.insert(0, step);
                    Node::Leaf { steps }
                }
                otherwise => Node::Confirm {
                    step,
                    otherwise: Box::new(otherwise),
                },
            })
        }
        Turn::Ask {
            question, confirms, ..
        } => {
            let asked = &model.questions()[question];
            let move_minutes = model.moves().minutes(situation.access, asked.access);
            *minutes += reach
                * (move_minutes + asked.minutes + model.moves().accesses()[asked.access].hazard);
            let chances = Belief::from_answers(model, &situation.answers)?.chances(model, question);
            let mut branches = Vec::with_capacity(chances.len());
            for (finding, chance) in chances.into_iter().enumerate() {
                if chance > 0.0 {
                    let next =
                        situation.answered(model, Answer::found(model, question, finding))?;
                    let then = grow(model, &next, reach * chance, cut, minutes)?;
                    branches.push(Branch {
                        finding,
                        chance,
                        reach: reach * chance,
                        then,
                    });
                }
            }
            Ok(Node::Ask {
                question,
                confirms,
                from: situation.access,
                move_minutes,
                branches,
            })
        }
    }
}

fn listed(
    model: &Model,
    situation: &Situation,
    reach: f64,
    minutes: &mut f64,
) -> Result<Node, AnswerError> {
    let order = confirm_only(model, situation)?;
    if let Some(cause) = order.first()
        && settling(model, situation, *cause) == Settling::Positive
    {
        return Ok(Node::Settled { cause: *cause });
    }
    let mut now = (situation.clone(), reach);
    let mut steps = Vec::new();
    for cause in order {
        if now.1 <= 0.0 {
            break;
        }
        let (step, next, left) = confirm(model, &now.0, cause, now.1, minutes)?;
        steps.push(step);
        now = (next, left);
    }
    *minutes += now.1 * model.escalate_minutes();
    Ok(Node::Leaf { steps })
}

/// One confirming action, the situation when it fails and the chance of that from the start.
fn confirm(
    model: &Model,
    situation: &Situation,
    cause: usize,
    reach: f64,
    minutes: &mut f64,
) -> Result<(Step, Situation, f64), AnswerError> {
    let belief = Belief::from_answers(model, &situation.answers)?;
    let unknown = AnswerError::UnknownCause { cause };
    let action = model
        .causes()
        .get(cause)
        .and_then(|cause| cause.confirm.as_ref())
        .ok_or(unknown)?;
    let move_minutes = model.moves().minutes(situation.access, action.access);
    *minutes +=
        reach * (move_minutes + action.minutes + model.moves().accesses()[action.access].hazard);
    let step = Step {
        cause,
        share: belief.posterior()[cause],
        reach,
        from: situation.access,
        move_minutes,
        minutes: action.minutes,
        access: action.access,
        ends_in: action.ends_in,
    };
    let kept = |index: usize| {
        if index == cause {
            model.settings().wrongly_ruled_out
        } else {
            1.0
        }
    };
    let fails: f64 = belief
        .weights()
        .iter()
        .enumerate()
        .map(|(index, share)| share * kept(index))
        .sum();
    let next = situation.answered(model, Answer::NotConfirmed { cause })?;
    Ok((step, next, reach * fails))
}
