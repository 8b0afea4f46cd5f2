//! The answer of a search as a document and as JSON.

use serde::Serialize;

use super::doc::{Block, Document, code as mono, plain, quiet, strong};
use super::text::shortened;
use super::{code, log};
use crate::knowledge::Library;
use crate::plant::{Code, CodeMatch, Found as FoundIncident, Incident, Likeness};
use crate::search::{Found, Hit, HitKind, QueryReading, for_walk};

/// What the plant itself knows of the words.
#[derive(Clone, Debug, Default)]
pub struct Here {
    /// Codes of its sheet that stand in them.
    pub codes: Vec<CodeMatch>,
    /// The same trouble on the drive that is meant: it leads.
    pub leading: Option<FoundIncident>,
    /// Other incidents, best first.
    pub incidents: Vec<FoundIncident>,
}

/// An incident that holds this much of what was typed is the same trouble, whatever its class
/// (judgement; common practice, no source).
const SAME_TROUBLE: f64 = 0.6;

impl Here {
    /// What the plant's code sheet and log say of the words. What the sheet explains isn't said to
    /// be unknown any more.
    pub fn known(
        words: &str,
        drive: Option<&str>,
        codes: &[Code],
        incidents: Vec<FoundIncident>,
        found: &mut Found,
    ) -> Self {
        for typed in found.understood.maker_codes.clone() {
            if !Code::matching(codes, &typed).is_empty() {
                found.explained(&typed);
            }
        }
        let matches = Code::matching(codes, words);
        if found.hits.is_empty() && matches.iter().any(|one| one.likeness == Likeness::Exact) {
            // The sheet is the answer: what else might be asked or said would only drown it.
            found.ask.clear();
            found.advice.clear();
        }
        Self {
            codes: matches,
            ..Self::of_incidents(words, drive, incidents, found)
        }
    }

    /// The incidents that the words found. One of the drive that is named, of the class that the
    /// words lead to or with most of the words, leads.
    fn of_incidents(
        words: &str,
        drive: Option<&str>,
        mut incidents: Vec<FoundIncident>,
        found: &Found,
    ) -> Self {
        let class = found.hits.iter().find_map(|hit| hit.class.as_deref());
        let leads = |one: &FoundIncident| {
            let incident = &one.logged.incident;
            let is_meant = incident.drive.as_deref().is_some_and(|of| match drive {
                Some(drive) => drive.eq_ignore_ascii_case(of),
                None => names(words, of),
            });
            let same_class = class.is_some() && incident.class.as_deref() == class;
            is_meant && (same_class || one.score >= SAME_TROUBLE)
        };
        let leading = incidents
            .iter()
            .position(leads)
            .map(|place| incidents.remove(place));
        Self {
            codes: Vec::new(),
            leading,
            incidents,
        }
    }

    /// Whether the plant knows nothing of it.
    pub fn is_empty(&self) -> bool {
        self.codes.is_empty() && self.leading.is_none() && self.incidents.is_empty()
    }

    /// The class of the first code that is so much alike.
    fn code_class(&self, likeness: Likeness) -> Option<&str> {
        let code = self.codes.iter().find(|found| found.likeness == likeness);
        code.map(|found| found.code.class.as_str())
    }

    /// The fault class that the plant's own knowledge surely leads to.
    fn class(&self) -> Option<&str> {
        self.code_class(Likeness::Exact)
            .or_else(|| self.leading.as_ref()?.logged.incident.class.as_deref())
    }
}

/// Whether the words hold this name, with nothing of a word before or behind it.
fn names(words: &str, name: &str) -> bool {
    let (words, name) = (words.to_lowercase(), name.to_lowercase());
    !name.is_empty()
        && words.match_indices(&name).any(|(at, _)| {
            let before = words[..at].chars().next_back();
            let behind = words[at + name.len()..].chars().next();
            ![before, behind]
                .into_iter()
                .flatten()
                .any(char::is_alphanumeric)
        })
}

/// The answer for people.
pub fn answer(library: &Library, words: &str, found: &Found, here: &Here) -> Document {
    let mut document = Document::new();
    if let Some(caution) = found.caution {
        document.push(Block::Caution {
            signal: "WARNING".to_owned(),
            text: caution.to_owned(),
        });
    }
    if found.hits.is_empty() && here.codes.is_empty() && here.leading.is_none() {
        document.text(format!(
            "Nothing here matches \"{}\".",
            shortened(words.trim())
        ));
    }
    understood(&mut document, found);
    document.append(code::matched(library, &here.codes));
    if let Some(leading) = &here.leading {
        document.append(log::last_time(library, &leading.logged));
    }
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
    if !here.incidents.is_empty() {
        document.heading(2, "Found here before");
        document.append(log::found(library, words, &here.incidents));
    }
    if let Some(command) = next(library, found, here) {
        document.gap();
        document.paragraph(vec![strong("Next: "), mono(command)]);
    } else if found.hits.is_empty() {
        document.gap();
        document.paragraph(vec![
            strong("Next: "),
            mono("whytrip show"),
            plain("  lists the fault classes"),
        ]);
    }
    document
}

/// The command that takes the best hit on, with what the query already answers. What the plant's
/// own code sheet and log surely say comes first.
pub fn next(library: &Library, found: &Found, here: &Here) -> Option<String> {
    if here.class().is_none()
        && let Some(first) = found.hits.first()
        && first.kind == HitKind::Check
    {
        return Some(format!("whytrip check {}", first.id));
    }
    let best = || found.hits.iter().find(|hit| hit.kind == HitKind::Class);
    let id = here
        .class()
        .or_else(|| best().map(|best| best.id.as_str()))
        .or_else(|| here.code_class(Likeness::Near))?;
    let mut command = format!("whytrip walk {id}");
    let leading = here.leading.as_ref();
    if let Some(drive) = leading.and_then(|leading| leading.logged.incident.drive.as_deref()) {
        command.push_str(&format!(" --drive {drive}"));
    }
    if let Some(class) = library.class(id) {
        for (name, value) in for_walk(library, &found.understood, class) {
            command.push_str(&format!(" {name}={value}"));
        }
    }
    Some(command)
}

/// Hits besides classes, each kind under its own heading.
fn others_by_kind(document: &mut Document, hits: &[&Hit]) {
    let headings: [(&str, &[HitKind]); 4] = [
        ("Checks that compute it", &[HitKind::Check]),
        (
            "Codes that stand in the words",
            &[
                HitKind::StandardCode,
                HitKind::StatusWord,
                HitKind::PlantCode,
            ],
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
    document.paragraph(vec![strong(&hit.title), plain("  "), mono(&hit.id)]);
    if !hit.why.is_empty() {
        document.paragraph(vec![quiet(format!("Because {}.", hit.why.join("; ")))]);
    }
    if !first {
        return;
    }
    let Some(class) = library.class(&hit.id) else {
        return;
    };
    super::item::push_cautions(document, library, &class.cautions);
    document.text(&class.meaning);
    document.labelled("Look first", &class.first_look);
}

fn other_hit(document: &mut Document, hit: &Hit) {
    let mut spans = vec![plain(format!("{} ", hit.title))];
    let word = match hit.kind {
        HitKind::StandardCode => Some("error"),
        HitKind::StatusWord => Some("status"),
        _ => None,
    };
    if word.is_none() {
        if hit.kind == HitKind::PlantCode {
            spans.push(quiet(format!("({}) ", hit.kind.word().replace('-', " "))));
        }
        spans.push(mono(&hit.id));
    }
    if let Some(class) = &hit.class {
        spans.push(quiet(format!(" in {class}")));
    }
    document.item(spans);
    if let Some(word) = word {
        document.push(Block::Command(format!(
            "    whytrip decode {word} {}h",
            hit.id
        )));
    }
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
    #[serde(skip_serializing_if = "str::is_empty")]
    model: &'a str,
    #[serde(skip_serializing_if = "str::is_empty")]
    note: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    drive: Option<&'a str>,
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
    caution: Option<&'a str>,
}

/// The answer for machines. What the plant's code sheet says and what happened to the named drive
/// stand in front; other incidents of the plant stand behind what is known in general.
pub fn json<'a>(query: &'a str, found: &'a Found, here: &'a Here) -> FoundJson<'a> {
    let best_known = found.hits.first().map_or(0.0, |hit| hit.score);
    let known = found.hits.iter().map(|hit| HitJson {
        kind: hit.kind.word(),
        id: (&hit.id).into(),
        class: hit.class.as_deref(),
        title: &hit.title,
        score: hit.score,
        why: hit.why.iter().map(String::as_str).collect(),
        model: "",
        note: "",
        drive: None,
    });
    let codes = here.codes.iter().map(|one| {
        let (score, why) = match one.likeness {
            Likeness::Exact => (1.0, "stands on the plant's code sheet"),
            Likeness::Near => (
                f64::max(0.9, best_known),
                "nearly stands on the plant's code sheet",
            ),
        };
        HitJson {
            kind: HitKind::PlantCode.word(),
            id: (&one.code.shown).into(),
            class: Some(&one.code.class),
            title: &one.code.shown,
            score,
            why: vec![why],
            model: &one.code.model,
            note: &one.code.note,
            drive: None,
        }
    });
    let (exact, near): (Vec<_>, Vec<_>) = codes.partition(|code| code.score >= 1.0);
    let leading = here.leading.iter().map(|one| incident_hit(one, 1.0));
    let best = here
        .incidents
        .first()
        .map_or(1.0, |one| one.score.max(f64::MIN_POSITIVE));
    let past = here
        .incidents
        .iter()
        .map(|one| incident_hit(one, one.score / best * 0.5));
    let hits = exact
        .into_iter()
        .chain(leading)
        .chain(near)
        .chain(known)
        .chain(past)
        .collect();
    FoundJson {
        query,
        hits,
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
        caution: found.caution,
    }
}

fn incident_hit(one: &FoundIncident, score: f64) -> HitJson<'_> {
    let incident = &one.logged.incident;
    HitJson {
        kind: HitKind::Incident.word(),
        id: one.logged.number.to_string().into(),
        class: incident.class.as_deref(),
        title: headline(incident),
        score,
        why: one.matched.iter().map(String::as_str).collect(),
        model: "",
        note: "",
        drive: incident.drive.as_deref(),
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
