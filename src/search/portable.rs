//! The index as plain lists, for a page that searches by itself: what [`super::Searcher`] reads in
//! place, in the same order and with the same weights.

use std::collections::BTreeMap;

use serde::Serialize;

use super::index::{self, Contents};
use super::lexicon::Lexicon;
use super::notes::{ClassNote, Names, Notes};
use super::stem::Stemmer;
use super::terms::Entry;
use super::weights::{WEIGHTS, Weights};
use super::{SearchError, notes};
use crate::knowledge::table::Table;
use crate::knowledge::{CheckCatalogue, Library, named_checks};

/// All that a search needs besides its code.
#[derive(Debug, Serialize)]
pub struct Portable {
    /// What groups of words mean: as shown, and as a term.
    pub meanings: Vec<(String, String)>,
    /// What short words stand for, and what to ask where that is ambiguous.
    pub shorts: Vec<(String, String)>,
    /// What groups of words stand for, with their stems. `m3` the fourth meaning, `n5` names the sixth class, `s0` the first
    /// short word, `@slowing` a moment, `f` says nothing, `x` is about other things.
    pub groups: BTreeMap<String, Vec<String>>,
    /// Known words by stem: `trip +:90 +s:55` is `trip` used 90 times and `trips`; `=` stands before a
    /// word that does not begin with its stem.
    pub words: Vec<String>,
    /// For each term the documents that hold it, as distances in [`DIGITS`]. The documents are each
    /// class's phrases, title and meaning; each cause's name and mechanism; questions; checks.
    pub postings: BTreeMap<String, String>,
    /// The digits of those distances.
    pub digits: String,
    /// The classes in order of their numbers.
    pub classes: Vec<PortableClass>,
    /// Ids of the causes.
    pub causes: Vec<String>,
    /// Ids of the questions.
    pub questions: Vec<String>,
    /// Names of the checks.
    pub checks: Vec<String>,
    /// How many texts about other things stand behind all these documents.
    pub elsewhere: usize,
    /// Factors of the evidence.
    pub weights: Weights,
}

/// What the ranking needs of a class besides the postings.
#[derive(Debug, Serialize)]
pub struct PortableClass {
    /// Id.
    pub id: String,
    /// Number of its phrases.
    pub phrases: u16,
    /// Standard error codes.
    pub codes: Vec<String>,
    /// Numbers of its causes, with a weight by how often.
    pub causes: Vec<(usize, f32)>,
    /// Share of each moment.
    pub moments: BTreeMap<String, f32>,
}

/// The index over everything the library holds.
///
/// # Errors
/// [`SearchError::Damaged`] if a list that was just written can't be read.
pub fn portable(library: &Library, checks: &dyn CheckCatalogue) -> Result<Portable, SearchError> {
    let contents = Contents {
        classes: library.classes().collect(),
        causes: library.causes().collect(),
        questions: library.questions().collect(),
        checks: named_checks(checks),
        words: library.words(),
    };
    let mut stemmer = Stemmer::default();
    let analysed = index::analyse(&contents, &mut stemmer);
    let lexicon = Lexicon::open(&analysed.lexicon).ok_or(SearchError::Damaged)?;
    let vocabulary = Table::open(&analysed.vocabulary.words).ok_or(SearchError::Damaged)?;
    let note_bytes = notes::encode(&contents);
    let notes = Notes::open(&note_bytes).ok_or(SearchError::Damaged)?;
    let mut lists = Lists::default();
    let mut groups: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for (group, entry) in lexicon.all() {
        let code = lists.group(&entry);
        groups.entry(code).or_default().push(group.to_owned());
    }
    Ok(Portable {
        groups,
        meanings: lists.meanings,
        shorts: lists.shorts,
        words: words(&vocabulary, &mut stemmer),
        postings: postings(&analysed.terms),
        digits: DIGITS.iter().copied().map(char::from).collect(),
        classes: notes.classes.iter().map(class).collect(),
        causes: ids(&notes.causes),
        questions: ids(&notes.questions),
        checks: ids(&notes.checks),
        elsewhere: contents.words.elsewhere.len(),
        weights: WEIGHTS,
    })
}

fn ids(names: &Names) -> Vec<String> {
    let all = (0..names.len()).filter_map(|number| names.get(number));
    all.map(|(id, _)| id.to_owned()).collect()
}

fn class(note: &ClassNote) -> PortableClass {
    PortableClass {
        id: note.id.to_owned(),
        phrases: note.phrases.min(u16::from(u8::MAX)),
        codes: note.codes().map(str::to_owned).collect(),
        causes: note.causes().collect(),
        moments: note
            .moments()
            .map(|(moment, share)| (moment.to_owned(), share))
            .collect(),
    }
}

/// Lists that groups of words point into.
#[derive(Default)]
struct Lists {
    meanings: Vec<(String, String)>,
    shorts: Vec<(String, String)>,
}

impl Lists {
    fn group(&mut self, entry: &Entry) -> String {
        let mut code: Vec<String> = Vec::new();
        for (shown, term) in &entry.means {
            code.push(format!("m{}", place(&mut self.meanings, (shown, term))));
        }
        code.extend(entry.names.iter().map(|class| format!("n{class}")));
        code.extend(entry.moments.iter().map(|moment| format!("@{moment}")));
        if let Some((means, ask)) = &entry.short {
            code.push(format!("s{}", place(&mut self.shorts, (means, ask))));
        }
        code.extend(entry.filler.then(|| "f".to_owned()));
        code.extend(entry.out_of_scope.then(|| "x".to_owned()));
        code.join(" ")
    }
}

/// Where a pair stands in a list; it is added if it is new.
fn place(list: &mut Vec<(String, String)>, pair: (&str, &str)) -> usize {
    let found = list
        .iter()
        .position(|(one, other)| (one.as_str(), other.as_str()) == pair);
    found.unwrap_or_else(|| {
        list.push((pair.0.to_owned(), pair.1.to_owned()));
        list.len() - 1
    })
}

/// The vocabulary, words of one stem together.
fn words(vocabulary: &Table, stemmer: &mut Stemmer) -> Vec<String> {
    let mut by_stem: BTreeMap<String, String> = BTreeMap::new();
    for place in 0..vocabulary.len() {
        let Some((key, [low, high])) = vocabulary.at(place) else {
            continue;
        };
        let Some(word) = key.get(1..).and_then(|word| std::str::from_utf8(word).ok()) else {
            continue;
        };
        let uses = u16::from_le_bytes([*low, *high]);
        if uses == 0 {
            // A stem that is no word: it is written in front of its words.
            continue;
        }
        let stem = stemmer.stem(word);
        let spelled = match word.strip_prefix(stem.as_str()) {
            Some(ending) => format!(" +{ending}:{uses}"),
            None => format!(" ={word}:{uses}"),
        };
        by_stem.entry(stem).or_default().push_str(&spelled);
    }
    by_stem
        .into_iter()
        .map(|(stem, words)| stem + &words)
        .collect()
}

fn postings(documents: &[std::collections::BTreeSet<String>]) -> BTreeMap<String, String> {
    let mut holding: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for (number, terms) in documents.iter().enumerate() {
        for term in terms {
            holding.entry(term).or_default().push(number);
        }
    }
    holding
        .into_iter()
        .map(|(term, documents)| {
            let mut last = 0;
            let distances = documents.into_iter().map(|document| {
                let distance = document - last;
                last = document;
                packed(distance)
            });
            (term.to_owned(), distances.collect())
        })
        .collect()
}

/// Digits that neither JSON nor markup has to escape. The first half end a number, the second half say
/// that a higher digit follows.
const DIGITS: &[u8; 2 * BASE] =
    b"!#$%'()*+,-./0123456789:;=>?@ABCDEFGHIJKLMNOPQRSTUVWXYZ[]^_`abcdefghijklmnopqrstuvwxyz{|}~";
const BASE: usize = 45;

/// A number, lowest digit first.
fn packed(mut number: usize) -> String {
    let mut digits = String::new();
    while number >= BASE {
        digits.push(char::from(DIGITS[BASE + number % BASE]));
        number /= BASE;
    }
    digits.push(char::from(DIGITS[number]));
    digits
}

impl Portable {
    /// The numbers of the documents that hold a term.
    pub fn holding(&self, term: &str) -> Vec<usize> {
        let list = self.postings.get(term).map_or("", String::as_str);
        unpacked(list)
    }
}

fn unpacked(list: &str) -> Vec<usize> {
    let (mut document, mut distance, mut worth) = (0, 0, 1);
    let mut documents = Vec::new();
    for byte in list.bytes() {
        let Some(digit) = DIGITS.iter().position(|own| *own == byte) else {
            continue;
        };
        distance += digit % BASE * worth;
        worth *= BASE;
        if digit < BASE {
            document += distance;
            documents.push(document);
            (distance, worth) = (0, 1);
        }
    }
    documents
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digits_differ_and_need_no_escape() {
        let kinds: std::collections::BTreeSet<u8> = DIGITS.iter().copied().collect();
        assert_eq!(kinds.len(), 2 * BASE);
        let escaped = b"\"\\<& ";
        assert!(
            DIGITS
                .iter()
                .all(|digit| digit.is_ascii_graphic() && !escaped.contains(digit))
        );
    }

    #[test]
    fn every_document_of_a_term_is_found_again() {
        let set = |terms: &[&str]| terms.iter().map(|term| (*term).to_owned()).collect();
        let mut documents = vec![set(&["trip", "bus"]), set(&["bus"])];
        documents.resize(50, set(&[]));
        documents.push(set(&["bus"]));
        let lists = postings(&documents);
        assert_eq!(unpacked(&lists["bus"]), [0, 1, 50]);
        assert_eq!(unpacked(&lists["trip"]), [0]);
    }
}
