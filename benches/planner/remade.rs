//! A model made again with other settings, or with less in it.

use whytrip::diagnosis::belief::Belief;
use whytrip::diagnosis::model::{Cause, Model};
use whytrip::diagnosis::settings::Settings;

/// The same model with other settings.
pub fn with_settings(model: &Model, settings: Settings) -> Model {
    Model::new(
        model.causes().to_vec(),
        model.questions().to_vec(),
        model.moves().clone(),
        model.escalate_minutes(),
        settings,
    )
    .expect("a valid model")
    .with_settling(settling(model))
}

/// The same model with other priors.
pub fn with_priors(model: &Model, priors: &[f64]) -> Model {
    let causes = model
        .causes()
        .iter()
        .zip(priors)
        .map(|(cause, prior)| Cause {
            prior: *prior,
            ..cause.clone()
        });
    Model::new(
        causes.collect(),
        model.questions().to_vec(),
        model.moves().clone(),
        model.escalate_minutes(),
        model.settings().clone(),
    )
    .expect("a valid model")
    .with_settling(settling(model))
}

fn settling(model: &Model) -> Vec<Option<(usize, usize)>> {
    (0..model.causes().len())
        .map(|cause| model.settled_by(cause))
        .collect()
}

/// Only the likeliest causes and the questions that tell most about them, so that the optimum can
/// be computed.
pub fn cut_down(model: &Model, causes: usize, questions: usize, settings: Settings) -> Model {
    let mut named: Vec<usize> = (0..model.something_else()).collect();
    named.sort_by(|one, other| {
        model.causes()[*other]
            .prior
            .total_cmp(&model.causes()[*one].prior)
    });
    named.truncate(causes);
    named.sort_unstable();
    let kept: Vec<usize> = named.into_iter().chain([model.something_else()]).collect();
    let sum: f64 = kept.iter().map(|cause| model.causes()[*cause].prior).sum();
    let causes = kept.iter().map(|cause| {
        let cause = &model.causes()[*cause];
        Cause {
            prior: cause.prior / sum,
            ..cause.clone()
        }
    });
    let all = model.questions().iter().map(|question| {
        let rows = kept.iter().map(|cause| question.likelihood[*cause].clone());
        whytrip::diagnosis::Question {
            likelihood: rows.collect(),
            ..question.clone()
        }
    });
    let build = |questions: Vec<whytrip::diagnosis::Question>| {
        Model::new(
            causes.clone().collect(),
            questions,
            model.moves().clone(),
            model.escalate_minutes(),
            settings.clone(),
        )
        .expect("a valid model")
    };
    let whole = build(all.collect());
    let belief = Belief::from_answers(&whole, &[]).expect("no answers");
    let mut order: Vec<usize> = (0..whole.questions().len()).collect();
    let tells = |question: usize| gain(&whole, &belief, question);
    order.sort_by(|one, other| tells(*other).total_cmp(&tells(*one)));
    order.truncate(questions);
    order.sort_unstable();
    build(
        order
            .iter()
            .map(|question| whole.questions()[*question].clone())
            .collect(),
    )
}

fn gain(model: &Model, belief: &Belief, question: usize) -> f64 {
    let chances = belief.chances(model, question);
    let findings = chances.iter().enumerate();
    findings
        .map(|(finding, chance)| {
            let terms = belief
                .weights()
                .iter()
                .zip(model.floored(question, finding));
            terms
                .map(|(share, l)| share * l * (l / chance).log2())
                .sum::<f64>()
        })
        .sum()
}
