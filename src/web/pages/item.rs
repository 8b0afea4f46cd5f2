//! An item of the knowledge: class, cause, question, caution, source; and a class's whole tree.

use maud::{PreEscaped, html};

use super::super::kept::case_key;
use super::super::links::escaped;
use super::super::page::{Page, Reply, document, missing, whole_document};
use super::Asked;
use crate::checks;
use crate::diagnosis::case::Case;
use crate::diagnosis::situation::Situation;
use crate::diagnosis::tree::{REACH_TEXT, compile};
use crate::render::{item, learned, tree as render};

pub fn all(asked: &Asked) -> Reply {
    let library = asked.site.plant().library;
    let body = html! {
        h1 { "Fault classes" }
        ul.ways {
            @for class in library.classes() {
                li { a.go href={ "/show/" (escaped(&class.id)) } { (class.title) } }
            }
        }
    };
    Page::new("Fault classes", body).into()
}

pub fn page(asked: &Asked) -> Reply {
    let plant = asked.site.plant();
    let library = plant.library;
    let id = asked.name.as_str();
    if let Some(class) = library.class(id) {
        let history = plant.histories(None).remove(id).unwrap_or_default();
        let moved = Case::compile(library, class, history)
            .map(|case| learned::moves(&case))
            .unwrap_or_default();
        let body = html! {
            (whole_document(library, &item::class(library, class)))
            (document(library, &moved))
            p { a.go href={ "/tree/" (escaped(id)) } { "The whole decision tree, to print" } }
        };
        return Page::new(&class.title, body).into();
    }
    let (title, shown) = if let Some(cause) = library.cause(id) {
        (cause.name.clone(), item::cause(library, cause))
    } else if let Some(question) = library.question(id) {
        (question.ask.clone(), item::question(library, question))
    } else if let Some(caution) = library.caution(id) {
        (id.to_owned(), item::caution(caution))
    } else if let Some(reference) = library.reference(id) {
        (id.to_owned(), item::reference(reference))
    } else if checks::find(id).is_some() {
        return Reply::Go(format!("/check/{id}"));
    } else {
        let near = library
            .nearest_id(id)
            .map(|near| (format!("/show/{}", escaped(near)), near.to_owned()));
        return missing(&format!("There is nothing called \"{id}\""), near).into();
    };
    let body = html! {
        (whole_document(library, &shown))
        @if checks::find(id).is_some() {
            p { a.go href={ "/check/" (id) } { "The check of the same name" } }
        }
    };
    Page::new(title, body).into()
}

pub fn tree(asked: &Asked) -> Reply {
    let plant = asked.site.plant();
    let library = plant.library;
    let Some(class) = library.class(&asked.name) else {
        let near = library
            .nearest_class(&asked.name)
            .map(|near| (format!("/tree/{}", escaped(near)), near.to_owned()));
        return missing(&format!("There is no fault class \"{}\"", asked.name), near).into();
    };
    let history = plant.histories(None).remove(&class.id).unwrap_or_default();
    let compiled = Case::compile(library, class, history).map_err(|error| error.to_string());
    let drawn = compiled.and_then(|case| {
        plant.trees.or_computed(case_key(&case), || {
            compile(&case.model, &Situation::at_start(&case.model), REACH_TEXT)
                .map(|tree| render::steps(library, &case, &tree))
                .map(|steps| whole_document(library, &steps).into_string())
                .map_err(|error| error.to_string())
        })
    });
    match drawn {
        Ok(steps) => Page::new(&class.title, PreEscaped(steps)).into(),
        Err(error) => missing(&format!("The tree can't be computed: {error}"), None).into(),
    }
}
