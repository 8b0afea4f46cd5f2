//! `drive show`: one drive with its nameplate.

use crate::cli::context::Context;
use crate::cli::failure::{Failure, Outcome};
use crate::render::{drive as render, json};

/// Show one drive with its nameplate
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Its id
    id: String,
}

pub fn run(args: &Args, context: &Context) -> Result<Outcome, Failure> {
    let drive = context.drive(&args.id)?;
    if context.json {
        context
            .ui
            .raw(&json::document(render::drive_json(&drive)))?;
    } else {
        context.ui.show(&render::drive(&drive))?;
    }
    Ok(Outcome::Done)
}
