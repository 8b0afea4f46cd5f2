//! The plant's code sheet: what its own drives show, and the fault class it stands for.
//!
//! The plant writes it from the manuals it owns; none is shipped.

use serde::{Deserialize, Serialize};

use super::{
    FieldError, ScalarText,
    field::{check_id, check_length, form},
    text,
};

/// A text that a kind of drive shows, and the fault class it stands for.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Code {
    /// The text as the drive shows it.
    pub shown: String,
    /// The plant's own word for the kind of drive; empty for all.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub model: String,
    /// Fault class id.
    pub class: String,
    /// Anything else, such as the page of the manual.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub note: String,
}

/// A line of a code sheet as written by hand.
#[derive(Clone, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CodeEntry {
    /// The text as the drive shows it.
    pub shown: ScalarText,
    /// The kind of drive.
    #[serde(default)]
    pub model: ScalarText,
    /// Fault class id.
    pub class: String,
    /// Anything else.
    #[serde(default)]
    pub note: String,
}

/// How much what was typed is like what a drive shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Likeness {
    /// The same letters and digits.
    Exact,
    /// The same digits, and one letter off; or zeros in front of a number.
    Near,
}

/// A code that stands in what was typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CodeMatch {
    /// The code.
    pub code: Code,
    /// How much alike.
    pub likeness: Likeness,
}

/// At most this many words in a row are read as one code.
const WORDS_OF_A_CODE: usize = 6;

/// Of shorter codes no letter may be off.
const SHORTEST_NEAR: usize = 4;

impl Code {
    /// A valid code from what somebody wrote.
    ///
    /// # Errors
    /// When the text has no letter or digit, the class is no id, or something is too long.
    pub fn from_entry(entry: CodeEntry) -> Result<Self, FieldError> {
        let code = Self {
            shown: text::one_line(&entry.shown.0),
            model: text::one_line(&entry.model.0),
            class: text::one_line(&entry.class),
            note: text::one_line(&entry.note),
        };
        if key(&code.shown).is_empty() {
            return Err(form(
                "code",
                &code.shown,
                "a text that a drive shows: at least one letter or digit, such as \"F 07\"",
            ));
        }
        check_id("class", &code.class)?;
        check_length("code", &code.shown, 80)?;
        check_length("model", &code.model, 120)?;
        check_length("note", &code.note, 400)?;
        Ok(code)
    }

    /// What makes two codes the same: letters and digits, in small letters.
    pub(super) fn key(&self) -> String {
        key(&self.shown)
    }

    /// Whether both are lines for the same text of the same kind of drive.
    pub fn is_for_the_same(&self, other: &Self) -> bool {
        self.key() == other.key() && self.model.eq_ignore_ascii_case(&other.model)
    }

    /// The codes that stand in these words: the exact ones, or, if there are none, those that are
    /// nearly so; the longest first.
    pub fn matching(codes: &[Self], words: &str) -> Vec<CodeMatch> {
        if codes.is_empty() {
            return Vec::new();
        }
        let windows = windows(words);
        for likeness in [Likeness::Exact, Likeness::Near] {
            let mut found: Vec<(usize, &Self)> = codes
                .iter()
                .filter_map(|code| {
                    let key = code.key();
                    let is_like = |window: &String| match likeness {
                        Likeness::Exact => *window == key,
                        Likeness::Near => is_near(window, &key),
                    };
                    // A single letter or digit is a code only if nothing else was typed.
                    let candidates = match (key.chars().count(), windows.last()) {
                        (1, Some(_)) if windows.len() > 1 => &[][..],
                        _ => &windows[..],
                    };
                    candidates
                        .iter()
                        .any(is_like)
                        .then_some((key.chars().count(), code))
                })
                .collect();
            found.sort_by(|(long, one), (short, other)| {
                short.cmp(long).then_with(|| one.model.cmp(&other.model))
            });
            if !found.is_empty() {
                let as_match = |(_, code): (usize, &Self)| CodeMatch {
                    code: code.clone(),
                    likeness,
                };
                return found.into_iter().map(as_match).collect();
            }
        }
        Vec::new()
    }
}

/// The letters and digits of a text, in small letters.
fn key(text: &str) -> String {
    text.chars()
        .filter(|c| c.is_alphanumeric())
        .flat_map(char::to_lowercase)
        .collect()
}

/// The keys of up to six words in a row, wherever they start.
fn windows(words: &str) -> Vec<String> {
    let keys: Vec<String> = words
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .take(64)
        .map(key)
        .collect();
    let from = |start: usize| {
        let longest = WORDS_OF_A_CODE.min(keys.len() - start);
        let keys = &keys;
        (1..=longest).map(move |length| keys[start..start + length].concat())
    };
    let mut windows: Vec<String> = (0..keys.len()).flat_map(from).collect();
    windows.sort_unstable();
    windows.dedup();
    windows
}

/// A digit is never a slip: the next number is another code. A letter may be one, in a longer text.
fn is_near(typed: &str, key: &str) -> bool {
    let (typed, key) = (without_leading_zeros(typed), without_leading_zeros(key));
    if typed == key {
        return key.chars().count() > 1;
    }
    let digits = |text: &str| -> String { text.chars().filter(char::is_ascii_digit).collect() };
    let letters = |text: &str| text.chars().filter(|c| !c.is_ascii_digit()).count();
    letters(&key) >= SHORTEST_NEAR
        && typed.len().abs_diff(key.len()) <= 2
        && digits(&typed) == digits(&key)
        && strsim::osa_distance(&typed, &key) == 1
}

/// `f007` as `f7`; a zero by itself stays.
fn without_leading_zeros(key: &str) -> String {
    let mut shorter = String::with_capacity(key.len());
    let mut characters = key.chars().peekable();
    let mut in_number = false;
    while let Some(c) = characters.next() {
        let leads = c == '0' && !in_number && characters.peek().is_some_and(char::is_ascii_digit);
        if !leads {
            in_number = c.is_ascii_digit();
            shorter.push(c);
        }
    }
    shorter
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn sheet(shown: &[&str]) -> Vec<Code> {
        let code = |shown: &&str| {
            Code::from_entry(CodeEntry {
                shown: ScalarText((*shown).to_owned()),
                class: "ground-fault".to_owned(),
                ..CodeEntry::default()
            })
            .unwrap()
        };
        shown.iter().map(code).collect()
    }

    fn matched(codes: &[Code], words: &str) -> Vec<(String, Likeness)> {
        Code::matching(codes, words)
            .into_iter()
            .map(|found| (found.code.shown, found.likeness))
            .collect()
    }

    #[test]
    fn exact_and_near_texts() {
        use Likeness::*;
        let codes = sheet(&["F 07", "F 17", "BUS HIGH", "Fault 221", "7"]);
        for (words, expected) in [
            ("F07", Some(("F 07", Exact))),
            ("f-07 when stopping", Some(("F 07", Exact))),
            ("it shows f7 again", Some(("F 07", Near))),
            ("f 017", Some(("F 17", Near))),
            ("bus high", Some(("BUS HIGH", Exact))),
            ("Bus hihg on the display", Some(("BUS HIGH", Near))),
            ("fualt 221", Some(("Fault 221", Near))),
            ("fault 222", None),
            ("f18", None),
            ("7", Some(("7", Exact))),
            ("7 kW pump", None),
            ("trips when slowing", None),
            ("", None),
        ] {
            let found = matched(&codes, words);
            let expected: Vec<_> = expected
                .into_iter()
                .map(|(shown, likeness)| (shown.to_owned(), likeness))
                .collect();
            assert_eq!(found, expected, "{words}");
        }
    }

    #[test]
    fn a_code_needs_a_letter_or_digit_and_a_class() {
        for (shown, class) in [("--", "ground-fault"), ("F7", ""), ("F7", "Ground Fault")] {
            let entry = CodeEntry {
                shown: ScalarText(shown.to_owned()),
                class: class.to_owned(),
                ..CodeEntry::default()
            };
            assert!(Code::from_entry(entry).is_err(), "{shown} {class}");
        }
    }

    proptest! {
        #[test]
        fn every_code_finds_itself_and_no_words_are_too_odd(shown in "\\PC{0,30}", words in any::<String>()) {
            let entry = CodeEntry {
                shown: ScalarText(shown.clone()),
                class: "ground-fault".to_owned(),
                ..CodeEntry::default()
            };
            if let Ok(code) = Code::from_entry(entry) {
                let few = shown.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()).count() <= 6;
                let codes = [code];
                prop_assert!(!few || !Code::matching(&codes, &shown).is_empty());
                let _ = Code::matching(&codes, &words);
            }
        }
    }
}
