//! `log add`: an incident from a file or from what is asked.

use std::path::{Path, PathBuf};

use jiff::Timestamp;
use jiff::tz::TimeZone;

use super::{ask, check_ids};
use crate::cli::context::{Context, read_text};
use crate::cli::failure::{Failure, Outcome};
use crate::knowledge::load::parse;
use crate::knowledge::{Library, SourceFile};
use crate::plant::{Birth, Coding, Entry, Incident, SAME_FAULT_DAYS, Store, same_fault_before};
use crate::render::doc::{Document, code, plain};
use crate::render::{json, log as render};

/// Record an incident from a YAML or JSON file, or by answering questions
#[derive(Debug, clap::Args)]
#[command(
    after_help = "A file holds any of occurred_at drive class words display moment readings walk
status cause cause_note confirmed_by done parts proof downtime_minutes
labour_minutes who notes attachments coding; words or class must be there.
Attachments are paths below the folder attachments of the data folder.
An example: examples/tarn-hollow/incidents/2026-01-19-centrifuge.yaml"
)]
pub struct Args {
    /// The file, one incident (- for standard input)
    #[arg(long, value_name = "FILE")]
    file: Option<PathBuf>,
    /// Tell the same fault on the same drive within so many days before
    #[arg(long, value_name = "DAYS", default_value_t = SAME_FAULT_DAYS)]
    within: u32,
}

pub fn run(args: &Args, context: &Context) -> Result<Outcome, Failure> {
    add(args.file.as_deref(), args.within, context)
}

fn add(file: Option<&Path>, within: u32, context: &Context) -> Result<Outcome, Failure> {
    let library = context.knowledge()?;
    let entry = match file {
        Some(file) => read_entry(file)?,
        None => ask::entry(&library, context)?,
    };
    record(&library, entry, within, context)
}

/// The fields of an incident in a file.
pub(super) fn read_entry(file: &Path) -> Result<Entry, Failure> {
    let source = SourceFile {
        name: file.display().to_string(),
        text: read_text(file)?,
    };
    parse::<Entry>(&source).map_err(|problem| {
        Failure::usage(format!("the incident can't be read\n{problem}"))
            .next("whytrip log add --help, or see examples/tarn-hollow/incidents")
    })
}

/// Records an entry and tells its number.
fn record(
    library: &Library,
    mut entry: Entry,
    within: u32,
    context: &Context,
) -> Result<Outcome, Failure> {
    check_ids(library, entry.class.as_deref(), entry.cause.as_deref())?;
    context.note_unknown_drive(entry.drive.as_deref());
    if let Some(class) = entry.class.as_deref().and_then(|id| library.class(id)) {
        let cause = entry.cause.as_deref().and_then(|id| library.cause(id));
        let proposal = Coding::proposed(&class.coding, cause.map(|cause| &cause.coding));
        entry.coding = entry.coding.or(proposal);
    }
    let birth = Birth::at(Timestamp::now(), TimeZone::system());
    let incident =
        Incident::from_entry(&birth, entry).map_err(|error| Failure::usage(error.to_string()))?;
    store_and_tell(&incident, within, context)
}

/// Stores an incident and tells where it is, and when the same happened before.
pub fn store_and_tell(
    incident: &Incident,
    within: u32,
    context: &Context,
) -> Result<Outcome, Failure> {
    let mut store = context.store_to_write()?;
    let added = store
        .add_incident(incident)
        .map_err(|error| context.store_failure(&error))?;
    // The incident is safe by now: what came before must not make it look otherwise.
    let before = same_fault_before(&store, incident, within).unwrap_or_default();
    if context.json {
        context.ui.raw(&json::document(render::recorded(
            added.number,
            incident,
            &before,
        )))?;
    } else {
        let mut document = Document::new();
        document.paragraph(vec![
            plain(format!("Logged incident {}. See it: ", added.number)),
            code(format!("whytrip log show {}", added.number)),
        ]);
        if !before.is_empty() {
            let library = context.knowledge()?;
            document.append(render::same_fault(&library, incident, &before, within));
        }
        context.ui.show(&document)?;
    }
    Ok(Outcome::Done)
}
