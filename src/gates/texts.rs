//! Rules of prose that a program can see: imperative steps, a space before a unit, no trade marks or
//! makers' codes, sources that exist, nothing said twice.

use std::collections::{BTreeMap, BTreeSet};

use super::words::plain;
use super::{Scope, Shortcoming};

/// What a step in the imperative does not begin with.
const NO_COMMAND: &[&str] = &[
    "it", "you", "this", "that", "there", "we", "i", "they", "is", "are",
];

/// Units that stand behind a figure with a space between.
const UNITS: &[&str] = &[
    "V", "kV", "mV", "A", "mA", "kA", "W", "kW", "Hz", "kHz", "ms", "s", "min", "h", "mm", "m",
    "Ω", "kΩ", "MΩ", "°C", "%", "K", "N", "kg", "hp",
];

/// Names of parts and classes that look like a maker's code.
const NO_CODES: &[&str] = &[
    "PT100", "PT1000", "IP20", "IP21", "IP54", "IP55", "IP65", "C84", "TH3",
];

/// Words that do not make two texts different.
const FILL: &[&str] = &[
    "the", "a", "an", "of", "is", "does", "do", "it", "its", "to", "and",
];

/// A text with the item and the field it stands in.
pub struct Text<'l> {
    pub about: &'l str,
    pub field: &'static str,
    pub text: &'l str,
}

pub fn check(scope: &Scope<'_>) -> Vec<Shortcoming> {
    let mut found = Vec::new();
    for text in all(scope) {
        let mut report = |said: String| {
            found.push(Shortcoming {
                about: text.about.to_owned(),
                gate: "prose",
                text: format!("{}: {said}", text.field),
            });
        };
        let first = plain(text.text);
        let first = first.split(' ').next().unwrap_or("");
        if matches!(text.field, "how" | "first_look") && NO_COMMAND.contains(&first) {
            report(format!("begin with what to do, not with \"{first}\""));
        }
        for joined in figures_joined_to_units(text.text) {
            report(format!(
                "put a space between figure and unit in \"{joined}\""
            ));
        }
        if text.text.contains(['®', '™']) {
            report("take the trade mark out: no product is named here".to_owned());
        }
        for code in makers_codes(text.text) {
            report(format!(
                "\"{code}\" looks like a maker's code: say what it means instead"
            ));
        }
        for source in bracketed(text.text) {
            if scope.library.reference(source).is_none() {
                report(format!("there is no source \"{source}\" in sources.yaml"));
            }
        }
    }
    found.extend(said_twice(scope));
    found
}

pub fn all<'l>(scope: &Scope<'l>) -> Vec<Text<'l>> {
    let mut all = Vec::new();
    let mut add = |about: &'l str, field, text: &'l str| all.push(Text { about, field, text });
    for class in &scope.classes {
        add(&class.id, "title", &class.title);
        add(&class.id, "meaning", &class.meaning);
        add(&class.id, "first_look", &class.first_look);
        for other in &class.confused_with {
            add(&class.id, "because", &other.because);
        }
    }
    for cause in &scope.causes {
        add(&cause.id, "name", &cause.name);
        add(&cause.id, "what", &cause.what);
        add(&cause.id, "confirm", &cause.confirm.how);
        add(&cause.id, "put_right", &cause.put_right);
        add(&cause.id, "prove", &cause.prove);
        if let Some(text) = &cause.fails_with {
            add(&cause.id, "fails_with", text);
        }
    }
    for question in &scope.questions {
        add(&question.id, "ask", &question.ask);
        add(&question.id, "how", &question.how);
        add(&question.id, "tells", &question.tells);
        for finding in &question.findings {
            add(&question.id, "finding", &finding.text);
        }
    }
    all
}

/// `24V`: a figure with a unit that adjoins it.
fn figures_joined_to_units(text: &str) -> Vec<&str> {
    tokens(text)
        .filter(|token| {
            let unit =
                token.trim_start_matches(|c: char| c.is_ascii_digit() || matches!(c, '.' | ','));
            unit.len() < token.len()
                && UNITS.contains(&unit)
                && token.starts_with(|c: char| c.is_ascii_digit())
        })
        .collect()
}

/// `F0023`: one or two capitals and two or more figures.
fn makers_codes(text: &str) -> Vec<&str> {
    tokens(text)
        .filter(|token| {
            let figures = token.trim_start_matches(|c: char| c.is_ascii_uppercase());
            let letters = token.len() - figures.len();
            (1..=2).contains(&letters)
                && figures.len() >= 2
                && figures.bytes().all(|byte| byte.is_ascii_digit())
                && !NO_CODES.contains(token)
        })
        .collect()
}

/// Words without the signs around them.
fn tokens(text: &str) -> impl Iterator<Item = &str> {
    text.split_whitespace()
        .map(|token| token.trim_matches(|c: char| !c.is_alphanumeric() && c != '%'))
}

/// Source ids in brackets.
fn bracketed(text: &str) -> impl Iterator<Item = &str> {
    text.split('[')
        .skip(1)
        .filter_map(|part| part.split_once(']'))
        .map(|(inside, _)| inside)
}

/// Every source that a text names.
pub fn cited<'l>(scope: &Scope<'l>) -> Vec<&'l str> {
    all(scope)
        .into_iter()
        .flat_map(|text| bracketed(text.text))
        .collect()
}

/// Questions and causes that differ in nothing but small words.
fn said_twice(scope: &Scope<'_>) -> Vec<Shortcoming> {
    let library = scope.library;
    let asks = library.questions().map(|q| ("ask", &q.id, &q.ask));
    let names = library.causes().map(|c| ("name", &c.id, &c.name));
    let mut seen: BTreeMap<(&str, BTreeSet<String>), &String> = BTreeMap::new();
    let own = |id: &str| {
        scope.questions.iter().any(|question| question.id == id)
            || scope.causes.iter().any(|cause| cause.id == id)
    };
    let mut found = Vec::new();
    for (field, id, text) in asks.chain(names) {
        let words: BTreeSet<String> = plain(text)
            .split(' ')
            .filter(|word| !FILL.contains(word))
            .map(str::to_owned)
            .collect();
        if let Some(first) = seen.insert((field, words), id)
            && first != id
            && (own(id) || own(first))
        {
            found.push(Shortcoming {
                about: id.clone(),
                gate: "doubles",
                text: format!(
                    "{field} says the same as that of {first}: share one, or say the difference"
                ),
            });
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_the_prose_rules_see() {
        assert_eq!(
            figures_joined_to_units("wait 10min at 24V, not 24 V"),
            ["10min", "24V"]
        );
        assert_eq!(
            makers_codes("it shows F0023 or P12, on Pt100 and PT100"),
            ["F0023", "P12"]
        );
        assert_eq!(
            bracketed("60 V [iec-60204-1] and [x]").collect::<Vec<_>>(),
            ["iec-60204-1", "x"]
        );
    }
}
