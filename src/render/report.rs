//! One incident as a page to hand over: to the next shift, the maintenance system, a specialist.

use std::collections::BTreeMap;

use jiff::tz::TimeZone;

use super::doc::{Document, plain, quiet, strong, value};
use super::statistics_words::{cause_name, class_title, minutes, moment};
use super::table::Table;
use super::{doc::Block, walk::evidence};
use crate::diagnosis::case::{Case, History};
use crate::diagnosis::record::{Fact, understand};
use crate::diagnosis::replay;
use crate::diagnosis::walk::Walk;
use crate::knowledge::{Coding, Library};
use crate::plant::{ConfirmedBy, Drive, Incident, Logged, Status};

/// What a report rests on.
#[derive(Debug)]
pub struct Report<'a> {
    /// The incident.
    pub logged: &'a Logged,
    /// Its drive, if the register has it.
    pub drive: Option<&'a Drive>,
    /// Other incidents with the same cause at the same drive, newest first.
    pub same_before: &'a [Logged],
    /// The names of classes and causes.
    pub library: &'a Library,
    /// The zone of local times.
    pub zone: &'a TimeZone,
}

/// The title of the page.
pub fn title(case: &Report<'_>) -> String {
    let drive = case.logged.incident.drive.as_deref();
    match drive {
        Some(drive) => format!("Hand-over: incident {}, {drive}", case.logged.number),
        None => format!("Hand-over: incident {}", case.logged.number),
    }
}

/// The page.
pub fn document(case: &Report<'_>) -> Document {
    let incident = &case.logged.incident;
    let mut document = Document::new();
    document.heading(1, title(case));
    if let Some(reason) = &incident.wrong {
        let reason = if reason.is_empty() {
            "no reason given"
        } else {
            reason
        };
        document.labelled("Marked wrong, does not count", reason);
    }
    where_and_when(&mut document, case);
    seen(&mut document, case);
    cause(&mut document, case);
    work(&mut document, incident);
    coding(&mut document, case);
    watch(&mut document, case);
    document.gap();
    document.paragraph(vec![quiet(format!(
        "Incident {} of this log, revision {}, recorded {}{}. Id {}.",
        case.logged.number,
        incident.revision,
        moment(incident.recorded_at.as_millisecond(), case.zone),
        if incident.who.is_empty() {
            String::new()
        } else {
            format!(" by {}", incident.who)
        },
        incident.id
    ))]);
    document
}

/// A labelled text, unless it says nothing.
fn labelled(document: &mut Document, label: &str, text: &str) {
    if !text.is_empty() {
        document.labelled(label, text);
    }
}

fn where_and_when(document: &mut Document, case: &Report<'_>) {
    let incident = &case.logged.incident;
    let drive = match (case.drive, &incident.drive) {
        (Some(drive), _) => {
            let told = [&drive.name, &drive.place, &drive.model];
            let told: Vec<&str> = told
                .map(String::as_str)
                .into_iter()
                .filter(|text| !text.is_empty())
                .collect();
            if told.is_empty() {
                drive.id.clone()
            } else {
                format!("{} ({})", drive.id, told.join("; "))
            }
        }
        (None, Some(words)) => words.clone(),
        (None, None) => "not recorded".to_owned(),
    };
    document.labelled("Drive", drive);
    document.labelled(
        "When",
        moment(incident.occurred_at.as_millisecond(), case.zone),
    );
    let class = incident.class.as_deref().unwrap_or("");
    document.labelled("Fault class", class_title(case.library, class));
    document.labelled("State", state(incident));
}

/// How far it is settled, in words.
fn state(incident: &Incident) -> String {
    let how = match incident.confirmed_by {
        Some(ConfirmedBy::Measured) => ", by a measurement",
        Some(ConfirmedBy::ProvedByRun) => ", by the run after the repair",
        Some(ConfirmedBy::Exchanged) => ", by an exchanged part",
        Some(ConfirmedBy::Presumed | ConfirmedBy::NotFound) | None => "",
    };
    match incident.status {
        Status::Confirmed => format!("cause confirmed{how}"),
        Status::Likely => format!("cause likely{how}; not confirmed"),
        Status::Unresolved => "open: no cause found".to_owned(),
    }
}

fn seen(document: &mut Document, case: &Report<'_>) {
    let incident = &case.logged.incident;
    document.heading(2, "Seen");
    labelled(document, "In words", &incident.words);
    labelled(document, "The drive showed", &incident.display);
    labelled(document, "Moment", &incident.moment);
    if !incident.readings.is_empty() {
        let mut table = Table::new(&["Reading", "value"]);
        table.rows = incident
            .readings
            .iter()
            .map(|reading| {
                let what = case
                    .library
                    .question(&reading.what)
                    .map_or_else(|| reading.what.clone(), |question| question.ask.clone());
                vec![what, reading.value.clone()]
            })
            .collect();
        document.push(Block::Table(table));
    }
    if incident.words.is_empty() && incident.display.is_empty() && incident.readings.is_empty() {
        document.text("Nothing was written down.");
    }
}

fn cause(document: &mut Document, case: &Report<'_>) {
    let incident = &case.logged.incident;
    document.heading(2, "Cause");
    let mut spans = Vec::new();
    if let Some(id) = &incident.cause {
        spans.push(strong(cause_name(case.library, id)));
        if !incident.cause_note.is_empty() {
            spans.push(plain(format!(": {}", incident.cause_note)));
        }
    } else if incident.cause_note.is_empty() {
        spans.push(plain("Not found."));
    } else {
        spans.push(strong(&incident.cause_note));
    }
    document.paragraph(spans);
    if let Some(cause) = incident
        .cause
        .as_deref()
        .and_then(|id| case.library.cause(id))
    {
        document.text(&cause.what);
    }
    if !incident.walk.is_empty() {
        document.heading(3, "Asked and found");
        for step in &incident.walk.steps {
            let question = case.library.question(&step.question);
            let cause = case.library.cause(&step.question);
            let asked = match (question, cause) {
                (Some(question), _) => question.ask.clone(),
                (None, Some(cause)) => format!("Confirm: {}", cause.name),
                (None, None) => step.question.clone(),
            };
            let finding = question
                .and_then(|question| question.findings.iter().find(|one| one.id == step.answer));
            let answer = finding.map_or_else(|| step.answer.clone(), |one| one.text.clone());
            document.item(vec![plain(format!("{asked} ")), value(answer)]);
        }
    }
    if let Some(weighed) = weighed(case) {
        document.heading(3, "For and against");
        document.append(weighed);
    }
}

/// The answers weighed for the cause that is recorded; none if there is nothing to weigh.
fn weighed(case: &Report<'_>) -> Option<Document> {
    let incident = &case.logged.incident;
    let class = case.library.class(incident.class.as_deref()?)?;
    let compiled = Case::compile(case.library, class, History::default()).ok()?;
    let cause = compiled.cause_index(incident.cause.as_deref()?)?;
    let walk = Walk::new(compiled, BTreeMap::new());
    let nameplate = case
        .drive
        .into_iter()
        .flat_map(|drive| drive.nameplate.clone());
    let answers = incident
        .walk
        .steps
        .iter()
        .map(|step| (step.question.clone(), step.answer.clone()));
    // What this knowledge no longer understands is left out: the list above still shows it.
    let facts: Vec<Fact> = nameplate
        .chain(answers)
        .filter(|fact| understand(case.library, &walk, fact).is_ok())
        .collect();
    let walk = replay::read(case.library, walk, &facts).ok()?.all_given();
    let belief = walk.belief().ok()?;
    let mut document = Document::new();
    evidence(&mut document, &walk, &belief, cause);
    (!document.blocks.is_empty()).then_some(document)
}

fn work(document: &mut Document, incident: &Incident) {
    document.heading(2, "Work");
    let nothing = "nothing recorded";
    let or_nothing = |text: &str| {
        if text.is_empty() {
            nothing.to_owned()
        } else {
            text.to_owned()
        }
    };
    let time = |recorded: Option<u32>| {
        recorded.map_or_else(|| nothing.to_owned(), |spent| minutes(u64::from(spent)))
    };
    document.labelled("Done", or_nothing(&incident.done));
    labelled(document, "Parts", &incident.parts);
    document.labelled("Proof", or_nothing(&incident.proof));
    document.labelled("Machine stood", time(incident.downtime_minutes));
    document.labelled("People worked", time(incident.labour_minutes));
    labelled(document, "Attachments", &incident.attachments.join(", "));
}

fn coding(document: &mut Document, case: &Report<'_>) {
    let recorded = &case.logged.incident.coding;
    let incident = &case.logged.incident;
    let proposed = incident
        .cause
        .as_deref()
        .and_then(|id| case.library.cause(id))
        .map(|cause| cause.coding.clone())
        .unwrap_or_default();
    let of_class: Coding = incident
        .class
        .as_deref()
        .and_then(|id| case.library.class(id))
        .map(|class| class.coding.clone())
        .unwrap_or_default();
    let rows: Vec<(&str, &Option<String>, Option<String>)> = vec![
        (
            "failure mode",
            &recorded.mode,
            proposed.mode.or(of_class.mode),
        ),
        (
            "failure mechanism",
            &recorded.mechanism,
            proposed.mechanism.or(of_class.mechanism),
        ),
        (
            "failure cause",
            &recorded.cause,
            proposed.cause.or(of_class.cause),
        ),
        (
            "maintenance activity",
            &recorded.activity,
            proposed.activity.or(of_class.activity),
        ),
    ];
    let said: Vec<String> = rows
        .into_iter()
        .filter_map(|(name, recorded, proposed)| match (recorded, proposed) {
            (Some(code), _) => Some(format!("{name} {code}")),
            (None, Some(code)) => Some(format!("{name} {code} (proposed)")),
            (None, None) => None,
        })
        .collect();
    if !said.is_empty() {
        document.labelled("ISO 14224", said.join(", "));
    }
}

fn watch(document: &mut Document, case: &Report<'_>) {
    let incident = &case.logged.incident;
    document.heading(2, "Watch");
    let mut said = false;
    let mut item = |label: &str, text: String| {
        document.item(vec![strong(format!("{label}: ")), plain(text)]);
        said = true;
    };
    if !case.same_before.is_empty() {
        let numbers: Vec<String> = case
            .same_before
            .iter()
            .map(|one| {
                let day = moment(one.incident.occurred_at.as_millisecond(), case.zone);
                format!("{} ({})", one.number, &day[..day.len().min(10)])
            })
            .collect();
        item(
            "Same cause here before",
            format!(
                "{}. Ask what the last repair left as it was.",
                numbers.join(", ")
            ),
        );
    }
    let known = incident
        .cause
        .as_deref()
        .and_then(|id| case.library.cause(id));
    if let Some(with) = known.and_then(|cause| cause.fails_with.as_ref()) {
        item("Fails with it", with.clone());
    }
    if incident.status != Status::Unresolved && incident.proof.is_empty() {
        item(
            "Not proved",
            "No proof of the repair is recorded; watch the first runs.".to_owned(),
        );
    }
    if incident.status != Status::Confirmed {
        item(
            "Not settled",
            "If it trips again, go on from the findings above; do not keep resetting.".to_owned(),
        );
    }
    if !incident.notes.is_empty() {
        item("Notes", incident.notes.clone());
    }
    if !said {
        document.text("Nothing in particular.");
    }
}
