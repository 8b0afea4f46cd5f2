//! Figures from standards, trade tables and worked examples against the checks on motors, control
//! and metering. Each row of the data names its source.

pub mod lookups;
pub mod plain;
pub mod support;
mod traps;

use std::collections::BTreeSet;

/// Rows that no check can answer, each with the reason.
const LEFT_OUT: &[(&str, &str)] = &[];

#[test]
fn every_row_comes_out() {
    let rows = support::rows();
    let mut failures = Vec::new();
    let mut covered = BTreeSet::new();
    for row in &rows {
        let outcome = plain::check(row).or_else(|| lookups::check(row));
        match outcome {
            None => {}
            Some(Ok(())) => {
                covered.insert(row.id.as_str());
            }
            Some(Err(reason)) => {
                covered.insert(row.id.as_str());
                failures.push(format!("{}: {reason}", row.id));
            }
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));

    let left_out: BTreeSet<&str> = LEFT_OUT.iter().map(|(id, _)| *id).collect();
    let all: BTreeSet<&str> = rows.iter().map(|row| row.id.as_str()).collect();
    assert_eq!(all.len(), rows.len(), "an id stands twice");
    assert!(
        covered.is_disjoint(&left_out),
        "a row is both covered and left out"
    );
    let missed: Vec<&&str> = all
        .iter()
        .filter(|id| !covered.contains(**id) && !left_out.contains(**id))
        .collect();
    assert!(
        missed.is_empty(),
        "neither covered nor left out: {missed:?}"
    );
    assert_eq!(covered.len() + left_out.len(), all.len());
    assert_eq!(all.len(), 304, "rows of the data");
}
