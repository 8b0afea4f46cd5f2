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
    /// Wrap text at this many columns
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

#[derive(Debug, Subcommand)]
enum Command {
    Find(commands::find::Args),
    Show(commands::show::Args),
    Walk(commands::walk::Args),
    Tree(commands::tree::Args),
    Check(commands::check::Args),
    Decode(commands::decode::Args),
    Log(commands::log::Args),
    Drive(commands::drive::Args),
    Code(commands::code::Args),
    Knowledge(commands::knowledge::Args),
    ExportPage(commands::export_page::Args),
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
