//! Authors' words to numbers.
//!
//! The words and their values are judgement (`practice`: common practice, no source); coarse
//! levels are enough, overconfident ones are not [Pradhan et al. 1996], [Henrion et al. 1996].

/// How often a cause is behind its fault class.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum HowOften {
    /// Weight 1.
    Rarely,
    /// Weight 3.
    Sometimes,
    /// Weight 9.
    Often,
}

impl HowOften {
    /// Weight before scaling: 9, 3 or 1 (`practice`).
    #[must_use]
    pub fn weight(self) -> f64 {
        match self {
            Self::Often => 9.0,
            Self::Sometimes => 3.0,
            Self::Rarely => 1.0,
        }
    }
}

/// Share of *something else* unless the author states another (`practice`).
pub const SOMETHING_ELSE: f64 = 0.05;
/// Range an author may set for *something else* (`practice`).
pub const SOMETHING_ELSE_RANGE: std::ops::RangeInclusive<f64> = 0.03..=0.15;

/// Priors of the named causes in their order, then *something else*:
/// weights scaled to 1 - `something_else`, which is held within [`SOMETHING_ELSE_RANGE`].
/// Without a named cause *something else* is certain.
#[must_use]
pub fn priors(levels: &[HowOften], something_else: f64) -> Vec<f64> {
    if levels.is_empty() {
        return vec![1.0];
    }
    let rest = if something_else.is_nan() {
        SOMETHING_ELSE
    } else {
        something_else.clamp(*SOMETHING_ELSE_RANGE.start(), *SOMETHING_ELSE_RANGE.end())
    };
    let sum: f64 = levels.iter().map(|level| level.weight()).sum();
    let named = levels
        .iter()
        .map(|level| (1.0 - rest) * level.weight() / sum);
    named.chain([rest]).collect()
}

/// How likely a cause makes a finding.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum HowLikely {
    /// 0.03
    Never,
    /// 0.15
    Rarely,
    /// 0.50
    Sometimes,
    /// 0.85
    Usually,
    /// 0.97
    Always,
}

impl HowLikely {
    /// Likelihood, 0.03 to 0.97 (`practice`): no word means 0 or 1.
    #[must_use]
    pub fn value(self) -> f64 {
        match self {
            Self::Always => 0.97,
            Self::Usually => 0.85,
            Self::Sometimes => 0.50,
            Self::Rarely => 0.15,
            Self::Never => 0.03,
        }
    }
}

/// Row of a cause: stated findings take their value, the rest goes to the others in proportion
/// to the question's base rates. Stated values that leave less than 0.03 are scaled to 0.97;
/// when every finding is stated the row is scaled to 1, when none is it is the base rates.
/// Findings beyond the end of `stated` count as not stated.
#[must_use]
pub fn cause_row(base_rates: &[f64], stated: &[Option<HowLikely>]) -> Vec<f64> {
    let base_rates = scaled(base_rates);
    let stated_at = |finding: usize| stated.get(finding).copied().flatten();
    let findings = 0..base_rates.len();
    let stated_sum: f64 = findings
        .clone()
        .filter_map(stated_at)
        .map(HowLikely::value)
        .sum();
    let open = findings
        .clone()
        .filter(|finding| stated_at(*finding).is_none())
        .count();
    if open == base_rates.len() {
        return base_rates;
    }
    let most = HowLikely::Always.value();
    let scale = match open {
        0 => 1.0 / stated_sum,
        _ if stated_sum > most => most / stated_sum,
        _ => 1.0,
    };
    let rest = 1.0 - stated_sum * scale;
    let open_sum: f64 = findings
        .clone()
        .filter(|finding| stated_at(*finding).is_none())
        .map(|f| base_rates[f])
        .sum();
    findings
        .map(|finding| match stated_at(finding) {
            Some(level) => level.value() * scale,
            None if open_sum > 0.0 => rest * base_rates[finding] / open_sum,
            None => rest / open as f64,
        })
        .collect()
}

/// Row of *something else*: half base rates, half even. Never sharp, so that answers which fit
/// no named cause let it rise.
#[must_use]
pub fn something_else_row(base_rates: &[f64]) -> Vec<f64> {
    let base_rates = scaled(base_rates);
    let even = 1.0 / base_rates.len() as f64;
    base_rates.iter().map(|rate| 0.5 * (rate + even)).collect()
}

/// Scaled to sum 1; even when the sum is no positive number. A rate that is not positive counts as 0.
fn scaled(rates: &[f64]) -> Vec<f64> {
    let kept: Vec<f64> = rates
        .iter()
        .map(|rate| if rate.is_finite() { rate.max(0.0) } else { 0.0 })
        .collect();
    let sum: f64 = kept.iter().sum();
    if sum > 0.0 && sum.is_finite() {
        kept.iter().map(|rate| rate / sum).collect()
    } else {
        vec![1.0 / rates.len() as f64; rates.len()]
    }
}
