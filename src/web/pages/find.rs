//! Search: words to classes, causes, codes, checks and incidents.

use maud::{Markup, html};

use super::super::page::{Page, Reply, document, search_form};
use super::Asked;
use crate::plant::{Code, Found as FoundIncident, Store};
use crate::render::found::{Here, answer};

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
        (search_form(&words, false))
        div #found aria-live="polite" { (answered) }
    };
    Page::new(format!("Search: {words}"), body).into()
}

fn answered(asked: &Asked, words: &str) -> Markup {
    let plant = asked.site.plant();
    let Ok(mut found) = plant.searcher.find(words, HITS) else {
        return html! { p { "The search can't be used. The fault classes are still there." } };
    };
    let (codes, incidents): (Vec<Code>, Vec<FoundIncident>) = plant
        .read(|store| Ok((store.codes()?, store.search(words, INCIDENTS)?)))
        .ok()
        .flatten()
        .unwrap_or_default();
    let drive = asked.value("drive");
    let here = Here::known(words, drive, &codes, incidents, &mut found);
    document(plant.library, &answer(plant.library, words, &found, &here))
}
