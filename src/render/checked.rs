//! What checking knowledge gave, as a document and as JSON.

use serde::Serialize;

use super::doc::{Document, code, plain, quiet, strong};
use crate::gates::{ClassCoverage, Coverage, Shortcoming};
use crate::knowledge::{Library, Loaded, Problem};

/// How many items were looked at.
#[derive(Debug, Default)]
pub struct Counts {
    /// Ids of the classes.
    classes: Vec<String>,
    causes: Vec<String>,
    questions: Vec<String>,
    cautions: usize,
    sources: usize,
    error_codes: usize,
}

impl Counts {
    /// Of one folder's own items, or of a whole library.
    pub fn of(library: &Library, own: Option<&Loaded>) -> Counts {
        let ids = |ids: Vec<&String>| ids.into_iter().cloned().collect();
        match own {
            Some(own) => Counts {
                classes: ids(own.classes.iter().map(|one| &one.item.id).collect()),
                causes: ids(own.causes.iter().map(|one| &one.item.id).collect()),
                questions: ids(own.questions.iter().map(|one| &one.item.id).collect()),
                cautions: own.cautions.len(),
                sources: own.references.len(),
                error_codes: own.error_codes.len(),
            },
            None => Counts {
                classes: ids(library.classes().map(|one| &one.id).collect()),
                causes: ids(library.causes().map(|one| &one.id).collect()),
                questions: ids(library.questions().map(|one| &one.id).collect()),
                cautions: library.cautions().count(),
                sources: library.references().count(),
                error_codes: library.error_codes().count(),
            },
        }
    }
}

/// What checking gave.
#[derive(Debug)]
pub struct Report {
    /// What the gates did not let pass.
    pub shortcomings: Vec<Shortcoming>,
    /// What is covered.
    pub coverage: Coverage,
    /// Built-in items that the folder puts its own in place of.
    pub overrides: Vec<String>,
    /// How many items were looked at.
    pub counts: Counts,
}

fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

/// The report for people.
pub fn document(report: &Report) -> Document {
    let mut document = Document::new();
    let counts = &report.counts;
    document.heading(
        1,
        match report.shortcomings.len() {
            0 => "Knowledge is in order".to_owned(),
            count => counted(count, "shortcoming", "shortcomings"),
        },
    );
    document.text(format!(
        "{}, {}, {} ({} measuring), {}, {}, {}.",
        counted(counts.classes.len(), "class", "classes"),
        counted(counts.causes.len(), "cause", "causes"),
        counted(counts.questions.len(), "question", "questions"),
        report.coverage.measuring,
        counted(counts.cautions, "caution", "cautions"),
        counted(counts.sources, "source", "sources"),
        counted(counts.error_codes, "error code", "error codes"),
    ));
    if !report.overrides.is_empty() {
        document.heading(2, "In place of what is built in");
        for item in &report.overrides {
            document.item(vec![plain(item)]);
        }
    }
    let mut about = "";
    for one in &report.shortcomings {
        if one.about != about {
            document.gap();
            document.paragraph(vec![code(&one.about)]);
            about = &one.about;
        }
        document.item(vec![strong(format!("{}: ", one.gate)), plain(&one.text)]);
    }
    cover(&mut document, &report.coverage);
    document
}

fn cover(document: &mut Document, coverage: &Coverage) {
    if coverage.classes.is_empty() {
        return;
    }
    document.heading(2, "Coverage");
    document.paragraph(vec![quiet(
        "Causes; questions (measuring); pairs of causes told apart; minutes to expect until the cause is \
         confirmed, with everything allowed.",
    )]);
    for class in &coverage.classes {
        document.item(vec![
            code(&class.id),
            plain(format!(
                ": {}; {} ({}); {} of {}; {}",
                class.causes,
                class.questions,
                class.measuring,
                class.separable,
                class.pairs,
                minutes(class)
            )),
        ]);
    }
    document.gap();
    document.text(format!(
        "{} used, {} only by themselves. {} cited.",
        counted(coverage.checks_used.len(), "check", "checks"),
        coverage.checks_unused.len(),
        counted(coverage.sources_cited.len(), "source", "sources"),
    ));
}

fn minutes(class: &ClassCoverage) -> String {
    class
        .expected_minutes
        .map_or("no plan".to_owned(), |minutes| format!("{minutes:.0} min"))
}

/// A problem as printed.
#[derive(Serialize)]
struct ProblemJson<'a> {
    file: &'a str,
    line: usize,
    column: usize,
    message: &'a str,
    remedy: &'a str,
}

/// A shortcoming as printed.
#[derive(Serialize)]
struct ShortcomingJson<'a> {
    about: &'a str,
    gate: &'a str,
    text: &'a str,
}

/// A class as printed.
#[derive(Serialize)]
struct ClassJson<'a> {
    class: &'a str,
    causes: usize,
    questions: usize,
    measuring: usize,
    pairs: usize,
    separable: usize,
    expected_minutes: Option<f64>,
}

/// What is covered, as printed.
#[derive(Default, Serialize)]
struct CoverageJson<'a> {
    classes: Vec<ClassJson<'a>>,
    checks_used: &'a [String],
    checks_unused: &'a [String],
    sources_cited: &'a [String],
}

/// A checked folder.
#[derive(Default, Serialize)]
pub struct CheckedJson<'a> {
    in_order: bool,
    classes: &'a [String],
    causes: &'a [String],
    questions: &'a [String],
    /// What the gates did not let pass.
    advice: Vec<ShortcomingJson<'a>>,
    problems: Vec<ProblemJson<'a>>,
    overrides: &'a [String],
    coverage: CoverageJson<'a>,
}

/// The report for machines.
pub fn json(report: &Report) -> CheckedJson<'_> {
    let counts = &report.counts;
    CheckedJson {
        in_order: report.shortcomings.is_empty(),
        classes: &counts.classes,
        causes: &counts.causes,
        questions: &counts.questions,
        advice: report
            .shortcomings
            .iter()
            .map(|one| ShortcomingJson {
                about: &one.about,
                gate: one.gate,
                text: &one.text,
            })
            .collect(),
        problems: Vec::new(),
        overrides: &report.overrides,
        coverage: CoverageJson {
            classes: report
                .coverage
                .classes
                .iter()
                .map(|class| ClassJson {
                    class: &class.id,
                    causes: class.causes,
                    questions: class.questions,
                    measuring: class.measuring,
                    pairs: class.pairs,
                    separable: class.separable,
                    expected_minutes: class.expected_minutes,
                })
                .collect(),
            checks_used: &report.coverage.checks_used,
            checks_unused: &report.coverage.checks_unused,
            sources_cited: &report.coverage.sources_cited,
        },
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
