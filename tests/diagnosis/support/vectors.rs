//! The reference numbers of `tests/data/diagnosis-vectors.json`: posteriors by exact rational
//! enumeration, equal to the general-purpose libraries pgmpy and pyAgrum; optima by two
//! independent recursions. Rounded to 12 digits.

use std::collections::BTreeMap;

use serde::Deserialize;
use serde_json::Value;
use whytrip::diagnosis::belief::Answer;
use whytrip::diagnosis::model::{Cause, Confirm, Model, Question};
use whytrip::diagnosis::moves::{Access, Moves};
use whytrip::diagnosis::settings::Settings;

#[derive(Deserialize)]
pub struct Vectors {
    pub models: Vec<VectorModel>,
    pub soft_readings: Vec<SoftReading>,
    pub soft_reading_case: Case,
    pub floor_cases: Vec<Case>,
    pub level_values: BTreeMap<String, f64>,
    pub level_rows: Vec<LevelRow>,
    pub dirichlet: Vec<Dirichlet>,
    pub dirichlet_two_step: Vec<Dirichlet>,
    pub published: Vec<Value>,
}

#[derive(Deserialize)]
pub struct VectorModel {
    pub id: String,
    causes: Vec<VectorCause>,
    checks: Vec<VectorQuestion>,
    confirm: Vec<VectorConfirm>,
    access: VectorAccess,
    escalate_minutes: f64,
    pub at_start: Case,
    pub cases: Vec<Case>,
    pub optimal: Optimal,
}

#[derive(Deserialize)]
struct VectorCause {
    id: String,
    prior: f64,
}

#[derive(Deserialize)]
struct VectorQuestion {
    id: String,
    minutes: f64,
    access: String,
    outcomes: Vec<String>,
    likelihood: BTreeMap<String, Vec<f64>>,
}

#[derive(Deserialize)]
struct VectorConfirm {
    cause: String,
    minutes: f64,
    access: String,
    ends_in: String,
}

#[derive(Deserialize)]
struct VectorAccess {
    states: Vec<String>,
    start: String,
    transition_minutes: Vec<Vec<f64>>,
}

#[derive(Deserialize, Default)]
#[serde(default)]
pub struct Case {
    pub id: String,
    pub model: String,
    pub floor: f64,
    pub answers: Vec<Value>,
    pub evidence_probability: f64,
    pub posterior: BTreeMap<String, f64>,
    pub entropy_bits: Option<f64>,
    pub outcome_probabilities: BTreeMap<String, Vec<f64>>,
    pub information_gain_bits: BTreeMap<String, f64>,
    pub doubt: BTreeMap<String, f64>,
}

#[derive(Deserialize)]
pub struct Optimal {
    pub expected_minutes: f64,
    pub expected_minutes_by_first_action: BTreeMap<String, f64>,
    pub confirm_only_minutes: f64,
    pub ask_once_then_confirm_only_minutes: BTreeMap<String, f64>,
}

#[derive(Deserialize)]
pub struct SoftReading {
    pub id: String,
    pub reading: f64,
    pub accuracy_percent_of_reading: f64,
    pub accuracy_digits: f64,
    pub resolution: f64,
    pub edges: Vec<f64>,
    pub weights: Vec<f64>,
}

#[derive(Deserialize)]
pub struct LevelRow {
    pub id: String,
    pub findings: Vec<String>,
    pub base_rates: Vec<f64>,
    pub stated: BTreeMap<String, String>,
    pub likelihood: Vec<f64>,
    pub else_row: Vec<f64>,
}

#[derive(Deserialize, Default)]
#[serde(default)]
pub struct Dirichlet {
    pub id: String,
    pub levels: Vec<String>,
    pub else_prior: f64,
    pub strength: f64,
    pub counts: Vec<f64>,
    pub authored_prior: Vec<f64>,
    pub learned_prior: Vec<f64>,
    pub counts_other_drives: Vec<f64>,
    pub counts_this_drive: Vec<f64>,
    pub plant_prior: Vec<f64>,
    pub drive_prior: Vec<f64>,
}

impl Vectors {
    pub fn load() -> Self {
        serde_json::from_str(include_str!("../../data/diagnosis-vectors.json"))
            .expect("the reference file parses")
    }

    pub fn model(&self, id: &str) -> &VectorModel {
        self.models
            .iter()
            .find(|model| model.id == id)
            .expect("a model of the reference file")
    }

    pub fn published(&self, id: &str) -> &Value {
        self.published
            .iter()
            .find(|entry| entry["id"] == id)
            .expect("a published example")
    }
}

impl VectorModel {
    pub fn build(&self, settings: Settings) -> Model {
        let access = |name: &str| {
            self.access
                .states
                .iter()
                .position(|state| state == name)
                .expect("an access")
        };
        let causes = self
            .causes
            .iter()
            .map(|cause| Cause {
                id: cause.id.clone(),
                prior: cause.prior,
                confirm: self
                    .confirm
                    .iter()
                    .find(|confirm| confirm.cause == cause.id)
                    .map(|confirm| Confirm {
                        minutes: confirm.minutes,
                        access: access(&confirm.access),
                        ends_in: access(&confirm.ends_in),
                    }),
            })
            .collect();
        let questions = self
            .checks
            .iter()
            .map(|check| Question {
                id: check.id.clone(),
                minutes: check.minutes,
                access: access(&check.access),
                ends_in: access(&check.access),
                findings: check.outcomes.clone(),
                likelihood: self
                    .causes
                    .iter()
                    .map(|cause| check.likelihood[&cause.id].clone())
                    .collect(),
                before_power_off: false,
            })
            .collect();
        let named = |name: &String| Access {
            name: name.clone(),
            hazard: 0.0,
            powers_off: false,
        };
        let moves = Moves::new(
            self.access.states.iter().map(named).collect(),
            access(&self.access.start),
            &self.access.transition_minutes,
        )
        .expect("the moves are valid");
        Model::new(causes, questions, moves, self.escalate_minutes, settings)
            .expect("the model is valid")
    }
}

pub fn question(model: &Model, id: &str) -> usize {
    model
        .questions()
        .iter()
        .position(|question| question.id == id)
        .expect("a question of the model")
}

pub fn cause(model: &Model, id: &str) -> usize {
    model
        .causes()
        .iter()
        .position(|cause| cause.id == id)
        .expect("a cause of the model")
}

impl Case {
    pub fn answers(&self, model: &Model) -> Vec<Answer> {
        self.answers
            .iter()
            .map(|answer| read_answer(model, answer))
            .collect()
    }
}

fn read_answer(model: &Model, answer: &Value) -> Answer {
    if let Some(id) = answer["confirm"].as_str() {
        return Answer::NotConfirmed {
            cause: cause(model, id),
        };
    }
    let question = question(
        model,
        answer["check"]
            .as_str()
            .expect("an answer names its question"),
    );
    if answer["cannot"] == true {
        return Answer::Cannot { question };
    }
    if let Some(outcome) = answer["outcome"].as_str() {
        let findings = &model.questions()[question].findings;
        let finding = findings
            .iter()
            .position(|finding| finding == outcome)
            .expect("a finding of the question");
        return Answer::found(model, question, finding);
    }
    let weights = answer["weights"].as_array().expect("weights").iter();
    Answer::Found {
        question,
        weights: weights
            .map(|weight| weight.as_f64().expect("a number"))
            .collect(),
    }
}
