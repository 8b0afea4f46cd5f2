//! The electrical checks: a form made from each definition, and what it gives.

use std::collections::BTreeMap;

use maud::{Markup, html};

use super::super::page::{Page, Reply, document, missing};
use super::super::walk_state::WalkState;
use super::Asked;
use super::walk::field;
use crate::checks::{self, Check, CheckError, Given, Input, Need};
use crate::plant::Store;
use crate::render::check::{definition, evaluation};
use crate::render::item::capital;

pub fn all(_: &Asked) -> Reply {
    let body = html! {
        h1 { "Checks" }
        p { "Each computes what a reading should be from what is known, and judges the reading." }
        @for area in checks::AREAS {
            h2 { (area.title) }
            ul.ways {
                @for check in area.checks() {
                    li { a.go href={ "/check/" (check.name) } { (capital(check.purpose)) } }
                }
            }
        }
    };
    Page::new("Checks", body).into()
}

pub fn page(asked: &Asked) -> Reply {
    let library = asked.site.plant().library;
    let Some(check) = checks::find(&asked.name) else {
        let near = checks::all()
            .map(|check| check.name)
            .min_by_key(|name| strsim::osa_distance(name, &asked.name))
            .map(|near| (format!("/check/{near}"), near.to_owned()));
        return missing(&format!("There is no check \"{}\"", asked.name), near).into();
    };
    let Ok(state) = WalkState::parse(&asked.query) else {
        let own = Some((format!("/check/{}", check.name), check.purpose.to_owned()));
        return missing("This address is too long", own).into();
    };
    let mut form = Form::read(check, &state);
    if let Some(id) = &state.drive {
        form.add_register(asked, id);
    }
    let result = form.result();
    let body = html! {
        h1 { (capital(check.purpose)) }
        @match &result {
            Some(Ok(result)) => {
                section.result aria-labelledby="result" {
                    h2 #result { "Result" }
                    (document(library, &without_title(evaluation(result))))
                }
            }
            Some(Err(error)) => { p.error role="alert" { "Not computed: " (error) } }
            None => {}
        }
        (form.markup(&state))
        details {
            summary { "Formula, sources, limits" }
            (document(library, &without_title(definition(check))))
        }
    };
    Page::new(check.purpose, body).into()
}

/// Without its first heading, which the page has already.
fn without_title(mut document: crate::render::doc::Document) -> crate::render::doc::Document {
    if let Some(crate::render::doc::Block::Heading(1, _)) = document.blocks.first() {
        document.blocks.remove(0);
    }
    document
}

/// What was typed into a check's form.
struct Form {
    check: &'static Check,
    typed: BTreeMap<String, String>,
    given: BTreeMap<String, Given>,
    wrong: BTreeMap<String, String>,
    from_register: Vec<String>,
}

impl Form {
    fn read(check: &'static Check, state: &WalkState) -> Form {
        let mut form = Form {
            check,
            typed: BTreeMap::new(),
            given: BTreeMap::new(),
            wrong: BTreeMap::new(),
            from_register: Vec::new(),
        };
        for (name, value) in state.facts.iter().filter(|(_, value)| !value.is_empty()) {
            form.give(name, value);
        }
        form
    }

    fn give(&mut self, name: &str, value: &str) {
        let mut inputs = self.check.inputs.iter();
        let Some(input) = inputs.find(|input| input.name == name) else {
            return;
        };
        self.typed.insert(name.to_owned(), value.to_owned());
        match checks::read_input(input, value) {
            Ok(given) => {
                self.given.insert(name.to_owned(), given);
            }
            Err(reason) => {
                self.wrong.insert(name.to_owned(), reason);
            }
        }
    }

    /// What the register knows and nobody typed.
    fn add_register(&mut self, asked: &Asked, id: &str) {
        let drive = asked.site.plant().read(|store| store.drive(id));
        let nameplate = drive.ok().flatten().flatten().map(|drive| drive.nameplate);
        for (name, value) in nameplate.unwrap_or_default() {
            if !self.typed.contains_key(&name) {
                self.give(&name, &value);
                if self.given.contains_key(&name) {
                    self.from_register.push(name);
                }
            }
        }
    }

    /// The result, once something was typed.
    fn result(&self) -> Option<Result<checks::Evaluation, String>> {
        if self.typed.len() == self.from_register.len() {
            return None;
        }
        if !self.wrong.is_empty() {
            return Some(Err("one of the values can't be read; see below".to_owned()));
        }
        let result = checks::evaluate(self.check, &self.given);
        Some(result.map_err(|error| match error {
            CheckError::Missing { what, .. } => format!("this is missing: {what}"),
            other => other.to_string(),
        }))
    }

    fn markup(&self, state: &WalkState) -> Markup {
        html! {
            form.reading action={ "/check/" (self.check.name) } method="get" {
                @if let Some(drive) = &state.drive {
                    input type="hidden" name="drive" value=(drive);
                }
                @for input in self.check.inputs { (self.field(input)) }
                button.answer type="submit" { "Compute" }
            }
        }
    }

    fn field(&self, input: &'static Input) -> Markup {
        let value = self.typed.get(input.name).map_or("", String::as_str);
        let wrong = self.wrong.get(input.name);
        let need = match input.need {
            _ if !input.choices.is_empty() => String::new(),
            Need::Default(assumed) => format!("If left out, {assumed} is assumed."),
            Need::Optional => "May be left out.".to_owned(),
            Need::Required => String::new(),
        };
        html! {
            @if let Some(reason) = wrong {
                p.error id={ (input.name) "-error" } role="alert" { (reason) }
            }
            (field(input, input.name, input.name, value, wrong.is_some(), true))
            @if self.from_register.iter().any(|name| name == input.name) {
                p.hint { "From the register." }
            }
            @if !need.is_empty() { p.hint { (need) } }
        }
    }
}
