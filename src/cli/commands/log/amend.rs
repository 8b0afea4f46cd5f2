//! `log amend`: the next revision of an incident.

use std::path::PathBuf;

use jiff::Timestamp;
use jiff::tz::TimeZone;

use super::{add, ask, check_ids, logged};
use crate::cli::context::Context;
use crate::cli::failure::{Failure, Outcome};
use crate::plant::{Amendment, Logged, Store};
use crate::render::doc::{Document, code, plain};
use crate::render::{json, log as render};

/// Change fields of an incident: the earlier revision is kept
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:
  whytrip log amend 17 done=\"New seal\" downtime_minutes=110
  whytrip log amend 17 cause=terminal-box-wet confirmed_by=measured
  whytrip log amend 17 parts=                 (empties the field)
  whytrip log amend 17 readings=\"bus = 566 V; ripple = 4 V\"
  whytrip log amend 17 --file more.yaml
  whytrip log amend 17                        (asks)

Fields: occurred_at drive class words display moment readings walk status cause
cause_note confirmed_by done parts proof downtime_minutes labour_minutes who
notes attachments coding_mode coding_mechanism coding_cause coding_activity.
If the cause or confirmed_by changes, the status follows unless you give it.")]
pub struct Args {
    /// Its number, or the beginning of its id
    which: String,
    /// What changes
    #[arg(value_name = "FIELD=VALUE")]
    changes: Vec<String>,
    /// A YAML or JSON file with the fields that change (- for standard input)
    #[arg(long, value_name = "FILE", conflicts_with = "changes")]
    file: Option<PathBuf>,
}

pub fn run(args: &Args, context: &Context) -> Result<Outcome, Failure> {
    let library = context.knowledge()?;
    let before = logged(&args.which, context)?;
    let amendment = if let Some(file) = &args.file {
        add::read_entry(file)?.into()
    } else if args.changes.is_empty() {
        ask::amendment(&library, &before.incident, context)?
    } else {
        from_pairs(&args.changes)?
    };
    if amendment.is_empty() {
        return Err(Failure::usage("nothing was changed").next("whytrip log amend --help"));
    }
    check_ids(
        &library,
        amendment.told().class.as_deref(),
        amendment.told().cause.as_deref(),
    )?;
    let incident = before
        .incident
        .changed(Timestamp::now(), &TimeZone::system(), amendment)
        .map_err(|error| Failure::usage(error.to_string()).next("whytrip log amend --help"))?;
    let number = context
        .store_to_write()?
        .amend_incident(&incident)
        .map_err(|error| context.store_failure(&error))?;
    tell(&Logged { number, incident }, "was amended", context)
}

fn from_pairs(pairs: &[String]) -> Result<Amendment, Failure> {
    let mut amendment = Amendment::default();
    for pair in pairs {
        let (field, text) = pair.split_once('=').ok_or_else(|| {
            Failure::usage(format!("\"{pair}\" is not FIELD=VALUE"))
                .next("whytrip log amend --help")
        })?;
        amendment
            .set(field, text)
            .map_err(|error| Failure::usage(error.to_string()).next("whytrip log amend --help"))?;
    }
    Ok(amendment)
}

/// Says what became of an incident.
pub(super) fn tell(logged: &Logged, what: &str, context: &Context) -> Result<Outcome, Failure> {
    if context.json {
        context
            .ui
            .raw(&json::document(render::logged_json(logged)))?;
        return Ok(Outcome::Done);
    }
    let mut document = Document::new();
    document.paragraph(vec![
        plain(format!(
            "Incident {} {what}; it is now at revision {}. See it: ",
            logged.number, logged.incident.revision
        )),
        code(format!("whytrip log show {} --history", logged.number)),
    ]);
    context.ui.show(&document)?;
    Ok(Outcome::Done)
}
