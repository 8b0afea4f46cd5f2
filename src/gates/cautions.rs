//! Steps that can hurt carry their cautions, measuring questions their limits, incidents their codes.

use super::{Scope, Shortcoming};
use crate::knowledge::{Access, Level};
use crate::plant::Coding;

/// The cautions that each access must bring.
fn wanted(access: Access) -> &'static [&'static str] {
    match access {
        Access::Observe => &[],
        Access::Operate => &["moving-machine"],
        Access::Live => &["live-work"],
        Access::Isolated => &["isolate-and-prove-dead", "stored-charge"],
    }
}

pub fn check(scope: &Scope<'_>) -> Vec<Shortcoming> {
    let mut found = Vec::new();
    let mut report = |about: &str, gate, text: String| {
        found.push(Shortcoming {
            about: about.to_owned(),
            gate,
            text,
        });
    };
    for question in &scope.questions {
        for caution in wanted(question.access) {
            if !question.cautions.iter().any(|id| id == caution) {
                report(
                    &question.id,
                    "cautions",
                    format!("it lacks the caution {caution}"),
                );
            }
        }
        let measured = question.measure.is_some();
        if measured
            && question
                .findings
                .iter()
                .all(|finding| finding.when.is_none())
        {
            report(
                &question.id,
                "limits",
                "its reading has no limit: give its findings conditions".to_owned(),
            );
        }
    }
    for cause in &scope.causes {
        for caution in wanted(cause.confirm.access) {
            if !cause.cautions.iter().any(|id| id == caution) {
                report(
                    &cause.id,
                    "cautions",
                    format!("its confirming step lacks the caution {caution}"),
                );
            }
        }
        if let Some((question, finding)) = &cause.confirm.settled_by {
            let sign = cause
                .signs
                .iter()
                .find(|sign| sign.question == *question && sign.finding == *finding);
            if sign.is_none_or(|sign| sign.level < Level::Sometimes) {
                report(
                    &cause.id,
                    "confirm",
                    format!(
                        "{question}: {finding} confirms it, so state that sign as sometimes or more"
                    ),
                );
            }
        }
    }
    for class in &scope.classes {
        let own = &class.coding;
        check_coding(
            &class.id,
            !scope.coded || own.mode.is_some() && own.mechanism.is_some(),
            own,
            &mut report,
        );
    }
    for cause in &scope.causes {
        let own = &cause.coding;
        check_coding(
            &cause.id,
            !scope.coded || own.cause.is_some() && own.activity.is_some(),
            own,
            &mut report,
        );
    }
    found
}

/// An incident must be able to take its ISO 14224 codes from class and cause.
fn check_coding(
    id: &str,
    whole: bool,
    coding: &crate::knowledge::Coding,
    report: &mut impl FnMut(&str, &'static str, String),
) {
    if !whole {
        report(
            id,
            "coding",
            "it proposes no ISO 14224 codes: a class gives mode and mechanism, a cause gives cause and activity"
                .to_owned(),
        );
    }
    if let Err(error) = Coding::proposed(coding, None).check() {
        report(id, "coding", error.to_string());
    }
    if let Some(mode) = coding
        .mode
        .as_deref()
        .filter(|mode| !Coding::is_listed_mode(mode))
    {
        report(
            id,
            "coding",
            format!(
                "{mode} is not a failure mode of ISO 14224 for rotating or electrical equipment"
            ),
        );
    }
}
