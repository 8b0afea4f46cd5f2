//! `log reopen`: an incident that is not settled after all.

use jiff::Timestamp;

use super::{amend, logged};
use crate::cli::context::Context;
use crate::cli::failure::{Failure, Outcome};
use crate::plant::{Logged, Store};

/// Open an incident again: its cause no longer counts, and the notes say what it was taken for.
/// One that was marked wrong counts again instead
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Its number, or the beginning of its id
    which: String,
    /// Why it is open again
    #[arg(long, value_name = "TEXT", default_value = "")]
    why: String,
}

pub fn run(args: &Args, context: &Context) -> Result<Outcome, Failure> {
    let before = logged(&args.which, context)?.incident;
    let was_wrong = before.wrong.is_some();
    let incident = before
        .reopened(Timestamp::now(), &args.why)
        .map_err(|error| Failure::usage(error.to_string()))?;
    let number = context
        .store_to_write()?
        .amend_incident(&incident)
        .map_err(|error| context.store_failure(&error))?;
    let what = if was_wrong {
        "is no longer marked wrong"
    } else {
        "is open again"
    };
    amend::tell(&Logged { number, incident }, what, context)
}
