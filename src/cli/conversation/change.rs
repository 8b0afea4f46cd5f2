//! Changing an earlier answer: it is asked again, and everything after it is computed anew.

use super::{Leave, Next, Permissions, ask, confirm, leave};
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::diagnosis::planner;
use crate::diagnosis::walk::{Given, Walk};
use crate::knowledge::Library;

/// What became of the wish to change an answer.
pub(super) enum Change<'k> {
    /// The walk with the other answer.
    Made(Box<Walk<'k>>),
    /// Everything stays.
    Not,
    /// The user stopped.
    Stop,
    /// The input ended.
    End,
}

/// Asks the step with this number again.
pub(super) fn change<'k>(
    library: &Library,
    walk: &Walk<'k>,
    number: usize,
    permissions: &mut Permissions,
    context: &Context,
) -> Result<Change<'k>, Failure> {
    let Some(step) = number.checked_sub(1).and_then(|at| walk.steps.get(at)) else {
        context.ui.tell(&match walk.steps.len() {
            0 => "Nothing has been answered yet.".to_owned(),
            many => format!("There are answers 1 to {many}; w shows them."),
        });
        return Ok(Change::Not);
    };
    let at = number - 1;
    let without = walk.without(at);
    let access = match &step.given {
        Given::Found { question, .. } | Given::Cannot { question } => {
            walk.case.questions[*question].access
        }
        Given::Confirmed { cause } | Given::NotConfirmed { cause } | Given::Postponed { cause } => {
            walk.case.causes[*cause].confirm.access
        }
    };
    match leave(permissions, access, context)? {
        Leave::Given => {}
        Leave::Refused => return Ok(Change::Not),
        Leave::Stop => return Ok(Change::Stop),
        Leave::End => return Ok(Change::End),
    }
    let next = match &step.given {
        Given::Found { question, .. } | Given::Cannot { question } => {
            let plan = planner::plan(&without.case.model, &without.situation())
                .map_err(|error| Failure::data(error.to_string()))?;
            ask(library, &without, *question, None, &plan, context)?
        }
        Given::Confirmed { cause } | Given::NotConfirmed { cause } | Given::Postponed { cause } => {
            confirm(library, &without, *cause, context)?
        }
    };
    Ok(match next {
        Next::Give(given @ Given::Confirmed { .. }) => {
            Change::Made(Box::new(without.answered(given, false)))
        }
        Next::Give(given) => Change::Made(Box::new(walk.changed(at, given))),
        Next::Stop => Change::Stop,
        Next::End => Change::End,
        Next::Back | Next::Again | Next::Nameplate(..) | Next::Change(_) => Change::Not,
    })
}
