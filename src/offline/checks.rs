//! The checks: formula, limits, verdict and sources to read; the script makes a form of each.

use super::anchors;
use super::markup::escaped;
use super::markup::{
    chapter as chapter_of, group, heading, item, labelled, link, links, list, paragraph, quiet,
    warning,
};
use crate::checks::{self, Band, Check, Input, Need, Origin, Output, meter};
use crate::knowledge::Library;
use crate::render::check::source_id;
use crate::render::item::capital;

/// The chapter.
pub fn chapter(library: &Library) -> String {
    let mut body =
        paragraph("What a hand-held meter may be off by is assumed and named at each check.");
    body.push_str(&quiet(meter::METHOD));
    body.push_str(&quiet(
        "A bare number takes the unit that its input names. \"From memory\" and \"practice\" mark what was not read in a standard. Limits that differ between makes come from the drive's own manual.",
    ));
    for area in checks::AREAS {
        body.push_str(&group(area.title));
        for check in area.checks() {
            let anchor = anchors::check(check.name);
            body.push_str(&item(
                &anchor,
                &capital(check.purpose),
                &text(library, check),
            ));
        }
    }
    chapter_of("checks", "Checks", &body)
}

fn text(library: &Library, check: &Check) -> String {
    let mut text = String::new();
    if takes_readings(check) {
        text.push_str(&warning(
            "DANGER",
            "Measuring live parts is for qualified persons under the local rules.",
        ));
    }
    text.push_str(&labelled("Formula", check.formula));
    text.push_str(&labelled("Holds for", check.valid));
    if let Some(expected) = check.expect.first() {
        let expected = expected.replace(['{', '}'], "").replace('_', " ");
        text.push_str(&labelled("A healthy reading", &expected));
    }
    text.push_str(&heading("Takes"));
    text.push_str(&list("takes", check.inputs.iter().map(input)));
    text.push_str(&heading("Gives"));
    text.push_str(&list("gives", check.outputs.iter().map(output)));
    if !check.bands.is_empty() {
        text.push_str(&heading("Verdict, by the first line that holds"));
        text.push_str(&list("bands", check.bands.iter().map(band)));
    }
    if let Some(limits) = meter::stated_limits(check) {
        text.push_str(&labelled("Limits of error", &limits.replace('_', " ")));
    }
    text.push_str(&labelled("Worked example", &example(check)));
    text.push_str(&measured(library, check));
    text.push_str(&heading("Sources"));
    text.push_str(&sources(library, check));
    text
}

/// Its sources with clause or table, each a way to the source in full.
fn sources(library: &Library, check: &Check) -> String {
    links(
        check
            .sources
            .iter()
            .map(|source| match library.reference(source_id(source)) {
                Some(reference) => link(&anchors::source(&reference.id), source, ""),
                None => escaped(source),
            }),
    )
}

fn takes_readings(check: &Check) -> bool {
    let mut inputs = check.inputs.iter();
    inputs.any(|input| input.origin == Origin::Reading)
}

/// The questions that take its readings, with their cautions.
fn measured(library: &Library, check: &Check) -> String {
    let asking = library.questions().filter(|question| {
        let measure = question.measure.as_ref();
        measure.is_some_and(|measure| measure.check == check.name)
    });
    let asking = links(asking.map(|question| {
        let anchor = anchors::question(&question.id);
        link(&anchor, &question.ask, question.access.word())
    }));
    match asking.as_str() {
        "" => asking,
        asking => heading("How its readings are taken") + asking,
    }
}

fn input(input: &Input) -> String {
    let mut remarks = Vec::new();
    match input.choices {
        [] if input.unit.is_empty() => {}
        [] => remarks.push(input.unit.to_owned()),
        choices => remarks.push(choices.join(", ")),
    }
    if input.choices.is_empty() {
        remarks.push(format!("{} to {}", input.limits.0, input.limits.1));
    }
    match (input.need, input.origin) {
        _ if !input.choices.is_empty() => {
            remarks.push(format!("assumed {}", input.choices[0]));
        }
        (Need::Default(assumed), _) => remarks.push(format!("assumed {assumed}")),
        (Need::Optional, _) => remarks.push("optional".to_owned()),
        (Need::Required, Origin::Reading) => remarks.push("reading".to_owned()),
        (Need::Required, Origin::Setting) => remarks.push("setting".to_owned()),
        (Need::Required, Origin::Nameplate) => {}
    }
    format!(
        "<b>{}</b>: <span>{}</span> <i>{}</i>",
        escaped(&capital(&input.name.replace('_', " "))),
        escaped(input.what),
        escaped(&remarks.join("; "))
    )
}

fn output(output: &Output) -> String {
    let unit = match output.unit {
        "" => String::new(),
        unit => format!(" <i>{}</i>", escaped(unit)),
    };
    format!("<span>{}</span>{unit}", escaped(&capital(output.what)))
}

fn band(band: &Band) -> String {
    let when = match band.when {
        "" => "otherwise".to_owned(),
        when => when.replace('_', " "),
    };
    format!(
        "<strong>{}</strong> {}: <span>{}</span> <i>[{}]</i>",
        capital(band.verdict.word()),
        escaped(&when),
        escaped(band.means),
        escaped(band.source)
    )
}

fn example(check: &Check) -> String {
    let inputs = check.example.inputs.iter();
    let inputs: Vec<String> = inputs
        .map(|(name, value)| format!("{} {value}", name.replace('_', " ")))
        .collect();
    let (output, value) = check.example.output;
    format!(
        "{} gives {} {value}.",
        inputs.join(", "),
        output.replace('_', " ")
    )
}
