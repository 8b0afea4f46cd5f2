//! What a knowledge file may say of the checks: their names, inputs and conditions.

use crate::checks::{self, Condition};
use crate::knowledge::CheckCatalogue;

/// The checks that are built in.
#[derive(Clone, Copy, Debug, Default)]
pub struct BuiltInChecks;

impl CheckCatalogue for BuiltInChecks {
    fn names(&self) -> Vec<&'static str> {
        checks::all().map(|check| check.name).collect()
    }

    fn purpose(&self, check: &str) -> Option<&'static str> {
        checks::find(check).map(|check| check.purpose)
    }

    fn inputs(&self, check: &str) -> Option<Vec<&'static str>> {
        checks::find(check).map(|check| check.inputs.iter().map(|input| input.name).collect())
    }

    fn condition(&self, check: &str, text: &str) -> Result<(), String> {
        let check = checks::find(check).ok_or_else(|| format!("there is no check {check}"))?;
        Condition::parse(text, check).map(|_| ())
    }
}
