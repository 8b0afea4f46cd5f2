//! The normal distribution against printed tables and an arbitrary-precision library.

use whytrip::diagnosis::normal::{above, between, erfc};

#[track_caller]
fn check(got: f64, expected: f64) {
    assert!(
        (got - expected).abs() <= 1e-15 + 1e-13 * expected.abs(),
        "got {got:e}, expected {expected:e}"
    );
}

/// P(x) to 15 decimals [Abramowitz & Stegun 1964, table 26.1], recalled (`memory`) and equal to
/// mpmath 1.3 `ncdf` at 30 digits.
#[test]
fn table_of_the_normal_distribution() {
    for (x, expected) in [
        (0.0, 0.5),
        (0.25, 0.598_706_325_682_924),
        (1.0, 0.841_344_746_068_543),
        (2.0, 0.977_249_868_051_821),
        (3.0, 0.998_650_101_968_370),
    ] {
        assert!((1.0 - above(x) - expected).abs() <= 6e-16, "{x}");
        assert!((above(-x) - expected).abs() <= 6e-16, "{x}");
        assert!(
            (between(-x, x) - (2.0 * expected - 1.0)).abs() <= 1.2e-15,
            "{x}"
        );
    }
}

/// mpmath 1.3 `erfc` at 30 digits, across the change from series to fraction and far out.
#[test]
fn complementary_error_function() {
    for (x, expected) in [
        (-3.0, 1.999_977_909_503_001_4),
        (-0.5, 1.520_499_877_813_046_5),
        (0.1, 0.887_537_083_981_715),
        (0.5, 0.479_500_122_186_953_5),
        (1.0, 0.157_299_207_050_285_13),
        (1.5, 0.033_894_853_524_689_27),
        (2.0, 0.004_677_734_981_047_266),
        (2.4, 6.885_138_966_450_786e-4),
        (2.5, 4.069_520_174_449_589e-4),
        (2.6, 2.360_344_165_293_492e-4),
        (3.0, 2.209_049_699_858_544e-5),
        (4.0, 1.541_725_790_028_002e-8),
        (5.0, 1.537_459_794_428_035e-12),
        (8.0, 1.122_429_717_298_292_7e-29),
        (10.0, 2.088_487_583_762_545e-45),
        (20.0, 5.395_865_611_607_901e-176),
    ] {
        check(erfc(x), expected);
    }
    // The far tail keeps its relative precision.
    assert!((erfc(10.0) / 2.088_487_583_762_545e-45 - 1.0).abs() < 1e-12);
    assert_eq!(erfc(f64::INFINITY), 0.0);
    assert_eq!(erfc(f64::NEG_INFINITY), 2.0);
    assert!(erfc(f64::NAN).is_nan());
}

#[test]
fn an_empty_interval_has_no_mass() {
    assert_eq!(between(1.0, 1.0), 0.0);
    assert_eq!(between(2.0, 1.0), 0.0);
    assert_eq!(between(f64::NEG_INFINITY, f64::INFINITY), 1.0);
    assert_eq!(between(f64::NAN, 1.0), 0.0);
}
