//! What comes next in walks that were planned before: many people open the same walks, and the same
//! page is loaded again and again.

use std::collections::HashMap;
use std::sync::{Mutex, PoisonError};

use crate::diagnosis::belief::AnswerError;
use crate::diagnosis::record;
use crate::diagnosis::walk::{Turn, Walk};

/// So many are kept; then it starts anew.
const MOST_KEPT: usize = 4096;

/// Steps that were planned before.
#[derive(Debug, Default)]
pub struct Turns(Mutex<HashMap<String, Turn>>);

impl Turns {
    /// What comes next in a walk.
    ///
    /// # Errors
    /// As [`Walk::turn`].
    pub fn turn(&self, walk: &Walk<'_>) -> Result<Turn, AnswerError> {
        let key = key(walk);
        let kept = || self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(turn) = kept().get(&key) {
            return Ok(turn.clone());
        }
        let turn = walk.turn()?;
        let mut kept = kept();
        if kept.len() >= MOST_KEPT {
            kept.clear();
        }
        kept.insert(key, turn.clone());
        Ok(turn)
    }
}

/// Everything that the next step depends on: the class, what the log knows of it, and the answers with
/// the values by which readings are judged.
fn key(walk: &Walk<'_>) -> String {
    format!(
        "{}\n{:?}\n{:?}\n{}",
        walk.case.class.id,
        walk.allowed,
        walk.case.history,
        record::text(walk, &Default::default())
    )
}
