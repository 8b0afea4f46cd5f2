//! `log import`: incidents from a file, all or none.

use std::collections::HashSet;
use std::fs::File;
use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};

use jiff::Timestamp;
use jiff::tz::TimeZone;

use super::check_ids;
use super::export::{FormArg, form};
use crate::cli::context::Context;
use crate::cli::failure::{Failure, Outcome};
use crate::knowledge::Library;
use crate::plant::exchange::{self, Reading};
use crate::plant::{Incident, OnConflict, Refused, Store, StoreError};
use crate::render::{json, upkeep as render};

/// Take in incidents from a CSV, JSON or JSON lines file: all or none
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:
  whytrip log import log.jsonl
  whytrip log import old-logbook.csv
  whytrip log import --format csv - < log.csv

A CSV file has a header of field names, as whytrip log amend --help lists them,
in any order; occurred_at and words or class must be there. Either every row is
taken in or none, and the same file again adds nothing: rows with an id are the
incident of that id, and the others get an id from what they say.")]
pub struct Args {
    /// The file (- for standard input)
    file: PathBuf,
    /// How it is written, if its name does not tell
    #[arg(long, value_enum, value_name = "FORM")]
    format: Option<FormArg>,
}

/// Most rows whose faults are told one by one.
const TOLD: usize = 50;

pub fn run(args: &Args, context: &Context) -> Result<Outcome, Failure> {
    let file = &args.file;
    let form = form(args.format, Some(file)).ok_or_else(|| {
        Failure::usage(format!("is {} JSON lines, JSON or CSV?", file.display()))
            .next("add --format jsonl, json or csv")
    })?;
    let library = context.knowledge()?;
    let input = open(file)?;
    let reading = Reading {
        now: Timestamp::now(),
        zone: TimeZone::system(),
    };
    let rows = exchange::read(form, input, reading)
        .map_err(|error| Failure::usage(format!("{}: {error}", file.display())))?;
    let bar = context.ui.bar("Taking in", None);
    let mut known = Known {
        library: &library,
        seen: HashSet::new(),
    };
    let mut problems = Vec::new();
    let mut refused = 0;
    let mut revisions = rows.enumerate().map(|(index, row)| {
        bar.at(index as u64 + 1);
        row.incident
            .and_then(|incident| known.check(incident))
            .map_err(|reason| {
                refused += 1;
                if problems.len() < TOLD {
                    problems.push(format!("{}:{}: {reason}", file.display(), row.line));
                }
                Refused
            })
    });
    let mut store = context.store_to_write()?;
    let result = store.unite(&mut revisions, OnConflict::Refuse);
    drop(revisions);
    bar.end();
    for problem in &problems {
        context.ui.note(problem);
    }
    if refused > problems.len() {
        context
            .ui
            .note(&format!("and {} more rows", refused - problems.len()));
    }
    let united = result.map_err(|error| match &error {
        StoreError::Refused { .. } => Failure::usage(error.to_string()).next(error.next_step()),
        StoreError::Conflicts { conflicts } => {
            for conflict in conflicts.iter().take(TOLD) {
                context
                    .ui
                    .note(&render::conflict_line(conflict, "the file"));
            }
            Failure::usage(error.to_string()).next(error.next_step())
        }
        _ => context.store_failure(&error),
    })?;
    if context.json {
        context
            .ui
            .raw(&json::document(render::united_json(&united)))?;
    } else {
        context.ui.show(&render::united(&united))?;
    }
    Ok(Outcome::Done)
}

/// Looks whether classes and causes of rows that somebody wrote are known, each once. What another
/// whytrip exported may know more.
struct Known<'l> {
    library: &'l Library,
    seen: HashSet<(Option<String>, Option<String>)>,
}

impl Known<'_> {
    fn check(&mut self, incident: Incident) -> Result<Incident, String> {
        if !incident.knowledge_version.is_empty() || incident.revision > 1 {
            return Ok(incident);
        }
        let ids = (incident.class.clone(), incident.cause.clone());
        if self.seen.contains(&ids) {
            return Ok(incident);
        }
        check_ids(self.library, ids.0.as_deref(), ids.1.as_deref()).map_err(
            |failure| match failure.next {
                Some(next) => format!("{}; {next}", failure.message),
                None => failure.message,
            },
        )?;
        self.seen.insert(ids);
        Ok(incident)
    }
}

/// What the file holds.
fn open(file: &Path) -> Result<Box<dyn BufRead>, Failure> {
    if file == Path::new("-") {
        return Ok(Box::new(BufReader::new(std::io::stdin())));
    }
    let opened = File::open(file).map_err(|error| {
        Failure::usage(format!("{} can't be read", file.display())).because(error.to_string())
    })?;
    Ok(Box::new(BufReader::with_capacity(1 << 16, opened)))
}
