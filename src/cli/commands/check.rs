//! `check`: one sum, with its expectation, uncertainty and verdict.

use std::collections::BTreeMap;

use crate::checks::{self, Check, CheckError, Given, Need, Origin, Verdict};
use crate::cli::context::Context;
use crate::cli::failure::{Failure, Outcome};
use crate::cli::format::{self, PageFormat};
use crate::diagnosis::record::nameplate_input;
use crate::render::{check as page, json, sheet};

#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:
  whytrip check --list
  whytrip check bus-at-rest --explain
  whytrip check bus-at-rest supply_voltage=400V bus_voltage=566V
  whytrip check bus-at-rest bus_voltage=566V --drive conveyor-1
  whytrip check bus-at-rest            (asks for what it needs)
  whytrip check --all --drive conveyor-1 --format html > door.html
  whytrip check --all --explain --format html > handbook.html

A bare number takes the unit that the input names. Exit code 1 means that
the result is not normal.")]
pub struct Args {
    /// Name of the check
    name: Option<String>,
    /// Inputs as name=value, such as bus_voltage=566V
    #[arg(value_name = "NAME=VALUE")]
    inputs: Vec<String>,
    /// Take nameplate values from this drive of the register
    #[arg(long, value_name = "ID")]
    drive: Option<String>,
    /// List all checks
    #[arg(long)]
    list: bool,
    /// Show inputs, formula, limits and sources instead of computing
    #[arg(long)]
    explain: bool,
    /// Every check that the known values allow, as one sheet; with --explain the handbook of all
    #[arg(long)]
    all: bool,
    /// How to write a sheet or an explanation
    #[arg(long, value_enum, default_value_t, value_name = "FORM")]
    format: PageFormat,
}

pub fn run(args: Args, context: &Context) -> Result<Outcome, Failure> {
    if args.all && args.explain {
        return handbook(&args, context);
    }
    if args.all {
        return door_sheet(&args, context);
    }
    let Some(name) = args.name.filter(|_| !args.list) else {
        if context.json {
            context.ui.raw(&json::document(json::check_list()))?;
        } else {
            context.ui.show(&page::list())?;
        }
        return Ok(Outcome::Done);
    };
    let check = checks::find(&name).ok_or_else(|| unknown(&name))?;
    if args.explain {
        if context.json {
            context.ui.raw(&json::document(json::check(check)))?;
        } else {
            format::write(
                &page::definition(check),
                check.purpose,
                args.format,
                context,
            )?;
        }
        return Ok(Outcome::Done);
    }
    let mut given = match &args.drive {
        Some(id) => from_register(check, id, context)?,
        None => BTreeMap::new(),
    };
    let typed = typed_inputs(check, &args.inputs)?;
    given.retain(|name, _| !typed.contains_key(name));
    let from_register: Vec<String> = given.keys().cloned().collect();
    given.extend(typed);
    ask_for_missing(check, &mut given, context)?;
    let result = checks::evaluate(check, &given).map_err(|error| refused(check, &error))?;
    let origin = args
        .drive
        .as_deref()
        .map(|drive| (drive, from_register.as_slice()));
    if context.json {
        context
            .ui
            .raw(&json::document(json::evaluation_of(&result, origin)))?;
    } else {
        let mut document = page::evaluation(&result);
        if let Some((drive, names)) = origin.filter(|(_, names)| !names.is_empty()) {
            document.append(page::from_register(&result, drive, names));
        }
        context.ui.show(&document)?;
    }
    let normal = result
        .judgement
        .is_none_or(|judged| judged.verdict == Verdict::Normal);
    Ok(if normal { Outcome::Done } else { Outcome::No })
}

fn unknown(name: &str) -> Failure {
    let near = checks::all()
        .map(|check| check.name)
        .min_by_key(|known| strsim::osa_distance(known, name));
    let failure = Failure::usage(format!("there is no check \"{name}\""));
    match near.filter(|near| strsim::osa_distance(near, name) <= 3) {
        Some(near) => failure
            .because(format!("closest: {near}"))
            .next(format!("whytrip check {near} --explain")),
        None => failure.next("whytrip check --list"),
    }
}

/// Every definition on one page.
fn handbook(args: &Args, context: &Context) -> Result<Outcome, Failure> {
    if context.json {
        context.ui.raw(&json::document(json::check_list()))?;
    } else {
        let page = page::handbook(&context.knowledge()?);
        format::write(&page, "Handbook of electrical checks", args.format, context)?;
    }
    Ok(Outcome::Done)
}

/// What can be computed before anything is measured, from a drive's nameplate and what is typed.
fn door_sheet(args: &Args, context: &Context) -> Result<Outcome, Failure> {
    let mut known: BTreeMap<String, Given> = BTreeMap::new();
    let mut typed: Vec<(String, String)> = Vec::new();
    if let Some(id) = &args.drive {
        typed.extend(context.drive_nameplate(id)?);
    }
    for pair in args.name.iter().chain(&args.inputs) {
        let (name, value) = pair.split_once('=').ok_or_else(|| {
            Failure::usage(format!("\"{pair}\" is not name=value"))
                .next("whytrip check --all supply_voltage=400V --drive ID")
        })?;
        typed.push((name.trim().to_owned(), value.to_owned()));
    }
    for (name, value) in typed {
        let input = nameplate_input(&name).ok_or_else(|| {
            Failure::usage(format!("no check takes \"{name}\"")).next("whytrip check --list --json")
        })?;
        let given = checks::read_nameplate(input, &value)
            .map_err(|error| Failure::usage(format!("{name}: {error}")))?;
        known.insert(name, given);
    }
    if known.is_empty() {
        return Err(Failure::usage("nothing is known to compute from")
            .next("whytrip check --all --drive ID, or give values: supply_voltage=400V"));
    }
    let results = sheet::results(&known);
    let title = args
        .drive
        .clone()
        .unwrap_or_else(|| "Expected values".to_owned());
    if context.json {
        context.ui.raw(&json::document(json::sheet(
            args.drive.as_deref(),
            &results,
        )))?;
    } else {
        let page = sheet::sheet(args.drive.as_deref(), &known, &results);
        format::write(&page, &title, args.format, context)?;
    }
    Ok(if results.is_empty() {
        Outcome::No
    } else {
        Outcome::Done
    })
}

/// What the register knows of a check's inputs.
fn from_register(
    check: &'static Check,
    id: &str,
    context: &Context,
) -> Result<BTreeMap<String, Given>, Failure> {
    let mut given = BTreeMap::new();
    for (name, value) in context.drive_nameplate(id)? {
        if let Some(input) = check.inputs.iter().find(|input| input.name == name) {
            let value = checks::read_input(input, &value)
                .map_err(|error| Failure::usage(format!("{id}: {name}: {error}")))?;
            given.insert(name, value);
        }
    }
    Ok(given)
}

/// Reads `name=value` pairs for a check.
fn typed_inputs(
    check: &'static Check,
    pairs: &[String],
) -> Result<BTreeMap<String, Given>, Failure> {
    let mut given = BTreeMap::new();
    for pair in pairs {
        let (name, value) = pair.split_once('=').ok_or_else(|| {
            Failure::usage(format!("\"{pair}\" is not name=value")).next(format!(
                "whytrip check {} --explain    (lists the inputs)",
                check.name
            ))
        })?;
        let input = check
            .inputs
            .iter()
            .find(|input| input.name == name.trim())
            .ok_or_else(|| {
                let names: Vec<&str> = check.inputs.iter().map(|input| input.name).collect();
                let failure = Failure::usage(format!("{} has no input \"{name}\"", check.name))
                    .because(format!("its inputs are {}", names.join(", ")));
                match names
                    .iter()
                    .min_by_key(|known| strsim::osa_distance(known, name))
                {
                    Some(near) => failure.next(format!("did you mean {near}={value}?")),
                    None => failure,
                }
            })?;
        let value = checks::read_input(input, value)
            .map_err(|error| Failure::usage(format!("{name}: {error}")))?;
        if given.insert(input.name.to_owned(), value).is_some() {
            return Err(Failure::usage(format!("{name} is given twice")));
        }
    }
    Ok(given)
}

/// Asks a person for what is missing; names it where nobody can be asked.
fn ask_for_missing(
    check: &'static Check,
    given: &mut BTreeMap<String, Given>,
    context: &Context,
) -> Result<(), Failure> {
    let missing: Vec<_> = check
        .inputs
        .iter()
        .filter(|input| input.need == Need::Required && !given.contains_key(input.name))
        .collect();
    if missing.is_empty() {
        return Ok(());
    }
    if !context.ui.is_interactive() || context.json {
        let wanted: Vec<String> = missing
            .iter()
            .map(|input| {
                let example = checks::example(input).replace(' ', "");
                format!("{}={example}", input.name)
            })
            .collect();
        let what: Vec<String> = missing
            .iter()
            .map(|input| format!("{}: {}", input.name, input.what))
            .collect();
        return Err(
            Failure::usage(format!("{} needs more to compute", check.name))
                .because(what.join("; "))
                .next(format!(
                    "whytrip check {} … {}",
                    check.name,
                    wanted.join(" ")
                )),
        );
    }
    for input in missing {
        loop {
            let prompt = format!(
                "{} ({}, such as {}): ",
                input.name,
                input.what,
                checks::example(input)
            );
            let Some(typed) = context.ui.ask(&prompt)? else {
                return Err(Failure::interrupted(
                    "the input ended before the check could be computed",
                ));
            };
            match checks::read_input(input, &typed) {
                Ok(value) => {
                    given.insert(input.name.to_owned(), value);
                    break;
                }
                Err(error) => context.ui.note(&error),
            }
        }
    }
    Ok(())
}

fn refused(check: &'static Check, error: &CheckError) -> Failure {
    let failure = Failure::usage(error.to_string())
        .because(format!("{} holds for: {}", check.name, check.valid));
    let measured = |name: &str| {
        let mut inputs = check.inputs.iter();
        inputs.any(|input| input.name == name && input.origin == Origin::Reading)
    };
    match error {
        CheckError::OutOfRange { input, .. } if measured(input) => {
            failure.next("look at the meter and its range again, and give the value once more")
        }
        _ => failure.next(format!("whytrip check {} --explain", check.name)),
    }
}
