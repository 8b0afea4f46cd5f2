//! The plant's log: the newest incidents, those with certain words, and one incident.

use maud::{Markup, html};

use super::super::links::escaped;
use super::super::page::{Page, Reply, log_failed, missing, whole_document};
use super::Asked;
use crate::plant::{Filter, Logged, SAME_FAULT_DAYS, Store, StoreError, Which, same_fault_before};
use crate::render::log as render;

/// Most incidents on a page.
const SHOWN: usize = 50;
/// Incidents as lines that lead to them.
pub fn lines(asked: &Asked, incidents: &[Logged], none: &str) -> Markup {
    let library = asked.site.plant().library;
    html! {
        @if incidents.is_empty() { p { (none) } }
        @else {
            ul.ways {
                @for logged in incidents {
                    li { a.go href={ "/log/" (logged.number) } { (render::line_words(library, logged)) } }
                }
            }
        }
    }
}

pub fn all(asked: &Asked) -> Reply {
    let words = asked.value("words").unwrap_or_default();
    let read = asked.site.plant().read(|store| {
        if words.is_empty() {
            return store.incidents(&Filter {
                limit: SHOWN,
                ..Filter::default()
            });
        }
        let found = store.search(words, SHOWN)?;
        Ok(found.into_iter().map(|found| found.logged).collect())
    });
    let incidents = match read {
        Ok(incidents) => incidents.unwrap_or_default(),
        Err(error) => return log_failed(&error).into(),
    };
    let none = match words.is_empty() {
        true => "The log is empty.",
        false => "No incident in the log matches these words.",
    };
    let body = html! {
        h1 { "Log" }
        form.search action="/log" method="get" role="search" {
            label for="words" { "Search the log" }
            div.with-button {
                input #words type="search" name="words" value=(words) maxlength="2000" autocomplete="off" autocapitalize="none";
                button type="submit" { "Search" }
            }
        }
        (lines(asked, &incidents, none))
        @if incidents.len() == SHOWN { p.quiet { "The newest " (SHOWN) " are shown." } }
    };
    Page::new("Log", body).into()
}

pub fn page(asked: &Asked) -> Reply {
    let plant = asked.site.plant();
    let Ok(which) = asked.name.parse::<Which>() else {
        return no_incident(&asked.name);
    };
    let found = plant.read(|store| {
        let logged = store.incident(&which)?;
        let revisions = match logged.incident.revision {
            1 => Vec::new(),
            _ => store.revisions(&which)?,
        };
        let before = same_fault_before(store, &logged.incident, SAME_FAULT_DAYS)?;
        Ok((logged, revisions, before))
    });
    let (logged, revisions, before) = match found {
        Ok(Some(found)) => found,
        Ok(None) | Err(StoreError::NotFound { .. } | StoreError::Ambiguous { .. }) => {
            return no_incident(&asked.name);
        }
        Err(error) => return log_failed(&error).into(),
    };
    let library = plant.library;
    let incident = &logged.incident;
    let mut sheet = render::sheet(library, &logged);
    if !before.is_empty() {
        sheet.append(render::same_fault(
            library,
            incident,
            &before,
            SAME_FAULT_DAYS,
        ));
    }
    sheet.append(render::history(&revisions));
    let title = format!("Incident {}", logged.number);
    let body = html! {
        @if asked.value("saved").is_some() {
            p.done role="status" { "Saved. It is incident " (logged.number) " of the log." }
        }
        (whole_document(library, &sheet))
        @if !incident.attachments.is_empty() {
            h2 { "Attachments" }
            ul.ways {
                @for path in &incident.attachments {
                    @let address: String = path.split('/').map(escaped).collect::<Vec<_>>().join("/");
                    li { a.go href={ "/attachment/" (address) } { (path) } }
                }
            }
        }
        @if let Some(drive) = &incident.drive {
            p { a.go href={ "/drive/" (escaped(drive)) } { "Drive " (drive) } }
        }
        @if let Some(class) = incident.class.as_deref().and_then(|id| library.class(id)) {
            p { a.go href={ "/show/" (escaped(&class.id)) } { (class.title) } }
        }
        @if !incident.walk.is_empty() && let Some(class) = &incident.class {
            p { a.go href=(walk_again(class, &logged)) { "Look at this walk again, under today's knowledge" } }
        }
    };
    Page::new(title, body).into()
}

/// The address of a logged walk.
fn walk_again(class: &str, logged: &Logged) -> String {
    let incident = &logged.incident;
    let drive = incident.drive.as_deref().map(|drive| ("drive", drive));
    let steps = incident.walk.steps.iter();
    let query = form_urlencoded::Serializer::new(String::new())
        .extend_pairs(drive)
        .extend_pairs(steps.map(|step| (step.question.as_str(), step.answer.as_str())))
        .finish();
    format!("/walk/{}?{query}", escaped(class))
}

fn no_incident(name: &str) -> Reply {
    let all = Some(("/log".to_owned(), "The log".to_owned()));
    missing(&format!("There is no incident \"{name}\""), all).into()
}
