//! `completions`: shell completions, made from the same definitions as the help.

use clap_complete::Shell;

use crate::cli::context::Context;
use crate::cli::failure::{Failure, Outcome};

/// Print completions for a shell
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Which shell
    shell: Shell,
}

pub fn run(args: Args, context: &Context, command: &mut clap::Command) -> Result<Outcome, Failure> {
    let mut script = Vec::new();
    clap_complete::generate(args.shell, command, "whytrip", &mut script);
    context.ui.raw(&String::from_utf8_lossy(&script))?;
    Ok(Outcome::Done)
}
