//! Status words, control words and error codes of the open drive profiles.

use maud::html;

use super::super::page::{Page, Reply, document};
use super::Asked;
use crate::render::decode::{Decoded, answer};
use crate::standards::{Profile, typed};

pub fn page(asked: &Asked) -> Reply {
    let library = asked.site.plant().library;
    let words = asked.value("word").unwrap_or_default();
    let profile = match asked.value("profile") {
        Some("profidrive") => Profile::Profile3,
        _ => Profile::Cia402,
    };
    let read = (!words.is_empty()).then(|| typed::read(words));
    let body = html! {
        h1 { "Decode a word or a code" }
        form action="/decode" method="get" {
            label for="word" { "Status word, control word or error code, such as status 0237h or error 3210h" }
            input #word type="text" name="word" value=(words) maxlength="200" autocomplete="off"
                autocapitalize="none";
            fieldset {
                legend { "Drive profile" }
                @for (value, name, is_on) in [
                    ("cia402", "CiA 402 (IEC 61800-7-201)", profile == Profile::Cia402),
                    ("profidrive", "PROFIdrive (IEC 61800-7-203)", profile == Profile::Profile3),
                ] {
                    label.choice { input type="radio" name="profile" value=(value) checked[is_on]; (name) }
                }
            }
            button type="submit" { "Decode" }
        }
        @if let Some(read) = read {
            @if let Some(error) = &read.error {
                p.error role="alert" { (error) ". " (error.remedy()) }
            }
            @for word in Decoded::of(library, profile, read.words) {
                section { (document(library, &answer(library, &word))) }
            }
        }
    };
    Page::new("Decode", body).into()
}
