//! A class must be found by its own words, and a phrase must belong to one class.

use std::collections::BTreeMap;

use super::{Scope, Shortcoming};
use crate::search::{HitKind, SearchError, Searcher};

/// An own phrase must bring its class among so many first classes.
const AMONG: usize = 3;

pub fn check(scope: &Scope<'_>, searcher: &Searcher<'_>) -> Result<Vec<Shortcoming>, SearchError> {
    let mut found = doubled(scope);
    for class in &scope.classes {
        for phrase in class.phrases.iter().chain([&class.title]) {
            let answer = searcher.find(phrase, 12)?;
            let mut classes = answer
                .hits
                .iter()
                .filter(|hit| hit.kind == HitKind::Class)
                .take(AMONG);
            if !classes.any(|hit| hit.id == class.id) {
                let first = answer.hits.first().map_or("nothing", |hit| &hit.id);
                found.push(Shortcoming {
                    about: class.id.clone(),
                    gate: "words",
                    text: format!(
                        "\"{phrase}\" does not find it but {first}: say what is different about this class, or \
                         teach the word in words.yaml"
                    ),
                });
            }
        }
    }
    Ok(found)
}

/// The same phrase in two classes finds one of them at most.
fn doubled(scope: &Scope<'_>) -> Vec<Shortcoming> {
    let mut owners: BTreeMap<String, Vec<&str>> = BTreeMap::new();
    for class in scope.library.classes() {
        for phrase in &class.phrases {
            owners.entry(plain(phrase)).or_default().push(&class.id);
        }
    }
    let own = |id: &str| scope.classes.iter().any(|class| class.id == id);
    owners
        .into_iter()
        .filter_map(|(phrase, ids)| {
            let about = ids.iter().find(|id| own(id)).filter(|_| ids.len() > 1)?;
            Some(Shortcoming {
                about: (*about).to_owned(),
                gate: "doubles",
                text: format!(
                    "\"{phrase}\" stands in {}: leave it to one of them",
                    ids.join(" and ")
                ),
            })
        })
        .collect()
}

/// Lower-case words without signs.
pub fn plain(text: &str) -> String {
    text.to_lowercase()
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}
