//! The names that a drive's values go by: what a check takes, what the register keeps.

use std::collections::BTreeMap;

use crate::checks;
use crate::cli::failure::Failure;
use crate::diagnosis::record::nameplate_input;
use crate::plant::register::{KEPT, TEXTS, kept};
use crate::plant::{Drive, DriveEntry, ScalarText};
use crate::quantity;

/// Whether a drive has such a text or value.
///
/// # Errors
/// With the closest name.
pub(super) fn check_name(name: &str) -> Result<(), String> {
    if TEXTS.contains(&name) {
        return Ok(());
    }
    check_value_name(name)
}

/// Whether a nameplate may hold such a value.
fn check_value_name(name: &str) -> Result<(), String> {
    if kept(name).is_some() || nameplate_input(name).is_some() {
        return Ok(());
    }
    let names = checks::all()
        .flat_map(|check| check.inputs)
        .map(|input| input.name)
        .chain(KEPT.iter().map(|kept| kept.name))
        .chain(TEXTS);
    let near = names.min_by_key(|known| strsim::osa_distance(known, name));
    Err(format!(
        "no drive has a \"{name}\"; closest: {}; put anything else into notes",
        near.unwrap_or("notes")
    ))
}

/// Whether every value on the nameplate is known and readable.
///
/// # Errors
/// With the value and what is wanted.
pub(super) fn check_nameplate(drive: &Drive) -> Result<(), String> {
    for (name, value) in &drive.nameplate {
        check_value_name(name)?;
        let readable = match (kept(name), nameplate_input(name)) {
            (Some(kept), _) => kept.kind.map_or(Ok(()), |kind| {
                quantity::parse(kind, value, None)
                    .map(|_| ())
                    .map_err(|error| error.to_string())
            }),
            (None, Some(input)) => checks::read_nameplate(input, value)
                .map(|_| ())
                .map_err(|error| error.to_string()),
            (None, None) => Ok(()),
        };
        readable.map_err(|error| format!("{name}: {error}"))?;
    }
    Ok(())
}

/// A drive from texts and values by name.
///
/// # Errors
/// What is wrong, and what is wanted.
pub(super) fn from_cells(mut cells: BTreeMap<String, String>) -> Result<Drive, String> {
    let mut text = |name: &str| cells.remove(name).unwrap_or_default();
    let entry = DriveEntry {
        id: ScalarText(text("id")),
        name: text("name"),
        place: text("place"),
        duty: text("duty"),
        model: ScalarText(text("model")),
        notes: text("notes"),
        nameplate: cells
            .into_iter()
            .map(|(name, value)| (name, ScalarText(value)))
            .collect(),
    };
    let drive = Drive::from_entry(entry).map_err(|error| error.to_string())?;
    check_nameplate(&drive)?;
    Ok(drive)
}

/// The texts and values of a drive by name.
pub(super) fn to_cells(drive: &Drive) -> BTreeMap<String, String> {
    let texts = [
        &drive.id,
        &drive.name,
        &drive.place,
        &drive.duty,
        &drive.model,
        &drive.notes,
    ];
    let texts = TEXTS
        .iter()
        .zip(texts)
        .map(|(name, text)| ((*name).to_owned(), text.clone()));
    let mut cells = drive.nameplate.clone();
    cells.extend(texts);
    cells
}

/// Changes from the command line: an empty value takes it away.
///
/// # Errors
/// When a pair is none, or its name is not known.
pub(super) fn change(
    cells: &mut BTreeMap<String, String>,
    pairs: &[String],
) -> Result<(), Failure> {
    for pair in pairs {
        let (name, value) = pair.split_once('=').ok_or_else(|| {
            Failure::usage(format!("\"{pair}\" is not NAME=VALUE"))
                .next("whytrip drive edit conveyor-3 supply_voltage=400V")
        })?;
        let (name, value) = (name.trim(), value.trim());
        check_name(name).map_err(Failure::usage)?;
        if value.is_empty() {
            cells.remove(name);
        } else {
            cells.insert(name.to_owned(), value.to_owned());
        }
    }
    Ok(())
}
