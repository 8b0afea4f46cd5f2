//! `log verify`: a look through the whole log for damage.

use super::existing;
use crate::cli::context::Context;
use crate::cli::failure::{Failure, Outcome};
use crate::render::doc::Document;
use crate::render::{json, upkeep as render};

/// Look through the whole log for damage; nothing is changed
#[derive(Debug, clap::Args)]
pub struct Args {}

pub fn run(_: &Args, context: &Context) -> Result<Outcome, Failure> {
    let store = existing(context)?;
    context.ui.progress("Reading every record …");
    let verified = store
        .verify()
        .map_err(|error| context.store_failure(&error))?;
    if context.json {
        context
            .ui
            .raw(&json::document(render::verified_json(verified)))?;
        return Ok(Outcome::Done);
    }
    let mut document = Document::new();
    document.text(format!(
        "The log is sound: {}, {}, each as it was written.",
        render::counted(verified.incidents, "incident"),
        render::counted(verified.revisions, "revision")
    ));
    context.ui.show(&document)?;
    Ok(Outcome::Done)
}
