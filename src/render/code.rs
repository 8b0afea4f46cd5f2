//! The code sheet as documents and as JSON.

use serde::Serialize;

use super::doc::{Document, Span, code as mono, plain, quiet, strong};
use crate::knowledge::Library;
use crate::plant::{Code, CodeMatch, Likeness};

/// A code and what it stands for.
fn spans(library: &Library, code: &Code) -> Vec<Span> {
    let mut spans = vec![strong(format!("\"{}\"", code.shown))];
    if !code.model.is_empty() {
        spans.push(plain(format!(" on {}", code.model)));
    }
    spans.push(plain(": "));
    match library.class(&code.class) {
        Some(class) => spans.push(plain(format!("{} ", class.title))),
        None => spans.push(plain("a class that is not known here: ")),
    }
    spans.push(mono(&code.class));
    if !code.note.is_empty() {
        spans.push(quiet(format!("  {}", code.note)));
    }
    spans
}

/// A code that was just added.
pub fn added(library: &Library, code: &Code) -> Document {
    let mut document = Document::new();
    document.paragraph(spans(library, code));
    document.paragraph(vec![
        plain("Find it: "),
        mono(format!("whytrip find {}", code.shown)),
    ]);
    document
}

/// The code sheet.
pub fn list(library: &Library, codes: &[Code]) -> Document {
    let mut document = Document::new();
    if codes.is_empty() {
        document.text("The code sheet has no such line.");
        document.paragraph(vec![
            plain("Add one from the manual you own: "),
            mono("whytrip code add \"TEXT SHOWN\" --class ID"),
        ]);
    }
    for code in codes {
        document.item(spans(library, code));
    }
    document
}

/// Codes that stand in what was typed.
pub fn matched(library: &Library, matches: &[CodeMatch]) -> Document {
    let mut document = Document::new();
    if matches.is_empty() {
        return document;
    }
    document.heading(2, "On your code sheet");
    for found in matches {
        let mut spans = spans(library, &found.code);
        if found.likeness == Likeness::Near {
            spans.push(strong(
                "  Not quite as typed: compare with what the drive shows.",
            ));
        }
        document.item(spans);
    }
    document
}

/// The code sheet as printed.
#[derive(Serialize)]
pub struct CodesJson<'a> {
    codes: &'a [Code],
}

/// The code sheet as printed.
pub fn codes_json(codes: &[Code]) -> CodesJson<'_> {
    CodesJson { codes }
}
