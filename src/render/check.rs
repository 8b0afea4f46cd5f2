//! Checks as documents: the list, a definition, the handbook of all, a result.

use std::collections::BTreeSet;

use super::doc::{Document, Span, code, link, plain, quiet, strong, value};
use super::item::capital;
use crate::checks::{self, Check, Evaluation, Input, Need, Origin, Value, meter};
use crate::knowledge::Library;
use crate::quantity::{Quantity, significant, with_unit};

/// All checks, area by area.
pub fn list() -> Document {
    let mut document = Document::new();
    document.heading(1, "Checks");
    for area in checks::AREAS {
        document.heading(2, area.title);
        for check in area.checks() {
            document.item(vec![
                code(check.name),
                plain(format!("  {}", capital(check.purpose))),
            ]);
        }
    }
    document.gap();
    document.paragraph(vec![
        plain("Inputs, formula, limits and sources: "),
        code("whytrip check NAME --explain"),
    ]);
    document.paragraph(vec![
        plain("All of that on one page: "),
        code("whytrip check --all --explain --format html"),
    ]);
    document
}

/// A check's definition.
pub fn definition(check: &'static Check) -> Document {
    let mut document = Document::new();
    document.heading(1, capital(check.purpose));
    document.paragraph(vec![code(check.name)]);
    document.gap();
    push_definition(&mut document, check, 2);
    document
}

/// Every check on one page, with an index by area and the sources in full.
pub fn handbook(library: &Library) -> Document {
    let mut document = Document::new();
    document.heading(1, "Handbook of electrical checks");
    document.text(format!(
        "{} checks, each with inputs, formula, range, sources, limits and a worked example. A bare number takes the unit that its input names; \"from memory\" and \"practice\" mark what was not read in a standard.",
        checks::all().count()
    ));
    document.heading(2, "Index");
    for area in checks::AREAS {
        document.heading(3, area.title);
        for check in area.checks() {
            document.item(vec![
                link(check.name),
                plain(format!("  {}", capital(check.purpose))),
            ]);
        }
    }
    for area in checks::AREAS {
        document.heading(2, area.title);
        for check in area.checks() {
            document.heading(3, check.name);
            document.text(format!("{}.", capital(check.purpose)));
            push_definition(&mut document, check, 4);
        }
    }
    document.heading(2, "Sources");
    let used: BTreeSet<&str> = checks::all()
        .flat_map(|check| check.sources)
        .map(|source| source_id(source))
        .collect();
    for reference in library
        .references()
        .filter(|r| used.contains(r.id.as_str()))
    {
        let note = reference.note.as_deref().map(|note| format!(" ({note})"));
        document.item(vec![
            code(&reference.id),
            plain(format!("  {}", reference.title)),
            quiet(note.unwrap_or_default()),
        ]);
    }
    document.gap();
    document.paragraph(vec![quiet(
        "Limits that differ between makes come from the drive's own manual. Measuring live parts is for qualified persons under the local rules.",
    )]);
    document
}

/// The id of a source that is named with its clause.
pub fn source_id(source: &str) -> &str {
    source.split(':').next().unwrap_or(source).trim()
}

fn push_definition(document: &mut Document, check: &'static Check, level: u8) {
    document.labelled("Formula", check.formula);
    document.labelled("Holds for", check.valid);
    document.labelled("Sources", check.sources.join("; "));
    if let Some(expected) = check.expect.first() {
        document.labelled("A healthy reading", expected.replace(['{', '}'], ""));
    }
    document.heading(level, "Inputs");
    for input in check.inputs {
        document.item(input_line(input));
    }
    document.heading(level, "Outputs");
    for output in check.outputs {
        let unit = match output.unit {
            "" => String::new(),
            unit => format!(" [{unit}]"),
        };
        document.item(vec![
            code(output.name),
            plain(format!("  {}", output.what)),
            quiet(unit),
        ]);
    }
    if !check.bands.is_empty() {
        document.heading(level, "Verdict");
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
    if let Some(text) = meter::stated(check) {
        document.heading(level, "Uncertainty");
        document.text(text);
    }
    document.heading(level, "Worked example");
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
}

/// Name, meaning, range, unit of a bare number, and where it comes from.
fn input_line(input: &'static Input) -> Vec<Span> {
    let mut spans = vec![code(input.name), plain(format!("  {}", input.what))];
    if input.choices.is_empty() {
        spans.push(quiet(format!(
            " ({} to {})",
            input.limits.0, input.limits.1
        )));
    } else {
        spans.push(quiet(format!(" ({})", input.choices.join(" or "))));
    }
    let need = match (input.need, input.origin) {
        (_, _) if !input.choices.is_empty() => format!(" assumed {}", input.choices[0]),
        (Need::Default(assumed), _) => format!(" assumed {assumed}"),
        (Need::Optional, _) => " optional".to_owned(),
        (Need::Required, Origin::Reading) => " reading".to_owned(),
        (Need::Required, Origin::Setting) => " setting".to_owned(),
        (Need::Required, Origin::Nameplate) => String::new(),
    };
    spans.push(quiet(need));
    spans
}

/// A value of a check's result with its uncertainty, in the unit that is told to machines where
/// that reads well.
fn shown(quantity: Quantity, unit: &str, uncertainty: f64) -> Vec<Span> {
    let mut spans = vec![value(quantity.to_string())];
    let at = |si: f64| with_unit(Quantity::from_si(quantity.kind(), si), unit);
    if let Some((high, middle)) = at(quantity.si() + uncertainty).zip(at(quantity.si()))
        && uncertainty > 0.0
    {
        let expanded = 2.0 * (high - middle).abs();
        spans.push(quiet(format!(" ± {} {unit}", significant(expanded, 2))));
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
    document.heading(1, capital(result.check.purpose));
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
