//! Recording an incident: one form, one save; a second tap on it saves nothing twice.

use axum::http::StatusCode;
use maud::{Markup, html};
use ulid::Ulid;

use super::super::page::{Page, Reply, log_failed};
use super::super::walk_state::{Proof, WalkState};
use super::walk::{Known, walked};
use super::{Asked, Posted, value};
use crate::knowledge::FaultClass;
use crate::plant::{Coding, Entry, Incident, ScalarText, Store, StoreError, Which, from_walk};

/// The fields that people fill in: name, label, whether it may be long.
const FIELDS: [(&str, &str, bool); 7] = [
    ("words", "What was seen, in your words", true),
    ("display", "What the drive showed", false),
    ("drive", "Which drive", false),
    ("done", "What was done", true),
    ("parts", "Parts used", false),
    ("notes", "Anything else", true),
    ("who", "Initials", false),
];

/// An empty form, or the hint that recording is closed.
pub fn form(asked: &Asked) -> Reply {
    if !asked.visitor.may_record(&asked.site) {
        return closed(asked);
    }
    let given: Vec<(String, String)> = asked.pairs.clone();
    page(asked, &given, None).into()
}

fn closed(asked: &Asked) -> Reply {
    match asked.visitor.could_record(&asked.site) {
        true => Reply::Go("/pass".to_owned()),
        false => Page::new("Recording is off", html! {
            h1 { "Recording is off here" }
            p { "These pages are only read. At the machine that serves them, whytrip log add records an incident." }
        })
        .with_status(StatusCode::FORBIDDEN)
        .into(),
    }
}

/// The form below a walk's verdict.
pub fn of_walk(asked: &Asked, class: &FaultClass, state: &WalkState, proved: bool) -> Markup {
    if !asked.visitor.may_record(&asked.site) {
        return html! {
            section aria-labelledby="record" {
                h2 #record { "Record it" }
                @if asked.visitor.could_record(&asked.site) {
                    p { a.go href="/pass" { "Give the pass phrase to record" } }
                    p { "Then come back to this page; its address holds the walk." }
                } @else {
                    p { "Recording is off here. Send this page's address to whoever keeps the log, or read it off:" }
                    p { code { "whytrip walk --resume" } " at the machine, or the answers above." }
                }
            }
        };
    }
    let mut given: Vec<(String, String)> = vec![
        ("class".to_owned(), class.id.clone()),
        (
            "walk".to_owned(),
            state
                .at_rest()
                .address(&class.id)
                .split_once('?')
                .map(|(_, query)| query.to_owned())
                .unwrap_or_default(),
        ),
    ];
    given.extend(
        state
            .drive
            .iter()
            .map(|drive| ("drive".to_owned(), drive.clone())),
    );
    given.extend(
        state
            .said
            .iter()
            .map(|said| ("words".to_owned(), said.clone())),
    );
    if proved {
        given.push(("proved".to_owned(), "yes".to_owned()));
    }
    html! {
        section aria-labelledby="record" {
            h2 #record { "Record it in the log" }
            (fields(asked, &given))
        }
    }
}

fn page(asked: &Asked, given: &[(String, String)], wrong: Option<&str>) -> Page {
    let class = value(given, "class").and_then(|id| asked.site.plant().library.class(id));
    Page::new(
        "Record an incident",
        html! {
            h1 { "Record an incident" }
            @if let Some(class) = class { p { (class.title) } }
            @if let Some(wrong) = wrong { p.error #error role="alert" { (wrong) } }
            (fields(asked, given))
        },
    )
}

/// The form with what was given already.
fn fields(asked: &Asked, given: &[(String, String)]) -> Markup {
    let of = |name: &str| value(given, name).unwrap_or_default();
    // The incident's id is handed out with the form, so that one form is one incident.
    let birth = match of("id").parse::<Ulid>() {
        Ok(id) => id.to_string(),
        Err(_) => asked.site.plant().new_id().to_string(),
    };
    let library = asked.site.plant().library;
    html! {
        form.reading action="/log" method="post" {
            input type="hidden" name="token" value=(asked.visitor.token);
            input type="hidden" name="id" value=(birth);
            @for name in ["walk", "proved"] {
                @if !of(name).is_empty() { input type="hidden" name=(name) value=(of(name)); }
            }
            @if of("walk").is_empty() {
                div.field {
                    label for="class" { "Fault class" }
                    select #class name="class" {
                        option value="" { "Not known" }
                        @for class in library.classes() {
                            option value=(class.id) selected[class.id == of("class")] { (class.title) }
                        }
                    }
                }
                div.field {
                    label for="cause_note" { "The cause, in words" }
                    input #cause_note type="text" name="cause_note" value=(of("cause_note")) maxlength="500";
                }
            } @else {
                input type="hidden" name="class" value=(of("class"));
            }
            @for (name, label, is_long) in FIELDS {
                div.field {
                    label for=(name) { (label) }
                    @if is_long {
                        textarea id=(name) name=(name) rows="3" maxlength="4000" { (of(name)) }
                    } @else {
                        input id=(name) type="text" name=(name) value=(of(name)) maxlength="500" autocomplete="off";
                    }
                }
            }
            button.answer type="submit" { "Save" }
        }
    }
}

/// Saves an incident and leads to it.
pub fn save(asked: &Asked, form: &[(String, String)]) -> Posted {
    let again = |status: StatusCode, wrong: &str| -> Posted {
        Reply::from(page(asked, form, Some(wrong)).with_status(status)).into()
    };
    if !asked.visitor.may_record(&asked.site) {
        return again(
            StatusCode::FORBIDDEN,
            "Recording is not open for this browser. Nothing was saved; what you typed is still here.",
        );
    }
    if !asked.visitor.sent(value(form, "token").unwrap_or_default()) {
        return again(
            StatusCode::FORBIDDEN,
            "This form is old, or whytrip was started anew since. Nothing was saved yet: look at it and save once more.",
        );
    }
    let Some(id) = value(form, "id").and_then(|id| id.parse::<Ulid>().ok()) else {
        return again(
            StatusCode::BAD_REQUEST,
            "The form is damaged. Save once more.",
        );
    };
    let plant = asked.site.plant();
    let incident = match incident(asked, form, id) {
        Ok(incident) => incident,
        Err(reason) => return again(StatusCode::UNPROCESSABLE_ENTITY, &reason),
    };
    let mut store = match plant.store() {
        Ok(store) => store,
        Err(error) => return not_saved(&error),
    };
    let seen = |store: &dyn Store| {
        let known = store.incident(&Which::Id(id.to_string()));
        known.ok().map(|logged| logged.number)
    };
    if let Some(number) = seen(&store) {
        return Reply::Go(format!("/log/{number}?saved=1")).into();
    }
    match store.add_incident(&incident) {
        Ok(added) => Reply::Go(format!("/log/{}?saved=1", added.number)).into(),
        // Two taps at once: the other one was faster.
        Err(error) => match seen(&store) {
            Some(number) => Reply::Go(format!("/log/{number}?saved=1")).into(),
            None => not_saved(&error),
        },
    }
}

fn not_saved(error: &StoreError) -> Posted {
    let mut page = log_failed(error);
    page.body = html! {
        (page.body)
        p { "Nothing was saved. Go back: what you typed is still in the form." }
    };
    Reply::from(page).into()
}

/// The incident that a form tells.
fn incident(asked: &Asked, form: &[(String, String)], id: Ulid) -> Result<Incident, String> {
    let plant = asked.site.plant();
    let text = |name: &str| value(form, name).map(str::to_owned);
    let class_id = text("class");
    let class = match &class_id {
        Some(id) => Some(
            plant
                .library
                .class(id)
                .ok_or_else(|| format!("There is no fault class \"{id}\"."))?,
        ),
        None => None,
    };
    let told = Entry {
        words: text("words"),
        display: text("display").map(ScalarText),
        drive: text("drive"),
        cause_note: text("cause_note"),
        done: text("done"),
        parts: text("parts"),
        notes: text("notes"),
        who: text("who"),
        ..Entry::default()
    };
    let birth = plant.birth_of(id);
    match (class, value(form, "walk")) {
        (Some(class), Some(query)) => {
            let state = WalkState::parse(query).map_err(|error| error.to_string())?;
            let known = Known::of(plant, class, state.drive.as_deref());
            let walk = walked(plant.library, class, known, &state)?.walk;
            let proved = text("proved").is_some() && state.proof == Some(Proof::Passed);
            from_walk(&walk, proved, told, &birth).map_err(|error| error.to_string())
        }
        (class, _) => {
            let coding = class.map(|class| Coding::proposed(&class.coding, None));
            let entry = Entry {
                class: class_id,
                coding: coding.unwrap_or_default(),
                ..told
            };
            Incident::from_entry(&birth, entry).map_err(|error| {
                format!("{error}. Say at least what was seen, or choose a fault class.")
            })
        }
    }
}
