//! The confirm-only list: the best order of confirming actions when no more is asked.
//!
//! With fixed prices the order by share/price is optimal [Kadane & Simon 1977]; moves between
//! accesses break that [Vomlelova 2003], but only between groups. Causes confirmed in the same
//! access and ending in the same access keep the ratio order among themselves: moving the better
//! of two forward, or the worse back, cannot raise the moves by the triangle inequality, and one
//! of the two lowers the rest. So it is enough to know how many of each group are done. That is
//! exact for actions that end where they start and within a fraction of a per cent for others.
//! Handing over is allowed at every point.

use super::board::{Board, Group, State};
use super::model::MOST_CAUSES;
use super::moves::MOST_ACCESSES;
use super::runs::by_runs;

/// Most entries of the table when one list is wanted, and when thousands are.
const MOST_ENTRIES: usize = 4_000;
const MOST_QUICK_ENTRIES: usize = 32;
pub(super) const MOST_GROUPS: usize = MOST_ACCESSES * MOST_ACCESSES;

/// Scratch space of the list, kept between calls. Where the table would have too many entries the
/// list by runs stands in.
pub(super) struct ConfirmOnly {
    most_entries: usize,
    lines: Vec<Line>,
    /// Index of the line whose entries lie side by side.
    inner: usize,
    values: Vec<[f64; MOST_ACCESSES]>,
}

/// The open causes of one group in ratio order.
#[derive(Default)]
pub(super) struct Line {
    pub access: usize,
    pub ends_in: usize,
    pub len: usize,
    pub causes: [usize; MOST_CAUSES],
    ratios: [f64; MOST_CAUSES],
    /// Price of the confirming action after so many are done.
    pub prices: [f64; MOST_CAUSES],
    /// Shares of the group still undecided after so many are done, the kept remainders included.
    pub left: [f64; MOST_CAUSES],
    stride: usize,
}

/// The next confirming action of a group.
#[derive(Default, Clone, Copy)]
struct Branch {
    /// Minutes of the move, by where the walk is.
    minutes: [f64; MOST_ACCESSES],
    price: f64,
    ends_in: usize,
    stride: usize,
}

impl Branch {
    fn lower(&self, best: &mut [f64; MOST_ACCESSES], mass: f64, after: &[f64; MOST_ACCESSES]) {
        let value = self.price * mass + after[self.ends_in];
        for (best, minutes) in best.iter_mut().zip(&self.minutes) {
            let whole = minutes * mass + value;
            *best = if whole < *best { whole } else { *best };
        }
    }
}

impl ConfirmOnly {
    /// The best list, for one price that is shown.
    pub fn best() -> Self {
        Self::with(MOST_ENTRIES)
    }

    /// A good list, for the many prices of a look-ahead: by runs, unless the table is tiny.
    pub fn quick() -> Self {
        Self::with(MOST_QUICK_ENTRIES)
    }

    fn with(most_entries: usize) -> Self {
        Self {
            most_entries,
            lines: Vec::new(),
            inner: 0,
            values: Vec::new(),
        }
    }

    /// Value of the list from a state, unnormalised.
    pub fn value(&mut self, board: &Board, state: &State) -> f64 {
        if !self.lay_out(board, state) {
            return by_runs(board, &self.lines, state.access, self.closed(board, state)).value;
        }
        self.fill(board, state)
    }

    /// The list itself, causes in order; after the last the walk hands over.
    pub fn list(&mut self, board: &Board, state: &State) -> Vec<usize> {
        if !self.lay_out(board, state) {
            let runs = by_runs(board, &self.lines, state.access, self.closed(board, state));
            return runs.causes().to_vec();
        }
        self.fill(board, state);
        self.trace(board, state)
    }

    /// Sorts the groups; false when the table would be too large.
    fn lay_out(&mut self, board: &Board, state: &State) -> bool {
        self.lines.resize_with(board.groups.len(), Line::default);
        for (line, group) in self.lines.iter_mut().zip(&board.groups) {
            line.sort(board, state, group);
        }
        // The longest line goes innermost, where a step costs least.
        let longest = |line: &(usize, &Line)| line.1.len;
        self.inner = self
            .lines
            .iter()
            .enumerate()
            .max_by_key(longest)
            .map_or(0, |(index, _)| index);
        let mut entries = self.lines.get(self.inner).map_or(1, |line| line.len + 1);
        for (index, line) in self.lines.iter_mut().enumerate() {
            line.stride = 1;
            if index != self.inner {
                line.stride = entries;
                entries = entries.saturating_mul(line.len + 1);
            }
        }
        let fits = entries <= self.most_entries;
        if fits {
            self.values.resize(entries, [0.0; MOST_ACCESSES]);
        }
        fits
    }

    /// Fills the table from "all done" back to "none done".
    fn fill(&mut self, board: &Board, state: &State) -> f64 {
        let closed = self.closed(board, state);
        let Some(inner) = self.lines.get(self.inner) else {
            return board.escalate * closed;
        };
        let row = inner.len + 1;
        let mut branches = [Branch::default(); MOST_GROUPS];
        let mut done = [0; MOST_GROUPS];
        for (done, line) in done.iter_mut().zip(&self.lines) {
            *done = line.len;
        }
        for start in (0..self.values.len() / row)
            .rev()
            .map(|number| number * row)
        {
            let mut others = closed;
            let mut count = 0;
            for (index, (line, done)) in self.lines.iter().zip(&done).enumerate() {
                if index != self.inner {
                    others += line.left[*done];
                    if *done < line.len {
                        branches[count] = line.branch(board, *done);
                        count += 1;
                    }
                }
            }
            for at in (0..row).rev() {
                let mass = others + inner.left[at];
                let mut best = [board.escalate * mass; MOST_ACCESSES];
                for branch in &branches[..count] {
                    branch.lower(&mut best, mass, &self.values[start + at + branch.stride]);
                }
                if at < inner.len {
                    inner
                        .branch(board, at)
                        .lower(&mut best, mass, &self.values[start + at + 1]);
                }
                self.values[start + at] = best;
            }
            for (index, (line, done)) in self.lines.iter().zip(&mut done).enumerate() {
                if index != self.inner {
                    if *done > 0 {
                        *done -= 1;
                        break;
                    }
                    *done = line.len;
                }
            }
        }
        self.values[0][state.access]
    }

    /// Follows the table; the first of equals, handing over before it.
    fn trace(&self, board: &Board, state: &State) -> Vec<usize> {
        let closed = self.closed(board, state);
        let mut list = Vec::new();
        let (mut entry, mut access) = (0, state.access);
        let mut done = vec![0; self.lines.len()];
        loop {
            let left = self
                .lines
                .iter()
                .zip(&done)
                .map(|(line, done)| line.left[*done]);
            let mass = closed + left.sum::<f64>();
            let mut best = board.escalate * mass;
            let mut next = None;
            for (index, line) in self.lines.iter().enumerate() {
                if done[index] < line.len {
                    let mut value = [f64::INFINITY; MOST_ACCESSES];
                    line.branch(board, done[index]).lower(
                        &mut value,
                        mass,
                        &self.values[entry + line.stride],
                    );
                    if value[access] < best {
                        best = value[access];
                        next = Some(index);
                    }
                }
            }
            let Some(index) = next else { return list };
            let line = &self.lines[index];
            list.push(line.causes[done[index]]);
            done[index] += 1;
            entry += line.stride;
            access = line.ends_in;
        }
    }

    /// Shares that no open confirming action can settle.
    fn closed(&self, board: &Board, state: &State) -> f64 {
        (0..board.causes)
            .filter(|cause| state.open >> cause & 1 == 0)
            .map(|cause| state.shares[cause])
            .sum()
    }
}

impl Line {
    fn branch(&self, board: &Board, done: usize) -> Branch {
        Branch {
            minutes: board.moves_to[self.access],
            price: self.prices[done],
            ends_in: self.ends_in,
            stride: self.stride,
        }
    }

    fn sort(&mut self, board: &Board, state: &State, group: &Group) {
        self.access = group.access;
        self.ends_in = group.ends_in;
        self.len = 0;
        for &cause in group
            .causes
            .iter()
            .filter(|cause| state.open >> **cause & 1 == 1)
        {
            let ratio = board.ratio(&state.shares, cause);
            let mut at = self.len;
            while at > 0 && self.ratios[at - 1] < ratio {
                self.ratios[at] = self.ratios[at - 1];
                self.causes[at] = self.causes[at - 1];
                at -= 1;
            }
            self.ratios[at] = ratio;
            self.causes[at] = cause;
            self.len += 1;
        }
        self.left[self.len] = 0.0;
        for &cause in &self.causes[..self.len] {
            self.left[self.len] += state.shares[cause] * board.kept;
        }
        for at in (0..self.len).rev() {
            let cause = self.causes[at];
            self.left[at] = self.left[at + 1] + state.shares[cause] * (1.0 - board.kept);
            self.prices[at] = board.confirm_price[cause];
        }
    }
}
