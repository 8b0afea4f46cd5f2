//! `drive add`: one drive by name and values, or a list of them from a file.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use jiff::Timestamp;

use super::columns::{change, check_nameplate, from_cells};
use crate::cli::context::{Context, read_text};
use crate::cli::failure::{Failure, Outcome};
use crate::knowledge::SourceFile;
use crate::knowledge::load::parse;
use crate::plant::register::{TEXTS, USUAL};
use crate::plant::{Drive, DriveEntry, Store};
use crate::render::doc::{Document, code, plain};
use crate::render::{drive as render, json};

/// Add a drive, or drives from a file
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:
  whytrip drive add conveyor-3 place=\"Line 1\" supply_voltage=400V
  whytrip drive add conveyor-3         (asks)
  whytrip drive add --file drives.yaml
  whytrip drive import drives.csv      (a table)

A file is YAML or JSON: a list, each with id: and nameplate:. An id that is there
already is replaced. The names of values: whytrip check --list --json; those that
only the register keeps: supply_earthing, drive_input_current, overvoltage_limit,
control_source, links, meter, manual.")]
pub struct Args {
    /// Its id
    #[arg(required_unless_present = "file")]
    id: Option<String>,
    /// Texts and values: name, place, duty, model, notes, supply_voltage …
    #[arg(value_name = "NAME=VALUE")]
    values: Vec<String>,
    /// The file (- for standard input)
    #[arg(long, value_name = "FILE", conflicts_with_all = ["id", "values"])]
    file: Option<PathBuf>,
}

pub fn run(args: &Args, context: &Context) -> Result<Outcome, Failure> {
    let drives = match (&args.file, &args.id) {
        (Some(file), _) => from_file(file)?,
        (None, Some(id)) => vec![one(id, &args.values, context)?],
        (None, None) => Vec::new(),
    };
    context
        .store_to_write()?
        .put_drives(&drives, Timestamp::now())
        .map_err(|error| context.store_failure(&error))?;
    tell(&drives, context)
}

fn from_file(file: &Path) -> Result<Vec<Drive>, Failure> {
    let source = SourceFile {
        name: file.display().to_string(),
        text: read_text(file)?,
    };
    let entries: Vec<DriveEntry> = parse(&source)
        .map_err(|problem| Failure::usage(format!("the drives can't be read\n{problem}")))?;
    entries
        .into_iter()
        .map(|entry| {
            let drive =
                Drive::from_entry(entry).map_err(|error| Failure::usage(error.to_string()))?;
            check_nameplate(&drive)
                .map_err(|error| Failure::usage(format!("{}: {error}", drive.id)))?;
            Ok(drive)
        })
        .collect()
}

/// A drive that isn't there yet, from what is typed.
fn one(id: &str, values: &[String], context: &Context) -> Result<Drive, Failure> {
    let there = match context.store_to_read()? {
        Some(store) => store
            .drive(id)
            .map_err(|error| context.store_failure(&error))?,
        None => None,
    };
    if there.is_some() {
        return Err(
            Failure::usage(format!("the register has a drive \"{id}\" already"))
                .next(format!("whytrip drive edit {id} NAME=VALUE")),
        );
    }
    let mut cells = BTreeMap::new();
    change(&mut cells, values)?;
    cells.insert("id".to_owned(), id.to_owned());
    if values.is_empty() && context.ui.is_interactive() && context.ui.may_ask() {
        ask(&mut cells, context)?;
    }
    from_cells(cells).map_err(|error| Failure::usage(error).next("whytrip drive add --help"))
}

fn ask(cells: &mut BTreeMap<String, String>, context: &Context) -> Result<(), Failure> {
    context.ui.note(
        "Enter leaves out. A full stop ends; the rest can be added later. Ctrl-C adds nothing.",
    );
    for name in TEXTS.iter().chain(&USUAL).filter(|name| **name != "id") {
        loop {
            let typed = context
                .ui
                .ask(&format!("{}? ", name.replace('_', " ")))?
                .ok_or_else(|| Failure::interrupted("nothing was added"))?;
            let typed = typed.trim();
            if typed == "." {
                return Ok(());
            }
            if typed.is_empty() {
                break;
            }
            cells.insert((*name).to_owned(), typed.to_owned());
            match from_cells(cells.clone()) {
                Ok(_) => break,
                Err(error) => {
                    cells.remove(*name);
                    context.ui.note(&format!("{error}. Again, please."));
                }
            }
        }
    }
    Ok(())
}

/// Says what the register holds now.
fn tell(drives: &[Drive], context: &Context) -> Result<Outcome, Failure> {
    if context.json {
        context
            .ui
            .raw(&json::document(render::drives_json(drives)))?;
        return Ok(Outcome::Done);
    }
    let stored = match drives.len() {
        1 => "1 drive was taken into the register. See it: ".to_owned(),
        many => format!("{many} drives are in the register. See them: "),
    };
    let mut document = Document::new();
    document.paragraph(vec![plain(stored), code("whytrip drive list")]);
    context.ui.show(&document)?;
    Ok(Outcome::Done)
}
