//! `show`: any item of the knowledge, well readable or whole as JSON.

use crate::checks;
use crate::cli::context::Context;
use crate::cli::failure::{Failure, Outcome};
use crate::diagnosis::case::Case;
use crate::knowledge::{FaultClass, Library};
use crate::render::doc::{Document, code, plain};
use crate::render::{check as page, item, json, learned};

#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:
  whytrip show                              list the fault classes
  whytrip show ground-fault
  whytrip show brake-resistor-open --json")]
pub struct Args {
    /// Id of the item; without one, the fault classes are listed
    id: Option<String>,
    /// Count what the log says of this drive
    #[arg(long, value_name = "ID")]
    drive: Option<String>,
}

pub fn run(args: Args, context: &Context) -> Result<Outcome, Failure> {
    let library = context.knowledge()?;
    let Some(id) = args.id else {
        if context.json {
            context
                .ui
                .raw(&json::document(json::class_list(&library)))?;
        } else {
            context.ui.show(&item::class_list(&library))?;
        }
        return Ok(Outcome::Done);
    };
    if let Some(class) = library.class(&id) {
        return show_class(&library, class, args.drive.as_deref(), context);
    }
    let (text, document) = find(&library, &id).ok_or_else(|| unknown(&library, &id))?;
    if context.json {
        context.ui.raw(&text())?;
    } else {
        let mut document = document();
        lead_to_check(&mut document, &library, &id);
        context.ui.show(&document)?;
    }
    Ok(Outcome::Done)
}

/// A class, with how far the plant's log moved the order of its causes.
fn show_class(
    library: &Library,
    class: &FaultClass,
    drive: Option<&str>,
    context: &Context,
) -> Result<Outcome, Failure> {
    let case = Case::compile(library, class, context.history(&class.id, drive))
        .map_err(|error| Failure::data(format!("{}: {error}", class.id)))?;
    if context.json {
        let document = learned::json(json::class(library, class), &case);
        context.ui.raw(&json::document(document))?;
    } else {
        let mut document = item::class(library, class);
        document.append(learned::moves(&case));
        context.ui.show(&document)?;
    }
    Ok(Outcome::Done)
}

/// A question or cause may carry the name of a check: then the page says where that is.
fn lead_to_check(document: &mut Document, library: &Library, id: &str) {
    let shared = library.question(id).is_some() || library.cause(id).is_some();
    if shared && checks::find(id).is_some() {
        document.paragraph(vec![
            plain("The check of the same name: "),
            code(format!("whytrip check {id} --explain")),
        ]);
    }
}

type Printed<'a> = (Box<dyn Fn() -> String + 'a>, Box<dyn Fn() -> Document + 'a>);

fn find<'a>(library: &'a Library, id: &str) -> Option<Printed<'a>> {
    if let Some(cause) = library.cause(id) {
        return Some((
            Box::new(move || json::document(json::cause(library, cause, None))),
            Box::new(move || item::cause(library, cause)),
        ));
    }
    if let Some(question) = library.question(id) {
        return Some((
            Box::new(move || json::document(json::question(library, question))),
            Box::new(move || item::question(library, question)),
        ));
    }
    if let Some(check) = checks::find(id) {
        return Some((
            Box::new(move || json::document(json::check(check))),
            Box::new(move || page::definition(check)),
        ));
    }
    if let Some(caution) = library.caution(id) {
        return Some((
            Box::new(move || json::document(json::one_caution(caution))),
            Box::new(move || item::caution(caution)),
        ));
    }
    let reference = library.reference(id)?;
    Some((
        Box::new(move || json::document(json::one_reference(reference))),
        Box::new(move || item::reference(reference)),
    ))
}

fn unknown(library: &Library, id: &str) -> Failure {
    let failure = Failure::usage(format!("there is nothing called \"{id}\""));
    let near = library.nearest_id(id).or_else(|| {
        checks::all()
            .map(|check| check.name)
            .find(|name| strsim::osa_distance(name, id) <= 2)
    });
    match near {
        Some(near) => failure
            .because(format!("closest: {near}"))
            .next(format!("whytrip show {near}")),
        None => failure.next("whytrip show    (lists the fault classes)"),
    }
}
