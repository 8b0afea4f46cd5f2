//! The planner and what it is compared with.

use whytrip::diagnosis::belief::Belief;
use whytrip::diagnosis::model::Model;
use whytrip::diagnosis::planner::{Action, confirm_only, plan};
use whytrip::diagnosis::situation::Situation;
use whytrip::diagnosis::turn::{Turn, turn};

use crate::generated::Random;

/// A way to choose the next step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Policy {
    /// The planner with the settings of the model.
    Planner,
    /// The planner as a live walk uses it: a finding may settle a cause.
    Live,
    /// Most information a minute among questions and confirming actions, the move counted.
    Gain,
    /// The same, the move not counted in the choice.
    GainWithoutMoves,
    /// Confirm in the order of share by price, never ask [Kadane & Simon 1977].
    Fixed,
    /// Any step that is left.
    Random,
}

impl Policy {
    pub fn name(self) -> &'static str {
        match self {
            Self::Planner => "planner",
            Self::Live => "live walk",
            Self::Gain => "information gain a minute, moves counted",
            Self::GainWithoutMoves => "information gain a minute, moves ignored",
            Self::Fixed => "fixed order by share/price",
            Self::Random => "random",
        }
    }

    /// The step that this policy takes.
    pub fn next(self, model: &Model, situation: &Situation) -> Step {
        if self == Self::Live {
            return match turn(model, situation).expect("a turn") {
                Turn::Ask { question, .. } => Step::Do(Action::Ask(question)),
                Turn::Confirm { cause, .. } => Step::Do(Action::Confirm(cause)),
                Turn::HandOver { .. } => Step::Do(Action::Escalate),
                Turn::Settled { cause } => Step::Settled(cause),
            };
        }
        Step::Do(match self {
            Self::Planner | Self::Live => plan(model, situation).expect("a plan").action,
            Self::Gain => most_gain(model, situation, true),
            Self::GainWithoutMoves => most_gain(model, situation, false),
            Self::Fixed => by_share_and_price(model, situation),
            Self::Random => any(model, situation),
        })
    }
}

/// What a policy does next.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    Do(Action),
    /// The answers themselves confirm this cause.
    Settled(usize),
}

struct Option {
    action: Action,
    move_minutes: f64,
    price: f64,
}

/// Every question and confirming action that is left.
fn options(model: &Model, situation: &Situation, belief: &Belief) -> Vec<Option> {
    let priced = |action: Action, access: usize, minutes: f64| Option {
        action,
        move_minutes: model.moves().minutes(situation.access, access),
        price: minutes + model.moves().accesses()[access].hazard,
    };
    let powered_off = situation.powered_off(model);
    let questions = model.questions().iter().enumerate();
    let open = questions.filter(|(index, question)| {
        let answered = |answer: &whytrip::diagnosis::Answer| answer.question() == Some(*index);
        let lost = powered_off && question.before_power_off;
        !situation.answers.iter().any(answered) && !lost
    });
    let asks = open.map(|(index, asked)| priced(Action::Ask(index), asked.access, asked.minutes));
    let causes = model.causes().iter().enumerate();
    let confirms = causes.filter_map(|(index, cause)| {
        let confirm = cause.confirm.as_ref()?;
        let open = !belief.is_ruled_out(index);
        open.then(|| priced(Action::Confirm(index), confirm.access, confirm.minutes))
    });
    asks.chain(confirms).collect()
}

fn most_gain(model: &Model, situation: &Situation, moves: bool) -> Action {
    let belief = Belief::from_answers(model, &situation.answers).expect("fitting answers");
    if confirm_only(model, situation).expect("a list").is_empty() {
        return Action::Escalate;
    }
    let weights = belief.weights();
    let a_minute = |option: &Option| {
        let gain = match option.action {
            Action::Ask(question) => {
                let findings = model.questions()[question].findings.len();
                let after = |finding: usize| {
                    let joint = weights.iter().zip(model.floored(question, finding));
                    spread(joint.map(|(share, likelihood)| share * likelihood))
                };
                spread(weights.iter().copied()) - (0..findings).map(after).sum::<f64>()
            }
            Action::Confirm(cause) => {
                let others = weights.iter().enumerate();
                let left = others.map(|(index, share)| if index == cause { 0.0 } else { *share });
                spread(weights.iter().copied()) - spread(left)
            }
            Action::Escalate => 0.0,
        };
        let way = if moves { option.move_minutes } else { 0.0 };
        gain / (option.price + way).max(1e-9)
    };
    let options = options(model, situation, &belief);
    options
        .iter()
        .max_by(|one, other| a_minute(one).total_cmp(&a_minute(other)))
        .map_or(Action::Escalate, |option| option.action)
}

/// Entropy of unnormalised shares times their sum, bit.
fn spread(shares: impl Iterator<Item = f64>) -> f64 {
    let (sum, terms) = shares
        .filter(|share| *share > 0.0)
        .fold((0.0, 0.0), |(sum, terms): (f64, f64), share: f64| {
            (sum + share, terms + share * share.log2())
        });
    if sum > 0.0 {
        sum * sum.log2() - terms
    } else {
        0.0
    }
}

fn by_share_and_price(model: &Model, situation: &Situation) -> Action {
    let belief = Belief::from_answers(model, &situation.answers).expect("fitting answers");
    let ratio = |option: &Option| match option.action {
        Action::Confirm(cause) => belief.weights()[cause] / option.price.max(1e-9),
        Action::Ask(_) | Action::Escalate => 0.0,
    };
    let best = options(model, situation, &belief)
        .into_iter()
        .max_by(|one, other| ratio(one).total_cmp(&ratio(other)));
    // Handing over is the confirming action of everything [Heckerman, Breese & Rommelse 1995].
    match best {
        Some(option) if ratio(&option) > 1.0 / model.escalate_minutes() => option.action,
        _ => Action::Escalate,
    }
}

fn any(model: &Model, situation: &Situation) -> Action {
    let belief = Belief::from_answers(model, &situation.answers).expect("fitting answers");
    let options = options(model, situation, &belief);
    if options.is_empty() {
        return Action::Escalate;
    }
    let seed = belief
        .weights()
        .iter()
        .fold(situation.access as u64, |seed, share| {
            seed.rotate_left(7) ^ share.to_bits()
        });
    options[Random::new(seed).below(options.len())].action
}
