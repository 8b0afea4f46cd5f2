//! From words to classes without a script: short words of the trade, and the words of
//! titles and phrases.

use std::collections::BTreeMap;

use super::anchors;
use super::markup::escaped;
use super::markup::{chapter as chapter_of, group, letter, link, links, part};
use crate::knowledge::{FaultClass, Library};
use crate::search::Portable;

/// A word that more classes use than this leads nowhere.
const MOST_CLASSES: usize = 12;
/// Most classes that are shown for a word: those that use it most.
const SHOWN: usize = 2;
/// A word is listed from so many phrases on.
const LEAST_PHRASES: usize = 36;

/// The chapter.
pub fn chapter(library: &Library, index: &Portable) -> String {
    let mut body = group("Short words of the trade");
    body.push_str(&part(None, "Short words, A to Z", &short_words(library)));
    body.push_str(&group("Words of symptoms, by letter"));
    for (letter, words) in by_letter(library, index) {
        body.push_str(&part(None, &letter.to_string(), &words));
    }
    chapter_of("words", "Words and symptoms", &body)
}

fn to_class(class: &FaultClass) -> String {
    link(&anchors::class(&class.id), &class.title, "")
}

fn short_words(library: &Library) -> String {
    let mut words: Vec<_> = library.words().abbreviations.iter().collect();
    words.sort_by_key(|one| one.word.to_lowercase());
    let entry = |one: &&crate::knowledge::Abbreviation| {
        let ask = one
            .ask
            .as_deref()
            .map_or(String::new(), |ask| format!(" {ask}"));
        let classes = one.classes.iter().filter_map(|id| library.class(id));
        format!(
            "<p><b>{}</b> {}.{}\n{}",
            escaped(&one.word),
            escaped(&one.means),
            escaped(&ask),
            links(classes.map(to_class))
        )
    };
    words.iter().map(entry).collect()
}

/// The entries of each letter.
fn by_letter(library: &Library, index: &Portable) -> BTreeMap<char, String> {
    let classes: Vec<&FaultClass> = library.classes().collect();
    let owners = owners(index);
    let mut entries: BTreeMap<String, Vec<&FaultClass>> = BTreeMap::new();
    for line in &index.words {
        let Some((stem, word)) = most_used(line) else {
            continue;
        };
        let mut counts: BTreeMap<usize, usize> = BTreeMap::new();
        for document in index.holding(stem) {
            if let Some(class) = owners.get(&document) {
                *counts.entry(*class).or_default() += 1;
            }
        }
        let phrases: usize = counts.values().sum();
        if phrases < LEAST_PHRASES || counts.len() > MOST_CLASSES {
            continue;
        }
        let mut counts: Vec<(usize, usize)> = counts.into_iter().collect();
        counts.sort_by_key(|(class, count)| (std::cmp::Reverse(*count), *class));
        let best = counts
            .iter()
            .take(SHOWN)
            .filter_map(|(class, _)| classes.get(*class));
        entries.insert(word, best.copied().collect());
    }
    let mut letters: BTreeMap<char, String> = BTreeMap::new();
    for (word, classes) in entries {
        let ways = links(classes.into_iter().map(to_class));
        let entry = format!("<p><b>{}</b>\n{ways}", escaped(&word));
        letters.entry(letter(&word)).or_default().push_str(&entry);
    }
    letters
}

/// For each document at the front of the index, phrases and titles, its class; meanings belong to no
/// one here, as they use the words of neighbours as well.
fn owners(index: &Portable) -> BTreeMap<usize, usize> {
    let mut owners = BTreeMap::new();
    let mut document = 0;
    for (number, class) in index.classes.iter().enumerate() {
        let own = usize::from(class.phrases) + 1;
        owners.extend((document..document + own).map(|document| (document, number)));
        document += own + 1;
    }
    owners
}

/// A stem with the word that is used most, if it is a word worth looking up.
fn most_used(line: &str) -> Option<(&str, String)> {
    let mut parts = line.split(' ');
    let stem = parts.next()?;
    let (_, word) = parts
        .filter_map(|part| {
            let (spelled, uses) = part.rsplit_once(':')?;
            let word = match spelled.strip_prefix('+') {
                Some(ending) => format!("{stem}{ending}"),
                None => spelled.strip_prefix('=')?.to_owned(),
            };
            Some((uses.parse::<u32>().ok()?, word))
        })
        .max_by(|one, other| (one.0, &other.1).cmp(&(other.0, &one.1)))?;
    let readable = word.len() > 2 && word.chars().all(char::is_alphabetic);
    readable.then_some((stem, word))
}
