//! `drive`: the plant's drives with their nameplates; one file a subcommand.

mod add;
mod columns;
mod edit;
mod export;
mod import;
mod labels;
mod list;
mod show;

use crate::cli::context::Context;
use crate::cli::failure::{Failure, Outcome};

#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:
  whytrip drive add conveyor-3 supply_voltage=400V motor_rated_current=3.2A
  whytrip drive add --file drives.yaml
  whytrip drive import drives.csv
  whytrip drive list
  whytrip drive labels --address http://192.0.2.10:8140 > labels.html
  whytrip walk motor-overload --drive conveyor-3")]
pub struct Args {
    #[command(subcommand)]
    command: Sub,
}

#[derive(Debug, clap::Subcommand)]
enum Sub {
    Add(add::Args),
    Edit(edit::Args),
    List(list::Args),
    Show(show::Args),
    Import(import::Args),
    Export(export::Args),
    Labels(labels::Args),
}

pub fn run(args: Args, context: &Context) -> Result<Outcome, Failure> {
    match args.command {
        Sub::Add(args) => add::run(&args, context),
        Sub::Edit(args) => edit::run(&args, context),
        Sub::List(_) => list::run(context),
        Sub::Show(args) => show::run(&args, context),
        Sub::Import(args) => import::run(&args, context),
        Sub::Export(args) => export::run(&args, context),
        Sub::Labels(args) => labels::run(&args, context),
    }
}
