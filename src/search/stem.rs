//! Word stems: the English Snowball stemmer behind a few rules of the trade.

use frostem::{Algorithm, Stemmer as Snowball};

use super::shorthand;

/// Words that the stemmer would tear apart or throw together wrongly.
const OWN: &[(&str, &str)] = &[
    ("accel", "acceler"),
    ("accelerate", "acceler"),
    ("decel", "deceler"),
    ("faulty", "fault"),
    ("loss", "loss"),
    ("loses", "lose"),
    ("lost", "lose"),
    ("losing", "lose"),
    ("ran", "run"),
    ("running", "run"),
    ("blew", "blow"),
    ("blown", "blow"),
    ("shorter", "shorten"),
    ("froze", "frozen"),
    ("spun", "spin"),
    ("began", "begin"),
    ("fell", "fall"),
    ("fallen", "fall"),
    ("rose", "rise"),
    ("kept", "keep"),
    ("went", "go"),
    ("drew", "draw"),
    ("drawn", "draw"),
    ("burnt", "burn"),
    ("heavier", "heavi"),
    ("hotter", "hot"),
    ("bigger", "big"),
    ("higher", "high"),
    ("lower", "lower"),
    // What happens while slowing down, apart from a slow speed, a stop and a brake.
    ("slowing", "slowing"),
    ("slows", "slowing"),
    ("slowed", "slowing"),
    ("stopping", "stopping"),
    ("braking", "braking"),
    ("warmer", "warm"),
    ("thicker", "thick"),
];

/// Stands for any number of minutes: "after 10 min" and "after 25 min" say the same.
const MINUTES: &str = "#min";

fn is_minutes(word: &str) -> bool {
    word.strip_suffix("min").is_some_and(|number| {
        let digit = |byte: u8| byte.is_ascii_digit() || byte == b'.';
        !number.is_empty() && number.bytes().all(digit)
    })
}

/// Stems words one after another.
pub struct Stemmer {
    english: Snowball,
}

impl Default for Stemmer {
    fn default() -> Stemmer {
        Stemmer {
            english: Snowball::new(Algorithm::English),
        }
    }
}

impl Stemmer {
    /// The stem of a plain word. Short forms stand for their whole word, minutes for any number of them;
    /// other words with digits and words of up to two letters stay as they are.
    pub fn stem(&mut self, word: &str) -> String {
        let word = shorthand::whole(word).unwrap_or(word);
        if let Some((_, stem)) = OWN.iter().find(|(own, _)| *own == word) {
            return (*stem).to_owned();
        }
        if is_minutes(word) {
            return MINUTES.to_owned();
        }
        if word.len() < 3 || word.bytes().any(|byte| byte.is_ascii_digit()) {
            return word.to_owned();
        }
        match self.english.stem(word).into_owned() {
            stem if stem.is_empty() => word.to_owned(),
            stem => stem,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn forms_of_one_word_meet() {
        let mut stemmer = Stemmer::default();
        for forms in [
            &["trip", "trips", "tripped", "tripping"][..],
            &["accel", "accelerate", "accelerating", "acceleration"],
            &["decel", "decelerating", "deceleration"],
            &["overload", "overloads", "overloaded", "overloading"],
            &["motor", "mtr", "mtrs"],
        ] {
            for form in forms {
                assert_eq!(stemmer.stem(form), stemmer.stem(forms[0]), "{form}");
            }
        }
        assert_ne!(stemmer.stem("braking"), stemmer.stem("breaker"));
        assert_eq!(stemmer.stem("24v"), "24v");
        assert_eq!(stemmer.stem("10min"), stemmer.stem("2.5min"));
    }
}
