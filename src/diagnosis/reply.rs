//! What a user answers: a finding, a reading that a check judges, or "can't measure".

use std::collections::BTreeMap;

use super::reading::{self, Side};
use crate::checks::{
    self, Check, CheckError, Condition, Evaluation, Given, Input, Need, Relation, Value,
};
use crate::knowledge::{Finding, Measure, Question};
use crate::quantity::{self, Bound, Kind, ParseError};

/// Values known beforehand, by input name.
pub type Nameplate = BTreeMap<String, Given>;

/// An answer to a question, understood and judged.
#[derive(Clone, Debug)]
pub struct Reply {
    /// What was typed, for the record.
    pub typed: String,
    /// Weight of each finding; together 1.
    pub weights: Vec<f64>,
    /// The sum behind it, for a reading.
    pub evaluation: Option<Evaluation>,
    /// A reading was beyond the meter's range: a bound, not a value.
    pub beyond_range: bool,
    /// How sure the user is of it.
    pub sureness: Sureness,
}

/// How sure a user is of what was seen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Sureness {
    /// Seen; also every reading, whose doubt is the meter's uncertainty.
    #[default]
    Sure,
    /// Probably.
    Fairly,
    /// Hardly more than a guess.
    Guess,
}

impl Sureness {
    /// The words that may follow an answer.
    pub const WORDS: [(&'static str, Sureness); 3] = [
        ("sure", Sureness::Sure),
        ("fairly", Sureness::Fairly),
        ("guess", Sureness::Guess),
    ];

    /// Weight of the finding that was named (common practice, no source).
    fn weight(self) -> f64 {
        match self {
            Sureness::Sure => 1.0,
            Sureness::Fairly => 0.85,
            Sureness::Guess => 0.65,
        }
    }

    /// The answer without the word behind it, and what that word says.
    fn split(typed: &str) -> (&str, Sureness) {
        let Some((answer, word)) = typed.rsplit_once(char::is_whitespace) else {
            return (typed, Sureness::Sure);
        };
        let known = |(name, _): &&(&str, Sureness)| name.eq_ignore_ascii_case(word);
        match Self::WORDS.iter().find(known) {
            Some((_, sureness)) => (answer.trim_end(), *sureness),
            None => (typed, Sureness::Sure),
        }
    }
}

impl Reply {
    /// The finding that counts most.
    pub fn finding(&self) -> usize {
        let mut best = 0;
        for (index, weight) in self.weights.iter().enumerate() {
            if *weight > self.weights[best] {
                best = index;
            }
        }
        best
    }

    /// Whether one finding clearly holds; otherwise the reading is within the meter's uncertainty
    /// of a limit.
    pub fn is_clear(&self) -> bool {
        reading::is_clear(&self.weights)
    }
}

/// Why an answer was not taken.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ReplyError {
    /// The reading could not be understood.
    #[error(transparent)]
    Reading(#[from] ParseError),
    /// The check refuses the values.
    #[error(transparent)]
    Check(#[from] CheckError),
    /// Neither a finding nor a number of one.
    #[error("\"{typed}\" is not an answer here; answer with {choices}")]
    NotAFinding {
        /// What was typed.
        typed: String,
        /// What may be answered.
        choices: String,
    },
    /// The check can't judge the reading.
    #[error("the reading can't be judged: {0}")]
    NotJudged(String),
}

/// The check of a measuring question with its inputs.
pub fn check_of(measure: &Measure) -> Option<&'static Check> {
    checks::find(&measure.check)
}

/// The nameplate values that a question's sum needs and that nobody has given yet.
pub fn missing_nameplate(question: &Question, known: &Nameplate) -> Vec<&'static Input> {
    let Some(measure) = &question.measure else {
        return Vec::new();
    };
    let Some(check) = check_of(measure) else {
        return Vec::new();
    };
    check
        .inputs
        .iter()
        .filter(|input| {
            input.need == Need::Required
                && !measure.inputs.iter().any(|typed| typed == input.name)
                && !known.contains_key(input.name)
        })
        .collect()
}

/// What a healthy reading would be, from what is known; none where the sum lacks something.
pub fn expectation(question: &Question, known: &Nameplate) -> Option<Evaluation> {
    let check = check_of(question.measure.as_ref()?)?;
    checks::expectation(check, known)
        .ok()
        .filter(|result| result.expected.is_some())
}

/// Understands an answer: a finding's id or number, or a reading in the question's unit.
///
/// # Errors
/// [`ReplyError`] with what would be right.
pub fn understand(
    question: &Question,
    typed: &str,
    known: &Nameplate,
) -> Result<Reply, ReplyError> {
    let typed = typed.trim();
    let (answer, sureness) = Sureness::split(typed);
    if let Some(index) = question
        .findings
        .iter()
        .position(|finding| finding.id == answer)
    {
        return Ok(by_unsure_finding(question, index, sureness));
    }
    match &question.measure {
        Some(measure) if missing_nameplate(question, known).is_empty() => {
            judge_reading(question, measure, typed, known)
        }
        _ => by_number(question, answer, sureness),
    }
}

/// The answer that one finding holds for sure.
pub fn by_finding(question: &Question, index: usize) -> Reply {
    by_unsure_finding(question, index, Sureness::Sure)
}

/// The answer that one finding holds, as surely as the user says; the rest of the weight is spread
/// evenly over the other findings.
pub fn by_unsure_finding(question: &Question, index: usize, sureness: Sureness) -> Reply {
    let id = question
        .findings
        .get(index)
        .map_or("", |finding| finding.id.as_str());
    let word = Sureness::WORDS
        .iter()
        .find(|(_, one)| *one == sureness && sureness != Sureness::Sure)
        .map(|(name, _)| format!(" {name}"));
    let others = question.findings.len().saturating_sub(1).max(1);
    let rest = (1.0 - sureness.weight()) / others as f64;
    Reply {
        typed: format!("{id}{}", word.unwrap_or_default()),
        weights: (0..question.findings.len())
            .map(|at| if at == index { sureness.weight() } else { rest })
            .collect(),
        evaluation: None,
        beyond_range: false,
        sureness,
    }
}

fn by_number(question: &Question, typed: &str, sureness: Sureness) -> Result<Reply, ReplyError> {
    let number = typed
        .parse::<usize>()
        .ok()
        .filter(|n| (1..=question.findings.len()).contains(n));
    let by_start = || {
        let lower = typed.to_lowercase();
        let mut fitting = question
            .findings
            .iter()
            .enumerate()
            .filter(|(_, finding)| !lower.is_empty() && starts_with(finding, &lower));
        match (fitting.next(), fitting.next()) {
            (Some((index, _)), None) => Some(index),
            _ => None,
        }
    };
    match number.map(|n| n - 1).or_else(by_start) {
        Some(index) => Ok(by_unsure_finding(question, index, sureness)),
        None => Err(ReplyError::NotAFinding {
            typed: typed.chars().take(60).collect(),
            choices: choices(question),
        }),
    }
}

fn starts_with(finding: &Finding, lower: &str) -> bool {
    finding.id.starts_with(lower) || finding.text.to_lowercase().starts_with(lower)
}

fn choices(question: &Question) -> String {
    let ids: Vec<String> = question
        .findings
        .iter()
        .enumerate()
        .map(|(index, finding)| format!("{} or {}", index + 1, finding.id))
        .collect();
    ids.join(", ")
}

fn judge_reading(
    question: &Question,
    measure: &Measure,
    typed: &str,
    known: &Nameplate,
) -> Result<Reply, ReplyError> {
    let not_judged = |reason: &str| ReplyError::NotJudged(reason.to_owned());
    let check = check_of(measure).ok_or_else(|| not_judged("its check is not built in"))?;
    let typed_inputs: Vec<&'static Input> = measure
        .inputs
        .iter()
        .filter_map(|name| check.inputs.iter().find(|input| input.name == *name))
        .collect();
    if typed_inputs.is_empty() {
        return Err(not_judged("it names no input"));
    }
    let wanted: Vec<(Kind, Option<&str>)> = typed_inputs
        .iter()
        .map(|input| (input.kind, Some(input.unit)))
        .collect();
    let readings = quantity::parse_list(&wanted, typed)?;
    let mut given = known.clone();
    for (input, reading) in typed_inputs.iter().zip(&readings) {
        given.insert(input.name.to_owned(), Given::Reading(*reading));
    }
    let evaluation = checks::evaluate(check, &given)?;
    let weights = weigh(question, check, &evaluation)?;
    Ok(Reply {
        typed: typed.replace(';', ","),
        weights,
        evaluation: Some(evaluation),
        beyond_range: readings.iter().any(|reading| reading.bound != Bound::Exact),
        sureness: Sureness::Sure,
    })
}

/// Weights of the findings: near a limit a reading counts for both sides.
fn weigh(
    question: &Question,
    check: &'static Check,
    evaluation: &Evaluation,
) -> Result<Vec<f64>, ReplyError> {
    let not_judged = |reason: String| ReplyError::NotJudged(reason);
    let mut readings = Vec::new();
    let mut names: Vec<&str> = Vec::new();
    for computed in &evaluation.outputs {
        if let Value::Quantity(quantity) = computed.value {
            names.push(computed.name);
            readings.push(reading::Reading {
                value: quantity.si(),
                uncertainty: computed.uncertainty,
            });
        }
    }
    let conditions = question
        .findings
        .iter()
        .map(|finding| {
            let Some(when) = &finding.when else {
                return Ok(None);
            };
            let condition = Condition::parse(when, check).map_err(not_judged)?;
            let output = names
                .iter()
                .position(|name| *name == condition.output)
                .ok_or_else(|| not_judged(format!("{} is not known", condition.output)))?;
            Ok(Some(reading::Condition {
                output,
                side: match condition.relation {
                    Relation::Below => Side::Less,
                    Relation::Above => Side::Greater,
                },
                limit: condition.limit.si(),
            }))
        })
        .collect::<Result<Vec<_>, ReplyError>>()?;
    reading::weights(&conditions, &readings).map_err(|error| not_judged(error.to_string()))
}
