//! Published examples that fit the model class: one cause at a time, one confirming action a
//! cause, questions with fixed likelihoods.
//!
//! Not usable here: the repair figure of [Heckerman, Breese & Rommelse 1995] (its chances of a
//! cure do not come from one prior and one likelihood table), the three overlapping actions of
//! [Jensen et al. 2001] (one action there cures several causes; its table has results without
//! models), the two-output adder circuit of [de Kleer & Williams 1987] (several faults at once).

use crate::support::vectors::Vectors;
use whytrip::diagnosis::belief::{Answer, Belief};
use whytrip::diagnosis::model::{Cause, Confirm, Model, Question};
use whytrip::diagnosis::moves::{Access, Moves};
use whytrip::diagnosis::planner::{Action, plan};
use whytrip::diagnosis::settings::Settings;
use whytrip::diagnosis::situation::Situation;

/// Unit prices, one access, no *something else*; a question is the set of causes that answer yes.
fn unit_prices(priors: &[f64], questions: &[Vec<usize>], settings: Settings) -> Model {
    let mut causes: Vec<Cause> = priors
        .iter()
        .enumerate()
        .map(|(index, prior)| Cause {
            id: format!("fault-{}", index + 1),
            prior: *prior,
            confirm: Some(Confirm {
                minutes: 1.0,
                access: 0,
                ends_in: 0,
            }),
        })
        .collect();
    causes.push(Cause {
        id: "something-else".to_owned(),
        prior: 0.0,
        confirm: None,
    });
    let questions = questions
        .iter()
        .enumerate()
        .map(|(index, yes)| Question {
            id: format!("observation-{}", index + 1),
            minutes: 1.0,
            access: 0,
            ends_in: 0,
            findings: vec!["no".to_owned(), "yes".to_owned()],
            likelihood: (1..=causes.len())
                .map(|cause| {
                    if yes.contains(&cause) {
                        vec![0.0, 1.0]
                    } else {
                        vec![1.0, 0.0]
                    }
                })
                .collect(),
            before_power_off: false,
        })
        .collect();
    let only = Access {
        name: "only".to_owned(),
        hazard: 0.0,
        powers_off: false,
    };
    let moves = Moves::new(vec![only], 0, &[vec![0.0]]).expect("valid moves");
    Model::new(causes, questions, moves, 1000.0, settings).expect("a valid model")
}

fn numbers(value: &serde_json::Value) -> Vec<f64> {
    value
        .as_array()
        .expect("a list")
        .iter()
        .map(|number| number.as_f64().expect("a number"))
        .collect()
}

/// Twelve equal faults, five exact observations: 2 + m(m+3) / (2(m+1)) = 4.25 for m = 3, and 4.5
/// without two of the three observations that cover all faults once [Vomlelova 2003, theorem 4].
#[test]
fn exact_cover() {
    let vectors = Vectors::load();
    let example = vectors.published("vomlelova-2003-exact-cover");
    let sets: Vec<Vec<usize>> = example["inputs"]["observations"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|set| numbers(set).iter().map(|fault| *fault as usize).collect())
        .collect();
    let priors = [1.0 / 12.0; 12];
    let m = example["inputs"]["m"].as_f64().expect("a number");
    let published = 2.0 + m * (m + 3.0) / (2.0 * (m + 1.0));
    assert_eq!(Some(published), example["published"]["value"].as_f64());

    let fewer: Vec<Vec<usize>> = sets
        .iter()
        .enumerate()
        .filter(|(at, _)| *at != 2 && *at != 3)
        .map(|(_, set)| set.clone())
        .collect();
    for (sets, expected) in [(sets, published), (fewer, 4.5)] {
        let exact = Settings {
            exact_states: 5_000_000,
            ..Settings::plain()
        };
        for (settings, within) in [
            (exact, 1e-9),
            (
                Settings {
                    exact_states: 0,
                    ..Settings::plain()
                },
                0.3,
            ),
        ] {
            let model = unit_prices(&priors, &sets, settings);
            let minutes = plan(&model, &Situation::at_start(&model))
                .expect("a plan")
                .expected_minutes;
            assert!(
                minutes >= expected - 1e-9 && minutes <= expected + within,
                "{minutes} {expected}"
            );
        }
    }
}

/// One repair, then a question that separates the other two: 2.0; the plain list 1.75
/// [Lin 2014, fig. 2].
#[test]
fn a_strategy_and_the_plain_list() {
    let vectors = Vectors::load();
    let example = vectors.published("lin-2014-fig2");
    let priors = numbers(&example["inputs"]["priors"]);
    let model = unit_prices(&priors, &[vec![2]], Settings::plain());
    let start = Situation::at_start(&model);
    let first = plan(&model, &start).expect("a plan");
    assert_eq!(first.action, Action::Confirm(0));
    assert!((first.expected_minutes - 1.75).abs() < 1e-12);
    let next = start
        .answered(&model, Answer::NotConfirmed { cause: 0 })
        .expect("a cause");
    let then = plan(&model, &next).expect("a plan");
    let asked = then
        .options
        .iter()
        .find(|option| option.action == Action::Ask(0))
        .expect("the question");
    let strategy = 1.0 + (1.0 - priors[0]) * asked.expected_minutes;
    assert!(
        (strategy
            - example["published"]["strategy_cost"]
                .as_f64()
                .expect("a number"))
        .abs()
            < 1e-12
    );
}

/// Four equal parts in a row: measuring in the middle gives 1 bit, at the ends 0.8113 bit
/// [de Kleer & Williams 1987, four inverters].
#[test]
fn the_middle_of_a_chain_tells_most() {
    let vectors = Vectors::load();
    let gains = &vectors.published("inverter-chain-priors")["recomputed"]["single_fault_gain_bits"];
    let model = unit_prices(
        &[0.25; 4],
        &[vec![1], vec![1, 2], vec![1, 2, 3]],
        Settings::plain(),
    );
    let now = Belief::from_answers(&model, &[]).expect("no answers");
    for (question, name) in ["after_first", "middle", "after_third"].iter().enumerate() {
        let after: f64 = now
            .chances(&model, question)
            .iter()
            .enumerate()
            .map(|(finding, chance)| {
                let then =
                    Belief::from_answers(&model, &[Answer::found(&model, question, finding)]);
                chance * then.expect("a possible finding").entropy_bits()
            })
            .sum();
        let expected = gains[name].as_f64().expect("a number");
        assert!(
            (now.entropy_bits() - after - expected).abs() < 1e-12,
            "{name}"
        );
    }
}

/// Entropy of five shares; a lower bound of the 1.46 tests of an optimal code [Huffman 1952].
#[test]
fn entropy_is_below_the_optimal_code() {
    let vectors = Vectors::load();
    let example = vectors.published("huffman-bound");
    let priors = numbers(&example["inputs"]["priors"]);
    let model = unit_prices(&priors, &[], Settings::plain());
    let entropy = Belief::from_answers(&model, &[])
        .expect("no answers")
        .entropy_bits();
    assert!(
        (entropy
            - example["recomputed"]["entropy_bits"]
                .as_f64()
                .expect("a number"))
        .abs()
            < 1e-11
    );
    assert!(entropy <= example["recomputed"]["huffman"].as_f64().expect("a number"));
}
