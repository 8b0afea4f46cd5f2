//! The command line: arguments, streams, exit codes; one file a command.

mod commands;
mod context;
mod conversation;
mod facts_file;
mod failure;
mod format;
mod progress;
mod sheet;
mod ui;

use std::ffi::OsString;
use std::path::PathBuf;
use std::process::ExitCode;

use clap::{CommandFactory, Parser, Subcommand};

use context::Context;
use failure::{Failure, Outcome};
use ui::{Colour, Ui};

/// Find out why a variable-speed drive stopped: search what it shows, be walked to the cause by
/// measurements, record it.
#[derive(Debug, Parser)]
#[command(name = "whytrip", version, max_term_width = 80, after_help = EXAMPLES)]
struct Arguments {
    #[command(flatten)]
    common: Common,
    #[command(subcommand)]
    command: Option<Command>,
}

const EXAMPLES: &str = "Examples:
  whytrip find trips when it slows down, bus volts high
  whytrip walk dc-overvoltage-decelerating
  whytrip check bus-at-rest supply_voltage=400V bus_voltage=566V
  whytrip log list

Live and isolated steps are for qualified persons under the local rules.";

/// Options of every command.
#[derive(Debug, clap::Args)]
struct Common {
    /// Print one JSON document instead of text
    #[arg(long, global = true)]
    json: bool,
    /// When to use colours
    #[arg(long, global = true, value_enum, default_value_t, value_name = "WHEN")]
    color: Colour,
    /// Wrap text at this many columns, 30 to 80
    #[arg(long, global = true, value_name = "COLUMNS")]
    width: Option<usize>,
    /// Use only ASCII characters
    #[arg(long, global = true)]
    ascii: bool,
    /// Never ask; fail where an answer is missing
    #[arg(long, global = true)]
    no_input: bool,
    /// Folder of the plant's log and drives
    #[arg(long, global = true, value_name = "DIR", env = "WHYTRIP_DATA")]
    data: Option<PathBuf>,
    /// Folder of the plant's own knowledge, laid over the built-in
    #[arg(long, global = true, value_name = "DIR", env = "WHYTRIP_KNOWLEDGE")]
    knowledge: Option<PathBuf>,
}

/// Every command with its line in the help. What a command takes is put together only when it is
/// called: a start pays for one command, not for all.
#[derive(Debug, Subcommand)]
#[command(defer = true)]
enum Command {
    /// Find the fault class by what the drive shows or does, in your own words
    Find(commands::find::Args),
    /// Show a fault class, cause, question, check, caution or source
    Show(commands::show::Args),
    /// Be walked to the cause by questions, measurements and sums
    Walk(commands::walk::Args),
    /// Print the whole decision tree of a fault class
    Tree(commands::tree::Args),
    /// Compute one electrical check from readings and nameplate values
    Check(commands::check::Args),
    /// Decode a status word, control word or error code of an open drive profile
    Decode(commands::decode::Args),
    /// Keep and look up the plant's incidents
    Log(commands::log::Args),
    /// Keep the plant's drives with their nameplates
    Drive(commands::drive::Args),
    /// Keep the plant's own code sheet: what its drives show, and what it stands for
    Code(commands::code::Args),
    /// Check knowledge files, report what is covered, begin a new fault class
    Knowledge(commands::knowledge::Args),
    /// Serve the search, the walk, the checks and the log as pages for a browser
    Serve(commands::serve::Args),
    /// Write everything as one page that works on a phone without a network
    ExportPage(commands::export_page::Args),
    /// Print completions for a shell
    Completions(commands::completions::Args),
}

/// Runs the program with these arguments and says how it ended.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let parsed = match Arguments::try_parse_from(arguments) {
        Ok(parsed) => parsed,
        Err(error) => {
            // Help and version are answers, everything else is a usage error; clap knows which.
            let code = u8::try_from(error.exit_code()).unwrap_or(2);
            let _ = error.print();
            return ExitCode::from(code);
        }
    };
    let common = parsed.common;
    let ui = Ui::new(common.color, common.width, common.ascii, common.no_input);
    let context = Context::new(ui, common.json, common.data, common.knowledge);
    match dispatch(parsed.command, &context) {
        Ok(outcome) => outcome.into(),
        Err(failure) => {
            if failure.kind != failure::Kind::ClosedPipe {
                context.ui.note(&failure.to_string());
            }
            failure.exit_code()
        }
    }
}

fn dispatch(command: Option<Command>, context: &Context) -> Result<Outcome, Failure> {
    match command {
        Some(Command::Find(args)) => commands::find::run(args, context),
        Some(Command::Show(args)) => commands::show::run(args, context),
        Some(Command::Walk(args)) => commands::walk::run(args, context),
        Some(Command::Tree(args)) => commands::tree::run(args, context),
        Some(Command::Check(args)) => commands::check::run(args, context),
        Some(Command::Decode(args)) => commands::decode::run(args, context),
        Some(Command::Log(args)) => commands::log::run(args, context),
        Some(Command::Drive(args)) => commands::drive::run(args, context),
        Some(Command::Code(args)) => commands::code::run(args, context),
        Some(Command::Knowledge(args)) => commands::knowledge::run(args, context),
        Some(Command::Serve(args)) => commands::serve::run(&args, context),
        Some(Command::ExportPage(args)) => commands::export_page::run(&args, context),
        Some(Command::Completions(args)) => {
            commands::completions::run(args, context, &mut Arguments::command())
        }
        None => {
            let help = Arguments::command().render_help().to_string();
            context.ui.raw(&help)?;
            Ok(Outcome::Done)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The line of a command stands beside it in the list: beside its arguments it would come too late.
    #[test]
    fn the_help_says_what_every_command_is_for() {
        for command in Arguments::command().get_subcommands() {
            assert!(command.get_about().is_some(), "{}", command.get_name());
        }
    }

    #[test]
    fn every_command_takes_what_it_declares() {
        Arguments::command().debug_assert();
    }
}
