//! `log report`: one incident as a page to hand over.

use jiff::tz::TimeZone;

use super::{existing, which};
use crate::cli::context::Context;
use crate::cli::failure::{Failure, Outcome};
use crate::cli::format::PageFormat;
use crate::plant::{Filter, Logged, Store};
use crate::render::html::{PAGE_STYLE, to_styled_html};
use crate::render::report::{Report, document, title};
use crate::render::{json, log as render, markdown};

/// How many earlier incidents with the same cause are named.
const EARLIER: usize = 5;

/// One incident as a page to hand over
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:
  whytrip log report 17
  whytrip log report 17 --format html > hand-over.html")]
pub struct Args {
    /// Its number, or the beginning of its id
    which: String,
    /// How to write it
    #[arg(long, value_enum, default_value_t, value_name = "FORM")]
    format: PageFormat,
}

pub fn run(args: Args, context: &Context) -> Result<Outcome, Failure> {
    let which = which(&args.which)?;
    let store = existing(context)?;
    let failed = |error| context.store_failure(&error);
    let logged = store.incident(&which).map_err(failed)?;
    if context.json {
        context
            .ui
            .raw(&json::document(render::logged_json(&logged)))?;
        return Ok(Outcome::Done);
    }
    let drive = match &logged.incident.drive {
        Some(id) => store.drive(id).map_err(failed)?,
        None => None,
    };
    let report = Report {
        same_before: &same_before(&store, &logged).map_err(failed)?,
        logged: &logged,
        drive: drive.as_ref(),
        library: &context.knowledge()?,
        zone: &TimeZone::system(),
    };
    let page = document(&report);
    match args.format {
        PageFormat::Text => context.ui.show(&page)?,
        PageFormat::Markdown => context.ui.raw(&markdown::to_markdown(&page))?,
        PageFormat::Html => {
            context
                .ui
                .raw(&to_styled_html(&page, &title(&report), PAGE_STYLE))?;
        }
    }
    Ok(Outcome::Done)
}

/// Earlier incidents with the same cause at the same drive.
fn same_before(
    store: &impl Store,
    logged: &Logged,
) -> Result<Vec<Logged>, crate::plant::StoreError> {
    let incident = &logged.incident;
    let (Some(drive), Some(cause)) = (&incident.drive, &incident.cause) else {
        return Ok(Vec::new());
    };
    let all = store.incidents(&Filter {
        drive: Some(drive.clone()),
        cause: Some(cause.clone()),
        limit: usize::MAX,
        ..Filter::default()
    })?;
    Ok(all
        .into_iter()
        .filter(|one| one.incident.occurred_at < incident.occurred_at)
        .take(EARLIER)
        .collect())
}
