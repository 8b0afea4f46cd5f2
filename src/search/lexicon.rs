//! The lexicon: what groups of words mean, by their stems.

use std::collections::{BTreeMap, BTreeSet};

use super::normalise;
use super::stem::Stemmer;
use super::table::{self, Table};
use super::terms::{self, Entry};
use crate::knowledge::{FaultClass, Words};

/// The lexicon, read in place. Many groups of words mean the same, so what they mean stands once.
#[derive(Clone, Copy, Debug, Default)]
pub struct Lexicon<'a> {
    /// From each group to the number of its entry.
    groups: Table<'a>,
    entries: Table<'a>,
}

impl<'a> Lexicon<'a> {
    /// A lexicon that [`encode`] wrote.
    pub fn open(bytes: &'a [u8]) -> Option<Lexicon<'a>> {
        let both = Table::open(bytes)?;
        let part = |place| Table::open(both.at(place)?.1);
        Some(Lexicon {
            entries: part(0)?,
            groups: part(1)?,
        })
    }

    /// What a group of words means; nothing if it is not known.
    pub fn get(&self, group: &str) -> Option<Entry<'a>> {
        self.entry(self.groups.get(group)?)
    }

    /// Every group with what it means.
    pub fn all(self) -> impl Iterator<Item = (&'a str, Entry<'a>)> {
        (0..self.groups.len()).filter_map(move |place| {
            let (group, number) = self.groups.at(place)?;
            Some((std::str::from_utf8(group).ok()?, self.entry(number)?))
        })
    }

    /// Whether a group is known, and whether a longer one starts with it.
    pub fn starts(&self, group: &str) -> (bool, bool) {
        let place = self.groups.first_from(group.as_bytes());
        let longer = |place: usize| {
            let rest = self.groups.at(place)?.0.strip_prefix(group.as_bytes());
            Some(rest?.first() == Some(&b' '))
        };
        // Nothing sorts between a group and the longer ones: a space comes before letters and digits.
        let known = self
            .groups
            .at(place)
            .is_some_and(|(found, _)| found == group.as_bytes());
        (known, longer(place + usize::from(known)) == Some(true))
    }

    fn entry(&self, number: &[u8]) -> Option<Entry<'a>> {
        let number = u16::from_le_bytes(number.try_into().ok()?);
        let (_, bytes) = self.entries.at(usize::from(number))?;
        postcard::from_bytes(bytes).ok()
    }
}

/// What one group of words means, while the lexicon is put together.
#[derive(Default)]
struct Draft {
    means: BTreeSet<(String, String)>,
    names: BTreeSet<u16>,
    moments: BTreeSet<String>,
    short: Option<(String, String)>,
    filler: bool,
    out_of_scope: bool,
}

impl Draft {
    fn encode(&self) -> Vec<u8> {
        let entry = Entry {
            means: self
                .means
                .iter()
                .map(|(shown, term)| (shown.as_str(), term.as_str()))
                .collect(),
            names: self.names.iter().copied().collect(),
            moments: self.moments.iter().map(String::as_str).collect(),
            short: self
                .short
                .as_ref()
                .map(|(means, ask)| (means.as_str(), ask.as_str())),
            filler: self.filler,
            out_of_scope: self.out_of_scope,
        };
        postcard::to_stdvec(&entry).unwrap_or_default()
    }
}

/// The lexicon under construction.
struct Drafts<'s> {
    by_key: BTreeMap<String, Draft>,
    stemmer: &'s mut Stemmer,
}

impl Drafts<'_> {
    fn key(&mut self, text: &str) -> String {
        terms::key(&normalise::words(text), self.stemmer)
    }

    /// What an English text means: what is known of it as a whole; else what is known of the groups of words
    /// in it, the longest first, and the other words themselves.
    fn means(&self, text: &str, key: &str) -> BTreeSet<(String, String)> {
        let known = |key: &str| {
            let means = self.by_key.get(key).map(|draft| &draft.means);
            means.filter(|means| !means.is_empty())
        };
        if let Some(means) = known(key) {
            return means.clone();
        }
        let stems: Vec<&str> = key.split(' ').collect();
        if stems.len() == 1 || stems.iter().any(|stem| terms::negates(stem)) {
            return BTreeSet::from([(text.to_owned(), key.to_owned())]);
        }
        let mut means = BTreeSet::new();
        let mut at = 0;
        while at < stems.len() {
            let mut ends = (at + 1..=stems.len()).rev();
            let group = ends.find_map(|end| Some((end, known(&stems[at..end].join(" "))?)));
            match group {
                Some((_, of_group)) => means.extend(of_group.iter().cloned()),
                None if terms::is_hollow(stems[at]) => {}
                None => {
                    means.insert((text.to_owned(), stems[at].to_owned()));
                }
            }
            at = group.map_or(at + 1, |(end, _)| end);
        }
        means
    }

    /// Changes the entry of a text, and that of its spelling without umlauts.
    fn change(&mut self, text: &str, change: impl Fn(&mut Draft)) {
        for spelling in [Some(text.to_owned()), normalise::spelled_out(text)]
            .into_iter()
            .flatten()
        {
            let key = self.key(&spelling);
            if !key.is_empty() {
                change(self.by_key.entry(key).or_default());
            }
        }
    }
}

/// Writes what all groups of words mean.
pub fn encode(classes: &[&FaultClass], words: &Words, stemmer: &mut Stemmer) -> Vec<u8> {
    let mut drafts = Drafts {
        by_key: BTreeMap::new(),
        stemmer,
    };
    for text in &words.filler {
        drafts.change(text, |draft| draft.filler = true);
    }
    let filler = words.filler.iter().map(|text| drafts.key(text)).collect();
    synonyms(words, &filler, &mut drafts);
    translations(classes, words, &filler, &mut drafts);
    for (finding, say) in &words.moments {
        for text in say {
            drafts.change(text, |draft| {
                draft.moments.insert(finding.clone());
            });
        }
    }
    short_words(classes, words, &mut drafts);
    for text in &words.out_of_scope {
        drafts.change(text, |draft| draft.out_of_scope = true);
    }
    let drafts = drafts.by_key.iter();
    let written: Vec<(&String, Vec<u8>)> =
        drafts.map(|(key, draft)| (key, draft.encode())).collect();
    let different: BTreeSet<&[u8]> = written.iter().map(|(_, entry)| entry.as_slice()).collect();
    let entries: Vec<(&[u8], &[u8])> = different.iter().map(|entry| (&[][..], *entry)).collect();
    let numbers: BTreeMap<&[u8], usize> = different.iter().copied().zip(0..).collect();
    let groups: Vec<(&String, [u8; 2])> = written
        .iter()
        .filter_map(|(key, entry)| {
            let number = u16::try_from(*numbers.get(entry.as_slice())?).ok()?;
            Some((*key, number.to_le_bytes()))
        })
        .collect();
    table::encode(&[
        ("entries", table::encode(&entries)),
        ("groups", table::encode(&groups)),
    ])
}

/// Synonyms. The meaning itself is one of its ways of being said.
fn synonyms(words: &Words, filler: &BTreeSet<String>, drafts: &mut Drafts) {
    for one in &words.synonyms {
        let meaning = (one.means.clone(), drafts.key(&one.means));
        // What means only a filler word is known, but stands for itself.
        let weightless = filler.contains(&meaning.1);
        for text in one.say.iter().chain([&one.means]) {
            drafts.change(text, |draft| {
                if !weightless {
                    draft.means.insert(meaning.clone());
                }
            });
        }
    }
}

/// Translations mean what their English means. A single word that English uses as well is left to English:
/// "programé" and "programs" have one stem, and 230 V is said of many things.
fn translations(
    classes: &[&FaultClass],
    words: &Words,
    filler: &BTreeSet<String>,
    drafts: &mut Drafts,
) {
    let texts = classes
        .iter()
        .flat_map(|class| class.phrases.iter().chain([&class.title]));
    let spoken: BTreeSet<String> = texts
        .flat_map(|text| normalise::words(text))
        .map(|word| drafts.stemmer.stem(&word.plain))
        .collect();
    let english: Vec<String> = words
        .translations
        .iter()
        .map(|one| drafts.key(&one.english))
        .collect();
    let means: Vec<BTreeSet<(String, String)>> = words
        .translations
        .iter()
        .zip(&english)
        .map(|(one, key)| match filler.contains(key) {
            true => BTreeSet::new(),
            false => drafts.means(&one.english, key),
        })
        .collect();
    for (one, means) in words.translations.iter().zip(means) {
        for text in one.terms.iter().flat_map(|(_, terms)| terms) {
            if !spoken.contains(&drafts.key(text)) {
                drafts.change(text, |draft| draft.means.extend(means.iter().cloned()));
            }
        }
    }
}

/// Short words of the trade. Said in words, their meaning names the same classes.
fn short_words(classes: &[&FaultClass], words: &Words, drafts: &mut Drafts) {
    let mut names: BTreeMap<String, BTreeSet<u16>> = BTreeMap::new();
    for one in &words.abbreviations {
        let numbers: BTreeSet<u16> = one
            .classes
            .iter()
            .filter_map(|id| classes.iter().position(|class| class.id == *id))
            .map(|number| number as u16)
            .collect();
        let clear = !one.means.contains(" or ");
        let meaning = (one.means.clone(), drafts.key(&one.means));
        drafts.change(&one.word, |draft| {
            draft.short = Some((one.means.clone(), one.ask.clone().unwrap_or_default()));
            draft.names.extend(&numbers);
            if clear {
                draft.means.insert(meaning.clone());
            }
        });
        if clear {
            names.entry(meaning.1).or_default().extend(numbers);
        }
    }
    for draft in drafts
        .by_key
        .values_mut()
        .filter(|draft| draft.short.is_none())
    {
        for (_, term) in &draft.means {
            draft.names.extend(names.get(term).into_iter().flatten());
        }
    }
}
