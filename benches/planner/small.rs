//! Generated models that are small enough for the exact optimum.

use whytrip::diagnosis::model::Model;
use whytrip::diagnosis::planner::plan;
use whytrip::diagnosis::settings::Settings;
use whytrip::diagnosis::situation::Situation;

use crate::generated::{Shape, model};
use crate::policy::Policy;
use crate::walked::{minutes, spread};

const MODELS: u64 = 200;
const CUT: f64 = 1e-4;
/// Entries of the exact table.
const MOST_STATES: usize = 20_000_000;

/// The shape of a model: 4 to 6 named causes, 5 to 7 questions, by turns three and four accesses,
/// every other one with proof runs.
pub fn shape(seed: u64) -> Shape {
    Shape {
        causes: 5 + (seed % 3) as usize,
        questions: 5 + (seed / 3 % 3) as usize,
        most_findings: 3,
        four_accesses: seed / 9 % 2 == 1,
        proof_runs: seed % 2 == 1,
    }
}

pub fn print() {
    println!(
        "{MODELS} generated models, 4 to 6 causes and 5 to 7 questions: minutes over the exact optimum"
    );
    println!("(whole policy trees down to a reach of {CUT})");
    let optima: Vec<f64> = (0..MODELS)
        .map(|seed| {
            let settings = Settings {
                exact_states: MOST_STATES,
                ..Settings::default()
            };
            optimum(&model(seed, &shape(seed), 10.0, settings)).expect("a small model")
        })
        .collect();
    let line = |name: &str, policy: Policy, settings: &Settings| {
        let ratios = optima.iter().zip(0..).map(|(optimum, seed)| {
            minutes(
                &model(seed, &shape(seed), 10.0, settings.clone()),
                policy,
                CUT,
            ) / optimum
        });
        let (mean, ninth, worst) = spread(ratios.collect());
        println!("  {name:<44} mean {mean:.4}, 90 % {ninth:.4}, worst {worst:.4}");
    };
    let usual = Settings::default();
    let ahead = Settings {
        exact_states: 0,
        ..usual.clone()
    };
    let eager = Settings {
        calm_share: 0.0,
        calm_minutes: 0.0,
        ..ahead.clone()
    };
    line("planner", Policy::Planner, &usual);
    line("planner without its exact part", Policy::Planner, &ahead);
    line("the same without the calm rule", Policy::Planner, &eager);
    for policy in [
        Policy::Gain,
        Policy::GainWithoutMoves,
        Policy::Fixed,
        Policy::Random,
    ] {
        line(policy.name(), policy, &usual);
    }
}

/// The exact optimum; `None` when the model is too large for it.
pub fn optimum(model: &Model) -> Option<f64> {
    let plan = plan(model, &Situation::at_start(model)).expect("a plan");
    plan.exact.then(|| plan.options[0].expected_minutes)
}
