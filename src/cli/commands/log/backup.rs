//! `log backup`: a copy of the log while others use it.

use std::path::PathBuf;

use super::existing;
use crate::cli::context::Context;
use crate::cli::failure::{Failure, Outcome};
use crate::render::doc::{Document, code, plain};
use crate::render::{json, upkeep as render};

/// Copy the log, the drives and the code sheet to a new file, while others use it
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The file to write; it must not be there yet
    #[arg(value_name = "FILE")]
    to: PathBuf,
}

pub fn run(args: &Args, context: &Context) -> Result<Outcome, Failure> {
    let store = existing(context)?;
    store
        .backup(&args.to)
        .map_err(|error| context.store_failure(&error))?;
    if context.json {
        context
            .ui
            .raw(&json::document(render::file_json(&args.to)))?;
        return Ok(Outcome::Done);
    }
    let mut document = Document::new();
    document.paragraph(vec![
        plain(format!(
            "The log was copied to {}. Put it back: ",
            args.to.display()
        )),
        code(format!("whytrip log restore {}", args.to.display())),
    ]);
    context.ui.show(&document)?;
    Ok(Outcome::Done)
}
