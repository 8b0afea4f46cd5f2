//! The normal distribution, good to about 1e-15 absolute.

use std::f64::consts::{PI, SQRT_2};

/// Where the series hands over to the continued fraction.
const SERIES_UP_TO: f64 = 2.5;

/// Upper tail of the standard normal distribution, the chance of a value above `x`.
/// Keeps its relative precision far out. NaN in, NaN out.
#[must_use]
pub fn above(x: f64) -> f64 {
    0.5 * erfc(x / SQRT_2)
}

/// Chance of a value between `low` and `high` standard deviations; 0 when `high` is not above `low`.
#[must_use]
pub fn between(low: f64, high: f64) -> f64 {
    if high.is_nan() || low.is_nan() || high <= low {
        0.0
    } else if low > 0.0 {
        above(low) - above(high)
    } else if high < 0.0 {
        above(-high) - above(-low)
    } else {
        1.0 - above(-low) - above(high)
    }
}

/// Complementary error function 1 - erf(x).
#[must_use]
pub fn erfc(x: f64) -> f64 {
    if x < 0.0 {
        2.0 - erfc(-x)
    } else if x < SERIES_UP_TO {
        1.0 - erf_series(x)
    } else {
        erfc_fraction(x)
    }
}

/// erf(x) = 2 / sqrt(pi) exp(-x^2) sum of 2^n x^(2n+1) / (1 3 5 .. (2n+1))
/// [Abramowitz & Stegun 1964, 7.1.6]: every term is positive, so nothing cancels.
fn erf_series(x: f64) -> f64 {
    let mut term = x;
    let mut sum = x;
    let mut odd = 1.0;
    while term > sum * 1e-17 {
        odd += 2.0;
        term *= 2.0 * x * x / odd;
        sum += term;
    }
    2.0 / PI.sqrt() * (-x * x).exp() * sum
}

/// sqrt(pi) exp(x^2) erfc(x) = 1 / (x + (1/2) / (x + 1 / (x + (3/2) / (x + ..))))
/// [Abramowitz & Stegun 1964, 7.1.14], from the inside out; 60 levels are more than enough
/// from 2.5 up.
fn erfc_fraction(x: f64) -> f64 {
    if x == f64::INFINITY {
        return 0.0;
    }
    let inside = (1..=60)
        .rev()
        .fold(x, |below, level| x + 0.5 * f64::from(level) / below);
    (-x * x).exp() / (PI.sqrt() * inside)
}
