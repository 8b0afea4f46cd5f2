//! The answer of a search as a document and as JSON.

use serde::Serialize;

use super::doc::{Document, code, plain, quiet, strong};
use super::log;
use super::text::shortened;
use crate::knowledge::Library;
use crate::plant::{Found as FoundIncident, Incident};
use crate::search::{Found, Hit, HitKind, QueryReading, for_walk};

/// The answer for people.
pub fn answer(
    library: &Library,
    words: &str,
    found: &Found,
    incidents: &[FoundIncident],
) -> Document {
    let mut document = Document::new();
    if found.hits.is_empty() {
        document.text(format!(
            "Nothing here matches \"{}\".",
            shortened(words.trim())
        ));
    }
    understood(&mut document, found);
    let classes: Vec<&Hit> = found
        .hits
        .iter()
        .filter(|hit| hit.kind == HitKind::Class)
        .collect();
    // Who asks for a quantity gets the sum before the classes.
    let leads = |hit: &Hit| hit.kind == HitKind::Check;
    let check_first = found.hits.first().is_some_and(leads);
    let (first, others): (Vec<&Hit>, Vec<&Hit>) = found
        .hits
        .iter()
        .filter(|hit| hit.kind != HitKind::Class)
        .partition(|hit| check_first && leads(hit));
    others_by_kind(&mut document, &first);
    for (place, hit) in classes.iter().enumerate() {
        document.gap();
        class_hit(&mut document, library, hit, place == 0);
    }
    others_by_kind(&mut document, &others);
    if let Some(tie) = &found.near_tie
        && let Some(question) = library.question(&tie.ask)
    {
        document.gap();
        document.paragraph(vec![
            strong("Close call: "),
            plain(format!(
                "{} Ask that first: it tells the first two apart.",
                question.ask
            )),
        ]);
    }
    // The question of a close call has just been asked.
    let asked = found.near_tie.as_ref().map(|tie| &tie.ask);
    let mut further = found.ask.iter().filter(|id| Some(*id) != asked).peekable();
    if further.peek().is_some() {
        document.heading(2, "Answer one of these and search again");
    }
    for question in further.filter_map(|id| library.question(id)) {
        document.item(vec![plain(&question.ask)]);
    }
    for advice in &found.advice {
        document.gap();
        document.text(advice);
    }
    if !incidents.is_empty() {
        document.heading(2, "Found here before");
        document.append(log::found(library, words, incidents));
    }
    if let Some(command) = next(library, found) {
        document.gap();
        document.paragraph(vec![strong("Next: "), code(command)]);
    } else if found.hits.is_empty() {
        document.gap();
        document.paragraph(vec![
            strong("Next: "),
            code("whytrip show"),
            plain("  lists the fault classes"),
        ]);
    }
    document
}

/// The command that takes the best hit on, with what the query already answers.
fn next(library: &Library, found: &Found) -> Option<String> {
    let first = found.hits.first()?;
    if first.kind == HitKind::Check {
        return Some(format!("whytrip check {}", first.id));
    }
    let best = found.hits.iter().find(|hit| hit.kind == HitKind::Class)?;
    let mut command = format!("whytrip walk {}", best.id);
    let class = library.class(&best.id)?;
    for (name, value) in for_walk(library, &found.understood, class) {
        command.push_str(&format!(" {name}={value}"));
    }
    Some(command)
}

/// Hits besides classes, each kind under its own heading.
fn others_by_kind(document: &mut Document, hits: &[&Hit]) {
    let headings: [(&str, &[HitKind]); 4] = [
        ("Checks that compute it", &[HitKind::Check]),
        (
            "Codes that stand in the words",
            &[HitKind::StandardCode, HitKind::PlantCode],
        ),
        ("Causes that fit the words", &[HitKind::Cause]),
        ("Steps that the words name", &[HitKind::Question]),
    ];
    for (heading, kinds) in headings {
        let mut of_kind = hits
            .iter()
            .filter(|hit| kinds.contains(&hit.kind))
            .peekable();
        if of_kind.peek().is_some() {
            document.heading(2, heading);
        }
        for hit in of_kind {
            other_hit(document, hit);
        }
    }
}

fn understood(document: &mut Document, found: &Found) {
    let corrected: Vec<String> = found
        .understood
        .corrected
        .iter()
        .map(|(typed, read)| format!("\"{typed}\" read as \"{read}\""))
        .collect();
    if !corrected.is_empty() {
        document.paragraph(vec![quiet(format!("{}.", corrected.join(", ")))]);
    }
}

fn class_hit(document: &mut Document, library: &Library, hit: &Hit, first: bool) {
    document.paragraph(vec![strong(&hit.title), plain("  "), code(&hit.id)]);
    if !hit.why.is_empty() {
        document.paragraph(vec![quiet(format!("Because {}.", hit.why.join("; ")))]);
    }
    let Some(class) = library.class(&hit.id).filter(|_| first) else {
        return;
    };
    super::item::push_cautions(document, library, &class.cautions);
    document.text(&class.meaning);
    document.labelled("Look first", &class.first_look);
}

fn other_hit(document: &mut Document, hit: &Hit) {
    let mut spans = vec![plain(format!("{} ", hit.title))];
    if matches!(hit.kind, HitKind::StandardCode | HitKind::PlantCode) {
        spans.push(quiet(format!("({}) ", hit.kind.word().replace('-', " "))));
    }
    spans.push(code(&hit.id));
    if let Some(class) = &hit.class {
        spans.push(quiet(format!(" in {class}")));
    }
    document.item(spans);
}

/// A hit as printed.
#[derive(Serialize)]
struct HitJson<'a> {
    kind: &'static str,
    id: std::borrow::Cow<'a, str>,
    class: Option<&'a str>,
    title: &'a str,
    score: f64,
    why: Vec<&'a str>,
}

/// A reading that stood in the query.
#[derive(Serialize)]
struct ReadingJson<'a> {
    of: Option<&'a str>,
    typed: &'a str,
    quantity: &'static str,
}

/// What the query was understood as.
#[derive(Serialize)]
struct UnderstoodJson<'a> {
    corrected: Vec<[&'a str; 2]>,
    moment: Option<&'a str>,
    not_moments: &'a [String],
    observed: &'a [(String, String)],
    readings: Vec<ReadingJson<'a>>,
    maker_codes: &'a [String],
    unknown: &'a [String],
}

/// Two classes that fit almost equally well.
#[derive(Serialize)]
struct NearTieJson<'a> {
    first: &'a str,
    second: &'a str,
    ask: &'a str,
}

/// An answer.
#[derive(Serialize)]
pub struct FoundJson<'a> {
    query: &'a str,
    hits: Vec<HitJson<'a>>,
    understood: UnderstoodJson<'a>,
    near_tie: Option<NearTieJson<'a>>,
    ask: &'a [String],
    advice: &'a [String],
}

/// The answer for machines; incidents of the plant stand behind what is known in general.
pub fn json<'a>(query: &'a str, found: &'a Found, incidents: &'a [FoundIncident]) -> FoundJson<'a> {
    let known = found.hits.iter().map(|hit| HitJson {
        kind: hit.kind.word(),
        id: (&hit.id).into(),
        class: hit.class.as_deref(),
        title: &hit.title,
        score: hit.score,
        why: hit.why.iter().map(String::as_str).collect(),
    });
    let best = incidents
        .first()
        .map_or(1.0, |one| one.score.max(f64::MIN_POSITIVE));
    let past = incidents.iter().map(|one| HitJson {
        kind: HitKind::Incident.word(),
        id: one.logged.number.to_string().into(),
        class: one.logged.incident.class.as_deref(),
        title: headline(&one.logged.incident),
        score: one.score / best * 0.5,
        why: one.matched.iter().map(String::as_str).collect(),
    });
    FoundJson {
        query,
        hits: known.chain(past).collect(),
        understood: UnderstoodJson {
            corrected: found
                .understood
                .corrected
                .iter()
                .map(|(typed, read)| [typed.as_str(), read.as_str()])
                .collect(),
            moment: found.understood.moment.as_deref(),
            not_moments: &found.understood.not_moments,
            observed: &found.understood.observed,
            readings: found.understood.readings.iter().map(reading).collect(),
            maker_codes: &found.understood.maker_codes,
            unknown: &found.understood.unknown,
        },
        near_tie: found.near_tie.as_ref().map(|tie| NearTieJson {
            first: &tie.first,
            second: &tie.second,
            ask: &tie.ask,
        }),
        ask: &found.ask,
        advice: &found.advice,
    }
}

/// What an incident was about, in its own words.
fn headline(incident: &Incident) -> &str {
    [
        &incident.words,
        &incident.display,
        &incident.done,
        &incident.cause_note,
    ]
    .into_iter()
    .find(|text| !text.is_empty())
    .map_or("", String::as_str)
}

fn reading(reading: &QueryReading) -> ReadingJson<'_> {
    ReadingJson {
        of: reading.of.as_deref(),
        typed: &reading.typed,
        quantity: reading.value.kind().words(),
    }
}
