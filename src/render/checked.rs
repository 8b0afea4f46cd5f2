//! What checking a knowledge folder gave, as JSON.

use serde::Serialize;

use crate::knowledge::{Loaded, Problem};

/// A problem as printed.
#[derive(Serialize)]
struct ProblemJson<'a> {
    file: &'a str,
    line: usize,
    column: usize,
    message: &'a str,
    remedy: &'a str,
}

/// What could be better.
#[derive(Serialize)]
struct AdviceJson<'a> {
    about: &'a str,
    text: &'a str,
}

/// A checked folder.
#[derive(Default, Serialize)]
pub struct CheckedJson<'a> {
    in_order: bool,
    classes: Vec<&'a str>,
    causes: Vec<&'a str>,
    questions: Vec<&'a str>,
    advice: Vec<AdviceJson<'a>>,
    problems: Vec<ProblemJson<'a>>,
}

/// A folder that is in order.
pub fn in_order(loaded: &Loaded) -> CheckedJson<'_> {
    CheckedJson {
        in_order: true,
        classes: loaded
            .classes
            .iter()
            .map(|one| one.item.id.as_str())
            .collect(),
        causes: loaded
            .causes
            .iter()
            .map(|one| one.item.id.as_str())
            .collect(),
        questions: loaded
            .questions
            .iter()
            .map(|one| one.item.id.as_str())
            .collect(),
        advice: loaded
            .advice
            .iter()
            .map(|one| AdviceJson {
                about: &one.about,
                text: &one.text,
            })
            .collect(),
        problems: Vec::new(),
    }
}

/// A folder with problems.
pub fn wrong(problems: &[Problem]) -> CheckedJson<'_> {
    CheckedJson {
        problems: problems
            .iter()
            .map(|one| ProblemJson {
                file: &one.file,
                line: one.line,
                column: one.column,
                message: &one.message,
                remedy: &one.remedy,
            })
            .collect(),
        ..CheckedJson::default()
    }
}
