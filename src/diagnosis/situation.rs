//! Where a walk stands: what was answered, where the person is, what is possible.

use super::belief::{Answer, AnswerError};
use super::model::Model;

/// Everything the planner needs besides the model.
#[derive(Debug, Clone, PartialEq)]
pub struct Situation {
    /// Answers so far, in the order given.
    pub answers: Vec<Answer>,
    /// Access the walk is in.
    pub access: usize,
    /// The power was taken away at some time of the walk.
    pub was_powered_off: bool,
    /// One entry an access: whether this person may work there. Steps that need another access
    /// are not offered at any price. Empty means all.
    pub allowed: Vec<bool>,
    /// Questions not to ask.
    pub excluded_questions: Vec<usize>,
    /// Causes whose confirming action is not to be tried; they are skipped, not ruled out.
    pub excluded_causes: Vec<usize>,
}

impl Situation {
    /// Before the first question, everything allowed.
    #[must_use]
    pub fn at_start(model: &Model) -> Self {
        Self {
            answers: Vec::new(),
            access: model.moves().start(),
            was_powered_off: false,
            allowed: Vec::new(),
            excluded_questions: Vec::new(),
            excluded_causes: Vec::new(),
        }
    }

    /// The situation after one more answer: the walk is then where that step ends.
    /// A question that cannot be answered moves nobody.
    ///
    /// # Errors
    /// When there is no such question or cause.
    pub fn answered(&self, model: &Model, answer: Answer) -> Result<Self, AnswerError> {
        let step = match &answer {
            Answer::Cannot { .. } => None,
            Answer::Found { question, .. } => {
                let asked = model.questions().get(*question);
                let asked = asked.ok_or(AnswerError::UnknownQuestion {
                    question: *question,
                })?;
                Some((asked.access, asked.ends_in))
            }
            Answer::NotConfirmed { cause } => {
                let confirm = model
                    .causes()
                    .get(*cause)
                    .and_then(|cause| cause.confirm.as_ref());
                let confirm = confirm.ok_or(AnswerError::UnknownCause { cause: *cause })?;
                Some((confirm.access, confirm.ends_in))
            }
        };
        let mut next = self.clone();
        next.answers.push(answer);
        if let Some((access, ends_in)) = step {
            next.was_powered_off |= powers_off(model, access) || powers_off(model, ends_in);
            next.access = ends_in;
        }
        Ok(next)
    }

    /// Whether this person may work in an access.
    #[must_use]
    pub fn is_allowed(&self, access: usize) -> bool {
        self.allowed.is_empty() || self.allowed.get(access).copied().unwrap_or(false)
    }

    /// Whether the power was taken away, the access the walk is in included.
    #[must_use]
    pub fn powered_off(&self, model: &Model) -> bool {
        self.was_powered_off || powers_off(model, self.access)
    }
}

fn powers_off(model: &Model, access: usize) -> bool {
    model
        .moves()
        .accesses()
        .get(access)
        .is_some_and(|access| access.powers_off)
}
