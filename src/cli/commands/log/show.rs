//! `log show`: one incident as a sheet.

use super::which;
use crate::cli::context::Context;
use crate::cli::failure::{Failure, Outcome};
use crate::plant::Store;
use crate::render::{json, log as render};

/// Show one incident as a sheet
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Its number, or the beginning of its id
    which: String,
}

pub fn run(args: &Args, context: &Context) -> Result<Outcome, Failure> {
    let which = which(&args.which)?;
    let Some(store) = context.store_to_read()? else {
        return Err(Failure::usage("there is no log yet").next("whytrip log add --file FILE"));
    };
    let logged = store
        .incident(&which)
        .map_err(|error| context.store_failure(&error))?;
    if context.json {
        context
            .ui
            .raw(&json::document(render::logged_json(&logged)))?;
    } else {
        context
            .ui
            .show(&render::sheet(&context.knowledge()?, &logged))?;
    }
    Ok(Outcome::Done)
}
