//! Incidents as documents and as JSON.

use jiff::Timestamp;
use jiff::tz::TimeZone;
use serde::Serialize;

use super::doc::{Block, Document, code, plain, quiet, strong, value};
use super::text::shortened;
use crate::knowledge::Library;
use crate::plant::exchange::cell;
use crate::plant::{FIELDS, Found, Incident, Logged};

/// A local time as people write it.
fn when(time: Timestamp) -> String {
    time.to_zoned(TimeZone::system())
        .strftime("%Y-%m-%d %H:%M")
        .to_string()
}

fn class_title(library: &Library, id: Option<&str>) -> String {
    id.map_or_else(
        || "no class".to_owned(),
        |id| {
            library
                .class(id)
                .map_or_else(|| id.to_owned(), |class| class.title.clone())
        },
    )
}

/// What was found, in words.
fn cause_words(library: &Library, incident: &Incident) -> String {
    let named = incident.cause.as_deref().map(|id| {
        library
            .cause(id)
            .map_or_else(|| id.to_owned(), |cause| cause.name.clone())
    });
    match (named, incident.cause_note.as_str()) {
        (Some(name), "") => name,
        (Some(name), note) => format!("{name} ({note})"),
        (None, "") => "not found".to_owned(),
        (None, note) => note.to_owned(),
    }
}

/// One incident in a line, as plain words.
pub fn line_words(library: &Library, logged: &Logged) -> String {
    let mut document = Document::new();
    line(&mut document, library, logged);
    let spans = document.blocks.into_iter().flat_map(|block| match block {
        Block::Item(spans) => spans,
        _ => Vec::new(),
    });
    spans.map(|span| span.text).collect()
}

/// One incident in a line or two.
fn line(document: &mut Document, library: &Library, logged: &Logged) {
    let incident = &logged.incident;
    let mut spans = vec![
        strong(format!("{} ", logged.number)),
        plain(format!("{} ", when(incident.occurred_at))),
    ];
    if let Some(drive) = &incident.drive {
        spans.push(code(drive));
        spans.push(plain(" "));
    }
    spans.push(plain(format!(
        "{}: {} ",
        class_title(library, incident.class.as_deref()),
        cause_words(library, incident)
    )));
    spans.push(quiet(format!("({})", incident.status.word())));
    if incident.wrong.is_some() {
        spans.push(strong(" marked wrong"));
    }
    document.item(spans);
}

/// Incidents as a list.
pub fn list(library: &Library, logged: &[Logged]) -> Document {
    let mut document = Document::new();
    if logged.is_empty() {
        document.text("The log has no such incident.");
        document.paragraph(vec![
            plain("Record one: "),
            code("whytrip log add --file FILE"),
            plain(", or at the end of a walk."),
        ]);
        return document;
    }
    for one in logged {
        line(&mut document, library, one);
    }
    document
}

/// Incidents that match words.
pub fn found(library: &Library, words: &str, found: &[Found]) -> Document {
    let mut document = Document::new();
    if found.is_empty() {
        let words = shortened(words);
        document.text(format!("No incident in the log matches \"{words}\"."));
        return document;
    }
    for one in found {
        line(&mut document, library, &one.logged);
    }
    document
}

/// The same trouble on the same drive before: what it was, and what was done.
pub fn last_time(library: &Library, logged: &Logged) -> Document {
    let incident = &logged.incident;
    let mut document = Document::new();
    document.heading(2, "It happened here before");
    let class = incident.class.as_deref();
    if let Some(class) = class.and_then(|id| library.class(id)) {
        super::item::push_cautions(&mut document, library, &class.cautions);
    }
    line(&mut document, library, logged);
    for (label, text) in [
        ("Done then", &incident.done),
        ("Proof", &incident.proof),
        ("Seen then", &incident.words),
    ] {
        if !text.is_empty() {
            document.labelled(label, shortened(text));
        }
    }
    document.paragraph(vec![code(format!("whytrip log show {}", logged.number))]);
    document
}

/// An incident as a sheet.
pub fn sheet(library: &Library, logged: &Logged) -> Document {
    let incident = &logged.incident;
    let mut document = Document::new();
    document.heading(1, format!("Incident {}", logged.number));
    if let Some(reason) = &incident.wrong {
        document.labelled("Marked wrong", reason);
    }
    let mut fields: Vec<(&str, String)> = vec![
        ("When", when(incident.occurred_at)),
        ("Drive", incident.drive.clone().unwrap_or_default()),
        ("Class", class_title(library, incident.class.as_deref())),
        ("Seen", incident.words.clone()),
        ("Display", incident.display.clone()),
        ("Moment", incident.moment.clone()),
    ];
    for reading in &incident.readings {
        fields.push(("Reading", format!("{} = {}", reading.what, reading.value)));
    }
    fields.extend([
        ("Cause", cause_words(library, incident)),
        ("Status", incident.status.word().to_owned()),
        (
            "Confirmed by",
            incident
                .confirmed_by
                .map(|by| by.word().to_owned())
                .unwrap_or_default(),
        ),
        ("Done", incident.done.clone()),
        ("Parts", incident.parts.clone()),
        ("Proof", incident.proof.clone()),
        (
            "Downtime",
            incident
                .downtime_minutes
                .map(|m| format!("{m} min"))
                .unwrap_or_default(),
        ),
        (
            "Labour",
            incident
                .labour_minutes
                .map(|m| format!("{m} min"))
                .unwrap_or_default(),
        ),
        ("Who", incident.who.clone()),
        ("Notes", incident.notes.clone()),
        ("Attachments", incident.attachments.join(", ")),
    ]);
    for (label, text) in fields.iter().filter(|(_, text)| !text.is_empty()) {
        document.labelled(label, text);
    }
    let codes: Vec<String> = [
        ("mode", &incident.coding.mode),
        ("mechanism", &incident.coding.mechanism),
        ("cause", &incident.coding.cause),
        ("activity", &incident.coding.activity),
    ]
    .iter()
    .filter_map(|(name, code)| code.as_ref().map(|code| format!("{name} {code}")))
    .collect();
    if !codes.is_empty() {
        document.labelled("ISO 14224", codes.join(", "));
    }
    if !incident.walk.is_empty() {
        document.heading(2, "Walk");
        for step in &incident.walk.steps {
            let asked = library.question(&step.question).map_or_else(
                || {
                    library.cause(&step.question).map_or_else(
                        || step.question.clone(),
                        |cause| format!("Confirm: {}", cause.name),
                    )
                },
                |question| question.ask.clone(),
            );
            let answered = library
                .question(&step.question)
                .and_then(|question| question.findings.iter().find(|f| f.id == step.answer))
                .map_or_else(|| step.answer.clone(), |finding| finding.text.clone());
            document.item(vec![plain(format!("{asked} ")), value(answered)]);
        }
    }
    document.gap();
    document.paragraph(vec![quiet(format!(
        "Revision {}, recorded {}, id {}",
        incident.revision,
        when(incident.recorded_at),
        incident.id
    ))]);
    document
}

/// The same fault on the same drive before an incident.
pub fn same_fault(
    library: &Library,
    incident: &Incident,
    before: &[Logged],
    days: u32,
) -> Document {
    let mut document = Document::new();
    document.gap();
    let times = match before.len() {
        1 => "once".to_owned(),
        2 => "twice".to_owned(),
        many => format!("{many} times"),
    };
    document.paragraph(vec![
        strong(format!(
            "The same fault on this drive {times} in the {days} days before. "
        )),
        plain("What was done did not last, or the cause was another."),
    ]);
    for logged in before.iter().take(5) {
        let ago = incident
            .occurred_at
            .duration_since(logged.incident.occurred_at)
            .as_hours()
            / 24;
        let ago = match ago {
            0 => "the same day".to_owned(),
            1 => "1 day before".to_owned(),
            days => format!("{days} days before"),
        };
        document.item(vec![
            strong(format!("{} ", logged.number)),
            plain(format!(
                "{ago}: {} ",
                cause_words(library, &logged.incident)
            )),
            quiet(format!("({})", logged.incident.status.word())),
        ]);
    }
    document
}

/// What each revision of an incident changed; nothing for an empty list.
pub fn history(revisions: &[Incident]) -> Document {
    let mut document = Document::new();
    if revisions.is_empty() {
        return document;
    }
    document.heading(2, "History");
    let none = None;
    let earlier = std::iter::once(none).chain(revisions.iter().map(Some));
    for (before, revision) in earlier.zip(revisions) {
        document.paragraph(vec![
            strong(format!("Revision {} ", revision.revision)),
            quiet(when(revision.recorded_at)),
        ]);
        let Some(before) = before else {
            document.item(vec![plain("recorded")]);
            continue;
        };
        let shown = |text: String| {
            if text.is_empty() {
                "nothing".to_owned()
            } else {
                shortened(&text)
            }
        };
        for field in FIELDS {
            let (was, is) = (cell(before, field), cell(revision, field));
            if was != is {
                document.item(vec![
                    plain(format!("{}: {} → ", field.replace('_', " "), shown(was))),
                    value(shown(is)),
                ]);
            }
        }
        if before.wrong != revision.wrong {
            document.item(vec![match &revision.wrong {
                Some(reason) => plain(format!("marked wrong: {reason}")),
                None => plain("no longer marked wrong"),
            }]);
        }
    }
    document
}

/// An incident with its running number.
#[derive(Serialize)]
pub struct LoggedJson<'a> {
    number: u32,
    #[serde(flatten)]
    incident: &'a Incident,
}

/// An incident as printed.
pub fn logged_json(logged: &Logged) -> LoggedJson<'_> {
    LoggedJson {
        number: logged.number,
        incident: &logged.incident,
    }
}

/// An earlier incident of the same fault.
#[derive(Serialize)]
struct EarlierJson<'a> {
    number: u32,
    id: String,
    occurred_at: String,
    cause: Option<&'a str>,
    status: &'static str,
}

fn earlier(before: &[Logged]) -> Vec<EarlierJson<'_>> {
    fn one(logged: &Logged) -> EarlierJson<'_> {
        EarlierJson {
            number: logged.number,
            id: logged.incident.id.to_string(),
            occurred_at: logged.incident.occurred_at.to_string(),
            cause: logged.incident.cause.as_deref(),
            status: logged.incident.status.word(),
        }
    }
    before.iter().map(one).collect()
}

/// An incident with what is linked to it.
#[derive(Serialize)]
pub struct ShownJson<'a> {
    #[serde(flatten)]
    logged: LoggedJson<'a>,
    same_fault_before: Vec<EarlierJson<'a>>,
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    history: &'a [Incident],
}

/// An incident that was just recorded, with the same fault before it.
pub fn recorded<'a>(number: u32, incident: &'a Incident, before: &'a [Logged]) -> ShownJson<'a> {
    ShownJson {
        logged: LoggedJson { number, incident },
        same_fault_before: earlier(before),
        history: &[],
    }
}

/// An incident as it is shown, with the same fault before it and its revisions.
pub fn shown_json<'a>(
    logged: &'a Logged,
    before: &'a [Logged],
    history: &'a [Incident],
) -> ShownJson<'a> {
    ShownJson {
        logged: logged_json(logged),
        same_fault_before: earlier(before),
        history,
    }
}

/// A list of incidents.
#[derive(Serialize)]
pub struct ListJson<'a> {
    incidents: Vec<LoggedJson<'a>>,
}

/// Incidents as printed.
pub fn list_json(logged: &[Logged]) -> ListJson<'_> {
    ListJson {
        incidents: logged.iter().map(logged_json).collect(),
    }
}

/// An incident that matches words.
#[derive(Serialize)]
pub struct FoundOne<'a> {
    score: f64,
    matched: &'a [String],
    #[serde(flatten)]
    logged: LoggedJson<'a>,
}

/// What words found.
#[derive(Serialize)]
pub struct FoundJson<'a> {
    query: &'a str,
    hits: Vec<FoundOne<'a>>,
}

/// What words found, as printed.
pub fn found_json<'a>(query: &'a str, found: &'a [Found]) -> FoundJson<'a> {
    FoundJson {
        query,
        hits: found
            .iter()
            .map(|one| FoundOne {
                score: one.score,
                matched: &one.matched,
                logged: logged_json(&one.logged),
            })
            .collect(),
    }
}
