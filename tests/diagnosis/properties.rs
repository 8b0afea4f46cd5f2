//! What must hold whatever the numbers are.

use crate::support::generated::{Random, Shape, model, moves};
use proptest::prelude::*;
use whytrip::diagnosis::belief::{Answer, Belief};
use whytrip::diagnosis::contradiction::contradiction;
use whytrip::diagnosis::model::{Cause, Confirm, Model, Question};
use whytrip::diagnosis::planner::{Action, confirm_only, plan};
use whytrip::diagnosis::reading::{Condition, Reading, Side, weights};
use whytrip::diagnosis::settings::Settings;
use whytrip::diagnosis::situation::Situation;
use whytrip::diagnosis::tree::{Node, compile};
use whytrip::diagnosis::verdict::verdict;
use whytrip::diagnosis::why::why;

fn shape(causes: usize, questions: usize) -> Shape {
    Shape {
        causes,
        questions,
        most_findings: 4,
        four_accesses: true,
        proof_runs: true,
    }
}

fn usual(seed: u64) -> Model {
    model(
        seed,
        &shape(7, 6),
        10.0,
        Settings {
            exact_states: 0,
            look_ahead: 2,
            ..Settings::default()
        },
    )
}

/// Soft answers to some questions, some "cannot", some failed confirmations.
fn answers(model: &Model, seed: u64) -> Vec<Answer> {
    let mut random = Random::new(seed);
    let mut answers = Vec::new();
    for (question, asked) in model.questions().iter().enumerate() {
        match random.below(4) {
            0 => {}
            1 => answers.push(Answer::Cannot { question }),
            2 => answers.push(Answer::found(
                model,
                question,
                random.below(asked.findings.len()),
            )),
            _ => {
                let raw: Vec<f64> = asked.findings.iter().map(|_| random.unit()).collect();
                let sum: f64 = raw.iter().sum();
                answers.push(Answer::Found {
                    question,
                    weights: raw.iter().map(|weight| weight / sum).collect(),
                });
            }
        }
    }
    for cause in 0..model.something_else() {
        if random.below(5) == 0 {
            answers.push(Answer::NotConfirmed { cause });
        }
    }
    answers
}

fn shuffled(answers: &[Answer], seed: u64) -> Vec<Answer> {
    let mut random = Random::new(seed ^ 0xabcd);
    let mut answers = answers.to_vec();
    for last in (1..answers.len()).rev() {
        answers.swap(last, random.below(last + 1));
    }
    answers
}

fn belief(model: &Model, answers: &[Answer]) -> Belief {
    Belief::from_answers(model, answers).expect("the answers fit the model")
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn shares_sum_to_one_and_stay_off_the_ends(seed in any::<u64>()) {
        let model = usual(seed);
        let given = answers(&model, seed);
        let belief = belief(&model, &given);
        prop_assert!((belief.posterior().iter().sum::<f64>() - 1.0).abs() < 1e-12);
        let none_left = (0..model.something_else()).all(|cause| belief.is_ruled_out(cause));
        for (cause, share) in belief.posterior().iter().enumerate().filter(|_| !none_left) {
            if belief.is_ruled_out(cause) {
                prop_assert_eq!(*share, 0.0);
            } else {
                prop_assert!(0.0 < *share && *share < 1.0, "{cause} {share}");
            }
        }
        for effect in belief.effects() {
            prop_assert!(effect.doubt.is_none_or(|doubt| (0.0..=1.0).contains(&doubt)));
            prop_assert!(effect.chance > 0.0 && effect.chance <= 1.0 + 1e-12);
        }
    }

    /// The same answers in another order give the same shares to the last bit, and the same plan.
    #[test]
    fn order_does_not_matter(seed in any::<u64>()) {
        let model = usual(seed);
        let given = answers(&model, seed);
        let other = shuffled(&given, seed);
        let (one, two) = (belief(&model, &given), belief(&model, &other));
        prop_assert_eq!(one.posterior(), two.posterior());
        prop_assert!((one.evidence_probability() / two.evidence_probability() - 1.0).abs() < 1e-9);
        let at = |answers| Situation { answers, ..Situation::at_start(&model) };
        prop_assert_eq!(plan(&model, &at(given)), plan(&model, &at(other)));
    }

    /// Weights of evidence add up to the change of the odds [Good 1950].
    #[test]
    fn weights_of_evidence_add_up(seed in any::<u64>()) {
        let model = usual(seed);
        let given = answers(&model, seed);
        let belief = belief(&model, &given);
        for (cause, share) in belief.weights().iter().enumerate() {
            let prior = model.causes()[cause].prior;
            let change = 10.0 * ((share / (1.0 - share)) / (prior / (1.0 - prior))).log10();
            let sum: f64 = belief.effects().iter().map(|effect| effect.decibans[cause]).sum();
            prop_assert!((sum - change).abs() < 1e-6, "{sum} {change}");
        }
    }

    /// "Cannot" says nothing; an answer taken back leaves the shares divided by its likelihoods.
    #[test]
    fn taking_back_undoes_exactly_one_answer(seed in any::<u64>()) {
        let model = usual(seed);
        let given = answers(&model, seed);
        let all = belief(&model, &given);
        for (place, answer) in given.iter().enumerate() {
            let mut without = given.clone();
            without.remove(place);
            let without = belief(&model, &without);
            let likelihood = |cause: usize| match answer {
                Answer::Cannot { .. } => 1.0,
                Answer::NotConfirmed { cause: tried } => if *tried == cause { 0.03 } else { 1.0 },
                Answer::Found { question, weights } => {
                    let findings = weights.iter().enumerate();
                    findings.map(|(finding, weight)| weight * model.floored(*question, finding)[cause]).sum()
                }
            };
            let products: Vec<f64> =
                without.weights().iter().enumerate().map(|(cause, share)| share * likelihood(cause)).collect();
            let sum: f64 = products.iter().sum();
            for (share, product) in all.weights().iter().zip(products) {
                prop_assert!((share - product / sum).abs() < 1e-12);
            }
        }
    }

    /// Even weights, as on the limit of a question with two findings, do not move the belief.
    #[test]
    fn even_weights_say_nothing(seed in any::<u64>(), question in 0_usize..6) {
        let model = usual(seed);
        let findings = model.questions()[question].findings.len();
        let even = Answer::Found { question, weights: vec![1.0 / findings as f64; findings] };
        let now = belief(&model, &[even]);
        for (share, cause) in now.posterior().iter().zip(model.causes()) {
            prop_assert!((share - cause.prior).abs() < 1e-12);
        }
    }

    /// Chances of the findings, and the belief after each, average to the belief now.
    #[test]
    fn the_mean_of_what_may_come_is_what_is(seed in any::<u64>(), question in 0_usize..6) {
        let model = usual(seed);
        let chances = belief(&model, &[]).chances(&model, question);
        prop_assert!((chances.iter().sum::<f64>() - 1.0).abs() < 1e-12);
        for cause in 0..model.causes().len() {
            let mean: f64 = chances.iter().enumerate().map(|(finding, chance)| {
                chance * belief(&model, &[Answer::found(&model, question, finding)]).posterior()[cause]
            }).sum();
            prop_assert!((mean - model.causes()[cause].prior).abs() < 1e-12);
        }
    }

    /// Nothing panics, whatever comes in.
    #[test]
    fn no_answer_is_too_strange(
        seed in any::<u64>(),
        raw in prop::collection::vec((0_usize..4, 0_usize..9, prop::collection::vec(any::<f64>(), 0..4)), 0..8),
        access in 0_usize..6,
        allowed in prop::collection::vec(any::<bool>(), 0..6),
        excluded in prop::collection::vec(0_usize..20, 0..4),
        confirmed in prop::option::of(0_usize..20),
    ) {
        let model = usual(seed);
        let answers: Vec<Answer> = raw.into_iter().map(|(kind, index, weights)| match kind {
            0 => Answer::Found { question: index, weights },
            1 => Answer::Cannot { question: index },
            2 => Answer::NotConfirmed { cause: index },
            _ => Answer::found(&model, index, weights.len()),
        }).collect();
        let situation = Situation {
            answers: answers.clone(),
            access,
            was_powered_off: seed % 2 == 0,
            allowed,
            excluded_questions: excluded.clone(),
            excluded_causes: excluded,
        };
        for answer in &answers {
            let _ = situation.answered(&model, answer.clone());
        }
        if let Ok(belief) = Belief::from_answers(&model, &answers) {
            let _ = contradiction(&model, &answers, &belief);
            let _ = verdict(&belief, confirmed);
        }
        if let Ok(step) = plan(&model, &situation) {
            prop_assert!(step.expected_minutes.is_finite());
            prop_assert!(step.expected_minutes <= step.tail_minutes * 1.02 + 0.5);
            prop_assert_eq!(step.options.iter().filter(|option| option.action == step.action).count(), 1);
            for option in &step.options {
                let explained = why(&model, &situation, &step, option.action).expect("the plan fits");
                if let Some(other) = explained.expect("an option of the plan").runner_up {
                    let parts = other.by_move + other.by_step + other.by_hazard + other.by_rest;
                    prop_assert!((parts - other.minutes_more).abs() < 1e-9);
                }
            }
        }
    }

    /// A walk always ends, and only uses what is allowed.
    #[test]
    fn every_walk_ends_within_what_is_allowed(seed in any::<u64>(), live in any::<bool>(), isolated in any::<bool>()) {
        let model = usual(seed);
        let mut random = Random::new(seed);
        let mut situation = Situation { allowed: vec![true, true, live, isolated], ..Situation::at_start(&model) };
        for _ in 0..=model.questions().len() + model.causes().len() {
            let answer = match plan(&model, &situation).expect("a plan").action {
                Action::Ask(question) => {
                    let asked = &model.questions()[question];
                    prop_assert!(situation.is_allowed(asked.access));
                    prop_assert!(!(asked.before_power_off && situation.powered_off(&model)));
                    if random.below(6) == 0 {
                        Answer::Cannot { question }
                    } else {
                        Answer::found(&model, question, random.below(asked.findings.len()))
                    }
                }
                Action::Confirm(cause) => {
                    let confirm = model.causes()[cause].confirm.as_ref().expect("a named cause");
                    prop_assert!(situation.is_allowed(confirm.access));
                    Answer::NotConfirmed { cause }
                }
                Action::Escalate => return Ok(()),
            };
            situation = situation.answered(&model, answer).expect("a step of the model");
        }
        prop_assert!(false, "the walk did not end");
    }

    /// Twice the minutes, twice the value; the choice stays.
    #[test]
    fn minutes_scale(seed in any::<u64>()) {
        let model = usual(seed);
        let plain = Settings { calm_share: 0.0, calm_minutes: 0.0, ..model.settings().clone() };
        let (one, two) = (scaled(&model, 1.0, plain.clone()), scaled(&model, 2.0, plain));
        let start = Situation::at_start(&one);
        let (one, two) = (plan(&one, &start).expect("a plan"), plan(&two, &start).expect("a plan"));
        prop_assert!((two.expected_minutes / one.expected_minutes - 2.0).abs() < 1e-9);
        prop_assert_eq!(one.action, two.action);
    }

    /// A question that says the same under every cause is never asked, however cheap.
    #[test]
    fn a_useless_question_is_never_asked(seed in any::<u64>(), minutes in 0.0_f64..0.4) {
        for exact_states in [0, 300_000] {
            let base = model(seed, &shape(5, 3), 10.0, Settings { exact_states, ..Settings::default() });
            let mut questions = base.questions().to_vec();
            questions.insert(0, Question {
                id: "useless".to_owned(),
                minutes,
                access: 0,
                ends_in: 0,
                findings: vec!["no".to_owned(), "yes".to_owned()],
                likelihood: vec![vec![0.7, 0.3]; base.causes().len()],
                before_power_off: false,
            });
            let model = Model::new(
                base.causes().to_vec(), questions, base.moves().clone(), base.escalate_minutes(), base.settings().clone(),
            ).expect("a valid model");
            let tree = compile(&model, &Situation::at_start(&model), 0.0).expect("a tree");
            prop_assert!(!asks(&tree.root, 0));
        }
    }

    /// The confirm-only list costs what the best of all orders costs [every order tried],
    /// when each action ends where it starts; handing over may cut an order short.
    #[test]
    fn the_list_equals_every_order_tried(seed in any::<u64>(), escalate in 20.0_f64..400.0) {
        let base = model(seed, &Shape { proof_runs: false, ..shape(6, 1) }, 7.0, Settings::plain());
        let model = Model::new(
            base.causes().to_vec(), Vec::new(), base.moves().clone(), escalate, Settings::plain(),
        ).expect("a valid model");
        let best = best_order(&model, model.moves().start(), (1 << model.something_else()) - 1);
        let step = plan(&model, &Situation::at_start(&model)).expect("a plan");
        prop_assert!((step.tail_minutes - best).abs() < 1e-9, "{} {best}", step.tail_minutes);
        prop_assert!((price_of(&model, &confirm_only(&model, &Situation::at_start(&model)).expect("a list")) - best).abs() < 1e-9);
    }

    /// One access, no questions, no handing over: sort by share/price [Kadane & Simon 1977].
    #[test]
    fn one_access_is_sorted_by_share_over_price(prices in prop::collection::vec((0.01_f64..1.0, 1.0_f64..90.0), 1..9)) {
        let sum: f64 = prices.iter().map(|(weight, _)| weight).sum();
        let moves = moves(&shape(2, 0), 0.0);
        let mut causes: Vec<Cause> = prices.iter().enumerate().map(|(index, (weight, minutes))| Cause {
            id: index.to_string(),
            prior: weight / sum,
            confirm: Some(Confirm { minutes: *minutes, access: 0, ends_in: 0 }),
        }).collect();
        causes.push(Cause { id: "else".to_owned(), prior: 0.0, confirm: None });
        let mut order: Vec<&Cause> = causes[..prices.len()].iter().collect();
        let minutes = |cause: &Cause| cause.confirm.as_ref().map_or(0.0, |confirm| confirm.minutes);
        order.sort_by(|left, right| (right.prior / minutes(right)).total_cmp(&(left.prior / minutes(left))));
        let mut left = 1.0;
        let mut expected = 0.0;
        for cause in order {
            expected += left * minutes(cause);
            left -= cause.prior;
        }
        let model = Model::new(causes, Vec::new(), moves, 100_000.0, Settings::plain()).expect("a valid model");
        let step = plan(&model, &Situation::at_start(&model)).expect("a plan");
        prop_assert!((step.expected_minutes / expected - 1.0).abs() < 1e-9);
    }

    /// The walk along the tree costs no more than was shown, and that no more than the list.
    #[test]
    fn a_walk_costs_at_most_what_was_shown(seed in any::<u64>()) {
        let model = model(seed, &shape(6, 4), 10.0, Settings { exact_states: 0, ..Settings::plain() });
        let shown = plan(&model, &Situation::at_start(&model)).expect("a plan");
        let tree = compile(&model, &Situation::at_start(&model), 0.0).expect("a tree");
        prop_assert!(tree.expected_minutes <= shown.expected_minutes * (1.0 + 1e-9));
        prop_assert!(shown.expected_minutes <= shown.tail_minutes * (1.0 + 1e-9));
        prop_assert_eq!(&tree, &compile(&model, &Situation::at_start(&model), 0.0).expect("the same tree"));
    }

    /// Weights of a decision list over two outputs are a distribution, and an exact reading is hard.
    #[test]
    fn reading_weights_are_a_distribution(
        limits in prop::collection::vec((0_usize..2, any::<bool>(), -3.0_f64..3.0), 0..6),
        values in prop::array::uniform2((-4.0_f64..4.0, prop_oneof![Just(0.0), 0.01_f64..2.0])),
    ) {
        let conditions: Vec<Option<Condition>> = limits.iter().map(|(output, less, limit)| {
            Some(Condition { output: *output, side: if *less { Side::Less } else { Side::Greater }, limit: *limit })
        }).chain([None]).collect();
        let readings = values.map(|(value, uncertainty)| Reading { value, uncertainty });
        let found = weights(&conditions, &readings).expect("valid readings");
        prop_assert!((found.iter().sum::<f64>() - 1.0).abs() < 1e-12);
        prop_assert!(found.iter().all(|weight| (0.0..=1.0).contains(weight)));
        let exact = readings.map(|reading| Reading { uncertainty: 0.0, ..reading });
        let hard = weights(&conditions, &exact).expect("valid readings");
        let first = conditions.iter().position(|condition| condition.is_none_or(|condition| {
            let value = exact[condition.output].value;
            if condition.side == Side::Less { value < condition.limit } else { value > condition.limit }
        })).expect("the last always holds");
        prop_assert_eq!(hard[first], 1.0);
    }
}

fn asks(node: &Node, wanted: usize) -> bool {
    match node {
        Node::Ask {
            question, branches, ..
        } => *question == wanted || branches.iter().any(|branch| asks(&branch.then, wanted)),
        Node::Confirm { otherwise, .. } => asks(otherwise, wanted),
        Node::Settled { .. } | Node::Leaf { .. } => false,
    }
}

fn scaled(model: &Model, factor: f64, settings: Settings) -> Model {
    let mut causes = model.causes().to_vec();
    for confirm in causes.iter_mut().filter_map(|cause| cause.confirm.as_mut()) {
        confirm.minutes *= factor;
    }
    let mut questions = model.questions().to_vec();
    for question in &mut questions {
        question.minutes *= factor;
    }
    let mut accesses = model.moves().accesses().to_vec();
    accesses
        .iter_mut()
        .for_each(|access| access.hazard *= factor);
    let every = 0..accesses.len();
    let minutes: Vec<Vec<f64>> = every
        .clone()
        .map(|from| {
            every
                .clone()
                .map(|to| factor * model.moves().minutes(from, to))
                .collect()
        })
        .collect();
    let moves = whytrip::diagnosis::moves::Moves::new(accesses, 0, &minutes).expect("valid moves");
    Model::new(
        causes,
        questions,
        moves,
        factor * model.escalate_minutes(),
        settings,
    )
    .expect("a valid model")
}

/// Best of all orders of the open causes, unnormalised.
fn best_order(model: &Model, access: usize, open: u32) -> f64 {
    let undecided = |open: u32| -> f64 {
        let causes = model.causes().iter().enumerate();
        causes
            .filter(|(cause, _)| *cause == model.something_else() || open >> cause & 1 == 1)
            .map(|(_, c)| c.prior)
            .sum()
    };
    let mass = undecided(open);
    let mut best = model.escalate_minutes() * mass;
    for cause in (0..model.something_else()).filter(|cause| open >> cause & 1 == 1) {
        let confirm = model.causes()[cause]
            .confirm
            .as_ref()
            .expect("a named cause");
        let price = model.moves().minutes(access, confirm.access)
            + confirm.minutes
            + model.moves().accesses()[confirm.access].hazard;
        best = best.min(price * mass + best_order(model, confirm.ends_in, open & !(1 << cause)));
    }
    best
}

fn price_of(model: &Model, list: &[usize]) -> f64 {
    let mut left = 1.0;
    let mut access = model.moves().start();
    let mut price = 0.0;
    for cause in list {
        let confirm = model.causes()[*cause]
            .confirm
            .as_ref()
            .expect("a named cause");
        price += left
            * (model.moves().minutes(access, confirm.access)
                + confirm.minutes
                + model.moves().accesses()[confirm.access].hazard);
        left -= model.causes()[*cause].prior;
        access = confirm.ends_in;
    }
    price + left * model.escalate_minutes()
}
