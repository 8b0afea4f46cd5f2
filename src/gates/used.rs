//! Nothing lies dead: every question can be asked, every cause belongs to a class, every class has
//! the codes that the table of codes knows.

use std::collections::BTreeSet;

use super::{Scope, Shortcoming};
use crate::diagnosis::scope::questions_of;

pub fn check(scope: &Scope<'_>) -> Vec<Shortcoming> {
    let library = scope.library;
    let mut asked: BTreeSet<&str> = BTreeSet::new();
    let mut listed: BTreeSet<&str> = BTreeSet::new();
    for class in library.classes() {
        asked.extend(questions_of(library, class).iter().map(|q| q.id.as_str()));
        asked.extend(class.confused_with.iter().map(|other| other.ask.as_str()));
        listed.extend(class.causes.iter().map(|one| one.cause.as_str()));
    }
    let mut found = Vec::new();
    let mut report = |about: &str, text: String| {
        found.push(Shortcoming {
            about: about.to_owned(),
            gate: "used",
            text,
        });
    };
    for question in &scope.questions {
        if !asked.contains(question.id.as_str()) {
            report(
                &question.id,
                "no walk asks it: give a cause of a class a sign on it, or take it out".to_owned(),
            );
        }
    }
    for cause in &scope.causes {
        if !listed.contains(cause.id.as_str()) {
            report(
                &cause.id,
                "no class lists it: add it to one, or take it out".to_owned(),
            );
        }
    }
    for class in &scope.classes {
        for code in &class.standard_codes {
            if library.error_code(code).is_none() {
                report(
                    &class.id,
                    format!(
                        "the error code {code} is in no table: take it out, or add it to standards/error-codes.yaml"
                    ),
                );
            }
        }
    }
    found
}
