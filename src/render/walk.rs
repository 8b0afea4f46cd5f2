//! The conversation of a walk as documents: the question with its cautions, the judgement, where we
//! stand, why, the verdict.

use super::doc::{Block, Document, code, plain, quiet, strong, value};
use super::item::{access_words, minutes_words, push_cautions};
use crate::checks::{self, Evaluation, Value};
use crate::diagnosis::belief::{AnswerError, Belief};
use crate::diagnosis::planner::{Action, Plan};
use crate::diagnosis::reply::{self, Reply, Sureness};
use crate::diagnosis::verdict::Verdict;
use crate::diagnosis::walk::{Given, Walk};
use crate::diagnosis::why::{self, Why};
use crate::knowledge::{Access, Library, Question};

/// A share in words.
pub fn share_words(share: f64) -> &'static str {
    match share {
        share if share >= 0.80 => "likely",
        share if share >= 0.50 => "rather likely",
        share if share >= 0.20 => "possible",
        share if share >= 0.05 => "unlikely",
        _ => "hardly",
    }
}

/// How many causes are shown where we stand.
const SHOWN_CAUSES: usize = 4;

/// A question with everything that stands before it.
pub fn question(
    library: &Library,
    walk: &Walk<'_>,
    index: usize,
    confirms: Option<usize>,
    plan: &Plan,
) -> Document {
    let mut document = Document::new();
    let number = walk.steps.len() + 1;
    let ask = &walk.case.questions[index].ask;
    document.heading(2, format!("{number}. {ask}"));
    document.append(question_body(library, walk, index, confirms, Some(plan)));
    document
}

/// What stands between a question and its answers: the cautions, how it is done, why now, and what a
/// healthy reading would be.
pub fn question_body(
    library: &Library,
    walk: &Walk<'_>,
    index: usize,
    confirms: Option<usize>,
    plan: Option<&Plan>,
) -> Document {
    let question = walk.case.questions[index];
    let mut document = Document::new();
    push_cautions(&mut document, library, &question.cautions);
    let moving = plan
        .and_then(|plan| {
            let mut options = plan.options.iter();
            options.find(|option| option.action == Action::Ask(index))
        })
        .map_or(0.0, |option| option.move_minutes);
    document.labelled("How", &question.how);
    let way = if moving > 0.0 {
        format!(
            "{}, and about {} to get there",
            minutes_words(question.minutes),
            minutes_words(moving)
        )
    } else {
        minutes_words(question.minutes)
    };
    document.paragraph(vec![quiet(format!(
        "{}; {way}.",
        sentence(access_words(question.access))
    ))]);
    if let Some(cause) = confirms {
        document.labelled("Decisive for", walk.case.cause_name(cause));
    }
    let reason = plan.map(|plan| why_line(walk, index, plan));
    if let Some(reason) = reason.filter(|reason| !reason.is_empty()) {
        document.labelled("Why now", reason);
    }
    expected(&mut document, question, walk);
    document
}

fn sentence(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(chars).collect()
    })
}

fn expected(document: &mut Document, question: &Question, walk: &Walk<'_>) {
    if let Some(text) = expected_text(question, walk) {
        document.paragraph(vec![strong("Expected: "), value(text), plain(".")]);
    }
}

/// What a healthy reading would be, with its sum.
pub fn expected_text(question: &Question, walk: &Walk<'_>) -> Option<String> {
    reply::expectation(question, &walk.nameplate)?.expected
}

/// The answers that can be given, and the words that work everywhere.
pub fn answers(question: &Question, by_reading: bool, is_first: bool) -> Document {
    let mut document = Document::new();
    match question.measure.as_ref().filter(|_| by_reading) {
        Some(measure) => {
            let check = reply::check_of(measure);
            let first = check.and_then(|check| {
                check
                    .inputs
                    .iter()
                    .find(|input| Some(input.name) == measure.inputs.first().map(String::as_str))
            });
            let example = first.map_or_else(|| "a value with its unit".to_owned(), checks::example);
            let text = match measure.inputs.len() {
                0 | 1 => format!("Type the reading with its unit, such as {example}."),
                many => format!(
                    "Type the {many} readings in this order: {}.",
                    spoken(&measure.inputs)
                ),
            };
            document.text(text);
        }
        None => {
            for (index, finding) in question.findings.iter().enumerate() {
                let number = u32::try_from(index + 1).unwrap_or(u32::MAX);
                document.push(Block::Numbered(number, vec![plain(&finding.text)]));
            }
            if is_first {
                document.paragraph(vec![quiet(
                    "Not sure? Put fairly or guess behind the number, such as 1 guess.",
                )]);
            }
        }
    }
    let keys = if is_first {
        "s can't measure   ? why   h more   w where we stand   q stop and keep"
    } else {
        "s can't measure   b back   c 1 change answer 1   ? why   h more   w where we stand   q stop and keep"
    };
    document.paragraph(vec![quiet(keys)]);
    document
}

fn spoken(inputs: &[String]) -> String {
    inputs
        .iter()
        .map(|name| name.replace('_', " "))
        .collect::<Vec<_>>()
        .join(", ")
}

/// The judgement of an answer, with the sum behind it.
pub fn judgement(question: &Question, reply: &Reply) -> Document {
    let mut document = Document::new();
    let finding = &question.findings[reply.finding()];
    let mut spans = vec![strong(format!("{}. ", finding.text.trim_end_matches('.')))];
    match &reply.evaluation {
        Some(_) if reply.beyond_range => spans.push(plain("Beyond the meter's range.")),
        Some(evaluation) => spans.push(plain(sum_line(evaluation))),
        None => {}
    }
    document.paragraph(spans);
    if reply.sureness != Sureness::Sure {
        document.text("That counts less than an answer you are sure of.");
    } else if !reply.is_clear() {
        let second = second_finding(question, reply);
        document.text(format!(
            "That is within the meter's uncertainty of a limit: it counts partly as \"{second}\". A better meter or a second method would settle it."
        ));
    }
    document
}

fn second_finding<'q>(question: &'q Question, reply: &Reply) -> &'q str {
    let first = reply.finding();
    let second = (0..reply.weights.len())
        .filter(|index| *index != first)
        .max_by(|one, other| reply.weights[*one].total_cmp(&reply.weights[*other]))
        .unwrap_or(first);
    &question.findings[second].text
}

/// The results of a check in one line.
fn sum_line(evaluation: &Evaluation) -> String {
    let results: Vec<String> = evaluation
        .outputs
        .iter()
        .map(|computed| match &computed.value {
            Value::Quantity(quantity) => format!("{} {quantity}", computed.what),
            Value::Word(word) => format!("{} {word}", computed.what),
        })
        .collect();
    format!("{}.", sentence(&results.join(", ")))
}

/// Where we stand: the leading causes as words and bars, and what the last answer moved.
///
/// # Errors
/// When the answers do not fit the model, which [`Walk`] prevents.
pub fn standing(walk: &Walk<'_>, before: Option<&Belief>) -> Result<Document, AnswerError> {
    let belief = walk.belief()?;
    let shares = belief.posterior();
    let mut order: Vec<usize> = (0..shares.len()).collect();
    order.sort_by(|one, other| shares[*other].total_cmp(&shares[*one]).then(one.cmp(other)));
    let mut document = Document::new();
    for index in order.iter().take(SHOWN_CAUSES) {
        document.push(Block::Bar {
            label: walk.case.cause_name(*index).to_owned(),
            share: shares[*index],
            words: share_words(shares[*index]).to_owned(),
        });
    }
    if let Some(line) = before.and_then(|before| moved(walk, before.posterior(), shares)) {
        document.paragraph(vec![quiet(line)]);
    }
    Ok(document)
}

/// The cause that rose and the one that fell most, if anything moved at all.
fn moved(walk: &Walk<'_>, before: &[f64], after: &[f64]) -> Option<String> {
    let change = |index: &usize| after[*index] - before[*index];
    let up = (0..after.len()).max_by(|one, other| change(one).total_cmp(&change(other)))?;
    let down = (0..after.len()).min_by(|one, other| change(one).total_cmp(&change(other)))?;
    let mut parts = Vec::new();
    if change(&up) > 0.02 {
        parts.push(format!("up: {}", walk.case.cause_name(up)));
    }
    if change(&down) < -0.02 {
        parts.push(format!("down: {}", walk.case.cause_name(down)));
    }
    if parts.is_empty() {
        Some("This hardly moved anything.".to_owned())
    } else {
        Some(format!("Moved {}.", parts.join("; ")))
    }
}

/// Why a question comes next, in one sentence from the numbers that chose it.
pub fn why_line(walk: &Walk<'_>, index: usize, plan: &Plan) -> String {
    let situation = walk.situation();
    let pair = why::separated(&walk.case.model, &situation, index)
        .ok()
        .flatten();
    let own = plan
        .options
        .iter()
        .find(|option| option.action == Action::Ask(index));
    let saved = own.map_or(0.0, |own| plan.tail_minutes - own.expected_minutes);
    let mut parts = Vec::new();
    if let Some(pair) = pair {
        parts.push(format!(
            "it tells \"{}\" from \"{}\"",
            walk.case.cause_name(pair.causes[0]),
            walk.case.cause_name(pair.causes[1])
        ));
    }
    if saved >= 1.0 {
        parts.push(format!(
            "it saves about {} on average",
            minutes_words(saved)
        ));
    }
    if parts.is_empty() {
        String::new()
    } else {
        format!("{}.", sentence(&parts.join(", and ")))
    }
}

/// Why a question comes next, in full: what it separates, what each answer would do, what else
/// could be asked.
pub fn why(walk: &Walk<'_>, index: usize, plan: &Plan, why: &Why) -> Document {
    let mut document = Document::new();
    let line = why_line(walk, index, plan);
    if !line.is_empty() {
        document.text(line);
    }
    document.labelled("It tells", &walk.case.questions[index].tells);
    for outlook in &why.findings {
        let finding = &walk.case.questions[index].findings[outlook.finding];
        document.item(vec![
            plain(format!("If \"{}\": ", finding.text)),
            strong(walk.case.cause_name(outlook.leader)),
            plain(format!(
                " would be {}; then {}.",
                share_words(outlook.leader_share),
                action_words(walk, outlook.then)
            )),
        ]);
    }
    if let Some(other) = &why.runner_up {
        let reasons = [
            (other.by_move, "the way to it"),
            (other.by_step, "the step itself"),
            (other.by_hazard, "work at live parts"),
            (other.by_rest, "it settles less"),
        ];
        let most = reasons
            .iter()
            .max_by(|one, two| one.0.total_cmp(&two.0))
            .map_or("", |most| most.1);
        if other.minutes_more >= 0.5 {
            document.text(format!(
                "Next best would be {}; it costs about {} more, mostly because of {most}.",
                action_words(walk, other.action),
                minutes_words(other.minutes_more)
            ));
        } else {
            document.text(format!(
                "Just as good would be {}.",
                action_words(walk, other.action)
            ));
        }
    }
    document
}

fn action_words(walk: &Walk<'_>, action: Action) -> String {
    match action {
        Action::Ask(index) => format!("\"{}\"", walk.case.questions[index].ask),
        Action::Confirm(index) => format!("to confirm \"{}\"", walk.case.cause_name(index)),
        Action::Escalate => "to call a specialist".to_owned(),
    }
}

/// The confirming step of a cause.
pub fn confirm(library: &Library, walk: &Walk<'_>, index: usize) -> Document {
    let cause = walk.case.causes[index];
    let number = walk.steps.len() + 1;
    let mut document = Document::new();
    document.heading(2, format!("{number}. Confirm: {}", cause.name));
    document.append(confirm_body(library, walk, index));
    document
}

/// What stands between a confirming step's heading and its answers.
pub fn confirm_body(library: &Library, walk: &Walk<'_>, index: usize) -> Document {
    let cause = walk.case.causes[index];
    let mut document = Document::new();
    push_cautions(&mut document, library, &cause.cautions);
    document.text(&cause.what);
    document.labelled("Do this", &cause.confirm.how);
    document.paragraph(vec![quiet(format!(
        "{}; {}. No further question would pay for itself now.",
        sentence(access_words(cause.confirm.access)),
        minutes_words(cause.confirm.minutes)
    ))]);
    document
}

/// The remedy of a confirmed cause and its proof.
pub fn remedy(library: &Library, walk: &Walk<'_>, index: usize) -> Document {
    let cause = walk.case.causes[index];
    let mut document = Document::new();
    document.heading(2, format!("That is it: {}", cause.name));
    document.gap();
    let mut cautions = cause.cautions.clone();
    // Repairs are made on a locked-off drive unless the confirming step says otherwise.
    for id in ["isolate-and-prove-dead", "stored-charge", "moving-machine"] {
        if !cautions.iter().any(|own| own == id) {
            cautions.push(id.to_owned());
        }
    }
    push_cautions(&mut document, library, &cautions);
    document.labelled("Put right", &cause.put_right);
    document.labelled("Prove", &cause.prove);
    if let Some(fails_with) = &cause.fails_with {
        document.labelled("Look also", fails_with);
    }
    document
}

/// How a walk ended: status, cause, evidence for and against, what is left.
///
/// # Errors
/// As [`standing`].
pub fn verdict(library: &Library, walk: &Walk<'_>) -> Result<Document, AnswerError> {
    let belief = walk.belief()?;
    let mut document = Document::new();
    match walk.verdict()? {
        Verdict::Confirmed(cause) => {
            document.heading(1, format!("Confirmed: {}", walk.case.cause_name(cause)));
            evidence(&mut document, walk, &belief, cause);
        }
        Verdict::Likely(cause) => {
            document.heading(
                1,
                format!("Likely, not confirmed: {}", walk.case.cause_name(cause)),
            );
            evidence(&mut document, walk, &belief, cause);
            document.labelled("To confirm", &walk.case.causes[cause].confirm.how);
            push_cautions(&mut document, library, &walk.case.causes[cause].cautions);
        }
        Verdict::Unresolved => {
            document.heading(1, "Unresolved");
            document.text("The answers do not single out one cause. Hand this over; do not reset and try again.");
            document.gap();
            document.append(standing(walk, None)?);
            for cause in leading(&belief) {
                let mut of_cause = Document::new();
                evidence(&mut of_cause, walk, &belief, cause);
                if !of_cause.blocks.is_empty() {
                    document.gap();
                    document.text(format!("What speaks on {}:", walk.case.cause_name(cause)));
                    document.append(of_cause);
                }
            }
            document.gap();
            hand_over(&mut document, walk, &belief);
        }
    }
    Ok(document)
}

/// The one or two named causes in front, if they are worth a word.
fn leading(belief: &Belief) -> Vec<usize> {
    let shares = belief.posterior();
    let mut order: Vec<usize> = (0..shares.len().saturating_sub(1))
        .filter(|index| shares[*index] >= WORTH_A_WORD)
        .collect();
    order.sort_by(|one, other| shares[*other].total_cmp(&shares[*one]));
    order.truncate(2);
    order
}

/// Share from which a cause's evidence is listed (common practice, no source).
const WORTH_A_WORD: f64 = 0.10;

/// Weight of evidence in words.
fn weight_words(decibans: f64) -> &'static str {
    match decibans.abs() {
        weight if weight >= 13.0 => "strongly",
        weight if weight >= 7.0 => "clearly",
        weight if weight >= 3.0 => "somewhat",
        _ => "hardly",
    }
}

/// The answers that speak for or against a cause, each with its weight in words.
pub fn evidence(document: &mut Document, walk: &Walk<'_>, belief: &Belief, cause: usize) {
    let mut effects = belief.effects().iter();
    for step in &walk.steps {
        let answered = matches!(
            step.given,
            Given::Found { .. } | Given::Cannot { .. } | Given::NotConfirmed { .. }
        );
        if !answered {
            continue;
        }
        let Some(effect) = effects.next() else { break };
        let Given::Found { question, reply } = &step.given else {
            continue;
        };
        let decibans = effect.decibans.get(cause).copied().unwrap_or(0.0);
        if decibans.abs() < 3.0 {
            continue;
        }
        let finding = &walk.case.questions[*question].findings[reply.finding()];
        let side = if decibans > 0.0 {
            "for it"
        } else {
            "against it"
        };
        document.item(vec![
            strong(format!("{} {side}: ", sentence(weight_words(decibans)))),
            plain(finding.text.clone()),
            quiet(format!(" ({})", walk.case.questions[*question].ask)),
        ]);
    }
}

fn hand_over(document: &mut Document, walk: &Walk<'_>, belief: &Belief) {
    document.heading(2, "For whoever takes over");
    for step in &walk.steps {
        match &step.given {
            Given::Found { question, reply } => {
                let question = walk.case.questions[*question];
                let finding = &question.findings[reply.finding()];
                let read = if reply.evaluation.is_some() {
                    format!(" (read {})", reply.typed)
                } else {
                    String::new()
                };
                document.item(vec![plain(format!(
                    "{} {}{read}",
                    question.ask, finding.text
                ))]);
            }
            Given::Cannot { .. } => {}
            Given::NotConfirmed { cause } => {
                document.item(vec![plain(format!(
                    "Looked for and not found: {}",
                    walk.case.cause_name(*cause)
                ))]);
            }
            Given::Confirmed { .. } | Given::Postponed { .. } => {}
        }
    }
    let mut open: Vec<usize> = (0..walk.case.causes.len())
        .filter(|index| !belief.is_ruled_out(*index))
        .collect();
    open.sort_by(|one, other| belief.posterior()[*other].total_cmp(&belief.posterior()[*one]));
    let names: Vec<&str> = open
        .iter()
        .take(SHOWN_CAUSES)
        .map(|index| walk.case.cause_name(*index))
        .collect();
    document.labelled("Still open", names.join("; "));
    document.labelled(
        "Call",
        "someone qualified to work on drives: the site's specialist, or a service engineer. Give them this list.",
    );
}

/// How to go on with a stopped walk.
pub fn resume(class: &str, drive: Option<&str>, text: &str) -> Document {
    let mut document = Document::new();
    let drive = drive.map(|id| format!(" --drive {id}")).unwrap_or_default();
    document.paragraph(vec![
        strong("Kept. "),
        plain("Go on with "),
        code("whytrip walk --resume"),
        plain(" or"),
    ]);
    let answers = match text.replace('"', "'") {
        text if text.is_empty() => String::new(),
        text => format!(" --answers \"{text}\""),
    };
    document.push(Block::Command(format!(
        "whytrip walk {class}{drive}{answers}"
    )));
    document
}

/// What an access asks of the person, before the first step that needs it.
pub fn access_question(access: Access) -> &'static str {
    match access {
        Access::Live => {
            "Is a qualified person with the right meter and clothing here, and allowed to measure live?"
        }
        Access::Isolated => {
            "Is a qualified person here who may lock off, prove dead and open the drive?"
        }
        Access::Observe | Access::Operate => "May the machine be run now?",
    }
}
