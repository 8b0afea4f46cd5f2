//! Ranks classes and causes: term evidence over the postings, likeness to the phrases of each class,
//! moment, short words and codes.

use tantivy::directory::OwnedBytes;
use tantivy::schema::{Field, IndexRecordOption};
use tantivy::{DocSet, Index, InvertedIndexReader, SegmentReader, TERMINATED, Term as IndexTerm};

use super::embedded::Embedded;
use super::index::{Document, FIELD, Notes, Part, rarity};
use super::query::Query;
use super::terms::{Term, Via};

/// How much each kind of evidence counts.
#[derive(Clone, Debug)]
pub struct Weights {
    /// A word itself.
    pub word: f32,
    /// What a group of words means.
    pub meaning: f32,
    /// A part of a meaning or of a group.
    pub part: f32,
    /// A moment as a term.
    pub moment_term: f32,
    /// A negated word.
    pub negated: f32,
    /// Factor for corrected words.
    pub corrected: f32,
    /// Phrases added to what was counted and to what was to be expected: keeps a word that was seen
    /// once from deciding.
    pub background: f32,
    /// The same for what a group of words means, for moments and short words.
    pub background_meaning: f32,
    /// A title counts as so many phrases.
    pub title: f32,
    /// The meaning and first look count as so many phrases.
    pub meaning_text: f32,
    /// A cause's name counts as so many phrases.
    pub cause_name: f32,
    /// A cause's mechanism counts as so many phrases.
    pub cause_what: f32,
    /// Likeness to the best phrase.
    pub likeness: f32,
    /// The moment by the signs of the causes.
    pub moment: f32,
    /// A fault that the query names and the class is one of.
    pub name: f32,
    /// The term of a named fault.
    pub name_term: f32,
    /// A reading, by its unit.
    pub unit: f32,
    /// Background of the term of a named fault.
    pub background_name: f32,
    /// A standard code of the class.
    pub code: f32,
}

impl Default for Weights {
    fn default() -> Weights {
        Weights {
            word: 1.2,
            meaning: 1.2,
            part: 0.5,
            moment_term: 1.3,
            negated: 0.3,
            corrected: 0.9,
            background: 2.5,
            background_meaning: 1.6,
            title: 2.0,
            meaning_text: 0.3,
            cause_name: 4.0,
            cause_what: 0.6,
            likeness: 1.2,
            moment: 0.6,
            name: 2.0,
            name_term: 3.5,
            unit: 0.3,
            background_name: 1.0,
            code: 6.0,
        }
    }
}

/// A class with its evidence.
#[derive(Clone, Debug, Default)]
pub struct ClassScore {
    /// Its number.
    pub class: usize,
    /// Sum of all evidence, as a logarithm of odds.
    pub evidence: f32,
    /// Likeness to its best phrase, 0 to 1.
    pub likeness: f32,
    /// That phrase's number.
    pub phrase: u8,
    /// Each term with its part in the evidence.
    pub terms: Vec<(usize, f32)>,
}

/// A cause with its likeness.
#[derive(Clone, Debug)]
pub struct CauseScore {
    /// Its number.
    pub cause: usize,
    /// Likeness to its name and mechanism.
    pub likeness: f32,
}

/// Everything the query is like.
#[derive(Clone, Debug, Default)]
pub struct Ranking {
    /// Classes, best first.
    pub classes: Vec<ClassScore>,
    /// Causes, best first.
    pub causes: Vec<CauseScore>,
    /// Share of what the query says that the knowledge knows, 0 to 1.
    pub coverage: f32,
    /// Sum of the rarity of the known terms.
    pub substance: f32,
}

/// The postings, opened.
pub struct Postings_ {
    reader: std::sync::Arc<InvertedIndexReader>,
    field: Field,
    documents: usize,
}

impl Postings_ {
    /// Opens the postings of a block of bytes in place.
    ///
    /// # Errors
    /// What the index reader reports.
    pub fn open(bytes: OwnedBytes) -> tantivy::Result<Postings_> {
        let index = Index::open(Embedded::new(bytes))?;
        let field = index.schema().get_field(FIELD)?;
        let segment = index
            .searchable_segments()?
            .into_iter()
            .next()
            .ok_or_else(|| tantivy::TantivyError::InternalError("no segment".to_owned()))?;
        let reader = SegmentReader::open(&segment)?;
        let documents = reader.max_doc() as usize;
        Ok(Postings_ {
            reader: reader.inverted_index(field)?,
            field,
            documents,
        })
    }

    /// The documents that hold a term.
    fn holding(&self, term: &str) -> tantivy::Result<Vec<u32>> {
        let term = IndexTerm::from_field_text(self.field, term);
        let Some(mut postings) = self.reader.read_postings(&term, IndexRecordOption::Basic)? else {
            return Ok(Vec::new());
        };
        let mut found = Vec::with_capacity(postings.doc_freq() as usize);
        let mut document = postings.doc();
        while document != TERMINATED {
            found.push(document);
            document = postings.advance();
        }
        Ok(found)
    }
}

/// Ranks the classes and causes for a query.
///
/// # Errors
/// What the index reader reports.
pub fn rank(
    query: &Query,
    postings: &Postings_,
    documents: &[u8],
    notes: &Notes,
    weights: &Weights,
) -> tantivy::Result<Ranking> {
    let (documents, _) = documents.as_chunks::<{ Document::BYTES }>();
    let classes = notes.classes.len();
    let mut cause_owners: Vec<Vec<(usize, f32)>> = vec![Vec::new(); notes.causes.len()];
    for (class, note) in notes.classes.iter().enumerate() {
        for (cause, how_often) in &note.causes {
            if let Some(owners) = cause_owners.get_mut(usize::from(*cause)) {
                owners.push((class, *how_often));
            }
        }
    }
    let mut scores: Vec<ClassScore> = (0..classes)
        .map(|class| ClassScore {
            class,
            ..ClassScore::default()
        })
        .collect();
    let mut likeness = vec![0.0f32; documents.len()];
    let (mut query_length, mut known, mut said) = (0.0f32, 0.0f32, 0.0f32);
    let size: Vec<f32> = notes
        .classes
        .iter()
        .map(|note| f32::from(note.phrases) + weights.title + weights.meaning_text)
        .collect();
    let all_size: f32 = size.iter().sum();
    for (number, term) in query.analysis.terms.iter().enumerate() {
        let weight = weight_of(term, query, weights);
        let holding = postings.holding(&term.text)?;
        let rare = rarity(holding.len(), postings.documents);
        let is_word = !matches!(term.via, Via::Part | Via::Negated | Via::Unit);
        if is_word {
            said += weight * rare.min(5.0);
        }
        query_length += (weight * rare).powi(2);
        if holding.is_empty() {
            continue;
        }
        if is_word {
            known += weight * rare.min(5.0);
        }
        let mut counts = vec![0.0f32; classes];
        for document in holding {
            let Some(of) = documents.get(document as usize).and_then(Document::read) else {
                continue;
            };
            let owner = usize::from(of.owner);
            likeness[document as usize] += weight * rare * rare;
            match of.part {
                Part::Phrase => add(&mut counts, owner, 1.0),
                Part::Title => add(&mut counts, owner, weights.title),
                Part::Meaning => add(&mut counts, owner, weights.meaning_text),
                Part::CauseName | Part::CauseWhat => {
                    let worth = if of.part == Part::CauseName {
                        weights.cause_name
                    } else {
                        weights.cause_what
                    };
                    for (class, how_often) in cause_owners.get(owner).into_iter().flatten() {
                        add(&mut counts, *class, worth * how_often);
                    }
                }
            }
        }
        let share = counts.iter().sum::<f32>() / all_size;
        if share <= 0.0 {
            continue;
        }
        let background = match term.via {
            Via::Name(_) => weights.background_name,
            Via::Meaning(_) | Via::Moment(_) => weights.background_meaning,
            _ => weights.background,
        };
        for (class, count) in counts.iter().enumerate() {
            let expected = share * size[class];
            let evidence = weight * ((count + background) / (expected + background)).ln();
            scores[class].evidence += evidence;
            scores[class].terms.push((number, evidence));
        }
    }
    let query_length = query_length.sqrt().max(1e-6);
    let mut causes = vec![0.0f32; notes.causes.len()];
    for (document, raw) in documents.iter().zip(&likeness) {
        if *raw <= 0.0 {
            continue;
        }
        let Some(of) = Document::read(document) else {
            continue;
        };
        let alike = raw / (of.length.max(1e-6) * query_length);
        match of.part {
            Part::Phrase | Part::Title => {
                if let Some(score) = scores.get_mut(usize::from(of.owner))
                    && alike > score.likeness
                {
                    score.likeness = alike;
                    score.phrase = if of.part == Part::Phrase {
                        of.nth
                    } else {
                        u8::MAX
                    };
                }
            }
            Part::CauseName => add(&mut causes, usize::from(of.owner), alike),
            Part::CauseWhat => add(&mut causes, usize::from(of.owner), alike * 0.5),
            Part::Meaning => {}
        }
    }
    for score in &mut scores {
        score.evidence += weights.likeness * score.likeness;
        score.evidence += other_evidence(query, score.class, notes, weights);
    }
    scores.sort_by(|one, other| other.evidence.total_cmp(&one.evidence));
    let mut causes: Vec<CauseScore> = causes
        .into_iter()
        .enumerate()
        .filter(|(_, likeness)| *likeness > 0.0)
        .map(|(cause, likeness)| CauseScore { cause, likeness })
        .collect();
    causes.sort_by(|one, other| other.likeness.total_cmp(&one.likeness));
    let coverage = if said > 0.0 { known / said } else { 0.0 };
    Ok(Ranking {
        classes: scores,
        causes,
        coverage,
        substance: known,
    })
}

fn add(counts: &mut [f32], place: usize, worth: f32) {
    if let Some(count) = counts.get_mut(place) {
        *count += worth;
    }
}

fn weight_of(term: &Term, query: &Query, weights: &Weights) -> f32 {
    let base = match term.via {
        Via::Word => weights.word,
        Via::Meaning(_) => weights.meaning,
        Via::Name(_) => weights.name_term,
        Via::Unit => weights.unit,
        Via::Part => weights.part,
        Via::Moment(_) => weights.moment_term,
        Via::Negated => weights.negated,
    };
    let corrected = query
        .is_corrected
        .get(term.span.0..term.span.1)
        .is_some_and(|words| words.iter().any(|corrected| *corrected));
    if corrected {
        base * weights.corrected
    } else {
        base
    }
}

/// Evidence besides the terms: the moment, short words, codes.
fn other_evidence(query: &Query, class: usize, notes: &Notes, weights: &Weights) -> f32 {
    let Some(note) = notes.classes.get(class) else {
        return 0.0;
    };
    let mut evidence = 0.0;
    let share = |moment: &str| {
        note.moments
            .iter()
            .find(|(finding, _)| *finding == moment)
            .map_or(0.0, |(_, share)| *share)
    };
    let moments = &query.analysis.moments;
    if !moments.is_empty() && !note.moments.is_empty() {
        let best = moments
            .iter()
            .map(|(moment, _)| share(moment))
            .fold(0.0, f32::max);
        evidence += weights.moment * ((best + 0.1) / 0.3).ln();
    }
    for moment in &query.analysis.not_moments {
        evidence += weights.moment * ((1.0 - share(moment) + 0.1) / 0.9).ln();
    }
    for name in &query.analysis.names {
        if name
            .classes
            .iter()
            .any(|number| usize::from(*number) == class)
        {
            evidence += weights.name / (name.classes.len() as f32).sqrt();
        }
    }
    if query
        .codes
        .iter()
        .any(|(code, _)| note.codes.contains(&code.as_str()))
    {
        evidence += weights.code;
    }
    evidence
}

// TUNE-BEGIN
impl Weights {
    pub fn all(&mut self) -> Vec<&mut f32> {
        vec![
            &mut self.word,
            &mut self.meaning,
            &mut self.part,
            &mut self.moment_term,
            &mut self.negated,
            &mut self.background,
            &mut self.background_meaning,
            &mut self.title,
            &mut self.meaning_text,
            &mut self.cause_name,
            &mut self.cause_what,
            &mut self.likeness,
            &mut self.moment,
            &mut self.name,
            &mut self.name_term,
            &mut self.unit,
            &mut self.background_name,
        ]
    }
    pub fn tuned() -> Weights {
        let mut w = Weights::default();
        if let Ok(text) = std::env::var("TUNE") {
            for part in text.split(',') {
                let Some((name, value)) = part.split_once('=') else {
                    continue;
                };
                let value: f32 = value.parse().unwrap();
                match name {
                    "word" => w.word = value,
                    "meaning" => w.meaning = value,
                    "part" => w.part = value,
                    "moment_term" => w.moment_term = value,
                    "negated" => w.negated = value,
                    "corrected" => w.corrected = value,
                    "background" => w.background = value,
                    "background_meaning" => w.background_meaning = value,
                    "title" => w.title = value,
                    "meaning_text" => w.meaning_text = value,
                    "cause_name" => w.cause_name = value,
                    "cause_what" => w.cause_what = value,
                    "likeness" => w.likeness = value,
                    "moment" => w.moment = value,
                    "name" => w.name = value,
                    "name_term" => w.name_term = value,
                    "unit" => w.unit = value,
                    "background_name" => w.background_name = value,
                    "code" => w.code = value,
                    _ => panic!("{name}"),
                }
            }
        }
        w
    }
}
// TUNE-END
