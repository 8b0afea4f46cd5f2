//! The checks against a second computation of the same readings from first principles: circuits
//! simulated in time, motion and heat integrated, phasors added, waves summed, errors drawn at
//! random. `data/reference-runs.md` tells with what and how the rows were made.

use std::collections::BTreeSet;

use whytrip::checks::{self, Evaluation, Value};
use whytrip::quantity::with_unit;

const ROWS: &str = include_str!("../data/reference-runs.csv");

struct Row {
    id: String,
    check: String,
    inputs: Vec<(String, String)>,
    output: String,
    expected: String,
    unit: String,
    tolerance: String,
}

fn rows() -> Vec<Row> {
    csv::Reader::from_reader(ROWS.as_bytes())
        .records()
        .map(|record| {
            let record = record.expect("a row");
            let field = |at: usize| record.get(at).expect("a field").to_owned();
            let inputs = field(2)
                .split(';')
                .map(|part| part.split_once('=').expect("name=value"))
                .map(|(name, value)| (name.to_owned(), value.to_owned()))
                .collect();
            Row {
                id: field(0),
                check: field(1),
                inputs,
                output: field(3),
                expected: field(4),
                unit: field(5),
                tolerance: field(6),
            }
        })
        .collect()
}

fn run(row: &Row) -> Result<Evaluation, String> {
    let check = checks::find(&row.check).ok_or("no such check")?;
    let typed = row
        .inputs
        .iter()
        .map(|(name, typed)| (name.as_str(), typed.as_str()));
    let given = checks::read_inputs(check, typed)?;
    checks::evaluate(check, &given).map_err(|error| error.to_string())
}

/// How far below and above the expected value the program may lie, in percent of it.
fn allowed(tolerance: &str) -> Result<(f64, f64), String> {
    let percent = |text: &str| {
        text.parse::<f64>()
            .map_err(|error| format!("{text}: {error}"))
    };
    match tolerance.split_once("..") {
        Some((least, most)) => Ok((percent(least)?, percent(most)?)),
        None => percent(tolerance).map(|both| (-both, both)),
    }
}

fn same_word(row: &Row, got: &str) -> Result<(), String> {
    if got == row.expected {
        return Ok(());
    }
    Err(format!("{got}, not {}", row.expected))
}

fn close(row: &Row, got: f64) -> Result<(), String> {
    let expected = row
        .expected
        .parse::<f64>()
        .map_err(|error| format!("{}: {error}", row.expected))?;
    let (least, most) = allowed(&row.tolerance)?;
    let off = (got - expected) / expected.abs() * 100.0;
    if (least..=most).contains(&off) {
        return Ok(());
    }
    Err(format!(
        "{} of {}: {got} {}, {off:+.3} % off {expected}",
        row.output, row.check, row.unit
    ))
}

fn compare(row: &Row) -> Result<(), String> {
    let result = run(row)?;
    if row.output == "verdict" {
        let judgement = result.judgement.as_ref().ok_or("no verdict")?;
        return same_word(row, judgement.verdict.word());
    }
    let computed = result.output(&row.output).ok_or("no such output")?;
    match &computed.value {
        Value::Word(word) => same_word(row, word),
        Value::Quantity(quantity) if row.unit.is_empty() => close(row, quantity.si()),
        Value::Quantity(quantity) => {
            let got = with_unit(*quantity, &row.unit).ok_or("no such unit")?;
            close(row, got)
        }
    }
}

#[test]
fn the_checks_agree_with_the_second_computation() {
    let failures: Vec<String> = rows()
        .iter()
        .filter_map(|row| {
            compare(row)
                .err()
                .map(|reason| format!("{}: {reason}", row.id))
        })
        .collect();
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

#[test]
fn the_second_computation_is_broad() {
    let rows = rows();
    let ids: BTreeSet<&str> = rows.iter().map(|row| row.id.as_str()).collect();
    let checks: BTreeSet<&str> = rows.iter().map(|row| row.check.as_str()).collect();
    assert_eq!(ids.len(), rows.len(), "an id stands twice");
    assert!(rows.len() >= 80, "{} rows", rows.len());
    assert!(checks.len() >= 30, "{} checks", checks.len());
}

#[test]
fn a_wrong_figure_is_noticed() {
    let mut row = rows()
        .into_iter()
        .find(|row| row.id == "six-pulse-1")
        .expect("a row of the six-pulse mean");
    assert_eq!(compare(&row), Ok(()));
    // The mean of three pulses instead of six: half of it.
    row.expected = "270.1".to_owned();
    assert!(compare(&row).is_err());
}
