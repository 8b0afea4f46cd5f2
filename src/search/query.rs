//! Understands a query: spelling, joined and split words, readings, codes, then the terms.

use super::hit::QueryReading;
use super::lexicon::Lexicon;
use super::normalise::{self, Word};
use super::stem::Stemmer;
use super::terms::{self, Analysis};
use super::vocabulary::Vocabulary;
use crate::quantity::{self, Kind, Quantity};

/// Most mistyped words that are corrected in one query.
const MOST_CORRECTIONS: usize = 24;
/// Shorter words with accents are not corrected.
const SHORTEST_FOREIGN: usize = 6;
/// Most readings that are kept.
const MOST_READINGS: usize = 12;

/// A query as it was understood.
#[derive(Clone, Debug, Default)]
pub struct Query {
    /// Its words, corrected.
    pub words: Vec<Word>,
    /// Mistyped words and what they were read as.
    pub corrected: Vec<(String, String)>,
    /// For each word whether it was corrected.
    pub is_corrected: Vec<bool>,
    /// Words that nothing is known about.
    pub unknown: Vec<String>,
    /// Readings.
    pub readings: Vec<QueryReading>,
    /// Error codes in standard form, and whether their form shows it.
    pub codes: Vec<(String, bool)>,
    /// Codes that look like a maker's.
    pub maker_codes: Vec<String>,
    /// Terms, moments, short words.
    pub analysis: Analysis,
}

/// Understands a query with the lists of the index.
pub fn understand(text: &str, lexicon: &Lexicon, vocabulary: &Vocabulary) -> Query {
    let mut stemmer = Stemmer::default();
    let mut query = Query::default();
    let mut typed = normalise::words(text);
    query.take_codes(&typed, lexicon);
    // OC3: the letters are of the trade, only the figure is the maker's.
    for word in &mut typed {
        if is_maker_code(&word.plain)
            && let Some(part) = short_part(&word.plain, lexicon)
        {
            word.plain = part.to_owned();
        }
    }
    query.take_readings(&typed);
    query.spell(typed, vocabulary, &mut stemmer);
    query.analysis = terms::analyse(&query.words, lexicon, &mut stemmer);
    query
}

impl Query {
    /// Keeps known words, joins and splits words, corrects slips, notes what is unknown.
    fn spell(&mut self, typed: Vec<Word>, vocabulary: &Vocabulary, stemmer: &mut Stemmer) {
        let mut knows = |word: &str| {
            word.len() < 3
                || word.bytes().any(|byte| byte.is_ascii_digit())
                || vocabulary.knows(word)
                || vocabulary.knows_stem(&stemmer.stem(word))
        };
        let mut typed = typed.into_iter().peekable();
        while let Some(word) = typed.next() {
            let plain = word.plain.as_str();
            if knows(plain) {
                // "brak ing": the second part decides, below.
                self.push(word, false);
                continue;
            }
            if let Some(next) = typed.peek()
                && vocabulary.knows(&format!("{plain}{}", next.plain))
            {
                let joined = format!("{plain}{}", next.plain);
                let shown = format!("{} {}", word.typed, next.typed);
                typed.next();
                self.correct(shown, joined);
                continue;
            }
            if let Some(last) = self.words.last()
                && vocabulary.knows(&format!("{}{plain}", last.plain))
            {
                let joined = format!("{}{plain}", last.plain);
                let shown = format!("{} {}", last.typed, word.typed);
                self.words.pop();
                self.is_corrected.pop();
                self.correct(shown, joined);
                continue;
            }
            // Short words with letters that English lacks belong to other languages.
            let foreign = !word.typed.is_ascii() && plain.len() < SHORTEST_FOREIGN;
            let allowed = self.corrected.len() < MOST_CORRECTIONS && !foreign;
            if !allowed {
                self.unknown.push(word.typed.clone());
                self.push(word, false);
            } else if let Some(nearest) = vocabulary.nearest(plain, 1) {
                self.correct(word.typed, nearest.to_owned());
            } else if let Some((left, right)) = vocabulary.split(plain) {
                let (left, right) = (left.to_owned(), right.to_owned());
                self.corrected
                    .push((word.typed.clone(), format!("{left} {right}")));
                for part in [left, right] {
                    self.push(
                        Word {
                            typed: part.clone(),
                            plain: part,
                        },
                        true,
                    );
                }
            } else if let Some(nearest) = vocabulary.nearest(plain, 2) {
                self.correct(word.typed, nearest.to_owned());
            } else {
                self.unknown.push(word.typed.clone());
                self.push(word, false);
            }
        }
    }

    /// Whether any of these words was corrected.
    pub fn corrected_span(&self, span: (usize, usize)) -> bool {
        let words = self.is_corrected.get(span.0..span.1).unwrap_or_default();
        words.contains(&true)
    }

    fn push(&mut self, word: Word, corrected: bool) {
        self.words.push(word);
        self.is_corrected.push(corrected);
    }

    fn correct(&mut self, typed: String, read: String) {
        self.corrected.push((typed, read.clone()));
        self.push(
            Word {
                typed: read.clone(),
                plain: read,
            },
            true,
        );
    }

    /// Standard codes, and codes that only a maker can explain.
    fn take_codes(&mut self, words: &[Word], lexicon: &Lexicon) {
        const BEFORE_NUMBER: &[&str] = &[
            "err",
            "error",
            "fault",
            "flt",
            "alm",
            "alrm",
            "alarm",
            "code",
            "fehler",
            "error code",
            "display",
        ];
        for (place, word) in words.iter().enumerate() {
            let plain = word.plain.as_str();
            if let Some(code) = normalise::hex_code(plain) {
                self.codes.push(code);
            }
            if is_maker_code(plain) && lexicon.get(plain).is_none() {
                self.maker_codes.push(word.typed.clone());
                continue;
            }
            let number = plain.len() <= 3 && plain.bytes().all(|byte| byte.is_ascii_digit());
            let Some(before) = place.checked_sub(1).and_then(|before| words.get(before)) else {
                continue;
            };
            let letter = before.plain.len() <= 2
                && before.typed.chars().all(char::is_uppercase)
                && before.plain.bytes().all(|byte| byte.is_ascii_lowercase())
                && words.len() == 2;
            if number && (letter || BEFORE_NUMBER.contains(&before.plain.as_str())) {
                self.maker_codes
                    .push(format!("{} {}", before.typed, word.typed));
            }
        }
    }

    /// Numbers with a unit, and bare numbers behind the word for the bus or the supply.
    fn take_readings(&mut self, words: &[Word]) {
        const OF_VOLTAGE: &[&str] = &[
            "bus",
            "link",
            "supply",
            "mains",
            "line",
            "netz",
            "zwischenkreis",
            "bank",
        ];
        // What may stand between such a name and its number: "bus volts is at 790".
        const BETWEEN: &[&str] = &[
            "volts", "volt", "voltage", "spannung", "is", "at", "reads", "of", "reading", "shows",
        ];
        const FAR: usize = 4;
        for (place, word) in words.iter().enumerate().take(normalise::MOST_WORDS) {
            if self.readings.len() == MOST_READINGS {
                return;
            }
            let plain = word.plain.as_str();
            if !plain
                .bytes()
                .next()
                .is_some_and(|byte| byte.is_ascii_digit())
            {
                continue;
            }
            let stands = |names: &[&str], word: &&Word| names.contains(&word.plain.as_str());
            let mut before = words[..place].iter().rev().take(FAR).peekable();
            while before.next_if(|word| stands(BETWEEN, word)).is_some() {}
            let of = before.next().filter(|word| stands(OF_VOLTAGE, word));
            let bare_volts = of.is_some()
                && plain
                    .bytes()
                    .all(|byte| byte.is_ascii_digit() || byte == b'.')
                && (2..=4).contains(&plain.split('.').next().unwrap_or("").len());
            let value = if bare_volts {
                plain
                    .parse()
                    .ok()
                    .map(|volts| Quantity::from_si(Kind::Voltage, volts))
            } else {
                reading(plain)
            };
            if let Some(value) = value {
                let of = of.map(|word| word.typed.clone());
                self.readings.push(QueryReading {
                    of,
                    typed: word.typed.clone(),
                    value,
                });
            }
        }
    }
}

/// The value of a number with a unit in plain form.
fn reading(plain: &str) -> Option<Quantity> {
    let unit_start = plain.find(|c: char| !c.is_ascii_digit() && c != '.')?;
    let (kind, unit) = match &plain[unit_start..] {
        "v" => (Kind::Voltage, "V"),
        "kv" => (Kind::Voltage, "kV"),
        "a" => (Kind::Current, "A"),
        "ma" => (Kind::Current, "mA"),
        "hz" => (Kind::Frequency, "Hz"),
        "khz" => (Kind::Frequency, "kHz"),
        "kw" => (Kind::Power, "kW"),
        "hp" => (Kind::Power, "hp"),
        "rpm" => (Kind::Speed, "rpm"),
        "ms" => (Kind::Time, "ms"),
        "s" => (Kind::Time, "s"),
        "min" => (Kind::Time, "min"),
        "ohm" => (Kind::Resistance, "ohm"),
        "mohm" => (Kind::Resistance, "Mohm"),
        "%" => (Kind::Ratio, "%"),
        "degc" => (Kind::Temperature, "°C"),
        _ => return None,
    };
    let text = format!("{} {unit}", &plain[..unit_start]);
    quantity::parse(kind, &text, None)
        .ok()
        .map(|reading| reading.value)
}

/// A few letters and a number, such as a maker prints on a display: never to be guessed at.
fn is_maker_code(plain: &str) -> bool {
    let letters = plain.bytes().take_while(u8::is_ascii_lowercase).count();
    let digits = plain
        .bytes()
        .skip(letters)
        .take_while(u8::is_ascii_digit)
        .count();
    let rest = plain.len() - letters - digits;
    // Line, motor, terminal and contactor names are no codes.
    let name = letters == 1
        && digits == 1
        && plain.starts_with(['l', 'm', 't', 'u', 'v', 'w', 'k', 'q', 'r', 's']);
    (1..=3).contains(&letters)
        && (1..=5).contains(&digits)
        && rest <= 1
        && !name
        && !matches!(
            plain,
            "pt100" | "pt1000" | "i2t" | "ip20" | "ip54" | "ip55" | "ip65"
        )
}

/// The letters of a code that starts with a short word of the trade: `OC3` → `oc`.
pub fn short_part<'c>(code: &'c str, lexicon: &Lexicon) -> Option<&'c str> {
    let letters = code
        .bytes()
        .take_while(|byte| byte.is_ascii_alphabetic())
        .count();
    let part = code
        .get(..letters)
        .filter(|part| part.len() >= 2 && part.len() < code.len())?;
    let entry = lexicon.get(&part.to_lowercase())?;
    entry.short.is_some().then_some(part)
}
