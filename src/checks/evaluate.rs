//! Runs a check: limits, assumptions, the sum, its uncertainty, the verdict.

use std::collections::BTreeMap;

use super::condition::Condition;
use super::define::{Check, CheckError, Input, Inputs, Need, Outputs, Value, Verdict};
use super::meter;
use super::typed::example;
use crate::quantity::{self, Bound, Kind, Quantity, Reading};

/// An input as it was given.
#[derive(Clone, Debug, PartialEq)]
pub enum Given {
    /// A reading or nameplate value.
    Reading(Reading),
    /// A word.
    Word(String),
}

/// One result.
#[derive(Clone, Debug)]
pub struct Computed {
    /// The output's name.
    pub name: &'static str,
    /// Its unit for machines.
    pub unit: &'static str,
    /// What it means.
    pub what: &'static str,
    /// The value.
    pub value: Value,
    /// Standard uncertainty in the coherent SI unit; zero where no input is uncertain.
    pub uncertainty: f64,
}

/// The verdict on a result.
#[derive(Clone, Debug)]
pub struct Judgement {
    /// How to take it.
    pub verdict: Verdict,
    /// What that means.
    pub means: &'static str,
    /// Source id of the limit.
    pub source: &'static str,
    /// Whether the whole interval of twice the standard uncertainty gives the same verdict.
    pub conclusive: bool,
}

/// All that a check gave.
#[derive(Clone, Debug)]
pub struct Evaluation {
    /// Which check.
    pub check: &'static Check,
    /// The inputs used, assumptions included.
    pub inputs: Inputs,
    /// Names of the inputs that were assumed.
    pub assumed: Vec<&'static str>,
    /// The results.
    pub outputs: Vec<Computed>,
    /// The verdict, if the check has a table and the result is known.
    pub judgement: Option<Judgement>,
    /// What a healthy reading would be.
    pub expected: Option<String>,
    /// Why the result is odd enough to look again, if it is.
    pub doubt: Option<String>,
    /// Remarks.
    pub notes: Vec<String>,
}

impl Evaluation {
    /// The output called `name`.
    pub fn output(&self, name: &str) -> Option<&Computed> {
        self.outputs.iter().find(|computed| computed.name == name)
    }
}

/// Runs a check on what is known. Missing readings leave their outputs out; see [`evaluate`].
///
/// # Errors
/// A missing nameplate value, a value out of range, or a contradiction.
pub fn expectation(
    check: &'static Check,
    given: &BTreeMap<String, Given>,
) -> Result<Evaluation, CheckError> {
    run(check, given, false)
}

/// Runs a check on a full set of inputs.
///
/// # Errors
/// A missing input, a value out of range, or a contradiction.
pub fn evaluate(
    check: &'static Check,
    given: &BTreeMap<String, Given>,
) -> Result<Evaluation, CheckError> {
    run(check, given, true)
}

fn run(
    check: &'static Check,
    given: &BTreeMap<String, Given>,
    all_needed: bool,
) -> Result<Evaluation, CheckError> {
    let mut inputs = Inputs::default();
    let mut assumed = Vec::new();
    let mut uncertain: Vec<(&'static Input, Quantity, f64)> = Vec::new();
    for input in check.inputs {
        match given.get(input.name) {
            Some(Given::Word(word)) => {
                is_a_choice(input, word)?;
                inputs.set(input.name, Value::Word(word.clone()));
            }
            Some(Given::Reading(reading)) => {
                is_a_reading(input, reading)?;
                within_limits(input, reading.value)?;
                inputs.set(input.name, Value::Quantity(reading.value));
                if input.origin == super::define::Origin::Reading && reading.bound == Bound::Exact {
                    let accuracy = meter::assumed(input.kind, reading.value.si());
                    let u = meter::standard_uncertainty(reading, accuracy);
                    uncertain.push((input, reading.value, u));
                }
            }
            None => match (input.need, input.choices.first()) {
                (_, Some(first)) => inputs.set(input.name, Value::Word((*first).to_owned())),
                (Need::Default(text), None) => {
                    if let Ok(reading) = quantity::parse(input.kind, text, Some(input.unit)) {
                        inputs.set(input.name, Value::Quantity(reading.value));
                        assumed.push(input.name);
                    }
                }
                (Need::Required, None) if all_needed => return Err(missing(input)),
                (Need::Required | Need::Optional, None) => {}
            },
        }
    }
    let outputs = finite((check.compute)(&inputs)?, check)?;
    let computed = with_uncertainty(check, &inputs, &outputs, &uncertain);
    let judgement = judge(check, &computed);
    let doubt = doubtful(check, &computed);
    let expected = expected_text(check, &inputs, &outputs);
    Ok(Evaluation {
        check,
        inputs,
        assumed,
        outputs: computed,
        judgement,
        expected,
        doubt,
        notes: outputs.notes,
    })
}

fn missing(input: &'static Input) -> CheckError {
    CheckError::Missing {
        input: input.name,
        what: input.what,
        example: example(input),
    }
}

fn is_a_choice(input: &'static Input, word: &str) -> Result<(), CheckError> {
    if input.choices.contains(&word) {
        return Ok(());
    }
    Err(CheckError::NotAChoice {
        input: input.name,
        value: word.to_owned(),
        choices: match input.choices {
            [] => format!("a {}", input.kind.words()),
            choices => choices.join(", "),
        },
    })
}

/// A voltmeter over its range tells nothing of the voltage; only a diode range, whose limit ends
/// where over-range begins, knows what that means.
fn is_a_reading(input: &'static Input, reading: &Reading) -> Result<(), CheckError> {
    if !input.choices.is_empty() || reading.value.kind() != input.kind {
        return is_a_choice(input, &reading.value.to_string());
    }
    let below_most = limits(input).is_some_and(|(_, most)| reading.value.si() < most.si());
    if input.kind == Kind::Voltage && reading.bound == Bound::AtLeast && below_most {
        return Err(CheckError::Contradiction(format!(
            "{}: over the meter's range is not a voltage; choose a higher range and read again",
            input.name
        )));
    }
    Ok(())
}

/// The limits of an input, in its kind.
pub fn limits(input: &Input) -> Option<(Quantity, Quantity)> {
    let read = |text| {
        quantity::parse(input.kind, text, Some(input.unit))
            .ok()
            .map(|r| r.value)
    };
    Some((read(input.limits.0)?, read(input.limits.1)?))
}

pub(super) fn within_limits(input: &'static Input, value: Quantity) -> Result<(), CheckError> {
    let Some((least, most)) = limits(input) else {
        return Ok(());
    };
    // A limit that is typed as it is shown may differ from itself by the last bit.
    let hair = |limit: Quantity| limit.si().abs() * 1e-12;
    if value.si() >= least.si() - hair(least) && value.si() <= most.si() + hair(most) {
        return Ok(());
    }
    Err(CheckError::OutOfRange {
        input: input.name,
        value: value.to_string(),
        least: least.to_string(),
        most: most.to_string(),
        what: input.what,
    })
}

/// No result is ever a number that is not one.
fn finite(outputs: Outputs, check: &'static Check) -> Result<Outputs, CheckError> {
    let odd = outputs.values.iter().find(|(_, value)| match value {
        Value::Quantity(quantity) => !quantity.si().is_finite(),
        Value::Word(_) => false,
    });
    match odd {
        None => Ok(outputs),
        Some((name, _)) => Err(CheckError::Contradiction(format!(
            "{name} can't be computed from these inputs ({}); {}",
            check.name, check.valid
        ))),
    }
}

/// Propagates the meters' uncertainty: `u² = Σ (∂f/∂xᵢ · uᵢ)²` with each sensitivity taken as half
/// the change over one standard uncertainty to either side. Source: JCGM 100:2008, 5.1.2 and 5.1.3.
fn with_uncertainty(
    check: &'static Check,
    inputs: &Inputs,
    outputs: &Outputs,
    uncertain: &[(&'static Input, Quantity, f64)],
) -> Vec<Computed> {
    let mut squares: BTreeMap<&str, f64> = BTreeMap::new();
    for (input, value, u) in uncertain.iter().filter(|(_, _, u)| *u > 0.0) {
        let shifted = |by: f64| {
            let mut moved = inputs.clone();
            let quantity = Quantity::from_si(input.kind, value.si() + by);
            moved.set(input.name, Value::Quantity(quantity));
            (check.compute)(&moved).ok()
        };
        let (up, down) = (shifted(*u), shifted(-*u));
        for (name, value) in &outputs.values {
            let Value::Quantity(middle) = value else {
                continue;
            };
            let at = |side: &Option<Outputs>| {
                side.as_ref()
                    .and_then(|o| o.quantity(name))
                    .map(Quantity::si)
                    .filter(|x| x.is_finite())
            };
            let change = match (at(&up), at(&down)) {
                (Some(high), Some(low)) => (high - low) / 2.0,
                (Some(one), None) | (None, Some(one)) => one - middle.si(),
                (None, None) => 0.0,
            };
            *squares.entry(name).or_default() += change * change;
        }
    }
    outputs
        .values
        .iter()
        .filter_map(|(name, value)| {
            let output = check.outputs.iter().find(|output| output.name == *name)?;
            Some(Computed {
                name: output.name,
                unit: output.unit,
                what: output.what,
                value: value.clone(),
                uncertainty: squares.get(name).copied().unwrap_or(0.0).sqrt(),
            })
        })
        .collect()
}

fn judge(check: &'static Check, computed: &[Computed]) -> Option<Judgement> {
    let band_at = |shift: f64| {
        check.bands.iter().find(|band| {
            if band.when.is_empty() {
                return true;
            }
            let Ok(condition) = Condition::parse(band.when, check) else {
                return false;
            };
            computed.iter().any(|one| match one.value {
                Value::Quantity(quantity) if one.name == condition.output => {
                    let moved = quantity.si() + shift * one.uncertainty;
                    condition.holds(Quantity::from_si(quantity.kind(), moved))
                }
                _ => false,
            })
        })
    };
    // Without the judged output there is no verdict.
    let judged = check
        .bands
        .iter()
        .filter(|band| !band.when.is_empty() && !band.only_if_known)
        .all(|band| {
            Condition::parse(band.when, check)
                .is_ok_and(|condition| computed.iter().any(|one| one.name == condition.output))
        });
    if !judged {
        return None;
    }
    let band = band_at(0.0)?;
    let same = |shift| band_at(shift).is_some_and(|other| other.verdict == band.verdict);
    Some(Judgement {
        verdict: band.verdict,
        means: band.means,
        source: band.source,
        conclusive: same(2.0) && same(-2.0),
    })
}

fn doubtful(check: &'static Check, computed: &[Computed]) -> Option<String> {
    check.doubtful.iter().find_map(|text| {
        let condition = Condition::parse(text, check).ok()?;
        let one = computed.iter().find(|one| one.name == condition.output)?;
        match one.value {
            Value::Quantity(quantity) if condition.holds(quantity) => {
                Some(format!("{} would be {quantity}", one.what))
            }
            _ => None,
        }
    })
}

/// The first template whose names are all known.
fn expected_text(check: &'static Check, inputs: &Inputs, outputs: &Outputs) -> Option<String> {
    check.expect.iter().find_map(|template| {
        let mut text = String::new();
        let mut rest = *template;
        while let Some(open) = rest.find('{') {
            let close = open + rest[open..].find('}')?;
            let name = &rest[open + 1..close];
            text.push_str(&rest[..open]);
            let value = outputs.quantity(name).or_else(|| match inputs.get(name) {
                Some(Value::Quantity(quantity)) => Some(*quantity),
                _ => None,
            })?;
            text.push_str(&value.to_string());
            rest = &rest[close + 1..];
        }
        text.push_str(rest);
        Some(text)
    })
}
