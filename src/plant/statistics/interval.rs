//! What a count tells about the rate behind it: exact limits, mean time between events, a share,
//! and the comparison of two counts.

use uom::si::f64::Time;

use super::distribution::{beta_quantile, binomial_at_least, chi_squared_quantile};

/// The confidence of every interval, two-sided (common practice, no source).
pub const CONFIDENCE: f64 = 0.95;

/// Below so many events an interval is called wide (common practice, no source): its ends lie a
/// factor of four and more apart.
pub const FEW: u64 = 6;

/// The two ends of a confidence interval.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    /// Lower end.
    pub lower: f64,
    /// Upper end.
    pub upper: f64,
}

/// Exact limits of the mean behind a Poisson count.
///
/// Formula: `L = χ²(α/2; 2n) / 2`, `U = χ²(1 − α/2; 2n + 2) / 2`.
/// Symbols: `n` count; `α` one minus the confidence.
/// Valid:   events that come independently, at one rate.
/// Source:  Garwood 1936, Biometrika 28, 437 (from memory); NIST e-Handbook, 8.4.5.1.
/// Example: 3 events give 0.619 to 8.767 at 95 %.
pub fn poisson_limits(count: u64, confidence: f64) -> Interval {
    let tail = (1.0 - confidence) / 2.0;
    let twice = 2.0 * count as f64;
    Interval {
        lower: chi_squared_quantile(tail, twice) / 2.0,
        upper: chi_squared_quantile(1.0 - tail, twice + 2.0) / 2.0,
    }
}

/// The mean time between events, as far as a count tells it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeanTime {
    /// Events counted.
    pub count: u64,
    /// Time over which they were counted.
    pub observed: Time,
    /// Best estimate; none without an event.
    pub mean: Option<Time>,
    /// Lower limit; one-sided if nothing happened.
    pub lower: Time,
    /// Upper limit; none without an event.
    pub upper: Option<Time>,
}

/// Mean time between events counted over a time that was fixed beforehand, with its limits.
///
/// Formula: `T/n`; limits `2T / χ²(1 − α/2; 2n + 2)` and `2T / χ²(α/2; 2n)`. Without an event the
/// lower limit is one-sided: `T / −ln α`.
/// Symbols: `T` time observed; `n` events; `α` one minus the confidence.
/// Valid:   events at one constant rate, repair times small against the time between.
/// Source:  NIST e-Handbook, 8.4.5.1 (constant repair rate); the same as IEC 60605-4 for a time
///          terminated test (from memory).
/// Example: 2 events in 800 h: 400 h, at 90 % from 127 h to 2251 h.
pub fn mean_time_between(count: u64, observed: Time, confidence: f64) -> MeanTime {
    if count == 0 {
        return MeanTime {
            count,
            observed,
            mean: None,
            lower: observed / -(1.0 - confidence).ln(),
            upper: None,
        };
    }
    let limits = poisson_limits(count, confidence);
    MeanTime {
        count,
        observed,
        mean: Some(observed / count as f64),
        lower: observed / limits.upper,
        upper: Some(observed / limits.lower),
    }
}

/// Exact limits of the share behind `count` out of `all`.
///
/// Formula: `L = B(α/2; k, n − k + 1)`, `U = B(1 − α/2; k + 1, n − k)`, `B` the quantile of the beta
/// distribution.
/// Source:  Clopper and Pearson 1934, Biometrika 26, 404 (from memory).
/// Example: 5 out of 10 give 0.187 to 0.813 at 95 %.
pub fn share_limits(count: u64, all: u64, confidence: f64) -> Interval {
    let tail = (1.0 - confidence) / 2.0;
    let (k, n) = (count.min(all) as f64, all as f64);
    Interval {
        lower: if count == 0 {
            0.0
        } else {
            beta_quantile(tail, k, n - k + 1.0)
        },
        upper: if count >= all {
            1.0
        } else {
            beta_quantile(1.0 - tail, k + 1.0, n - k)
        },
    }
}

/// Two counts of the same kind of event against each other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Comparison {
    /// Rate now over rate before; none if nothing happened before.
    pub ratio: Option<f64>,
    /// Limits of the ratio; the upper one is infinite if nothing happened before.
    pub limits: Interval,
    /// Two-sided probability of counts at least so unlike if the rate had stayed the same.
    pub chance: f64,
}

/// Compares two Poisson counts by the exact conditional test.
///
/// Formula: given `n + m` events in all, `m` is binomial with the share `π = T_m / (T_n + T_m)` if the
/// rates are equal; the smaller tail counts twice. The limits of `m`'s share (Clopper–Pearson), turned
/// into odds and divided by `T_m / T_n`, are those of the ratio.
/// Symbols: `n`, `m` events before and now; `T_n`, `T_m` the times.
/// Valid:   independent events. Nothing at all to compare gives a chance of 1.
/// Source:  Przyborowski and Wilenski 1940, Biometrika 31, 313 (from memory).
/// Example: 4 before and 14 now over equal times: ratio 3.5, chance 0.031.
pub fn compare(before: (u64, Time), now: (u64, Time)) -> Comparison {
    let ((n, time_before), (m, time_now)) = (before, now);
    let all = n.saturating_add(m);
    let share = (time_now / (time_before + time_now)).value;
    if all == 0 || !(share > 0.0 && share < 1.0) {
        return Comparison {
            ratio: None,
            limits: Interval {
                lower: 0.0,
                upper: f64::INFINITY,
            },
            chance: 1.0,
        };
    }
    let times = (time_now / time_before).value;
    let odds = |share: f64| share / (1.0 - share) / times;
    let limits = share_limits(m, all, CONFIDENCE);
    let at_least = binomial_at_least(m, all, share);
    let at_most = binomial_at_least(n, all, 1.0 - share);
    Comparison {
        ratio: (n > 0).then(|| m as f64 / n as f64 / times),
        limits: Interval {
            lower: odds(limits.lower),
            upper: odds(limits.upper),
        },
        chance: (2.0 * at_least.min(at_most)).min(1.0),
    }
}

#[cfg(test)]
mod tests {
    use uom::si::time::hour;

    use super::*;

    fn hours(value: f64) -> Time {
        Time::new::<hour>(value)
    }

    #[track_caller]
    fn near(value: f64, expected: f64, tolerance: f64) {
        assert!(
            (value - expected).abs() <= tolerance,
            "{value} for {expected}"
        );
    }

    #[test]
    fn the_worked_example_of_the_handbook() {
        // NIST e-Handbook, 8.4.5.1, example: 2 failures in 800 h, 90 %: factors 0.3177 and 5.6281 on
        // an MTBF of 400 h.
        let found = mean_time_between(2, hours(800.0), 0.90);
        near(found.mean.unwrap().get::<hour>(), 400.0, 1e-9);
        near(found.lower.get::<hour>(), 400.0 * 0.3177, 0.02);
        near(found.upper.unwrap().get::<hour>(), 400.0 * 5.6281, 0.03);
    }

    #[test]
    fn nothing_happened() {
        // NIST e-Handbook, 8.4.5.1, zero fails: the lower limit is T / −ln α; ln 0.05 = −2.9957.
        let found = mean_time_between(0, hours(1000.0), 0.95);
        near(found.lower.get::<hour>(), 333.81, 0.01);
        assert_eq!((found.mean, found.upper), (None, None));
    }

    #[test]
    fn limits_of_a_count_as_printed() {
        // The classical 95 % table of a Poisson mean (Pearson and Hartley, Biometrika Tables for
        // Statisticians I, table 40; from memory).
        for (count, lower, upper) in [
            (0, 0.0, 3.689),
            (1, 0.0253, 5.572),
            (3, 0.619, 8.767),
            (10, 4.795, 18.391),
            (50, 37.11, 65.92),
        ] {
            let limits = poisson_limits(count, 0.95);
            near(limits.lower, lower, 6e-3);
            near(limits.upper, upper, 6e-3);
        }
    }

    #[test]
    fn limits_of_a_share_as_printed() {
        // Clopper and Pearson's exact limits for 5 of 10, in most textbooks: 0.187 to 0.813; none of
        // 10 gives 1 − 0.025^(1/10) = 0.3085.
        let limits = share_limits(5, 10, 0.95);
        near(limits.lower, 0.1871, 1e-4);
        near(limits.upper, 0.8129, 1e-4);
        near(share_limits(0, 10, 0.95).upper, 0.3085, 1e-4);
        assert_eq!(share_limits(10, 10, 0.95).upper, 1.0);
    }

    #[test]
    fn two_counts_over_equal_times_are_a_sign_test() {
        // Binomial coefficients by hand: P(X >= 14 of 18) = (3060 + 816 + 153 + 18 + 1) / 2^18.
        let found = compare((4, hours(100.0)), (14, hours(100.0)));
        near(found.chance, 2.0 * 4048.0 / 262_144.0, 1e-12);
        near(found.ratio.unwrap(), 3.5, 1e-12);
        assert!(found.limits.lower > 1.0 && found.limits.upper > 10.0);
        let none = compare((0, hours(1.0)), (0, hours(1.0)));
        assert_eq!(none.chance, 1.0);
        assert_eq!(compare((0, hours(1.0)), (6, hours(1.0))).ratio, None);
    }
}
