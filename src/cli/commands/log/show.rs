//! `log show`: one incident as a sheet.

use super::{existing, which};
use crate::cli::context::Context;
use crate::cli::failure::{Failure, Outcome};
use crate::plant::{SAME_FAULT_DAYS, Store, StoreError, same_fault_before};
use crate::render::{json, log as render};

/// Show one incident as a sheet
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Its number, or the beginning of its id
    which: String,
    /// Show what each revision changed as well
    #[arg(long)]
    history: bool,
}

pub fn run(args: &Args, context: &Context) -> Result<Outcome, Failure> {
    let wanted = which(&args.which)?;
    let store = existing(context)?;
    let failed = |error: StoreError| context.store_failure(&error);
    let logged = store.incident(&wanted).map_err(failed)?;
    let before = same_fault_before(&store, &logged.incident, SAME_FAULT_DAYS).map_err(failed)?;
    let history = if args.history {
        store.revisions(&wanted).map_err(failed)?
    } else {
        Vec::new()
    };
    if context.json {
        context.ui.raw(&json::document(render::shown_json(
            &logged, &before, &history,
        )))?;
        return Ok(Outcome::Done);
    }
    let library = context.knowledge()?;
    let mut document = render::sheet(&library, &logged);
    if !before.is_empty() {
        document.append(render::same_fault(
            &library,
            &logged.incident,
            &before,
            SAME_FAULT_DAYS,
        ));
    }
    document.append(render::history(&history));
    context.ui.show(&document)?;
    Ok(Outcome::Done)
}
