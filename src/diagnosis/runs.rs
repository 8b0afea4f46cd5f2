//! The confirm-only list by runs, for when the table of [`super::confirm_only`] is too large or
//! too slow.
//!
//! A run is the beginning of one group's line: one way into its access, then its best causes one
//! after the other. Again and again the run with the most share a minute is taken, its way
//! included; without moves that is the order by share/price, and with them one dear way is shared
//! by all that it pays for. The list can be carried out as it is, so its value is never too low.

use super::board::Board;
use super::confirm_only::{Line, MOST_GROUPS};
use super::model::MOST_CAUSES;

/// A list by runs.
pub(super) struct Runs {
    /// Its value, unnormalised.
    pub value: f64,
    causes: [usize; MOST_CAUSES],
    len: usize,
}

impl Runs {
    /// The causes in order; after the last the walk hands over.
    pub fn causes(&self) -> &[usize] {
        &self.causes[..self.len]
    }
}

/// The beginning of a line: how far it goes, the share it settles, the minutes it takes.
#[derive(Clone, Copy)]
struct Run {
    line: usize,
    end: usize,
    settles: f64,
    minutes: f64,
}

/// Lays the lines one run after the other; `closed` is the share that no open confirming action
/// can settle.
pub(super) fn by_runs(board: &Board, lines: &[Line], mut access: usize, closed: f64) -> Runs {
    let mut done = [0; MOST_GROUPS];
    let mut mass = closed + lines.iter().map(|line| line.left[0]).sum::<f64>();
    let mut prices = [0.0; MOST_CAUSES];
    let mut masses = [0.0; MOST_CAUSES];
    let mut causes = [0; MOST_CAUSES];
    let mut count = 0;
    while let Some(run) = best_run(board, lines, &done, access) {
        let line = &lines[run.line];
        for at in done[run.line]..run.end {
            prices[count] = (board.moves_to[line.access][access] + line.prices[at]) * mass;
            masses[count] = mass;
            causes[count] = line.causes[at];
            count += 1;
            mass -= line.left[at] - line.left[at + 1];
            access = line.ends_in;
        }
        done[run.line] = run.end;
    }
    let mut value = board.escalate * mass;
    let mut len = count;
    for at in (0..count).rev() {
        value += prices[at];
        let hand_over = board.escalate * masses[at];
        if value >= hand_over {
            value = hand_over;
            len = at;
        }
    }
    Runs { value, causes, len }
}

/// Of all beginnings of what is left of each line, the one with the most share a minute.
fn best_run(
    board: &Board,
    lines: &[Line],
    done: &[usize; MOST_GROUPS],
    access: usize,
) -> Option<Run> {
    let mut best: Option<Run> = None;
    for (index, (line, done)) in lines.iter().zip(done).enumerate() {
        let mut way = board.moves_to[line.access][access];
        let way_back = board.moves_to[line.access][line.ends_in];
        let mut run = Run {
            line: index,
            end: *done,
            settles: 0.0,
            minutes: 0.0,
        };
        for at in *done..line.len {
            let longer = Run {
                line: index,
                end: at + 1,
                settles: line.left[*done] - line.left[at + 1],
                minutes: run.minutes + way + line.prices[at],
            };
            if at > *done && !longer.beats(&run) {
                break;
            }
            run = longer;
            way = way_back;
        }
        if run.end > *done && best.is_none_or(|best| run.beats(&best)) {
            best = Some(run);
        }
    }
    best
}

impl Run {
    fn beats(&self, other: &Run) -> bool {
        self.settles * other.minutes > other.settles * self.minutes
    }
}
