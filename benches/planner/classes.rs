//! The shipped classes as models.

use whytrip::builtin;
use whytrip::diagnosis::case::{Case, History};
use whytrip::diagnosis::model::Model;

/// Every class: its id and its model.
pub fn all() -> Vec<(String, Model)> {
    let library = builtin::knowledge().expect("the built-in knowledge");
    library
        .classes()
        .map(|class| {
            let case = Case::compile(&library, class, History::default()).expect("a model");
            (class.id.clone(), case.model)
        })
        .collect()
}
