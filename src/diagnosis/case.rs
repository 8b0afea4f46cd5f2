//! A fault class as a model: what the knowledge says in words becomes numbers here, once.

use std::collections::BTreeMap;

use super::learning;
use super::levels::{self, HowLikely};
use super::model::{self, Model, ModelError};
use super::moves::{self, Moves};
use super::scope;
use super::settings::Settings;
use crate::knowledge::{self, Access, FaultClass, HowOften, Level, Library};

/// Minutes to get from one access to another, in the order of [`Access::ALL`]: into `isolated` counts
/// switching off, locking, the wait and proving dead; back counts closing up and energising.
/// Common practice, no source.
const MOVES: [[f64; 4]; 4] = [
    [0.0, 1.0, 5.0, 18.0],
    [1.0, 0.0, 5.0, 18.0],
    [5.0, 5.0, 0.0, 14.0],
    [14.0, 14.0, 14.0, 0.0],
];

/// Price of one step at live parts, in minutes that one would rather spend otherwise (common
/// practice, no source).
const LIVE_HAZARD: f64 = 10.0;

/// Minutes that a call to a specialist is worth (common practice, no source).
const ESCALATE: f64 = 240.0;

/// Share of causes that nobody listed (common practice, no source).
const SOMETHING_ELSE: f64 = levels::SOMETHING_ELSE;

/// The id that stands for a cause nobody listed.
pub const SOMETHING_ELSE_ID: &str = "something-else";

/// What the plant's log knows of the causes of a class: weighted counts by cause id.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct History {
    /// Of the plant's other drives.
    pub other_drives: BTreeMap<String, f64>,
    /// Of this drive.
    pub this_drive: BTreeMap<String, f64>,
}

impl History {
    /// Whether the log has anything to say.
    pub fn is_empty(&self) -> bool {
        self.other_drives.is_empty() && self.this_drive.is_empty()
    }
}

/// A class, its items in the order of the model, and the model.
#[derive(Clone, Debug)]
pub struct Case<'k> {
    /// The class.
    pub class: &'k FaultClass,
    /// Its causes; the model has *something else* behind them.
    pub causes: Vec<&'k knowledge::Cause>,
    /// How often each is behind the class by the built-in judgement.
    pub how_often: Vec<HowOften>,
    /// Its questions.
    pub questions: Vec<&'k knowledge::Question>,
    /// The numbers.
    pub model: Model,
    /// What the log added.
    pub history: History,
}

impl<'k> Case<'k> {
    /// Turns a class into a model.
    ///
    /// # Errors
    /// When the numbers of the knowledge do not make a model; the knowledge check prevents it.
    pub fn compile(
        library: &'k Library,
        class: &'k FaultClass,
        history: History,
    ) -> Result<Case<'k>, ModelError> {
        let (causes, how_often): (Vec<_>, Vec<_>) =
            scope::causes_of(library, class).into_iter().unzip();
        let questions = scope::questions_of(library, class);
        let priors = priors(&causes, &how_often, &history);
        let mut model_causes: Vec<model::Cause> = causes
            .iter()
            .zip(&priors)
            .map(|(cause, prior)| model::Cause {
                id: cause.id.clone(),
                prior: *prior,
                confirm: Some(model::Confirm {
                    minutes: cause.confirm.minutes,
                    access: place(cause.confirm.access),
                    ends_in: place(cause.confirm.ends_in),
                }),
            })
            .collect();
        model_causes.push(model::Cause {
            id: SOMETHING_ELSE_ID.to_owned(),
            prior: priors.last().copied().unwrap_or(1.0),
            confirm: None,
        });
        let model_questions = questions
            .iter()
            .map(|question| model_question(question, &causes))
            .collect();
        let model = Model::new(
            model_causes,
            model_questions,
            access_moves()?,
            ESCALATE,
            Settings::default(),
        )?
        .with_settling(settling(&causes, &questions));
        Ok(Case {
            class,
            causes,
            how_often,
            questions,
            model,
            history,
        })
    }

    /// Index of a question by id or by its short word.
    pub fn question_index(&self, name: &str) -> Option<usize> {
        let by_id = self
            .questions
            .iter()
            .position(|question| question.id == name);
        by_id.or_else(|| {
            self.questions
                .iter()
                .position(|question| question.short.as_deref() == Some(name))
        })
    }

    /// Index of a cause by id.
    pub fn cause_index(&self, id: &str) -> Option<usize> {
        self.causes.iter().position(|cause| cause.id == id)
    }

    /// Name of a cause, *something else* included.
    pub fn cause_name(&self, index: usize) -> &str {
        self.causes
            .get(index)
            .map_or("Something not on this list", |cause| &cause.name)
    }
}

/// For each cause the question and finding that settle it, as indices.
fn settling(
    causes: &[&knowledge::Cause],
    questions: &[&knowledge::Question],
) -> Vec<Option<(usize, usize)>> {
    let place_of = |cause: &&knowledge::Cause| {
        let (question, finding) = cause.confirm.settled_by.as_ref()?;
        let index = questions.iter().position(|one| one.id == *question)?;
        let findings = &questions[index].findings;
        Some((index, findings.iter().position(|one| one.id == *finding)?))
    };
    causes.iter().map(place_of).collect()
}

/// Index of an access in the model.
pub fn place(access: Access) -> usize {
    Access::ALL
        .iter()
        .position(|one| *one == access)
        .unwrap_or(0)
}

fn access_moves() -> Result<Moves, ModelError> {
    let accesses = Access::ALL
        .iter()
        .map(|access| moves::Access {
            name: access.word().to_owned(),
            hazard: if *access == Access::Live {
                LIVE_HAZARD
            } else {
                0.0
            },
            powers_off: *access == Access::Isolated,
        })
        .collect();
    let minutes: Vec<Vec<f64>> = MOVES.iter().map(|row| row.to_vec()).collect();
    Moves::new(accesses, 0, &minutes)
}

fn priors(causes: &[&knowledge::Cause], how_often: &[HowOften], history: &History) -> Vec<f64> {
    let levels: Vec<levels::HowOften> = how_often
        .iter()
        .map(|level| match level {
            HowOften::Often => levels::HowOften::Often,
            HowOften::Sometimes => levels::HowOften::Sometimes,
            HowOften::Rarely => levels::HowOften::Rarely,
        })
        .collect();
    let judged = levels::priors(&levels, SOMETHING_ELSE);
    let counts = |by_id: &BTreeMap<String, f64>| -> Vec<f64> {
        let named = causes
            .iter()
            .map(|cause| by_id.get(&cause.id).copied().unwrap_or(0.0));
        named
            .chain([by_id.get(SOMETHING_ELSE_ID).copied().unwrap_or(0.0)])
            .collect()
    };
    learning::learned_for_drive(
        &judged,
        &counts(&history.other_drives),
        &counts(&history.this_drive),
    )
}

fn model_question(question: &knowledge::Question, causes: &[&knowledge::Cause]) -> model::Question {
    let base: Vec<f64> = question
        .findings
        .iter()
        .map(|finding| finding.base)
        .collect();
    let row = |cause: &&knowledge::Cause| {
        let stated: Vec<Option<HowLikely>> = question
            .findings
            .iter()
            .map(|finding| {
                cause
                    .signs
                    .iter()
                    .find(|sign| sign.question == question.id && sign.finding == finding.id)
                    .map(|sign| how_likely(sign.level))
            })
            .collect();
        levels::cause_row(&base, &stated)
    };
    model::Question {
        id: question.id.clone(),
        minutes: question.minutes,
        access: place(question.access),
        ends_in: place(question.ends_in),
        findings: question
            .findings
            .iter()
            .map(|finding| finding.id.clone())
            .collect(),
        likelihood: causes
            .iter()
            .map(row)
            .chain([levels::something_else_row(&base)])
            .collect(),
        before_power_off: question.before_power_off,
    }
}

fn how_likely(level: Level) -> HowLikely {
    match level {
        Level::Never => HowLikely::Never,
        Level::Rarely => HowLikely::Rarely,
        Level::Sometimes => HowLikely::Sometimes,
        Level::Usually => HowLikely::Usually,
        Level::Always => HowLikely::Always,
    }
}
