//! The words that are known as they are spelled, and the nearest one to a mistyped word.
//!
//! Correction works on whole words, never on stems: a slip in an ending can change the stem by more
//! letters than were mistyped. An exact match always wins.

use std::collections::BTreeMap;

use strsim::osa_distance;

use super::normalise::{self, Word};
use super::shorthand;
use super::slip;
use super::stem::Stemmer;
use super::table::{self, Table};
use crate::knowledge::Words;

/// Shortest word that is corrected: shorter ones are mostly codes and short words of the trade.
const SHORTEST: usize = 4;
/// From this length on two slips are allowed.
const TWO_SLIPS: usize = 8;
/// The slips of a correction may cost as much as the word has letters, less this, and more for a word that is
/// used often.
const LESS_THAN_LETTERS: f32 = 1.4;
const MORE_IF_OFTEN: f32 = 0.2;
/// From this score on, words with another first letter are not looked at.
const SURE: f32 = 2.0;
/// Uses of a word that only everyday English knows: a word of the trade goes before it.
pub const PLAIN: u16 = 1;
/// Shortest part of a word that was typed without its space.
const SHORTEST_PART: usize = 3;

/// Words by length, then by letters.
#[derive(Clone, Copy, Debug)]
pub struct Vocabulary<'a> {
    table: Table<'a>,
    /// For each word the set of its letters, four bytes each.
    letters: &'a [u8],
}

impl<'a> Vocabulary<'a> {
    /// A vocabulary over the lists that the index writer wrote.
    pub fn new(table: Table<'a>, letters: &'a [u8]) -> Vocabulary<'a> {
        Vocabulary { table, letters }
    }

    /// Whether a word is spelled like a known one.
    pub fn knows(&self, word: &str) -> bool {
        self.uses(word).is_some_and(|uses| uses > 0)
    }

    /// Whether a known word has this stem. A stem need not be a word itself.
    pub fn knows_stem(&self, stem: &str) -> bool {
        self.uses(stem).is_some()
    }

    /// How often a word is used; stems that are no words have 0.
    fn uses(&self, word: &str) -> Option<u16> {
        let wanted = key(word);
        let (found, value) = self.table.at(self.table.first_from(&wanted))?;
        (found == wanted).then(|| uses(value))
    }

    /// The known word that was probably meant, within `slips` mistyped letters. The first letter is rarely
    /// the wrong one: words that begin with another are looked at where none with the same one scores
    /// [`SURE`].
    pub fn nearest(&self, word: &str, slips: usize) -> Option<&'a str> {
        let allowed = if word.len() >= TWO_SLIPS { 2 } else { 1 };
        if word.len() < SHORTEST || slips > allowed || !word.bytes().all(|b| b.is_ascii_lowercase())
        {
            return None;
        }
        let length = |length: usize| length.min(usize::from(u8::MAX)) as u8;
        let lengths = length(word.len() - slips)..=length(word.len() + slips);
        let initial = *word.as_bytes().first()?;
        let same_initial = lengths.clone().flat_map(|length| {
            let from = |letter| self.table.first_from(&[length, letter]);
            from(initial)..from(initial + 1)
        });
        let found = self.nearest_of(same_initial, word, slips);
        if found.is_some_and(|(score, _)| score >= SURE) {
            return found.map(|(_, word)| word);
        }
        let other = if slips == 1 {
            self.nearest_of(self.first_letter_wrong(word).into_iter(), word, slips)
        } else {
            let from = |length: u8| self.table.first_from(&[length]);
            let every = from(*lengths.start())..from(lengths.end().saturating_add(1));
            self.nearest_of(every, word, slips)
        };
        let best = match (found, other) {
            (Some(same), Some(other)) if same.0 >= other.0 => same,
            (found, other) => other.or(found)?,
        };
        Some(best.1)
    }

    /// The places of the known words from which one slip at the first letter leads to this one, in order.
    fn first_letter_wrong(&self, word: &str) -> Vec<usize> {
        let (first, rest) = word.split_at(1);
        let letters = (b'a'..=b'z').map(char::from);
        let missing = letters.clone().map(|letter| format!("{letter}{word}"));
        let changed = letters.map(|letter| format!("{letter}{rest}"));
        let (second, others) = rest.split_at(1);
        let swapped = format!("{second}{first}{others}");
        let known = |candidate: String| {
            let wanted = key(&candidate);
            let place = self.table.first_from(&wanted);
            let (found, _) = self.table.at(place)?;
            (found == wanted).then_some(place)
        };
        let candidates = missing.chain(changed).chain([swapped, rest.to_owned()]);
        let mut places: Vec<usize> = candidates.filter_map(known).collect();
        places.sort_unstable();
        places
    }

    /// The nearest of the words at these places.
    fn nearest_of(
        &self,
        places: impl Iterator<Item = usize>,
        word: &str,
        slips: usize,
    ) -> Option<(f32, &'a str)> {
        let own = letters(word.as_bytes());
        let (sets, _) = self.letters.as_chunks::<4>();
        // Most words differ in more letters than can be slips: that is seen without reading them.
        let alike = |place: &usize| {
            let set = sets.get(*place).copied().map_or(0, u32::from_le_bytes);
            at_most(set ^ own, 2 * slips)
        };
        let mut best: Option<(f32, &str)> = None;
        for place in places.filter(alike) {
            let Some(([_, candidate @ ..], value)) = self.table.at(place) else {
                continue;
            };
            let count = uses(value);
            let Ok(candidate) = std::str::from_utf8(candidate) else {
                continue;
            };
            if count == 0 || !within(candidate, word, slips) {
                continue;
            }
            let cost = slip::cost(candidate, word);
            let often = f32::from(count).ln();
            let most = word.len() as f32 - LESS_THAN_LETTERS + MORE_IF_OFTEN * often;
            let score = often - cost;
            if cost <= most && best.is_none_or(|(most, _)| score > most) {
                best = Some((score, candidate));
            }
        }
        best
    }

    /// The two known words that were typed without the space between them.
    pub fn split<'w>(&self, word: &'w str) -> Option<(&'w str, &'w str)> {
        let ends = SHORTEST_PART..=word.len().checked_sub(SHORTEST_PART)?;
        ends.filter_map(|end| word.split_at_checked(end))
            .filter_map(|(left, right)| {
                let (one, other) = (self.uses(left)?, self.uses(right)?);
                (one > 0 && other > 0).then_some((one.min(other), (left, right)))
            })
            .max_by_key(|(uses, _)| *uses)
            .map(|(_, parts)| parts)
    }
}

/// The key of a word: its length, then the word, so that words of one length stand together.
fn key(word: &str) -> Vec<u8> {
    let mut key = vec![word.len().min(usize::from(u8::MAX)) as u8];
    key.extend(word.as_bytes());
    key
}

/// The letters of a word as a bit set.
fn letters(word: &[u8]) -> u32 {
    word.iter().fold(0, |set, byte| match byte {
        b'a'..=b'z' => set | 1 << (byte - b'a'),
        b'0'..=b'9' => set | 1 << 26,
        _ => set | 1 << 27,
    })
}

/// The lists of a vocabulary.
pub struct Lists {
    /// Words by length, then by letters, with how often each is used.
    pub words: Vec<u8>,
    /// For each word the set of its letters.
    pub letters: Vec<u8>,
}

/// Writes every word of the texts and lists as it is spelled, with how often it is used; each text
/// comes with its weight. Stems are written as well, never used, so that other endings count as known.
pub fn encode<'t>(
    texts: impl Iterator<Item = (&'t str, u16)>,
    words: &Words,
    stemmer: &mut Stemmer,
) -> Lists {
    let mut counts: BTreeMap<String, u16> = BTreeMap::new();
    let mut count = |text: &str, weight: u16| {
        for Word { plain, .. } in normalise::words(text) {
            counts.entry(stemmer.stem(&plain)).or_default();
            let uses = counts.entry(plain).or_default();
            *uses = uses.saturating_add(weight);
        }
    };
    for (text, weight) in texts {
        count(text, weight);
    }
    let say = words
        .synonyms
        .iter()
        .flat_map(|one| one.say.iter().chain([&one.means]));
    let moments = words.moments.iter().flat_map(|(_, say)| say);
    let short = words
        .abbreviations
        .iter()
        .flat_map(|one| [&one.word, &one.means]);
    for text in say.chain(moments).chain(short).chain(&words.out_of_scope) {
        count(text, 4);
    }
    for word in words.plain.iter().chain(&words.filler) {
        count(word, PLAIN);
    }
    for word in shorthand::all() {
        count(word, PLAIN);
    }
    // A word of another language is known, and goes behind those of the trade's English.
    let translations = words.translations.iter().flat_map(|one| &one.terms);
    for text in translations.flat_map(|(_, say)| say) {
        let spellings = [Some(text.clone()), normalise::spelled_out(text)];
        for word in spellings
            .iter()
            .flatten()
            .flat_map(|text| normalise::words(text))
        {
            counts.entry(stemmer.stem(&word.plain)).or_default();
            let uses = counts.entry(word.plain).or_default();
            *uses = (*uses).max(PLAIN);
        }
    }
    lists(counts)
}

fn lists(counts: BTreeMap<String, u16>) -> Lists {
    let mut entries: Vec<(Vec<u8>, [u8; 2])> = counts
        .into_iter()
        .map(|(word, count)| (key(&word), count.to_le_bytes()))
        .collect();
    entries.sort();
    let sets = entries.iter().map(|(key, _)| letters(&key[1..]));
    Lists {
        letters: sets.flat_map(u32::to_le_bytes).collect(),
        words: table::encode(&entries),
    }
}

fn uses(value: &[u8]) -> u16 {
    value.try_into().map_or(0, u16::from_le_bytes)
}

/// Whether so many slips at most lie between two words: letters left out, added, changed, or swapped. The
/// optimal string alignment, but nothing is worked out that lies further apart.
fn within(one: &str, other: &str, slips: usize) -> bool {
    fn bytes(one: &[u8], other: &[u8], slips: usize) -> bool {
        let start = one
            .iter()
            .zip(other)
            .take_while(|(one, other)| one == other)
            .count();
        let (one, other) = (&one[start..], &other[start..]);
        let ([a, one_rest @ ..], [b, other_rest @ ..]) = (one, other) else {
            return one.len().max(other.len()) <= slips;
        };
        let Some(left) = slips.checked_sub(1) else {
            return false;
        };
        let swapped = one_rest.first() == Some(b) && other_rest.first() == Some(a);
        bytes(one_rest, other_rest, left)
            || bytes(one_rest, other, left)
            || bytes(one, other_rest, left)
            || swapped && bytes(&one_rest[1..], &other_rest[1..], left)
    }
    if one.is_ascii() && other.is_ascii() {
        bytes(one.as_bytes(), other.as_bytes(), slips)
    } else {
        osa_distance(one, other) <= slips
    }
}

/// Whether at most so many bits are set; most have many, so that counting them all would be waste.
fn at_most(mut bits: u32, most: usize) -> bool {
    for _ in 0..most {
        bits &= bits.wrapping_sub(1);
    }
    bits == 0
}

#[cfg(test)]
mod tests {
    use super::*;
    fn with<T>(words: &[&str], look: impl Fn(Vocabulary) -> T) -> T {
        let lists = lists(words.iter().map(|word| ((*word).to_owned(), 1)).collect());
        let table = Table::open(&lists.words).unwrap();
        look(Vocabulary::new(table, &lists.letters))
    }

    /// The four kinds of single slips (Damerau 1964): a wrong, a missing, an added letter, two swapped.
    #[test]
    fn single_slips_are_corrected() {
        let words = ["overcurrent", "motor", "meter", "brake", "trip", "stop"];
        with(&words, |vocabulary| {
            for typed in [
                "overcurent",
                "overcurrrent",
                "ovrecurrent",
                "overcurrant",
                "vercurrent",
            ] {
                assert_eq!(vocabulary.nearest(typed, 1), Some("overcurrent"), "{typed}");
            }
            assert_eq!(vocabulary.nearest("mtoor", 1), Some("motor"));
            assert_eq!(vocabulary.nearest("tirp", 1), Some("trip"));
            assert_eq!(vocabulary.nearest("ovrcurent", 2), Some("overcurrent"));
        });
    }

    /// Against the whole table of the general library.
    #[test]
    fn slips_are_counted_as_in_the_whole_table() {
        let words = [
            "",
            "a",
            "motor",
            "moter",
            "mtoor",
            "mtr",
            "motors",
            "rotor",
            "ca",
            "abc",
            "überlast",
            "uberlast",
            "overload",
            "ovreload",
            "ovrelaod",
            "overlaod",
        ];
        for one in words {
            for other in words {
                for slips in 0..3 {
                    let expected = osa_distance(one, other) <= slips;
                    assert_eq!(within(one, other, slips), expected, "{one} {other} {slips}");
                }
            }
        }
    }

    #[test]
    fn short_words_and_codes_are_never_corrected() {
        with(&["oca", "ocd", "ptc", "f12", "sto"], |vocabulary| {
            for typed in ["ocb", "pt", "f13", "st", "stop1"] {
                assert_eq!(vocabulary.nearest(typed, 1), None, "{typed}");
            }
        });
    }

    #[test]
    fn words_typed_together_are_split() {
        with(&["bus", "voltage", "motor", "cable"], |vocabulary| {
            assert_eq!(vocabulary.split("busvoltage"), Some(("bus", "voltage")));
            assert_eq!(vocabulary.split("motorcable"), Some(("motor", "cable")));
            assert_eq!(vocabulary.split("motorway"), None);
        });
    }
}
