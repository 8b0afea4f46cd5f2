//! Items of the knowledge and results of checks as documents.

use super::doc::{Block, Document, Span, code, plain, quiet, strong, value};
use std::collections::BTreeMap;

use crate::checks::{self, Check, Evaluation, Given, Need, Origin, Value};
use crate::diagnosis::scope;
use crate::knowledge::{
    Access, Cause, Caution, ClassKind, FaultClass, Library, Question, Reference,
};
use crate::quantity::{Quantity, significant, with_unit};

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

fn capital(word: &str) -> String {
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

/// All checks.
pub fn check_list() -> Document {
    let mut document = Document::new();
    document.heading(1, "Checks");
    for check in checks::all() {
        document.item(vec![
            code(check.name),
            plain(format!("  {}", check.purpose)),
        ]);
    }
    document.gap();
    document.paragraph(vec![
        plain("Inputs, formula, limits and sources: "),
        code("whytrip check NAME --explain"),
    ]);
    document
}

/// A check's definition.
pub fn check(check: &'static Check) -> Document {
    let mut document = Document::new();
    document.heading(1, check.purpose);
    document.paragraph(vec![code(check.name)]);
    document.gap();
    document.labelled("Formula", check.formula);
    document.labelled("Holds for", check.valid);
    document.labelled("Sources", check.sources.join("; "));
    document.heading(2, "Inputs");
    for input in check.inputs {
        let mut spans = vec![code(input.name), plain(format!("  {}", input.what))];
        if input.choices.is_empty() {
            spans.push(quiet(format!(
                " ({} to {})",
                input.limits.0, input.limits.1
            )));
        } else {
            spans.push(quiet(format!(" ({})", input.choices.join(" or "))));
        }
        let need = match input.need {
            Need::Required if input.origin == Origin::Reading => " reading",
            Need::Required if input.origin == Origin::Setting => " setting",
            Need::Required => "",
            Need::Optional => " optional",
            Need::Default(_) => " assumed",
        };
        if let Need::Default(assumed) = input.need {
            spans.push(quiet(format!(" assumed {assumed}")));
        } else if !need.is_empty() {
            spans.push(quiet(need));
        }
        document.item(spans);
    }
    document.heading(2, "Outputs");
    for output in check.outputs {
        document.item(vec![code(output.name), plain(format!("  {}", output.what))]);
    }
    if !check.bands.is_empty() {
        document.heading(2, "Verdict");
        for band in check.bands {
            let when = if band.when.is_empty() {
                "otherwise"
            } else {
                band.when
            };
            document.item(vec![
                strong(format!("{} ", band.verdict.word())),
                plain(format!("{when}: {} ", band.means)),
                quiet(format!("[{}]", band.source)),
            ]);
        }
    }
    document.heading(2, "Worked example");
    let inputs: Vec<String> = check
        .example
        .inputs
        .iter()
        .map(|(name, value)| format!("{name}={}", value.replace(' ', "")))
        .collect();
    document.paragraph(vec![
        code(format!("whytrip check {} {}", check.name, inputs.join(" "))),
        plain(format!(
            " gives {} = {}",
            check.example.output.0, check.example.output.1
        )),
    ]);
    document
}

/// A value of a check's result with its uncertainty, in the unit that is told to machines where
/// that reads well.
fn shown(quantity: Quantity, unit: &str, uncertainty: f64) -> Vec<Span> {
    let mut spans = vec![value(quantity.to_string())];
    let at = |si: f64| with_unit(Quantity::from_si(quantity.kind(), si), unit);
    if let Some(((high, middle), unit_text)) = at(quantity.si() + uncertainty)
        .zip(at(quantity.si()))
        .zip(Some(unit))
        && uncertainty > 0.0
    {
        let expanded = 2.0 * (high - middle).abs();
        spans.push(quiet(format!(
            " ± {} {unit_text}",
            significant(expanded, 2)
        )));
    }
    spans
}

/// Which values of a sum the register gave.
pub fn from_register(result: &Evaluation, drive: &str, names: &[String]) -> Document {
    let mut document = Document::new();
    let values: Vec<String> = names
        .iter()
        .filter_map(|name| {
            let shown = match result.inputs.get(name.as_str())? {
                Value::Quantity(quantity) => quantity.to_string(),
                Value::Word(word) => (*word).to_string(),
            };
            Some(format!("{} = {shown}", name.replace('_', " ")))
        })
        .collect();
    document.labelled(
        "From the register",
        format!("drive {drive}: {}", values.join(", ")),
    );
    document
}

/// A check's result.
pub fn evaluation(result: &Evaluation) -> Document {
    let mut document = Document::new();
    document.heading(1, result.check.purpose);
    for computed in &result.outputs {
        let mut spans = vec![plain(format!("{}: ", capital(computed.what)))];
        match &computed.value {
            Value::Word(word) => spans.push(value(word)),
            Value::Quantity(quantity) => {
                spans.extend(shown(*quantity, computed.unit, computed.uncertainty));
            }
        }
        document.item(spans);
    }
    if let Some(judged) = &result.judgement {
        document.gap();
        document.paragraph(vec![
            strong(format!("{}. ", capital(judged.verdict.word()))),
            plain(judged.means),
            quiet(format!(" [{}]", judged.source)),
        ]);
        if !judged.conclusive {
            document.text("The reading lies within the meter's uncertainty of a limit: a better meter or a second method would settle it.");
        }
    }
    if let Some(expected) = &result.expected {
        document.labelled("Expected", expected);
    }
    if let Some(doubt) = &result.doubt {
        document.labelled(
            "Look again",
            format!("{doubt}; check the meter, its range and the terminals."),
        );
    }
    for note in &result.notes {
        document.labelled("Note", note);
    }
    for name in &result.assumed {
        if let Some(Value::Quantity(quantity)) = result.inputs.get(name) {
            document.labelled("Assumed", format!("{name} = {quantity}"));
        }
    }
    document.gap();
    document.paragraph(vec![quiet(format!(
        "{}. Holds for: {}.",
        result.check.formula, result.check.valid
    ))]);
    document
}

/// What can be computed of a drive before anything is measured, to pin inside its door.
pub fn sheet(
    drive: Option<&str>,
    known: &BTreeMap<String, Given>,
    results: &[Evaluation],
) -> Document {
    let mut document = Document::new();
    document.heading(
        1,
        match drive {
            Some(id) => format!("What {id} should read"),
            None => "What the drive should read".to_owned(),
        },
    );
    document.heading(2, "Known");
    for (name, given) in known {
        let text = match given {
            Given::Reading(reading) => reading.value.to_string(),
            Given::Word(word) => word.clone(),
        };
        document.item(vec![
            plain(format!("{}: ", name.replace('_', " "))),
            value(text),
        ]);
    }
    document.heading(2, "Computed");
    for result in results {
        let mut spans = vec![strong(format!("{}: ", capital(result.check.purpose)))];
        let shown: Vec<String> = result
            .outputs
            .iter()
            .map(|computed| match &computed.value {
                Value::Quantity(quantity) => format!("{} {quantity}", computed.what),
                Value::Word(word) => format!("{} {word}", computed.what),
            })
            .collect();
        spans.push(plain(shown.join("; ")));
        for name in &result.assumed {
            if let Some(Value::Quantity(quantity)) = result.inputs.get(name) {
                spans.push(quiet(format!(
                    " (assumed {}: {quantity})",
                    name.replace('_', " ")
                )));
            }
        }
        spans.push(quiet(format!(" [{}]", result.check.sources.join("; "))));
        document.item(spans);
    }
    document.gap();
    document.paragraph(vec![quiet(
        "Limits that differ between makes come from the drive's own manual. Measuring is for qualified persons under the local rules.",
    )]);
    document
}
