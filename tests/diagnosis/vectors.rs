//! The belief, levels, readings and learning against reference numbers made outside this
//! project's code; see `support/vectors.rs` for how they were made.

use crate::support::vectors::{Case, Vectors, question};
use whytrip::diagnosis::belief::{Answer, Belief};
use whytrip::diagnosis::learning::{self, learned, learned_for_drive};
use whytrip::diagnosis::levels::{HowLikely, HowOften, cause_row, priors, something_else_row};
use whytrip::diagnosis::model::Model;
use whytrip::diagnosis::reading::{Condition, Reading, Side, weights};
use whytrip::diagnosis::settings::Settings;

const CLOSE: f64 = 1e-9;

#[track_caller]
fn check(what: &str, got: f64, expected: f64) {
    assert!(
        (got - expected).abs() <= CLOSE,
        "{what}: got {got}, expected {expected}"
    );
}

#[track_caller]
fn check_all(what: &str, got: &[f64], expected: &[f64]) {
    assert_eq!(got.len(), expected.len(), "{what}");
    for (got, expected) in got.iter().zip(expected) {
        check(what, *got, *expected);
    }
}

fn check_case(name: &str, model: &Model, case: &Case) {
    let answers = case.answers(model);
    let belief = Belief::from_answers(model, &answers).expect("the answers fit the model");
    let name = format!("{name}/{}", case.id);
    check(
        &format!("{name} evidence"),
        belief.evidence_probability(),
        case.evidence_probability,
    );
    for (cause, share) in model.causes().iter().zip(belief.posterior()) {
        check(
            &format!("{name} {}", cause.id),
            *share,
            case.posterior[&cause.id],
        );
    }
    if let Some(entropy) = case.entropy_bits {
        check(&format!("{name} entropy"), belief.entropy_bits(), entropy);
    }
    for (id, chances) in &case.outcome_probabilities {
        check_all(
            &format!("{name} {id}"),
            &belief.chances(model, question(model, id)),
            chances,
        );
    }
    for (id, gain) in &case.information_gain_bits {
        check(
            &format!("{name} gain of {id}"),
            information_gain(model, &answers, question(model, id)),
            *gain,
        );
    }
    for (id, doubt) in &case.doubt {
        let asked = question(model, id);
        let place = answers
            .iter()
            .position(|answer| answer.question() == Some(asked))
            .expect("the answer");
        check(
            &format!("{name} doubt of {id}"),
            belief.effects()[place].doubt.expect("a doubt"),
            *doubt,
        );
    }
}

/// Entropy now less the mean entropy after the answer.
fn information_gain(model: &Model, answers: &[Answer], question: usize) -> f64 {
    let now = Belief::from_answers(model, answers).expect("the answers fit");
    let chances = now.chances(model, question);
    let after: f64 = chances
        .iter()
        .enumerate()
        .filter(|(_, chance)| **chance > 0.0)
        .map(|(finding, chance)| {
            let with: Vec<Answer> = answers
                .iter()
                .cloned()
                .chain([Answer::found(model, question, finding)])
                .collect();
            chance
                * Belief::from_answers(model, &with)
                    .expect("a possible finding")
                    .entropy_bits()
        })
        .sum();
    now.entropy_bits() - after
}

#[test]
fn every_case_of_every_model() {
    let vectors = Vectors::load();
    let mut cases = 0;
    for vector in &vectors.models {
        let model = vector.build(Settings::plain());
        for case in vector.cases.iter().chain([&vector.at_start]) {
            check_case(&vector.id, &model, case);
            cases += 1;
        }
    }
    assert_eq!(cases, 25, "starts and cases of the reference file");
}

#[test]
fn a_reading_near_a_limit_in_the_belief() {
    let vectors = Vectors::load();
    let case = &vectors.soft_reading_case;
    check_case(
        "soft reading",
        &vectors.model(&case.model).build(Settings::plain()),
        case,
    );
}

#[test]
fn the_floor_and_the_doubt_in_each_answer() {
    let vectors = Vectors::load();
    for case in &vectors.floor_cases {
        let settings = Settings {
            floor: case.floor,
            ..Settings::plain()
        };
        check_case("floor", &vectors.model(&case.model).build(settings), case);
    }
}

#[test]
fn weights_of_readings() {
    for soft in Vectors::load().soft_readings {
        // Half-width of a meter statement, taken as rectangular [JCGM 100:2008, 4.3.7].
        let half_width = soft.accuracy_percent_of_reading / 100.0 * soft.reading.abs()
            + soft.accuracy_digits * soft.resolution;
        let reading = Reading {
            value: soft.reading,
            uncertainty: half_width / 3.0_f64.sqrt(),
        };
        let below = |limit: &f64| {
            Some(Condition {
                output: 0,
                side: Side::Less,
                limit: *limit,
            })
        };
        let conditions: Vec<_> = soft.edges.iter().map(below).chain([None]).collect();
        check_all(
            &soft.id,
            &weights(&conditions, &[reading]).expect("a valid reading"),
            &soft.weights,
        );

        // The same bands told from the top give the same weights.
        let above = |limit: &f64| {
            Some(Condition {
                output: 0,
                side: Side::Greater,
                limit: *limit,
            })
        };
        let conditions: Vec<_> = soft.edges.iter().rev().map(above).chain([None]).collect();
        let mut from_the_top = weights(&conditions, &[reading]).expect("a valid reading");
        from_the_top.reverse();
        check_all(&soft.id, &from_the_top, &soft.weights);
    }
}

fn how_likely(word: &str) -> HowLikely {
    match word {
        "always" => HowLikely::Always,
        "usually" => HowLikely::Usually,
        "sometimes" => HowLikely::Sometimes,
        "rarely" => HowLikely::Rarely,
        _ => HowLikely::Never,
    }
}

fn how_often(word: &str) -> HowOften {
    match word {
        "often" => HowOften::Often,
        "sometimes" => HowOften::Sometimes,
        _ => HowOften::Rarely,
    }
}

#[test]
fn likelihood_levels_and_rows() {
    let vectors = Vectors::load();
    for (word, value) in &vectors.level_values {
        check(word, how_likely(word).value(), *value);
    }
    for row in &vectors.level_rows {
        let stated: Vec<_> = row
            .findings
            .iter()
            .map(|finding| row.stated.get(finding).map(|word| how_likely(word)))
            .collect();
        check_all(
            &row.id,
            &cause_row(&row.base_rates, &stated),
            &row.likelihood,
        );
        check_all(&row.id, &something_else_row(&row.base_rates), &row.else_row);
    }
}

#[test]
fn learning_in_one_step_and_in_two() {
    let vectors = Vectors::load();
    for case in &vectors.dirichlet {
        let levels: Vec<HowOften> = case.levels.iter().map(|word| how_often(word)).collect();
        let prior = priors(&levels, case.else_prior);
        check_all(&case.id, &prior, &case.authored_prior);
        check_all(
            &case.id,
            &learned(&prior, case.strength, &case.counts),
            &case.learned_prior,
        );
    }
    for case in &vectors.dirichlet_two_step {
        let levels: Vec<HowOften> = case.levels.iter().map(|word| how_often(word)).collect();
        let prior = priors(&levels, case.else_prior);
        let plant = learned(&prior, learning::PLANT_STRENGTH, &case.counts_other_drives);
        check_all(&case.id, &plant, &case.plant_prior);
        let drive = learned_for_drive(&prior, &case.counts_other_drives, &case.counts_this_drive);
        check_all(&case.id, &drive, &case.drive_prior);
    }
}
