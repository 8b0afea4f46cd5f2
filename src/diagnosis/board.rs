//! A situation laid out for the planners: only what can still be done, priced.
//!
//! All values are unnormalised: shares are multiplied by likelihoods and never scaled again, so
//! a value is minutes times the chance of getting there and no division is needed.

use super::belief::{AnswerError, Belief};
use super::model::{MOST_CAUSES, Model};
use super::moves::MOST_ACCESSES;
use super::shortlist;
use super::situation::Situation;

/// Stands for minutes that are 0 where they divide.
pub(super) const LEAST_MINUTES: f64 = 1e-9;

/// One number a cause.
pub(super) type Shares = [f64; MOST_CAUSES];

/// A question that can still be asked.
pub(super) struct Candidate {
    /// Its index in the model.
    pub question: usize,
    pub access: usize,
    pub ends_in: usize,
    /// Minutes and hazard price.
    pub price: f64,
    pub before_power_off: bool,
    pub powers_off: bool,
    pub findings: Vec<Shares>,
}

/// Causes confirmed in the same access and ending in the same one.
pub(super) struct Group {
    pub access: usize,
    pub ends_in: usize,
    pub powers_off: bool,
    pub causes: Vec<usize>,
}

/// What a planner may do, and what it costs.
pub(super) struct Board {
    /// Causes, *something else* included.
    pub causes: usize,
    pub candidates: Vec<Candidate>,
    pub groups: Vec<Group>,
    /// Minutes and hazard price of the confirming action a cause.
    pub confirm_price: Shares,
    /// One by the price of a cause's confirming action, the way back to the next of its group
    /// counted: times its share, what a minute settles.
    pub pace: Shares,
    /// Least that can be paid from an access until a cause is settled: its way and its action, or
    /// handing over.
    pub least: [Shares; MOST_ACCESSES],
    /// Minutes of a move, `[to][from]`.
    pub moves_to: [[f64; MOST_ACCESSES]; MOST_ACCESSES],
    pub accesses: usize,
    pub escalate: f64,
    /// Share of a cause that stays when its confirming action fails.
    pub kept: f64,
}

/// What changes while looking ahead.
#[derive(Clone, Copy)]
pub(super) struct State {
    pub shares: Shares,
    /// Bit a cause: its confirming action is open.
    pub open: u32,
    pub access: usize,
    pub powered_off: bool,
    /// Bit a candidate: not asked yet.
    pub unasked: u128,
}

impl Board {
    /// Lays out a situation; the belief is that of its answers.
    ///
    /// # Errors
    /// When the access or the list of allowed accesses does not fit the model.
    pub fn new(
        model: &Model,
        situation: &Situation,
        belief: &Belief,
    ) -> Result<(Self, State), AnswerError> {
        let accesses = model.moves().accesses();
        let list_fits = situation.allowed.is_empty() || situation.allowed.len() == accesses.len();
        if situation.access >= accesses.len() || !list_fits {
            return Err(AnswerError::UnknownAccess);
        }
        let powers_off = |access: usize, ends_in: usize| {
            accesses[access].powers_off || accesses[ends_in].powers_off
        };
        let allowed = |access: usize, ends_in: usize| {
            situation.is_allowed(access) && situation.is_allowed(ends_in)
        };
        let powered_off = situation.powered_off(model);

        let mut board = Self {
            causes: model.causes().len(),
            candidates: Vec::new(),
            groups: Vec::new(),
            confirm_price: [0.0; MOST_CAUSES],
            pace: [0.0; MOST_CAUSES],
            least: [[model.escalate_minutes(); MOST_CAUSES]; MOST_ACCESSES],
            moves_to: [[0.0; MOST_ACCESSES]; MOST_ACCESSES],
            accesses: accesses.len(),
            escalate: model.escalate_minutes(),
            kept: model.settings().wrongly_ruled_out,
        };
        for from in 0..accesses.len() {
            for to in 0..accesses.len() {
                board.moves_to[to][from] = model.moves().minutes(from, to);
            }
        }
        let mut open = 0;
        for (index, cause) in model.causes().iter().enumerate() {
            let Some(confirm) = &cause.confirm else {
                continue;
            };
            let skipped = belief.is_ruled_out(index) || situation.excluded_causes.contains(&index);
            if skipped || !allowed(confirm.access, confirm.ends_in) {
                continue;
            }
            open |= 1 << index;
            board.confirm_price[index] = confirm.minutes + accesses[confirm.access].hazard;
            let way_back = board.moves_to[confirm.access][confirm.ends_in];
            board.pace[index] = 1.0 / (board.confirm_price[index] + way_back).max(LEAST_MINUTES);
            for from in 0..accesses.len() {
                let direct = board.moves_to[confirm.access][from] + board.confirm_price[index];
                board.least[from][index] = direct.min(board.escalate);
            }
            let same = |group: &&mut Group| {
                group.access == confirm.access && group.ends_in == confirm.ends_in
            };
            if let Some(group) = board.groups.iter_mut().find(same) {
                group.causes.push(index);
            } else {
                board.groups.push(Group {
                    access: confirm.access,
                    ends_in: confirm.ends_in,
                    powers_off: powers_off(confirm.access, confirm.ends_in),
                    causes: vec![index],
                });
            }
        }
        let can_be_asked = |index: &usize| {
            let question = &model.questions()[*index];
            let answered = situation
                .answers
                .iter()
                .any(|answer| answer.question() == Some(*index));
            let too_late = powered_off && question.before_power_off;
            let excluded = situation.excluded_questions.contains(index);
            !answered && !too_late && !excluded && allowed(question.access, question.ends_in)
        };
        let open_questions = (0..model.questions().len()).filter(can_be_asked).collect();
        for index in shortlist::worth_planning(model, belief, open_questions) {
            let question = &model.questions()[index];
            let findings = (0..question.findings.len())
                .map(|finding| shares(model.floored(index, finding)))
                .collect();
            board.candidates.push(Candidate {
                question: index,
                access: question.access,
                ends_in: question.ends_in,
                price: question.minutes + accesses[question.access].hazard,
                before_power_off: question.before_power_off,
                powers_off: powers_off(question.access, question.ends_in),
                findings,
            });
        }
        let state = State {
            shares: shares(belief.weights()),
            open,
            access: situation.access,
            powered_off,
            unasked: lowest_bits(board.candidates.len()),
        };
        Ok((board, state))
    }

    /// Sum of the shares: the chance of getting here.
    pub fn mass(&self, state: &State) -> f64 {
        state.shares[..self.causes].iter().sum()
    }

    /// Never above the best possible value of the shares from `access` [Sochorova & Vomlel 2000]:
    /// each cause settled by its own cheapest way. It adds up over the findings of a question,
    /// because it is linear in the shares.
    pub fn bound(&self, shares: &Shares, open: u32, access: usize) -> f64 {
        let least = &self.least[access];
        (0..self.causes)
            .map(|cause| {
                shares[cause]
                    * if open >> cause & 1 == 1 {
                        least[cause]
                    } else {
                        self.escalate
                    }
            })
            .sum()
    }

    /// Whether a candidate can be asked in a state.
    pub fn can_ask(&self, state: &State, candidate: usize) -> bool {
        let late = state.powered_off && self.candidates[candidate].before_power_off;
        state.unasked >> candidate & 1 == 1 && !late
    }

    /// Move, minutes and hazard of asking.
    pub fn ask_price(&self, state: &State, candidate: usize) -> f64 {
        let candidate = &self.candidates[candidate];
        self.moves_to[candidate.access][state.access] + candidate.price
    }

    /// Move, minutes and hazard of a confirming action of a group.
    pub fn confirm_price(&self, state: &State, group: &Group, cause: usize) -> f64 {
        self.moves_to[group.access][state.access] + self.confirm_price[cause]
    }

    /// The state after a finding.
    pub fn found(&self, state: &State, candidate: usize, finding: usize) -> State {
        let asked = &self.candidates[candidate];
        let mut next = *state;
        next.unasked &= !(1 << candidate);
        next.access = asked.ends_in;
        next.powered_off |= asked.powers_off;
        for (share, likelihood) in next.shares[..self.causes]
            .iter_mut()
            .zip(&asked.findings[finding])
        {
            *share *= likelihood;
        }
        next
    }

    /// The state after a confirming action that failed.
    pub fn not_confirmed(&self, state: &State, group: &Group, cause: usize) -> State {
        let mut next = *state;
        next.open &= !(1 << cause);
        next.access = group.ends_in;
        next.powered_off |= group.powers_off;
        next.shares[cause] *= self.kept;
        next
    }

    /// Open cause of a group with the most share a minute: within a group nothing else can be
    /// worth confirming first.
    pub fn best_of(&self, state: &State, group: &Group) -> Option<usize> {
        let ratio = |cause: usize| self.ratio(&state.shares, cause);
        let open = group
            .causes
            .iter()
            .copied()
            .filter(|cause| state.open >> cause & 1 == 1);
        open.fold(None, |best: Option<usize>, cause| match best {
            Some(best) if ratio(best) >= ratio(cause) => Some(best),
            _ => Some(cause),
        })
    }

    /// Share a minute of a confirming action within its group.
    pub fn ratio(&self, shares: &Shares, cause: usize) -> f64 {
        shares[cause] * self.pace[cause]
    }
}

fn shares(values: &[f64]) -> Shares {
    let mut shares = [0.0; MOST_CAUSES];
    shares
        .iter_mut()
        .zip(values)
        .for_each(|(share, value)| *share = *value);
    shares
}

fn lowest_bits(count: usize) -> u128 {
    if count >= 128 {
        u128::MAX
    } else {
        (1 << count) - 1
    }
}
