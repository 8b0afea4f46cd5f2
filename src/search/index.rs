//! Writes the search index: word lists, vocabulary, notes on the classes and postings, in one block of
//! bytes. The same knowledge gives the same bytes. Used at build time and for a plant's own knowledge.

use std::collections::{BTreeMap, BTreeSet};

use super::lexicon::Lexicon;
use super::splitting::Known;
use super::stem::Stemmer;
use super::table;
use super::{lexicon, normalise, notes, postings, terms, vocabulary};
use crate::knowledge::{Cause, FaultClass, Question, Words};

/// What a document of the index is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// One of a class's own phrases.
    Phrase,
    /// Its title.
    Title,
    /// Its meaning and first look.
    Meaning,
    /// A cause's name.
    CauseName,
    /// A cause's mechanism.
    CauseWhat,
    /// A question and what it tells.
    Question,
    /// A check's name and purpose.
    Check,
    /// What people say about other things; these come last.
    Elsewhere,
}

impl Part {
    /// Every part, in the order of their numbers.
    const ALL: [Part; 8] = [
        Part::Phrase,
        Part::Title,
        Part::Meaning,
        Part::CauseName,
        Part::CauseWhat,
        Part::Question,
        Part::Check,
        Part::Elsewhere,
    ];
}

/// A document of the index.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Document {
    /// What it is.
    pub part: Part,
    /// Number among the phrases of its class.
    pub nth: u8,
    /// Number of the class, cause, question or check.
    pub owner: u16,
    /// Length of the vector of its terms, each weighted by how rare it is.
    pub length: f32,
}

impl Document {
    /// Bytes of one document in the list.
    pub const BYTES: usize = 8;

    fn to_bytes(self) -> [u8; Document::BYTES] {
        let [low, high] = self.owner.to_le_bytes();
        let [a, b, c, d] = self.length.to_le_bytes();
        let part = Part::ALL
            .iter()
            .position(|part| *part == self.part)
            .unwrap_or(0) as u8;
        [part, self.nth, low, high, a, b, c, d]
    }

    /// How many of the documents are about drives: those before the ones about other things.
    pub fn of_the_trade(documents: &[[u8; Document::BYTES]]) -> usize {
        let elsewhere = Part::ALL.len() as u8 - 1;
        documents.partition_point(|[part, ..]| *part != elsewhere)
    }

    /// Reads a document.
    pub fn read(bytes: &[u8; Document::BYTES]) -> Option<Document> {
        let [part, nth, low, high, a, b, c, d] = *bytes;
        Some(Document {
            part: *Part::ALL.get(usize::from(part))?,
            nth,
            owner: u16::from_le_bytes([low, high]),
            length: f32::from_le_bytes([a, b, c, d]),
        })
    }
}

/// A text of the knowledge, before it becomes a document.
pub struct Text {
    part: Part,
    owner: u16,
    nth: u8,
    text: String,
}

/// What the index is written over.
pub struct Contents<'a> {
    /// Classes in order of their numbers.
    pub classes: Vec<&'a FaultClass>,
    /// Causes in order of their numbers.
    pub causes: Vec<&'a Cause>,
    /// Questions in order of their numbers.
    pub questions: Vec<&'a Question>,
    /// Names and purposes of the checks.
    pub checks: Vec<(&'a str, &'a str)>,
    /// Word lists.
    pub words: &'a Words,
}

impl Known for Contents<'_> {
    fn cause(&self, id: &str) -> Option<&Cause> {
        self.causes.iter().copied().find(|cause| cause.id == id)
    }

    fn question(&self, id: &str) -> Option<&Question> {
        let mut questions = self.questions.iter().copied();
        questions.find(|question| question.id == id)
    }
}

/// The knowledge as the index sees it.
pub struct Analysed {
    /// The texts, in the order of the documents.
    pub texts: Vec<Text>,
    /// The terms of each text.
    pub terms: Vec<BTreeSet<String>>,
    /// What groups of words mean.
    pub lexicon: Vec<u8>,
    /// The words as they are spelled.
    pub vocabulary: vocabulary::Lists,
}

/// Reads every text of the knowledge into terms.
pub fn analyse(contents: &Contents, stemmer: &mut Stemmer) -> Analysed {
    let words = contents.words;
    let lexicon = lexicon::encode(&contents.classes, words, stemmer);
    let texts = texts(contents);
    let groups = Lexicon::open(&lexicon).unwrap_or_default();
    let terms = texts
        .iter()
        .map(|text| {
            let words = normalise::words(&text.text);
            let analysis = terms::analyse(&words, &groups, stemmer);
            analysis.terms.into_iter().map(|term| term.text).collect()
        })
        .collect();
    let weighed = texts.iter().map(|text| {
        let weight = match text.part {
            Part::Phrase => 6,
            Part::Elsewhere => vocabulary::PLAIN,
            _ => 2,
        };
        (text.text.as_str(), weight)
    });
    let vocabulary = vocabulary::encode(weighed, words, stemmer);
    Analysed {
        texts,
        terms,
        lexicon,
        vocabulary,
    }
}

/// Writes the index.
///
/// # Errors
/// What the index writer reports; nothing that a knowledge file could bring about.
pub fn write(contents: &Contents) -> tantivy::Result<Vec<u8>> {
    let Analysed {
        texts,
        terms: analysed,
        lexicon,
        vocabulary,
    } = analyse(contents, &mut Stemmer::default());
    Ok(table::encode(&[
        ("documents", documents(&texts, &analysed)),
        ("letters", vocabulary.letters),
        ("lexicon", lexicon),
        ("notes", notes::encode(contents)),
        ("postings", postings::encode(&analysed)?),
        ("vocabulary", vocabulary.words),
    ]))
}

/// How much a term says, by the number of documents that hold it: the weight of Robertson and Spärck
/// Jones (1976) without relevance information, kept above zero.
pub fn rarity(holding: usize, all: usize) -> f32 {
    let (holding, all) = (holding as f32, all as f32);
    (1.0 + (all - holding + 0.5).max(0.0) / (holding + 0.5)).ln()
}

fn texts(contents: &Contents) -> Vec<Text> {
    let mut texts = Vec::new();
    let mut add = |part, owner: usize, nth: usize, text: &str| {
        texts.push(Text {
            part,
            owner: owner as u16,
            nth: nth as u8,
            text: text.to_owned(),
        });
    };
    for (number, class) in contents.classes.iter().enumerate() {
        for (nth, phrase) in class.phrases.iter().enumerate().take(usize::from(u8::MAX)) {
            add(Part::Phrase, number, nth, phrase);
        }
        add(Part::Title, number, 0, &class.title);
        add(
            Part::Meaning,
            number,
            0,
            &format!("{} {}", class.meaning, class.first_look),
        );
    }
    for (number, cause) in contents.causes.iter().enumerate() {
        add(Part::CauseName, number, 0, &cause.name);
        add(Part::CauseWhat, number, 0, &cause.what);
    }
    for (number, question) in contents.questions.iter().enumerate() {
        add(Part::Question, number, 0, &question.ask);
    }
    for (number, (name, purpose)) in contents.checks.iter().enumerate() {
        let name = name.replace('-', " ");
        add(Part::Check, number, 0, &format!("{name} {purpose}"));
    }
    for text in &contents.words.elsewhere {
        add(Part::Elsewhere, 0, 0, text);
    }
    texts
}

fn documents(texts: &[Text], analysed: &[BTreeSet<String>]) -> Vec<u8> {
    let trade = texts.iter().zip(analysed);
    let trade: Vec<_> = trade
        .filter(|(text, _)| text.part != Part::Elsewhere)
        .collect();
    let mut holding: BTreeMap<&str, usize> = BTreeMap::new();
    for term in trade.iter().flat_map(|(_, terms)| *terms) {
        *holding.entry(term).or_default() += 1;
    }
    let weight = |term: &String| {
        let held = holding.get(term.as_str()).copied().unwrap_or(0);
        rarity(held, trade.len())
    };
    texts
        .iter()
        .zip(analysed)
        .flat_map(|(text, terms)| {
            let length = terms
                .iter()
                .map(|term| weight(term).powi(2))
                .sum::<f32>()
                .sqrt();
            Document {
                part: text.part,
                nth: text.nth,
                owner: text.owner,
                length,
            }
            .to_bytes()
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knowledge::{ClassKind, Coding};

    fn class(number: usize) -> FaultClass {
        FaultClass {
            id: format!("class-{number}"),
            title: format!("Overcurrent number {number}"),
            kind: ClassKind::Trip,
            meaning: "The current rose.".to_owned(),
            first_look: "Look at the motor.".to_owned(),
            phrases: vec![
                format!("trips at step {number}"),
                "trips on stopping".to_owned(),
            ],
            abbreviations: Vec::new(),
            standard_codes: Vec::new(),
            causes: Vec::new(),
            confused_with: Vec::new(),
            inseparable: Vec::new(),
            cautions: Vec::new(),
            coding: Coding::default(),
        }
    }

    #[test]
    fn the_same_knowledge_gives_the_same_bytes() {
        let classes: Vec<FaultClass> = (0..20).map(class).collect();
        let classes: Vec<&FaultClass> = classes.iter().collect();
        let words = Words::default();
        let over = |classes: &[&FaultClass]| {
            write(&Contents {
                classes: classes.to_vec(),
                causes: Vec::new(),
                questions: Vec::new(),
                checks: Vec::new(),
                words: &words,
            })
            .expect("the search library writes it")
        };
        let one = over(&classes);
        let other = over(&classes);
        assert!(
            one == other,
            "{} and {} bytes differ",
            one.len(),
            other.len()
        );
        let changed = over(&classes[1..]);
        assert!(one != changed);
    }
}
