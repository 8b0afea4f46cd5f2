//! `log add`: an incident from a file or from what is asked.

use std::path::{Path, PathBuf};

use jiff::Timestamp;
use jiff::tz::TimeZone;

use super::check_ids;
use crate::cli::context::{Context, read_text};
use crate::cli::failure::{Failure, Outcome};
use crate::knowledge::load::parse;
use crate::knowledge::{Library, SourceFile};
use crate::plant::{Birth, Entry, Incident, Store};
use crate::render::doc::{Document, code, plain};
use crate::render::{json, log as render};

/// Record an incident from a YAML or JSON file, or by answering questions
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The file, one incident (- for standard input)
    #[arg(long, value_name = "FILE")]
    file: Option<PathBuf>,
}

pub fn run(args: &Args, context: &Context) -> Result<Outcome, Failure> {
    add(args.file.as_deref(), context)
}

fn add(file: Option<&Path>, context: &Context) -> Result<Outcome, Failure> {
    let library = context.knowledge()?;
    let entry = match file {
        Some(file) => {
            let source = SourceFile {
                name: file.display().to_string(),
                text: read_text(file)?,
            };
            parse::<Entry>(&source).map_err(|problem| {
                Failure::usage(format!("the incident can't be read\n{problem}"))
                    .next("whytrip log add --help, or see examples/tarn-hollow/incidents")
            })?
        }
        None => ask_entry(&library, context)?,
    };
    record(&library, entry, context)
}

/// Records an entry and tells its number.
fn record(library: &Library, entry: Entry, context: &Context) -> Result<Outcome, Failure> {
    check_ids(library, entry.class.as_deref(), entry.cause.as_deref())?;
    note_unknown_drive(entry.drive.as_deref(), context);
    let birth = Birth::at(Timestamp::now(), TimeZone::system());
    let incident =
        Incident::from_entry(&birth, entry).map_err(|error| Failure::usage(error.to_string()))?;
    store_and_tell(&incident, context)
}

/// Stores an incident and tells where it is.
pub fn store_and_tell(incident: &Incident, context: &Context) -> Result<Outcome, Failure> {
    let mut store = context.store_to_write()?;
    let added = store
        .add_incident(incident)
        .map_err(|error| context.store_failure(&error))?;
    if context.json {
        context
            .ui
            .raw(&json::document(render::recorded(added.number, incident)))?;
    } else {
        let mut document = Document::new();
        document.paragraph(vec![
            plain(format!("Logged incident {}. See it: ", added.number)),
            code(format!("whytrip log show {}", added.number)),
        ]);
        context.ui.show(&document)?;
    }
    Ok(Outcome::Done)
}

/// A drive that the register does not have is taken as the plant's own word, and told.
fn note_unknown_drive(drive: Option<&str>, context: &Context) {
    if let Some(id) = drive
        && context.drive(id).is_err()
        && context.has_drives()
    {
        context.ui.note(&format!(
            "note: the register has no drive \"{id}\"; see whytrip drive list"
        ));
    }
}

fn ask_entry(library: &Library, context: &Context) -> Result<Entry, Failure> {
    if !context.ui.is_interactive() {
        return Err(Failure::usage("what should be recorded?")
            .next("whytrip log add --file FILE    (- for standard input)"));
    }
    let ask = |prompt: &str| -> Result<Option<String>, Failure> {
        let answer = context
            .ui
            .ask(prompt)?
            .ok_or_else(|| Failure::interrupted("nothing was recorded"))?;
        let answer = answer.trim().to_owned();
        Ok((!answer.is_empty()).then_some(answer))
    };
    context
        .ui
        .note("Empty lines leave a field out. Ctrl-C records nothing.");
    let words = ask("What was seen? ")?;
    let display = ask("What did the drive show? ")?.map(crate::plant::ScalarText);
    let drive = ask("Which drive? ")?;
    let class = loop {
        let class = ask("Fault class (id)? ")?;
        match check_ids(library, class.as_deref(), None) {
            Ok(()) => break class,
            Err(failure) => context.ui.note(&failure.to_string()),
        }
    };
    let cause = loop {
        let cause = ask("Cause (id)? ")?;
        match check_ids(library, None, cause.as_deref()) {
            Ok(()) => break cause,
            Err(failure) => context.ui.note(&failure.to_string()),
        }
    };
    Ok(Entry {
        words,
        display,
        drive,
        class,
        cause,
        cause_note: ask("Cause in your own words? ")?,
        done: ask("What was done? ")?,
        proof: ask("What proved it? ")?,
        downtime_minutes: ask_minutes("How many minutes did the machine stand? ", context)?,
        who: ask("Initials? ")?,
        ..Entry::default()
    })
}

fn ask_minutes(prompt: &str, context: &Context) -> Result<Option<f64>, Failure> {
    loop {
        let Some(line) = context.ui.ask(prompt)? else {
            return Ok(None);
        };
        if line.trim().is_empty() {
            return Ok(None);
        }
        match line.trim().parse::<f64>() {
            Ok(minutes) if minutes >= 0.0 => return Ok(Some(minutes)),
            _ => context
                .ui
                .note("Type minutes as a number, such as 45, or nothing."),
        }
    }
}
