//! `log restore`: a backup in the place of the log.

use std::path::PathBuf;

use jiff::Timestamp;

use crate::cli::context::Context;
use crate::cli::failure::{Failure, Outcome};
use crate::plant::SqliteStore;
use crate::render::doc::Document;
use crate::render::{json, upkeep as render};

/// Put a backup in the place of the log; a log that is there is kept beside it
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The backup
    #[arg(value_name = "FILE")]
    from: PathBuf,
    /// Put it in the place of a log that is there
    #[arg(long)]
    replace: bool,
}

pub fn run(args: &Args, context: &Context) -> Result<Outcome, Failure> {
    if !args.from.exists() {
        return Err(
            Failure::usage(format!("there is no file {}", args.from.display()))
                .next("name a file that whytrip log backup wrote"),
        );
    }
    let path = context.log_file_in_its_folder()?;
    let restored = SqliteStore::restore(&path, &args.from, args.replace, Timestamp::now())
        .map_err(|error| context.store_failure(&error))?;
    if context.json {
        context
            .ui
            .raw(&json::document(render::restored_json(&restored)))?;
        return Ok(Outcome::Done);
    }
    let mut document = Document::new();
    document.text(format!(
        "The log holds {} again, from {}.",
        render::counted(restored.verified.incidents, "incident"),
        args.from.display()
    ));
    if let Some(kept) = &restored.kept {
        document.text(format!(
            "What was there before is kept in {}.",
            kept.display()
        ));
    }
    context.ui.show(&document)?;
    Ok(Outcome::Done)
}
