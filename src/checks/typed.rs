//! Inputs as they are typed: read, refused with an example of their own, and shown how to type them.

use std::collections::BTreeMap;

use super::define::{Check, Input, Need};
use super::evaluate::{Given, within_limits};
use crate::quantity::{self, Bound, Kind, Quantity};

/// Reads what was typed for an input of a check; a bare number takes the input's unit, but an efficiency
/// of 0.88 is no 0.88 %.
///
/// # Errors
/// What is wrong with it, with an example.
pub fn read_input(input: &'static Input, typed: &str) -> Result<Given, String> {
    if input.choices.is_empty() {
        let share = input.unit == "%" && is_share(input, typed);
        let unit = if share { "×" } else { input.unit };
        let reading = quantity::parse(input.kind, typed, Some(unit))
            .map_err(|error| with_own_example(input, &error.to_string()))?;
        if input.unit == "MΩ" && reading.value.si() > 0.0 && reading.value.si() < 1.0 {
            return Err(format!(
                "\"{}\" is {}, which no insulation tester shows; for megohms write {}",
                typed.trim(),
                reading.value,
                example(input)
            ));
        }
        return Ok(Given::Reading(reading));
    }
    choose(input, typed.trim())
        .map(|choice| Given::Word(choice.to_owned()))
        .ok_or_else(|| {
            format!(
                "\"{}\" is not a choice; use {}",
                typed.trim(),
                input.choices.join(", ")
            )
        })
}

/// Whether a bare number is a part of one: as per cent it would lie below what the input can be.
fn is_share(input: &'static Input, typed: &str) -> bool {
    let bare: Option<f64> = typed.trim().replace(',', ".").parse().ok();
    let least = quantity::parse(input.kind, input.limits.0, None);
    bare.zip(least.ok())
        .is_some_and(|(bare, least)| (0.0..=1.0).contains(&bare) && bare / 100.0 < least.value.si())
}

/// The choice that was typed, whole or as far as it is clear.
fn choose(input: &'static Input, typed: &str) -> Option<&'static str> {
    let lower = typed.to_lowercase();
    let same = |choice: &&&str| choice.to_lowercase() == lower;
    let begun = |choice: &&&str| typed.len() > 1 && choice.to_lowercase().starts_with(&lower);
    let choices = || input.choices.iter();
    match (choices().find(same), choices().filter(begun).count()) {
        (Some(choice), _) => Some(choice),
        (None, 1) => choices().find(begun).copied(),
        _ => None,
    }
}

/// Reads several inputs of a check, each with its name.
///
/// # Errors
/// The first that is no input of the check or can't be read.
pub fn read_inputs<'t>(
    check: &'static Check,
    typed: impl IntoIterator<Item = (&'t str, &'t str)>,
) -> Result<BTreeMap<String, Given>, String> {
    typed
        .into_iter()
        .map(|(name, text)| {
            let input = check
                .inputs
                .iter()
                .find(|input| input.name == name)
                .ok_or_else(|| format!("{} has no input {name}", check.name))?;
            let given = read_input(input, text).map_err(|error| format!("{name}: {error}"))?;
            Ok((name.to_owned(), given))
        })
        .collect()
}

/// Reads a value known beforehand; it must lie within the input's limits, and be a value.
///
/// # Errors
/// What is wrong with it, with an example or the limits.
pub fn read_nameplate(input: &'static Input, typed: &str) -> Result<Given, String> {
    let given = read_input(input, typed)?;
    if let Given::Reading(reading) = &given {
        if reading.bound != Bound::Exact {
            return Err(format!(
                "\"{typed}\" is not a value; expected one such as {}",
                example(input)
            ));
        }
        within_limits(input, reading.value).map_err(|error| error.to_string())?;
    }
    Ok(given)
}

/// Reads a worked example's value in the kind of its output.
pub fn read_output(kind: Kind, typed: &str) -> Option<Quantity> {
    quantity::parse(kind, typed, None)
        .ok()
        .map(|reading| reading.value)
}

/// How to type an input: as in the worked example of its own check, else of another, else what is
/// assumed for it.
pub fn example(input: &'static Input) -> String {
    let own = super::all().find(|check| check.inputs.iter().any(|one| std::ptr::eq(one, input)));
    let in_check = |check: &'static Check| {
        check
            .example
            .inputs
            .iter()
            .find(|(name, _)| *name == input.name)
            .map(|(_, typed)| *typed)
    };
    let elsewhere = || {
        super::all()
            .filter(|check| check.inputs.iter().any(|one| same(one, input)))
            .find_map(in_check)
    };
    let assumed = match (input.need, input.choices.first()) {
        (_, Some(first)) => Some(*first),
        (Need::Default(text), None) => Some(text),
        _ => None,
    };
    let typed = own.and_then(in_check).or(assumed).or_else(elsewhere);
    match typed {
        Some(typed) => typed.to_owned(),
        None => fitting(input).to_owned(),
    }
}

/// Whether two inputs of different checks mean the same and take the same values.
fn same(one: &Input, other: &Input) -> bool {
    one.name == other.name
        && one.kind == other.kind
        && one.limits == other.limits
        && one.choices == other.choices
}

/// An example of the kind where it lies within the limits, else the lower limit.
fn fitting(input: &'static Input) -> &'static str {
    let example = quantity::example_of(input.kind);
    let inside = quantity::parse(input.kind, example, None)
        .is_ok_and(|reading| within_limits(input, reading.value).is_ok());
    if inside { example } else { input.limits.0 }
}

/// An error names an example of the kind; one of the input tells more.
fn with_own_example(input: &'static Input, error: &str) -> String {
    let of_kind = format!("such as {}", quantity::example_of(input.kind));
    error.replace(&of_kind, &format!("such as {}", example(input)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_example_of_an_input_can_be_typed() {
        for check in super::super::all() {
            for input in check.inputs {
                let typed = example(input);
                let read = if input.choices.is_empty() {
                    read_nameplate(input, &typed)
                } else {
                    read_input(input, &typed)
                };
                assert!(read.is_ok(), "{}: {}: {read:?}", check.name, input.name);
            }
        }
    }

    #[test]
    fn an_efficiency_may_be_typed_as_a_part_of_one() {
        let check = super::super::find("full-load-current").expect("a check");
        let input = check
            .inputs
            .iter()
            .find(|input| input.name == "motor_efficiency")
            .expect("an input");
        for (typed, share) in [
            ("0.88", 0.88),
            ("0,88", 0.88),
            ("88", 0.88),
            ("0.88 %", 0.0088),
        ] {
            let Ok(Given::Reading(reading)) = read_input(input, typed) else {
                panic!("{typed} is read");
            };
            assert!((reading.value.si() - share).abs() < 1e-12, "{typed}");
        }
    }

    #[test]
    fn an_error_shows_how_to_type_this_input() {
        let check = super::super::find("bus-at-rest").expect("a check");
        let supply = &check.inputs[0];
        assert_eq!(example(supply), "400 V");
        let error = read_input(supply, "18 A").expect_err("a current");
        assert!(error.contains("such as 400 V"), "{error}");
        let check = super::super::find("insulation-resistance").expect("a check");
        let error = read_input(&check.inputs[0], "2 mohm").expect_err("milliohms");
        assert!(error.contains("for megohms write 200 MΩ"), "{error}");
        assert!(
            read_input(&check.inputs[0], "0").is_ok(),
            "a dead short reads zero"
        );
    }

    #[test]
    fn a_choice_may_be_begun_where_that_is_clear() {
        let check = super::super::find("precharge-time").expect("a check");
        let source = check.inputs.last().expect("an input");
        let word = |typed| read_input(source, typed);
        let single = Given::Word("single-phase-bridge".to_owned());
        assert_eq!(word("single"), Ok(single.clone()));
        assert_eq!(word("Single-Phase-Bridge"), Ok(single));
        assert!(word("s").is_err() && word("").is_err());
        let error = word("mains").expect_err("no choice");
        assert!(
            error.starts_with("\"mains\" is not a choice; use "),
            "{error}"
        );
    }
}
