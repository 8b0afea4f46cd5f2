//! What the knowledge covers, class by class.

use std::collections::{BTreeMap, BTreeSet};

use super::Scope;
use super::separate::pairs;
use crate::checks;
use crate::diagnosis::case::{Case, History};
use crate::diagnosis::walk::{Turn, Walk};
use crate::knowledge::{FaultClass, Library, separable};

/// A class in numbers.
#[derive(Clone, Debug, PartialEq)]
pub struct ClassCoverage {
    /// Its id.
    pub id: String,
    /// Number of its causes.
    pub causes: usize,
    /// Number of its questions.
    pub questions: usize,
    /// Those of them that measure.
    pub measuring: usize,
    /// Pairs of its causes.
    pub pairs: usize,
    /// Pairs that a question tells apart.
    pub separable: usize,
    /// Minutes to expect from the first question to the confirmed cause; none if it makes no model.
    pub expected_minutes: Option<f64>,
}

/// All of it in numbers.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Coverage {
    /// Class by class.
    pub classes: Vec<ClassCoverage>,
    /// Number of causes.
    pub causes: usize,
    /// Number of questions.
    pub questions: usize,
    /// Those of them that measure.
    pub measuring: usize,
    /// Checks that a question uses.
    pub checks_used: Vec<String>,
    /// Checks that no question uses; they can be asked for by themselves.
    pub checks_unused: Vec<String>,
    /// Sources cited by a text or a limit.
    pub sources_cited: Vec<String>,
}

pub fn cover(scope: &Scope<'_>, told: &mut dyn FnMut(usize, usize)) -> Coverage {
    let used: BTreeSet<&str> = scope
        .questions
        .iter()
        .filter_map(|question| question.measure.as_ref())
        .map(|measure| measure.check.as_str())
        .collect();
    let (checks_used, checks_unused) = checks::all()
        .map(|check| check.name.to_owned())
        .partition(|name| used.contains(name.as_str()));
    let mut classes = Vec::new();
    for (done, class) in scope.classes.iter().enumerate() {
        told(done, scope.classes.len());
        classes.push(class_coverage(scope.library, class));
    }
    Coverage {
        classes,
        causes: scope.causes.len(),
        questions: scope.questions.len(),
        measuring: scope
            .questions
            .iter()
            .filter(|question| question.measure.is_some())
            .count(),
        checks_used,
        checks_unused,
        sources_cited: cited(scope).into_iter().map(str::to_owned).collect(),
    }
}

/// Sources that the limits, the texts in brackets and the cautions name.
fn cited<'l>(scope: &Scope<'l>) -> BTreeSet<&'l str> {
    let limits = scope
        .questions
        .iter()
        .filter_map(|question| question.measure.as_ref())
        .map(|measure| measure.source.as_str());
    let texts = super::texts::cited(scope);
    let cautions = scope
        .library
        .cautions()
        .flat_map(|caution| &caution.sources);
    limits
        .chain(texts)
        .chain(cautions.map(String::as_str))
        .filter(|id| scope.library.reference(id).is_some())
        .collect()
}

fn class_coverage(library: &Library, class: &FaultClass) -> ClassCoverage {
    let pairs = pairs(library, class);
    let case = Case::compile(library, class, History::default()).ok();
    let questions = crate::diagnosis::scope::questions_of(library, class);
    ClassCoverage {
        id: class.id.clone(),
        causes: class.causes.len(),
        questions: questions.len(),
        measuring: questions
            .iter()
            .filter(|question| question.measure.is_some())
            .count(),
        pairs: pairs.len(),
        separable: pairs
            .iter()
            .filter(|(one, other, _)| separable(one, other))
            .count(),
        expected_minutes: case.and_then(expected_minutes),
    }
}

/// What the planner expects at the start of a walk in which everything can be measured.
fn expected_minutes(case: Case<'_>) -> Option<f64> {
    match Walk::new(case, BTreeMap::new()).turn().ok()? {
        Turn::Ask { plan, .. } | Turn::Confirm { plan, .. } | Turn::HandOver { plan } => {
            Some(plan.expected_minutes)
        }
        Turn::Settled { .. } => None,
    }
}
