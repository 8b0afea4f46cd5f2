//! `log wrong`: a record that must not count.

use jiff::Timestamp;

use super::which;
use crate::cli::context::Context;
use crate::cli::failure::{Failure, Outcome};
use crate::plant::Store;
use crate::render::doc::Document;
use crate::render::{json, log as render};

/// Mark a record as wrong: it stays, and no longer counts
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Its number, or the beginning of its id
    which: String,
    /// Why it is wrong
    #[arg(long, value_name = "TEXT")]
    why: String,
}

pub fn run(args: &Args, context: &Context) -> Result<Outcome, Failure> {
    let which = which(&args.which)?;
    let mut store = context.store_to_write()?;
    let logged = store
        .mark_wrong(&which, &args.why, Timestamp::now())
        .map_err(|error| context.store_failure(&error))?;
    if context.json {
        context
            .ui
            .raw(&json::document(render::logged_json(&logged)))?;
        return Ok(Outcome::Done);
    }
    let mut document = Document::new();
    document.text(format!(
        "Incident {} is marked wrong: it stays in the log and no longer counts.",
        logged.number
    ));
    context.ui.show(&document)?;
    Ok(Outcome::Done)
}
