//! The next step: least expected minutes until a cause is confirmed, moves between accesses and
//! the price of hazard included.
//!
//! Small problems are planned exactly, the others with a look-ahead. Both start from the
//! confirm-only list and only lower it, so a walk that plans again after every answer costs at
//! most the value shown at its start (the calm rule may add its own share).

use super::belief::{AnswerError, Belief};
use super::board::{Board, State};
use super::confirm_only::ConfirmOnly;
use super::exact::Exact;
use super::look_ahead::{LookAhead, promising};
use super::model::Model;
use super::settings::Settings;
use super::situation::Situation;

/// One step of a walk.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Action {
    /// Ask this question.
    Ask(usize),
    /// Carry out the confirming action of this cause.
    Confirm(usize),
    /// Hand over to a specialist: it is now the cheaper way.
    Escalate,
}

/// One option and its price. All in minutes, the hazard price as minutes too.
#[derive(Debug, Clone, PartialEq)]
pub struct Priced {
    /// The option.
    pub action: Action,
    /// What the walk costs from here when this is done now: the price of a plan that can be
    /// carried out, so never too low. The better options are looked at further than the rest.
    pub expected_minutes: f64,
    /// Minutes to get to the access it needs.
    pub move_minutes: f64,
    /// Minutes of the step itself.
    pub own_minutes: f64,
    /// Price of its hazard.
    pub hazard: f64,
    /// What the walk costs when this is done now and nothing more is asked.
    pub then_confirm_only: f64,
}

/// What to do next, and what else could be done.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// The step to take.
    pub action: Action,
    /// What the walk costs from here with it.
    pub expected_minutes: f64,
    /// What it would cost to confirm the causes one by one without another question.
    pub tail_minutes: f64,
    /// Whether the values are exact, not a look-ahead's.
    pub exact: bool,
    /// Every option, the cheapest first.
    pub options: Vec<Priced>,
}

/// The next step of a walk.
///
/// # Errors
/// When the answers, the access or the list of allowed accesses do not fit the model.
pub fn plan(model: &Model, situation: &Situation) -> Result<Plan, AnswerError> {
    let belief = Belief::from_answers(model, &situation.answers)?;
    let (board, state) = Board::new(model, situation, &belief)?;
    let settings = model.settings();
    let tail_minutes = ConfirmOnly::best().value(&board, &state);
    let mut options = price_alone(model, &board, &state);
    let exact = price_exactly(&board, &state, settings, &mut options);
    if !exact {
        price_ahead(&board, &state, settings, &mut options);
    }
    let mut options: Vec<Priced> = options.into_iter().map(|option| option.priced).collect();
    options.sort_by(|left, right| left.expected_minutes.total_cmp(&right.expected_minutes));
    let chosen = calmest(&options, tail_minutes, settings);
    let (action, expected_minutes) = chosen.map_or((Action::Escalate, tail_minutes), |option| {
        (option.action, option.expected_minutes)
    });
    Ok(Plan {
        action,
        expected_minutes,
        tail_minutes,
        exact,
        options,
    })
}

/// The list of causes to confirm in order when no more is asked, then handing over.
///
/// # Errors
/// As [`plan`].
pub fn confirm_only(model: &Model, situation: &Situation) -> Result<Vec<usize>, AnswerError> {
    let belief = Belief::from_answers(model, &situation.answers)?;
    let (board, state) = Board::new(model, situation, &belief)?;
    Ok(ConfirmOnly::best().list(&board, &state))
}

/// An option with where it stands on the board.
struct Candidate {
    priced: Priced,
    place: Place,
}

#[derive(Clone, Copy)]
enum Place {
    Ask(usize),
    Confirm { group: usize, cause: usize },
    Escalate,
}

/// Every option, priced as if nothing more were asked after it, in the order of the model.
fn price_alone(model: &Model, board: &Board, state: &State) -> Vec<Candidate> {
    let mut quick = ConfirmOnly::quick();
    let mut list = ConfirmOnly::best();
    let mass = board.mass(state);
    let hazard = |access: usize| model.moves().accesses()[access].hazard;
    let mut options = Vec::new();
    for (index, candidate) in board.candidates.iter().enumerate() {
        let rest: f64 = (0..candidate.findings.len())
            .map(|finding| quick.value(board, &board.found(state, index, finding)))
            .sum();
        let value = board.ask_price(state, index) * mass + rest;
        options.push(Candidate {
            priced: Priced {
                action: Action::Ask(candidate.question),
                expected_minutes: value,
                move_minutes: board.moves_to[candidate.access][state.access],
                own_minutes: candidate.price - hazard(candidate.access),
                hazard: hazard(candidate.access),
                then_confirm_only: value,
            },
            place: Place::Ask(index),
        });
    }
    let groups = board.groups.iter().enumerate();
    let mut confirms: Vec<(usize, usize)> = groups
        .flat_map(|(index, group)| group.causes.iter().map(move |cause| (*cause, index)))
        .collect();
    confirms.sort_unstable();
    for (cause, index) in confirms {
        let group = &board.groups[index];
        let next = board.not_confirmed(state, group, cause);
        let value = board.confirm_price(state, group, cause) * mass + list.value(board, &next);
        options.push(Candidate {
            priced: Priced {
                action: Action::Confirm(cause),
                expected_minutes: value,
                move_minutes: board.moves_to[group.access][state.access],
                own_minutes: board.confirm_price[cause] - hazard(group.access),
                hazard: hazard(group.access),
                then_confirm_only: value,
            },
            place: Place::Confirm {
                group: index,
                cause,
            },
        });
    }
    options.push(Candidate {
        priced: Priced {
            action: Action::Escalate,
            expected_minutes: board.escalate * mass,
            move_minutes: 0.0,
            own_minutes: board.escalate,
            hazard: 0.0,
            then_confirm_only: board.escalate * mass,
        },
        place: Place::Escalate,
    });
    options
}

/// Lowers the prices to the exact ones where they matter; false when the problem is too large.
fn price_exactly(
    board: &Board,
    state: &State,
    settings: &Settings,
    options: &mut [Candidate],
) -> bool {
    let Some(mut exact) = Exact::new(board, state, settings.exact_states) else {
        return false;
    };
    let mass = board.mass(state);
    let limit = worth_pricing(exact.value(0, state), settings);
    for option in options {
        let value = match option.place {
            Place::Ask(candidate) => exact.asked(0, state, candidate, mass, limit),
            Place::Confirm { group, cause } => {
                let group = &board.groups[group];
                let price = board.confirm_price(state, group, cause) * mass;
                price + exact.value(0, &board.not_confirmed(state, group, cause))
            }
            Place::Escalate => continue,
        };
        option.lower(value);
    }
    true
}

/// Lowers the prices by looking ahead: two steps for every option, three for the promising ones.
fn price_ahead(board: &Board, state: &State, settings: &Settings, options: &mut [Candidate]) {
    let mut ahead = LookAhead::new(board, settings.widths);
    let mass = board.mass(state);
    for steps in 2..=settings.look_ahead {
        let mut order: Vec<usize> = (0..options.len()).collect();
        order.sort_by(|left, right| options[*left].value().total_cmp(&options[*right].value()));
        let ranked: Vec<(usize, f64)> = order
            .iter()
            .filter_map(|index| options[*index].asks())
            .collect();
        let width = if steps == 2 {
            ranked.len()
        } else {
            settings.widths[0]
        };
        let followed = promising(board, &ranked, width);
        let mut best = options
            .iter()
            .map(Candidate::value)
            .fold(f64::INFINITY, f64::min);
        for index in order {
            let limit = worth_pricing(best, settings);
            let value = match options[index].place {
                Place::Ask(candidate) if followed.contains(&candidate) => {
                    ahead.asked(steps, state, candidate, mass, limit)
                }
                Place::Confirm { group, cause }
                    if board.best_of(state, &board.groups[group]) == Some(cause) =>
                {
                    let group = &board.groups[group];
                    let price = board.confirm_price(state, group, cause) * mass;
                    price
                        + ahead.value(
                            steps - 1,
                            &board.not_confirmed(state, group, cause),
                            limit - price,
                        )
                }
                Place::Ask(_) | Place::Confirm { .. } | Place::Escalate => continue,
            };
            options[index].lower(value);
            best = best.min(options[index].value());
        }
    }
}

impl Candidate {
    fn value(&self) -> f64 {
        self.priced.expected_minutes
    }

    fn asks(&self) -> Option<(usize, f64)> {
        match self.place {
            Place::Ask(candidate) => Some((candidate, self.value())),
            Place::Confirm { .. } | Place::Escalate => None,
        }
    }

    fn lower(&mut self, value: f64) {
        self.priced.expected_minutes = self.priced.expected_minutes.min(value);
    }
}

/// Up to where a price must be known: what counts as equal to the best.
fn worth_pricing(best: f64, settings: &Settings) -> f64 {
    best + (best * settings.calm_share)
        .max(settings.calm_minutes)
        .max(best * ROUNDING)
}

/// Values this share apart are the same number worked out in another order.
const ROUNDING: f64 = 1e-9;

/// Among options as good as the best: no move, then less hazard, then fewer minutes, then the
/// order of the model. An option other than the best must at least pay for itself against the
/// confirm-only list, so that small change is not spent on questions that settle nothing.
fn calmest<'p>(options: &'p [Priced], tail: f64, settings: &Settings) -> Option<&'p Priced> {
    let best = options.first()?.expected_minutes;
    let near = worth_pricing(best, settings);
    let pays = |option: &&Priced| {
        option.expected_minutes <= best * (1.0 + ROUNDING)
            || option.then_confirm_only <= tail * (1.0 + ROUNDING)
    };
    let rank = |option: &Priced| {
        let kind = match option.action {
            Action::Ask(question) => (0, question),
            Action::Confirm(cause) => (1, cause),
            Action::Escalate => (2, 0),
        };
        (
            option.move_minutes > 0.0,
            option.hazard,
            option.move_minutes + option.own_minutes,
            kind,
        )
    };
    options
        .iter()
        .filter(|option| option.expected_minutes <= near)
        .filter(pays)
        .min_by(|left, right| {
            let (left, right) = (rank(left), rank(right));
            left.0
                .cmp(&right.0)
                .then(left.1.total_cmp(&right.1))
                .then(left.2.total_cmp(&right.2))
                .then(left.3.cmp(&right.3))
        })
}
