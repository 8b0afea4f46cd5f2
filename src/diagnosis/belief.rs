//! From answers to shares: one cause at a time, answers independent given the cause, no
//! likelihood ever 0 (naive Bayes, [Jensen et al. 2001], with a floor of our own).
//!
//! A failed confirming action does not delete its cause: a small share stays behind and counts as
//! *something else*, keeping the cause's own likelihoods. That makes the order of answers
//! irrelevant, and the planner uses the same rule.

use std::fmt;

use super::model::Model;

/// One thing learned during a walk.
#[derive(Debug, Clone, PartialEq)]
pub enum Answer {
    /// A question was answered: one weight a finding, together 1; a plain answer is 1 and 0s.
    Found {
        /// The question.
        question: usize,
        /// The weights.
        weights: Vec<f64>,
    },
    /// A question cannot be answered here; says nothing about the causes.
    Cannot {
        /// The question.
        question: usize,
    },
    /// A confirming action was carried out and its cause was not it.
    NotConfirmed {
        /// The cause.
        cause: usize,
    },
}

impl Answer {
    /// A plain answer.
    #[must_use]
    pub fn found(model: &Model, question: usize, finding: usize) -> Self {
        let findings = model
            .questions()
            .get(question)
            .map_or(0, |question| question.findings.len());
        let weights = (0..findings)
            .map(|at| if at == finding { 1.0 } else { 0.0 })
            .collect();
        Self::Found { question, weights }
    }

    /// The question answered, if it is one.
    #[must_use]
    pub fn question(&self) -> Option<usize> {
        match self {
            Self::Found { question, .. } | Self::Cannot { question } => Some(*question),
            Self::NotConfirmed { .. } => None,
        }
    }
}

/// Why answers cannot be taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum AnswerError {
    /// No such question.
    UnknownQuestion {
        /// Its index.
        question: usize,
    },
    /// No such cause, or *something else*, which has no confirming action.
    UnknownCause {
        /// Its index.
        cause: usize,
    },
    /// No such access, or not one `allowed` entry an access.
    UnknownAccess,
    /// Answered twice: average readings of one meter, or take the earlier answer back.
    Twice {
        /// Position of the second answer.
        answer: usize,
    },
    /// Not one weight a finding, one outside 0 to 1, or not together 1.
    Weights {
        /// Position of the answer.
        answer: usize,
    },
    /// No cause allows these answers (only without a floor).
    Impossible {
        /// Position of the answer that rules out the last cause.
        answer: usize,
    },
}

impl fmt::Display for AnswerError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::UnknownQuestion { question } => write!(out, "there is no question {question}"),
            Self::UnknownCause { cause } => {
                write!(out, "cause {cause} does not exist or cannot be confirmed")
            }
            Self::UnknownAccess => write!(
                out,
                "the access, or the list of allowed ones, does not fit the class"
            ),
            Self::Twice { answer } => write!(
                out,
                "answer {answer} repeats an earlier one; average the readings or take the earlier one back"
            ),
            Self::Weights { answer } => {
                write!(
                    out,
                    "answer {answer} needs one weight a finding, each 0 to 1 and together 1"
                )
            }
            Self::Impossible { answer } => write!(out, "answer {answer} leaves no cause possible"),
        }
    }
}

impl std::error::Error for AnswerError {}

/// What one answer did.
#[derive(Debug, Clone, PartialEq)]
pub struct Effect {
    /// Chance this answer had when it was given, 0 to 1. For soft weights, their mean.
    pub chance: f64,
    /// Chance that the answer is a slip, given everything known now: the share of the floor in
    /// it, sum over causes of P(i | all) (floor/K) / L'. `None` where nothing was observed.
    pub doubt: Option<f64>,
    /// Weight of evidence for each cause, decibans: 10 log10 (L' / P(answer | not this cause)),
    /// as the shares stood when it was given [Good 1950]. They add up over the answers.
    /// Held within +-[`MOST_DECIBANS`].
    pub decibans: Vec<f64>,
}

/// Limit of a weight of evidence; only an answer that deletes a cause reaches it.
pub const MOST_DECIBANS: f64 = 100.0;

/// What the answers so far say.
#[derive(Debug, Clone, PartialEq)]
pub struct Belief {
    posterior: Vec<f64>,
    weights: Vec<f64>,
    ruled_out: Vec<bool>,
    evidence_probability: f64,
    effects: Vec<Effect>,
}

impl Belief {
    /// Recomputes everything from the list of answers; taking one back is a shorter list.
    ///
    /// # Errors
    /// See [`AnswerError`].
    pub fn from_answers(model: &Model, answers: &[Answer]) -> Result<Self, AnswerError> {
        check(model, answers)?;
        let factors: Vec<Vec<f64>> = answers
            .iter()
            .map(|answer| factors(model, answer))
            .collect();
        let mut weights: Vec<f64> = model.causes().iter().map(|cause| cause.prior).collect();
        let mut effects = Vec::with_capacity(answers.len());
        let mut evidence_probability = 1.0;
        for (answer, factor) in factors.iter().enumerate() {
            let decibans = decibans(&weights, factor);
            let chance =
                multiply(&mut weights, factor).ok_or(AnswerError::Impossible { answer })?;
            evidence_probability *= chance;
            effects.push(Effect {
                chance,
                doubt: None,
                decibans,
            });
        }
        let weights = in_one_order(model, answers, &factors).unwrap_or(weights);
        let mut belief = Self {
            posterior: weights.clone(),
            weights,
            ruled_out: vec![false; model.causes().len()],
            evidence_probability,
            effects,
        };
        for answer in answers {
            if let Answer::NotConfirmed { cause } = answer {
                belief.ruled_out[*cause] = true;
            }
        }
        for cause in (0..model.something_else()).filter(|cause| belief.ruled_out[*cause]) {
            belief.posterior[model.something_else()] +=
                std::mem::take(&mut belief.posterior[cause]);
        }
        for ((answer, factor), effect) in answers.iter().zip(&factors).zip(&mut belief.effects) {
            if let Answer::Found { weights: given, .. } = answer {
                let slip = model.settings().floor / given.len() as f64;
                let slips = belief
                    .weights
                    .iter()
                    .zip(factor)
                    .filter(|(share, _)| **share > 0.0);
                effect.doubt = Some(
                    slips
                        .map(|(share, likelihood)| share * slip / likelihood)
                        .sum(),
                );
            }
        }
        Ok(belief)
    }

    /// Share of each cause, together 1. 0 for a cause that was not confirmed: what is left of it
    /// counts as *something else*.
    #[must_use]
    pub fn posterior(&self) -> &[f64] {
        &self.posterior
    }

    /// Shares with what is left of unconfirmed causes still under their own name, together 1.
    /// The planner and the chances of findings work on these.
    #[must_use]
    pub fn weights(&self) -> &[f64] {
        &self.weights
    }

    /// Whether a confirming action of this cause failed.
    #[must_use]
    pub fn is_ruled_out(&self, cause: usize) -> bool {
        self.ruled_out.get(cause).copied().unwrap_or(false)
    }

    /// Chance of all the answers together, before any was given.
    #[must_use]
    pub fn evidence_probability(&self) -> f64 {
        self.evidence_probability
    }

    /// What each answer did, in the order given.
    #[must_use]
    pub fn effects(&self) -> &[Effect] {
        &self.effects
    }

    /// Entropy of the shares, bit, 0 and more [Shannon 1948].
    #[must_use]
    pub fn entropy_bits(&self) -> f64 {
        let terms = self.posterior.iter().filter(|share| **share > 0.0);
        terms
            .map(|share| -share * share.log2())
            .sum::<f64>()
            .max(0.0)
    }

    /// Cause with the largest share; the first of equals.
    #[must_use]
    pub fn leader(&self) -> usize {
        let mut leader = 0;
        for (cause, share) in self.posterior.iter().enumerate() {
            if *share > self.posterior[leader] {
                leader = cause;
            }
        }
        leader
    }

    /// Chance of each finding of a question now; empty for a question that does not exist.
    #[must_use]
    pub fn chances(&self, model: &Model, question: usize) -> Vec<f64> {
        let findings = model
            .questions()
            .get(question)
            .map_or(0, |question| question.findings.len());
        (0..findings)
            .map(|finding| {
                let likelihoods = model.floored(question, finding);
                self.weights
                    .iter()
                    .zip(likelihoods)
                    .map(|(share, likelihood)| share * likelihood)
                    .sum()
            })
            .collect()
    }
}

/// Weights may miss 1 by this much; they are then scaled.
const SUM_SLACK: f64 = 1e-6;

fn check(model: &Model, answers: &[Answer]) -> Result<(), AnswerError> {
    let mut answered = vec![false; model.questions().len()];
    let mut tried = vec![false; model.something_else()];
    for (answer, given) in answers.iter().enumerate() {
        let seen = match given {
            Answer::Found { question, .. } | Answer::Cannot { question } => answered
                .get_mut(*question)
                .ok_or(AnswerError::UnknownQuestion {
                    question: *question,
                })?,
            Answer::NotConfirmed { cause } => tried
                .get_mut(*cause)
                .ok_or(AnswerError::UnknownCause { cause: *cause })?,
        };
        if std::mem::replace(seen, true) {
            return Err(AnswerError::Twice { answer });
        }
        if let Answer::Found { question, weights } = given {
            let fits = weights.len() == model.questions()[*question].findings.len()
                && weights
                    .iter()
                    .all(|weight| (0.0..=1.0 + SUM_SLACK).contains(weight))
                && (weights.iter().sum::<f64>() - 1.0).abs() <= SUM_SLACK;
            if !fits {
                return Err(AnswerError::Weights { answer });
            }
        }
    }
    Ok(())
}

/// What an answer multiplies each cause by.
fn factors(model: &Model, answer: &Answer) -> Vec<f64> {
    let mut factors = vec![1.0; model.causes().len()];
    match answer {
        Answer::Found { question, weights } => {
            let sum: f64 = weights.iter().sum();
            factors.fill(0.0);
            for (finding, weight) in weights.iter().enumerate() {
                for (factor, likelihood) in
                    factors.iter_mut().zip(model.floored(*question, finding))
                {
                    *factor += weight / sum * likelihood;
                }
            }
        }
        Answer::Cannot { .. } => {}
        Answer::NotConfirmed { cause } => factors[*cause] = model.settings().wrongly_ruled_out,
    }
    factors
}

/// Multiplies, scales to 1 and returns the sum before scaling; `None` if nothing is left.
fn multiply(weights: &mut [f64], factors: &[f64]) -> Option<f64> {
    for (weight, factor) in weights.iter_mut().zip(factors) {
        *weight *= factor;
    }
    let sum: f64 = weights.iter().sum();
    if sum.is_nan() || sum <= 0.0 {
        return None;
    }
    for weight in weights.iter_mut() {
        *weight /= sum;
    }
    Some(sum)
}

/// The same product taken in the order of the model, so that the same answers in another order
/// give the same shares to the last bit, and with them the same plan.
fn in_one_order(model: &Model, answers: &[Answer], factors: &[Vec<f64>]) -> Option<Vec<f64>> {
    let place = |answer: &Answer| match answer {
        Answer::Found { question, .. } | Answer::Cannot { question } => (0, *question),
        Answer::NotConfirmed { cause } => (1, *cause),
    };
    let mut order: Vec<usize> = (0..answers.len()).collect();
    order.sort_by_key(|index| place(&answers[*index]));
    let mut weights: Vec<f64> = model.causes().iter().map(|cause| cause.prior).collect();
    for index in order {
        multiply(&mut weights, &factors[index])?;
    }
    Some(weights)
}

fn decibans(weights: &[f64], factors: &[f64]) -> Vec<f64> {
    (0..weights.len())
        .map(|cause| {
            let others = (0..weights.len()).filter(|other| *other != cause);
            let (with, without) = others.fold((0.0, 0.0), |(with, without), other| {
                (
                    with + weights[other] * factors[other],
                    without + weights[other],
                )
            });
            let evidence = 10.0 * (factors[cause] * without / with).log10();
            if evidence.is_nan() {
                0.0
            } else {
                evidence.clamp(-MOST_DECIBANS, MOST_DECIBANS)
            }
        })
        .collect()
}
