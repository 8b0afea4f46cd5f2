//! What belongs to a class: its causes, and the questions on which they have signs.

use crate::knowledge::{Cause, FaultClass, HowOften, Library, Question};

/// The causes of a class, most frequent first.
pub fn causes_of<'k>(library: &'k Library, class: &FaultClass) -> Vec<(&'k Cause, HowOften)> {
    class
        .causes
        .iter()
        .filter_map(|listed| {
            library
                .cause(&listed.cause)
                .map(|cause| (cause, listed.how_often))
        })
        .collect()
}

/// The questions on which the causes of a class have signs, in the order of the knowledge files.
pub fn questions_of<'k>(library: &'k Library, class: &FaultClass) -> Vec<&'k Question> {
    let causes = causes_of(library, class);
    let asked = |question: &Question| {
        causes.iter().any(|(cause, _)| {
            cause.signs.iter().any(|sign| sign.question == question.id)
                || cause
                    .confirm
                    .settled_by
                    .as_ref()
                    .is_some_and(|(id, _)| *id == question.id)
        })
    };
    library
        .questions()
        .filter(|question| asked(question))
        .collect()
}
