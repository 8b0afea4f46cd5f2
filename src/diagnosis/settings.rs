//! Every number of the method that is a choice, in one place.

/// Choices of the belief and the planner. [`Settings::default`] is what a walk uses,
/// [`Settings::plain`] is the textbook method without our additions.
#[derive(Debug, Clone, PartialEq)]
pub struct Settings {
    /// Share of an answer that may be a slip (wrong terminal, misreading), 0 to below 1:
    /// L' = (1 - floor) L + floor / K with K findings. Default 0.05, no source (`practice`):
    /// overconfident likelihoods are the costliest error, a floor costs little.
    pub floor: f64,
    /// Share of a cause that stays, as *something else*, when its confirming action fails,
    /// 0 to below 1. Default 0.03, no source (`practice`).
    pub wrongly_ruled_out: f64,
    /// Steps the planner looks ahead, 1 to 3. Default 3.
    pub look_ahead: usize,
    /// Most questions followed with 3, 2 and 1 steps still to look.
    pub widths: [usize; 3],
    /// Largest table of the exact planner; above it the look-ahead takes over. 0 switches it off.
    pub exact_states: usize,
    /// Options this share above the best count as equal to it, 0 or more. Default 0.02 (`practice`).
    pub calm_share: f64,
    /// Options these minutes above the best count as equal to it, 0 or more. Default 0.5 (`practice`).
    pub calm_minutes: f64,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            floor: 0.05,
            wrongly_ruled_out: 0.03,
            look_ahead: 3,
            widths: [4, 3, 2],
            exact_states: 100_000,
            calm_share: 0.02,
            calm_minutes: 0.5,
        }
    }
}

impl Settings {
    /// No floor, a failed confirming action deletes its cause, the best option is taken however
    /// small its lead. What published examples and reference numbers suppose.
    #[must_use]
    pub fn plain() -> Self {
        Self {
            floor: 0.0,
            wrongly_ruled_out: 0.0,
            calm_share: 0.0,
            calm_minutes: 0.0,
            ..Self::default()
        }
    }

    /// Whether every number is in the range stated beside it.
    #[must_use]
    pub fn in_range(&self) -> bool {
        let share = |value: f64| (0.0..1.0).contains(&value);
        share(self.floor)
            && share(self.wrongly_ruled_out)
            && share(self.calm_share)
            && (1..=3).contains(&self.look_ahead)
            && super::model::is_minutes(self.calm_minutes)
    }
}
