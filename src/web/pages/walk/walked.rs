//! A walk from its address and from what the plant knows before it begins.

use std::collections::BTreeSet;

use crate::diagnosis::case::{Case, History, place};
use crate::diagnosis::record::{self, Fact, nameplate_input};
use crate::diagnosis::walk::{Given, Walk};
use crate::knowledge::{Access, FaultClass, Library};
use crate::plant::Store;
use crate::web::plant::Plant;
use crate::web::walk_state::{NOT_KNOWN, WalkState};

/// What the plant knows before a walk begins.
#[derive(Debug, Default)]
pub struct Known {
    /// What its log says of the class.
    pub history: History,
    /// What its register says of the drive.
    pub nameplate: Vec<Fact>,
}

impl Known {
    /// What it knows of a class and a drive. What can't be read must not stop a walk.
    pub fn of(plant: &Plant, class: &FaultClass, drive: Option<&str>) -> Known {
        let registered = drive.and_then(|id| plant.read(|store| store.drive(id)).ok());
        let nameplate = registered
            .flatten()
            .flatten()
            .map(|drive| drive.nameplate.into_iter().collect());
        Known {
            history: plant.histories(drive).remove(&class.id).unwrap_or_default(),
            nameplate: nameplate.unwrap_or_default(),
        }
    }
}

/// A walk as far as its address is understood.
pub struct Walked {
    /// The walk with every answer that makes sense.
    pub walk: Walk<'static>,
    /// The first answer that does not: its key and why.
    pub wrong: Option<(String, String)>,
    /// The reading that is odd, and why.
    pub odd: Option<(String, String)>,
    /// Nameplate values that nobody knows.
    pub not_known: Vec<String>,
    /// Facts that this class has no use for.
    pub not_used: Vec<String>,
}

/// The walk that an address tells.
///
/// # Errors
/// When the class makes no model, which the knowledge check prevents.
pub fn walked(
    library: &'static Library,
    class: &'static FaultClass,
    known: Known,
    state: &WalkState,
) -> Result<Walked, String> {
    let Known { history, nameplate } = known;
    let case = Case::compile(library, class, history).map_err(|error| error.to_string())?;
    let mut walked = Walked {
        walk: Walk::new(case, Default::default()),
        wrong: None,
        odd: None,
        not_known: Vec::new(),
        not_used: Vec::new(),
    };
    for (access, refused) in [(Access::Live, "live"), (Access::Isolated, "isolated")] {
        walked.walk.allowed[place(access)] = !state.may_not.contains(refused);
    }
    for fact in nameplate {
        walked.take(library, &fact, &state.kept, true);
    }
    let is_nameplate = |key: &str| {
        walked.walk.case.question_index(key).is_none() && nameplate_input(key).is_some()
    };
    let (first, then): (Vec<_>, Vec<_>) =
        state.facts.iter().partition(|(key, _)| is_nameplate(key));
    for fact in first.into_iter().chain(then) {
        walked.take(library, fact, &state.kept, false);
    }
    Ok(walked)
}

impl Walked {
    /// Takes one fact; what the register says may not be right, and stops nothing.
    fn take(
        &mut self,
        library: &Library,
        fact: &(String, String),
        kept: &BTreeSet<String>,
        from_register: bool,
    ) {
        let (key, value) = fact;
        if value == NOT_KNOWN && nameplate_input(key).is_some() {
            self.not_known.push(key.clone());
            return;
        }
        match record::understand(library, &self.walk, fact) {
            Ok(record::Known::Nameplate(name, given)) => {
                self.walk.nameplate.insert(name, given);
            }
            Ok(record::Known::NotUsed(key)) => self.not_used.push(key),
            Ok(record::Known::Answer(given)) => {
                let doubt = match &given {
                    Given::Found { reply, .. } if !kept.contains(key) => {
                        reply.evaluation.as_ref().and_then(|sum| sum.doubt.clone())
                    }
                    _ => None,
                };
                match doubt {
                    Some(doubt) => self.odd = self.odd.take().or(Some((key.clone(), doubt))),
                    None => self.walk = self.walk.answered(given, false),
                }
            }
            Err(_) if from_register => {}
            Err(error) => {
                let reason = match error {
                    record::FactError::Value { reason, .. } => reason,
                    other => other.to_string(),
                };
                self.wrong = self.wrong.take().or(Some((key.clone(), reason)));
            }
        }
    }
}
