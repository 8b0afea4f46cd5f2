//! Items of the knowledge as documents.

use super::doc::{Block, Document, code, plain, quiet, strong};
use crate::diagnosis::scope;
use crate::knowledge::{
    Access, Cause, Caution, ClassKind, FaultClass, Library, Question, Reference,
};
use crate::quantity::significant;

/// Adds the cautions with these ids, each in full.
pub fn push_cautions(document: &mut Document, library: &Library, ids: &[String]) {
    for id in ids {
        if let Some(caution) = library.caution(id) {
            document.push(Block::Caution {
                signal: caution.signal.clone(),
                text: caution.text.clone(),
            });
        }
    }
}

/// What an access means, in words.
pub fn access_words(access: Access) -> &'static str {
    match access {
        Access::Observe => "door closed, anyone",
        Access::Operate => "run the machine, door closed",
        Access::Live => "door open and powered, qualified person only",
        Access::Isolated => "locked off and proved dead, qualified person only",
    }
}

fn kind_words(kind: ClassKind) -> &'static str {
    match kind {
        ClassKind::Trip => "Trip: the drive reports a fault and stops",
        ClassKind::Waiting => "Waiting: the drive is healthy but held back",
        ClassKind::Behaviour => "Behaviour: a symptom without a report",
    }
}

/// Minutes as people say them.
pub fn minutes_words(minutes: f64) -> String {
    if minutes < 1.0 {
        "under a minute".to_owned()
    } else {
        format!("{} min", significant(minutes.round(), 3))
    }
}

/// All fault classes.
pub fn class_list(library: &Library) -> Document {
    let mut document = Document::new();
    document.heading(1, "Fault classes");
    for class in library.classes() {
        document.item(vec![code(&class.id), plain(format!("  {}", class.title))]);
    }
    document.gap();
    document.paragraph(vec![
        plain("Look at one: "),
        code("whytrip show ID"),
        plain(". Be walked: "),
        code("whytrip walk ID"),
    ]);
    document
}

/// A fault class.
pub fn class(library: &Library, class: &FaultClass) -> Document {
    let mut document = Document::new();
    document.heading(1, &class.title);
    document.paragraph(vec![
        quiet(kind_words(class.kind)),
        plain("  "),
        code(&class.id),
    ]);
    document.gap();
    push_cautions(&mut document, library, &class.cautions);
    document.text(&class.meaning);
    document.gap();
    document.labelled("Look first", &class.first_look);
    document.heading(2, "Causes");
    for (cause, how_often) in scope::causes_of(library, class) {
        document.item(vec![
            plain(format!("{} ", cause.name)),
            quiet(format!("({}) ", how_often.word())),
            code(&cause.id),
        ]);
    }
    document.heading(2, "Questions");
    for question in scope::questions_of(library, class) {
        document.item(vec![
            plain(format!("{} ", question.ask)),
            quiet(format!(
                "({}, {}) ",
                question.access.word(),
                minutes_words(question.minutes)
            )),
            code(&question.id),
        ]);
    }
    if !class.confused_with.is_empty() {
        document.heading(2, "Easily taken for it");
        for other in &class.confused_with {
            document.item(vec![
                code(&other.class),
                plain(format!(": {} Ask ", other.because)),
                code(&other.ask),
                plain("."),
            ]);
        }
    }
    if !class.abbreviations.is_empty() || !class.standard_codes.is_empty() {
        document.heading(2, "Also shown as");
        if !class.abbreviations.is_empty() {
            document.item(vec![plain(class.abbreviations.join(", "))]);
        }
        if !class.standard_codes.is_empty() {
            let codes: Vec<String> = class
                .standard_codes
                .iter()
                .map(|c| format!("{c}h"))
                .collect();
            document.item(vec![
                plain(format!("error code {} ", codes.join(", "))),
                quiet("(CiA 402 / IEC 61800-7-201)"),
            ]);
        }
    }
    document.gap();
    document.paragraph(vec![quiet(
        "How often a cause is behind it is a judgement (common practice, no source).",
    )]);
    document.paragraph(vec![
        strong("Next: "),
        code(format!("whytrip walk {}", class.id)),
    ]);
    document
}

/// A cause.
pub fn cause(library: &Library, cause: &Cause) -> Document {
    let mut document = Document::new();
    document.heading(1, &cause.name);
    document.paragraph(vec![code(&cause.id)]);
    document.gap();
    document.text(&cause.what);
    document.heading(2, "Signs");
    for sign in &cause.signs {
        let Some(question) = library.question(&sign.question) else {
            continue;
        };
        let Some(finding) = question.findings.iter().find(|f| f.id == sign.finding) else {
            continue;
        };
        document.item(vec![
            strong(format!("{}: ", capital(sign.level.word()))),
            plain(format!("{} ", finding.text)),
            quiet(format!("({}) ", question.ask)),
        ]);
    }
    document.heading(2, "Confirm");
    push_cautions(&mut document, library, &cause.cautions);
    document.text(&cause.confirm.how);
    document.paragraph(vec![quiet(format!(
        "{}; {}",
        minutes_words(cause.confirm.minutes),
        access_words(cause.confirm.access)
    ))]);
    document.heading(2, "Put right");
    document.text(&cause.put_right);
    document.heading(2, "Prove");
    document.text(&cause.prove);
    if let Some(fails_with) = &cause.fails_with {
        document.heading(2, "Fails with it");
        document.text(fails_with);
    }
    document.heading(2, "Behind");
    for class in library.classes() {
        if class.causes.iter().any(|listed| listed.cause == cause.id) {
            document.item(vec![code(&class.id)]);
        }
    }
    document
}

/// A word with its first letter large.
pub fn capital(word: &str) -> String {
    let mut chars = word.chars();
    chars.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(chars).collect()
    })
}

/// A question.
pub fn question(library: &Library, question: &Question) -> Document {
    let mut document = Document::new();
    document.heading(1, &question.ask);
    document.paragraph(vec![code(&question.id)]);
    document.gap();
    push_cautions(&mut document, library, &question.cautions);
    document.labelled("How", &question.how);
    document.labelled("Tells", &question.tells);
    document.paragraph(vec![quiet(format!(
        "{}; {}",
        minutes_words(question.minutes),
        access_words(question.access)
    ))]);
    document.heading(2, "Findings");
    for finding in &question.findings {
        let mut spans = vec![code(&finding.id), plain(format!("  {}", finding.text))];
        if let Some(when) = &finding.when {
            spans.push(quiet(format!(" ({when})")));
        }
        document.item(spans);
    }
    if let Some(measure) = &question.measure {
        document.gap();
        document.paragraph(vec![
            plain("Judged by "),
            code(format!("whytrip check {}", measure.check)),
            plain(format!(
                " from {}; limits from {}.",
                measure.inputs.join(", "),
                measure.source
            )),
        ]);
    }
    document
}

/// A caution.
pub fn caution(caution: &Caution) -> Document {
    let mut document = Document::new();
    document.push(Block::Caution {
        signal: caution.signal.clone(),
        text: caution.text.clone(),
    });
    document.paragraph(vec![quiet(format!(
        "Sources: {}",
        caution.sources.join(", ")
    ))]);
    document
}

/// A source.
pub fn reference(reference: &Reference) -> Document {
    let mut document = Document::new();
    document.heading(1, &reference.title);
    document.paragraph(vec![code(&reference.id)]);
    if let Some(note) = &reference.note {
        document.text(note);
    }
    document
}
