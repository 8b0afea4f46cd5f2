//! A walk as the log keeps it: one line of text that says what was asked and answered.

use std::{fmt, str::FromStr};

use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error};

use super::{
    field::{FieldError, check_id, form},
    text::one_line,
};

/// One question and its answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// Question id.
    pub question: String,
    /// The finding's id, or the reading as typed.
    pub answer: String,
}

/// The answers of a walk in the order they were given.
///
/// The text form is `question=answer;question=answer`, as in
/// `trip-moment=slowing;bus-at-rest=566 V`.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct WalkRecord {
    /// The steps.
    pub steps: Vec<Step>,
}

impl WalkRecord {
    /// Whether nothing was asked.
    pub fn is_empty(&self) -> bool {
        self.steps.is_empty()
    }

    /// Adds an answer. White space and control characters are tidied up, and a semicolon, which
    /// would end the step, becomes a comma.
    pub fn push(&mut self, question: &str, answer: &str) {
        let answer = one_line(answer).replace(';', ",");
        self.steps.push(Step {
            question: question.to_owned(),
            answer,
        });
    }

    pub(super) fn check(&self) -> Result<(), FieldError> {
        self.steps.iter().try_for_each(|step| {
            check_id("walk question", &step.question)?;
            let answer = &step.answer;
            let plain = !answer.contains(|c: char| c == ';' || c.is_control());
            if plain && !answer.is_empty() && answer.trim().len() == answer.len() {
                Ok(())
            } else {
                Err(form(
                    "walk answer",
                    answer,
                    "an answer: a finding or a reading, without a semicolon",
                ))
            }
        })
    }
}

impl fmt::Display for WalkRecord {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, Step { question, answer }) in self.steps.iter().enumerate() {
            let separator = if index == 0 { "" } else { ";" };
            write!(f, "{separator}{question}={answer}")?;
        }
        Ok(())
    }
}

impl FromStr for WalkRecord {
    type Err = FieldError;

    fn from_str(text: &str) -> Result<Self, FieldError> {
        let pieces = text
            .split(';')
            .map(str::trim)
            .filter(|piece| !piece.is_empty());
        let steps = pieces.map(|piece| match piece.split_once('=') {
            Some((question, answer)) => Ok(Step {
                question: question.trim().to_owned(),
                answer: answer.trim().to_owned(),
            }),
            None => Err(form("walk step", piece, "question=answer")),
        });
        let walk = Self {
            steps: steps.collect::<Result<_, _>>()?,
        };
        walk.check()?;
        Ok(walk)
    }
}

impl Serialize for WalkRecord {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for WalkRecord {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer)?
            .parse()
            .map_err(D::Error::custom)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn steps_are_told_apart() {
        let walk: WalkRecord = "trip-moment=slowing; bus-at-rest = 566 V;".parse().unwrap();
        assert_eq!(walk.steps.len(), 2);
        assert_eq!(walk.steps[1].answer, "566 V");
        assert_eq!(walk.to_string(), "trip-moment=slowing;bus-at-rest=566 V");
        assert!("".parse::<WalkRecord>().unwrap().is_empty());
    }

    #[test]
    fn a_step_that_is_no_step_is_quoted() {
        let error = "trip-moment=slowing;566 V"
            .parse::<WalkRecord>()
            .unwrap_err();
        assert_eq!(
            error.to_string(),
            "walk step \"566 V\" is not question=answer"
        );
        for text in ["Trip=slowing", "=slowing", "trip-moment="] {
            assert!(text.parse::<WalkRecord>().is_err(), "{text}");
        }
    }

    proptest! {
        #[test]
        fn what_parses_is_its_own_text_form(text in "([a-z-]{1,4}=[ a-zΩ=0-9,.]{0,5};?){0,4}") {
            if let Ok(walk) = text.parse::<WalkRecord>() {
                prop_assert_eq!(walk.to_string().parse::<WalkRecord>(), Ok(walk));
            }
        }

        #[test]
        fn what_is_pushed_comes_back(answer in any::<String>()) {
            let mut walk = WalkRecord::default();
            walk.push("bus-at-rest", &format!("{answer}\nV"));
            prop_assert_eq!(walk.to_string().parse::<WalkRecord>(), Ok(walk));
        }

        #[test]
        fn no_text_is_too_odd(text in any::<String>()) {
            let _ = text.parse::<WalkRecord>();
        }
    }
}
