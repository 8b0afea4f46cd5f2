//! Some steps of looking ahead over confirm-only lists.
//!
//! Value with no step left: the confirm-only list. Value with k steps: the least of that list,
//! every question followed by the value with k - 1 steps after each finding, and the best
//! confirming action of every group followed by the value with k - 1 steps. The greedy rule of
//! [Heckerman, Breese & Rommelse 1995] is k = 1.
//!
//! Not every question is followed: at each step only the most promising ones. That is safe in
//! the sense that matters: a value is always the price of a plan that can really be carried out,
//! so it never promises too much, and it only falls with every further step, because a question
//! that was followed with fewer steps left is still counted here at least at its one-step value.
//! What can be lost is a question that looks poor alone and shines only with two others: following
//! twice as many changes the cost of a walk by 0.1 % on the shipped classes
//! (`cargo bench --bench planner -- shipped`).

use super::board::{Board, State};
use super::confirm_only::ConfirmOnly;
use super::moves::MOST_ACCESSES;
use super::pairs::Pairs;

/// How many of the best questions of each access are always followed.
const PER_ACCESS: usize = 1;

/// A look-ahead over one board.
pub(super) struct LookAhead<'b> {
    board: &'b Board,
    list: ConfirmOnly,
    /// Most questions followed with 1, 2 and 3 steps left.
    widths: [usize; 3],
}

impl<'b> LookAhead<'b> {
    /// `widths` as in the settings: with 3, 2 and 1 steps left.
    pub fn new(board: &'b Board, widths: [usize; 3]) -> Self {
        let [third, second, first] = widths;
        Self {
            board,
            list: ConfirmOnly::quick(),
            widths: [first, second, third],
        }
    }

    /// Value with so many steps; exact below `limit`, otherwise only known to be at least that.
    pub fn value(&mut self, steps: usize, state: &State, limit: f64) -> f64 {
        let mut best = self.list.value(self.board, state);
        if steps == 0 {
            return best;
        }
        let board = self.board;
        let mass = board.mass(state);
        if steps == 1 {
            // A confirming action and then the list cannot beat the list.
            for candidate in self.ranked_by_pairs(state, mass, best.min(limit)) {
                best = best.min(self.one_step(state, candidate, mass, best.min(limit)));
            }
            return best;
        }
        for group in &board.groups {
            if let Some(cause) = board.best_of(state, group) {
                let price = board.confirm_price(state, group, cause) * mass;
                let next = board.not_confirmed(state, group, cause);
                let cut = best.min(limit);
                if price + board.bound(&next.shares, next.open, next.access) < cut {
                    best = best.min(price + self.value(steps - 1, &next, cut - price));
                }
            }
        }
        let mut ranked = Vec::with_capacity(board.candidates.len());
        for candidate in 0..board.candidates.len() {
            if self.may_help(state, candidate, mass, best.min(limit)) {
                let value = self.one_step(state, candidate, mass, f64::INFINITY);
                best = best.min(value);
                ranked.push((candidate, value));
            }
        }
        ranked.sort_by(|left, right| left.1.total_cmp(&right.1));
        for candidate in promising(board, &ranked, self.widths[steps.min(3) - 1]) {
            best = best.min(self.asked(steps, state, candidate, mass, best.min(limit)));
        }
        best
    }

    /// Value of asking a candidate now with `steps` in all; exact below `limit`.
    pub fn asked(
        &mut self,
        steps: usize,
        state: &State,
        candidate: usize,
        mass: f64,
        limit: f64,
    ) -> f64 {
        let board = self.board;
        let asked = &board.candidates[candidate];
        let mut value = board.ask_price(state, candidate) * mass;
        let mut rest = board.bound(&state.shares, state.open, asked.ends_in);
        for finding in 0..asked.findings.len() {
            if value + rest >= limit {
                return f64::INFINITY;
            }
            let next = board.found(state, candidate, finding);
            rest -= board.bound(&next.shares, next.open, next.access);
            value += self.value(steps - 1, &next, limit - value - rest);
        }
        value
    }

    /// Value of asking a candidate now and then following the confirm-only list.
    pub fn one_step(&mut self, state: &State, candidate: usize, mass: f64, limit: f64) -> f64 {
        self.asked(1, state, candidate, mass, limit)
    }

    /// Whether a candidate can be asked and could still beat `limit`.
    fn may_help(&self, state: &State, candidate: usize, mass: f64, limit: f64) -> bool {
        let board = self.board;
        let ends_in = board.candidates[candidate].ends_in;
        board.can_ask(state, candidate)
            && board.ask_price(state, candidate) * mass
                + board.bound(&state.shares, state.open, ends_in)
                < limit
    }

    /// Candidates for the last step, ranked without lists by what they save on pairs of causes.
    fn ranked_by_pairs(&self, state: &State, mass: f64, limit: f64) -> Vec<usize> {
        let board = self.board;
        let pairs = Pairs::new(board, state);
        let mut ranked = Vec::with_capacity(board.candidates.len());
        for candidate in 0..board.candidates.len() {
            if self.may_help(state, candidate, mass, limit) {
                let findings = &board.candidates[candidate].findings;
                let rest: f64 = findings
                    .iter()
                    .map(|likelihoods| pairs.price(likelihoods))
                    .sum();
                ranked.push((candidate, board.ask_price(state, candidate) * mass + rest));
            }
        }
        ranked.sort_by(|left, right| left.1.total_cmp(&right.1));
        promising(board, &ranked, self.widths[0])
    }
}

/// Of candidates ranked by value: the first `width`, and the best [`PER_ACCESS`] of every access,
/// since a move that looks dear for one question may pay for several.
pub(super) fn promising(board: &Board, ranked: &[(usize, f64)], width: usize) -> Vec<usize> {
    let mut taken = [0; MOST_ACCESSES];
    let mut kept = Vec::with_capacity(ranked.len());
    for (place, (candidate, _)) in ranked.iter().enumerate() {
        let taken = &mut taken[board.candidates[*candidate].access];
        if place < width || *taken < PER_ACCESS {
            kept.push(*candidate);
            *taken += 1;
        }
    }
    kept
}
