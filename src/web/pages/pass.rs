//! Where the pass phrase for recording is given.

use axum::http::StatusCode;
use maud::{Markup, html};

use super::super::page::{Page, Reply};
use super::super::site::Recording;
use super::{Asked, Posted, value};

pub fn form(asked: &Asked) -> Reply {
    if !asked.visitor.could_record(&asked.site) {
        return Reply::Go("/".to_owned());
    }
    Page::new("Pass phrase", markup(asked, None)).into()
}

fn markup(asked: &Asked, wrong: Option<&str>) -> Markup {
    html! {
        h1 { "Pass phrase" }
        p { "whytrip serve printed it when it was started. It holds for a shift on this phone." }
        @if let Some(wrong) = wrong { p.error #error role="alert" { (wrong) } }
        form.reading action="/pass" method="post" {
            input type="hidden" name="token" value=(asked.visitor.token);
            div.field {
                label for="phrase" { "Pass phrase" }
                input #phrase type="password" name="phrase" maxlength="256" autocomplete="current-password"
                    autocapitalize="none" spellcheck="false";
            }
            button.answer type="submit" { "Open recording" }
        }
    }
}

pub fn give(asked: &Asked, form: &[(String, String)]) -> Posted {
    let refused = |status: StatusCode, text: &str| -> Posted {
        let page = Page::new("Pass phrase", markup(asked, Some(text))).with_status(status);
        Reply::from(page).into()
    };
    let Recording::WithPassPhrase(phrase) = &asked.site.doors().recording else {
        return Reply::Go("/".to_owned()).into();
    };
    if !asked.visitor.sent(value(form, "token").unwrap_or_default()) {
        return refused(
            StatusCode::FORBIDDEN,
            "This form is old. Give the pass phrase once more.",
        );
    }
    let attempts = asked.site.attempts();
    let from = asked.visitor.address;
    if attempts.must_wait(from) {
        return refused(
            StatusCode::TOO_MANY_REQUESTS,
            "Too many attempts. Wait a quarter of an hour, or ask whoever started whytrip serve.",
        );
    }
    attempts.begin(from);
    if !phrase.is(value(form, "phrase").unwrap_or_default()) {
        return refused(StatusCode::FORBIDDEN, "That is not the pass phrase.");
    }
    attempts.forget(from);
    Posted {
        reply: Reply::Go("/log/new".to_owned()),
        cookie: asked.visitor.recorder_cookie(&asked.site),
    }
}
