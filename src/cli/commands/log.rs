//! `log`: the plant's incidents: add, list, show, find, mark wrong, count, report.

use std::path::{Path, PathBuf};

use jiff::Timestamp;
use jiff::tz::TimeZone;

use super::{log_report, log_stats};
use crate::cli::context::{Context, read_text};
use crate::cli::failure::{Failure, Outcome};
use crate::knowledge::load::parse;
use crate::knowledge::{Library, SourceFile};
use crate::plant::{Birth, Coding, Entry, Filter, Incident, Store, Which};
use crate::render::doc::{Document, code, plain};
use crate::render::{json, log as render};

/// Keep and look up the plant's incidents
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:
  whytrip log add --file incident.yaml
  whytrip log list --class ground-fault
  whytrip log show 17
  whytrip log find trips after wash-down
  whytrip log stats --period 1y
  whytrip log report 17 --format html > hand-over.html")]
pub struct Args {
    #[command(subcommand)]
    command: Sub,
}

#[derive(Debug, clap::Subcommand)]
enum Sub {
    /// Record an incident from a YAML or JSON file, or by answering questions
    Add {
        /// The file, one incident (- for standard input)
        #[arg(long, value_name = "FILE")]
        file: Option<PathBuf>,
    },
    /// List incidents, newest first
    List {
        /// Only this fault class
        #[arg(long, value_name = "ID")]
        class: Option<String>,
        /// Only this drive
        #[arg(long, value_name = "ID")]
        drive: Option<String>,
        /// Only this cause
        #[arg(long, value_name = "ID")]
        cause: Option<String>,
        /// Records that were marked wrong as well
        #[arg(long)]
        with_wrong: bool,
        /// At most so many
        #[arg(long, default_value_t = 50, value_name = "N")]
        limit: usize,
    },
    /// Show one incident as a sheet
    Show {
        /// Its number, or the beginning of its id
        which: String,
    },
    /// Find incidents by words
    Find {
        /// What was seen, found or done
        #[arg(required = true)]
        words: Vec<String>,
        /// At most so many
        #[arg(long, default_value_t = 10, value_name = "N")]
        limit: usize,
    },
    /// What the log teaches: what costs most, comes back, grows, goes together
    Stats(log_stats::Args),
    /// One incident as a page to hand over
    Report(log_report::Args),
    /// Mark a record as wrong: it stays, and no longer counts
    Wrong {
        /// Its number, or the beginning of its id
        which: String,
        /// Why it is wrong
        #[arg(long, value_name = "TEXT")]
        why: String,
    },
}

pub fn run(args: Args, context: &Context) -> Result<Outcome, Failure> {
    match args.command {
        Sub::Add { file } => add(file.as_deref(), context),
        Sub::List {
            class,
            drive,
            cause,
            with_wrong,
            limit,
        } => {
            check_ids(&context.knowledge()?, class.as_deref(), cause.as_deref())?;
            let filter = Filter {
                class,
                drive,
                cause,
                with_wrong,
                limit,
                ..Filter::default()
            };
            list(&filter, context)
        }
        Sub::Show { which } => show(&which, context),
        Sub::Find { words, limit } => find(&words.join(" "), limit, context),
        Sub::Stats(args) => log_stats::run(args, context),
        Sub::Report(args) => log_report::run(args, context),
        Sub::Wrong { which, why } => mark_wrong(&which, &why, context),
    }
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
fn record(library: &Library, mut entry: Entry, context: &Context) -> Result<Outcome, Failure> {
    check_ids(library, entry.class.as_deref(), entry.cause.as_deref())?;
    note_unknown_drive(entry.drive.as_deref(), context);
    if let Some(class) = entry.class.as_deref().and_then(|id| library.class(id)) {
        let cause = entry.cause.as_deref().and_then(|id| library.cause(id));
        let proposal = Coding::proposed(&class.coding, cause.map(|cause| &cause.coding));
        entry.coding = entry.coding.or(proposal);
    }
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

/// A class and a cause must be known; what fits none is written as a note.
fn check_ids(library: &Library, class: Option<&str>, cause: Option<&str>) -> Result<(), Failure> {
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

fn list(filter: &Filter, context: &Context) -> Result<Outcome, Failure> {
    let logged = match context.store_to_read()? {
        Some(store) => store
            .incidents(filter)
            .map_err(|error| context.store_failure(&error))?,
        None => Vec::new(),
    };
    if context.json {
        context
            .ui
            .raw(&json::document(render::list_json(&logged)))?;
    } else {
        context
            .ui
            .show(&render::list(&context.knowledge()?, &logged))?;
    }
    Ok(if logged.is_empty() {
        Outcome::No
    } else {
        Outcome::Done
    })
}

fn show(which: &str, context: &Context) -> Result<Outcome, Failure> {
    let which: Which = which
        .parse()
        .map_err(|error| Failure::usage(format!("{error}")).next("whytrip log list"))?;
    let Some(store) = context.store_to_read()? else {
        return Err(Failure::usage("there is no log yet").next("whytrip log add --file FILE"));
    };
    let logged = store
        .incident(&which)
        .map_err(|error| context.store_failure(&error))?;
    if context.json {
        context
            .ui
            .raw(&json::document(render::logged_json(&logged)))?;
    } else {
        context
            .ui
            .show(&render::sheet(&context.knowledge()?, &logged))?;
    }
    Ok(Outcome::Done)
}

fn find(words: &str, limit: usize, context: &Context) -> Result<Outcome, Failure> {
    let found = match context.store_to_read()? {
        Some(store) => store
            .search(words, limit)
            .map_err(|error| context.store_failure(&error))?,
        None => Vec::new(),
    };
    if context.json {
        context
            .ui
            .raw(&json::document(render::found_json(words, &found)))?;
    } else {
        context
            .ui
            .show(&render::found(&context.knowledge()?, words, &found))?;
    }
    Ok(if found.is_empty() {
        Outcome::No
    } else {
        Outcome::Done
    })
}

fn mark_wrong(which: &str, why: &str, context: &Context) -> Result<Outcome, Failure> {
    let which: Which = which
        .parse()
        .map_err(|error| Failure::usage(format!("{error}")).next("whytrip log list"))?;
    let mut store = context.store_to_write()?;
    let logged = store
        .mark_wrong(&which, why, Timestamp::now())
        .map_err(|error| context.store_failure(&error))?;
    if context.json {
        context
            .ui
            .raw(&json::document(render::logged_json(&logged)))?;
        return Ok(Outcome::Done);
    }
    let mut document = Document::new();
    document.text(format!(
        "Incident {} is marked wrong: it stays in the log and no longer counts.",
        logged.number
    ));
    context.ui.show(&document)?;
    Ok(Outcome::Done)
}
