//! The few shapes that the page is made of. A paragraph or list item ends where the next block begins,
//! so their ends, which HTML lets go, are left out: they are a fortieth of the page.

use crate::knowledge::{Access, Library};
use crate::render::item::{access_words, capital, minutes_words};
use crate::render::text::harmless;

/// Text from elsewhere as the page shows it literally; quotes need no mark outside of attributes, and
/// attributes hold nothing but our own ids.
pub fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in harmless(text).chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            c => out.push(c),
        }
    }
    out
}

/// An id in an attribute.
pub fn attribute(id: &str) -> String {
    escaped(id).replace('"', "&quot;")
}

/// A chapter with its heading.
pub fn chapter(id: &str, title: &str, body: &str) -> String {
    format!(
        "<section id=\"{id}\" aria-labelledby=\"{id}.title\">\n<h2 id=\"{id}.title\">{}</h2>\n{body}</section>\n",
        escaped(title)
    )
}

/// A heading of a group within a chapter.
pub fn group(title: &str) -> String {
    format!("<h3>{}</h3>\n", escaped(title))
}

/// An item that opens: its title always shows, and links lead to it.
pub fn item(id: &str, title: &str, body: &str) -> String {
    format!(
        "<details id=\"{}\"><summary><h4>{}</h4></summary>\n{body}</details>\n",
        attribute(id),
        escaped(title)
    )
}

/// A part of an item that opens by itself.
pub fn part(id: Option<&str>, title: &str, body: &str) -> String {
    let id = id.map_or(String::new(), |id| format!(" id=\"{}\"", attribute(id)));
    format!(
        "<details class=\"part\"{id}><summary><h5>{}</h5></summary>\n{body}</details>\n",
        escaped(title)
    )
}

/// A heading within an item.
pub fn heading(title: &str) -> String {
    format!("<h5>{}</h5>\n", escaped(title))
}

/// A paragraph.
pub fn paragraph(text: &str) -> String {
    format!("<p>{}\n", escaped(text))
}

/// A paragraph behind its label.
pub fn labelled(label: &str, text: &str) -> String {
    format!("<p><b>{}:</b> {}\n", escaped(label), escaped(text))
}

/// A remark on the side.
pub fn quiet(text: &str) -> String {
    format!("<p>{}\n", aside(text))
}

/// A remark on the side within a line.
pub fn aside(text: &str) -> String {
    format!("<i>{}</i>", escaped(text))
}

/// A link to a place of the page, with a remark behind its words.
pub fn link(anchor: &str, text: &str, remark: &str) -> String {
    let remark = match remark {
        "" => String::new(),
        remark => format!(" {}", aside(remark)),
    };
    format!(
        "<a href=\"#{}\">{}{remark}</a>",
        attribute(anchor),
        escaped(text)
    )
}

/// A list of links, each as large as a gloved finger.
pub fn links(links: impl IntoIterator<Item = String>) -> String {
    list("links", links)
}

/// A list whose items are markup already; nothing if it is empty.
pub fn list(class: &str, items: impl IntoIterator<Item = String>) -> String {
    let items: String = items
        .into_iter()
        .map(|item| format!("<li>{item}"))
        .collect();
    if items.is_empty() {
        return String::new();
    }
    let class = match class {
        "" => String::new(),
        class => format!(" class=\"{class}\""),
    };
    format!("<ul{class}>{items}</ul>\n")
}

/// The cautions with these ids, each in full.
pub fn cautions(library: &Library, ids: &[String]) -> String {
    ids.iter()
        .filter_map(|id| library.caution(id))
        .map(|caution| warning(&caution.signal, &caution.text))
        .collect()
}

/// A warning before a step: signal word and text.
pub fn warning(signal: &str, text: &str) -> String {
    format!(
        "<p class=\"w\"><b>{}:</b> {}\n",
        escaped(signal),
        escaped(text)
    )
}

/// How long a step takes and what it needs.
pub fn effort(minutes: f64, access: Access) -> String {
    let access = capital(access_words(access));
    quiet(&format!("{access}; {}.", minutes_words(minutes)))
}

/// The first letter under which a title stands in a list by letters.
pub fn letter(title: &str) -> char {
    let first = title.chars().find(|c| c.is_alphanumeric()).unwrap_or('#');
    match first.to_uppercase().next() {
        Some(letter) if letter.is_alphabetic() => letter,
        _ => '#',
    }
}
