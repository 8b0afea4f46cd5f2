//! A replayed walk as JSON and as a short transcript.

use serde::Serialize;

use super::doc::{Document, code, plain, quiet, strong};
use super::item::{minutes_words, push_cautions};
use super::json::{CautionJson, cautions};
use super::walk::{expected_text, share_words};
use crate::diagnosis::belief::AnswerError;
use crate::diagnosis::case::SOMETHING_ELSE_ID;
use crate::diagnosis::verdict::Verdict;
use crate::diagnosis::walk::{Given, Step, Turn, Walk};
use crate::diagnosis::why;
use crate::knowledge::Library;

/// A question that was asked.
#[derive(Serialize)]
pub struct AskedJson<'a> {
    question: &'a str,
    finding: Option<&'a str>,
    value: Option<&'a str>,
    expected: Option<String>,
    why: String,
    access: &'static str,
    minutes: f64,
    volunteered: bool,
    cautions: Vec<CautionJson<'a>>,
}

/// A confirming step.
#[derive(Serialize)]
pub struct ConfirmedJson<'a> {
    cause: &'a str,
    outcome: &'static str,
}

/// A cause with its share.
#[derive(Serialize)]
pub struct CauseShareJson<'a> {
    id: &'a str,
    name: &'a str,
    probability: f64,
    in_words: &'static str,
}

/// How it ended.
#[derive(Serialize)]
pub struct VerdictJson<'a> {
    status: &'static str,
    cause: Option<&'a str>,
    put_right: Option<&'a str>,
    prove: Option<&'a str>,
}

/// What would be done next.
#[derive(Serialize)]
pub struct NextJson<'a> {
    action: &'static str,
    question: Option<&'a str>,
    cause: Option<&'a str>,
    expected_minutes: Option<f64>,
}

/// A walk.
#[derive(Serialize)]
pub struct WalkJson<'a> {
    class: &'a str,
    asked: Vec<AskedJson<'a>>,
    confirming: Vec<ConfirmedJson<'a>>,
    causes: Vec<CauseShareJson<'a>>,
    verdict: VerdictJson<'a>,
    minutes: f64,
    cautions: Vec<CautionJson<'a>>,
    not_needed: Vec<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    next: Option<NextJson<'a>>,
}

/// A walk as printed.
///
/// # Errors
/// When the answers do not fit the model, which [`Walk`] prevents.
pub fn walk<'a>(
    library: &'a Library,
    walk: &'a Walk<'_>,
    next: Option<&Turn>,
    not_needed: Vec<&'a str>,
) -> Result<WalkJson<'a>, AnswerError> {
    let belief = walk.belief()?;
    let shares = belief.posterior();
    let mut order: Vec<usize> = (0..shares.len()).collect();
    order.sort_by(|one, other| shares[*other].total_cmp(&shares[*one]).then(one.cmp(other)));
    let (status, cause) = match walk.verdict()? {
        Verdict::Confirmed(cause) => ("confirmed", Some(cause)),
        Verdict::Likely(cause) => ("likely", Some(cause)),
        Verdict::Unresolved => ("unresolved", None),
    };
    Ok(WalkJson {
        class: &walk.case.class.id,
        asked: asked(library, walk),
        confirming: walk
            .steps
            .iter()
            .filter_map(|step| confirming(walk, step))
            .collect(),
        causes: order
            .iter()
            .map(|index| CauseShareJson {
                id: walk
                    .case
                    .causes
                    .get(*index)
                    .map_or(SOMETHING_ELSE_ID, |cause| &cause.id),
                name: walk.case.cause_name(*index),
                probability: shares[*index],
                in_words: share_words(shares[*index]),
            })
            .collect(),
        verdict: VerdictJson {
            status,
            cause: cause.map(|index| walk.case.causes[index].id.as_str()),
            put_right: cause.map(|index| walk.case.causes[index].put_right.as_str()),
            prove: cause.map(|index| walk.case.causes[index].prove.as_str()),
        },
        minutes: walk.minutes(),
        cautions: cautions(library, &all_cautions(walk)),
        not_needed,
        next: next.map(|turn| next_step(walk, turn)),
    })
}

fn next_step<'a>(walk: &'a Walk<'_>, turn: &Turn) -> NextJson<'a> {
    let cause_id = |index: usize| walk.case.causes[index].id.as_str();
    match turn {
        Turn::Ask {
            question,
            confirms,
            plan,
        } => NextJson {
            action: "ask",
            question: Some(&walk.case.questions[*question].id),
            cause: confirms.map(cause_id),
            expected_minutes: Some(plan.expected_minutes),
        },
        Turn::Confirm { cause, plan } => NextJson {
            action: "confirm",
            question: None,
            cause: Some(cause_id(*cause)),
            expected_minutes: Some(plan.expected_minutes),
        },
        Turn::Settled { cause } => NextJson {
            action: "put-right",
            question: None,
            cause: Some(cause_id(*cause)),
            expected_minutes: None,
        },
        Turn::HandOver { plan } => NextJson {
            action: "hand-over",
            question: None,
            cause: None,
            expected_minutes: Some(plan.expected_minutes),
        },
    }
}

fn asked<'a>(library: &'a Library, walk: &'a Walk<'_>) -> Vec<AskedJson<'a>> {
    // Each question is explained from where the walk stood when it was asked.
    let mut before = walk.clone();
    before.steps.clear();
    let mut list = Vec::new();
    for step in &walk.steps {
        let (index, reply) = match &step.given {
            Given::Found { question, reply } => (*question, Some(reply)),
            Given::Cannot { question } => (*question, None),
            _ => {
                before.steps.push(step.clone());
                continue;
            }
        };
        let question = walk.case.questions[index];
        list.push(AskedJson {
            question: &question.id,
            finding: reply.map(|reply| question.findings[reply.finding()].id.as_str()),
            value: reply
                .filter(|reply| reply.evaluation.is_some())
                .map(|reply| reply.typed.as_str()),
            expected: expected_text(question, walk),
            why: separates(&before, index),
            access: question.access.word(),
            minutes: step.minutes,
            volunteered: step.volunteered,
            cautions: cautions(library, &question.cautions),
        });
        before.steps.push(step.clone());
    }
    list
}

fn separates(walk: &Walk<'_>, index: usize) -> String {
    match why::separated(&walk.case.model, &walk.situation(), index) {
        Ok(Some(pair)) => format!(
            "It tells \"{}\" from \"{}\".",
            walk.case.cause_name(pair.causes[0]),
            walk.case.cause_name(pair.causes[1])
        ),
        _ => walk.case.questions[index].tells.clone(),
    }
}

fn confirming<'a>(walk: &'a Walk<'_>, step: &Step) -> Option<ConfirmedJson<'a>> {
    let (cause, outcome) = match step.given {
        Given::Confirmed { cause } => (cause, "confirmed"),
        Given::NotConfirmed { cause } => (cause, "not-confirmed"),
        Given::Postponed { cause } => (cause, "not-done"),
        _ => return None,
    };
    Some(ConfirmedJson {
        cause: &walk.case.causes[cause].id,
        outcome,
    })
}

/// The cautions of every step of a walk, each once.
fn all_cautions(walk: &Walk<'_>) -> Vec<String> {
    let mut all: Vec<String> = walk.case.class.cautions.clone();
    for step in &walk.steps {
        let own = match &step.given {
            Given::Found { question, .. } | Given::Cannot { question } => {
                &walk.case.questions[*question].cautions
            }
            Given::Confirmed { cause }
            | Given::NotConfirmed { cause }
            | Given::Postponed { cause } => &walk.case.causes[*cause].cautions,
        };
        all.extend(own.iter().cloned());
    }
    let mut seen = std::collections::BTreeSet::new();
    all.retain(|id| seen.insert(id.clone()));
    all
}

/// A replayed walk as text: every step in a line or two, the cautions of all steps in front.
pub fn transcript(library: &Library, walk: &Walk<'_>) -> Document {
    let mut document = Document::new();
    document.heading(1, &walk.case.class.title);
    push_cautions(&mut document, library, &all_cautions(walk));
    document.gap();
    let done = walk
        .steps
        .iter()
        .filter(|step| !matches!(step.given, Given::Cannot { .. }));
    for (number, step) in (1u32..).zip(done) {
        let spans = match &step.given {
            Given::Found { question, reply } => {
                let question = walk.case.questions[*question];
                let mut spans = vec![
                    plain(format!("{} ", question.ask)),
                    strong(&question.findings[reply.finding()].text),
                ];
                if reply.evaluation.is_some() {
                    spans.push(plain(format!(" (read {}", reply.typed)));
                    match expected_text(question, walk) {
                        Some(expected) => spans.push(plain(format!("; expected {expected})"))),
                        None => spans.push(plain(")")),
                    }
                }
                spans
            }
            Given::Cannot { question } => vec![
                plain(format!("{} ", walk.case.questions[*question].ask)),
                quiet("not measured"),
            ],
            Given::Confirmed { cause } => {
                vec![
                    plain(format!("Confirm: {} ", walk.case.cause_name(*cause))),
                    strong("yes"),
                ]
            }
            Given::NotConfirmed { cause } => {
                vec![
                    plain(format!("Confirm: {} ", walk.case.cause_name(*cause))),
                    strong("no"),
                ]
            }
            Given::Postponed { cause } => {
                vec![
                    plain(format!("Confirm: {} ", walk.case.cause_name(*cause))),
                    quiet("not done"),
                ]
            }
        };
        let mut spans = spans;
        spans.push(quiet(format!("  {}", step.access.word())));
        document.push(super::doc::Block::Numbered(number, spans));
    }
    document.gap();
    document.paragraph(vec![
        plain(format!(
            "Planned minutes: {}. Class: ",
            minutes_words(walk.minutes())
        )),
        code(&walk.case.class.id),
    ]);
    document
}
