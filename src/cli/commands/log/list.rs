//! `log list`: incidents, newest first.

use super::check_ids;
use crate::cli::context::Context;
use crate::cli::failure::{Failure, Outcome};
use crate::plant::{Filter, Store};
use crate::render::{json, log as render};

/// List incidents, newest first
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Only this fault class
    #[arg(long, value_name = "ID")]
    class: Option<String>,
    /// Only this drive
    #[arg(long, value_name = "ID")]
    drive: Option<String>,
    /// Only this cause
    #[arg(long, value_name = "ID")]
    cause: Option<String>,
    /// Records that were marked wrong as well
    #[arg(long)]
    with_wrong: bool,
    /// At most so many
    #[arg(long, default_value_t = 50, value_name = "N")]
    limit: usize,
}

pub fn run(args: Args, context: &Context) -> Result<Outcome, Failure> {
    check_ids(
        &context.knowledge()?,
        args.class.as_deref(),
        args.cause.as_deref(),
    )?;
    let filter = Filter {
        class: args.class,
        drive: args.drive,
        cause: args.cause,
        with_wrong: args.with_wrong,
        limit: args.limit,
        ..Filter::default()
    };
    let logged = match context.store_to_read()? {
        Some(store) => store
            .incidents(&filter)
            .map_err(|error| context.store_failure(&error))?,
        None => Vec::new(),
    };
    if context.json {
        context
            .ui
            .raw(&json::document(render::list_json(&logged)))?;
    } else {
        context
            .ui
            .show(&render::list(&context.knowledge()?, &logged))?;
    }
    Ok(if logged.is_empty() {
        Outcome::No
    } else {
        Outcome::Done
    })
}
