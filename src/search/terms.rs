//! From plain words to search terms: stems, what word groups mean, the moment, negation.
//!
//! Knowledge and queries go through the same steps, so that both meet in the same terms.

use serde::{Deserialize, Serialize};

use super::lexicon::Lexicon;
use super::normalise::Word;
use super::stem::Stemmer;

/// Words without any weight in a group of words.
const DROPPED: &[&str] = &[
    "a", "an", "the", "my", "our", "your", "its", "it", "is", "are", "i", "we", "they", "he",
    "she", "this", "that",
];
/// Words that turn the meaning of what follows.
const NEGATIONS: &[&str] = &["no", "not", "never", "isnt", "arent", "wasnt", "nicht"];
/// Words between a negation and what it negates.
const LINKS: &[&str] = &[
    "when", "while", "during", "on", "at", "in", "for", "any", "even", "if",
];
/// Stems that say that something is in order: "accelerates fine", "fine on the way up".
const IN_ORDER: &[&str] = &[
    "fine", "ok", "okay", "good", "normal", "perfect", "smooth", "well",
];
/// Stems between a thing and the word that says it is in order.
const VERBS: &[&str] = &[
    "run", "work", "look", "measur", "read", "test", "check", "meg", "seem", "start", "and", "was",
    "were", "be", "all", "both", "also", "goe", "go", "still",
];
/// Behind a word that says so far it is in order, and now it isn't: "accelerates fine until 40 Hz".
const SO_FAR: &[&str] = &["until", "till", "then", "for", "up", "to", "but"];
/// Longest group of words in the lists.
const LONGEST_GROUP: usize = 7;

/// Marks the term of a moment.
pub const MOMENT_MARK: char = '@';
/// Marks the term of a reading's unit.
pub const UNIT_MARK: char = '#';
/// Values that say something by themselves: the control supply, standstill.
const NAMED_VALUES: &[&str] = &["24v", "0hz", "0v", "0a"];
/// Marks the term of a negated word.
pub const NEGATED_MARK: char = '~';

/// What one group of words stands for.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Entry<'a> {
    /// The words the classes use: as shown, and as a term.
    #[serde(borrow)]
    pub means: Vec<(&'a str, &'a str)>,
    /// Numbers of the classes that this names: "overvoltage" names both overvoltage classes.
    pub names: Vec<u16>,
    /// Findings of the question about the moment.
    #[serde(borrow)]
    pub moments: Vec<&'a str>,
    /// What a short word stands for, and what to ask where it is ambiguous.
    #[serde(borrow)]
    pub short: Option<(&'a str, &'a str)>,
    /// It says nothing about the fault.
    pub filler: bool,
    /// It shows that something else is meant.
    pub out_of_scope: bool,
}

/// How a term came about.
#[derive(Clone, Debug, PartialEq)]
pub enum Via {
    /// The word itself.
    Word,
    /// A group of words that means this.
    Meaning(String),
    /// The name of a fault.
    Name(String),
    /// A reading, by its unit.
    Unit,
    /// A part of such a meaning.
    Part,
    /// A moment.
    Moment(String),
    /// A negated word.
    Negated,
    /// A word that says little about the fault.
    Filler,
}

/// A search term with the words it came from.
#[derive(Clone, Debug, PartialEq)]
pub struct Term {
    /// The term as it stands in the index.
    pub text: String,
    /// How it came about.
    pub via: Via,
    /// First word and the one behind the last.
    pub span: (usize, usize),
}

/// A fault that was named, in words or by a short word.
#[derive(Clone, Debug, PartialEq)]
pub struct Name {
    /// The numbers of the classes that it names.
    pub classes: Vec<u16>,
    /// What it stands for, if it is a short word.
    pub short_for: Option<String>,
    /// What to ask where it is ambiguous.
    pub ask: Option<String>,
}

/// What a text was understood as.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Analysis {
    /// The terms, each once.
    pub terms: Vec<Term>,
    /// Moments named.
    pub moments: Vec<String>,
    /// Moments excluded ("not when slowing down").
    pub not_moments: Vec<String>,
    /// Faults named.
    pub names: Vec<Name>,
    /// Words that show that something else is meant.
    pub out_of_scope: Vec<(usize, usize)>,
}

/// The stems of words, with the place of each word; words without weight are left out.
pub fn stems(words: &[Word], stemmer: &mut Stemmer) -> Vec<(String, usize)> {
    words
        .iter()
        .enumerate()
        .filter(|(_, word)| !DROPPED.contains(&word.plain.as_str()))
        .map(|(place, word)| (stemmer.stem(&word.plain), place))
        .collect()
}

/// The key under which a group of words stands in the lexicon.
pub fn key(words: &[Word], stemmer: &mut Stemmer) -> String {
    let stems: Vec<String> = stems(words, stemmer)
        .into_iter()
        .map(|(stem, _)| stem)
        .collect();
    stems.join(" ")
}

/// Turns words into terms with the help of the lexicon.
pub fn analyse(words: &[Word], lexicon: &Lexicon, stemmer: &mut Stemmer) -> Analysis {
    let stems = stems(words, stemmer);
    // In a text all in capitals a capital word is no sign of a short word.
    let small = |word: &Word| word.typed.chars().any(char::is_lowercase);
    let shouted = words.len() > 2 && !words.iter().any(small);
    let groups = cover(&stems, lexicon);
    let mut reader = Reader {
        words,
        stems: &stems,
        shouted,
        analysis: Analysis::default(),
    };
    let mut at = 0;
    while at < stems.len() {
        let length = groups[at];
        let entry = lexicon.get(&joined(&stems[at..at + length]));
        match entry {
            Some(entry) if length > 0 => reader.group(&entry, at, length),
            _ => reader.word(at),
        }
        at += length.max(1);
    }
    let mut analysis = reader.analysis;
    analysis
        .terms
        .sort_by(|one, other| one.text.cmp(&other.text));
    analysis
        .terms
        .dedup_by(|later, kept| later.text == kept.text);
    analysis
}

fn joined(stems: &[(String, usize)]) -> String {
    let stems: Vec<&str> = stems.iter().map(|(stem, _)| stem.as_str()).collect();
    stems.join(" ")
}

/// For each place the length of the group that starts there, 0 for none, so that long groups are kept
/// whole: of all ways to lay groups over the text, the one with the largest sum of squared lengths.
fn cover(stems: &[(String, usize)], lexicon: &Lexicon) -> Vec<usize> {
    let mut best = vec![0usize; stems.len() + 1];
    let mut groups = vec![0usize; stems.len()];
    for at in (0..stems.len()).rev() {
        best[at] = best[at + 1];
        let denial = negates(&stems[at].0);
        for length in group_lengths(&stems[at..], lexicon) {
            // "no" belongs to what follows it, whatever else it means in other languages.
            if denial && length == 1 {
                continue;
            }
            let worth = best[at + length] + length * length;
            // "no display dead": a denial keeps what follows it.
            if worth > best[at] || denial && worth == best[at] {
                (best[at], groups[at]) = (worth, length);
            }
        }
    }
    groups
}

/// The lengths of the groups of the lexicon that the stems start with.
fn group_lengths(stems: &[(String, usize)], lexicon: &Lexicon) -> Vec<usize> {
    let mut group = String::new();
    let mut lengths = Vec::new();
    for (length, (stem, _)) in stems.iter().take(LONGEST_GROUP).enumerate() {
        group.push_str(stem);
        let (known, longer) = lexicon.starts(&group);
        if known {
            lengths.push(length + 1);
        }
        if !longer {
            break;
        }
        group.push(' ');
    }
    lengths
}

/// Whether a negation stands before this place.
fn negated(stems: &[(String, usize)], at: usize) -> bool {
    let mut before = at;
    while let Some(place) = before.checked_sub(1) {
        let word = stems[place].0.as_str();
        // "fine when accelerating": that is not when it happens.
        if IN_ORDER.contains(&word) && before < at {
            return true;
        }
        if NEGATIONS.contains(&word) {
            // "not only when" and "no problem ... when" do not negate.
            return stems.get(place + 1).is_none_or(|(next, _)| next != "only");
        }
        if !LINKS.contains(&word) || at - place > 3 {
            return false;
        }
        before = place;
    }
    false
}

/// Whether the words behind this place say that what stands before it is in order.
fn in_order(stems: &[(String, usize)], behind: usize) -> bool {
    let mut rest = stems[behind.min(stems.len())..]
        .iter()
        .map(|(stem, _)| stem.as_str());
    let said = rest
        .by_ref()
        .take(3)
        .find(|word| !VERBS.contains(word))
        .is_some_and(|word| IN_ORDER.contains(&word));
    said && rest.next().is_none_or(|next| !SO_FAR.contains(&next))
}

/// Reads the words one group after another.
struct Reader<'w> {
    words: &'w [Word],
    stems: &'w [(String, usize)],
    shouted: bool,
    analysis: Analysis,
}

impl Reader<'_> {
    fn push(&mut self, text: impl Into<String>, via: Via, span: (usize, usize)) {
        self.analysis.terms.push(Term {
            text: text.into(),
            via,
            span,
        });
    }

    /// A word that stands in no group.
    fn word(&mut self, at: usize) {
        let (stem, place) = &self.stems[at];
        if NEGATIONS.contains(&stem.as_str()) || LINKS.contains(&stem.as_str()) {
            return;
        }
        let span = (*place, *place + 1);
        let plain = self.words[*place].plain.as_str();
        if plain.starts_with(|c: char| c.is_ascii_digit()) {
            // Of a number its unit counts, not its value, but for the few that are names.
            let unit = plain.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.');
            if !unit.is_empty() {
                self.push(format!("{UNIT_MARK}{unit}"), Via::Unit, span);
            }
            if !NAMED_VALUES.contains(&plain) {
                return;
            }
        }
        if negated(self.stems, at) {
            self.push(format!("{NEGATED_MARK}{stem}"), Via::Negated, span);
        } else {
            self.push(stem, Via::Word, span);
        }
    }

    /// Words that say little, but more in one class than in another.
    fn filler(&mut self, at: usize, length: usize) {
        for (stem, place) in &self.stems[at..at + length] {
            let plain = self.words[*place].plain.as_str();
            if !plain.starts_with(|c: char| c.is_ascii_digit()) {
                self.push(stem, Via::Filler, (*place, *place + 1));
            }
        }
    }

    /// A group of words that the lexicon knows.
    fn group(&mut self, entry: &Entry, at: usize, length: usize) {
        let span = (self.stems[at].1, self.stems[at + length - 1].1 + 1);
        if entry.out_of_scope {
            self.analysis.out_of_scope.push(span);
        }
        // EN and OLD are short words, "en" and "old" are words of a language.
        let capitals = || {
            let mut words = self.words[span.0..span.1].iter();
            !self.shouted && words.all(|word| word.typed.chars().any(char::is_uppercase))
        };
        let short = entry.short.as_ref().filter(|_| !entry.filler || capitals());
        let weightless = entry.means.is_empty() && entry.moments.is_empty();
        if entry.filler && short.is_none() && (weightless || entry.short.is_some()) {
            self.filler(at, length);
            return;
        }
        // A steady run that is fine may end in a trip; other moments that are fine are ruled out.
        let fine = entry.names.is_empty()
            && !entry.moments.contains(&"steady")
            && in_order(self.stems, at + length);
        if fine || negated(self.stems, at) {
            for moment in &entry.moments {
                self.analysis.not_moments.push((*moment).to_owned());
            }
            for (_, term) in &entry.means {
                self.push(format!("{NEGATED_MARK}{term}"), Via::Negated, span);
            }
            return;
        }
        if !entry.names.is_empty() {
            self.analysis.names.push(Name {
                classes: entry.names.clone(),
                short_for: short.map(|(means, _)| (*means).to_owned()),
                ask: short
                    .map(|(_, ask)| (*ask).to_owned())
                    .filter(|ask| !ask.is_empty()),
            });
        }
        for moment in &entry.moments {
            self.analysis.moments.push((*moment).to_owned());
            self.push(
                format!("{MOMENT_MARK}{moment}"),
                Via::Moment((*moment).to_owned()),
                span,
            );
        }
        for (shown, term) in &entry.means {
            let shown = (*shown).to_owned();
            let via = if entry.names.is_empty() {
                Via::Meaning(shown)
            } else {
                Via::Name(shown)
            };
            self.push(*term, via, span);
            for part in parts(term) {
                self.push(part, Via::Part, span);
            }
        }
        self.own_words(at, length);
    }

    /// The words of a group themselves, besides what they mean.
    fn own_words(&mut self, at: usize, length: usize) {
        let silent = [COMMON, NEGATIONS, LINKS];
        for (stem, place) in &self.stems[at..at + length] {
            let plain = self.words[*place].plain.as_str();
            if plain.len() > 1 && !silent.iter().any(|words| words.contains(&plain)) {
                let via = if length == 1 { Via::Word } else { Via::Part };
                self.push(stem, via, (*place, *place + 1));
            }
        }
    }
}

/// The parts of a meaning of several words: each word, and of three words each pair.
fn parts(term: &str) -> Vec<String> {
    let words: Vec<&str> = term.split(' ').collect();
    if words.len() < 2 {
        return Vec::new();
    }
    let telling = |word: &&str| !HOLLOW.contains(word);
    let pairs = words
        .windows(2)
        .filter(|pair| words.len() > 2 && pair.iter().any(telling))
        .map(|pair| pair.join(" "));
    words
        .iter()
        .filter(|word| word.len() > 2 && telling(word))
        .map(|word| (*word).to_owned())
        .chain(pairs)
        .collect()
}

/// Stems in meanings that say nothing by themselves.
const HOLLOW: &[&str] = &[
    "a", "at", "be", "by", "doe", "in", "is", "it", "itself", "no", "not", "of", "off", "on",
    "out", "own", "same", "self", "since", "the", "to", "too", "up", "when", "will", "without",
];

/// Whether a stem says nothing by itself in a meaning.
pub fn is_hollow(stem: &str) -> bool {
    HOLLOW.contains(&stem)
}

/// Whether a stem turns the meaning of what follows.
pub fn negates(stem: &str) -> bool {
    NEGATIONS.contains(&stem)
}

/// Words that stand in groups but say nothing by themselves.
const COMMON: &[&str] = &[
    "too", "over", "under", "up", "down", "out", "off", "to", "of", "with", "from", "by", "and",
    "as", "when", "then", "the", "one", "de", "la", "el", "di", "da", "do", "en", "al", "wont",
    "will", "doesnt", "does", "cant", "cannot", "goes", "gets", "get", "runs", "be", "there",
    "into", "all", "just", "so", "soon", "moment", "every", "very", "much", "many",
];
