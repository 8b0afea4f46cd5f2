//! What good knowledge keeps beyond its shape: the gates that it must pass, and what it covers.
//!
//! The loader has looked at shape, references and limits; the gates look at what only the whole
//! shows: words that find the class, causes that questions tell apart, steps with their cautions,
//! texts that say the same twice.

mod cautions;
mod coverage;
mod separate;
mod texts;
mod unfinished;
mod used;
mod words;

use std::collections::BTreeSet;

pub use coverage::{ClassCoverage, Coverage};

use crate::knowledge::{Cause, FaultClass, Library, Loaded, Question};
use crate::search::{SearchError, Searcher};

/// Something that a gate did not let pass.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Shortcoming {
    /// The item.
    pub about: String,
    /// The gate.
    pub gate: &'static str,
    /// What is wrong, and what to do.
    pub text: String,
}

/// What is looked at: a whole library, or the items of one folder that lie over it.
#[derive(Clone, Debug)]
pub struct Scope<'l> {
    library: &'l Library,
    classes: Vec<&'l FaultClass>,
    causes: Vec<&'l Cause>,
    questions: Vec<&'l Question>,
    /// Whether codes of ISO 14224 must be there: a plant may leave them out.
    coded: bool,
}

impl<'l> Scope<'l> {
    /// Everything in the library.
    pub fn whole(library: &'l Library) -> Scope<'l> {
        Scope {
            library,
            classes: library.classes().collect(),
            causes: library.causes().collect(),
            questions: library.questions().collect(),
            coded: true,
        }
    }

    /// The items of a folder, within the library that it lies over.
    pub fn of(library: &'l Library, own: &Loaded) -> Scope<'l> {
        let classes: BTreeSet<&str> = own.classes.iter().map(|p| p.item.id.as_str()).collect();
        let causes: BTreeSet<&str> = own.causes.iter().map(|p| p.item.id.as_str()).collect();
        let questions: BTreeSet<&str> = own.questions.iter().map(|p| p.item.id.as_str()).collect();
        let mut scope = Scope::whole(library);
        scope.coded = false;
        scope
            .classes
            .retain(|class| classes.contains(class.id.as_str()));
        scope
            .causes
            .retain(|cause| causes.contains(cause.id.as_str()));
        scope
            .questions
            .retain(|question| questions.contains(question.id.as_str()));
        scope
    }
}

/// Everything that the gates do not let pass, by item.
///
/// # Errors
/// [`SearchError`] if the index is damaged.
pub fn check(scope: &Scope<'_>, searcher: &Searcher<'_>) -> Result<Vec<Shortcoming>, SearchError> {
    // What is not written yet is told alone: every other gate would only repeat it.
    let mut all = unfinished::check(scope);
    let scope = &unfinished::without(scope);
    all.extend(words::check(scope, searcher)?);
    all.extend(separate::check(scope));
    all.extend(cautions::check(scope));
    all.extend(used::check(scope));
    all.extend(texts::check(scope));
    all.sort();
    all.dedup();
    Ok(all)
}

/// What the knowledge covers; `told` hears how many classes are done, of how many.
pub fn coverage(scope: &Scope<'_>, told: &mut dyn FnMut(usize, usize)) -> Coverage {
    coverage::cover(scope, told)
}
