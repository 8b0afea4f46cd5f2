//! `completions`: shell completions, made from the same definitions as the help.

use std::collections::BTreeSet;

use clap::builder::PossibleValuesParser;
use clap_complete::Shell;

use crate::checks;
use crate::cli::context::Context;
use crate::cli::failure::{Failure, Outcome};

#[derive(Debug, clap::Args)]
pub struct Args {
    /// Which shell
    shell: Shell,
}

pub fn run(args: Args, context: &Context, command: &mut clap::Command) -> Result<Outcome, Failure> {
    let mut script = Vec::new();
    let mut command = with_check_words(command.clone());
    clap_complete::generate(args.shell, &mut command, "whytrip", &mut script);
    let mut script = String::from_utf8_lossy(&script).into_owned();
    if args.shell == Shell::Fish {
        script.push_str(&fish_words());
    }
    context.ui.raw(&script)?;
    Ok(Outcome::Done)
}

/// The names of checks and inputs, for the script only: the command itself answers a wrong name with
/// the nearest one.
fn with_check_words(command: clap::Command) -> clap::Command {
    // What a command takes is put together late, so its words come in there.
    command.mut_subcommand("check", |check| {
        check.defer(|check| {
            let check = <super::check::Args as clap::Args>::augment_args(check);
            let names: Vec<&str> = checks::all().map(|check| check.name).collect();
            // The parser keeps its words for good; the program ends right after.
            let assignments: Vec<&'static str> = assignments()
                .into_iter()
                .map(|assignment| &*assignment.leak())
                .collect();
            check
                .mut_arg("name", |name| {
                    name.value_parser(PossibleValuesParser::new(names))
                })
                .mut_arg("inputs", |all| {
                    all.value_parser(PossibleValuesParser::new(assignments))
                })
        })
    })
}

/// Every input of every check, ready for its value.
fn assignments() -> BTreeSet<String> {
    checks::all()
        .flat_map(|check| check.inputs)
        .map(|input| format!("{}=", input.name))
        .collect()
}

/// The same words for a shell whose generator leaves out what stands without a dash.
fn fish_words() -> String {
    let names = checks::all().map(|check| check.name.to_owned());
    let words: Vec<String> = names.chain(assignments()).collect();
    format!(
        "complete -c whytrip -n \"__fish_whytrip_using_subcommand check\" -f -a \"{}\"\n",
        words.join(" ")
    )
}
