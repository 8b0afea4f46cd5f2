//! The first page: one question.

use maud::html;

use super::super::page::{Page, Reply, search_form};
use super::Asked;

pub fn page(_: &Asked) -> Reply {
    let body = html! {
        (search_form("", None, true))
        p.quiet { "In your own words; typing mistakes are understood. Or take one of these:" }
        ul.ways {
            li { a.go href="/show" { "All fault classes" } }
            li { a.go href="/drive" { "Our drives" } }
            li { a.go href="/check" { "Compute what a reading should be" } }
            li { a.go href="/decode" { "Decode a status word or an error code" } }
            li { a.go href="/log" { "What happened here before" } }
        }
    };
    Page::new("What does the drive show?", body).into()
}
