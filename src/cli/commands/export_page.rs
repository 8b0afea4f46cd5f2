//! `export-page`: everything as one HTML file for a phone, without any network.

use std::ffi::OsString;
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

use jiff::Zoned;

use crate::cli::context::Context;
use crate::cli::failure::{Failure, Outcome};
use crate::offline::{Contents, page};
use crate::plant::Store;
use crate::render::{json, upkeep};

/// Write everything as one HTML page that a phone opens from its own storage
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:
  whytrip export-page whytrip.html
  whytrip export-page whytrip.html --force
  whytrip --knowledge mine export-page ours.html
  whytrip export-page ours.html --drives
  whytrip export-page - | gzip > whytrip.html.gz

The page holds every fault class, cause, question, decision tree, check, caution
and source. It works with scripts switched off; with them it searches and
computes as well. It asks no network for anything and keeps nothing typed.
The plant's log never goes in. Its drives go in only with --drives: a phone
gets lost.")]
pub struct Args {
    /// The file to write, such as whytrip.html; - is standard output
    #[arg(value_name = "FILE")]
    to: PathBuf,
    /// Put the new page in place of a file that is there already
    #[arg(long)]
    force: bool,
    /// Put in the drives of the register, with nameplates and expected readings
    #[arg(long)]
    drives: bool,
}

pub fn run(args: &Args, context: &Context) -> Result<Outcome, Failure> {
    let library = context.knowledge()?;
    let to_file = args.to != Path::new("-");
    if to_file && !args.force && args.to.exists() {
        return Err(there_already(&args.to));
    }
    let drives = match args.drives {
        true => drives(context)?,
        false => Vec::new(),
    };
    context
        .ui
        .progress("planning the trees of all fault classes; this takes some seconds");
    let made = Zoned::now().date().to_string();
    let page = page(&Contents {
        library: &library,
        made: &made,
        drives: &drives,
    })
    .map_err(|error| Failure::data(error.to_string()).next("whytrip knowledge check DIR"))?;
    if !to_file {
        context.ui.raw(&page)?;
        return Ok(Outcome::Done);
    }
    write(&args.to, page.as_bytes(), args.force)?;
    if context.json {
        context
            .ui
            .raw(&json::document(upkeep::file_json(&args.to)))?;
    } else {
        context.ui.tell(&format!(
            "{} is written, {:.1} MB. Copy it to the phone and open it there.",
            args.to.display(),
            page.len() as f64 / 1e6
        ));
    }
    Ok(Outcome::Done)
}

fn drives(context: &Context) -> Result<Vec<crate::plant::Drive>, Failure> {
    let drives = match context.store_to_read()? {
        Some(store) => store
            .drives()
            .map_err(|error| context.store_failure(&error))?,
        None => Vec::new(),
    };
    match drives.is_empty() {
        true => Err(Failure::usage("the register has no drives to put in")
            .next("whytrip drive add --file FILE, or leave out --drives")),
        false => Ok(drives),
    }
}

fn there_already(path: &Path) -> Failure {
    Failure::usage(format!("{} is there already", path.display()))
        .next("name another file, or put the new page in its place with --force")
}

/// Writes the page whole or not at all: a page that ends early would lack cautions.
fn write(path: &Path, page: &[u8], force: bool) -> Result<(), Failure> {
    let failed = |error: std::io::Error| {
        Failure::usage(format!("{} can't be written", path.display()))
            .because(error.to_string())
            .next("name a file in a folder that is there and may be written to")
    };
    let mut beside = OsString::from(path.as_os_str());
    beside.push(".part");
    let beside = PathBuf::from(beside);
    let written = || -> std::io::Result<()> {
        let mut file = fs::File::create(&beside)?;
        file.write_all(page)?;
        file.sync_all()?;
        match force {
            true => fs::rename(&beside, path),
            // Unlike a rename, a link never takes the place of another file.
            false => fs::hard_link(&beside, path)
                .or_else(|error| match error.kind() {
                    std::io::ErrorKind::AlreadyExists => Err(error),
                    _ if path.exists() => Err(std::io::ErrorKind::AlreadyExists.into()),
                    _ => fs::copy(&beside, path).map(|_| ()),
                })
                .and_then(|()| fs::remove_file(&beside)),
        }
    };
    let written = written();
    if written.is_err() {
        // Nothing is there to be cleaned up if it was never made.
        let _ = fs::remove_file(&beside);
    }
    written.map_err(|error| match error.kind() {
        std::io::ErrorKind::AlreadyExists => there_already(path),
        _ => failed(error),
    })
}
