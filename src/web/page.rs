//! The frame of every page, and the pieces that pages share.

use axum::http::StatusCode;
use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::links;
use super::site::Site;
use super::visit::Visitor;
use super::walk_state::DRIVE;
use crate::knowledge::Library;
use crate::plant::StoreError;
use crate::render::doc::Document;
use crate::render::html::fragment;

/// What a page's address gives back.
pub enum Reply {
    /// A page.
    Page(Page),
    /// Look there.
    Go(String),
    /// Only a part of a page, for a script that puts it in.
    Part(Markup),
}

/// A page.
#[derive(Clone, Debug)]
pub struct Page {
    /// How the request went.
    pub status: StatusCode,
    /// What the page is called.
    pub title: String,
    /// What stands in it.
    pub body: Markup,
}

impl Page {
    /// A page that went well.
    pub fn new(title: impl Into<String>, body: Markup) -> Page {
        Page {
            status: StatusCode::OK,
            title: title.into(),
            body,
        }
    }

    /// The same page with another status.
    #[must_use]
    pub fn with_status(mut self, status: StatusCode) -> Page {
        self.status = status;
        self
    }
}

impl From<Page> for Reply {
    fn from(page: Page) -> Reply {
        Reply::Page(page)
    }
}

/// A page that says what is wrong and what to do next.
pub fn wrong(status: StatusCode, what: &str, next: &str, way: Option<(&str, &str)>) -> Page {
    let body = html! {
        h1 { (what) }
        p { (next) }
        @if let Some((address, name)) = way {
            p { a.go href=(address) { (name) } }
        }
    };
    Page::new(what, body).with_status(status)
}

/// There is no such page.
pub fn missing(what: &str, near: Option<(String, String)>) -> Page {
    let way = near
        .as_ref()
        .map(|(address, name)| (address.as_str(), name.as_str()));
    let next = match way {
        Some(_) => "Perhaps this was meant:",
        None => "Search for it, or look through the fault classes.",
    };
    wrong(
        StatusCode::NOT_FOUND,
        what,
        next,
        way.or(Some(("/show", "All fault classes"))),
    )
}

/// The log can't be used.
pub fn log_failed(error: &StoreError) -> Page {
    wrong(
        StatusCode::SERVICE_UNAVAILABLE,
        "The log can't be read",
        &format!("{error}. Next: {}", error.next_step()),
        Some(("/", "Search without the log")),
    )
}

/// A document as a part of a page, its ids and commands as links, its headings one level deeper.
pub fn document(library: &Library, document: &Document) -> Markup {
    PreEscaped(fragment(document, &|text| links::lead(library, text), 1))
}

/// A document whose first heading is the page's own.
pub fn whole_document(library: &Library, document: &Document) -> Markup {
    PreEscaped(fragment(document, &|text| links::lead(library, text), 0))
}

/// The search field; a drive that the search is about stays it in the next one.
pub fn search_form(words: &str, drive: Option<&str>, is_main: bool) -> Markup {
    html! {
        form.search action="/find" method="get" role="search" {
            @if let Some(drive) = drive {
                input type="hidden" name=(DRIVE) value=(drive);
                p { "About drive " (drive) }
            }
            label for="words" {
                @if is_main { h1 { "What does the drive show, or what is it doing?" } }
                @else { "What does the drive show, or what is it doing?" }
            }
            div.with-button {
                input #words type="search" name="words" value=(words) maxlength="2000"
                    autocomplete="off" autocapitalize="none" enterkeyhint="search"
                    autofocus[is_main];
                button type="submit" { "Search" }
            }
        }
    }
}

/// The whole page as HTML.
pub fn write(site: &Site, visitor: &Visitor, page: &Page) -> String {
    let records = visitor.may_record(site);
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width,initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (page.title) " – whytrip" }
                link rel="icon" href="data:,";
                link rel="stylesheet" href="/look.css";
                script src="/comfort.js" defer {}
            }
            body {
                a.skip href="#main" { "To the content" }
                header {
                    nav aria-label="Pages" {
                        a href="/" { "Search" }
                        a href="/show" { "Classes" }
                        a href="/check" { "Checks" }
                        a href="/drive" { "Drives" }
                        a href="/log" { "Log" }
                    }
                }
                main #main tabindex="-1" { (page.body) }
                footer {
                    p { "Live and isolated steps are for qualified persons under the local rules." }
                    @if records {
                        p { a href="/log/new" { "Record an incident" } }
                    } @else if visitor.could_record(site) {
                        p { a href="/pass" { "Give the pass phrase to record" } }
                    } @else {
                        p { "Recording is off here: pages are only read." }
                    }
                }
            }
        }
    }
    .into_string()
}
