//! What stands in front of the chapters: title, general cautions, search, ways to the chapters.

use super::Contents;
use super::markup::{link, links, quiet, warning};
use crate::checks;

/// Title, and what the page must not be taken for.
pub fn header() -> String {
    "<a class=\"skip\" href=\"#main\">Skip to search and contents</a>\n<header>\n\
<h1>Why did the drive stop?</h1>\n"
        .to_owned()
        + &warning(
            "DANGER",
            "Steps marked live or isolated are for qualified persons under the local rules. Read the cautions in front of a step before the step. Never bridge a protective device, never reset again and again.",
        )
        + "</header>\n"
}

/// The table of contents, and what the page is.
pub fn contents(contents: &Contents<'_>) -> String {
    let library = contents.library;
    let counted = |count: usize| count.to_string();
    let mut ways = vec![
        link(
            "classes",
            "Fault classes",
            &counted(library.classes().count()),
        ),
        link("words", "Words and symptoms", ""),
        link("causes", "Causes", &counted(library.causes().count())),
        link(
            "questions",
            "Questions and measurements",
            &counted(library.questions().count()),
        ),
        link(
            "checks",
            "Checks: sums with their sources",
            &counted(checks::all().count()),
        ),
    ];
    if !contents.drives.is_empty() {
        ways.push(link(
            "drives",
            "Drives of the plant",
            &counted(contents.drives.len()),
        ));
    }
    ways.extend([
        link("codes", "Standard error codes", ""),
        link("cautions", "Cautions", ""),
        link("sources", "Sources", ""),
    ]);
    let about = format!(
        "whytrip {}, made on {}. This page is whole in itself: it asks no network for anything and keeps nothing that is typed. A drive's own codes and limits stand in its own manual.",
        env!("CARGO_PKG_VERSION"),
        contents.made
    );
    format!(
        "<nav aria-label=\"Contents\">\n{}</nav>\n{}",
        links(ways),
        quiet(&about)
    )
}

/// The search; it shows only where the script runs.
pub fn finder() -> String {
    "<section id=\"find\" aria-labelledby=\"find.title\" hidden>\n\
<h2 id=\"find.title\">Find it by what is seen</h2>\n\
<form role=\"search\" autocomplete=\"off\">\n\
<label for=\"find.words\">What does the drive show, or the machine do? In your own words.</label>\n\
<input id=\"find.words\" type=\"search\" maxlength=\"400\" enterkeyhint=\"search\" spellcheck=\"false\" autocapitalize=\"off\">\n\
<button type=\"submit\">Find</button>\n</form>\n\
<p id=\"find.said\" role=\"status\"></p>\n<div id=\"find.found\"></div>\n</section>\n\
<noscript><p class=\"hint\">Search and sums need this page's own script, which is switched off. Everything else is here: go by the words, or let the browser find words on the page.</p></noscript>\n"
        .to_owned()
}

/// The way back up and to the chapters that are wanted most, always at hand.
pub fn bar() -> String {
    let ways = [
        link("top", "Top", ""),
        link("classes", "Classes", ""),
        link("words", "Words", ""),
        link("checks", "Checks", ""),
    ];
    format!(
        "<nav class=\"bar\" aria-label=\"Chapters\">\n{}</nav>\n",
        ways.concat()
    )
}
