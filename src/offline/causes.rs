//! The causes: mechanism, what speaks for it, how it is confirmed, put right and proved.

use std::collections::BTreeMap;

use super::anchors;
use super::markup::escaped;
use super::markup::{
    aside, cautions, chapter as chapter_of, effort, group, heading, item, labelled, letter, list,
    paragraph,
};
use crate::knowledge::{Cause, Level, Library};

/// A finding speaks for a cause if no more than this share of drives shows it anyway (common
/// practice, no source).
const SELDOM: f64 = 0.3;
/// Most findings that are told.
const MOST_SIGNS: usize = 2;

/// The chapter.
pub fn chapter(library: &Library) -> String {
    let mut by_letter: BTreeMap<char, Vec<&Cause>> = BTreeMap::new();
    for cause in library.causes() {
        by_letter
            .entry(letter(&cause.name))
            .or_default()
            .push(cause);
    }
    let mut body = String::new();
    for (letter, causes) in &mut by_letter {
        causes.sort_by_key(|cause| cause.name.to_lowercase());
        body.push_str(&group(&letter.to_string()));
        for cause in causes {
            let anchor = anchors::cause(&cause.id);
            body.push_str(&item(&anchor, &cause.name, &text(library, cause)));
        }
    }
    chapter_of("causes", "Causes", &body)
}

fn text(library: &Library, cause: &Cause) -> String {
    let mut text = paragraph(&cause.what);
    let signs = signs(library, cause);
    if !signs.is_empty() {
        text.push_str(&heading("What speaks for it"));
        text.push_str(&signs);
    }
    text.push_str(&heading("Confirm"));
    text.push_str(&cautions(library, &cause.cautions));
    text.push_str(&effort(cause.confirm.minutes, cause.confirm.access));
    text.push_str(&paragraph(&cause.confirm.how));
    text.push_str(&labelled("Put right", &cause.put_right));
    text.push_str(&labelled("Prove", &cause.prove));
    if let Some(fails_with) = &cause.fails_with {
        text.push_str(&labelled("Fails with it", fails_with));
    }
    text
}

/// The findings that tell most: such a cause makes them, and few other drives show them.
fn signs(library: &Library, cause: &Cause) -> String {
    let mut telling: Vec<(f64, String)> = cause
        .signs
        .iter()
        .filter(|sign| matches!(sign.level, Level::Always | Level::Usually))
        .filter_map(|sign| {
            let question = library.question(&sign.question)?;
            let finding = question.findings.iter().find(|f| f.id == sign.finding)?;
            let told = format!(
                "{} {}",
                escaped(&finding.text),
                aside(&format!("({})", question.ask))
            );
            (finding.base <= SELDOM).then_some((finding.base, told))
        })
        .collect();
    telling.sort_by(|one, other| one.0.total_cmp(&other.0));
    list(
        "",
        telling.into_iter().take(MOST_SIGNS).map(|(_, told)| told),
    )
}
