//! The confirm-only list: the best order of confirming actions when no more is asked.
//!
//! With fixed prices the order by share/price is optimal [Kadane & Simon 1977]; moves between
//! accesses break that [Vomlelova 2003], but only between groups. Causes confirmed in the same
//! access and ending in the same access keep the ratio order among themselves: moving the better
//! of two forward, or the worse back, cannot raise the moves by the triangle inequality, and one
//! of the two lowers the rest. So it is enough to know how many of each group are done. That is
//! exact for actions that end where they start and within a fraction of a per cent for others.
//! Handing over is allowed at every point.

use super::board::{Board, State};
use super::model::MOST_CAUSES;
use super::moves::MOST_ACCESSES;

/// Most entries of the table; with more groups than that the greedy list stands in.
const MOST_ENTRIES: usize = 20_000;

/// Scratch space of the list, kept between calls.
#[derive(Default)]
pub(super) struct ConfirmOnly {
    lines: Vec<Line>,
    values: Vec<[f64; MOST_ACCESSES]>,
}

/// The open causes of one group in ratio order.
struct Line {
    access: usize,
    ends_in: usize,
    len: usize,
    causes: [usize; MOST_CAUSES],
    /// Shares of the group still undecided after so many are done, the kept remainders included.
    left: [f64; MOST_CAUSES + 1],
    stride: usize,
    done: usize,
}

impl ConfirmOnly {
    /// Value of the list from a state, unnormalised.
    pub fn value(&mut self, board: &Board, state: &State) -> f64 {
        if !self.lay_out(board, state) {
            return greedy(board, state).0;
        }
        self.fill(board, state)
    }

    /// The list itself, causes in order; after the last the walk hands over.
    pub fn list(&mut self, board: &Board, state: &State) -> Vec<usize> {
        if !self.lay_out(board, state) {
            return greedy(board, state).1;
        }
        self.fill(board, state);
        self.trace(board, state)
    }

    /// Sorts the groups; false when the table would be too large.
    fn lay_out(&mut self, board: &Board, state: &State) -> bool {
        self.lines.clear();
        let mut entries = 1usize;
        for group in &board.groups {
            let mut line = Line {
                access: group.access,
                ends_in: group.ends_in,
                len: 0,
                causes: [0; MOST_CAUSES],
                left: [0.0; MOST_CAUSES + 1],
                stride: entries,
                done: 0,
            };
            let mut ratios = [0.0; MOST_CAUSES];
            for &cause in group.causes.iter().filter(|cause| state.open >> **cause & 1 == 1) {
                let ratio = board.ratio(&state.shares, group, cause);
                let mut at = line.len;
                while at > 0 && ratios[at - 1] < ratio {
                    ratios[at] = ratios[at - 1];
                    line.causes[at] = line.causes[at - 1];
                    at -= 1;
                }
                ratios[at] = ratio;
                line.causes[at] = cause;
                line.len += 1;
            }
            if line.len == 0 {
                continue;
            }
            let shares = &state.shares;
            let kept = |cause: usize| shares[cause] * board.kept;
            line.left[line.len] = line.causes[..line.len].iter().map(|cause| kept(*cause)).sum();
            for at in (0..line.len).rev() {
                let cause = line.causes[at];
                line.left[at] = line.left[at + 1] + shares[cause] - kept(cause);
            }
            entries = entries.saturating_mul(line.len + 1);
            self.lines.push(line);
        }
        if self.values.len() < entries && entries <= MOST_ENTRIES {
            self.values.resize(entries, [0.0; MOST_ACCESSES]);
        }
        entries <= MOST_ENTRIES
    }

    /// Fills the table from "all done" back to "none done".
    fn fill(&mut self, board: &Board, state: &State) -> f64 {
        let closed = self.closed(board, state);
        let entries = self.lines.iter().map(|line| line.len + 1).product::<usize>();
        for line in &mut self.lines {
            line.done = line.len;
        }
        for entry in (0..entries).rev() {
            let mass = closed + self.lines.iter().map(|line| line.left[line.done]).sum::<f64>();
            let mut best = [board.escalate * mass; MOST_ACCESSES];
            for line in self.lines.iter().filter(|line| line.done < line.len) {
                let own = board.confirm_price[line.causes[line.done]] * mass;
                let value = own + self.values[entry + line.stride][line.ends_in];
                for (from, best) in best[..board.accesses].iter_mut().enumerate() {
                    *best = best.min(board.moves[from][line.access] * mass + value);
                }
            }
            self.values[entry] = best;
            for line in &mut self.lines {
                if line.done > 0 {
                    line.done -= 1;
                    break;
                }
                line.done = line.len;
            }
        }
        self.values[0][state.access]
    }

    /// Follows the table; the first of equals, handing over before it.
    fn trace(&mut self, board: &Board, state: &State) -> Vec<usize> {
        let closed = self.closed(board, state);
        let mut list = Vec::new();
        let (mut entry, mut access) = (0, state.access);
        for line in &mut self.lines {
            line.done = 0;
        }
        loop {
            let mass = closed + self.lines.iter().map(|line| line.left[line.done]).sum::<f64>();
            let mut best = board.escalate * mass;
            let mut next = None;
            for (index, line) in self.lines.iter().enumerate().filter(|(_, line)| line.done < line.len) {
                let own = board.confirm_price[line.causes[line.done]] * mass;
                let value =
                    board.moves[access][line.access] * mass + (own + self.values[entry + line.stride][line.ends_in]);
                if value < best {
                    best = value;
                    next = Some(index);
                }
            }
            let Some(index) = next else { return list };
            let line = &mut self.lines[index];
            list.push(line.causes[line.done]);
            line.done += 1;
            entry += line.stride;
            access = line.ends_in;
        }
    }

    /// Shares that no open confirming action can settle.
    fn closed(&self, board: &Board, state: &State) -> f64 {
        (0..board.causes).filter(|cause| state.open >> cause & 1 == 0).map(|cause| state.shares[cause]).sum()
    }
}

/// Most share a minute first, the move counted; handing over wherever that is cheaper than the rest.
fn greedy(board: &Board, state: &State) -> (f64, Vec<usize>) {
    let mut now = *state;
    let mut steps = Vec::new();
    let mut prices = Vec::new();
    loop {
        let heads = board.groups.iter().enumerate().filter_map(|(index, group)| {
            board.best_of(&now, group).map(|cause| {
                let price = board.confirm_price(&now, group, cause);
                (index, cause, price, now.shares[cause] / price.max(f64::MIN_POSITIVE))
            })
        });
        let best = heads.fold(None, |best: Option<(usize, usize, f64, f64)>, head| match best {
            Some(best) if best.3 >= head.3 => Some(best),
            _ => Some(head),
        });
        let Some((group, cause, price, _)) = best else { break };
        prices.push((price * board.mass(&now), board.escalate * board.mass(&now)));
        steps.push(cause);
        now = board.not_confirmed(&now, &board.groups[group], cause);
    }
    let mut value = board.escalate * board.mass(&now);
    let mut keep = steps.len();
    for (at, (price, escalate)) in prices.iter().enumerate().rev() {
        value += price;
        if value >= *escalate {
            value = *escalate;
            keep = at;
        }
    }
    steps.truncate(keep);
    (value, steps)
}

