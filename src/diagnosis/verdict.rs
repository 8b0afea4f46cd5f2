//! How a walk ended, in words that claim no more than is known.

use super::belief::Belief;

/// Share from which a cause may be called likely (`practice`).
pub const LIKELY_SHARE: f64 = 0.80;
/// How many times the second share it must be (`practice`).
pub const LIKELY_LEAD: f64 = 4.0;

/// How sure the cause is. A word for the reader only: no share ever ends a walk.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Verdict {
    /// The confirming action was positive, its proof run included.
    Confirmed(usize),
    /// Share at least [`LIKELY_SHARE`] and [`LIKELY_LEAD`] times the second; not proved.
    Likely(usize),
    /// Neither; hand over what was seen and what is left.
    Unresolved,
}

/// `confirmed` is the cause whose confirming action was positive, if any. *Something else*, the
/// last cause, is never a likely cause: it is the honest "none of these".
#[must_use]
pub fn verdict(belief: &Belief, confirmed: Option<usize>) -> Verdict {
    let posterior = belief.posterior();
    let named = posterior.len().saturating_sub(1);
    if let Some(cause) = confirmed.filter(|cause| *cause < named) {
        return Verdict::Confirmed(cause);
    }
    let leader = belief.leader();
    let shares = posterior
        .iter()
        .enumerate()
        .filter(|(cause, _)| *cause != leader);
    let second = shares.map(|(_, share)| *share).fold(0.0, f64::max);
    let share = posterior.get(leader).copied().unwrap_or(0.0);
    if leader < named && share >= LIKELY_SHARE && share >= LIKELY_LEAD * second {
        Verdict::Likely(leader)
    } else {
        Verdict::Unresolved
    }
}
