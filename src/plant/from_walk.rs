//! The incident that a finished walk leaves.

use super::{
    Birth, Coding, ConfirmedBy, Entry, FieldError, Incident, ReadingNote, Status, Step, WalkRecord,
    Walked,
};
use crate::diagnosis::belief::AnswerError;
use crate::diagnosis::record;
use crate::diagnosis::verdict::Verdict;
use crate::diagnosis::walk::{Given, Walk};

/// Told of a cause that was found, but whose remedy was not proved.
const NOT_PUT_RIGHT: &str = "Cause confirmed; not yet put right, or the repair not yet proved.";

/// Why a walk left no incident.
#[derive(Debug, thiserror::Error)]
pub enum FromWalkError {
    /// What was told besides is not right.
    #[error(transparent)]
    Field(#[from] FieldError),
    /// The walk can't be computed.
    #[error(transparent)]
    Walk(#[from] AnswerError),
}

/// The incident of a walk with what the user told besides; `proved` says that the proof run passed.
///
/// # Errors
/// [`FromWalkError`].
pub fn from_walk(
    walk: &Walk<'_>,
    proved: bool,
    mut told: Entry,
    birth: &Birth,
) -> Result<Incident, FromWalkError> {
    let (status, cause) = match walk.verdict()? {
        Verdict::Confirmed(cause) => (Status::Confirmed, Some(cause)),
        Verdict::Likely(cause) => (Status::Likely, Some(cause)),
        Verdict::Unresolved => (Status::Unresolved, None),
    };
    let cause = cause.map(|index| walk.case.causes[index]);
    let steps = walk
        .steps
        .iter()
        .map(|step| {
            let (question, answer) = record::pair(walk, &step.given);
            Step { question, answer }
        })
        .collect();
    let readings = walk
        .steps
        .iter()
        .filter_map(|step| match &step.given {
            Given::Found { question, reply } if reply.evaluation.is_some() => Some(ReadingNote {
                what: walk.case.questions[*question].id.clone(),
                value: reply.typed.clone(),
            }),
            _ => None,
        })
        .collect();
    told.coding = Coding::proposed(&walk.case.class.coding, cause.map(|cause| &cause.coding));
    if told.done.is_none() && proved {
        told.done = cause.map(|cause| cause.put_right.clone());
    }
    if status == Status::Confirmed && !proved && told.notes.is_none() {
        told.notes = Some(NOT_PUT_RIGHT.to_owned());
    }
    let walked = Walked {
        class: walk.case.class.id.clone(),
        walk: WalkRecord { steps },
        readings,
        status,
        cause: cause.map(|cause| cause.id.clone()),
        confirmed_by: match (status, proved) {
            (Status::Confirmed, true) => Some(ConfirmedBy::ProvedByRun),
            (Status::Confirmed, false) => Some(ConfirmedBy::Measured),
            (Status::Likely, _) => Some(ConfirmedBy::Presumed),
            (Status::Unresolved, _) => Some(ConfirmedBy::NotFound),
        },
        knowledge_version: env!("CARGO_PKG_VERSION").to_owned(),
    };
    Ok(Incident::from_walk(birth, walked, told)?)
}
