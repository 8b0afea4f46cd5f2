//! `log`: the plant's incidents; one file a subcommand.

pub mod add;
mod amend;
mod ask;
mod backup;
mod export;
mod find;
mod import;
mod list;
mod merge;
mod reopen;
mod report;
mod restore;
mod show;
mod stats;
mod verify;
mod wrong;

use crate::cli::context::Context;
use crate::cli::failure::{Failure, Outcome};
use crate::knowledge::Library;
use crate::plant::{Logged, SqliteStore, Store, Which};

#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:
  whytrip log add --file incident.yaml
  whytrip log list --class ground-fault
  whytrip log show 17
  whytrip log amend 17 done=dried downtime_minutes=110
  whytrip log find trips after wash-down
  whytrip log stats --period 1y
  whytrip log report 17 --format html > hand-over.html
  whytrip log export --format csv > log.csv
  whytrip log backup /media/stick/log-2026-11-25.db")]
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
    Stats(stats::Args),
    Report(report::Args),
    Amend(amend::Args),
    Wrong(wrong::Args),
    Reopen(reopen::Args),
    Import(import::Args),
    Export(export::Args),
    Merge(merge::Args),
    Backup(backup::Args),
    Restore(restore::Args),
    Verify(verify::Args),
}

pub fn run(args: Args, context: &Context) -> Result<Outcome, Failure> {
    match args.command {
        Sub::Add(args) => add::run(&args, context),
        Sub::List(args) => list::run(args, context),
        Sub::Show(args) => show::run(&args, context),
        Sub::Find(args) => find::run(&args, context),
        Sub::Stats(args) => stats::run(args, context),
        Sub::Report(args) => report::run(args, context),
        Sub::Amend(args) => amend::run(&args, context),
        Sub::Wrong(args) => wrong::run(&args, context),
        Sub::Reopen(args) => reopen::run(&args, context),
        Sub::Import(args) => import::run(&args, context),
        Sub::Export(args) => export::run(&args, context),
        Sub::Merge(args) => merge::run(&args, context),
        Sub::Backup(args) => backup::run(&args, context),
        Sub::Restore(args) => restore::run(&args, context),
        Sub::Verify(args) => verify::run(&args, context),
    }
}

/// Which incident is meant by what was typed.
fn which(typed: &str) -> Result<Which, Failure> {
    typed
        .parse()
        .map_err(|error| Failure::usage(format!("{error}")).next("whytrip log list"))
}

/// The log, which must be there.
fn existing(context: &Context) -> Result<SqliteStore, Failure> {
    context.store_to_read()?.ok_or_else(|| {
        Failure::usage("there is no log yet").next("whytrip log add, or whytrip log import FILE")
    })
}

/// One incident of the log.
///
/// # Errors
/// When there is no log, no such incident, or what names it is neither number nor id.
pub fn logged(typed: &str, context: &Context) -> Result<Logged, Failure> {
    let which = which(typed)?;
    existing(context)?
        .incident(&which)
        .map_err(|error| context.store_failure(&error))
}

/// A class and a cause must be known; what fits none is written as a note.
pub fn check_ids(
    library: &Library,
    class: Option<&str>,
    cause: Option<&str>,
) -> Result<(), Failure> {
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
