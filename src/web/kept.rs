//! What was computed before: many people open the same walks, and the same page is loaded again and
//! again.

use std::collections::HashMap;
use std::sync::{Mutex, MutexGuard, PoisonError};

use crate::diagnosis::belief::AnswerError;
use crate::diagnosis::case::Case;
use crate::diagnosis::walk::{Turn, Walk};

/// Values by what they follow from; when there are too many, it starts anew.
#[derive(Debug)]
pub struct Kept<T> {
    most: usize,
    values: Mutex<HashMap<String, T>>,
}

impl<T: Clone> Kept<T> {
    /// Keeps at most so many.
    pub fn at_most(most: usize) -> Kept<T> {
        Kept {
            most,
            values: Mutex::default(),
        }
    }

    /// The value that was computed for this key, or the one that is computed now.
    ///
    /// # Errors
    /// When it can't be computed.
    pub fn or_computed<E>(
        &self,
        key: String,
        compute: impl FnOnce() -> Result<T, E>,
    ) -> Result<T, E> {
        if let Some(value) = self.get(&key) {
            return Ok(value);
        }
        let value = compute()?;
        self.keep(key, &value);
        Ok(value)
    }

    /// The value that is kept for this key.
    pub fn get(&self, key: &str) -> Option<T> {
        self.values().get(key).cloned()
    }

    /// Keeps a value.
    pub fn keep(&self, key: String, value: &T) {
        let mut values = self.values();
        if values.len() >= self.most {
            values.clear();
        }
        values.insert(key, value.clone());
    }

    fn values(&self) -> MutexGuard<'_, HashMap<String, T>> {
        self.values.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// Steps of walks.
pub type Turns = Kept<Turn>;

impl Turns {
    /// What comes next in a walk.
    ///
    /// # Errors
    /// As [`Walk::turn`].
    pub fn turn(&self, walk: &Walk<'_>) -> Result<Turn, AnswerError> {
        self.or_computed(walk_key(walk), || walk.turn())
    }
}

/// Everything that a class's model depends on: the class and what the log knows of it.
pub fn case_key(case: &Case<'_>) -> String {
    format!("{}\n{:?}", case.class.id, case.history)
}

/// Everything that the next step depends on, the values by which readings are judged included.
fn walk_key(walk: &Walk<'_>) -> String {
    let answers: Vec<_> = walk
        .steps
        .iter()
        .map(|step| crate::diagnosis::record::pair(walk, &step.given))
        .collect();
    format!(
        "{}\n{:?}\n{:?}\n{answers:?}",
        case_key(&walk.case),
        walk.allowed,
        walk.nameplate
    )
}
