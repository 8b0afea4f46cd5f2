//! What must hold on the shipped classes: a sample in every run, all of them on demand with
//! `cargo test --release --test diagnosis shipped -- --ignored`.

use std::collections::BTreeMap;

use crate::support::generated::Random;
use whytrip::builtin;
use whytrip::diagnosis::case::{Case, History};
use whytrip::diagnosis::model::Model;
use whytrip::diagnosis::moves::{Access, Moves};
use whytrip::diagnosis::reply;
use whytrip::diagnosis::situation::Situation;
use whytrip::diagnosis::tree::{Node, REACH_ONE_PAGE, REACH_TEXT, compile};
use whytrip::diagnosis::walk::{Given, Turn, Walk};
use whytrip::knowledge::Library;

fn library() -> Library {
    builtin::knowledge().expect("the built-in knowledge")
}

fn case<'k>(library: &'k Library, id: &str) -> Case<'k> {
    let class = library.class(id).expect("a shipped class");
    Case::compile(library, class, History::default()).expect("a model")
}

fn ids(library: &Library, step: usize) -> Vec<String> {
    let classes = library.classes().step_by(step);
    classes.map(|class| class.id.clone()).collect()
}

/// A live walk that gives the answers of a printed path sees the printed steps.
fn tree_and_walk_agree(step: usize, cut: f64) {
    let library = library();
    for id in ids(&library, step) {
        let case = case(&library, &id);
        let tree = compile(&case.model, &Situation::at_start(&case.model), cut).expect("a tree");
        let walk = Walk::new(case, BTreeMap::new());
        let steps = follow(&id, &walk, &tree.root, 1.0, cut);
        assert!(steps > 1, "{id}: {steps} steps");
    }
}

fn follow(id: &str, walk: &Walk<'_>, node: &Node, reach: f64, cut: f64) -> usize {
    // Below the cut the list stands in for the plan.
    if reach < cut {
        return 0;
    }
    let turn = walk.turn().expect("a turn");
    match (node, turn) {
        (
            Node::Ask {
                question, branches, ..
            },
            Turn::Ask {
                question: asked, ..
            },
        ) => {
            assert_eq!(*question, asked, "{id}");
            let follows = branches.iter().map(|branch| {
                let reply = reply::by_finding(walk.case.questions[asked], branch.finding);
                let given = Given::Found {
                    question: asked,
                    reply: Box::new(reply),
                };
                follow(
                    id,
                    &walk.answered(given, false),
                    &branch.then,
                    branch.reach,
                    cut,
                )
            });
            1 + follows.sum::<usize>()
        }
        (Node::Confirm { step, otherwise }, Turn::Confirm { cause, .. }) => {
            assert_eq!(step.cause, cause, "{id}");
            let next = walk.answered(Given::NotConfirmed { cause }, false);
            1 + follow(
                id,
                &next,
                otherwise,
                step.reach * (1.0 - 0.97 * step.share),
                cut,
            )
        }
        (Node::Leaf { steps }, Turn::Confirm { cause, .. }) => {
            assert_eq!(steps.first().map(|step| step.cause), Some(cause), "{id}");
            1
        }
        (Node::Settled { cause }, Turn::Settled { cause: settled }) => {
            assert_eq!(*cause, settled, "{id}");
            1
        }
        (Node::Leaf { steps }, Turn::HandOver { .. }) => {
            assert!(steps.is_empty(), "{id}");
            1
        }
        (node, turn) => panic!("{id}: the tree says {node:?}, the walk {turn:?}"),
    }
}

#[test]
fn a_printed_tree_and_a_live_walk_agree() {
    tree_and_walk_agree(35, 0.1);
}

#[test]
#[ignore = "every class takes minutes"]
fn every_printed_tree_and_live_walk_agree() {
    tree_and_walk_agree(1, REACH_TEXT);
}

/// Whatever is answered, a walk ends, and nothing panics on the way; taking the last answer back
/// gives the turn before.
fn any_answers_end(step: usize) {
    let library = library();
    for (seed, id) in ids(&library, step).iter().enumerate() {
        let mut random = Random::new(seed as u64);
        let mut walk = Walk::new(case(&library, id), BTreeMap::new());
        let most = walk.case.questions.len() + walk.case.causes.len();
        let mut given = 0;
        loop {
            let belief = walk.belief().expect("a belief");
            assert!(
                (belief.posterior().iter().sum::<f64>() - 1.0).abs() < 1e-12,
                "{id}"
            );
            let answer = match walk.turn().expect("a turn") {
                Turn::Ask { question, .. } if random.below(5) == 0 => Given::Cannot { question },
                Turn::Ask { question, .. } => {
                    let asked = walk.case.questions[question];
                    let finding = random.below(asked.findings.len());
                    Given::Found {
                        question,
                        reply: Box::new(reply::by_finding(asked, finding)),
                    }
                }
                Turn::Confirm { cause, .. } if random.below(4) == 0 => Given::Postponed { cause },
                Turn::Confirm { cause, .. } => Given::NotConfirmed { cause },
                Turn::Settled { .. } | Turn::HandOver { .. } => break,
            };
            let next = walk.answered(answer, false);
            let back = next.back().expect("a step to take back");
            assert_eq!(back.belief(), walk.belief(), "{id}");
            walk = next;
            given += 1;
            assert!(given <= most, "{id} does not end");
        }
    }
}

#[test]
fn any_answers_end_a_walk() {
    any_answers_end(24);
}

#[test]
#[ignore = "every class takes minutes"]
fn any_answers_end_a_walk_of_every_class() {
    any_answers_end(1);
}

/// A dearer hazard never means more live steps (no theorem for a look-ahead; held here).
fn hazard_and_live_steps(step: usize, prices: &[f64], cut: f64) {
    let library = library();
    for id in ids(&library, step) {
        let base = case(&library, &id).model;
        let mut before = f64::INFINITY;
        for price in prices {
            let model = with_live_hazard(&base, *price);
            let tree = compile(&model, &Situation::at_start(&model), cut).expect("a tree");
            let steps = live_steps(&model, &tree.root, 1.0);
            assert!(
                steps <= before + 0.02,
                "{id}: {steps} live steps at {price} minutes, {before} at the price before"
            );
            before = steps;
        }
    }
}

fn with_live_hazard(base: &Model, price: f64) -> Model {
    let accesses: Vec<Access> = base
        .moves()
        .accesses()
        .iter()
        .map(|access| Access {
            hazard: if access.name == "live" { price } else { 0.0 },
            ..access.clone()
        })
        .collect();
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
    Model::new(
        base.causes().to_vec(),
        base.questions().to_vec(),
        moves,
        base.escalate_minutes(),
        base.settings().clone(),
    )
    .expect("a valid model")
}

fn live_steps(model: &Model, node: &Node, reach: f64) -> f64 {
    let live = |access: usize| model.moves().accesses()[access].name == "live";
    let one = |access: usize, reach: f64| if live(access) { reach } else { 0.0 };
    match node {
        Node::Ask {
            question, branches, ..
        } => {
            let after = branches
                .iter()
                .map(|branch| live_steps(model, &branch.then, branch.reach));
            one(model.questions()[*question].access, reach) + after.sum::<f64>()
        }
        Node::Confirm { step, otherwise } => {
            let left = step.reach * (1.0 - 0.97 * step.share);
            one(step.access, step.reach) + live_steps(model, otherwise, left)
        }
        Node::Leaf { steps } => steps.iter().map(|step| one(step.access, step.reach)).sum(),
        Node::Settled { .. } => 0.0,
    }
}

#[test]
fn a_dearer_hazard_means_no_more_live_steps() {
    hazard_and_live_steps(35, &[0.0, 10.0, 40.0], 0.2);
}

#[test]
#[ignore = "every class takes minutes"]
fn a_dearer_hazard_means_no_more_live_steps_in_every_class() {
    hazard_and_live_steps(1, &[0.0, 5.0, 10.0, 20.0, 40.0], REACH_ONE_PAGE);
}
