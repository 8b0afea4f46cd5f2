//! `log find`: incidents by words.

use crate::cli::context::Context;
use crate::cli::failure::{Failure, Outcome};
use crate::plant::Store;
use crate::render::{json, log as render};

/// Find incidents by words
#[derive(Debug, clap::Args)]
pub struct Args {
    /// What was seen, found or done
    #[arg(required = true)]
    words: Vec<String>,
    /// At most so many
    #[arg(long, default_value_t = 10, value_name = "N")]
    limit: usize,
}

pub fn run(args: &Args, context: &Context) -> Result<Outcome, Failure> {
    let words = args.words.join(" ");
    let found = match context.store_to_read()? {
        Some(store) => store
            .search(&words, args.limit)
            .map_err(|error| context.store_failure(&error))?,
        None => Vec::new(),
    };
    if context.json {
        context
            .ui
            .raw(&json::document(render::found_json(&words, &found)))?;
    } else {
        context
            .ui
            .show(&render::found(&context.knowledge()?, &words, &found))?;
    }
    Ok(if found.is_empty() {
        Outcome::No
    } else {
        Outcome::Done
    })
}
