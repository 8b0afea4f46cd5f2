//! The walk: one question a page, its state in the address.

mod field;
mod front;
mod walked;

use super::super::links::escaped;
use super::super::page::{Page, Reply, missing};
use super::super::walk_state::{StateError, WalkState};
use super::Asked;
use crate::knowledge::FaultClass;

pub use field::field;
use front::Front;
pub use walked::{Known, walked};

pub fn page(asked: &Asked) -> Reply {
    let plant = asked.site.plant();
    let Some(class) = plant.library.class(&asked.name) else {
        let near = plant.library.nearest_class(&asked.name);
        let near = near.map(|near| (format!("/walk/{}", escaped(near)), near.to_owned()));
        return missing(&format!("There is no fault class \"{}\"", asked.name), near).into();
    };
    let state = match WalkState::parse(&asked.query) {
        Ok(state) => state,
        Err(StateError::TooLong) => {
            return missing(
                "This address is longer than any walk",
                Some((format!("/walk/{}", class.id), class.title.clone())),
            )
            .into();
        }
    };
    match kept_or_made(asked, class, &state) {
        Ok(page) => page.into(),
        Err(error) => missing(&format!("The walk can't be computed: {error}"), None).into(),
    }
}

/// The page, as it was made before if everything that it follows from is the same.
fn kept_or_made(
    asked: &Asked,
    class: &'static FaultClass,
    state: &WalkState,
) -> Result<Page, String> {
    let plant = asked.site.plant();
    let known = Known::of(plant, class, state.drive.as_deref());
    let key = format!("{}\n{known:?}", state.address(&class.id));
    if let Some(page) = plant.pages.get(&key) {
        return Ok(page);
    }
    let walked = walked(plant.library, class, known, state)?;
    let front = Front {
        asked,
        class,
        state,
    };
    let (page, is_for_all) = front.show(&walked)?;
    if is_for_all {
        plant.pages.keep(key, &page);
    }
    Ok(page)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::builtin;
    use crate::diagnosis::case::Case;
    use crate::diagnosis::record::nameplate_input;
    use crate::knowledge::{Access, Library};
    use crate::web::plant::Plant;
    use crate::web::site::{Doors, Site};
    use crate::web::visit::Visitor;
    use jiff::Timestamp;
    use jiff::tz::TimeZone;
    use proptest::prelude::*;
    use std::net::{IpAddr, Ipv4Addr};
    use std::sync::OnceLock;

    fn site() -> &'static Site {
        static SITE: OnceLock<Site> = OnceLock::new();
        SITE.get_or_init(|| {
            let library: &'static Library =
                Box::leak(Box::new(builtin::knowledge().expect("the knowledge opens")));
            let searcher = builtin::searcher(library).expect("the index opens");
            let nowhere = std::env::temp_dir().join("no-log-is-here");
            let clock = || Timestamp::UNIX_EPOCH;
            let plant = Plant::new(library, searcher, nowhere, clock, TimeZone::UTC);
            Site::new(plant, Doors::default())
        })
    }

    fn asked(class: &str, query: &str) -> Asked {
        let here = IpAddr::from(Ipv4Addr::LOCALHOST);
        let visitor = Visitor::read(site(), &Default::default(), here).expect("randomness");
        Asked {
            site: site().clone(),
            visitor,
            name: class.to_owned(),
            query: query.to_owned(),
            pairs: Vec::new(),
        }
    }

    fn text(class: &str, query: &str) -> String {
        match page(&asked(class, query)) {
            Reply::Page(page) => page.body.into_string(),
            Reply::Go(address) => address,
            Reply::Part(part) => part.into_string(),
        }
    }

    #[test]
    fn no_id_of_the_knowledge_is_a_word_of_the_address() {
        let library = site().plant().library;
        for word in crate::web::walk_state::RESERVED {
            assert!(library.question(word).is_none(), "{word}");
            assert!(library.cause(word).is_none(), "{word}");
            assert!(nameplate_input(word).is_none(), "{word}");
        }
    }

    #[test]
    fn every_caution_stands_above_the_answers() {
        let library = site().plant().library;
        let mut seen = std::collections::BTreeSet::new();
        for class in library.classes() {
            let case = Case::compile(library, class, Default::default()).expect("a model");
            let questions = case.questions.iter().map(|one| (&one.id, &one.cautions));
            let causes = case.causes.iter().map(|one| (&one.id, &one.cautions));
            let all = questions.chain(causes);
            for (id, cautions) in all.filter(|(id, _)| seen.insert((*id).clone())) {
                let shown = text(&class.id, &format!("again={id}&may=live&may=isolated"));
                let (above, _) = shown
                    .split_once("<button")
                    .unwrap_or_else(|| panic!("{id} has no answer"));
                for caution in cautions {
                    let caution = library.caution(caution).expect("a caution");
                    let words = crate::render::html::escaped(&caution.text);
                    assert!(
                        above.contains(&words),
                        "{}: {id} lacks {}",
                        class.id,
                        caution.id
                    );
                }
            }
        }
    }

    #[test]
    fn a_question_asked_again_needs_leave_like_any_other() {
        let library = site().plant().library;
        let mut asked = 0;
        for class in library.classes().take(10) {
            let case = Case::compile(library, class, Default::default()).expect("a model");
            for question in &case.questions {
                if matches!(question.access, Access::Live | Access::Isolated) {
                    let shown = text(&class.id, &format!("again={}", question.id));
                    let leave = crate::render::walk::access_question(question.access);
                    assert!(shown.contains(leave), "{}: {}", class.id, question.id);
                    let again = format!("name=\"again\" value=\"{}\"", question.id);
                    assert!(shown.contains(&again), "{}: {}", class.id, question.id);
                    asked += 1;
                }
            }
        }
        assert!(asked > 0);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(60))]

        /// Whatever an address says of a class, a page comes.
        #[test]
        fn any_address_is_a_page(
            class in 0usize..70,
            facts in prop::collection::vec((0usize..500, 0usize..12, "[ -~]{0,12}"), 0..8),
            noise in ".{0,60}",
        ) {
            let library = site().plant().library;
            let class = library.classes().nth(class).expect("seventy classes");
            let case = Case::compile(library, class, Default::default()).expect("a model");
            let mut query = form_urlencoded::Serializer::new(String::new());
            for (question, finding, typed) in &facts {
                let index = question % case.questions.len();
                let question = case.questions[index];
                let value = match question.findings.get(*finding) {
                    Some(found) => found.id.as_str(),
                    None => typed.as_str(),
                };
                query.append_pair(&question.id, value);
            }
            let query = format!("{}&{noise}", query.finish());
            let shown = text(&class.id, &query);
            prop_assert!(shown.contains("<h1"), "{}", shown);
        }
    }
}
