//! What was answered so far, numbered as the conversation counts; and answers that do not fit
//! together.

use super::doc::{Block, Document, code, plain, quiet, strong};
use crate::diagnosis::belief::AnswerError;
use crate::diagnosis::contradiction::Contradiction;
use crate::diagnosis::walk::{Given, Walk};

/// The answers so far with the numbers by which they can be changed, and the minutes spent.
pub fn answers(walk: &Walk<'_>) -> Document {
    let mut document = Document::new();
    if walk.steps.is_empty() {
        return document;
    }
    document.heading(2, "Answered so far");
    for (number, index) in (1u32..).zip(0..walk.steps.len()) {
        let (asked, answered) = step_words(walk, index);
        document.push(Block::Numbered(
            number,
            vec![plain(format!("{asked} ")), strong(answered)],
        ));
    }
    document.paragraph(vec![quiet(format!(
        "Minutes so far: {}. c and a number changes an answer.",
        walk.minutes().round()
    ))]);
    document
}

/// What a step asked, and what was answered.
pub fn step_words(walk: &Walk<'_>, index: usize) -> (String, String) {
    let cause = |index: &usize| format!("Confirm: {}.", walk.case.cause_name(*index));
    let Some(step) = walk.steps.get(index) else {
        return (String::new(), String::new());
    };
    match &step.given {
        Given::Found { question, reply } => {
            let question = walk.case.questions[*question];
            let finding = &question.findings[reply.finding()].text;
            let read = if reply.evaluation.is_some() {
                format!("{finding} (read {})", reply.typed)
            } else {
                finding.clone()
            };
            (question.ask.clone(), read)
        }
        Given::Cannot { question } => (
            walk.case.questions[*question].ask.clone(),
            "Not measured".to_owned(),
        ),
        Given::Confirmed { cause: index } => (cause(index), "Yes".to_owned()),
        Given::NotConfirmed { cause: index } => (cause(index), "No".to_owned()),
        Given::Postponed { cause: index } => (cause(index), "Not done".to_owned()),
    }
}

/// Why it is thought that answers do not fit together.
pub fn doubt_reason(walk: &Walk<'_>, found: &Contradiction) -> &'static str {
    let newest = walk.steps.len().saturating_sub(1);
    if found.fits_no_cause {
        "No cause on the list fits all the answers well."
    } else if found.surprises.contains(&newest) {
        "This answer hardly fits the earlier ones."
    } else {
        "The answers pointed to a cause that was not found."
    }
}

/// Answers that do not fit together: why that is thought, the most doubtful ones, and what would
/// lead without each.
///
/// # Errors
/// When the answers do not fit the model, which [`Walk`] prevents.
pub fn doubt(walk: &Walk<'_>, found: &Contradiction) -> Result<Document, AnswerError> {
    let mut document = Document::new();
    document.push(Block::Gap);
    let reason = doubt_reason(walk, found);
    document.paragraph(vec![
        strong("A doubt: "),
        plain(format!(
            "{reason} One of these may be a slip; look again before going on."
        )),
    ]);
    for (index, _) in &found.most_doubted {
        let (asked, answered) = step_words(walk, *index);
        let without = walk.without(*index);
        let leader = without.belief()?.leader();
        document.item(vec![
            plain(format!("{asked} ")),
            strong(format!("{}.", answered.trim_end_matches('.'))),
            plain(format!(
                " Without it \"{}\" would lead. Answer again: ",
                walk.case.cause_name(leader)
            )),
            code(format!("c {}", index + 1)),
        ]);
    }
    Ok(document)
}
