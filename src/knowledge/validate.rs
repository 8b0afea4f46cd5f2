//! What must hold between the items: ids, references, sums, limits, lengths, separability.

use std::collections::{BTreeMap, BTreeSet};

use super::load::{Loaded, Placed, SourceFile};
use super::problem::{Problem, locate, nearest};
use super::standard;
use super::types::{Cause, FaultClass, Level, Question};

/// What the validator must know of the checks, handed in because knowledge knows no sums.
pub trait CheckCatalogue {
    /// Names of all checks.
    fn names(&self) -> Vec<&'static str>;
    /// What a check answers, in one line, if it exists.
    fn purpose(&self, check: &str) -> Option<&'static str>;
    /// Names of the inputs of a check, if it exists.
    fn inputs(&self, check: &str) -> Option<Vec<&'static str>>;
    /// Whether a condition such as `ratio > 103 %` can be read for this check.
    ///
    /// # Errors
    /// Why not.
    fn condition(&self, check: &str, text: &str) -> Result<(), String>;
}

/// Most questions of a class: a walk plans with no more.
pub const MOST_QUESTIONS: usize = 128;

/// Names and purposes of all checks.
pub fn named_checks(checks: &dyn CheckCatalogue) -> Vec<(&'static str, &'static str)> {
    let named = checks.names().into_iter();
    named
        .filter_map(|name| Some((name, checks.purpose(name)?)))
        .collect()
}

/// Something that is not wrong but could be better.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Advice {
    /// The item.
    pub about: String,
    /// What to think about.
    pub text: String,
}

/// The item under the magnifying glass: where messages about it point.
pub(super) struct Scope<'a> {
    file: &'a SourceFile,
    line: usize,
    problems: &'a mut Vec<Problem>,
}

impl Scope<'_> {
    pub(super) fn report(&mut self, word: &str, message: String, remedy: String) {
        let found = locate(&self.file.text, self.line, word);
        let (line, column) = found.unwrap_or((self.line, 1));
        let excerpt = self
            .file
            .text
            .lines()
            .nth(line.saturating_sub(1))
            .unwrap_or("");
        self.problems.push(Problem {
            file: self.file.name.clone(),
            line,
            column,
            message,
            remedy,
            excerpt: excerpt.to_owned(),
        });
    }

    /// A reference to something that must exist.
    pub(super) fn known(&mut self, what: &str, id: &str, ids: &BTreeSet<&str>) -> bool {
        if ids.contains(id) {
            return true;
        }
        let remedy = match nearest(id, ids.iter().copied()) {
            Some(near) => format!("did you mean {near}?"),
            None => format!("write that {what}, or take the reference out"),
        };
        self.report(id, format!("there is no {what} \"{id}\""), remedy);
        false
    }

    pub(super) fn length(&mut self, id: &str, field: &str, text: &str, most: usize) {
        let length = text.chars().count();
        if length == 0 {
            self.report(
                id,
                format!("{field} of {id} is empty"),
                format!("write {field}"),
            );
        } else if length > most {
            self.report(
                id,
                format!("{field} of {id} has {length} characters; at most {most} fit"),
                "say it shorter".to_owned(),
            );
        }
    }
}

/// Every id that may be referred to.
pub(super) struct Ids<'a> {
    pub(super) classes: BTreeSet<&'a str>,
    causes: BTreeMap<&'a str, &'a Cause>,
    questions: BTreeMap<&'a str, &'a Question>,
    pub(super) cautions: BTreeSet<&'a str>,
    pub(super) sources: BTreeSet<&'a str>,
}

impl<'a> Ids<'a> {
    fn of(loaded: &'a Loaded, base: Option<&'a Loaded>) -> Ids<'a> {
        let both = || base.into_iter().chain(std::iter::once(loaded));
        Ids {
            classes: both()
                .flat_map(|l| &l.classes)
                .map(|p| p.item.id.as_str())
                .collect(),
            causes: both()
                .flat_map(|l| &l.causes)
                .map(|p| (p.item.id.as_str(), &p.item))
                .collect(),
            questions: both()
                .flat_map(|l| &l.questions)
                .map(|p| (p.item.id.as_str(), &p.item))
                .collect(),
            cautions: both()
                .flat_map(|l| &l.cautions)
                .map(|p| p.item.id.as_str())
                .collect(),
            sources: both()
                .flat_map(|l| &l.references)
                .map(|p| p.item.id.as_str())
                .collect(),
        }
    }

    fn question_ids(&self) -> BTreeSet<&'a str> {
        self.questions.keys().copied().collect()
    }
}

/// Checks everything that was loaded; problems are added, advice is returned.
pub(super) fn validate(
    files: &[SourceFile],
    loaded: &Loaded,
    base: Option<&Loaded>,
    checks: &dyn CheckCatalogue,
    problems: &mut Vec<Problem>,
) -> Vec<Advice> {
    let ids = Ids::of(loaded, base);
    duplicates(files, "class", &loaded.classes, |item| &item.id, problems);
    duplicates(files, "cause", &loaded.causes, |item| &item.id, problems);
    duplicates(
        files,
        "question",
        &loaded.questions,
        |item| &item.id,
        problems,
    );
    duplicates(
        files,
        "caution",
        &loaded.cautions,
        |item| &item.id,
        problems,
    );
    duplicates(
        files,
        "source",
        &loaded.references,
        |item| &item.id,
        problems,
    );
    for placed in &loaded.questions {
        let scope = Scope {
            file: &files[placed.file],
            line: placed.line,
            problems,
        };
        question(scope, &placed.item, &ids, checks);
    }
    for placed in &loaded.causes {
        let scope = Scope {
            file: &files[placed.file],
            line: placed.line,
            problems,
        };
        cause(scope, &placed.item, &ids);
    }
    for placed in &loaded.classes {
        let scope = Scope {
            file: &files[placed.file],
            line: placed.line,
            problems,
        };
        class(scope, &placed.item, &ids);
    }
    for placed in &loaded.cautions {
        let mut scope = Scope {
            file: &files[placed.file],
            line: placed.line,
            problems,
        };
        for source in &placed.item.sources {
            scope.known("source", source, &ids.sources);
        }
    }
    for placed in &loaded.error_codes {
        let scope = Scope {
            file: &files[placed.file],
            line: placed.line,
            problems,
        };
        standard::error_code(scope, &placed.item, &ids);
    }
    let mut codes = BTreeSet::new();
    for placed in &loaded.error_codes {
        if !codes.insert(&placed.item.code) {
            let mut scope = Scope {
                file: &files[placed.file],
                line: placed.line,
                problems,
            };
            let own = &placed.item.code;
            scope.report(
                own,
                format!("the error code {own} stands twice"),
                "keep one of the two".to_owned(),
            );
        }
    }
    for placed in &loaded.states {
        let scope = Scope {
            file: &files[placed.file],
            line: placed.line,
            problems,
        };
        standard::state(scope, &placed.item, &ids);
    }
    if let Some(file) = files.iter().find(|file| file.name == "words.yaml") {
        let mut scope = Scope {
            file,
            line: 1,
            problems,
        };
        for abbreviation in &loaded.words.abbreviations {
            for id in &abbreviation.classes {
                scope.known("class", id, &ids.classes);
            }
        }
    }
    if !problems.is_empty() {
        return Vec::new();
    }
    let mut advice = unused(loaded, base);
    advice.extend(inseparable(loaded, base));
    advice
}

fn duplicates<T>(
    files: &[SourceFile],
    what: &str,
    items: &[Placed<T>],
    id: impl Fn(&T) -> &String,
    problems: &mut Vec<Problem>,
) {
    let mut seen: BTreeMap<&str, &Placed<T>> = BTreeMap::new();
    for placed in items {
        let own = id(&placed.item);
        let mut scope = Scope {
            file: &files[placed.file],
            line: placed.line,
            problems,
        };
        if !is_id(own) {
            scope.report(
                own,
                format!("\"{own}\" is not an id"),
                "use lower-case words and figures joined by hyphens".to_owned(),
            );
        }
        if let Some(first) = seen.insert(own, placed) {
            scope.report(
                own,
                format!("the {what} \"{own}\" stands twice"),
                format!(
                    "the first stands in {}:{}",
                    files[first.file].name, first.line
                ),
            );
        }
    }
}

/// Whether a text can be an id: lower-case words and figures joined by hyphens.
pub fn is_id(text: &str) -> bool {
    let allowed = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
    !text.is_empty()
        && text.chars().all(allowed)
        && !text.starts_with('-')
        && !text.ends_with('-')
        && !text.contains("--")
}

fn question(mut scope: Scope<'_>, question: &Question, ids: &Ids<'_>, checks: &dyn CheckCatalogue) {
    let id = &question.id;
    scope.length(id, "ask", &question.ask, 110);
    scope.length(id, "how", &question.how, 900);
    scope.length(id, "tells", &question.tells, 300);
    if !question.ask.trim_end().ends_with('?') {
        scope.report(
            id,
            format!("ask of {id} is not a question"),
            "end it with ?".to_owned(),
        );
    }
    minutes(&mut scope, id, question.minutes);
    for caution in &question.cautions {
        scope.known("caution", caution, &ids.cautions);
    }
    let count = question.findings.len();
    if !(2..=6).contains(&count) {
        scope.report(
            id,
            format!("{id} has {count} findings"),
            "give it 2 to 6; \"can't measure\" is offered by itself".to_owned(),
        );
    }
    let mut seen = BTreeSet::new();
    for finding in &question.findings {
        if !is_id(&finding.id) || !seen.insert(&finding.id) {
            scope.report(
                &format!("id: {}", finding.id),
                format!("finding \"{}\" of {id} is not an id of its own", finding.id),
                "use lower-case words joined by hyphens, each once".to_owned(),
            );
        }
        scope.length(id, "a finding's text", &finding.text, 120);
        if !(0.005..=0.995).contains(&finding.base) {
            scope.report(
                &format!("id: {}", finding.id),
                format!(
                    "base of {} in {id} leaves no room for the others",
                    finding.id
                ),
                "give every finding at least 1 and at most 99 percent".to_owned(),
            );
        }
    }
    match &question.measure {
        None => {
            for finding in question
                .findings
                .iter()
                .filter(|finding| finding.when.is_some())
            {
                scope.report(
                    &finding.id,
                    format!(
                        "{} of {id} has a condition, but the question has no reading",
                        finding.id
                    ),
                    "add reading: with its check, or take the condition out".to_owned(),
                );
            }
        }
        Some(measure) => {
            let names: BTreeSet<&str> = checks.names().into_iter().collect();
            if !scope.known("check", &measure.check, &names) {
                return;
            }
            scope.known("source", &measure.source, &ids.sources);
            let inputs: BTreeSet<&str> = checks
                .inputs(&measure.check)
                .unwrap_or_default()
                .into_iter()
                .collect();
            for input in &measure.inputs {
                scope.known(&format!("input of {}", measure.check), input, &inputs);
            }
            if measure.inputs.is_empty() {
                scope.report(
                    "reading",
                    format!("the reading of {id} names no input"),
                    format!("inputs of {}: {}", measure.check, join(&inputs)),
                );
            }
            let last = question.findings.len().saturating_sub(1);
            for (index, finding) in question.findings.iter().enumerate() {
                match &finding.when {
                    Some(_) if index == last => scope.report(
                        &finding.id,
                        format!("the last finding of {id} has a condition"),
                        "the last one takes all that is left: take its condition out".to_owned(),
                    ),
                    None if index != last => scope.report(
                        &finding.id,
                        format!("{} of {id} has no condition", finding.id),
                        "add when: output < value or output > value".to_owned(),
                    ),
                    Some(when) => {
                        if let Err(reason) = checks.condition(&measure.check, when) {
                            scope.report(
                                when,
                                format!("condition of {}: {reason}", finding.id),
                                "write it as output < value or output > value with its unit"
                                    .to_owned(),
                            );
                        }
                    }
                    None => {}
                }
            }
        }
    }
}

fn join(names: &BTreeSet<&str>) -> String {
    names.iter().copied().collect::<Vec<_>>().join(", ")
}

fn minutes(scope: &mut Scope<'_>, id: &str, minutes: f64) {
    if !(minutes > 0.0 && minutes <= 480.0) {
        scope.report(
            id,
            format!("{minutes} minutes for {id}"),
            "give honest minutes of work, more than 0 and at most 480".to_owned(),
        );
    }
}

/// Source ids in brackets inside prose: `[iec-60204-1]`.
fn bracketed(text: &str) -> Vec<&str> {
    text.split('[')
        .skip(1)
        .filter_map(|part| part.split_once(']'))
        .map(|(inside, _)| inside)
        .filter(|inside| is_id(inside))
        .collect()
}

fn cause(mut scope: Scope<'_>, cause: &Cause, ids: &Ids<'_>) {
    let id = &cause.id;
    scope.length(id, "name", &cause.name, 80);
    scope.length(id, "what", &cause.what, 700);
    scope.length(id, "confirm", &cause.confirm.how, 900);
    scope.length(id, "put_right", &cause.put_right, 900);
    scope.length(id, "prove", &cause.prove, 700);
    minutes(&mut scope, id, cause.confirm.minutes);
    for caution in &cause.cautions {
        scope.known("caution", caution, &ids.cautions);
    }
    let texts = [
        &cause.what,
        &cause.confirm.how,
        &cause.put_right,
        &cause.prove,
    ];
    for source in texts.iter().flat_map(|text| bracketed(text)) {
        scope.known("source", source, &ids.sources);
    }
    let question_ids = ids.question_ids();
    let settled = cause
        .confirm
        .settled_by
        .iter()
        .map(|(q, f)| (q.as_str(), f.as_str()));
    let signs = cause
        .signs
        .iter()
        .map(|sign| (sign.question.as_str(), sign.finding.as_str()));
    for (question_id, finding) in signs.chain(settled) {
        if !scope.known("question", question_id, &question_ids) {
            continue;
        }
        let findings: BTreeSet<&str> = ids.questions[question_id]
            .findings
            .iter()
            .map(|f| f.id.as_str())
            .collect();
        if !findings.contains(finding) {
            scope.report(
                finding,
                format!("{question_id} has no finding \"{finding}\""),
                format!("its findings are: {}", join(&findings)),
            );
        }
    }
    if cause.signs.len() < 2 {
        scope.report(
            id,
            format!("{id} has hardly any sign"),
            "state what the questions would find if this were the cause".to_owned(),
        );
    }
}

fn class(mut scope: Scope<'_>, class: &FaultClass, ids: &Ids<'_>) {
    let id = &class.id;
    scope.length("title", "title", &class.title, 80);
    scope.length("meaning", "meaning", &class.meaning, 1200);
    scope.length("first_look", "first_look", &class.first_look, 900);
    if !(4..=16).contains(&class.causes.len()) {
        scope.report(
            "causes",
            format!("{id} has {} causes", class.causes.len()),
            "give it 4 to 16; share what is the same physics".to_owned(),
        );
    }
    if class.phrases.len() < 8 {
        scope.report(
            "phrases",
            format!("{id} has {} phrases", class.phrases.len()),
            "write 8 or more, as different people would say it".to_owned(),
        );
    }
    let mut seen = BTreeSet::new();
    let causes: BTreeSet<&str> = ids.causes.keys().copied().collect();
    for cause in &class.causes {
        scope.known("cause", &cause.cause, &causes);
        if !seen.insert(&cause.cause) {
            scope.report(
                &cause.cause,
                format!("{} stands twice in {id}", cause.cause),
                "keep it under one of often, sometimes, rarely".to_owned(),
            );
        }
    }
    for pair in &class.inseparable {
        for cause in [&pair.causes.0, &pair.causes.1] {
            if !seen.contains(cause) {
                scope.report(
                    cause,
                    format!("{cause} is not a cause of {id}"),
                    "name two causes of this class as inseparable".to_owned(),
                );
            }
        }
        scope.length("inseparable", "because", &pair.because, 300);
    }
    let questions: BTreeSet<&str> = class
        .causes
        .iter()
        .filter_map(|one| ids.causes.get(one.cause.as_str()))
        .flat_map(|cause| &cause.signs)
        .map(|sign| sign.question.as_str())
        .collect();
    if questions.len() > MOST_QUESTIONS {
        scope.report(
            "causes",
            format!("{id} asks {} questions", questions.len()),
            format!("a walk plans with at most {MOST_QUESTIONS}; take signs or causes out"),
        );
    }
    for other in &class.confused_with {
        scope.known("class", &other.class, &ids.classes);
        scope.known("question", &other.ask, &ids.question_ids());
    }
    for caution in &class.cautions {
        scope.known("caution", caution, &ids.cautions);
    }
    for code in &class.standard_codes {
        if code.len() != 4 || !code.chars().all(|c| c.is_ascii_hexdigit()) {
            scope.report(
                code,
                format!("\"{code}\" is not an error code"),
                "write four hexadecimal digits in quotes".to_owned(),
            );
        }
    }
}

/// Causes in no class and questions in no sign.
fn unused(loaded: &Loaded, base: Option<&Loaded>) -> Vec<Advice> {
    let all = || base.into_iter().chain(std::iter::once(loaded));
    let used_causes: BTreeSet<&str> = all()
        .flat_map(|l| &l.classes)
        .flat_map(|p| &p.item.causes)
        .map(|c| c.cause.as_str())
        .collect();
    let used_questions: BTreeSet<&str> = all()
        .flat_map(|l| &l.causes)
        .flat_map(|p| &p.item.signs)
        .map(|s| s.question.as_str())
        .collect();
    let causes = loaded
        .causes
        .iter()
        .map(|p| &p.item.id)
        .filter(|id| !used_causes.contains(id.as_str()));
    let questions = loaded
        .questions
        .iter()
        .map(|p| &p.item.id)
        .filter(|id| !used_questions.contains(id.as_str()));
    causes
        .map(|id| Advice {
            about: id.clone(),
            text: "no class lists this cause".to_owned(),
        })
        .chain(questions.map(|id| Advice {
            about: id.clone(),
            text: "no cause has a sign on this question".to_owned(),
        }))
        .collect()
}

/// Pairs of causes of one class that no question tells apart.
fn inseparable(loaded: &Loaded, base: Option<&Loaded>) -> Vec<Advice> {
    let causes: BTreeMap<&str, &Cause> = base
        .into_iter()
        .chain(std::iter::once(loaded))
        .flat_map(|l| &l.causes)
        .map(|p| (p.item.id.as_str(), &p.item))
        .collect();
    let mut advice = Vec::new();
    for class in loaded.classes.iter().map(|p| &p.item) {
        let own: Vec<&Cause> = class
            .causes
            .iter()
            .filter_map(|c| causes.get(c.cause.as_str()).copied())
            .collect();
        for (index, first) in own.iter().enumerate() {
            for second in &own[index + 1..] {
                let named = class.inseparable.iter().any(|pair| {
                    let (one, other) = (&pair.causes.0, &pair.causes.1);
                    (one == &first.id && other == &second.id)
                        || (one == &second.id && other == &first.id)
                });
                if !named && !separable(first, second) {
                    advice.push(Advice {
                        about: class.id.clone(),
                        text: format!(
                            "no question tells {} from {} by two levels or more",
                            first.id, second.id
                        ),
                    });
                }
            }
        }
    }
    advice
}

/// Whether a question tells two causes apart: some finding is two levels likelier under one cause than under the other.
pub fn separable(first: &Cause, second: &Cause) -> bool {
    let level = |cause: &Cause, question: &str, finding: &str| {
        cause
            .signs
            .iter()
            .find(|sign| sign.question == question && sign.finding == finding)
            .map(|sign| sign.level as i32)
    };
    // What nobody states counts as in between.
    let unstated = Level::Sometimes as i32;
    first.signs.iter().chain(&second.signs).any(|sign| {
        let one = level(first, &sign.question, &sign.finding).unwrap_or(unstated);
        let other = level(second, &sign.question, &sign.finding).unwrap_or(unstated);
        (one - other).abs() >= 2
    })
}
