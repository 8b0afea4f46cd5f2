//! `log`: the plant's incidents; one file a subcommand.

pub mod add;
mod find;
mod list;
mod show;
mod wrong;

use crate::cli::context::Context;
use crate::cli::failure::{Failure, Outcome};
use crate::knowledge::Library;
use crate::plant::Which;

/// Keep and look up the plant's incidents
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:
  whytrip log add --file incident.yaml
  whytrip log list --class ground-fault
  whytrip log show 17
  whytrip log find trips after wash-down")]
pub struct Args {
    #[command(subcommand)]
    command: Sub,
}

#[derive(Debug, clap::Subcommand)]
enum Sub {
    Add(add::Args),
    List(list::Args),
    Show(show::Args),
    Find(find::Args),
    Wrong(wrong::Args),
}

pub fn run(args: Args, context: &Context) -> Result<Outcome, Failure> {
    match args.command {
        Sub::Add(args) => add::run(&args, context),
        Sub::List(args) => list::run(args, context),
        Sub::Show(args) => show::run(&args, context),
        Sub::Find(args) => find::run(&args, context),
        Sub::Wrong(args) => wrong::run(&args, context),
    }
}

/// Which incident is meant by what was typed.
fn which(typed: &str) -> Result<Which, Failure> {
    typed
        .parse()
        .map_err(|error| Failure::usage(format!("{error}")).next("whytrip log list"))
}

/// A class and a cause must be known; what fits none is written as a note.
fn check_ids(library: &Library, class: Option<&str>, cause: Option<&str>) -> Result<(), Failure> {
    if let Some(class) = class
        && library.class(class).is_none()
    {
        let failure = Failure::usage(format!("there is no fault class \"{class}\""));
        return Err(match library.nearest_class(class) {
            Some(near) => failure.next(format!("did you mean {near}?")),
            None => failure.next("whytrip show    (lists the fault classes)"),
        });
    }
    if let Some(cause) = cause
        && cause != crate::diagnosis::case::SOMETHING_ELSE_ID
        && library.cause(cause).is_none()
    {
        let failure = Failure::usage(format!("there is no cause \"{cause}\""));
        return Err(match library.nearest_id(cause) {
            Some(near) => {
                failure.next(format!("did you mean {near}? If none fits, use cause_note"))
            }
            None => failure.next("write it in words as cause_note"),
        });
    }
    Ok(())
}
