//! `knowledge`: check a folder of knowledge files, report what is covered, begin a new class.

mod check;
mod new;

use std::path::PathBuf;

use crate::cli::context::Context;
use crate::cli::failure::{Failure, Outcome};

#[derive(Debug, clap::Args)]
pub struct Args {
    #[command(subcommand)]
    command: Sub,
}

#[derive(Debug, clap::Subcommand)]
enum Sub {
    /// Check knowledge files: every problem comes with file, line and remedy, then every gap
    ///
    /// Exit code 3: a file is wrong. Exit code 1: the files are right, but something is missing.
    Check {
        /// The folder, with classes/, causes/ and questions/ in it; without one, what is built in
        folder: Option<PathBuf>,
        /// The folder stands by itself instead of over the built-in knowledge
        #[arg(long, requires = "folder")]
        alone: bool,
        /// Recorded cases, <class>/<cause>.yaml: each must end in its cause, and each class needs one
        #[arg(long, value_name = "DIR")]
        walks: Option<PathBuf>,
    },
    /// Begin something new
    New {
        #[command(subcommand)]
        what: What,
    },
}

#[derive(Debug, clap::Subcommand)]
enum What {
    /// Begin a fault class: three files with everything that has to be written, explained
    Class {
        /// Its id: what it is in lower-case words joined by hyphens
        id: String,
        /// The folder that gets classes/, causes/ and questions/
        #[arg(long, value_name = "DIR", default_value = ".")]
        dir: PathBuf,
    },
}

pub fn run(args: Args, context: &Context) -> Result<Outcome, Failure> {
    match args.command {
        Sub::Check {
            folder,
            alone,
            walks,
        } => check::run(folder.as_deref(), alone, walks.as_deref(), context),
        Sub::New {
            what: What::Class { id, dir },
        } => new::class(&id, &dir, context),
    }
}
