//! What the plant's log does to the priors: counts added to a prior of a stated strength
//! (Dirichlet updating, [Spiegelhalter & Lauritzen 1990]).
//!
//! Likelihoods are never learned: hundreds of cells, few cases each, and overconfidence is the
//! costly direction.

/// Strength of the built-in levels against the plant's log, in incidents (`practice`).
pub const PLANT_STRENGTH: f64 = 15.0;
/// Strength of the plant's shares against one drive's own log, in incidents (`practice`).
pub const DRIVE_STRENGTH: f64 = 5.0;

/// How the cause of a recorded incident became known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum HowKnown {
    /// Measured, or proved by the run after the repair.
    Proved,
    /// The fault went away with a part that was exchanged.
    CuredByExchange,
    /// Somebody thinks so.
    Presumed,
    /// Never found.
    Unresolved,
}

impl HowKnown {
    /// What the incident counts: 1, 0.7, 0.3 or 0 (`practice`).
    #[must_use]
    pub fn count(self) -> f64 {
        match self {
            Self::Proved => 1.0,
            Self::CuredByExchange => 0.7,
            Self::Presumed => 0.3,
            Self::Unresolved => 0.0,
        }
    }
}

/// (strength x prior + count) / (strength + all counts), cause by cause.
/// Counts may be fractions; one that is missing, below 0 or not finite counts as 0.
/// A strength that is not above 0 counts as [`PLANT_STRENGTH`], so no share ever becomes 0.
#[must_use]
pub fn learned(prior: &[f64], strength: f64, counts: &[f64]) -> Vec<f64> {
    let strength = if strength.is_finite() && strength > 0.0 {
        strength
    } else {
        PLANT_STRENGTH
    };
    let count_at = |index: usize| {
        counts
            .get(index)
            .copied()
            .filter(|count| count.is_finite() && *count > 0.0)
            .unwrap_or(0.0)
    };
    let all: f64 = (0..prior.len()).map(count_at).sum();
    prior
        .iter()
        .enumerate()
        .map(|(index, share)| (strength * share + count_at(index)) / (strength + all))
        .collect()
}

/// Built-in prior, then the plant's other drives, then this drive.
#[must_use]
pub fn learned_for_drive(prior: &[f64], other_drives: &[f64], this_drive: &[f64]) -> Vec<f64> {
    learned(
        &learned(prior, PLANT_STRENGTH, other_drives),
        DRIVE_STRENGTH,
        this_drive,
    )
}
