//! Writes the search index: the lists of words, the vocabulary, and the postings, in one block of
//! bytes. The same knowledge gives the same bytes. Used at build time and for a plant's own knowledge.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};
use tantivy::directory::{Directory, RamDirectory};
use tantivy::index::SegmentComponent;
use tantivy::schema::{IndexRecordOption, Schema, TextFieldIndexing, TextOptions};
use tantivy::{Index, IndexSettings, TantivyDocument};

use crate::knowledge::{Cause, FaultClass, HowOften, Level, Words};

use super::normalise::{self, Word};
use super::stem::Stemmer;
use super::table::{self, Table};
use super::terms::{self, Entry};

/// The only field of the index.
pub const FIELD: &str = "term";
/// Name of the segment in the index, in place of a random one.
const SEGMENT: &str = "00000000000000000000000000000001";
/// The same with the hyphens of its other spelling.
const SEGMENT_HYPHENS: &str = "00000000-0000-0000-0000-000000000001";
/// Memory for writing; the whole index is far smaller.
const WRITER_BYTES: usize = 50_000_000;
/// The question whose findings are the moments.
const MOMENT_QUESTION: &str = "trip-moment";

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
}

impl Part {
    /// Every part, in the order of their numbers.
    pub const ALL: [Part; 5] = [
        Part::Phrase,
        Part::Title,
        Part::Meaning,
        Part::CauseName,
        Part::CauseWhat,
    ];
}

/// A document: what it is, whose, which one, and the length of its term vector.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Document {
    /// What it is.
    pub part: Part,
    /// Number among the phrases of its class.
    pub nth: u8,
    /// Number of the class or cause.
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

    /// Reads a document.
    pub fn read(bytes: &[u8; Document::BYTES]) -> Option<Document> {
        let [part, nth, low, high, a, b, c, d] = *bytes;
        Some(Document {
            part: *Part::ALL.get(part as usize)?,
            nth,
            owner: u16::from_le_bytes([low, high]),
            length: f32::from_le_bytes([a, b, c, d]),
        })
    }
}

/// What the ranking needs of a class.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct ClassNote<'a> {
    /// Id.
    pub id: &'a str,
    /// Title.
    pub title: &'a str,
    /// Standard error codes.
    pub codes: Vec<&'a str>,
    /// Numbers of its causes, with the weight of how often.
    pub causes: Vec<(u16, f32)>,
    /// Share of each moment, after its causes.
    pub moments: Vec<(&'a str, f32)>,
    /// Number of its phrases.
    pub phrases: u16,
}

/// What the ranking needs besides the postings.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Notes<'a> {
    /// Classes in order of their numbers.
    #[serde(borrow)]
    pub classes: Vec<ClassNote<'a>>,
    /// Ids and names of causes in order of their numbers.
    #[serde(borrow)]
    pub causes: Vec<(&'a str, &'a str)>,
}

/// Writes the index over classes, causes and word lists.
///
/// # Errors
/// What the index writer reports; nothing that a knowledge file could bring about.
pub fn write(
    classes: &[&FaultClass],
    causes: &[&Cause],
    words: &Words,
) -> tantivy::Result<Vec<u8>> {
    let mut stemmer = Stemmer::default();
    let lexicon = lexicon(classes, words, &mut stemmer);
    let lexicon_table = Table::open(&lexicon).unwrap_or_else(Table::empty);
    let texts = texts(classes, causes);
    let analysed: Vec<BTreeSet<String>> = texts
        .iter()
        .map(|(_, _, _, text)| {
            let words = normalise::words(text);
            let analysis = terms::analyse(&words, &lexicon_table, &mut stemmer);
            analysis.terms.into_iter().map(|term| term.text).collect()
        })
        .collect();
    let mut frequency: BTreeMap<&str, usize> = BTreeMap::new();
    for term in analysed.iter().flatten() {
        *frequency.entry(term).or_default() += 1;
    }
    let rarity = |term: &str| rarity(frequency.get(term).copied().unwrap_or(0), analysed.len());
    let documents: Vec<u8> = texts
        .iter()
        .zip(&analysed)
        .flat_map(|((part, owner, nth, _), terms)| {
            let length = terms
                .iter()
                .map(|term| rarity(term).powi(2))
                .sum::<f32>()
                .sqrt();
            Document {
                part: *part,
                nth: *nth,
                owner: *owner,
                length,
            }
            .to_bytes()
        })
        .collect();
    let mut sections: Vec<(String, Vec<u8>)> = vec![
        ("documents".to_owned(), documents),
        ("lexicon".to_owned(), lexicon.clone()),
        ("notes".to_owned(), notes(classes, causes)),
        ("vocabulary".to_owned(), vocabulary(&texts, words)),
    ];
    sections.extend(postings(&analysed)?);
    sections.sort();
    Ok(table::encode(&sections))
}

/// How much a term says, by the number of documents that hold it.
pub fn rarity(holding: usize, all: usize) -> f32 {
    let (holding, all) = (holding as f32, all as f32);
    (1.0 + (all - holding + 0.5).max(0.0) / (holding + 0.5)).ln()
}

/// Every text of the index: its part, whose it is, which one.
fn texts(classes: &[&FaultClass], causes: &[&Cause]) -> Vec<(Part, u16, u8, String)> {
    let mut texts = Vec::new();
    for (number, class) in classes.iter().enumerate() {
        let number = number as u16;
        for (nth, phrase) in class.phrases.iter().enumerate().take(usize::from(u8::MAX)) {
            texts.push((Part::Phrase, number, nth as u8, phrase.clone()));
        }
        texts.push((Part::Title, number, 0, class.title.clone()));
        let meaning = format!("{}. {}", class.meaning, class.first_look);
        texts.push((Part::Meaning, number, 0, meaning));
    }
    for (number, cause) in causes.iter().enumerate() {
        texts.push((Part::CauseName, number as u16, 0, cause.name.clone()));
        texts.push((Part::CauseWhat, number as u16, 0, cause.what.clone()));
    }
    texts
}

/// What one group of words means, while the lexicon is put together.
#[derive(Default)]
struct Draft {
    means: BTreeSet<(String, String)>,
    moments: BTreeSet<String>,
    names: BTreeSet<u16>,
    short: Option<(String, String)>,
    filler: bool,
    out_of_scope: bool,
}

/// Groups of words and what they mean, by their stems.
fn lexicon(classes: &[&FaultClass], words: &Words, stemmer: &mut Stemmer) -> Vec<u8> {
    let mut drafts: BTreeMap<String, Draft> = BTreeMap::new();
    let mut add = |text: &str, stemmer: &mut Stemmer, change: &mut dyn FnMut(&mut Draft)| {
        for spelling in [Some(text.to_owned()), normalise::spelled_out(text)]
            .into_iter()
            .flatten()
        {
            let key = terms::key(&normalise::words(&spelling), stemmer);
            if !key.is_empty() {
                change(drafts.entry(key).or_default());
            }
        }
    };
    for text in &words.filler {
        add(text, stemmer, &mut |draft| draft.filler = true);
    }
    let filler: BTreeSet<String> = words
        .filler
        .iter()
        .map(|text| terms::key(&normalise::words(text), stemmer))
        .collect();
    let synonyms = words
        .synonyms
        .iter()
        .map(|one| (&one.means, one.say.iter().collect::<Vec<_>>()));
    let translations = words.translations.iter().map(|one| {
        (
            &one.english,
            one.terms
                .iter()
                .flat_map(|(_, terms)| terms)
                .collect::<Vec<_>>(),
        )
    });
    for (means, say) in synonyms.chain(translations) {
        let meaning = (means.clone(), terms::key(&normalise::words(means), stemmer));
        // What only means a word without weight is known, but stands for itself.
        let weightless = filler.contains(&meaning.1);
        for text in say.into_iter().chain([means]) {
            add(text, stemmer, &mut |draft| {
                if !weightless {
                    draft.means.insert(meaning.clone());
                }
            });
        }
    }
    for (finding, say) in &words.moments {
        for text in say {
            add(text, stemmer, &mut |draft| {
                draft.moments.insert(finding.clone());
            });
        }
    }
    let mut names: BTreeMap<String, BTreeSet<u16>> = BTreeMap::new();
    for one in &words.abbreviations {
        let numbers: Vec<u16> = one
            .classes
            .iter()
            .filter_map(|id| classes.iter().position(|class| class.id == *id))
            .map(|number| number as u16)
            .collect();
        let clear = !one.means.contains(" or ");
        let meaning = (
            one.means.clone(),
            terms::key(&normalise::words(&one.means), stemmer),
        );
        let ask = one.ask.clone().unwrap_or_default();
        add(&one.word, stemmer, &mut |draft| {
            draft.short = Some((one.means.clone(), ask.clone()));
            draft.names.extend(&numbers);
            if clear {
                draft.means.insert(meaning.clone());
            }
        });
        if clear {
            names.entry(meaning.1).or_default().extend(numbers);
        }
    }
    for text in &words.out_of_scope {
        add(text, stemmer, &mut |draft| draft.out_of_scope = true);
    }
    // What a short word stands for names the same classes when it is said in words.
    for draft in drafts.values_mut().filter(|draft| draft.short.is_none()) {
        for (_, term) in &draft.means {
            draft.names.extend(names.get(term).into_iter().flatten());
        }
    }
    let entries: Vec<(&String, Vec<u8>)> = drafts
        .iter()
        .map(|(key, draft)| (key, entry(draft)))
        .collect();
    table::encode(&entries)
}

fn entry(draft: &Draft) -> Vec<u8> {
    let entry = Entry {
        means: draft
            .means
            .iter()
            .map(|(shown, term)| (shown.as_str(), term.as_str()))
            .collect(),
        moments: draft.moments.iter().map(String::as_str).collect(),
        names: draft.names.iter().copied().collect(),
        short: draft
            .short
            .as_ref()
            .map(|(means, ask)| (means.as_str(), ask.as_str())),
        filler: draft.filler,
        out_of_scope: draft.out_of_scope,
    };
    postcard::to_stdvec(&entry).unwrap_or_default()
}

fn notes(classes: &[&FaultClass], causes: &[&Cause]) -> Vec<u8> {
    let notes = Notes {
        classes: classes
            .iter()
            .map(|class| ClassNote {
                id: &class.id,
                title: &class.title,
                codes: class.standard_codes.iter().map(String::as_str).collect(),
                causes: class_causes(class, causes),
                moments: moments(class, causes),
                phrases: class.phrases.len() as u16,
            })
            .collect(),
        causes: causes
            .iter()
            .map(|cause| (cause.id.as_str(), cause.name.as_str()))
            .collect(),
    };
    postcard::to_stdvec(&notes).unwrap_or_default()
}

fn how_often(level: HowOften) -> f32 {
    match level {
        HowOften::Often => 1.0,
        HowOften::Sometimes => 0.5,
        HowOften::Rarely => 0.2,
    }
}

fn class_causes(class: &FaultClass, causes: &[&Cause]) -> Vec<(u16, f32)> {
    class
        .causes
        .iter()
        .filter_map(|one| {
            let number = causes.iter().position(|cause| cause.id == one.cause)?;
            Some((number as u16, how_often(one.how_often)))
        })
        .collect()
}

/// How the moments are spread over a class's causes, after the signs that the causes state.
fn moments<'a>(class: &FaultClass, causes: &[&'a Cause]) -> Vec<(&'a str, f32)> {
    let mut shares: BTreeMap<&'a str, f32> = BTreeMap::new();
    let mut total = 0.0;
    for (number, weight) in class_causes(class, causes) {
        let Some(cause) = causes.get(usize::from(number)) else {
            continue;
        };
        for sign in cause
            .signs
            .iter()
            .filter(|sign| sign.question == MOMENT_QUESTION)
        {
            let level = match sign.level {
                Level::Never => 0.03,
                Level::Rarely => 0.15,
                Level::Sometimes => 0.5,
                Level::Usually => 0.85,
                Level::Always => 0.97,
            };
            *shares.entry(sign.finding.as_str()).or_default() += weight * level;
            total += weight * level;
        }
    }
    shares
        .into_iter()
        .map(|(finding, share)| (finding, share / total))
        .collect()
}

/// Every word as it is spelled, shortest first, with its letters as a bit set and how often it is used.
fn vocabulary(texts: &[(Part, u16, u8, String)], words: &Words) -> Vec<u8> {
    let mut counts: BTreeMap<(usize, String), u16> = BTreeMap::new();
    let mut count = |text: &str, weight: u16| {
        for Word { plain, .. } in normalise::words(text) {
            let entry = counts.entry((plain.len(), plain)).or_default();
            *entry = entry.saturating_add(weight);
        }
    };
    for (part, _, _, text) in texts {
        count(text, if *part == Part::Phrase { 3 } else { 1 });
    }
    let say = words
        .synonyms
        .iter()
        .flat_map(|one| one.say.iter().chain([&one.means]));
    let moments = words.moments.iter().flat_map(|(_, say)| say);
    for text in say
        .chain(moments)
        .chain(&words.filler)
        .chain(&words.out_of_scope)
    {
        count(text, 2);
    }
    for text in words
        .abbreviations
        .iter()
        .flat_map(|one| [&one.word, &one.means])
    {
        count(text, 2);
    }
    for text in words
        .translations
        .iter()
        .flat_map(|one| one.terms.iter().flat_map(|(_, say)| say))
    {
        count(text, 1);
        if let Some(spelled) = normalise::spelled_out(text) {
            count(&spelled, 1);
        }
    }
    let entries: Vec<(Vec<u8>, Vec<u8>)> = counts
        .into_iter()
        .map(|((length, word), count)| {
            let mut value = letters(&word).to_le_bytes().to_vec();
            value.extend(count.to_le_bytes());
            (vocabulary_key(length, &word), value)
        })
        .collect();
    table::encode(&entries)
}

/// The key of a word in the vocabulary: its length, then the word.
pub fn vocabulary_key(length: usize, word: &str) -> Vec<u8> {
    let mut key = vec![length.min(255) as u8];
    key.extend(word.as_bytes());
    key
}

/// The letters of a word as a bit set.
pub fn letters(word: &str) -> u32 {
    word.bytes().fold(0, |set, byte| match byte {
        b'a'..=b'z' => set | 1 << (byte - b'a'),
        b'0'..=b'9' => set | 1 << 26,
        _ => set | 1 << 27,
    })
}

/// The postings as the files of an index with a single segment of a fixed name.
fn postings(documents: &[BTreeSet<String>]) -> tantivy::Result<Vec<(String, Vec<u8>)>> {
    let mut schema = Schema::builder();
    let indexing = TextFieldIndexing::default()
        .set_tokenizer("raw")
        .set_fieldnorms(false)
        .set_index_option(IndexRecordOption::Basic);
    let field = schema.add_text_field(FIELD, TextOptions::default().set_indexing_options(indexing));
    let directory = RamDirectory::create();
    let mut writer = Index::builder()
        .schema(schema.build())
        .settings(IndexSettings::default())
        .single_segment_index_writer(directory.clone(), WRITER_BYTES)?;
    for terms in documents {
        let mut document = TantivyDocument::default();
        for term in terms {
            document.add_text(field, term);
        }
        writer.add_document(document)?;
    }
    let index = writer.finalize()?;
    let Some(segment) = index.searchable_segments()?.into_iter().next() else {
        return Ok(Vec::new());
    };
    let (plain, hyphens) = (
        segment.id().uuid_string(),
        hyphenated(&segment.id().uuid_string()),
    );
    let parts = [
        SegmentComponent::Postings,
        SegmentComponent::Positions,
        SegmentComponent::FastFields,
        SegmentComponent::FieldNorms,
        SegmentComponent::Terms,
        SegmentComponent::Store,
    ];
    let mut files: Vec<PathBuf> = parts.map(|part| segment.relative_path(part)).to_vec();
    files.push(PathBuf::from("meta.json"));
    let mut found = Vec::new();
    for path in files {
        let Some(bytes): Option<Vec<u8>> = file(&directory, &path) else {
            continue;
        };
        let name = path.to_string_lossy().replace(&plain, SEGMENT);
        let bytes = match name.as_str() {
            "meta.json" => String::from_utf8_lossy(&bytes)
                .replace(&hyphens, SEGMENT_HYPHENS)
                .replace(&plain, SEGMENT)
                .into_bytes(),
            _ => bytes,
        };
        found.push((format!("index/{name}"), bytes));
    }
    Ok(found)
}

fn file(directory: &RamDirectory, path: &Path) -> Option<Vec<u8>> {
    if path == Path::new("meta.json") {
        return directory.atomic_read(path).ok();
    }
    let slice = directory.open_read(path).ok()?;
    Some(slice.read_bytes().ok()?.to_vec())
}

/// The spelling of a segment's name with hyphens.
fn hyphenated(plain: &str) -> String {
    let mut name = String::new();
    for (place, character) in plain.chars().enumerate() {
        if matches!(place, 8 | 12 | 16 | 20) {
            name.push('-');
        }
        name.push(character);
    }
    name
}
