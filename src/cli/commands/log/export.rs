//! `log export`: incidents for other programs, and for this one to read again.

use std::fs::File;
use std::io::{BufWriter, Write};
use std::path::{Path, PathBuf};

use super::existing;
use crate::cli::context::Context;
use crate::cli::failure::{Failure, Outcome};
use crate::plant::exchange::{self, Form};
use crate::plant::{Pages, anonymous};
use crate::render::text::harmless;
use crate::render::{json, upkeep as render};

/// Write the incidents as JSON lines, JSON or CSV
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:
  whytrip log export > log.jsonl
  whytrip log export --format csv --output log.csv
  whytrip log export --anonymous --output shared.jsonl

JSON lines and JSON hold every revision, so that an import elsewhere is the same
log. CSV holds the latest revision of each incident, for a spreadsheet; cells
that look like a formula get an apostrophe in front, which import takes off.
--anonymous leaves out initials, drives, free text, display texts, attachments
and readings that are not a plain value under a known name. Times stay.")]
pub struct Args {
    /// How to write them; otherwise the file's name tells, and JSON lines if none does
    #[arg(long, value_enum, value_name = "FORM")]
    format: Option<FormArg>,
    /// The file to write; it must not be there yet (otherwise standard output)
    #[arg(long, short, value_name = "FILE")]
    output: Option<PathBuf>,
    /// Leave out people, places and free text
    #[arg(long)]
    anonymous: bool,
    /// Only the latest revision of each incident
    #[arg(long)]
    latest: bool,
}

/// The forms by their names.
#[derive(Clone, Copy, Debug, clap::ValueEnum)]
pub enum FormArg {
    /// One JSON object a line
    Jsonl,
    /// One JSON document
    Json,
    /// A table for a spreadsheet
    Csv,
}

impl From<FormArg> for Form {
    fn from(form: FormArg) -> Form {
        match form {
            FormArg::Jsonl => Form::JsonLines,
            FormArg::Json => Form::Json,
            FormArg::Csv => Form::Csv,
        }
    }
}

/// The form that was asked for, or that the file's name tells.
pub(super) fn form(asked: Option<FormArg>, file: Option<&Path>) -> Option<Form> {
    asked
        .map(Form::from)
        .or_else(|| Form::of_name(&file?.to_string_lossy()))
}

pub fn run(args: &Args, context: &Context) -> Result<Outcome, Failure> {
    let default = if context.json {
        Form::Json
    } else {
        Form::JsonLines
    };
    let form = form(args.format, args.output.as_deref()).unwrap_or(default);
    let Some(path) = &args.output else {
        return context
            .ui
            .stream(|out| write(args, form, context, out).map(|_| ()))
            .map(|()| Outcome::Done);
    };
    let failed = |error: std::io::Error| {
        Failure::usage(format!("{} can't be written", path.display()))
            .because(error.to_string())
            .next("name another file, or remove it first")
    };
    let mut out = BufWriter::new(File::create_new(path).map_err(failed)?);
    let written = write(args, form, context, &mut out).and_then(|count| {
        out.flush().map_err(failed)?;
        out.get_ref().sync_all().map_err(failed)?;
        Ok(count)
    });
    if written.is_err() {
        // Half an export would look like a whole one.
        let _ = std::fs::remove_file(path);
    }
    let count = written?;
    if context.json {
        context.ui.raw(&json::document(render::file_json(path)))?;
    } else {
        context.ui.tell(&format!(
            "{} written to {}.",
            render::counted_were(count, "record"),
            path.display()
        ));
    }
    Ok(Outcome::Done)
}

/// Writes the incidents and says how many records there were.
fn write(args: &Args, form: Form, context: &Context, out: &mut dyn Write) -> Result<u32, Failure> {
    let store = existing(context)?;
    match form {
        Form::JsonLines => {}
        Form::Json => out.write_all(exchange::array_start().as_bytes())?,
        Form::Csv => out.write_all(exchange::header().as_bytes())?,
    }
    let mut count = 0;
    for logged in Pages::of(&store, args.latest || form == Form::Csv) {
        let logged = logged.map_err(|error| context.store_failure(&error))?;
        let incident = if args.anonymous {
            anonymous(&logged.incident)
        } else {
            logged.incident
        };
        let text = match form {
            Form::JsonLines => json::escaped(&exchange::line(&incident)) + "\n",
            Form::Json => json::escaped(&exchange::array_item(&incident, count == 0)),
            Form::Csv if args.output.is_none() && context.ui.is_shown() => {
                harmless(&exchange::row(logged.number, &incident))
            }
            Form::Csv => exchange::row(logged.number, &incident),
        };
        out.write_all(text.as_bytes())?;
        count += 1;
    }
    if form == Form::Json {
        out.write_all(exchange::array_end().as_bytes())?;
    }
    Ok(count)
}
