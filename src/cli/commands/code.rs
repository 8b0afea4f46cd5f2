//! `code`: the plant's code sheet: what its own drives show, and the fault class it stands for.

use std::collections::BTreeMap;
use std::path::PathBuf;

use jiff::Timestamp;

use super::log::check_ids;
use crate::cli::context::Context;
use crate::cli::failure::{Failure, Outcome};
use crate::cli::sheet;
use crate::knowledge::Library;
use crate::plant::text::csv_cell;
use crate::plant::{Code, CodeEntry, ScalarText, Store};
use crate::render::upkeep::{self, SheetTaken};
use crate::render::{code as render, json};

#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:
  whytrip code add \"F 07\" --class dc-overvoltage-decelerating --model press-drive
  whytrip code import codes.csv        (header: shown,model,class,note)
  whytrip find F07

Take the texts from the manuals you own; none is built in. A text may stand for
other things on other kinds of drive: give --model, your own word for the kind.")]
pub struct Args {
    #[command(subcommand)]
    command: Sub,
}

#[derive(Debug, clap::Subcommand)]
enum Sub {
    /// Add a text that a drive shows, or replace what it stands for
    Add {
        /// The text as the drive shows it
        shown: String,
        /// The fault class it stands for
        #[arg(long, value_name = "ID")]
        class: String,
        /// The kind of drive, in the plant's own word
        #[arg(long, value_name = "NAME", default_value = "")]
        model: String,
        /// Anything else, such as the page of the manual
        #[arg(long, value_name = "TEXT", default_value = "")]
        note: String,
    },
    /// List the code sheet
    List {
        /// Only this kind of drive
        #[arg(long, value_name = "NAME")]
        model: Option<String>,
    },
    /// Take a text off the sheet
    Remove {
        /// The text
        shown: String,
        /// The kind of drive
        #[arg(long, value_name = "NAME", default_value = "")]
        model: String,
    },
    /// Take in a CSV sheet with the header shown,model,class,note: all rows or none
    Import {
        /// The file (- for standard input)
        file: PathBuf,
        /// Take in the good rows even if others can't be used
        #[arg(long)]
        good_rows: bool,
    },
    /// Write the sheet as CSV
    Export,
}

pub fn run(args: Args, context: &Context) -> Result<Outcome, Failure> {
    match args.command {
        Sub::Add {
            shown,
            class,
            model,
            note,
        } => add(
            CodeEntry {
                shown: ScalarText(shown),
                model: ScalarText(model),
                class,
                note,
            },
            context,
        ),
        Sub::List { model } => list(model.as_deref(), context),
        Sub::Remove { shown, model } => remove(&shown, &model, context),
        Sub::Import { file, good_rows } => import(&file, good_rows, context),
        Sub::Export => export(context),
    }
}

fn add(entry: CodeEntry, context: &Context) -> Result<Outcome, Failure> {
    check_ids(&context.knowledge()?, Some(&entry.class), None)?;
    let code = Code::from_entry(entry).map_err(|error| Failure::usage(error.to_string()))?;
    context
        .store_to_write()?
        .put_codes(std::slice::from_ref(&code), Timestamp::now())
        .map_err(|error| context.store_failure(&error))?;
    if context.json {
        context.ui.raw(&json::document(&code))?;
    } else {
        context
            .ui
            .show(&render::added(&context.knowledge()?, &code))?;
    }
    Ok(Outcome::Done)
}

fn codes(context: &Context) -> Result<Vec<Code>, Failure> {
    match context.store_to_read()? {
        Some(store) => store.codes().map_err(|error| context.store_failure(&error)),
        None => Ok(Vec::new()),
    }
}

fn list(model: Option<&str>, context: &Context) -> Result<Outcome, Failure> {
    let mut codes = codes(context)?;
    if let Some(model) = model {
        codes.retain(|code| code.model.eq_ignore_ascii_case(model));
    }
    if context.json {
        context
            .ui
            .raw(&json::document(render::codes_json(&codes)))?;
    } else {
        context
            .ui
            .show(&render::list(&context.knowledge()?, &codes))?;
    }
    Ok(if codes.is_empty() {
        Outcome::No
    } else {
        Outcome::Done
    })
}

fn remove(shown: &str, model: &str, context: &Context) -> Result<Outcome, Failure> {
    let removed = context
        .store_to_write()?
        .remove_code(shown, model, Timestamp::now())
        .map_err(|error| context.store_failure(&error))?;
    if !removed {
        let of = if model.is_empty() {
            String::new()
        } else {
            format!(" for {model}")
        };
        return Err(
            Failure::usage(format!("the code sheet has no \"{shown}\"{of}"))
                .next("whytrip code list    (give --model as it stands there)"),
        );
    }
    if context.json {
        context.ui.raw(&json::document(render::codes_json(&[])))?;
    } else {
        context
            .ui
            .tell(&format!("\"{shown}\" was taken off the code sheet."));
    }
    Ok(Outcome::Done)
}

/// The columns of a sheet.
const COLUMNS: [&str; 4] = ["shown", "model", "class", "note"];

fn import(file: &std::path::Path, good_rows: bool, context: &Context) -> Result<Outcome, Failure> {
    let library = context.knowledge()?;
    let column = |name: &str| {
        COLUMNS.contains(&name).then_some(()).ok_or_else(|| {
            format!("a code sheet has no column \"{name}\"; its header is shown,model,class,note")
        })
    };
    let rows = sheet::read(file, column, |cells| from_cells(&library, cells), context)?;
    let rows = sheet::all_or_good(rows, good_rows)?;
    let changed = context
        .store_to_write()?
        .put_codes(&rows.good, Timestamp::now())
        .map_err(|error| context.store_failure(&error))?;
    let taken = SheetTaken::new(rows.good.len(), changed, rows.rejected);
    if context.json {
        context.ui.raw(&json::document(&taken))?;
    } else {
        context.ui.show(&upkeep::sheet_taken(&taken, "code"))?;
    }
    Ok(if rows.rejected == 0 {
        Outcome::Done
    } else {
        Outcome::No
    })
}

fn from_cells(library: &Library, mut cells: BTreeMap<String, String>) -> Result<Code, String> {
    let mut cell = |name: &str| cells.remove(name).unwrap_or_default();
    let entry = CodeEntry {
        shown: ScalarText(cell("shown")),
        model: ScalarText(cell("model")),
        class: cell("class"),
        note: cell("note"),
    };
    check_ids(library, Some(&entry.class), None).map_err(|failure| match failure.next {
        Some(next) => format!("{}; {next}", failure.message),
        None => failure.message,
    })?;
    Code::from_entry(entry).map_err(|error| error.to_string())
}

fn export(context: &Context) -> Result<Outcome, Failure> {
    let codes = codes(context)?;
    if context.json {
        context
            .ui
            .raw(&json::document(render::codes_json(&codes)))?;
        return Ok(Outcome::Done);
    }
    let rows = codes
        .iter()
        .map(|code| [&code.shown, &code.model, &code.class, &code.note]);
    let rows = rows.map(|row| row.map(|cell| csv_cell(cell).into_owned()));
    let header = COLUMNS.map(str::to_owned);
    context
        .ui
        .raw(&sheet::to_text(std::iter::once(header).chain(rows))?)?;
    Ok(Outcome::Done)
}
