//! The planner against reference optima and against published examples.

use crate::support::generated::{Random, Shape, model, moves};
use crate::support::solver::Solver;
use crate::support::vectors::{Vectors, cause, question};
use whytrip::diagnosis::model::{Cause, Confirm, Model, Question};
use whytrip::diagnosis::moves::{Access, Moves};
use whytrip::diagnosis::planner::{Action, plan};
use whytrip::diagnosis::settings::Settings;
use whytrip::diagnosis::situation::Situation;
use whytrip::diagnosis::tree::{Node, Step, compile};

#[track_caller]
fn check(what: &str, got: f64, expected: f64, within: f64) {
    assert!(
        (got - expected).abs() <= within,
        "{what}: got {got}, expected {expected}"
    );
}

fn action(model: &Model, name: &str) -> Action {
    match name.strip_prefix("confirm:") {
        Some(id) => Action::Confirm(cause(model, id)),
        None if name == "escalate" => Action::Escalate,
        None => Action::Ask(question(model, name)),
    }
}

fn walk_minutes(model: &Model) -> f64 {
    compile(model, &Situation::at_start(model), 0.0)
        .expect("a tree")
        .expected_minutes
}

fn look_ahead_only(steps: usize) -> Settings {
    Settings {
        exact_states: 0,
        look_ahead: steps,
        ..Settings::plain()
    }
}

/// The confirm-only list and one question before it, against the reference file.
#[test]
fn confirm_only_and_ask_once() {
    for vector in &Vectors::load().models {
        let model = vector.build(look_ahead_only(1));
        let plan = plan(&model, &Situation::at_start(&model)).expect("a plan");
        check(
            &vector.id,
            plan.tail_minutes,
            vector.optimal.confirm_only_minutes,
            1e-9,
        );
        for (name, minutes) in &vector.optimal.ask_once_then_confirm_only_minutes {
            let option = plan
                .options
                .iter()
                .find(|option| option.action == action(&model, name))
                .expect("an option");
            check(
                &format!("{} {name}", vector.id),
                option.then_confirm_only,
                *minutes,
                1e-9,
            );
        }
    }
}

/// The exact planner against the optima of the reference file.
#[test]
fn the_exact_planner_reaches_the_optimum() {
    for vector in &Vectors::load().models {
        let model = vector.build(Settings {
            exact_states: 2_000_000,
            calm_share: 0.1,
            ..Settings::plain()
        });
        let plan = plan(&model, &Situation::at_start(&model)).expect("a plan");
        assert!(plan.exact, "{}", vector.id);
        let best = plan.options[0].expected_minutes;
        check(&vector.id, best, vector.optimal.expected_minutes, 1e-6);
        for (name, minutes) in &vector.optimal.expected_minutes_by_first_action {
            let option = plan
                .options
                .iter()
                .find(|option| option.action == action(&model, name))
                .expect("an option");
            // An option far above the best is only priced as far as that is certain.
            if *minutes <= best * 1.1 {
                check(
                    &format!("{} {name}", vector.id),
                    option.expected_minutes,
                    *minutes,
                    1e-6,
                );
            } else {
                assert!(
                    option.expected_minutes >= *minutes - 1e-6,
                    "{} {name}",
                    vector.id
                );
            }
        }
    }
}

/// The solver of these tests, which shares no code with the planner, against the same optima.
#[test]
fn the_solver_of_these_tests_reaches_the_optimum() {
    for vector in &Vectors::load().models {
        let model = vector.build(Settings::plain());
        let mut solver = Solver::new(&model);
        let start = solver.start();
        let optimum = solver.value(&start);
        check(&vector.id, optimum, vector.optimal.expected_minutes, 1e-6);
    }
}

/// With floor, hazard, kept remainders and questions lost with the power, the exact planner still
/// agrees with the solver.
#[test]
fn the_exact_planner_agrees_with_the_solver_under_the_usual_settings() {
    let mut power_mattered = 0;
    for seed in 0..12 {
        let shape = Shape {
            causes: 5,
            questions: 4,
            most_findings: 4,
            four_accesses: true,
            proof_runs: seed % 2 == 0,
        };
        let settings = Settings {
            exact_states: 2_000_000,
            ..Settings::default()
        };
        let model = model(seed, &shape, 10.0, settings.clone());
        let optimum = |model: &Model| {
            let mut solver = Solver::new(model);
            let start = solver.start();
            solver.value(&start)
        };
        let plan = plan(&model, &Situation::at_start(&model)).expect("a plan");
        assert!(plan.exact);
        let best = optimum(&model);
        check(
            &format!("seed {seed}"),
            plan.options[0].expected_minutes,
            best,
            1e-9,
        );

        let mut questions = model.questions().to_vec();
        questions
            .iter_mut()
            .for_each(|question| question.before_power_off = false);
        let (causes, moves) = (model.causes().to_vec(), model.moves().clone());
        let kept = Model::new(causes, questions, moves, model.escalate_minutes(), settings)
            .expect("a valid model");
        power_mattered += usize::from(optimum(&kept) < best - 1e-6);
    }
    assert!(power_mattered > 0);
}

/// Walking the whole policy tree of the look-ahead: within 1 % of the optimum on average, never
/// above what was shown at the start, which is never above the confirm-only list.
#[test]
fn the_look_ahead_walk_stays_close_to_the_optimum() {
    let vectors = Vectors::load();
    let mut ratios = Vec::new();
    for vector in &vectors.models {
        let model = vector.build(look_ahead_only(3));
        let shown = plan(&model, &Situation::at_start(&model)).expect("a plan");
        let walked = walk_minutes(&model);
        assert!(
            walked <= shown.expected_minutes + 1e-9
                && shown.expected_minutes <= shown.tail_minutes + 1e-9
        );
        assert!(
            walked >= vector.optimal.expected_minutes - 1e-6,
            "{}",
            vector.id
        );
        ratios.push(walked / vector.optimal.expected_minutes);
    }
    let mean = ratios.iter().sum::<f64>() / ratios.len() as f64;
    assert!(mean <= 1.01, "{ratios:?}");
}

/// The same on generated models, with the solver of these tests as the judge.
#[test]
fn the_look_ahead_walk_on_generated_models() {
    let mut ratios = Vec::new();
    for seed in 0..40 {
        let shape = Shape {
            causes: 5,
            questions: 4,
            most_findings: 3,
            four_accesses: false,
            proof_runs: seed % 2 == 0,
        };
        let model = model(seed, &shape, 0.0, look_ahead_only(3));
        let mut solver = Solver::new(&model);
        let start = solver.start();
        let optimum = solver.value(&start);
        let shown = plan(&model, &Situation::at_start(&model)).expect("a plan");
        let walked = walk_minutes(&model);
        assert!(
            walked <= shown.expected_minutes + 1e-9
                && shown.expected_minutes <= shown.tail_minutes + 1e-9
        );
        assert!(walked >= optimum - 1e-9, "seed {seed}");
        ratios.push(walked / optimum);
    }
    let mean = ratios.iter().sum::<f64>() / ratios.len() as f64;
    assert!(mean <= 1.01, "{mean}");
}

/// The settings of a walk, hazard, calm rule and all, against the solver of these tests: the small
/// part of `cargo bench --bench planner -- small` that every run can afford.
#[test]
fn the_usual_walk_stays_close_to_the_optimum() {
    let mut ratios = Vec::new();
    for seed in 0..30 {
        let shape = Shape {
            causes: 5 + (seed % 2) as usize,
            questions: 4 + (seed / 2 % 2) as usize,
            most_findings: 3,
            four_accesses: seed % 3 == 0,
            proof_runs: seed % 2 == 1,
        };
        let settings = Settings {
            exact_states: 0,
            ..Settings::default()
        };
        let model = model(seed, &shape, 10.0, settings);
        let mut solver = Solver::new(&model);
        let start = solver.start();
        ratios.push(walk_minutes(&model) / solver.value(&start));
    }
    let mean = ratios.iter().sum::<f64>() / ratios.len() as f64;
    let worst = ratios.iter().copied().fold(0.0, f64::max);
    assert!(mean <= 1.01 && worst <= 1.05, "mean {mean}, worst {worst}");
    assert!(ratios.iter().all(|ratio| *ratio >= 1.0 - 1e-9));
}

/// A dearer hazard never means more live work: the number of live steps is the slope of the
/// optimum over the hazard price, and the least of many straight lines bends down.
#[test]
fn a_dearer_hazard_never_means_more_live_steps() {
    for id in ["cluster", "cluster-retest", "soft"] {
        let vectors = Vectors::load();
        let base = vectors.model(id).build(Settings {
            exact_states: 2_000_000,
            ..Settings::plain()
        });
        let mut before = f64::INFINITY;
        for hazard in [0.0, 5.0, 10.0, 20.0, 40.0] {
            let mut accesses = base.moves().accesses().to_vec();
            accesses[1].hazard = hazard;
            let model = with_accesses(&base, accesses);
            let tree = compile(&model, &Situation::at_start(&model), 0.0).expect("a tree");
            let steps = steps_in(&model, &tree.root, 1.0, 1);
            assert!(
                steps <= before + 1e-9,
                "{id}: {steps} at {hazard}, {before} before"
            );
            before = steps;
        }
    }
}

fn with_accesses(base: &Model, accesses: Vec<Access>) -> Model {
    let every = 0..accesses.len();
    let minutes: Vec<Vec<f64>> = every
        .clone()
        .map(|from| {
            every
                .clone()
                .map(|to| base.moves().minutes(from, to))
                .collect()
        })
        .collect();
    let moves = Moves::new(accesses, base.moves().start(), &minutes).expect("valid moves");
    let (causes, questions) = (base.causes().to_vec(), base.questions().to_vec());
    Model::new(
        causes,
        questions,
        moves,
        base.escalate_minutes(),
        base.settings().clone(),
    )
    .expect("a valid model")
}

fn steps_in(model: &Model, node: &Node, reach: f64, access: usize) -> f64 {
    let here = |step: &Step| {
        if step.access == access {
            step.reach
        } else {
            0.0
        }
    };
    match node {
        Node::Ask {
            question, branches, ..
        } => {
            let own = if model.questions()[*question].access == access {
                reach
            } else {
                0.0
            };
            own + branches
                .iter()
                .map(|branch| steps_in(model, &branch.then, branch.reach, access))
                .sum::<f64>()
        }
        Node::Confirm { step, otherwise } => {
            // Without kept remainders the walk goes on exactly when the cause is not it.
            here(step) + steps_in(model, otherwise, step.reach * (1.0 - step.share), access)
        }
        Node::Settled { .. } => 0.0,
        Node::Leaf { steps } => steps.iter().map(here).sum(),
    }
}

/// What is not allowed is not offered at any price.
#[test]
fn what_is_not_allowed_is_not_offered() {
    let vectors = Vectors::load();
    let model = vectors.model("earth-fault").build(Settings::plain());
    let all = plan(&model, &Situation::at_start(&model)).expect("a plan");
    let allowed = Situation {
        allowed: vec![true, true, false],
        ..Situation::at_start(&model)
    };
    let fewer = plan(&model, &allowed).expect("a plan");
    assert!(all.options.len() > fewer.options.len());
    assert!(fewer.expected_minutes > all.expected_minutes);
    for option in &fewer.options {
        let access = match option.action {
            Action::Ask(question) => model.questions()[question].access,
            Action::Confirm(cause) => {
                model.causes()[cause]
                    .confirm
                    .as_ref()
                    .expect("a named cause")
                    .access
            }
            Action::Escalate => continue,
        };
        assert!(access < 2);
    }
    let short = Situation {
        allowed: vec![true],
        ..Situation::at_start(&model)
    };
    assert!(plan(&model, &short).is_err());
}

/// A question for before the power goes is lost afterwards, and the plan knows it beforehand.
#[test]
fn what_the_power_takes_away() {
    let vectors = Vectors::load();
    let base = vectors.model("earth-fault").build(Settings {
        exact_states: 2_000_000,
        ..Settings::plain()
    });
    let history = question(&base, "trips-when");
    let frozen = |before_power_off: bool| {
        let mut accesses = base.moves().accesses().to_vec();
        accesses[2].powers_off = true;
        let mut questions = base.questions().to_vec();
        questions[history].before_power_off = before_power_off;
        let every = 0..accesses.len();
        let minutes: Vec<Vec<f64>> = every
            .clone()
            .map(|from| {
                every
                    .clone()
                    .map(|to| base.moves().minutes(from, to))
                    .collect()
            })
            .collect();
        let moves = Moves::new(accesses, 0, &minutes).expect("valid moves");
        Model::new(
            base.causes().to_vec(),
            questions,
            moves,
            base.escalate_minutes(),
            base.settings().clone(),
        )
        .expect("a valid model")
    };
    let (kept, lost) = (frozen(false), frozen(true));
    let price = |model: &Model, situation: &Situation| {
        plan(model, situation).expect("a plan").expected_minutes
    };
    let start = Situation::at_start(&kept);
    let without = Situation {
        excluded_questions: vec![history],
        ..start.clone()
    };
    assert!(price(&kept, &start) <= price(&lost, &start) + 1e-9);
    assert!(price(&lost, &start) < price(&lost, &without));

    let isolated = Situation {
        access: 2,
        ..start.clone()
    };
    let back_again = Situation {
        was_powered_off: true,
        ..start
    };
    for situation in [isolated, back_again] {
        let never = Situation {
            excluded_questions: vec![history],
            ..situation.clone()
        };
        assert_eq!(price(&lost, &situation), price(&kept, &never));
        let options = plan(&lost, &situation).expect("a plan").options;
        assert!(
            options
                .iter()
                .all(|option| option.action != Action::Ask(history))
        );
    }
}

/// Within the calm margin no move is better than a move, and a lower hazard than a higher one.
#[test]
fn near_ties_go_to_the_calm_side() {
    for seed in 0..20 {
        let shape = Shape {
            causes: 6,
            questions: 6,
            most_findings: 3,
            four_accesses: true,
            proof_runs: true,
        };
        let calm = model(
            seed,
            &shape,
            10.0,
            Settings {
                exact_states: 0,
                ..Settings::default()
            },
        );
        let plan = plan(&calm, &Situation::at_start(&calm)).expect("a plan");
        let best = plan.options[0].expected_minutes;
        let margin = (best * 0.02).max(0.5);
        let chosen = plan
            .options
            .iter()
            .find(|option| option.action == plan.action)
            .expect("the chosen option");
        assert!(chosen.expected_minutes <= best + margin + 1e-9);
        let calmer = |option: &&whytrip::diagnosis::Priced| {
            option.expected_minutes <= best + margin
                && option.then_confirm_only <= plan.tail_minutes
                && option.move_minutes == 0.0
                && chosen.move_minutes > 0.0
        };
        assert_eq!(plan.options.iter().find(calmer), None, "seed {seed}");
    }
}

/// With more groups of confirming actions than a table holds, a greedy list stands in; what it
/// says it costs is what it costs, and planning goes on.
#[test]
fn many_groups_of_confirming_actions() {
    let shape = Shape {
        causes: 2,
        questions: 0,
        most_findings: 2,
        four_accesses: true,
        proof_runs: true,
    };
    let mut random = Random::new(1);
    let mut causes: Vec<Cause> = (0..31)
        .map(|index| Cause {
            id: format!("cause-{index}"),
            prior: 1.0 / 31.0,
            confirm: Some(Confirm {
                minutes: random.between(1.0, 9.0),
                access: index % 4,
                ends_in: index / 4 % 4,
            }),
        })
        .collect();
    causes.push(Cause {
        id: "something-else".to_owned(),
        prior: 0.0,
        confirm: None,
    });
    let model = Model::new(
        causes,
        Vec::new(),
        moves(&shape, 10.0),
        1000.0,
        Settings::default(),
    )
    .expect("a valid model");
    let start = Situation::at_start(&model);
    let step = plan(&model, &start).expect("a plan");
    let list = compile(&model, &start, 2.0).expect("a list");
    check("the list", list.expected_minutes, step.tail_minutes, 1e-6);
    assert!(step.tail_minutes < 1000.0 && step.expected_minutes <= step.tail_minutes);
    let walk = compile(&model, &start, 0.0).expect("a walk");
    assert!(walk.expected_minutes <= step.expected_minutes * 1.02);
}

/// A question that takes the power away, and one that must come before: the planner sees that it
/// cannot ask the second only where the first makes it worth while.
#[test]
fn a_question_may_take_the_power_away() {
    let access = |name: &str, powers_off: bool| Access {
        name: name.to_owned(),
        hazard: 0.0,
        powers_off,
    };
    let cause = |id: &str, prior: f64, minutes: f64| Cause {
        id: id.to_owned(),
        prior,
        confirm: (minutes > 0.0).then_some(Confirm {
            minutes,
            access: 0,
            ends_in: 0,
        }),
    };
    let question =
        |id: &str, minutes: f64, access: usize, rows: [f64; 4], before_power_off: bool| Question {
            id: id.to_owned(),
            minutes,
            access,
            ends_in: 0,
            findings: vec!["no".to_owned(), "yes".to_owned()],
            likelihood: rows.iter().map(|yes| vec![1.0 - yes, *yes]).collect(),
            before_power_off,
        };
    let priced = |before_power_off: bool, exact_states: usize| {
        let moves = Moves::new(
            vec![access("on", false), access("off", true)],
            0,
            &[vec![0.0, 2.0], vec![2.0, 0.0]],
        );
        let model = Model::new(
            vec![
                cause("first", 0.5, 60.0),
                cause("second", 0.2, 60.0),
                cause("third", 0.2, 60.0),
                cause("else", 0.1, 0.0),
            ],
            vec![
                question("which-side", 1.0, 1, [0.05, 0.95, 0.95, 0.5], false),
                question(
                    "which-of-two",
                    12.0,
                    0,
                    [0.5, 0.05, 0.95, 0.5],
                    before_power_off,
                ),
            ],
            moves.expect("valid moves"),
            240.0,
            Settings {
                exact_states,
                ..Settings::plain()
            },
        );
        let model = model.expect("a valid model");
        let mut solver = Solver::new(&model);
        let start = solver.start();
        let minutes = plan(&model, &Situation::at_start(&model))
            .expect("a plan")
            .expected_minutes;
        check("the plan", minutes, solver.value(&start), 1e-9);
        minutes
    };
    for exact_states in [0, 100_000] {
        assert!(priced(false, exact_states) < priced(true, exact_states) - 1.0);
    }
}

/// A confirming action that is not to be tried is skipped: not offered, its cause not ruled out.
#[test]
fn a_skipped_confirming_action_rules_nothing_out() {
    let vectors = Vectors::load();
    let model = vectors.model("two-cause").build(Settings::plain());
    let filter = cause(&model, "filter");
    let skipped = Situation {
        excluded_causes: vec![filter],
        ..Situation::at_start(&model)
    };
    let step = plan(&model, &skipped).expect("a plan");
    assert!(
        step.options
            .iter()
            .all(|option| option.action != Action::Confirm(filter))
    );
    // By hand: the fan first, else hand over: 25 + 120 x .5.
    check("the list", step.tail_minutes, 85.0, 1e-9);
}
