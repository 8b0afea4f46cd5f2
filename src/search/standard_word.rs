//! Offers what a code of an open drive profile in the query means.

use super::hit::{Found, Hit, HitKind};
use super::query::Query;
use crate::knowledge::{FIRST_OF_THE_MAKER, Library};
use crate::standards::{self, Profile, Reading, WordKind};

/// How surely an error code that the profile lists is meant.
const LISTED: f64 = 0.9;
/// How surely a status word with a defined state is meant.
const STATE: f64 = 0.8;
/// How surely a code is meant of which only the group is listed.
const GROUP: f64 = 0.5;

/// Adds what the codes in the query are, behind the hits that the words gave.
pub fn offer(library: &Library, words: &str, query: &Query, limit: usize, found: &mut Found) {
    let marked = query.codes.iter().filter(|(_, sure)| *sure);
    let mut codes: Vec<String> = marked.map(|(code, _)| code.clone()).collect();
    codes.extend(with_base_in_front(words));
    codes.dedup();
    let nothing_else = found.hits.is_empty();
    let mut understood = false;
    let mut of_the_maker = Vec::new();
    for code in &codes {
        let Ok(word) = u16::from_str_radix(code, 16) else {
            continue;
        };
        if word >= FIRST_OF_THE_MAKER {
            understood = true;
            of_the_maker.push(format!(
                "{code}h lies in the range that the profile leaves to the maker: look it up in the drive's own \
                 manual and search here by its meaning."
            ));
            continue;
        }
        let read = |kind| standards::decode(library, Profile::Cia402, kind, word);
        let error = read(WordKind::Error);
        let status = read(WordKind::Status);
        if error.exact {
            say_meaning(&error, found);
        } else if status.means_something() {
            found.hits.push(hit(&status, HitKind::StatusWord, STATE));
        } else if error.means_something() && has_group(library, word) {
            found.hits.push(hit(&error, HitKind::StandardCode, GROUP));
        } else {
            continue;
        }
        understood = true;
    }
    // Unmarked codes that a class carries are among the hits already: they get their meaning too.
    for (code, _) in query.codes.iter().filter(|(_, sure)| !sure) {
        if let Some(listed) = library.error_code(code) {
            for hit in found.hits.iter_mut().filter(|hit| is_hit_of(hit, code)) {
                hit.title = title_of_error(code, &listed.meaning);
            }
        }
    }
    if understood && nothing_else {
        // What would help a query that was not understood is beside the point.
        if words.split_whitespace().count() <= codes.len() {
            found.advice.clear();
            found.ask.clear();
        } else {
            found
                .advice
                .retain(|advice| !advice.starts_with("No fault class"));
        }
    }
    found.advice.extend(of_the_maker);
    make_room(limit, found);
}

/// Keeps to the limit, but for a code not at the cost of what it means: that was asked for by its name.
fn make_room(limit: usize, found: &mut Found) {
    let is_code = |hit: &Hit| matches!(hit.kind, HitKind::StandardCode | HitKind::StatusWord);
    while found.hits.len() > limit {
        let last = found.hits.iter().skip(1).rposition(|hit| !is_code(hit));
        match last {
            Some(place) => drop(found.hits.remove(place + 1)),
            None => found.hits.truncate(limit),
        }
    }
}

/// `16#0237`, as controllers write it; the sign is lost where words are taken apart.
fn with_base_in_front(words: &str) -> impl Iterator<Item = String> {
    words
        .split_whitespace()
        .filter_map(|word| word.strip_prefix("16#"))
        .filter_map(|digits| u16::from_str_radix(digits, 16).ok())
        .map(|value| format!("{value:04X}"))
}

/// Whether the group of an error code is listed: its class alone says too little for a hit.
fn has_group(library: &Library, word: u16) -> bool {
    library
        .error_code(&format!("{:04X}", word & 0xFF00))
        .is_some()
}

fn is_hit_of(hit: &Hit, code: &str) -> bool {
    hit.kind == HitKind::StandardCode && hit.id == code
}

fn title_of_error(code: &str, meaning: &str) -> String {
    format!("Error code {code}h: {meaning}")
}

/// Gives the hit of an error code its meaning, or adds the hit. Where the code alone can't tell which
/// class, it leads to the one that the words found, else to the first that it may stand for.
fn say_meaning(reading: &Reading, found: &mut Found) {
    let own = hit(reading, HitKind::StandardCode, LISTED);
    match found.hits.iter_mut().find(|hit| is_hit_of(hit, &own.id)) {
        Some(known) => known.title = own.title,
        None => {
            let mut known = found.hits.iter().filter_map(|hit| hit.class.as_ref());
            let by_words = known.find(|class| reading.classes.contains(class));
            let class = by_words.or(reading.classes.first()).cloned();
            found.hits.push(Hit {
                class: own.class.or(class),
                ..own
            });
        }
    }
}

fn hit(reading: &Reading, kind: HitKind, score: f64) -> Hit {
    let code = format!("{:04X}", reading.word);
    let says = reading.state.as_deref().unwrap_or_default();
    let title = match kind {
        HitKind::StatusWord => format!("Status word {code}h: {says}"),
        _ if !reading.exact => format!("{} (its group only)", title_of_error(&code, says)),
        _ => title_of_error(&code, says),
    };
    Hit {
        kind,
        // Where the code can't tell which class, none is named.
        class: reading
            .classes
            .first()
            .filter(|_| reading.ask.is_none())
            .cloned(),
        id: code,
        title,
        score,
        why: vec![format!(
            "{}: {}",
            reading.profile.standard(),
            reading.because
        )],
    }
}
