//! Search: words to classes, causes, codes, checks and incidents.

use maud::{Markup, html};

use super::super::links::lead;
use super::super::page::{Page, Reply, search_form, whole_document};
use super::super::walk_state::{DRIVE, LONGEST_VALUE, SAID};
use super::Asked;
use super::log::lines;
use crate::plant::{Code, Found as FoundIncident, Store};
use crate::render::found::{Here, answer, next};

/// At most so many hits and incidents.
const HITS: usize = 5;
const INCIDENTS: usize = 3;

pub fn page(asked: &Asked) -> Reply {
    let words = asked.value("words").unwrap_or_default().to_owned();
    let answered = if words.is_empty() {
        html! { p { "Type what the drive shows or does, in your own words." } }
    } else {
        answered(asked, &words)
    };
    if asked.value("part").is_some() {
        return Reply::Part(answered);
    }
    let body = html! {
        h1.unseen { "Search" }
        (search_form(&words, asked.value(DRIVE), false))
        div #found aria-live="polite" { (answered) }
    };
    Page::new(format!("Search: {words}"), body).into()
}

fn answered(asked: &Asked, words: &str) -> Markup {
    let plant = asked.site.plant();
    let look = || plant.searcher.find(words, HITS);
    let Ok(mut found) = plant.found.or_computed(words.to_owned(), look) else {
        return html! { p { "The search can't be used. The fault classes are still there." } };
    };
    let (codes, incidents): (Vec<Code>, Vec<FoundIncident>) = plant
        .read(|store| Ok((store.codes()?, store.search(words, INCIDENTS)?)))
        .ok()
        .flatten()
        .unwrap_or_default();
    let drive = asked.value(DRIVE);
    let library = plant.library;
    let mut here = Here::known(words, drive, &codes, incidents, &mut found);
    let next = next(library, &found, &here).and_then(|command| lead(library, &command));
    // Incidents are links here, so they stand in a list of their own.
    let before: Vec<_> = here.incidents.drain(..).map(|found| found.logged).collect();
    html! {
        @if let Some(way) = next {
            p { a.go.first href=(with_more(&way.address, words, drive)) { (way.name) } }
        }
        (whole_document(library, &answer(library, words, &found, &here)))
        @if !before.is_empty() {
            section aria-labelledby="before" {
                h2 #before { "Found here before" }
                (lines(asked, &before, ""))
            }
        }
    }
}

/// The way to a walk about the drive whose page the search came from, with what was said: the record
/// of the walk begins with it.
fn with_more(address: &str, words: &str, drive: Option<&str>) -> String {
    if !address.starts_with("/walk/") {
        return address.to_owned();
    }
    let (path, query) = address.split_once('?').unwrap_or((address, ""));
    let said: String = words.chars().take(LONGEST_VALUE).collect();
    let mut pairs = form_urlencoded::Serializer::new(query.to_owned());
    if let Some(drive) = drive.filter(|_| !query.contains("drive=")) {
        pairs.append_pair(DRIVE, drive);
    }
    pairs.append_pair(SAID, &said);
    format!("{path}?{}", pairs.finish())
}
