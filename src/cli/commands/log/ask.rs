//! The prompts for the fields of an incident.

use super::check_ids;
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::knowledge::Library;
use crate::plant::{Amendment, Entry, Incident, ScalarText};

/// What somebody tells of a new incident.
pub(super) fn entry(library: &Library, context: &Context) -> Result<Entry, Failure> {
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
    let display = ask("What did the drive show? ")?.map(ScalarText);
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

/// The fields that are asked for when an incident is amended, with their prompts.
const AMENDED: [(&str, &str); 13] = [
    ("words", "What was seen"),
    ("display", "What the drive showed"),
    ("drive", "Drive"),
    ("class", "Fault class (id)"),
    ("readings", "Readings (what = value; what = value)"),
    ("cause", "Cause (id)"),
    ("cause_note", "Cause in your own words"),
    ("confirmed_by", "Confirmed by"),
    ("done", "What was done"),
    ("parts", "Parts"),
    ("proof", "What proved it"),
    ("downtime_minutes", "Minutes the machine stood"),
    ("who", "Initials"),
];

/// What somebody changes in an incident.
pub(super) fn amendment(
    library: &Library,
    incident: &Incident,
    context: &Context,
) -> Result<Amendment, Failure> {
    if !context.ui.is_interactive() {
        return Err(Failure::usage("what should be changed?")
            .next("whytrip log amend NUMBER done=\"New seal\"    (or --file FILE)"));
    }
    context
        .ui
        .note("Enter keeps what stands there, - empties it. Ctrl-C changes nothing.");
    let mut amendment = Amendment::default();
    for (field, prompt) in AMENDED {
        let now = crate::plant::exchange::cell(incident, field);
        loop {
            let typed = context
                .ui
                .ask(&format!("{prompt} [{now}]? "))?
                .ok_or_else(|| Failure::interrupted("nothing was changed"))?;
            let typed = match typed.trim() {
                "" => break,
                "-" => "",
                typed => typed,
            };
            let known = match field {
                "class" => check_ids(library, Some(typed).filter(|id| !id.is_empty()), None),
                "cause" => check_ids(library, None, Some(typed).filter(|id| !id.is_empty())),
                _ => Ok(()),
            };
            let set = known.and_then(|()| {
                amendment
                    .set(field, typed)
                    .map_err(|error| Failure::usage(error.to_string()))
            });
            match set {
                Ok(()) => break,
                Err(failure) => context.ui.note(&failure.to_string()),
            }
        }
    }
    Ok(amendment)
}
