//! What the ranking needs of classes and causes besides the postings.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::index::Contents;
use super::splitting;
use super::table::{self, Table};
use crate::knowledge::{Cause, FaultClass};

/// The question whose findings are the moments of a trip.
pub const MOMENT_QUESTION: &str = "trip-moment";
/// Questions that are kept for a description that says nothing.
const MOST_FIRST: usize = 3;

/// A class; its lists are read where they lie.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
pub struct ClassNote<'a> {
    /// Id.
    pub id: &'a str,
    /// Title.
    pub title: &'a str,
    /// Number of its phrases.
    pub phrases: u16,
    codes: &'a str,
    causes: &'a [u8],
    moments: &'a str,
    shares: &'a [u8],
    look_alikes: &'a str,
}

impl<'a> ClassNote<'a> {
    /// Standard error codes.
    pub fn codes(&self) -> impl Iterator<Item = &'a str> + use<'a> {
        self.codes.split_ascii_whitespace()
    }

    /// Numbers of its causes, with a weight by how often.
    pub fn causes(&self) -> impl Iterator<Item = (usize, f32)> + use<'a> {
        weighted(self.causes)
    }

    /// The question that tells it from a class it is taken for.
    pub fn told_from(&self, other: &str) -> Option<&'a str> {
        let pairs = self.look_alikes.split_ascii_whitespace();
        let mut pairs = pairs.filter_map(|pair| pair.split_once('='));
        pairs.find(|(class, _)| *class == other).map(|(_, ask)| ask)
    }

    /// Share of each moment, after the signs of its causes; nothing if they give none.
    pub fn moments(&self) -> impl Iterator<Item = (&'a str, f32)> + use<'a> {
        let (shares, _) = self.shares.as_chunks();
        let shares = shares.iter().map(|share| f32::from_le_bytes(*share));
        self.moments.split_ascii_whitespace().zip(shares)
    }
}

/// Numbers with a weight, as [`encode_weighted`] writes them.
fn weighted(bytes: &[u8]) -> impl Iterator<Item = (usize, f32)> + use<'_> {
    let (pairs, _) = bytes.as_chunks::<6>();
    pairs.iter().map(|[low, high, weight @ ..]| {
        let number = u16::from_le_bytes([*low, *high]);
        (usize::from(number), f32::from_le_bytes(*weight))
    })
}

fn encode_weighted(pairs: &[(u16, f32)]) -> Vec<u8> {
    let bytes = |(number, weight): &(u16, f32)| {
        let [low, high] = number.to_le_bytes();
        let [a, b, c, d] = weight.to_le_bytes();
        [low, high, a, b, c, d]
    };
    pairs.iter().flat_map(bytes).collect()
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
    /// Ids of the questions that split all classes best, best first, without names.
    pub first_questions: Names<'a>,
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
            first_questions: names("first questions")?,
        })
    }

    /// The numbers of the classes that a cause belongs to, with a weight by how often.
    pub fn owners(&self, cause: usize) -> impl Iterator<Item = (usize, f32)> + use<'a> {
        weighted(self.owners.at(cause).map_or(&[][..], |(_, bytes)| bytes))
    }
}

/// Writes the notes.
pub fn encode(contents: &Contents) -> Vec<u8> {
    let Contents {
        classes, causes, ..
    } = contents;
    let lists: Vec<Lists> = classes
        .iter()
        .map(|class| Lists::of(class, causes))
        .collect();
    let notes: Vec<ClassNote> = classes
        .iter()
        .zip(&lists)
        .map(|(class, lists)| lists.note(class))
        .collect();
    let mut owned = vec![Vec::new(); causes.len()];
    for (class, note) in notes.iter().enumerate() {
        for (cause, weight) in note.causes() {
            owned[cause].push((class as u16, weight));
        }
    }
    let owners: Vec<(&str, Vec<u8>)> = owned
        .iter()
        .map(|owners| ("", encode_weighted(owners)))
        .collect();
    let names = |names: Vec<(&str, &str)>| table::encode(&names);
    let causes = causes
        .iter()
        .map(|cause| (cause.id.as_str(), cause.name.as_str()));
    let questions = contents
        .questions
        .iter()
        .map(|question| (question.id.as_str(), ""));
    let every: Vec<(&FaultClass, f64)> = classes.iter().map(|class| (*class, 1.0)).collect();
    let first = splitting::best(contents, &every, MOST_FIRST);
    let first = first.iter().map(|id| (id.as_str(), ""));
    table::encode(&[
        ("causes", names(causes.collect())),
        ("checks", names(contents.checks.clone())),
        ("classes", postcard::to_stdvec(&notes).unwrap_or_default()),
        ("first questions", names(first.collect())),
        ("owners", table::encode(&owners)),
        ("questions", names(questions.collect())),
    ])
}

/// What the lists of a note point to.
struct Lists {
    codes: String,
    causes: Vec<u8>,
    moments: String,
    shares: Vec<u8>,
    look_alikes: String,
}

impl Lists {
    fn of(class: &FaultClass, causes: &[&Cause]) -> Lists {
        let (moments, shares): (Vec<&str>, Vec<f32>) = moments(class, causes).into_iter().unzip();
        let look_alikes = class.confused_with.iter();
        let look_alikes: Vec<String> = look_alikes
            .map(|one| format!("{}={}", one.class, one.ask))
            .collect();
        Lists {
            look_alikes: look_alikes.join(" "),
            codes: class.standard_codes.join(" "),
            causes: encode_weighted(&class_causes(class, causes)),
            moments: moments.join(" "),
            shares: shares.into_iter().flat_map(f32::to_le_bytes).collect(),
        }
    }

    fn note<'a>(&'a self, class: &'a FaultClass) -> ClassNote<'a> {
        ClassNote {
            id: &class.id,
            title: &class.title,
            phrases: class.phrases.len() as u16,
            codes: &self.codes,
            causes: &self.causes,
            moments: &self.moments,
            shares: &self.shares,
            look_alikes: &self.look_alikes,
        }
    }
}

fn class_causes(class: &FaultClass, causes: &[&Cause]) -> Vec<(u16, f32)> {
    class
        .causes
        .iter()
        .filter_map(|one| {
            let number = causes.iter().position(|cause| cause.id == one.cause)?;
            Some((number as u16, splitting::weight(one.how_often) as f32))
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
            let level = splitting::likelihood(sign.level) as f32;
            *shares.entry(sign.finding.as_str()).or_default() += weight * level;
            total += weight * level;
        }
    }
    shares
        .into_iter()
        .map(|(finding, share)| (finding, share / total))
        .collect()
}
