//! `drive list`: all drives.

use crate::cli::context::Context;
use crate::cli::failure::{Failure, Outcome};
use crate::plant::Store;
use crate::render::{drive as render, json};

/// List the drives
#[derive(Debug, clap::Args)]
pub struct Args {}

pub fn run(context: &Context) -> Result<Outcome, Failure> {
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
