//! The one text form of a walk, `trip-moment=slowing;bus-at-rest=566 V;supply_voltage=400 V`: what
//! resume, replay and the log use. Keys are question ids, cause ids and nameplate names.

use super::reply::{self, Nameplate, ReplyError};
use super::walk::{Given, Walk};
use crate::checks::{self, Origin};
use crate::knowledge::Library;

/// The word for "can't measure".
pub const CANNOT: &str = "cannot";
/// The words for the confirming step of a cause.
pub const CONFIRMED: &str = "confirmed";
/// See [`CONFIRMED`].
pub const NOT_CONFIRMED: &str = "not-confirmed";
/// See [`CONFIRMED`].
pub const POSTPONED: &str = "postponed";

/// Something that is known, by key: as typed on the command line or read from a file.
pub type Fact = (String, String);

/// A fact that the class can use.
#[derive(Clone, Debug)]
pub enum Known {
    /// An answer.
    Answer(Given),
    /// A nameplate value.
    Nameplate(String, checks::Given),
    /// It belongs to another class, or names something that no check needs.
    NotUsed(String),
}

/// Why a fact was not taken.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum FactError {
    /// No question, cause or nameplate value has this name.
    #[error("there is no question, cause or nameplate value \"{key}\"{}", near(.nearest))]
    Unknown {
        /// What was written.
        key: String,
        /// What was probably meant.
        nearest: Option<String>,
    },
    /// The value does not fit.
    #[error("{key}: {reason}")]
    Value {
        /// Which fact.
        key: String,
        /// What is wrong, with an example.
        reason: String,
    },
    /// The text is not `key=value;key=value`.
    #[error("\"{0}\" is not key=value")]
    NotAPair(String),
}

fn near(nearest: &Option<String>) -> String {
    nearest
        .as_ref()
        .map(|id| format!("; closest: {id}"))
        .unwrap_or_default()
}

/// Splits a walk's text into facts.
///
/// # Errors
/// [`FactError::NotAPair`].
pub fn split(text: &str) -> Result<Vec<Fact>, FactError> {
    text.split(';')
        .map(str::trim)
        .filter(|part| !part.is_empty())
        .map(|part| {
            let (key, value) = part
                .split_once('=')
                .ok_or_else(|| FactError::NotAPair(part.to_owned()))?;
            Ok((key.trim().to_owned(), value.trim().to_owned()))
        })
        .collect()
}

/// The text of a walk, nameplate values first, but for those that are `known` anyway.
pub fn text(walk: &Walk<'_>, known: &Nameplate) -> String {
    let mut parts: Vec<String> = walk
        .nameplate
        .iter()
        .filter(|(name, given)| known.get(*name) != Some(*given))
        .map(|(name, given)| format!("{name}={}", nameplate_text(given)))
        .collect();
    for step in &walk.steps {
        let (key, value) = pair(walk, &step.given);
        parts.push(format!("{key}={value}"));
    }
    parts.join(";")
}

/// A nameplate value as it can be typed again.
pub fn nameplate_text(given: &checks::Given) -> String {
    match given {
        checks::Given::Reading(reading) => reading.value.to_string(),
        checks::Given::Word(word) => word.clone(),
    }
}

/// Key and value of one answer.
pub fn pair(walk: &Walk<'_>, given: &Given) -> Fact {
    let question = |index: &usize| walk.case.questions[*index].id.clone();
    let cause = |index: &usize| walk.case.causes[*index].id.clone();
    match given {
        Given::Found {
            question: index,
            reply,
        } => (question(index), reply.typed.replace(';', ",")),
        Given::Cannot { question: index } => (question(index), CANNOT.to_owned()),
        Given::Confirmed { cause: index } => (cause(index), CONFIRMED.to_owned()),
        Given::NotConfirmed { cause: index } => (cause(index), NOT_CONFIRMED.to_owned()),
        Given::Postponed { cause: index } => (cause(index), POSTPONED.to_owned()),
    }
}

/// Understands a fact for this walk. Nameplate values that later facts need must come first.
///
/// # Errors
/// [`FactError`] with the nearest name or what the value should be.
pub fn understand(library: &Library, walk: &Walk<'_>, fact: &Fact) -> Result<Known, FactError> {
    let (key, value) = fact;
    if let Some(index) = walk.case.question_index(key) {
        if value == CANNOT {
            return Ok(Known::Answer(Given::Cannot { question: index }));
        }
        let question = walk.case.questions[index];
        let reply = match reply::understand(question, value, &walk.nameplate) {
            Ok(reply) => reply,
            // A reading whose sum lacks a nameplate value says nothing.
            Err(ReplyError::NotAFinding { .. })
                if !reply::missing_nameplate(question, &walk.nameplate).is_empty() =>
            {
                return Ok(Known::Answer(Given::Cannot { question: index }));
            }
            Err(error) => {
                return Err(FactError::Value {
                    key: key.clone(),
                    reason: error.to_string(),
                });
            }
        };
        return Ok(Known::Answer(Given::Found {
            question: index,
            reply: Box::new(reply),
        }));
    }
    if let Some(cause) = walk.case.cause_index(key) {
        return match value.as_str() {
            CONFIRMED | "found" | "yes" => Ok(Known::Answer(Given::Confirmed { cause })),
            NOT_CONFIRMED | "not-found" | "no" => Ok(Known::Answer(Given::NotConfirmed { cause })),
            POSTPONED | CANNOT => Ok(Known::Answer(Given::Postponed { cause })),
            other => Err(FactError::Value {
                key: key.clone(),
                reason: format!(
                    "\"{other}\" should be {CONFIRMED}, {NOT_CONFIRMED} or {POSTPONED}"
                ),
            }),
        };
    }
    if let Some(input) = nameplate_input(key) {
        return checks::read_nameplate(input, value)
            .map(|given| Known::Nameplate(key.clone(), given))
            .map_err(|reason| FactError::Value {
                key: key.clone(),
                reason,
            });
    }
    if library.question_named(key).is_some() || library.cause(key).is_some() {
        return Ok(Known::NotUsed(key.clone()));
    }
    Err(FactError::Unknown {
        key: key.clone(),
        nearest: nearest(library, walk, key),
    })
}

/// The input of that name which some check takes from the nameplate.
pub fn nameplate_input(name: &str) -> Option<&'static checks::Input> {
    let inputs = || checks::all().flat_map(|check| check.inputs);
    inputs()
        .find(|input| input.name == name && input.origin == Origin::Nameplate)
        .or_else(|| inputs().find(|input| input.name == name))
}

fn nearest(library: &Library, walk: &Walk<'_>, key: &str) -> Option<String> {
    let own = walk
        .case
        .questions
        .iter()
        .map(|question| question.id.as_str());
    let causes = walk.case.causes.iter().map(|cause| cause.id.as_str());
    let inputs = checks::all()
        .flat_map(|check| check.inputs)
        .map(|input| input.name);
    let words: Vec<&str> = key.split(['_', '-']).collect();
    let of_all_words = || {
        checks::all()
            .flat_map(|check| check.inputs)
            .filter(|input| input.origin == Origin::Nameplate)
            .map(|input| input.name)
            .filter(|name| {
                words
                    .iter()
                    .all(|word| name.split('_').any(|part| part == *word))
            })
            .min_by_key(|name| name.len())
    };
    if words.len() > 1
        && let Some(name) = of_all_words()
    {
        return Some(name.to_owned());
    }
    own.chain(causes)
        .chain(inputs)
        .map(|name| (strsim::osa_distance(name, key), name))
        .filter(|(distance, name)| *distance <= 2 + name.len() / 6)
        .min()
        .map(|(_, name)| name.to_owned())
        .or_else(|| library.nearest_id(key).map(str::to_owned))
}

/// Adds nameplate values to a walk.
#[must_use]
pub fn with_nameplate<'k>(walk: &Walk<'k>, values: Nameplate) -> Walk<'k> {
    let mut next = walk.clone();
    next.nameplate.extend(values);
    next
}
