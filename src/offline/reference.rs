//! Standard error codes, all cautions with their sources, all sources.

use super::anchors;
use super::markup::escaped;
use super::markup::{aside, attribute, chapter, link, links, paragraph, part, quiet, warning};
use crate::knowledge::Library;

/// The error codes of the open drive profile.
pub fn codes(library: &Library) -> String {
    let mut about: Vec<&str> = Vec::new();
    for code in library.error_codes() {
        if !about.contains(&code.about.as_str()) {
            about.push(&code.about);
        }
    }
    let mut body = quiet(
        "Error codes of IEC 61800-7-201 (CiA 402), object 603Fh. From FF00h on a code is its maker's: look it up in the drive's own manual.",
    );
    for group in about {
        let codes = library.error_codes().filter(|code| code.about == group);
        let text: String = codes
            .map(|code| {
                let classes = code.classes.iter().filter_map(|id| library.class(id));
                let classes =
                    classes.map(|class| link(&anchors::class(&class.id), &class.title, ""));
                format!(
                    "<p><b>{}h</b> {}\n{}",
                    escaped(&code.code),
                    escaped(&code.meaning),
                    links(classes)
                )
            })
            .collect();
        body.push_str(&part(None, group, &text));
    }
    chapter("codes", "Standard error codes", &body)
}

/// Every caution, with its sources.
pub fn cautions(library: &Library) -> String {
    let all: String = library
        .cautions()
        .map(|caution| {
            format!(
                "<div id=\"{}\">{}{}</div>\n",
                attribute(&anchors::caution(&caution.id)),
                warning(&caution.signal, &caution.text),
                quiet(&format!("Sources: {}.", caution.sources.join(", ")))
            )
        })
        .collect();
    let body = paragraph(
        "These stand in front of every step that needs them. Local rules and licensed practice come first.",
    );
    chapter("cautions", "Cautions", &(body + &all))
}

/// Every source that anything here names.
pub fn sources(library: &Library) -> String {
    let all: String = library
        .references()
        .map(|source| {
            let note = source
                .note
                .as_deref()
                .map_or(String::new(), |note| format!(" {}", aside(note)));
            format!(
                "<p id=\"{}\"><b>{}</b> {}{note}\n",
                attribute(&anchors::source(&source.id)),
                escaped(&source.id),
                escaped(&source.title)
            )
        })
        .collect();
    chapter("sources", "Sources", &all)
}
