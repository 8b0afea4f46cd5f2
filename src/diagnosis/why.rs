//! The numbers that explain a step, taken from the planner that chose it.
//!
//! Why one cause leads is in [`super::belief::Effect::decibans`], answer by answer.

use super::belief::{Answer, AnswerError, Belief};
use super::model::Model;
use super::planner::{Action, Plan, plan};
use super::situation::Situation;

/// Why a step, in numbers.
#[derive(Debug, Clone, PartialEq)]
pub struct Why {
    /// The step explained.
    pub action: Action,
    /// Minutes it saves on average over confirming one cause after the other.
    pub minutes_saved: f64,
    /// The two causes a question tells apart best; `None` when it tells none apart.
    pub pair: Option<Pair>,
    /// What each possible finding of a question would do, in its order.
    pub findings: Vec<Outlook>,
    /// The best other option and what makes it dearer.
    pub runner_up: Option<RunnerUp>,
}

/// Two causes and their shares now, the larger share first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pair {
    /// The two causes.
    pub causes: [usize; 2],
    /// Their shares.
    pub shares: [f64; 2],
    /// The finding that speaks most for the first against the second, then the opposite one.
    pub findings: [usize; 2],
}

/// What one finding would do.
#[derive(Debug, Clone, PartialEq)]
pub struct Outlook {
    /// The finding.
    pub finding: usize,
    /// Its chance, above 0.
    pub chance: f64,
    /// Cause that would lead.
    pub leader: usize,
    /// Its share then.
    pub leader_share: f64,
    /// The step that would follow.
    pub then: Action,
}

/// The best other option. The four parts sum to `minutes_more`; a part below 0 is in its favour.
#[derive(Debug, Clone, PartialEq)]
pub struct RunnerUp {
    /// The option.
    pub action: Action,
    /// How much dearer the walk is with it.
    pub minutes_more: f64,
    /// Of that, the move.
    pub by_move: f64,
    /// Of that, the step itself.
    pub by_step: f64,
    /// Of that, the price of hazard.
    pub by_hazard: f64,
    /// Of that, everything afterwards.
    pub by_rest: f64,
}

/// The two causes that a question tells apart best, without looking further.
///
/// # Errors
/// When the answers do not fit the model.
pub fn separated(
    model: &Model,
    situation: &Situation,
    question: usize,
) -> Result<Option<Pair>, AnswerError> {
    let belief = Belief::from_answers(model, &situation.answers)?;
    Ok(best_pair(model, &belief, question))
}

/// Explains an option of a plan; `None` when the plan has no such option.
///
/// # Errors
/// When the answers do not fit the model.
pub fn why(
    model: &Model,
    situation: &Situation,
    plan: &Plan,
    action: Action,
) -> Result<Option<Why>, AnswerError> {
    let Some(own) = plan.options.iter().find(|option| option.action == action) else {
        return Ok(None);
    };
    let (pair, findings) = match action {
        Action::Ask(question) => {
            let belief = Belief::from_answers(model, &situation.answers)?;
            (
                best_pair(model, &belief, question),
                outlooks(model, situation, &belief, question)?,
            )
        }
        Action::Confirm(_) | Action::Escalate => (None, Vec::new()),
    };
    let runner_up = plan
        .options
        .iter()
        .find(|option| option.action != action)
        .map(|other| {
            let minutes_more = other.expected_minutes - own.expected_minutes;
            let by_move = other.move_minutes - own.move_minutes;
            let by_step = other.own_minutes - own.own_minutes;
            let by_hazard = other.hazard - own.hazard;
            let by_rest = minutes_more - by_move - by_step - by_hazard;
            RunnerUp {
                action: other.action,
                minutes_more,
                by_move,
                by_step,
                by_hazard,
                by_rest,
            }
        });
    let minutes_saved = plan.tail_minutes - own.expected_minutes;
    Ok(Some(Why {
        action,
        minutes_saved,
        pair,
        findings,
        runner_up,
    }))
}

/// The pair with the largest product of shares and log-ratio between the two findings that
/// differ most: how far a question can pull two causes apart that both matter.
fn best_pair(model: &Model, belief: &Belief, question: usize) -> Option<Pair> {
    let shares = belief.posterior();
    let findings = model.questions().get(question)?.findings.len();
    let mut best: Option<(f64, Pair)> = None;
    for one in 0..shares.len() {
        for other in one + 1..shares.len() {
            let both = shares[one] * shares[other];
            if both <= 0.0 {
                continue;
            }
            let ratio = |finding: usize| {
                let likelihoods = model.floored(question, finding);
                (likelihoods[one].max(f64::MIN_POSITIVE)
                    / likelihoods[other].max(f64::MIN_POSITIVE))
                .ln()
            };
            let (mut highest, mut lowest) = (0, 0);
            for finding in 1..findings {
                if ratio(finding) > ratio(highest) {
                    highest = finding;
                }
                if ratio(finding) < ratio(lowest) {
                    lowest = finding;
                }
            }
            let pull = both * (ratio(highest) - ratio(lowest));
            if pull > best.map_or(0.0, |(most, _)| most) {
                let pair = if shares[one] >= shares[other] {
                    Pair {
                        causes: [one, other],
                        shares: [shares[one], shares[other]],
                        findings: [highest, lowest],
                    }
                } else {
                    Pair {
                        causes: [other, one],
                        shares: [shares[other], shares[one]],
                        findings: [lowest, highest],
                    }
                };
                best = Some((pull, pair));
            }
        }
    }
    best.map(|(_, pair)| pair)
}

fn outlooks(
    model: &Model,
    situation: &Situation,
    belief: &Belief,
    question: usize,
) -> Result<Vec<Outlook>, AnswerError> {
    let mut outlooks = Vec::new();
    for (finding, chance) in belief.chances(model, question).into_iter().enumerate() {
        if chance > 0.0 {
            let next = situation.answered(model, Answer::found(model, question, finding))?;
            let after = Belief::from_answers(model, &next.answers)?;
            let leader = after.leader();
            let leader_share = after.posterior()[leader];
            let then = plan(model, &next)?.action;
            outlooks.push(Outlook {
                finding,
                chance,
                leader,
                leader_share,
                then,
            });
        }
    }
    Ok(outlooks)
}
