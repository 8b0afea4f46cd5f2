//! `drive import`: drives from a CSV table.

use std::path::PathBuf;

use jiff::Timestamp;

use super::columns::{check_name, from_cells};
use crate::cli::context::Context;
use crate::cli::failure::{Failure, Outcome};
use crate::cli::sheet;
use crate::plant::Store;
use crate::render::json;
use crate::render::upkeep::{self, SheetTaken};

/// Take in drives from a CSV table: all rows or none
#[derive(Debug, clap::Args)]
#[command(
    after_help = "The header: id, then any of name, place, duty, model, notes and the names of
values (supply_voltage, motor_rated_current, brake_resistance …) in any order.
Values stand with their unit: 400 V. An empty cell leaves a value out.
For a table to fill in: whytrip drive export --format csv

Rows that can't be used are told one a line, and then nothing is taken in, so
that the file can be corrected and taken in again; --good-rows takes the others.
A drive that is there already is replaced; the same file again changes nothing."
)]
pub struct Args {
    /// The file (- for standard input)
    file: PathBuf,
    /// Take in the good rows even if others can't be used
    #[arg(long)]
    good_rows: bool,
}

pub fn run(args: &Args, context: &Context) -> Result<Outcome, Failure> {
    let rows = sheet::read(&args.file, check_name, from_cells, context)?;
    let rows = sheet::all_or_good(rows, args.good_rows)?;
    let changed = context
        .store_to_write()?
        .put_drives(&rows.good, Timestamp::now())
        .map_err(|error| context.store_failure(&error))?;
    let taken = SheetTaken::new(rows.good.len(), changed, rows.rejected);
    if context.json {
        context.ui.raw(&json::document(&taken))?;
    } else {
        context.ui.show(&upkeep::sheet_taken(&taken, "drive"))?;
    }
    Ok(if rows.rejected == 0 {
        Outcome::Done
    } else {
        Outcome::No
    })
}
