//! A walk: the answers so far and what follows from them. Every step is a pure function; "back" is
//! the shorter walk.

use super::belief::{Answer, AnswerError, Belief};
use super::case::{Case, place};
use super::reply::{Nameplate, Reply};
use super::situation::Situation;
pub use super::turn::Turn;
use super::turn::{self, Settling};
use super::verdict::{self, Verdict};
use crate::knowledge::Access;

/// One thing that was answered.
#[derive(Clone, Debug)]
pub enum Given {
    /// A question was answered.
    Found {
        /// Index of the question.
        question: usize,
        /// The answer.
        reply: Box<Reply>,
    },
    /// A question could not be answered.
    Cannot {
        /// Index of the question.
        question: usize,
    },
    /// The confirming step of a cause was positive.
    Confirmed {
        /// Index of the cause.
        cause: usize,
    },
    /// The confirming step of a cause was negative, or the trouble came back after the remedy.
    NotConfirmed {
        /// Index of the cause.
        cause: usize,
    },
    /// The confirming step can't be done now.
    Postponed {
        /// Index of the cause.
        cause: usize,
    },
}

/// A step that was done.
#[derive(Clone, Debug)]
pub struct Step {
    /// What was answered.
    pub given: Given,
    /// Minutes of the step with its move, as planned.
    pub minutes: f64,
    /// The access that it needed.
    pub access: Access,
    /// It was said at the start, not asked for.
    pub volunteered: bool,
}

/// The answers so far.
#[derive(Clone, Debug)]
pub struct Walk<'k> {
    /// The class as a model.
    pub case: Case<'k>,
    /// Values known beforehand.
    pub nameplate: Nameplate,
    /// What was done.
    pub steps: Vec<Step>,
    /// Accesses that the user may work in; in the order of [`Access::ALL`].
    pub allowed: [bool; 4],
}

impl<'k> Walk<'k> {
    /// A walk without answers.
    pub fn new(case: Case<'k>, nameplate: Nameplate) -> Walk<'k> {
        Walk {
            case,
            nameplate,
            steps: Vec::new(),
            allowed: [true; 4],
        }
    }

    /// The access in which the walk stands.
    pub fn access(&self) -> Access {
        Access::ALL[self.situation().access.min(3)]
    }

    /// The walk with one more answer.
    #[must_use]
    pub fn answered(&self, given: Given, volunteered: bool) -> Walk<'k> {
        let (access, minutes) = self.price(&given, volunteered);
        let mut next = self.clone();
        next.steps.push(Step {
            given,
            minutes,
            access,
            volunteered,
        });
        next
    }

    /// The walk without its last answer, and that answer.
    pub fn back(&self) -> Option<Walk<'k>> {
        let mut shorter = self.clone();
        shorter.steps.pop().map(|_| shorter)
    }

    /// Minutes spent so far, as planned.
    pub fn minutes(&self) -> f64 {
        self.steps.iter().map(|step| step.minutes).sum()
    }

    /// Whether a question was answered or given up.
    pub fn is_answered(&self, index: usize) -> bool {
        self.steps.iter().any(|step| match &step.given {
            Given::Found { question, .. } | Given::Cannot { question } => *question == index,
            _ => false,
        })
    }

    /// The answer to a question.
    pub fn reply(&self, index: usize) -> Option<&Reply> {
        self.steps.iter().find_map(|step| match &step.given {
            Given::Found { question, reply } if *question == index => Some(reply.as_ref()),
            _ => None,
        })
    }

    /// The shares of the causes.
    ///
    /// # Errors
    /// When the answers do not fit the model, which this type prevents.
    pub fn belief(&self) -> Result<Belief, AnswerError> {
        Belief::from_answers(&self.case.model, &self.situation().answers)
    }

    /// The cause that was confirmed.
    pub fn confirmed(&self) -> Option<usize> {
        self.steps.iter().rev().find_map(|step| match step.given {
            Given::Confirmed { cause } => Some(cause),
            _ => None,
        })
    }

    /// How the walk stands.
    ///
    /// # Errors
    /// As [`Walk::belief`].
    pub fn verdict(&self) -> Result<Verdict, AnswerError> {
        Ok(verdict::verdict(&self.belief()?, self.confirmed()))
    }

    /// What comes next.
    ///
    /// # Errors
    /// As [`Walk::belief`].
    pub fn turn(&self) -> Result<Turn, AnswerError> {
        if let Some(cause) = self.confirmed() {
            return Ok(Turn::Settled { cause });
        }
        turn::turn(&self.case.model, &self.situation())
    }

    /// The walk as the planner sees it.
    pub fn situation(&self) -> Situation {
        let mut situation = Situation::at_start(&self.case.model);
        situation.allowed = self.allowed.to_vec();
        for step in &self.steps {
            let answer = match &step.given {
                Given::Found { question, reply } => Answer::Found {
                    question: *question,
                    weights: reply.weights.clone(),
                },
                Given::Cannot { question } => Answer::Cannot {
                    question: *question,
                },
                Given::NotConfirmed { cause } => Answer::NotConfirmed { cause: *cause },
                Given::Postponed { cause } => {
                    situation.excluded_causes.push(*cause);
                    continue;
                }
                Given::Confirmed { .. } => continue,
            };
            if step.volunteered {
                // What was known at the start moves nobody.
                situation.answers.push(answer);
            } else if let Ok(next) = situation.answered(&self.case.model, answer) {
                situation = next;
            }
        }
        situation
    }

    fn price(&self, given: &Given, volunteered: bool) -> (Access, f64) {
        let here = self.situation().access;
        let priced = |access: Access, minutes: f64| {
            let moving = self.case.model.moves().minutes(here, place(access));
            (access, if volunteered { 0.0 } else { minutes + moving })
        };
        match given {
            Given::Found { question, .. } => {
                let question = self.case.questions[*question];
                priced(question.access, question.minutes)
            }
            Given::Confirmed { cause } | Given::NotConfirmed { cause } => {
                let confirm = &self.case.causes[*cause].confirm;
                let settled = turn::settling(&self.case.model, &self.situation(), *cause)
                    == Settling::Positive;
                priced(confirm.access, if settled { 0.0 } else { confirm.minutes })
            }
            Given::Cannot { question } => (self.case.questions[*question].access, 0.0),
            Given::Postponed { cause } => (self.case.causes[*cause].confirm.access, 0.0),
        }
    }
}
