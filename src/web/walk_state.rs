//! A walk as an address: who it is about and what was answered stand in the query, in order, so that
//! Back, reload, bookmark and a link to a colleague all work and nothing is kept for it.

use std::collections::BTreeSet;

use crate::diagnosis::record::Fact;

/// Longest query that is read, in bytes.
const LONGEST_QUERY: usize = 8 * 1024;
/// Most answers that are read: more than the widest class has questions.
const MOST_FACTS: usize = 400;
/// Longest answer, in characters.
pub const LONGEST_VALUE: usize = 200;

/// The drive of the register.
pub const DRIVE: &str = "drive";
/// The unit of the answer before it.
pub const UNIT: &str = "unit";
/// A question whose odd reading the user keeps.
pub const KEPT: &str = "kept";
/// A question to be answered again.
pub const AGAIN: &str = "again";
/// An access that the person here may work in.
pub const MAY: &str = "may";
/// An access that nobody here may work in.
pub const MAY_NOT: &str = "may-not";
/// How the remedy went.
pub const PROOF: &str = "proof";
/// What else is to be shown.
pub const LOOK: &str = "look";
/// What the user said at the start, for the record.
pub const SAID: &str = "said";
/// What stands for a nameplate value that nobody knows.
pub const NOT_KNOWN: &str = "not-known";

/// Words of an address that no question or cause may be called.
pub const RESERVED: [&str; 9] = [DRIVE, SAID, UNIT, KEPT, AGAIN, MAY, MAY_NOT, PROOF, LOOK];

/// A walk as its address tells it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct WalkState {
    /// The drive of the register.
    pub drive: Option<String>,
    /// What the user said at the start.
    pub said: Option<String>,
    /// Nameplate values and answers, in the order in which they were given.
    pub facts: Vec<Fact>,
    /// Accesses that were granted, by their words.
    pub may: BTreeSet<String>,
    /// Accesses that were refused.
    pub may_not: BTreeSet<String>,
    /// Questions whose odd reading is kept.
    pub kept: BTreeSet<String>,
    /// The question that is to be answered again.
    pub again: Option<String>,
    /// How the remedy went.
    pub proof: Option<Proof>,
    /// Whether to show in full why a question is asked.
    pub look: Option<Look>,
}

/// How a remedy went.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Proof {
    /// The proof run passed.
    Passed,
    /// Not yet put right or proved.
    Later,
}

/// What else is shown with a question.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Look {
    /// Why it is asked, in full.
    Why,
}

/// Why an address is no walk.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum StateError {
    /// It is longer than any walk.
    #[error("this address is longer than any walk's")]
    TooLong,
}

impl WalkState {
    /// Reads the query of an address. What is not understood is kept as a fact, so that it can be told.
    ///
    /// # Errors
    /// [`StateError::TooLong`].
    pub fn parse(query: &str) -> Result<WalkState, StateError> {
        if query.len() > LONGEST_QUERY {
            return Err(StateError::TooLong);
        }
        let mut state = WalkState::default();
        let mut before: Option<String> = None;
        for (key, value) in form_urlencoded::parse(query.as_bytes()) {
            let value = value.trim();
            let set = |values: &mut BTreeSet<String>| {
                values.insert(value.to_owned());
            };
            match key.as_ref() {
                DRIVE => state.drive = Some(value.to_owned()).filter(|id| !id.is_empty()),
                SAID => state.said = Some(value.to_owned()).filter(|said| !said.is_empty()),
                UNIT => state.give_unit(value),
                KEPT => set(&mut state.kept),
                AGAIN => state.again = Some(value.to_owned()).filter(|id| !id.is_empty()),
                MAY => set(&mut state.may),
                MAY_NOT => set(&mut state.may_not),
                PROOF => state.proof = Proof::from_word(value),
                LOOK => state.look = (value == Look::WHY).then_some(Look::Why),
                "" => {}
                key if before.as_deref() == Some(key) => state.add_reading(value),
                key => state.give(key, value),
            }
            if key != UNIT {
                before = Some(key.into_owned());
            }
        }
        // Several fields of which some were left empty.
        for (_, value) in &mut state.facts {
            *value = value.trim().to_owned();
        }
        let too_long = |text: &str| text.chars().count() > LONGEST_VALUE;
        if state.facts.len() > MOST_FACTS || state.pairs().iter().any(|(_, value)| too_long(value))
        {
            return Err(StateError::TooLong);
        }
        Ok(state)
    }

    /// One more reading of the same question, as a page with several fields sends them.
    fn add_reading(&mut self, value: &str) {
        if let Some((_, first)) = self.facts.last_mut() {
            first.push_str(" | ");
            first.push_str(value);
        }
    }

    /// The unit beside the field, for a number that was typed without one.
    fn give_unit(&mut self, unit: &str) {
        if let Some((_, value)) = self.facts.last_mut()
            && value.ends_with(|c: char| c.is_ascii_digit())
            && !value
                .rsplit(" | ")
                .next()
                .is_some_and(|last| last.contains(char::is_alphabetic))
        {
            value.push(' ');
            value.push_str(unit);
        }
    }

    /// Gives an answer; an earlier one to the same question stays in its place with the new value.
    fn give(&mut self, key: &str, value: &str) {
        match self.facts.iter_mut().find(|(known, _)| known == key) {
            Some((_, old)) => *old = value.to_owned(),
            None => self.facts.push((key.to_owned(), value.to_owned())),
        }
    }

    /// Without the answer to this question.
    #[must_use]
    pub fn without(&self, key: &str) -> WalkState {
        let mut next = self.at_rest();
        next.facts.retain(|(known, _)| known != key);
        next.kept.remove(key);
        next
    }

    /// Without what is only looked at or asked again.
    #[must_use]
    pub fn at_rest(&self) -> WalkState {
        WalkState {
            again: None,
            look: None,
            ..self.clone()
        }
    }

    /// The pairs of the address.
    pub fn pairs(&self) -> Vec<(&str, &str)> {
        let mut pairs: Vec<(&str, &str)> = Vec::new();
        pairs.extend(self.drive.as_deref().map(|drive| (DRIVE, drive)));
        pairs.extend(self.said.as_deref().map(|said| (SAID, said)));
        pairs.extend(
            self.facts
                .iter()
                .map(|(key, value)| (key.as_str(), value.as_str())),
        );
        pairs.extend(self.may.iter().map(|access| (MAY, access.as_str())));
        pairs.extend(self.may_not.iter().map(|access| (MAY_NOT, access.as_str())));
        pairs.extend(self.kept.iter().map(|question| (KEPT, question.as_str())));
        pairs.extend(self.again.as_deref().map(|question| (AGAIN, question)));
        pairs.extend(self.proof.map(|proof| (PROOF, proof.word())));
        pairs.extend(self.look.map(|Look::Why| (LOOK, Look::WHY)));
        pairs
    }

    /// The address of this walk through a class.
    pub fn address(&self, class: &str) -> String {
        let query: String = form_urlencoded::Serializer::new(String::new())
            .extend_pairs(self.pairs())
            .finish();
        match query.is_empty() {
            true => format!("/walk/{class}"),
            false => format!("/walk/{class}?{query}"),
        }
    }
}

impl Proof {
    /// The word in an address.
    pub fn word(self) -> &'static str {
        match self {
            Proof::Passed => "passed",
            Proof::Later => "later",
        }
    }

    /// From the word in an address.
    pub fn from_word(word: &str) -> Option<Proof> {
        [Proof::Passed, Proof::Later]
            .into_iter()
            .find(|proof| proof.word() == word)
    }
}

impl Look {
    /// The word in an address.
    pub const WHY: &'static str = "why";
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_form_gives_answer_and_unit() {
        let state = WalkState::parse("drive=filler&trip-moment=slowing&bus-at-rest=566&unit=V");
        let state = state.expect("a walk");
        assert_eq!(state.drive.as_deref(), Some("filler"));
        assert_eq!(state.facts[1], ("bus-at-rest".into(), "566 V".into()));
        assert_eq!(
            state.address("ground-fault"),
            "/walk/ground-fault?drive=filler&trip-moment=slowing&bus-at-rest=566+V"
        );
    }

    #[test]
    fn a_typed_unit_wins_and_several_fields_join() {
        let state = WalkState::parse("rest=0.566kV&unit=V&lines=400&unit=V&lines=398,5&unit=V");
        let state = state.expect("a walk");
        assert_eq!(state.facts[0].1, "0.566kV");
        assert_eq!(state.facts[1].1, "400 V | 398,5 V");
        let lines = WalkState::parse("lines=400&lines=398,5&lines=401").expect("a walk");
        assert_eq!(lines.facts[0].1, "400 | 398,5 | 401");
    }

    #[test]
    fn a_new_answer_takes_the_place_of_the_old_one() {
        let state = WalkState::parse("a=1&b=2&a=3&kept=a&again=a").expect("a walk");
        assert_eq!(state.pairs()[0], ("a", "3"));
        assert_eq!(state.without("a").pairs(), [("b", "2")]);
    }

    #[test]
    fn an_endless_address_is_refused() {
        assert_eq!(
            WalkState::parse(&"a=1&".repeat(4000)),
            Err(StateError::TooLong)
        );
        assert_eq!(
            WalkState::parse(&format!("a={}", "x".repeat(300))),
            Err(StateError::TooLong)
        );
    }

    proptest! {
        #[test]
        fn any_query_is_a_walk_or_refused_and_comes_back_the_same(query in ".{0,400}") {
            if let Ok(state) = WalkState::parse(&query) {
                let address = state.address("class");
                let (_, again) = address.split_once('?').unwrap_or((&address, ""));
                prop_assert_eq!(WalkState::parse(again), Ok(state));
            }
        }

        #[test]
        fn pairs_of_an_address_are_told_back(
            pairs in prop::collection::vec(("[a-z_-]{1,12}", "[^\u{0}-\u{1f}]{0,30}"), 0..30)
        ) {
            let query: String = form_urlencoded::Serializer::new(String::new())
                .extend_pairs(pairs)
                .finish();
            if let Ok(state) = WalkState::parse(&query) {
                let address = state.address("class");
                let (_, again) = address.split_once('?').unwrap_or((&address, ""));
                prop_assert_eq!(WalkState::parse(again), Ok(state));
            }
        }
    }
}
