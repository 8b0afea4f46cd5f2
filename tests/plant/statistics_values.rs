//! The distributions behind the statistics against scipy, row by row of
//! `tests/data/distributions.csv`; `distributions.py` beside it makes the rows.

use uom::si::f64::Time;
use uom::si::time::hour;
use whytrip::plant::statistics::{
    binomial_at_least, chi_squared_above, chi_squared_quantile, compare, mean_time_between,
    poisson_at_least, share_limits,
};

fn hours(value: f64) -> Time {
    Time::new::<hour>(value)
}

fn computed(what: &str, first: f64, second: f64, third: f64) -> f64 {
    let (count, all) = (first as u64, second as u64);
    match what {
        "chi-squared-quantile" => chi_squared_quantile(first, second),
        "chi-squared-above" => chi_squared_above(first, second),
        "poisson-at-least" => poisson_at_least(count, second),
        "binomial-at-least" => binomial_at_least(count, all, third),
        "share-lower" => share_limits(count, all, third).lower,
        "share-upper" => share_limits(count, all, third).upper,
        "mean-time-lower" => mean_time_between(count, hours(second), third)
            .lower
            .get::<hour>(),
        "mean-time-upper" => mean_time_between(count, hours(second), third)
            .upper
            .expect("an upper limit")
            .get::<hour>(),
        "compare-chance" => compare((count, hours(1.0)), (all, hours(1.0))).chance,
        other => panic!("unknown row {other}"),
    }
}

#[test]
fn every_row_agrees_with_scipy() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/distributions.csv");
    let mut reader = csv::Reader::from_path(path).expect("the rows");
    let (mut rows, mut wrong) = (0, Vec::new());
    for record in reader.records() {
        let record = record.expect("a row");
        let number = |index: usize| record[index].parse::<f64>().unwrap_or(f64::NAN);
        let found = computed(&record[0], number(1), number(2), number(3));
        let expected = number(4);
        // A tail that comes as one less the other side is good to 1e-12 in itself, not in proportion.
        let allowed = 1e-8 * expected.abs() + 1e-12;
        if (found - expected).abs() > allowed || found.is_nan() {
            wrong.push(format!("{record:?} gives {found}"));
        }
        rows += 1;
    }
    assert!(rows > 100, "{rows} rows");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
