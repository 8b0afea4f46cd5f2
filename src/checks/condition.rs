//! Conditions on a result, as verdict tables and knowledge files write them: `unbalance > 5 %`.

use super::define::Check;
use crate::quantity::{self, Kind, Quantity};

/// Below or above.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Relation {
    /// The output is less than the limit.
    Below,
    /// The output is more than the limit.
    Above,
}

/// A limit on one output of a check.
#[derive(Clone, Debug, PartialEq)]
pub struct Condition {
    /// The output's name.
    pub output: String,
    /// Which side of the limit.
    pub relation: Relation,
    /// The limit.
    pub limit: Quantity,
}

impl Condition {
    /// Reads a condition for an output of `check`.
    ///
    /// # Errors
    /// A sentence that says what is wrong and what would be right.
    pub fn parse(text: &str, check: &Check) -> Result<Condition, String> {
        let kinds = |name: &str| {
            check
                .outputs
                .iter()
                .find(|output| output.name == name)
                .and_then(|output| output.kind)
        };
        Condition::parse_with(text, kinds).map_err(|reason| {
            let outputs: Vec<&str> = check
                .outputs
                .iter()
                .filter(|output| output.kind.is_some())
                .map(|output| output.name)
                .collect();
            format!(
                "{reason}; outputs of {}: {}",
                check.name,
                outputs.join(", ")
            )
        })
    }

    fn parse_with(text: &str, kind_of: impl Fn(&str) -> Option<Kind>) -> Result<Condition, String> {
        let Some(at) = text.find(['<', '>']) else {
            return Err(format!("\"{text}\" has neither < nor >"));
        };
        let output = text[..at].trim();
        let relation = if text.as_bytes()[at] == b'<' {
            Relation::Below
        } else {
            Relation::Above
        };
        let Some(kind) = kind_of(output) else {
            return Err(format!("\"{output}\" is not an output"));
        };
        let limit = quantity::parse(kind, text[at + 1..].trim(), None)
            .map_err(|error| error.to_string())?
            .value;
        Ok(Condition {
            output: output.to_owned(),
            relation,
            limit,
        })
    }

    /// Whether a value meets the condition. On the limit, but for rounding, is not beyond it.
    pub fn holds(&self, value: Quantity) -> bool {
        let rounding = 1e-12 * self.limit.si().abs();
        match self.relation {
            Relation::Below => value.si() < self.limit.si() - rounding,
            Relation::Above => value.si() > self.limit.si() + rounding,
        }
    }
}
