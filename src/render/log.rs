//! Incidents and drives as documents and as JSON.

use jiff::Timestamp;
use jiff::tz::TimeZone;
use serde::Serialize;

use super::doc::{Document, code, plain, quiet, strong, value};
use super::text::shortened;
use crate::knowledge::Library;
use crate::plant::{Drive, Found, Incident, Logged};

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

/// An incident that was just recorded.
pub fn recorded(number: u32, incident: &Incident) -> LoggedJson<'_> {
    LoggedJson { number, incident }
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

/// Drives as a list.
pub fn drives(drives: &[Drive]) -> Document {
    let mut document = Document::new();
    if drives.is_empty() {
        document.text("The register has no drives yet.");
        document.paragraph(vec![
            plain("Add some: "),
            code("whytrip drive add --file FILE"),
        ]);
    }
    for drive in drives {
        document.item(vec![
            code(&drive.id),
            plain(format!(
                "  {}",
                joined(&[&drive.name, &drive.place, &drive.duty])
            )),
        ]);
    }
    document
}

/// The texts that say something, with commas between.
fn joined(texts: &[&str]) -> String {
    texts
        .iter()
        .filter(|text| !text.is_empty())
        .copied()
        .collect::<Vec<_>>()
        .join(", ")
}

/// A drive with its nameplate.
pub fn drive(drive: &Drive) -> Document {
    let mut document = Document::new();
    document.heading(
        1,
        if drive.name.is_empty() {
            &drive.id
        } else {
            &drive.name
        },
    );
    let fields = [
        ("Id", &drive.id),
        ("Place", &drive.place),
        ("Duty", &drive.duty),
        ("Model", &drive.model),
        ("Notes", &drive.notes),
    ];
    for (label, text) in fields.iter().filter(|(_, text)| !text.is_empty()) {
        document.labelled(label, text.as_str());
    }
    document.heading(2, "Nameplate");
    for (name, shown) in &drive.nameplate {
        document.item(vec![
            plain(format!("{}: ", name.replace('_', " "))),
            value(shown),
        ]);
    }
    document
}

/// A drive by itself.
#[derive(Serialize)]
pub struct DriveJson<'a> {
    kind: &'static str,
    #[serde(flatten)]
    drive: &'a Drive,
}

/// A drive as printed.
pub fn drive_json(drive: &Drive) -> DriveJson<'_> {
    DriveJson {
        kind: "drive",
        drive,
    }
}

/// All drives.
#[derive(Serialize)]
pub struct DrivesJson<'a> {
    drives: &'a [Drive],
}

/// All drives as printed.
pub fn drives_json(drives: &[Drive]) -> DrivesJson<'_> {
    DrivesJson { drives }
}
