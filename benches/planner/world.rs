//! What is really true while a planner believes something: causes, answers, slips.

use whytrip::diagnosis::model::Model;

use crate::generated::Random;

/// Shares and likelihoods of a world; everything else is the model's.
#[derive(Clone)]
pub struct World {
    pub shares: Vec<f64>,
    /// By question, finding, cause.
    pub likelihoods: Vec<Vec<Vec<f64>>>,
    /// Chance that the outcome of a confirming action is reported the wrong way round.
    pub wrong_outcomes: f64,
    /// Share of a cause that stays when its confirming action fails.
    pub kept: f64,
}

impl World {
    /// The world exactly as the planner sees it, its floor and its kept remainders included.
    pub fn as_planned(model: &Model) -> Self {
        let likelihoods = (0..model.questions().len())
            .map(|question| {
                (0..model.questions()[question].findings.len())
                    .map(|finding| model.floored(question, finding).to_vec())
                    .collect()
            })
            .collect();
        Self {
            shares: model.causes().iter().map(|cause| cause.prior).collect(),
            likelihoods,
            wrong_outcomes: 0.0,
            kept: model.settings().wrongly_ruled_out,
        }
    }

    /// The world as the authors wrote it: no slips, and a confirming action is never wrong.
    pub fn as_written(model: &Model) -> Self {
        let mut world = Self::as_planned(model);
        for (question, findings) in model.questions().iter().zip(&mut world.likelihoods) {
            for (finding, row) in findings.iter_mut().enumerate() {
                for (value, written) in row.iter_mut().zip(&question.likelihood) {
                    *value = written[finding];
                }
            }
        }
        world.kept = 0.0;
        world
    }

    /// Every prior multiplied or divided by `factor`, at random.
    #[must_use]
    pub fn with_priors_off(mut self, factor: f64, random: &mut Random) -> Self {
        for share in &mut self.shares {
            *share *= up_or_down(factor, random);
        }
        scale(&mut self.shares);
        self
    }

    /// The odds of every likelihood multiplied or divided by `factor`, at random.
    #[must_use]
    pub fn with_likelihoods_off(mut self, factor: f64, random: &mut Random) -> Self {
        for findings in &mut self.likelihoods {
            for cause in 0..self.shares.len() {
                let mut row: Vec<f64> = findings
                    .iter()
                    .map(|likelihoods| {
                        let value = likelihoods[cause];
                        let odds = value / (1.0 - value).max(1e-9) * up_or_down(factor, random);
                        odds / (1.0 + odds)
                    })
                    .collect();
                scale(&mut row);
                for (likelihoods, value) in findings.iter_mut().zip(row) {
                    likelihoods[cause] = value;
                }
            }
        }
        self
    }

    /// Every answer is another finding, and every outcome the other one, with this chance.
    #[must_use]
    pub fn with_slips(mut self, chance: f64) -> Self {
        for findings in &mut self.likelihoods {
            let others = findings.len() as f64 - 1.0;
            for value in findings.iter_mut().flatten() {
                *value = (1.0 - chance) * *value + chance * (1.0 - *value) / others;
            }
        }
        self.wrong_outcomes = chance;
        self
    }
}

fn up_or_down(factor: f64, random: &mut Random) -> f64 {
    if random.unit() < 0.5 {
        factor
    } else {
        1.0 / factor
    }
}

pub fn scale(values: &mut [f64]) {
    let sum: f64 = values.iter().sum();
    values.iter_mut().for_each(|value| *value /= sum);
}
