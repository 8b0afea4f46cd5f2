//! Replays a recorded case: the walk asks in its own order and the facts answer.

use super::belief::AnswerError;
use super::record::{CANNOT, Fact, FactError, Known, understand};
use super::reply;
use super::walk::{Given, Turn, Walk};
use crate::knowledge::Library;

/// A reading that can't be judged yet.
#[derive(Clone, Debug)]
pub struct Unjudged {
    /// The number of its question.
    pub question: usize,
    /// The key and what was read, as typed.
    pub key: String,
    pub value: String,
    /// The nameplate values without which its sum says nothing.
    pub lacks: Vec<&'static str>,
}

/// Facts that a walk can use, and those that it can't.
#[derive(Clone, Debug)]
pub struct Facts<'k> {
    /// The walk with the nameplate values in it and nothing answered.
    pub walk: Walk<'k>,
    /// The answers.
    pub answers: Vec<Given>,
    /// Keys that belong to other classes.
    pub not_used: Vec<String>,
    /// Readings that can't be judged: the question, what was read, and the nameplate values that lack.
    pub unjudged: Vec<Unjudged>,
    /// What was recorded and makes no sense under this knowledge, with the reason.
    pub differing: Vec<String>,
}

/// Reads facts for a walk: nameplate values first, since readings are judged by them.
///
/// # Errors
/// The first fact that makes no sense.
pub fn read<'k>(library: &Library, walk: Walk<'k>, facts: &[Fact]) -> Result<Facts<'k>, FactError> {
    read_each(library, walk, facts, Err)
}

/// Reads what was recorded under this or an older knowledge: what makes no sense any more is left
/// out and told.
pub fn read_recorded<'k>(library: &Library, walk: Walk<'k>, facts: &[Fact]) -> Facts<'k> {
    let mut differing = Vec::new();
    let read = read_each(library, walk.clone(), facts, |error| {
        differing.push(error.to_string());
        Ok(())
    });
    let mut read = read.unwrap_or_else(|_| Facts::none(walk));
    read.differing = differing;
    read
}

fn read_each<'k>(
    library: &Library,
    walk: Walk<'k>,
    facts: &[Fact],
    mut refuse: impl FnMut(FactError) -> Result<(), FactError>,
) -> Result<Facts<'k>, FactError> {
    let mut read = Facts::none(walk);
    let is_nameplate =
        |fact: &&Fact| read.walk.case.question_index(&fact.0).is_none() && !fact.0.contains('-');
    let (first, then): (Vec<&Fact>, Vec<&Fact>) = facts.iter().partition(is_nameplate);
    for fact in first.into_iter().chain(then) {
        let (key, value) = fact;
        match understand(library, &read.walk, fact) {
            Ok(Known::Answer(Given::Cannot { question })) if value != CANNOT => {
                let asked = read.walk.case.questions[question];
                let lacks = reply::missing_nameplate(asked, &read.walk.nameplate);
                read.unjudged.push(Unjudged {
                    question,
                    key: key.clone(),
                    value: value.clone(),
                    lacks: lacks.iter().map(|input| input.name).collect(),
                });
                read.answers.push(Given::Cannot { question });
            }
            Ok(Known::Answer(given)) => read.answers.push(given),
            Ok(Known::Nameplate(name, value)) => {
                read.walk.nameplate.insert(name, value);
            }
            Ok(Known::NotUsed(key)) => read.not_used.push(key),
            Err(error) => refuse(error)?,
        }
    }
    Ok(read)
}

impl<'k> Facts<'k> {
    fn none(walk: Walk<'k>) -> Facts<'k> {
        Facts {
            walk,
            answers: Vec::new(),
            not_used: Vec::new(),
            unjudged: Vec::new(),
            differing: Vec::new(),
        }
    }

    /// With answers that were given besides; they take the place of recorded ones.
    #[must_use]
    pub fn with_more(mut self, answers: Vec<Given>, not_used: Vec<String>) -> Facts<'k> {
        let about = |given: &Given| match given {
            Given::Found { question, .. } | Given::Cannot { question } => (Some(*question), None),
            Given::Confirmed { cause }
            | Given::NotConfirmed { cause }
            | Given::Postponed { cause } => (None, Some(*cause)),
        };
        self.answers
            .retain(|old| answers.iter().all(|new| about(new) != about(old)));
        self.answers.extend(answers);
        self.not_used.extend(not_used);
        self
    }

    fn answer_to(&self, index: usize) -> Option<&Given> {
        self.answers.iter().find(|given| match given {
            Given::Found { question, .. } | Given::Cannot { question } => *question == index,
            _ => false,
        })
    }

    fn outcome_of(&self, index: usize) -> Option<&Given> {
        self.answers.iter().find(|given| match given {
            Given::Confirmed { cause }
            | Given::NotConfirmed { cause }
            | Given::Postponed { cause } => *cause == index,
            _ => false,
        })
    }

    /// Ids of questions that have a fact but were not asked, since the cause was clear before.
    pub fn not_needed<'w>(&self, walk: &'w Walk<'_>) -> Vec<&'w str> {
        self.answers
            .iter()
            .filter_map(|given| match given {
                Given::Found { question, .. } if !walk.is_answered(*question) => {
                    Some(walk.case.questions[*question].id.as_str())
                }
                _ => None,
            })
            .collect()
    }

    /// The walk with every fact given at the start.
    pub fn all_given(&self) -> Walk<'k> {
        self.answers.iter().fold(self.walk.clone(), |walk, given| {
            walk.answered(given.clone(), true)
        })
    }

    /// The walk in its own order. A question without a fact counts as "can't measure", a confirming
    /// step without one as postponed. Facts that the walk did not ask for are taken at the end.
    ///
    /// # Errors
    /// When the answers do not fit the model, which [`Walk`] prevents.
    pub fn replayed(&self) -> Result<Walk<'k>, AnswerError> {
        let mut walk = self.run_on(self.walk.clone())?;
        if walk.confirmed().is_some() {
            return Ok(walk);
        }
        for given in &self.answers {
            let open = match given {
                Given::Found { question, .. } => !walk.is_answered(*question),
                _ => false,
            };
            if open {
                walk = walk.answered(given.clone(), true);
            }
        }
        walk = self.run_on(walk)?;
        let confirmed = self
            .answers
            .iter()
            .find(|given| matches!(given, Given::Confirmed { .. }));
        Ok(match confirmed {
            Some(given) if walk.confirmed().is_none() => walk.answered(given.clone(), true),
            _ => walk,
        })
    }

    fn run_on(&self, mut walk: Walk<'k>) -> Result<Walk<'k>, AnswerError> {
        // Every turn answers a question or settles a cause, so this ends by itself; the bound is
        // there for whoever changes that.
        for _ in 0..=walk.case.questions.len() + walk.case.causes.len() {
            if walk.confirmed().is_some() {
                break;
            }
            let given = match walk.turn()? {
                Turn::Ask { question, .. } => self
                    .answer_to(question)
                    .cloned()
                    .unwrap_or(Given::Cannot { question }),
                Turn::Confirm { cause, .. } => self
                    .outcome_of(cause)
                    .cloned()
                    .unwrap_or(Given::Postponed { cause }),
                Turn::Settled { cause } => Given::Confirmed { cause },
                Turn::HandOver { .. } => break,
            };
            walk = walk.answered(given, false);
        }
        Ok(walk)
    }
}
