//! The fault classes: what each means, its causes, its questions and its decision tree.

use std::collections::BTreeMap;

use super::anchors;
use super::markup::escaped;
use super::markup::{
    cautions, chapter as chapter_of, group, heading, item, labelled, link, links, list, paragraph,
    part, quiet,
};
use super::trees;
use crate::diagnosis::scope;
use crate::knowledge::{ClassKind, FaultClass, Library, Question};

/// Most questions that are listed for a class.
const MOST_QUESTIONS: usize = 12;
/// Most phrases that are shown; the page's search knows them all.
const MOST_PHRASES: usize = 8;

const KINDS: [(ClassKind, &str); 3] = [
    (ClassKind::Trip, "The drive reports a fault and stops"),
    (ClassKind::Waiting, "The drive is healthy but held back"),
    (
        ClassKind::Behaviour,
        "The machine shows it, the drive reports nothing",
    ),
];

/// The chapter; `trees` are in the order of the classes.
pub fn chapter(library: &Library, trees: &[String]) -> String {
    let mut body =
        quiet("How often a cause is behind a class is a judgement (common practice, no source).");
    for (kind, title) in KINDS {
        let classes = library.classes().zip(trees);
        let mut of_kind: Vec<_> = classes.filter(|(class, _)| class.kind == kind).collect();
        if of_kind.is_empty() {
            continue;
        }
        of_kind.sort_by_key(|(class, _)| class.title.to_lowercase());
        body.push_str(&group(title));
        for (class, tree) in of_kind {
            let anchor = anchors::class(&class.id);
            body.push_str(&item(&anchor, &class.title, &text(library, class, tree)));
        }
    }
    chapter_of("classes", "Fault classes", &body)
}

fn text(library: &Library, class: &FaultClass, tree: &str) -> String {
    let mut text = cautions(library, &class.cautions);
    text.push_str(&paragraph(&class.meaning));
    text.push_str(&labelled("Look first", &class.first_look));
    text.push_str(&heading("Causes"));
    let causes = scope::causes_of(library, class);
    let listed = causes.iter().enumerate().map(|(at, (cause, how_often))| {
        let words = format!("{} {}", trees::letter(at), cause.name);
        link(&anchors::cause(&cause.id), &words, how_often.word())
    });
    text.push_str(&links(listed));
    let asked = telling(library, class).into_iter().map(|question| {
        let anchor = anchors::question(&question.id);
        link(&anchor, &question.ask, question.access.word())
    });
    text.push_str(&part(
        None,
        "Questions that tell these causes apart",
        &links(asked),
    ));
    text.push_str(&part(
        Some(&anchors::tree(&class.id)),
        "Decision tree",
        tree,
    ));
    text.push_str(&look_alikes(library, class));
    let phrases = class.phrases.iter().take(MOST_PHRASES);
    let phrases = phrases.map(|phrase| escaped(phrase));
    text.push_str(&part(None, "How people say it", &list("", phrases)));
    text.push_str(&shown_as(class));
    text
}

/// The questions that tell the causes of a class apart, those first in which most causes differ from
/// the rest by the answer that they usually give.
fn telling<'k>(library: &'k Library, class: &FaultClass) -> Vec<&'k Question> {
    let causes = scope::causes_of(library, class);
    let apart = |question: &Question| {
        let mut usual: BTreeMap<&str, usize> = BTreeMap::new();
        for (cause, _) in &causes {
            let signs = cause
                .signs
                .iter()
                .filter(|sign| sign.question == question.id);
            if let Some(sign) = signs.max_by_key(|sign| sign.level) {
                *usual.entry(&sign.finding).or_default() += 1;
            }
        }
        usual.values().sum::<usize>() - usual.values().max().copied().unwrap_or(0)
    };
    let questions = scope::questions_of(library, class).into_iter();
    let mut telling: Vec<_> = questions
        .map(|question| (apart(question), question))
        .filter(|(apart, _)| *apart > 0)
        .collect();
    telling.sort_by_key(|(apart, _)| std::cmp::Reverse(*apart));
    telling
        .into_iter()
        .take(MOST_QUESTIONS)
        .map(|(_, question)| question)
        .collect()
}

fn look_alikes(library: &Library, class: &FaultClass) -> String {
    let mut text = String::new();
    for other in &class.confused_with {
        text.push_str(&paragraph(&other.because));
        let named = library.class(&other.class).map(|class| {
            let words = format!("Fault class: {}", class.title);
            link(&anchors::class(&class.id), &words, "")
        });
        let asked = library.question(&other.ask).map(|question| {
            let words = format!("Ask: {}", question.ask);
            link(&anchors::question(&question.id), &words, "")
        });
        text.push_str(&links(named.into_iter().chain(asked)));
    }
    match text.as_str() {
        "" => text,
        text => part(None, "Easily taken for it", text),
    }
}

fn shown_as(class: &FaultClass) -> String {
    let mut shown = class.abbreviations.clone();
    let codes = class.standard_codes.iter();
    shown.extend(codes.map(|code| format!("{code}h (CiA 402 / IEC 61800-7-201)")));
    match shown.is_empty() {
        true => String::new(),
        false => labelled("Also shown as", &shown.join(", ")),
    }
}
