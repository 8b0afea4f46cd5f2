//! What the ranking needs of classes and causes besides the postings.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::index::Contents;
use super::table::{self, Table};
use crate::knowledge::{Cause, FaultClass, HowOften, Level};

/// The question whose findings are the moments of a trip.
pub const MOMENT_QUESTION: &str = "trip-moment";

/// A class.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct ClassNote<'a> {
    /// Id.
    pub id: &'a str,
    /// Title.
    pub title: &'a str,
    /// Standard error codes.
    pub codes: Vec<&'a str>,
    /// Numbers of its causes, with a weight by how often.
    pub causes: Vec<(u16, f32)>,
    /// Share of each moment, after the signs of its causes.
    pub moments: Vec<(&'a str, f32)>,
    /// Number of its phrases.
    pub phrases: u16,
}

/// Ids with what they are called, by their numbers; read in place.
#[derive(Clone, Copy, Debug, Default)]
pub struct Names<'a> {
    table: Table<'a>,
}

impl<'a> Names<'a> {
    /// How many there are.
    pub fn len(&self) -> usize {
        self.table.len()
    }

    /// The id and the name of a number.
    pub fn get(&self, number: usize) -> Option<(&'a str, &'a str)> {
        let (id, name) = self.table.at(number)?;
        Some((str::from_utf8(id).ok()?, str::from_utf8(name).ok()?))
    }
}

/// All classes and causes.
#[derive(Clone, Debug, Default)]
pub struct Notes<'a> {
    /// Classes in order of their numbers.
    pub classes: Vec<ClassNote<'a>>,
    /// Ids and names of causes.
    pub causes: Names<'a>,
    /// For each cause the classes it belongs to.
    owners: Table<'a>,
    /// Ids of questions, without names.
    pub questions: Names<'a>,
    /// Names and purposes of checks.
    pub checks: Names<'a>,
}

impl<'a> Notes<'a> {
    /// Reads notes that [`encode`] wrote.
    pub fn open(bytes: &'a [u8]) -> Option<Notes<'a>> {
        let parts = Table::open(bytes)?;
        let names = |part| {
            let table = Table::open(parts.get(part)?)?;
            Some(Names { table })
        };
        Some(Notes {
            classes: postcard::from_bytes(parts.get("classes")?).ok()?,
            causes: names("causes")?,
            owners: Table::open(parts.get("owners")?)?,
            questions: names("questions")?,
            checks: names("checks")?,
        })
    }

    /// The numbers of the classes that a cause belongs to, with a weight by how often.
    pub fn owners(&self, cause: usize) -> impl Iterator<Item = (usize, f32)> + use<'a> {
        let bytes = self.owners.at(cause).map_or(&[][..], |(_, bytes)| bytes);
        let (owners, _) = bytes.as_chunks::<6>();
        owners.iter().map(|[low, high, weight @ ..]| {
            let class = u16::from_le_bytes([*low, *high]);
            (usize::from(class), f32::from_le_bytes(*weight))
        })
    }
}

/// Writes the notes.
pub fn encode(contents: &Contents) -> Vec<u8> {
    let Contents {
        classes, causes, ..
    } = contents;
    let notes: Vec<ClassNote> = classes
        .iter()
        .map(|class| ClassNote {
            id: &class.id,
            title: &class.title,
            codes: class.standard_codes.iter().map(String::as_str).collect(),
            causes: class_causes(class, causes),
            moments: moments(class, causes),
            phrases: class.phrases.len() as u16,
        })
        .collect();
    let mut owners = vec![("", Vec::new()); causes.len()];
    for (class, note) in notes.iter().enumerate() {
        for (cause, weight) in &note.causes {
            let (_, owners) = &mut owners[usize::from(*cause)];
            owners.extend((class as u16).to_le_bytes());
            owners.extend(weight.to_le_bytes());
        }
    }
    let names = |names: Vec<(&str, &str)>| table::encode(&names);
    let causes = causes
        .iter()
        .map(|cause| (cause.id.as_str(), cause.name.as_str()));
    let questions = contents
        .questions
        .iter()
        .map(|question| (question.id.as_str(), ""));
    table::encode(&[
        ("causes", names(causes.collect())),
        ("checks", names(contents.checks.clone())),
        ("classes", postcard::to_stdvec(&notes).unwrap_or_default()),
        ("owners", table::encode(&owners)),
        ("questions", names(questions.collect())),
    ])
}

fn class_causes(class: &FaultClass, causes: &[&Cause]) -> Vec<(u16, f32)> {
    class
        .causes
        .iter()
        .filter_map(|one| {
            let number = causes.iter().position(|cause| cause.id == one.cause)?;
            let weight = match one.how_often {
                HowOften::Often => 1.0,
                HowOften::Sometimes => 0.5,
                HowOften::Rarely => 0.2,
            };
            Some((number as u16, weight))
        })
        .collect()
}

/// How the moments are spread over a class: the signs of its causes, weighted by how often they occur.
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
            // The levels of the knowledge format.
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
