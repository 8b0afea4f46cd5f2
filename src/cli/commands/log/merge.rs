//! `log merge`: what another log has and this one hasn't.

use std::path::PathBuf;

use jiff::Timestamp;

use crate::cli::context::Context;
use crate::cli::failure::{Failure, Outcome};
use crate::plant::{OnConflict, Pages, Refused, SqliteStore, Store};
use crate::render::{json, upkeep as render};

/// Take in what another log has and this one has not: incidents, drives and codes
#[derive(Debug, clap::Args)]
#[command(
    after_help = "The other log is only read. What both have and what differs stays as it is here
and is shown; exit code 1 says that there was such a thing. Running numbers may
differ between logs, ids never do."
)]
pub struct Args {
    /// The other log, or a backup of it
    other: PathBuf,
}

pub fn run(args: &Args, context: &Context) -> Result<Outcome, Failure> {
    let now = Timestamp::now();
    let unusable = |error: &crate::plant::StoreError| context.store_failure(error);
    let other = SqliteStore::open_existing(&args.other, now)
        .map_err(|error| unusable(&error))?
        .ok_or_else(|| Failure::usage(format!("there is no log {}", args.other.display())))?;
    let mut failure = None;
    let mut store = context.store_to_write()?;
    let mut revisions = Pages::of(&other, false).map(|logged| {
        logged.map(|logged| logged.incident).map_err(|error| {
            failure = Some(error);
            Refused
        })
    });
    let result = store.unite(&mut revisions, OnConflict::KeepOurs);
    drop(revisions);
    if let Some(error) = failure {
        return Err(unusable(&error));
    }
    let united = result.map_err(|error| unusable(&error))?;
    let sheets = sheets(&other, &mut store, now).map_err(|error| unusable(&error))?;
    if context.json {
        context
            .ui
            .raw(&json::document(render::merged_json(&united, &sheets)))?;
    } else {
        context.ui.show(&render::merged(&united, &sheets))?;
    }
    Ok(if united.conflicts.is_empty() && sheets.differ.is_empty() {
        Outcome::Done
    } else {
        Outcome::No
    })
}

/// Takes in the drives and codes that are missing here.
fn sheets(
    other: &SqliteStore,
    store: &mut SqliteStore,
    now: Timestamp,
) -> Result<render::Sheets, crate::plant::StoreError> {
    let mut sheets = render::Sheets::default();
    let mut drives = Vec::new();
    for drive in other.drives()? {
        match store.drive(&drive.id)? {
            None => drives.push(drive),
            Some(ours) if ours != drive => sheets.differ.push(format!("drive {}", drive.id)),
            Some(_) => {}
        }
    }
    sheets.drives = store.put_drives(&drives, now)?;
    let ours = store.codes()?;
    let mut codes = Vec::new();
    for code in other.codes()? {
        match ours.iter().find(|ours| ours.is_for_the_same(&code)) {
            None => codes.push(code),
            Some(ours) if *ours != code => sheets.differ.push(format!("code {}", code.shown)),
            Some(_) => {}
        }
    }
    sheets.codes = store.put_codes(&codes, now)?;
    Ok(sheets)
}
