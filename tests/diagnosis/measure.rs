//! Measurements: slow, so only on demand, with
//! `cargo test --release --test diagnosis measure -- --ignored --nocapture --test-threads 1`.

use std::time::{Duration, Instant};

use crate::support::generated::{Random, Shape, model};
use crate::support::solver::Solver;
use whytrip::diagnosis::belief::{Answer, Belief};
use whytrip::diagnosis::model::Model;
use whytrip::diagnosis::planner::{Action, plan};
use whytrip::diagnosis::settings::Settings;
use whytrip::diagnosis::situation::Situation;
use whytrip::diagnosis::tree::compile;

/// Walks once with answers drawn by their chances and keeps the time of every decision.
fn walk_times(model: &Model, seed: u64, times: &mut Vec<Duration>) {
    let mut random = Random::new(seed);
    let mut situation = Situation::at_start(model);
    loop {
        let start = Instant::now();
        let step = plan(model, &situation).expect("a plan");
        times.push(start.elapsed());
        let answer = match step.action {
            Action::Ask(question) => {
                let belief =
                    Belief::from_answers(model, &situation.answers).expect("the answers fit");
                let mut left = random.unit();
                let chances = belief.chances(model, question);
                let mut finding = 0;
                while finding + 1 < chances.len() && left > chances[finding] {
                    left -= chances[finding];
                    finding += 1;
                }
                Answer::found(model, question, finding)
            }
            Action::Confirm(cause) => Answer::NotConfirmed { cause },
            Action::Escalate => return,
        };
        situation = situation
            .answered(model, answer)
            .expect("a step of the model");
    }
}

#[test]
#[ignore = "a measurement"]
fn time_of_a_decision() {
    for (causes, questions) in [(8, 12), (12, 30), (14, 40)] {
        let shape = Shape {
            causes,
            questions,
            most_findings: 5,
            four_accesses: true,
            proof_runs: true,
        };
        let mut times = Vec::new();
        for seed in 0..12 {
            walk_times(
                &model(seed, &shape, 10.0, Settings::default()),
                seed,
                &mut times,
            );
        }
        times.sort();
        let (median, worst) = (times[times.len() / 2], times[times.len() - 1]);
        println!(
            "{causes} causes, {questions} questions: {} decisions, median {median:?}, worst {worst:?}",
            times.len()
        );
        assert!(worst < Duration::from_millis(250), "{worst:?}");
    }
}

/// What a walk costs against the optimum of the independent solver.
#[test]
#[ignore = "a measurement"]
fn cost_over_the_optimum() {
    let ahead = |look_ahead| Settings {
        exact_states: 0,
        look_ahead,
        ..Settings::plain()
    };
    let calm = Settings {
        calm_share: 0.02,
        calm_minutes: 0.5,
        ..ahead(3)
    };
    let ways = [
        ("one step", ahead(1)),
        ("two steps", ahead(2)),
        ("three steps", ahead(3)),
        ("three, calm", calm),
    ];
    for (causes, questions, models) in [(7, 6, 40), (8, 8, 12)] {
        for proof_runs in [false, true] {
            let shape = Shape {
                causes,
                questions,
                most_findings: 3,
                four_accesses: false,
                proof_runs,
            };
            let optima: Vec<f64> = (0..models)
                .map(|seed| {
                    let model = model(seed, &shape, 0.0, Settings::plain());
                    let mut solver = Solver::new(&model);
                    let start = solver.start();
                    solver.value(&start)
                })
                .collect();
            println!(
                "{models} models, {causes} causes, {questions} questions, proof runs {proof_runs}"
            );
            for (name, settings) in &ways {
                let ratios: Vec<f64> = optima
                    .iter()
                    .enumerate()
                    .map(|(seed, optimum)| {
                        let model = model(seed as u64, &shape, 0.0, settings.clone());
                        let start = Situation::at_start(&model);
                        let walked = compile(&model, &start, 0.0)
                            .expect("a tree")
                            .expected_minutes;
                        assert!(
                            walked <= plan(&model, &start).expect("a plan").tail_minutes + 1e-9
                        );
                        walked / optimum
                    })
                    .collect();
                let mean = ratios.iter().sum::<f64>() / ratios.len() as f64;
                let worst = ratios.iter().copied().fold(0.0, f64::max);
                println!("  {name}: mean {mean:.4}, worst {worst:.4}");
                assert!(*name != "three steps" || mean <= 1.01);
            }
        }
    }
}

/// What following only the promising questions costs on wide classes, tree against tree.
#[test]
#[ignore = "a measurement"]
fn cost_of_following_only_promising_questions() {
    let shape = Shape {
        causes: 12,
        questions: 24,
        most_findings: 4,
        four_accesses: true,
        proof_runs: true,
    };
    let settings = |widths| Settings {
        exact_states: 0,
        calm_share: 0.0,
        calm_minutes: 0.0,
        widths,
        ..Settings::default()
    };
    let mut sums = [0.0; 2];
    for seed in 0..4 {
        for (sum, widths) in sums
            .iter_mut()
            .zip([Settings::default().widths, [usize::MAX; 3]])
        {
            let model = model(seed, &shape, 10.0, settings(widths));
            *sum += compile(&model, &Situation::at_start(&model), 0.01)
                .expect("a tree")
                .expected_minutes;
        }
    }
    println!(
        "promising only {:.3}, every question {:.3}",
        sums[0] / 4.0,
        sums[1] / 4.0
    );
    assert!(sums[0] <= sums[1] * 1.01);
}
