//! The plant's drives: nameplate, what should read, what happened, and the way into a walk.

use std::collections::BTreeMap;

use maud::html;

use super::super::links::escaped;
use super::super::page::{Page, Reply, document, log_failed, missing};
use super::{Asked, log};
use crate::checks::{self, Given};
use crate::diagnosis::record::nameplate_input;
use crate::plant::{Drive, Filter, Status, Store};
use crate::render::{drive as render, sheet};

/// Most incidents that a drive's page shows.
const INCIDENTS: usize = 20;

pub fn all(asked: &Asked) -> Reply {
    let drives = match asked.site.plant().read(Store::drives) {
        Ok(drives) => drives.unwrap_or_default(),
        Err(error) => return log_failed(&error).into(),
    };
    let body = html! {
        h1 { "Drives" }
        @if drives.is_empty() {
            p { "The register has no drives yet. Enter them with: " code { "whytrip drive add" } }
        }
        ul.ways {
            @for drive in &drives {
                li { a.go href={ "/drive/" (escaped(&drive.id)) } { (drive.id) " " span.quiet { (about(drive)) } } }
            }
        }
    };
    Page::new("Drives", body).into()
}

fn about(drive: &Drive) -> String {
    [&drive.name, &drive.place]
        .into_iter()
        .filter(|text| !text.is_empty())
        .cloned()
        .collect::<Vec<_>>()
        .join(", ")
}

pub fn page(asked: &Asked) -> Reply {
    let plant = asked.site.plant();
    let id = asked.name.as_str();
    let found = plant.read(|store| {
        let Some(drive) = store.drive(id)? else {
            return Ok(None);
        };
        let incidents = store.incidents(&Filter {
            drive: Some(drive.id.clone()),
            limit: INCIDENTS,
            ..Filter::default()
        })?;
        Ok(Some((drive, incidents)))
    });
    let (drive, incidents) = match found {
        Ok(Some(Some(found))) => found,
        Ok(_) => {
            let all = Some(("/drive".to_owned(), "All drives".to_owned()));
            return missing(&format!("There is no drive \"{id}\" in the register"), all).into();
        }
        Err(error) => return log_failed(&error).into(),
    };
    let known: BTreeMap<String, Given> = drive
        .nameplate
        .iter()
        .filter_map(|(name, typed)| {
            let given = checks::read_nameplate(nameplate_input(name)?, typed).ok()?;
            Some((name.clone(), given))
        })
        .collect();
    let mut expected = sheet::sheet(None, &known, &sheet::results(&known));
    expected.blocks.remove(0);
    let (open, past): (Vec<_>, Vec<_>) = incidents
        .into_iter()
        .partition(|logged| logged.incident.status != Status::Confirmed);
    let title = if drive.name.is_empty() {
        &drive.id
    } else {
        &drive.name
    };
    let mut nameplate = render::drive(&drive);
    nameplate.blocks.remove(0);
    let body = html! {
        h1 { (title) }
        form.search action="/find" method="get" role="search" {
            label for="words" { "What does it show, or what is it doing?" }
            div.with-button {
                input type="hidden" name="drive" value=(drive.id);
                input #words type="search" name="words" maxlength="2000" autocomplete="off" autocapitalize="none";
                button type="submit" { "Search" }
            }
        }
        p { a.go href={ "/drive/" (escaped(&drive.id)) "?walk=1" } { "Start a walk: choose what it shows" } }
        @if asked.value("walk").is_some() {
            ul.ways {
                @for class in plant.library.classes() {
                    li { a.go href={ "/walk/" (escaped(&class.id)) "?drive=" (escaped(&drive.id)) } { (class.title) } }
                }
            }
        }
        section aria-labelledby="open" {
            h2 #open { "Open incidents" }
            (log::lines(asked, &open, "None."))
        }
        section aria-labelledby="past" {
            h2 #past { "Past incidents" }
            (log::lines(asked, &past, "None in the log."))
        }
        (document(plant.library, &nameplate))
        section aria-labelledby="expected" {
            h2 #expected { "What should read" }
            @if known.is_empty() {
                p { "The nameplate holds nothing that a check could use yet." }
            } @else {
                (document(plant.library, &expected))
            }
        }
    };
    Page::new(title, body).into()
}
