//! The shipped classes: cut down against the exact optimum, whole against wider planning.

use whytrip::diagnosis::settings::Settings;

use crate::classes;
use crate::policy::Policy;
use crate::remade::{cut_down as cut_down_to, with_settings};
use crate::small::optimum;
use crate::walked::{minutes, spread};

const CUT: f64 = 5e-3;
/// What the planner is compared with is walked on every so many classes.
const BASELINE_STEP: usize = 3;
const CUT_DOWN_TO: (usize, usize) = (6, 6);
const MOST_STATES: usize = 20_000_000;

pub fn print_cut_down() {
    let (causes, questions) = CUT_DOWN_TO;
    println!(
        "shipped classes cut down to {causes} causes and {questions} questions: minutes over the exact optimum"
    );
    let exact = Settings {
        exact_states: MOST_STATES,
        ..Settings::default()
    };
    let known: Vec<(f64, (String, whytrip::diagnosis::Model))> = classes::all()
        .into_iter()
        .filter_map(|(id, model)| {
            let small = cut_down_to(&model, causes, questions, exact.clone());
            optimum(&small).map(|optimum| (optimum, (id, small)))
        })
        .collect();
    let ahead = Settings {
        exact_states: 0,
        ..Settings::default()
    };
    let ways = [
        ("planner", Policy::Planner, Settings::default()),
        ("planner without its exact part", Policy::Planner, ahead),
        (Policy::Gain.name(), Policy::Gain, Settings::default()),
        (Policy::Fixed.name(), Policy::Fixed, Settings::default()),
    ];
    for (name, policy, settings) in ways {
        let ratios = known.iter().map(|(optimum, (_, small))| {
            minutes(&with_settings(small, settings.clone()), policy, 1e-4) / optimum
        });
        let (mean, ninth, worst) = spread(ratios.collect());
        println!(
            "  {name:<44} mean {mean:.4}, 90 % {ninth:.4}, worst {worst:.4}, of {}",
            known.len()
        );
    }
}

pub fn print() {
    println!("whole shipped classes: minutes over the planner's");
    println!("(policy trees down to a reach of {CUT}, one step ahead down to a twentieth of that)");
    let all = classes::all();
    let own: Vec<f64> = all
        .iter()
        .map(|(_, model)| minutes(model, Policy::Planner, CUT))
        .collect();
    println!(
        "  planner, minutes: mean {:.2}",
        own.iter().sum::<f64>() / own.len() as f64
    );
    let ahead = |steps: usize| Settings {
        look_ahead: steps,
        ..Settings::default()
    };
    let wide = Settings {
        widths: [8, 6, 4],
        ..Settings::default()
    };
    let eager = Settings {
        calm_share: 0.0,
        calm_minutes: 0.0,
        ..Settings::default()
    };
    let ways = [
        ("looking one step ahead", Policy::Planner, ahead(1)),
        ("twice as many questions followed", Policy::Planner, wide),
        ("without the calm rule", Policy::Planner, eager),
        (Policy::Gain.name(), Policy::Gain, Settings::default()),
        (
            Policy::GainWithoutMoves.name(),
            Policy::GainWithoutMoves,
            Settings::default(),
        ),
        (Policy::Fixed.name(), Policy::Fixed, Settings::default()),
        (Policy::Random.name(), Policy::Random, Settings::default()),
    ];
    for (name, policy, settings) in ways {
        let step = if policy == Policy::Planner {
            1
        } else {
            BASELINE_STEP
        };
        let some = all.iter().zip(&own).step_by(step);
        let ratios = some.map(|((_, model), own)| {
            minutes(&with_settings(model, settings.clone()), policy, CUT) / own
        });
        let ratios: Vec<f64> = ratios.collect();
        let count = ratios.len();
        let least = ratios.iter().copied().fold(f64::INFINITY, f64::min);
        let (mean, ninth, worst) = spread(ratios);
        println!(
            "  {name:<44} mean {mean:.4}, least {least:.4}, 90 % {ninth:.4}, most {worst:.4}, of {count}"
        );
    }
}
