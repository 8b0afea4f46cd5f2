//! `drive`: the plant's drives with their nameplates: add, list, show.

use std::path::PathBuf;

use jiff::Timestamp;

use crate::checks;
use crate::cli::context::{Context, read_text};
use crate::cli::failure::{Failure, Outcome};
use crate::diagnosis::record::nameplate_input;
use crate::knowledge::SourceFile;
use crate::knowledge::load::parse;
use crate::plant::{Drive, DriveEntry, Store};
use crate::render::doc::{Document, code, plain};
use crate::render::{json, log as render};

/// Keep the plant's drives with their nameplates
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:
  whytrip drive add --file drives.yaml
  whytrip drive list
  whytrip walk motor-overload --drive conveyor-3")]
pub struct Args {
    #[command(subcommand)]
    command: Sub,
}

#[derive(Debug, clap::Subcommand)]
enum Sub {
    /// Add drives from a YAML or JSON file: a list, each with id and nameplate; an id that is there
    /// already is replaced
    Add {
        /// The file (- for standard input)
        #[arg(long, value_name = "FILE")]
        file: PathBuf,
    },
    /// List the drives
    List,
    /// Show one drive with its nameplate
    Show {
        /// Its id
        id: String,
    },
}

pub fn run(args: Args, context: &Context) -> Result<Outcome, Failure> {
    match args.command {
        Sub::Add { file } => add(&file, context),
        Sub::List => list(context),
        Sub::Show { id } => show(&id, context),
    }
}

fn add(file: &std::path::Path, context: &Context) -> Result<Outcome, Failure> {
    let source = SourceFile {
        name: file.display().to_string(),
        text: read_text(file)?,
    };
    let entries: Vec<DriveEntry> = parse(&source)
        .map_err(|problem| Failure::usage(format!("the drives can't be read\n{problem}")))?;
    let mut drives = Vec::new();
    for entry in entries {
        let drive = Drive::from_entry(entry).map_err(|error| Failure::usage(error.to_string()))?;
        check_nameplate(&drive)?;
        drives.push(drive);
    }
    let mut store = context.store_to_write()?;
    let now = Timestamp::now();
    for drive in &drives {
        store
            .put_drive(drive, now)
            .map_err(|error| context.store_failure(&error))?;
    }
    if context.json {
        context
            .ui
            .raw(&json::document(render::drives_json(&drives)))?;
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

/// Every nameplate value must be one that some check takes, and must be readable.
fn check_nameplate(drive: &Drive) -> Result<(), Failure> {
    for (name, value) in &drive.nameplate {
        let Some(input) = nameplate_input(name) else {
            let near = checks::all()
                .flat_map(|check| check.inputs)
                .map(|input| input.name)
                .min_by_key(|known| strsim::osa_distance(known, name));
            let failure = Failure::usage(format!("{}: no check takes \"{name}\"", drive.id));
            return Err(match near {
                Some(near) => {
                    failure.next(format!("closest: {near}; put anything else into notes:"))
                }
                None => failure,
            });
        };
        checks::read_nameplate(input, value)
            .map_err(|error| Failure::usage(format!("{}: {name}: {error}", drive.id)))?;
    }
    Ok(())
}

fn list(context: &Context) -> Result<Outcome, Failure> {
    let drives = match context.store_to_read()? {
        Some(store) => store
            .drives()
            .map_err(|error| context.store_failure(&error))?,
        None => Vec::new(),
    };
    if context.json {
        context
            .ui
            .raw(&json::document(render::drives_json(&drives)))?;
    } else {
        context.ui.show(&render::drives(&drives))?;
    }
    Ok(if drives.is_empty() {
        Outcome::No
    } else {
        Outcome::Done
    })
}

fn show(id: &str, context: &Context) -> Result<Outcome, Failure> {
    let drive = context.drive(id)?;
    if context.json {
        context
            .ui
            .raw(&json::document(render::drive_json(&drive)))?;
    } else {
        context.ui.show(&render::drive(&drive))?;
    }
    Ok(Outcome::Done)
}
