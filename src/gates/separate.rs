//! For each pair of causes of a class some question must answer differently, or the class names the
//! pair and says why not; and one finding must not confirm two causes of a class.

use std::collections::BTreeMap;

use super::{Scope, Shortcoming};
use crate::diagnosis::scope::causes_of;
use crate::knowledge::{Cause, FaultClass, Library, separable};

pub fn check(scope: &Scope<'_>) -> Vec<Shortcoming> {
    let mut found = Vec::new();
    for class in &scope.classes {
        let mut report = |text: String| {
            found.push(Shortcoming {
                about: class.id.clone(),
                gate: "separable",
                text,
            });
        };
        for (one, other, named) in pairs(scope.library, class) {
            match (separable(one, other), named) {
                (false, false) => report(format!(
                    "no question tells {} from {} by two levels or more: add the sign that does, or name the pair \
                     under inseparable: with because:",
                    one.id, other.id
                )),
                (true, true) => report(format!(
                    "{} and {} are named inseparable, but a question tells them apart: take the pair out",
                    one.id, other.id
                )),
                _ => {}
            }
        }
        for (settled_by, causes) in settled(scope.library, class) {
            if causes.len() > 1 {
                let (question, finding) = settled_by;
                report(format!(
                    "{question}: {finding} confirms {}: only one of them can be it; leave settled_by to the one that \
                     no other cause can explain",
                    causes.join(" and ")
                ));
            }
        }
    }
    found
}

/// Every pair of causes of a class, and whether the class names it inseparable.
pub fn pairs<'l>(library: &'l Library, class: &FaultClass) -> Vec<(&'l Cause, &'l Cause, bool)> {
    let causes = causes_of(library, class);
    let mut pairs = Vec::new();
    for (index, (one, _)) in causes.iter().enumerate() {
        for (other, _) in causes.iter().skip(index + 1) {
            let named = class.inseparable.iter().any(|pair| {
                let (a, b) = (&pair.causes.0, &pair.causes.1);
                (*a == one.id && *b == other.id) || (*a == other.id && *b == one.id)
            });
            pairs.push((*one, *other, named));
        }
    }
    pairs
}

/// The causes that each finding confirms.
fn settled<'l>(
    library: &'l Library,
    class: &FaultClass,
) -> BTreeMap<&'l (String, String), Vec<&'l str>> {
    let mut by: BTreeMap<&(String, String), Vec<&str>> = BTreeMap::new();
    for (cause, _) in causes_of(library, class) {
        if let Some(settled_by) = &cause.confirm.settled_by {
            by.entry(settled_by).or_default().push(&cause.id);
        }
    }
    by
}
