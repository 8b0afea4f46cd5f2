//! Tails and quantiles of the χ², Poisson and binomial distributions, from the incomplete gamma and
//! beta functions (NIST Digital Library of Mathematical Functions, 8.2, 8.7.1, 8.9.2 and 8.17).
//!
//! Relative accuracy is better than 1e-9 for counts up to a million; `tests/data/distributions.csv`
//! holds values computed elsewhere.

/// Where a sum or a continued fraction has converged.
const CLOSE: f64 = 1e-15;
/// Stands for zero where a continued fraction would divide by it.
const TINY: f64 = 1e-300;
/// Both expansions need some multiple of √a steps near their turning point; this is enough for a
/// count of 10⁹, and bounds the work on any input.
const STEPS: usize = 500_000;

/// Share of a χ² distribution that lies above `statistic` (0 or more).
///
/// Formula: `Q(k/2, x/2)`; `k` degrees of freedom, `x` statistic. An input that is no such number
/// gives 1, which claims nothing.
pub fn chi_squared_above(statistic: f64, degrees_of_freedom: f64) -> f64 {
    if statistic > 0.0 && degrees_of_freedom > 0.0 {
        gamma_above(degrees_of_freedom / 2.0, statistic / 2.0)
    } else {
        1.0
    }
}

/// The value that a χ² distribution stays below with probability `below` (0 to 1).
pub fn chi_squared_quantile(below: f64, degrees_of_freedom: f64) -> f64 {
    if below.is_nan() || below <= 0.0 || degrees_of_freedom.is_nan() || degrees_of_freedom <= 0.0 {
        return 0.0;
    }
    if below >= 1.0 {
        return f64::INFINITY;
    }
    let reaches = |x: f64| 1.0 - chi_squared_above(x, degrees_of_freedom) >= below;
    let mut high = degrees_of_freedom.max(1.0);
    while !reaches(high) {
        high *= 2.0;
    }
    bisect(0.0, high, reaches)
}

/// Probability of `count` or more events where `mean` are expected (Poisson).
pub fn poisson_at_least(count: u64, mean: f64) -> f64 {
    match count {
        0 => 1.0,
        _ if mean.is_nan() || mean <= 0.0 => 0.0,
        count => 1.0 - gamma_above(count as f64, mean),
    }
}

/// Probability of `count` or more successes in `trials`, each with `probability`.
///
/// Formula: `I_p(k, n − k + 1)`, DLMF 8.17.5.
pub fn binomial_at_least(count: u64, trials: u64, probability: f64) -> f64 {
    match count {
        0 => 1.0,
        count if count > trials => 0.0,
        count => beta_below(
            count as f64,
            (trials - count) as f64 + 1.0,
            probability.clamp(0.0, 1.0),
        ),
    }
}

/// The value that a beta distribution stays below with probability `below` (0 to 1).
pub fn beta_quantile(below: f64, a: f64, b: f64) -> f64 {
    bisect(0.0, 1.0, |x| beta_below(a, b, x) >= below)
}

/// The smallest value between `low` and `high` for which `reached` holds, to the last bit but few.
fn bisect(mut low: f64, mut high: f64, reached: impl Fn(f64) -> bool) -> f64 {
    // 200 halvings end at neighbouring numbers, for the smallest quantile too.
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if middle <= low || middle >= high {
            break;
        }
        if reached(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    high
}

/// The regularised upper incomplete gamma function Q(a, x), for a > 0 and x > 0.
fn gamma_above(a: f64, x: f64) -> f64 {
    let scale = (a * x.ln() - x - libm::lgamma(a)).exp();
    if x < a + 1.0 {
        // The series of DLMF 8.7.1.
        let mut term = 1.0 / a;
        let mut sum = term;
        for step in 1..STEPS {
            term *= x / (a + step as f64);
            sum += term;
            if term < sum * CLOSE {
                break;
            }
        }
        return (1.0 - sum * scale).clamp(0.0, 1.0);
    }
    // The continued fraction of DLMF 8.9.2 in its even part, by the modified Lentz method.
    let mut b = x + 1.0 - a;
    let mut c = 1.0 / TINY;
    let mut d = 1.0 / b;
    let mut value = d;
    for step in 1..STEPS {
        let step = step as f64;
        let numerator = -step * (step - a);
        b += 2.0;
        d = 1.0 / not_zero(numerator * d + b);
        c = not_zero(b + numerator / c);
        value *= c * d;
        if (c * d - 1.0).abs() < CLOSE {
            break;
        }
    }
    (value * scale).clamp(0.0, 1.0)
}

/// The regularised incomplete beta function I_x(a, b), for a > 0, b > 0 and x from 0 to 1.
fn beta_below(a: f64, b: f64, x: f64) -> f64 {
    if x <= 0.0 {
        return 0.0;
    }
    if x >= 1.0 {
        return 1.0;
    }
    // The fraction converges fast on this side of the mean; the other is its mirror, DLMF 8.17.4.
    if x > (a + 1.0) / (a + b + 2.0) {
        return 1.0 - beta_below_the_mean(b, a, 1.0 - x);
    }
    beta_below_the_mean(a, b, x)
}

/// The continued fraction of DLMF 8.17.22, by the modified Lentz method.
fn beta_below_the_mean(a: f64, b: f64, x: f64) -> f64 {
    let scale =
        (libm::lgamma(a + b) - libm::lgamma(a) - libm::lgamma(b) + a * x.ln() + b * (-x).ln_1p())
            .exp();
    let mut c = 1.0;
    let mut d = 1.0 / not_zero(1.0 - (a + b) * x / (a + 1.0));
    let mut value = d;
    for step in 1..STEPS {
        let m = step as f64;
        let even = m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m));
        let odd = -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0));
        let before = value;
        for numerator in [even, odd] {
            d = 1.0 / not_zero(1.0 + numerator * d);
            c = not_zero(1.0 + numerator / c);
            value *= c * d;
        }
        if (value - before).abs() < value.abs() * CLOSE {
            break;
        }
    }
    (value * scale / a).clamp(0.0, 1.0)
}

fn not_zero(value: f64) -> f64 {
    if value.abs() < TINY { TINY } else { value }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[track_caller]
    fn near(value: f64, expected: f64, tolerance: f64) {
        assert!(
            (value - expected).abs() <= tolerance,
            "{value} for {expected}"
        );
    }

    #[test]
    fn quantiles_of_the_printed_table() {
        // NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4, critical values of the
        // chi-square distribution, as printed to three decimals.
        for (below, degrees, printed) in [
            (0.95, 1.0, 3.841),
            (0.95, 2.0, 5.991),
            (0.95, 6.0, 12.592),
            (0.975, 10.0, 20.483),
            (0.99, 11.0, 24.725),
            (0.999, 30.0, 59.703),
            (0.05, 4.0, 0.711),
            (0.025, 10.0, 3.247),
            (0.01, 100.0, 70.065),
        ] {
            near(chi_squared_quantile(below, degrees), printed, 5.1e-4);
        }
    }

    #[test]
    fn closed_forms() {
        // With 2 degrees of freedom χ² is exponential; I_x(1, n) = 1 − (1 − x)^n, DLMF 8.17.7.
        near(chi_squared_above(3.0, 2.0), (-1.5_f64).exp(), 1e-15);
        near(binomial_at_least(1, 10, 0.1), 1.0 - 0.9_f64.powi(10), 1e-14);
        near(binomial_at_least(10, 10, 0.5), 0.5_f64.powi(10), 1e-17);
        near(poisson_at_least(1, 0.5), 1.0 - (-0.5_f64).exp(), 1e-15);
    }

    proptest! {
        #[test]
        fn any_input_gives_a_probability(
            count in any::<u32>(), trials in any::<u32>(), share in any::<f64>(), mean in any::<f64>(),
        ) {
            let (count, trials) = (u64::from(count >> 8), u64::from(trials >> 8));
            for p in [
                binomial_at_least(count, trials, if share.is_nan() { 0.5 } else { share }),
                poisson_at_least(count, mean.min(1e7)),
                chi_squared_above(mean.min(1e7), f64::from(trials as u32)),
            ] {
                prop_assert!((0.0..=1.0).contains(&p), "{p}");
            }
        }

        #[test]
        fn a_quantile_turns_the_tail_round(below in 0.001_f64..0.999, degrees in 1_u32..400) {
            let x = chi_squared_quantile(below, f64::from(degrees));
            prop_assert!((1.0 - chi_squared_above(x, f64::from(degrees)) - below).abs() < 1e-10);
        }
    }
}
