//! The exact planner, for what is small enough: every order of questions and confirming actions,
//! remembered by what is known and where the walk stands.
//!
//! A state is one finding or "not asked" a question, the set of open causes, the access and
//! whether the power was off. The recursion starts from the current belief, so every walk ends
//! under exact planning.

use super::board::{Board, State};
use super::confirm_only::ConfirmOnly;

/// Exact planner over one board.
pub(super) struct Exact<'b> {
    board: &'b Board,
    list: ConfirmOnly,
    /// Value a state, NaN while unknown.
    values: Vec<f64>,
    /// Weight of a candidate's finding in the state's number.
    strides: Vec<usize>,
    /// Bit of each cause among the open ones.
    bits: Vec<usize>,
    open_sets: usize,
    /// Accesses, twice where it matters whether the power was off.
    places: usize,
}

impl<'b> Exact<'b> {
    /// `None` when there would be more than `most` states.
    pub fn new(board: &'b Board, state: &State, most: usize) -> Option<Self> {
        let mut bits = vec![0; board.causes];
        let mut open_count = 0u32;
        for (cause, bit) in bits.iter_mut().enumerate() {
            if state.open >> cause & 1 == 1 {
                *bit = 1usize << open_count;
                open_count += 1;
            }
        }
        let open_sets = 1usize.checked_shl(open_count)?;
        let mut strides = Vec::with_capacity(board.candidates.len());
        let mut known = 1usize;
        for candidate in &board.candidates {
            strides.push(known);
            known = known.checked_mul(candidate.findings.len() + 1)?;
        }
        let power_matters = board
            .candidates
            .iter()
            .any(|candidate| candidate.before_power_off);
        let places = if power_matters {
            2 * board.accesses
        } else {
            board.accesses
        };
        let states = known.checked_mul(open_sets)?.checked_mul(places)?;
        (states <= most).then(|| Self {
            board,
            list: ConfirmOnly::best(),
            values: vec![f64::NAN; states],
            strides,
            bits,
            open_sets,
            places,
        })
    }

    /// Best value of a state. `known` numbers the findings so far, 0 at the start.
    pub fn value(&mut self, known: usize, state: &State) -> f64 {
        let number = self.number(known, state);
        if !self.values[number].is_nan() {
            return self.values[number];
        }
        let board = self.board;
        let mass = board.mass(state);
        let mut best = self.list.value(board, state);
        for candidate in 0..board.candidates.len() {
            if board.can_ask(state, candidate) {
                best = best.min(self.asked(known, state, candidate, mass, best));
            }
        }
        for group in &board.groups {
            for &cause in group
                .causes
                .iter()
                .filter(|cause| state.open >> **cause & 1 == 1)
            {
                let price = board.confirm_price(state, group, cause) * mass;
                let next = board.not_confirmed(state, group, cause);
                if price + board.bound(&next.shares, next.open, next.access) < best {
                    best = best.min(price + self.value(known, &next));
                }
            }
        }
        self.values[number] = best;
        best
    }

    /// Value of asking a candidate now; exact below `limit`, infinite when it cannot be below.
    pub fn asked(
        &mut self,
        known: usize,
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
            value += self.value(known + (finding + 1) * self.strides[candidate], &next);
        }
        value
    }

    fn number(&self, known: usize, state: &State) -> usize {
        let open: usize = self
            .bits
            .iter()
            .enumerate()
            .map(|(cause, bit)| bit * (state.open >> cause & 1) as usize)
            .sum();
        let off = state.powered_off && self.places > self.board.accesses;
        let place = state.access + if off { self.board.accesses } else { 0 };
        (known * self.open_sets + open) * self.places + place
    }
}
