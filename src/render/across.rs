//! Classes and causes weighed by what is known: to choose from, to look at when a walk came to
//! nothing, and as JSON.

use serde::Serialize;

use super::doc::{Block, Document, plain, quiet};
use super::walk::share_words;
use crate::diagnosis::across::{Across, Fit};
use crate::diagnosis::case::{Case, SOMETHING_ELSE_ID};
use crate::diagnosis::record::{self, Fact};
use crate::diagnosis::walk::{Given, Walk};
use crate::knowledge::Library;

/// How many classes and causes are shown.
pub const SHOWN: usize = 5;

/// The leading causes over all classes.
pub fn causes(library: &Library, across: &Across<'_>) -> Document {
    let mut document = Document::new();
    document.heading(2, "What may be behind it, whichever class it is");
    for (id, share) in named(across).take(SHOWN) {
        let name = library.cause(id).map_or(id, |cause| cause.name.as_str());
        document.push(Block::Bar {
            label: name.to_owned(),
            share,
            words: share_words(share).to_owned(),
        });
    }
    document
}

/// The ranking with the commands that go on from it.
pub fn ranking(library: &Library, across: &Across<'_>, facts: &[Fact]) -> Document {
    let mut document = Document::new();
    let facts: Vec<Fact> = facts
        .iter()
        .filter(|(key, _)| !across.not_used.contains(key))
        .cloned()
        .collect();
    document.heading(1, "Classes that fit what is known");
    for fit in across.classes.iter().take(SHOWN) {
        document.item(vec![
            plain(format!("{} ", fit.class.title)),
            quiet(format!(
                "({}; uses {} of {} facts)",
                share_words(fit.share),
                fit.used,
                facts.len()
            )),
        ]);
        document.push(Block::Command(command(fit.class.id.as_str(), &facts)));
    }
    document.gap();
    document.append(causes(library, across));
    document
}

/// The command that walks a class from these facts.
fn command(class: &str, facts: &[Fact]) -> String {
    let mut text = format!("whytrip walk {class}");
    for (key, value) in facts {
        let pair = format!("{key}={value}");
        if pair.contains(|c: char| c.is_whitespace() || "\"'$`\\;&|<>()*?#~".contains(c)) {
            text.push_str(&format!(" '{}'", pair.replace('\'', "")));
        } else {
            text.push_str(&format!(" {pair}"));
        }
    }
    text
}

/// Other classes worth a look when a walk came to nothing, with what was found carried over: those
/// that the class is mistaken for, and those that fit the answers better.
pub fn other_classes(library: &Library, walk: &Walk<'_>, across: &Across<'_>) -> Document {
    let mut document = Document::new();
    let own = walk.case.class;
    let own_share = across
        .classes
        .iter()
        .find(|fit| fit.class.id == own.id)
        .map_or(0.0, |fit| fit.share);
    let because = |fit: &&Fit<'_>| {
        let other = own.confused_with.iter().find(|o| o.class == fit.class.id)?;
        Some(other.because.as_str())
    };
    let others = across
        .classes
        .iter()
        .filter(|fit| fit.class.id != own.id)
        .filter(|fit| because(fit).is_some() || fit.share > own_share);
    let others: Vec<&Fit<'_>> = others.take(OTHERS).collect();
    if others.is_empty() {
        return document;
    }
    document.heading(2, "It may be another class; what was found goes with you");
    for fit in others {
        let why = because(&fit).unwrap_or("fits what was found better");
        document.item(vec![
            plain(format!("{} ", fit.class.title)),
            quiet(why.to_owned()),
        ]);
        document.push(Block::Command(command(
            &fit.class.id,
            &carried(library, walk, fit),
        )));
    }
    document
}

const OTHERS: usize = 3;

/// The facts of a walk as another class can take them.
fn carried(library: &Library, walk: &Walk<'_>, to: &Fit<'_>) -> Vec<Fact> {
    let Ok(case) = Case::compile(library, to.class, Default::default()) else {
        return Vec::new();
    };
    facts_of(walk)
        .into_iter()
        .filter(|(key, _)| !key.contains('-') || case.question_index(key).is_some())
        .collect()
}

/// What a walk found, without what was said of its causes.
pub fn facts_of(walk: &Walk<'_>) -> Vec<Fact> {
    let nameplate = walk.nameplate.iter();
    let values = nameplate.map(|(name, given)| (name.clone(), record::nameplate_text(given)));
    let found = walk
        .steps
        .iter()
        .filter(|step| matches!(step.given, Given::Found { .. }))
        .map(|step| record::pair(walk, &step.given));
    values.chain(found).collect()
}

fn named<'a>(across: &'a Across<'_>) -> impl Iterator<Item = (&'a str, f64)> {
    let causes = across.causes.iter();
    causes
        .filter(|(id, _)| id != SOMETHING_ELSE_ID)
        .map(|(id, share)| (id.as_str(), *share))
}

/// A class with its share.
#[derive(Serialize)]
struct ClassShareJson<'a> {
    id: &'a str,
    title: &'a str,
    probability: f64,
    in_words: &'static str,
    facts_used: usize,
}

/// A cause with its share over all classes.
#[derive(Serialize)]
struct CauseShareJson<'a> {
    id: &'a str,
    name: &'a str,
    probability: f64,
}

/// The ranking as JSON.
#[derive(Serialize)]
pub struct AcrossJson<'a> {
    classes: Vec<ClassShareJson<'a>>,
    causes: Vec<CauseShareJson<'a>>,
    not_used: Vec<&'a str>,
}

/// The ranking as JSON: classes and causes that have at least one per cent.
pub fn json<'a>(library: &'a Library, across: &'a Across<'_>) -> AcrossJson<'a> {
    let classes = across.classes.iter().filter(|fit| fit.share >= 0.01);
    AcrossJson {
        classes: classes
            .map(|fit| ClassShareJson {
                id: &fit.class.id,
                title: &fit.class.title,
                probability: fit.share,
                in_words: share_words(fit.share),
                facts_used: fit.used,
            })
            .collect(),
        causes: named(across)
            .filter(|(_, share)| *share >= 0.01)
            .map(|(id, probability)| CauseShareJson {
                id,
                name: library.cause(id).map_or(id, |cause| cause.name.as_str()),
                probability,
            })
            .collect(),
        not_used: across.not_used.iter().map(String::as_str).collect(),
    }
}
