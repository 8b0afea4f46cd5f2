//! `find`: what the drive shows or does, in the user's own words, to ranked classes and causes.

use std::io::BufRead;
use std::mem::ManuallyDrop;

use crate::builtin;
use crate::cli::context::Context;
use crate::cli::failure::{Failure, Outcome};
use crate::diagnosis::catalogue::BuiltInChecks;
use crate::knowledge::Library;
use crate::plant::{Code, CodeMatch, Store};
use crate::render::found::{self as render, Here};
use crate::render::json;
use crate::search::{Found, SearchError, Searcher};

#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:
  whytrip find trips when it slows down, bus volts high
  whytrip find earth fault after wash down
  whytrip find 3210h --json
  whytrip find --stdin < queries.txt

Typos, abbreviations and German, Spanish, French, Italian or Portuguese words
are understood. Exit code 1 means that nothing matches.")]
pub struct Args {
    /// What it shows, what it does, when
    words: Vec<String>,
    /// At most so many hits
    #[arg(long, default_value_t = 5, value_name = "N", value_parser = clap::builder::RangedU64ValueParser::<usize>::new().range(1..))]
    limit: usize,
    /// Answer one query a line from standard input, one JSON document a line
    #[arg(long, conflicts_with = "words")]
    stdin: bool,
    /// The drive it is about: what happened to it before leads
    #[arg(long, value_name = "ID")]
    drive: Option<String>,
}

/// Most incidents of the plant that are shown with an answer.
const INCIDENTS: usize = 3;

pub fn run(args: Args, context: &Context) -> Result<Outcome, Failure> {
    // The program ends with the answer: nothing is gained by taking apart what it has read.
    let library = ManuallyDrop::new(context.knowledge()?);
    let searcher = searcher(&library, context)?;
    if args.stdin {
        return answer_lines(&searcher, args.limit, context);
    }
    let mut words = args.words.join(" ");
    if words.trim().is_empty() {
        if context.json || !context.ui.is_interactive() {
            return Err(Failure::usage("what should be found?")
                .next("whytrip find trips when it slows down, bus volts high"));
        }
        words = context
            .ui
            .ask("What does the drive show, or what is it doing? ")?
            .unwrap_or_default();
    }
    context.note_unknown_drive(args.drive.as_deref());
    let mut found = searcher.find(&words, args.limit).map_err(broken)?;
    let here = known_here(&words, args.drive.as_deref(), &mut found, context);
    if context.json {
        context
            .ui
            .raw(&json::document(render::json(&words, &found, &here)))?;
    } else {
        context
            .ui
            .show(&render::answer(&library, &words, &found, &here))?;
    }
    Ok(if found.hits.is_empty() && here.is_empty() {
        Outcome::No
    } else {
        Outcome::Done
    })
}

/// The searcher over what is built in, or over the plant's own knowledge as well.
///
/// # Errors
/// When the index is damaged.
pub fn searcher<'l>(library: &'l Library, context: &Context) -> Result<Searcher<'l>, Failure> {
    let opened = if context.has_overlay() {
        Searcher::over(library, &BuiltInChecks)
    } else {
        builtin::searcher(library)
    };
    opened.map_err(broken)
}

fn broken(error: SearchError) -> Failure {
    Failure::data(error.to_string())
}

/// What the plant itself knows. A log that can't be read must not stop the answer: it is told.
fn known_here(words: &str, drive: Option<&str>, found: &mut Found, context: &Context) -> Here {
    let looked = context.store_to_read().and_then(|store| {
        let Some(store) = store else {
            return Ok((Vec::new(), Vec::new()));
        };
        let with_drive = format!("{words} {}", drive.unwrap_or(""));
        store
            .codes()
            .and_then(|codes| Ok((codes, store.search(&with_drive, INCIDENTS)?)))
            .map_err(|error| context.store_failure(&error))
    });
    let (codes, incidents) = looked.unwrap_or_else(|failure| {
        context
            .ui
            .note(&format!("note: the log was left out: {}", failure.message));
        Default::default()
    });
    Here::known(words, drive, &codes, incidents, found)
}

/// The plant's codes that stand in these words.
pub fn plant_codes(words: &str, context: &Context) -> Vec<CodeMatch> {
    let store = context.store_to_read().ok().flatten();
    let codes = store.and_then(|store| store.codes().ok());
    Code::matching(&codes.unwrap_or_default(), words)
}

fn answer_lines(
    searcher: &Searcher<'_>,
    limit: usize,
    context: &Context,
) -> Result<Outcome, Failure> {
    let mut any = false;
    let store = context.store_to_read().unwrap_or_else(|failure| {
        context
            .ui
            .note(&format!("note: the log was left out: {}", failure.message));
        None
    });
    let codes = store
        .and_then(|store| store.codes().ok())
        .unwrap_or_default();
    // A byte that is no text spoils its word, not the lines behind it.
    for line in std::io::stdin().lock().split(b'\n') {
        let line = line?;
        let line = String::from_utf8_lossy(&line);
        let line = line.strip_suffix('\r').unwrap_or(&line);
        let mut found: Found = searcher.find(line, limit).map_err(broken)?;
        let here = Here::known(line, None, &codes, Vec::new(), &mut found);
        any |= !found.hits.is_empty() || !here.is_empty();
        context
            .ui
            .raw(&json::line(render::json(line, &found, &here)))?;
    }
    Ok(if any { Outcome::Done } else { Outcome::No })
}
