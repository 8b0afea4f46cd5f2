//! One fault class as numbers: causes, questions, moves. Validated once, then trusted.

use std::fmt;

use super::moves::Moves;
use super::settings::Settings;

/// Most causes of a model, *something else* included.
pub const MOST_CAUSES: usize = 32;
/// Most questions of a model.
pub const MOST_QUESTIONS: usize = 128;
/// Most findings of a question.
pub const MOST_FINDINGS: usize = 16;
/// Most minutes any step may take: about two months.
pub const MOST_MINUTES: f64 = 100_000.0;

/// The step that settles one cause: a decisive measurement, or the repair and the run that proves it.
#[derive(Debug, Clone, PartialEq)]
pub struct Confirm {
    /// Minutes it takes.
    pub minutes: f64,
    /// Access it needs.
    pub access: usize,
    /// Access it ends in (a repair made isolated ends running, because only a run proves it).
    pub ends_in: usize,
}

/// A concrete, confirmable reason; the last of a model is *something else*.
#[derive(Debug, Clone, PartialEq)]
pub struct Cause {
    /// Name, unique among the causes.
    pub id: String,
    /// Share before any answer, above 0 (*something else*: 0 or more); all together 1.
    pub prior: f64,
    /// How it is confirmed; `None` only for *something else*, which ends in handing over.
    pub confirm: Option<Confirm>,
}

/// Something to observe, measure or try.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// Name, unique among the questions.
    pub id: String,
    /// Minutes it takes.
    pub minutes: f64,
    /// Access it needs.
    pub access: usize,
    /// Access it ends in.
    pub ends_in: usize,
    /// Names of its findings, two or more.
    pub findings: Vec<String>,
    /// `likelihood[cause][finding]`, each row 0 to 1 and together 1.
    pub likelihood: Vec<Vec<f64>>,
    /// Only answerable before the power was first taken away.
    pub before_power_off: bool,
}

/// Why a model was refused.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum ModelError {
    /// No access, or more than [`super::moves::MOST_ACCESSES`].
    AccessCount {
        /// How many there were.
        found: usize,
    },
    /// The table of moves is not square, has a bad number, or a start that is not there.
    MoveTable,
    /// No cause, or more than [`MOST_CAUSES`].
    CauseCount {
        /// How many there were.
        found: usize,
    },
    /// More than [`MOST_QUESTIONS`] questions.
    QuestionCount {
        /// How many there were.
        found: usize,
    },
    /// Fewer than two findings, or more than [`MOST_FINDINGS`].
    FindingCount {
        /// The question.
        id: String,
        /// How many there were.
        found: usize,
    },
    /// The same name twice in one list.
    Twice {
        /// The name.
        id: String,
    },
    /// A prior that is not above 0, or priors that do not sum to 1.
    Prior {
        /// The cause, or `all`.
        id: String,
    },
    /// A named cause without confirming action, or *something else* with one.
    ConfirmMissing {
        /// The cause.
        id: String,
    },
    /// Minutes below 0, above [`MOST_MINUTES`] or not a number.
    Minutes {
        /// The cause, question or `escalate`.
        id: String,
    },
    /// An access that the moves do not have.
    UnknownAccess {
        /// The cause or question.
        id: String,
    },
    /// A likelihood table of the wrong shape, or a row that is no distribution.
    Likelihood {
        /// The question.
        id: String,
    },
    /// A setting outside its range.
    Settings,
}

impl fmt::Display for ModelError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::AccessCount { found } => {
                write!(
                    out,
                    "{found} accesses; a class needs 1 to {}",
                    super::moves::MOST_ACCESSES
                )
            }
            Self::MoveTable => write!(
                out,
                "the table of moves must be square, 0 from an access to itself, and hold minutes of 0 or more"
            ),
            Self::CauseCount { found } => {
                write!(out, "{found} causes; a class needs 1 to {MOST_CAUSES}")
            }
            Self::QuestionCount { found } => {
                write!(out, "{found} questions; a class may have {MOST_QUESTIONS}")
            }
            Self::FindingCount { id, found } => {
                write!(
                    out,
                    "{id}: {found} findings; a question needs 2 to {MOST_FINDINGS}"
                )
            }
            Self::Twice { id } => write!(out, "{id}: the name is used twice"),
            Self::Prior { id } => {
                write!(
                    out,
                    "{id}: priors must be above 0 and sum to 1 (something else may be 0)"
                )
            }
            Self::ConfirmMissing { id } => write!(
                out,
                "{id}: every cause needs a confirming action, and something else, the last, must have none"
            ),
            Self::Minutes { id } => write!(out, "{id}: minutes must be 0 to {MOST_MINUTES}"),
            Self::UnknownAccess { id } => {
                write!(out, "{id}: names an access that the moves do not have")
            }
            Self::Likelihood { id } => {
                write!(
                    out,
                    "{id}: needs one row a cause, each of 0 to 1 a finding and summing to 1"
                )
            }
            Self::Settings => write!(out, "a setting is outside its range"),
        }
    }
}

impl std::error::Error for ModelError {}

/// A fault class that passed validation.
#[derive(Debug, Clone, PartialEq)]
pub struct Model {
    causes: Vec<Cause>,
    questions: Vec<Question>,
    moves: Moves,
    escalate_minutes: f64,
    settings: Settings,
    /// Floored likelihoods a question, `finding * causes + cause`.
    floored: Vec<Vec<f64>>,
    /// For each cause, the question and finding that settle it.
    settled_by: Vec<Option<(usize, usize)>>,
}

/// Sums that should be 1 may miss it by this much (they are then scaled to 1).
const SUM_SLACK: f64 = 1e-6;

impl Model {
    /// Validates, scales priors and rows to sum to exactly 1, and applies the floor.
    ///
    /// # Errors
    /// The first thing wrong, see [`ModelError`].
    pub fn new(
        mut causes: Vec<Cause>,
        mut questions: Vec<Question>,
        moves: Moves,
        escalate_minutes: f64,
        settings: Settings,
    ) -> Result<Self, ModelError> {
        if !settings.in_range() {
            return Err(ModelError::Settings);
        }
        if !is_minutes(escalate_minutes) {
            return Err(ModelError::Minutes {
                id: "escalate".to_owned(),
            });
        }
        check_causes(&causes, &moves)?;
        scale_to_one(causes.iter_mut().map(|cause| &mut cause.prior));
        if questions.len() > MOST_QUESTIONS {
            return Err(ModelError::QuestionCount {
                found: questions.len(),
            });
        }
        check_unique(questions.iter().map(|question| question.id.as_str()))?;
        for question in &mut questions {
            check_question(question, causes.len(), &moves)?;
            for row in &mut question.likelihood {
                scale_to_one(row.iter_mut());
            }
        }
        let floored = questions
            .iter()
            .map(|question| floored(question, settings.floor))
            .collect();
        let settled_by = vec![None; causes.len()];
        Ok(Self {
            causes,
            questions,
            moves,
            escalate_minutes,
            settings,
            floored,
            settled_by,
        })
    }

    /// The model in which, cause by cause, a finding of a question is itself the confirmation.
    /// Pairs that name no question or finding of the model are left out.
    #[must_use]
    pub fn with_settling(mut self, settled_by: Vec<Option<(usize, usize)>>) -> Self {
        let exists = |(question, finding): &(usize, usize)| {
            self.questions
                .get(*question)
                .is_some_and(|question| *finding < question.findings.len())
        };
        self.settled_by = settled_by
            .into_iter()
            .map(|pair| pair.filter(exists))
            .collect();
        self
    }

    /// The question and the finding that settle a cause, where one does.
    #[must_use]
    pub fn settled_by(&self, cause: usize) -> Option<(usize, usize)> {
        self.settled_by.get(cause).copied().flatten()
    }

    /// The causes; the last is *something else*.
    #[must_use]
    pub fn causes(&self) -> &[Cause] {
        &self.causes
    }

    /// Index of *something else*.
    #[must_use]
    pub fn something_else(&self) -> usize {
        self.causes.len() - 1
    }

    /// The questions.
    #[must_use]
    pub fn questions(&self) -> &[Question] {
        &self.questions
    }

    /// The moves.
    #[must_use]
    pub fn moves(&self) -> &Moves {
        &self.moves
    }

    /// Price of handing over to a specialist, minutes; it ends the walk and is always open.
    #[must_use]
    pub fn escalate_minutes(&self) -> f64 {
        self.escalate_minutes
    }

    /// The settings.
    #[must_use]
    pub fn settings(&self) -> &Settings {
        &self.settings
    }

    /// Floored likelihood of a finding under each cause, L' = (1 - floor) L + floor / K;
    /// empty for a question or finding that does not exist.
    #[must_use]
    pub fn floored(&self, question: usize, finding: usize) -> &[f64] {
        self.floored
            .get(question)
            .and_then(|rows| rows.chunks_exact(self.causes.len()).nth(finding))
            .unwrap_or_default()
    }
}

/// Whether a number can be minutes.
pub(super) fn is_minutes(value: f64) -> bool {
    (0.0..=MOST_MINUTES).contains(&value)
}

fn check_causes(causes: &[Cause], moves: &Moves) -> Result<(), ModelError> {
    if causes.is_empty() || causes.len() > MOST_CAUSES {
        return Err(ModelError::CauseCount {
            found: causes.len(),
        });
    }
    check_unique(causes.iter().map(|cause| cause.id.as_str()))?;
    let last = causes.len() - 1;
    for (index, cause) in causes.iter().enumerate() {
        let least = if index == last {
            0.0
        } else {
            f64::MIN_POSITIVE
        };
        if !(least..=1.0 + SUM_SLACK).contains(&cause.prior) {
            return Err(ModelError::Prior {
                id: cause.id.clone(),
            });
        }
        match &cause.confirm {
            Some(confirm) if index != last => {
                check_step(
                    &cause.id,
                    confirm.minutes,
                    [confirm.access, confirm.ends_in],
                    moves,
                )?;
            }
            None if index == last => {}
            _ => {
                return Err(ModelError::ConfirmMissing {
                    id: cause.id.clone(),
                });
            }
        }
    }
    if !sums_to_one(causes.iter().map(|cause| cause.prior)) {
        return Err(ModelError::Prior {
            id: "all".to_owned(),
        });
    }
    Ok(())
}

fn check_question(question: &Question, causes: usize, moves: &Moves) -> Result<(), ModelError> {
    let findings = question.findings.len();
    if !(2..=MOST_FINDINGS).contains(&findings) {
        return Err(ModelError::FindingCount {
            id: question.id.clone(),
            found: findings,
        });
    }
    check_unique(question.findings.iter().map(String::as_str))?;
    check_step(
        &question.id,
        question.minutes,
        [question.access, question.ends_in],
        moves,
    )?;
    let is_distribution = |row: &Vec<f64>| {
        row.len() == findings
            && row
                .iter()
                .all(|value| (0.0..=1.0 + SUM_SLACK).contains(value))
            && sums_to_one(row.iter().copied())
    };
    if question.likelihood.len() != causes || !question.likelihood.iter().all(is_distribution) {
        return Err(ModelError::Likelihood {
            id: question.id.clone(),
        });
    }
    Ok(())
}

fn check_step(
    id: &str,
    minutes: f64,
    accesses: [usize; 2],
    moves: &Moves,
) -> Result<(), ModelError> {
    if !is_minutes(minutes) {
        return Err(ModelError::Minutes { id: id.to_owned() });
    }
    if accesses
        .iter()
        .any(|access| *access >= moves.accesses().len())
    {
        return Err(ModelError::UnknownAccess { id: id.to_owned() });
    }
    Ok(())
}

fn check_unique<'a>(ids: impl Iterator<Item = &'a str>) -> Result<(), ModelError> {
    let mut seen = std::collections::BTreeSet::new();
    for id in ids {
        if !seen.insert(id) {
            return Err(ModelError::Twice { id: id.to_owned() });
        }
    }
    Ok(())
}

fn sums_to_one(values: impl Iterator<Item = f64>) -> bool {
    (values.sum::<f64>() - 1.0).abs() <= SUM_SLACK
}

fn scale_to_one<'a>(values: impl Iterator<Item = &'a mut f64>) {
    let values: Vec<&mut f64> = values.collect();
    let sum: f64 = values.iter().map(|value| **value).sum();
    for value in values {
        *value /= sum;
    }
}

fn floored(question: &Question, floor: f64) -> Vec<f64> {
    let findings = question.findings.len();
    let even = floor / findings as f64;
    (0..findings)
        .flat_map(|finding| {
            question
                .likelihood
                .iter()
                .map(move |row| (1.0 - floor) * row[finding] + even)
        })
        .collect()
}
