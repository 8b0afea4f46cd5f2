//! What is told about a step: reasons, tree, contradictions, verdict.

use crate::support::generated::{Shape, model};
use crate::support::vectors::{Vectors, cause, question};
use whytrip::diagnosis::belief::{Answer, AnswerError, Belief};
use whytrip::diagnosis::contradiction::contradiction;
use whytrip::diagnosis::model::{Cause, Model, ModelError};
use whytrip::diagnosis::moves::{Access, Moves};
use whytrip::diagnosis::planner::{Action, confirm_only, plan};
use whytrip::diagnosis::reading::{
    Condition, Reading, ReadingError, Side, Sureness, is_clear, weights,
};
use whytrip::diagnosis::settings::Settings;
use whytrip::diagnosis::situation::Situation;
use whytrip::diagnosis::tree::{Node, compile};
use whytrip::diagnosis::verdict::{Verdict, verdict};
use whytrip::diagnosis::why::why;

/// The two-cause model by hand: confirm-only 10 + 25 x .6 + 120 x .1 = 37, question first
/// 2 + 14.85 + 18.15 = 35.
#[test]
fn reasons_by_hand() {
    let vectors = Vectors::load();
    let model = vectors.model("two-cause").build(Settings::plain());
    let start = Situation::at_start(&model);
    let step = plan(&model, &start).expect("a plan");
    let (fan, filter) = (cause(&model, "fan"), cause(&model, "filter"));
    let asked = Action::Ask(question(&model, "fan-turns"));
    assert_eq!(step.action, asked);
    let why = why(&model, &start, &step, asked)
        .expect("it fits")
        .expect("an option");
    assert!((why.minutes_saved - 2.0).abs() < 1e-9);
    let pair = why.pair.expect("a pair");
    assert_eq!(
        (pair.causes, pair.shares, pair.findings),
        ([fan, filter], [0.5, 0.4], [1, 0])
    );
    let [yes, no] = why.findings.as_slice() else {
        panic!("two findings")
    };
    assert!((yes.chance - 0.49).abs() < 1e-12 && (no.chance - 0.51).abs() < 1e-12);
    assert_eq!((yes.leader, yes.then), (filter, Action::Confirm(filter)));
    assert_eq!((no.leader, no.then), (fan, Action::Confirm(fan)));
    assert!(
        (yes.leader_share - 0.38 / 0.49).abs() < 1e-12
            && (no.leader_share - 0.45 / 0.51).abs() < 1e-12
    );
    let other = why.runner_up.expect("a runner-up");
    assert_eq!(other.action, Action::Confirm(filter));
    for (part, expected) in [
        (other.minutes_more, 2.0),
        (other.by_move, 0.0),
        (other.by_step, 8.0),
        (other.by_hazard, 0.0),
        (other.by_rest, -6.0),
    ] {
        assert!((part - expected).abs() < 1e-9, "{other:?}");
    }
}

fn price(model: &Model, node: &Node, reach: f64) -> f64 {
    let hazard = |access: usize| model.moves().accesses()[access].hazard;
    match node {
        Node::Ask {
            question,
            move_minutes,
            branches,
            ..
        } => {
            let asked = &model.questions()[*question];
            let own = reach * (move_minutes + asked.minutes + hazard(asked.access));
            own + branches
                .iter()
                .map(|branch| price(model, &branch.then, branch.reach))
                .sum::<f64>()
        }
        Node::Confirm { step, otherwise } => {
            let left = step.reach * (1.0 - step.share * (1.0 - model.settings().wrongly_ruled_out));
            step.reach * (step.move_minutes + step.minutes + hazard(step.access))
                + price(model, otherwise, left)
        }
        Node::Settled { .. } => 0.0,
        Node::Leaf { steps } => {
            let own = |step: &whytrip::diagnosis::tree::Step| {
                step.reach * (step.move_minutes + step.minutes + hazard(step.access))
            };
            let left = steps.last().map_or(reach, |step| {
                step.reach * (1.0 - step.share * (1.0 - model.settings().wrongly_ruled_out))
            });
            steps.iter().map(own).sum::<f64>() + left * model.escalate_minutes()
        }
    }
}

fn nodes(node: &Node) -> usize {
    match node {
        Node::Ask { branches, .. } => {
            1 + branches
                .iter()
                .map(|branch| nodes(&branch.then))
                .sum::<usize>()
        }
        Node::Confirm { otherwise, .. } => 1 + nodes(otherwise),
        Node::Settled { .. } => 1,
        Node::Leaf { steps } => steps.len(),
    }
}

/// Every printed step is the step a live walk takes; a list only where the branch is cut.
fn check_against_walk(model: &Model, node: &Node, situation: &Situation, reach: f64, cut: f64) {
    let live = plan(model, situation).expect("a plan").action;
    match node {
        Node::Ask {
            question,
            branches,
            from,
            ..
        } => {
            assert_eq!(live, Action::Ask(*question));
            assert_eq!(*from, situation.access);
            assert!((branches.iter().map(|branch| branch.chance).sum::<f64>() - 1.0).abs() < 1e-9);
            for branch in branches {
                let next =
                    situation.answered(model, Answer::found(model, *question, branch.finding));
                check_against_walk(
                    model,
                    &branch.then,
                    &next.expect("a finding"),
                    branch.reach,
                    cut,
                );
            }
        }
        Node::Confirm { step, otherwise } => {
            assert_eq!(live, Action::Confirm(step.cause));
            let next = situation
                .answered(model, Answer::NotConfirmed { cause: step.cause })
                .expect("a cause");
            let left = step.reach * (1.0 - step.share * (1.0 - model.settings().wrongly_ruled_out));
            check_against_walk(model, otherwise, &next, left, cut);
        }
        Node::Settled { .. } => panic!("these models settle nothing"),
        Node::Leaf { steps } => {
            let printed: Vec<usize> = steps.iter().map(|step| step.cause).collect();
            if reach < cut {
                assert_eq!(printed, confirm_only(model, situation).expect("a list"));
            } else if let Some(first) = printed.first() {
                assert_eq!(live, Action::Confirm(*first));
            } else {
                assert_eq!(live, Action::Escalate);
            }
        }
    }
}

#[test]
fn the_printed_tree_is_the_live_walk() {
    for seed in 0..4 {
        let shape = Shape {
            causes: 6,
            questions: 6,
            most_findings: 3,
            four_accesses: true,
            proof_runs: true,
        };
        let model = model(
            seed,
            &shape,
            10.0,
            Settings {
                exact_states: 0,
                ..Settings::default()
            },
        );
        let start = Situation::at_start(&model);
        let mut before = usize::MAX;
        for cut in [0.0, 0.01, 0.05, 2.0] {
            let tree = compile(&model, &start, cut).expect("a tree");
            check_against_walk(&model, &tree.root, &start, 1.0, cut);
            assert!((price(&model, &tree.root, 1.0) - tree.expected_minutes).abs() < 1e-9);
            assert!(nodes(&tree.root) <= before);
            before = nodes(&tree.root);
        }
        let list = compile(&model, &start, 2.0).expect("a list");
        let tail = plan(&model, &start).expect("a plan").tail_minutes;
        assert!((list.expected_minutes - tail).abs() < 1e-9);
    }
}

/// Doubts as in the reference file's case of a failed repair after two insulation tests.
#[test]
fn a_failed_confirmation_brings_up_the_doubted_answers() {
    let vectors = Vectors::load();
    let case = vectors
        .floor_cases
        .iter()
        .find(|case| case.model == "earth-fault")
        .expect("the case");
    let model = vectors.model("earth-fault").build(Settings {
        floor: case.floor,
        ..Settings::plain()
    });
    let answers = case.answers(&model);
    let belief = Belief::from_answers(&model, &answers).expect("the answers fit");
    let found = contradiction(&model, &answers, &belief).expect("a contradiction");
    assert_eq!(found.not_confirmed, [cause(&model, "motor-cable")]);
    assert!(!found.fits_no_cause && found.surprises.is_empty());
    let [first, second] = found.most_doubted.as_slice() else {
        panic!("two answers")
    };
    assert_eq!((first.0, second.0), (0, 1));
    assert!((first.1 - case.doubt["insulation-motor-and-cable"]).abs() < 1e-9);
    assert!((second.1 - case.doubt["insulation-motor-alone"]).abs() < 1e-9);

    let agreeing = &answers[..1];
    let belief = Belief::from_answers(&model, agreeing).expect("the answers fit");
    assert_eq!(contradiction(&model, agreeing, &belief), None);
}

#[test]
fn answers_that_fit_no_cause_are_said_so() {
    let vectors = Vectors::load();
    let model = vectors.model("two-cause").build(Settings {
        floor: 0.05,
        ..Settings::plain()
    });
    let answers = [
        Answer::found(&model, question(&model, "fan-turns"), 0),
        Answer::found(&model, question(&model, "airflow-at-inlet"), 0),
    ];
    let belief = Belief::from_answers(&model, &answers).expect("the answers fit");
    let found = contradiction(&model, &answers, &belief).expect("a contradiction");
    assert!(found.fits_no_cause && found.not_confirmed.is_empty());
    assert_eq!(verdict(&belief, None), Verdict::Unresolved);
}

#[test]
fn verdicts() {
    let vectors = Vectors::load();
    let model = vectors.model("two-cause").build(Settings::plain());
    let turns = question(&model, "fan-turns");
    let now = |answers: &[Answer]| Belief::from_answers(&model, answers).expect("the answers fit");
    let fan = cause(&model, "fan");
    assert_eq!(verdict(&now(&[]), None), Verdict::Unresolved);
    assert_eq!(verdict(&now(&[]), Some(fan)), Verdict::Confirmed(fan));
    assert_eq!(
        verdict(&now(&[]), Some(model.something_else())),
        Verdict::Unresolved
    );
    // Share .88, the second .08.
    let stands = Answer::found(&model, turns, 1);
    assert_eq!(
        verdict(&now(std::slice::from_ref(&stands)), None),
        Verdict::Likely(fan)
    );
    // Both named causes tried: something else is all that is left, and no cause is likely.
    let tried = [
        Answer::NotConfirmed { cause: fan },
        Answer::NotConfirmed {
            cause: cause(&model, "filter"),
        },
    ];
    assert_eq!(verdict(&now(&tried), None), Verdict::Unresolved);
}

#[test]
fn answers_that_cannot_be_taken() {
    let vectors = Vectors::load();
    let model = vectors.model("two-cause").build(Settings::plain());
    let refused = |answers: &[Answer]| Belief::from_answers(&model, answers).expect_err("refused");
    assert_eq!(
        refused(&[Answer::Cannot { question: 9 }]),
        AnswerError::UnknownQuestion { question: 9 }
    );
    assert_eq!(
        refused(&[Answer::NotConfirmed { cause: 2 }]),
        AnswerError::UnknownCause { cause: 2 }
    );
    let twice = [Answer::Cannot { question: 0 }, Answer::found(&model, 0, 1)];
    assert_eq!(refused(&twice), AnswerError::Twice { answer: 1 });
    for weights in [
        vec![1.0],
        vec![0.5, 0.6],
        vec![-0.5, 1.5],
        vec![f64::NAN, 1.0],
    ] {
        assert_eq!(
            refused(&[Answer::Found {
                question: 0,
                weights
            }]),
            AnswerError::Weights { answer: 0 }
        );
    }
    let far = Situation {
        access: 9,
        ..Situation::at_start(&model)
    };
    assert_eq!(plan(&model, &far), Err(AnswerError::UnknownAccess));
}

#[test]
fn models_that_are_refused() {
    let vectors = Vectors::load();
    let good = vectors.model("two-cause").build(Settings::plain());
    let rebuilt = |change: &dyn Fn(&mut Vec<Cause>, &mut Vec<whytrip::diagnosis::Question>)| {
        let (mut causes, mut questions) = (good.causes().to_vec(), good.questions().to_vec());
        change(&mut causes, &mut questions);
        Model::new(
            causes,
            questions,
            good.moves().clone(),
            120.0,
            Settings::plain(),
        )
        .expect_err("refused")
    };
    let id = |id: &str| id.to_owned();
    assert_eq!(
        rebuilt(&|causes, _| causes.clear()),
        ModelError::CauseCount { found: 0 }
    );
    assert_eq!(
        rebuilt(&|causes, _| causes[0].prior = 0.4),
        ModelError::Prior { id: id("all") }
    );
    assert_eq!(
        rebuilt(&|causes, _| causes[0].prior = f64::NAN),
        ModelError::Prior { id: id("fan") }
    );
    assert_eq!(
        rebuilt(&|causes, _| causes[0].confirm = None),
        ModelError::ConfirmMissing { id: id("fan") }
    );
    assert_eq!(
        rebuilt(&|causes, _| causes[1].id = id("fan")),
        ModelError::Twice { id: id("fan") }
    );
    assert_eq!(
        rebuilt(&|_, questions| questions[0].minutes = -1.0),
        ModelError::Minutes {
            id: id("fan-turns")
        }
    );
    assert_eq!(
        rebuilt(&|_, questions| questions[0].access = 3),
        ModelError::UnknownAccess {
            id: id("fan-turns")
        }
    );
    assert_eq!(
        rebuilt(&|_, questions| questions[0].findings.truncate(1)),
        ModelError::FindingCount {
            id: id("fan-turns"),
            found: 1
        }
    );
    assert_eq!(
        rebuilt(&|_, questions| questions[0].likelihood[1][0] = 0.7),
        ModelError::Likelihood {
            id: id("fan-turns")
        }
    );
    let access = |name: &str| Access {
        name: id(name),
        hazard: 0.0,
        powers_off: false,
    };
    assert_eq!(
        Moves::new(Vec::new(), 0, &[]),
        Err(ModelError::AccessCount { found: 0 })
    );
    assert_eq!(
        Moves::new(vec![access("a")], 0, &[vec![1.0]]),
        Err(ModelError::MoveTable)
    );
    assert_eq!(
        Moves::new(vec![access("a")], 1, &[vec![0.0]]),
        Err(ModelError::MoveTable)
    );
    let settings = Settings {
        floor: 1.0,
        ..Settings::plain()
    };
    let refused = Model::new(
        good.causes().to_vec(),
        Vec::new(),
        good.moves().clone(),
        120.0,
        settings,
    );
    assert_eq!(refused, Err(ModelError::Settings));
}

/// A detour that is shorter than the direct way is taken.
#[test]
fn moves_are_closed() {
    let access = |name: &str| Access {
        name: name.to_owned(),
        hazard: 0.0,
        powers_off: false,
    };
    let minutes = [
        vec![0.0, 2.0, 30.0],
        vec![2.0, 0.0, 3.0],
        vec![1.0, 40.0, 0.0],
    ];
    let moves =
        Moves::new(vec![access("a"), access("b"), access("c")], 0, &minutes).expect("valid moves");
    assert_eq!(moves.minutes(0, 2), 5.0);
    assert_eq!(moves.minutes(2, 1), 3.0);
}

#[test]
fn readings_and_sureness() {
    let low = |output: usize, limit: f64| {
        Some(Condition {
            output,
            side: Side::Less,
            limit,
        })
    };
    let exact = |value: f64| Reading {
        value,
        uncertainty: 0.0,
    };
    let soft = Reading {
        value: 40.0,
        uncertainty: 0.4,
    };
    assert_eq!(
        weights(&[low(0, 40.0), None], &[exact(40.0)]),
        Ok(vec![0.0, 1.0])
    );
    assert_eq!(
        weights(&[low(0, 40.0), None], &[exact(f64::INFINITY)]),
        Ok(vec![0.0, 1.0])
    );
    // On the limit of one output and clearly below on the other: half goes on to the second.
    let two = weights(&[low(0, 40.0), low(1, 10.0), None], &[soft, exact(1.0)]).expect("valid");
    assert!(
        two.iter()
            .zip([0.5, 0.5, 0.0])
            .all(|(got, expected)| (got - expected).abs() < 1e-12)
    );
    assert!(!is_clear(&two) && is_clear(&[0.05, 0.95]));
    assert_eq!(
        weights(&[low(1, 40.0), None], &[soft]),
        Err(ReadingError::UnknownOutput { finding: 0 })
    );
    assert_eq!(
        weights(&[None, None], &[soft]),
        Err(ReadingError::LastOnly { finding: 0 })
    );
    assert_eq!(
        weights(&[low(0, 40.0)], &[soft]),
        Err(ReadingError::LastOnly { finding: 0 })
    );
    assert_eq!(
        weights(&[low(0, f64::NAN), None], &[soft]),
        Err(ReadingError::NotANumber)
    );
    let over_range = Reading {
        value: f64::INFINITY,
        uncertainty: 1.0,
    };
    assert_eq!(
        weights(&[low(0, 40.0), None], &[over_range]),
        Err(ReadingError::NotANumber)
    );
    assert_eq!(Sureness::Sure.weights(1, 3), [0.0, 1.0, 0.0]);
    assert_eq!(Sureness::Guess.weights(5, 2), [0.5, 0.5]);
    let fairly = Sureness::Fairly.weights(0, 3);
    assert!(
        fairly
            .iter()
            .zip([0.85, 0.075, 0.075])
            .all(|(got, expected)| (got - expected).abs() < 1e-12)
    );
}
