//! Texts of a template that nobody has written yet.

use std::collections::BTreeSet;

use super::texts;
use super::{Scope, Shortcoming};

/// What stands in a template where a text belongs.
const MARK: &str = "FILL IN";

pub fn check(scope: &Scope<'_>) -> Vec<Shortcoming> {
    let mut found: Vec<Shortcoming> = texts::all(scope)
        .iter()
        .filter(|text| text.text.contains(MARK))
        .map(|text| missing(text.about, text.field))
        .collect();
    for class in &scope.classes {
        if class.phrases.iter().any(|phrase| phrase.contains(MARK)) {
            found.push(missing(&class.id, "phrases"));
        }
    }
    found
}

fn missing(about: &str, field: &str) -> Shortcoming {
    Shortcoming {
        about: about.to_owned(),
        gate: "unfinished",
        text: format!("{field}: still to be written"),
    }
}

/// The scope without the items that are not written yet.
pub fn without<'l>(scope: &Scope<'l>) -> Scope<'l> {
    let found = check(scope);
    let open: BTreeSet<&str> = found.iter().map(|one| one.about.as_str()).collect();
    let mut rest = scope.clone();
    rest.classes
        .retain(|class| !open.contains(class.id.as_str()));
    rest.causes
        .retain(|cause| !open.contains(cause.id.as_str()));
    rest.questions
        .retain(|question| !open.contains(question.id.as_str()));
    rest
}
