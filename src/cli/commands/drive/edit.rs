//! `drive edit`: the next revision of a drive.

use jiff::Timestamp;

use super::columns::{change, from_cells, to_cells};
use crate::cli::context::Context;
use crate::cli::failure::{Failure, Outcome};
use crate::plant::Store;
use crate::render::{drive as render, json};

/// Change texts and values of a drive
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:
  whytrip drive edit conveyor-3 place=\"Line 2, panel 4\" motor_rated_current=3.4A
  whytrip drive edit conveyor-3 brake_resistance=    (takes the value away)")]
pub struct Args {
    /// Its id
    id: String,
    /// Texts and values: name, place, duty, model, notes, supply_voltage …
    #[arg(value_name = "NAME=VALUE", required = true)]
    changes: Vec<String>,
}

pub fn run(args: &Args, context: &Context) -> Result<Outcome, Failure> {
    let before = context.drive(&args.id)?;
    let mut cells = to_cells(&before);
    change(&mut cells, &args.changes)?;
    let drive = from_cells(cells).map_err(Failure::usage)?;
    if !drive.id.eq_ignore_ascii_case(&before.id) {
        return Err(
            Failure::usage("the id of a drive stays: incidents are logged under it")
                .next(format!("whytrip drive add {} NAME=VALUE", drive.id)),
        );
    }
    let changed = context
        .store_to_write()?
        .put_drives(std::slice::from_ref(&drive), Timestamp::now())
        .map_err(|error| context.store_failure(&error))?;
    if context.json {
        context
            .ui
            .raw(&json::document(render::drive_json(&drive)))?;
        return Ok(Outcome::Done);
    }
    if changed == 0 {
        context
            .ui
            .tell("Nothing was changed: it stands so already.");
    }
    context.ui.show(&render::drive(&drive))?;
    Ok(Outcome::Done)
}
