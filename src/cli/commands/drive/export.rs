//! `drive export`: the register as a table or a list.

use std::collections::BTreeMap;

use super::columns::to_cells;
use crate::cli::context::Context;
use crate::cli::failure::{Failure, Outcome};
use crate::cli::sheet;
use crate::plant::Store;
use crate::plant::register::{TEXTS, USUAL};
use crate::plant::text::csv_cell;
use crate::render::{drive as render, json};

/// Write the drives as CSV, with a column for every usual value, or as JSON
#[derive(Debug, clap::Args)]
pub struct Args {
    /// How to write them
    #[arg(long, value_enum, default_value_t, value_name = "FORM")]
    format: Form,
}

/// The forms by their names.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum)]
enum Form {
    /// A table for a spreadsheet, which drive import reads
    #[default]
    Csv,
    /// A list, which drive add --file reads
    Json,
}

pub fn run(args: &Args, context: &Context) -> Result<Outcome, Failure> {
    let drives = match context.store_to_read()? {
        Some(store) => store
            .drives()
            .map_err(|error| context.store_failure(&error))?,
        None => Vec::new(),
    };
    if args.format == Form::Json || context.json {
        let text = if context.json {
            json::document(render::drives_json(&drives))
        } else {
            json::list(&drives)
        };
        context.ui.raw(&text)?;
        return Ok(Outcome::Done);
    }
    let cells: Vec<BTreeMap<String, String>> = drives.iter().map(to_cells).collect();
    let mut columns: Vec<&str> = TEXTS.iter().chain(&USUAL).copied().collect();
    for name in cells.iter().flat_map(BTreeMap::keys) {
        if !columns.contains(&name.as_str()) {
            columns.push(name);
        }
    }
    let header = columns.iter().map(|&column| column.to_owned()).collect();
    let rows = cells.iter().map(|row| -> Vec<String> {
        let cell = |column: &&str| row.get(*column).map_or("", String::as_str);
        columns
            .iter()
            .map(|column| csv_cell(cell(column)).into_owned())
            .collect()
    });
    context
        .ui
        .raw(&sheet::to_text(std::iter::once(header).chain(rows))?)?;
    Ok(Outcome::Done)
}
