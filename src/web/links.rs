//! Where an id or a command that a document shows leads: what is typed in a terminal is a link here.

use crate::checks;
use crate::knowledge::Library;
use crate::render::html::Way;

/// The way behind an id of the knowledge or a command; none where a page has nothing for it.
pub fn lead(library: &Library, text: &str) -> Option<Way> {
    match text.trim().strip_prefix("whytrip ") {
        Some(command) => of_command(library, command),
        None => of_id(library, text.trim()),
    }
}

fn of_id(library: &Library, id: &str) -> Option<Way> {
    is_item(library, id).then(|| way(format!("/show/{}", escaped(id)), id))
}

fn is_item(library: &Library, id: &str) -> bool {
    library.class(id).is_some()
        || library.cause(id).is_some()
        || library.question(id).is_some()
        || checks::find(id).is_some()
        || library.caution(id).is_some()
        || library.reference(id).is_some()
}

fn of_command(library: &Library, command: &str) -> Option<Way> {
    let command = command.split("    ").next().unwrap_or(command);
    let words: Vec<&str> = command.split_whitespace().collect();
    match words.as_slice() {
        ["show"] => Some(way("/show", "All fault classes")),
        ["show", id, ..] => of_id(library, id),
        ["walk", id, rest @ ..] => {
            let class = library.class(id)?;
            let query = query(rest);
            Some(way(
                format!("/walk/{}{query}", escaped(id)),
                format!("Start the walk: {}", class.title),
            ))
        }
        ["check", name, rest @ ..] => {
            let check = checks::find(name)?;
            let query = query(rest);
            Some(way(
                format!("/check/{name}{query}"),
                format!("Check: {}", check.purpose),
            ))
        }
        ["decode", words @ ..] if !words.iter().any(|word| is_placeholder(word)) => Some(way(
            format!("/decode{}", one("word", &words.join(" "))),
            format!("Decode {}", words.join(" ")),
        )),
        ["log", "show", number] if !is_placeholder(number) => Some(way(
            format!("/log/{}", escaped(number)),
            format!("Incident {number}"),
        )),
        ["log", "find", words @ ..] if !words.iter().any(|word| is_placeholder(word)) => Some(way(
            format!("/log{}", one("words", &words.join(" "))),
            "These incidents in the log",
        )),
        ["log", "add", ..] => Some(way("/log/new", "Record an incident")),
        ["find", words @ ..] => match words.iter().any(|word| is_placeholder(word)) {
            true => Some(way("/", "Search")),
            false => Some(way(
                format!("/find{}", one("words", &words.join(" "))),
                format!("Search {}", words.join(" ")),
            )),
        },
        _ => None,
    }
}

/// `ID`, `WORDS`: what the reader puts something in place of.
fn is_placeholder(word: &str) -> bool {
    word.len() > 1 && word.chars().all(|c| c.is_ascii_uppercase())
}

/// The query behind a command: `--drive ID` and `name=value` pairs.
fn query(words: &[&str]) -> String {
    let mut pairs: Vec<(String, String)> = Vec::new();
    let mut words = words.iter();
    while let Some(word) = words.next() {
        if *word == "--drive" {
            pairs.extend(
                words
                    .next()
                    .map(|id| ("drive".to_owned(), (*id).to_owned())),
            );
        } else if let Some((name, value)) = word.split_once('=') {
            pairs.push((name.to_owned(), value.trim_matches('"').to_owned()));
        } else if let Some((_, value)) = pairs.last_mut() {
            // A value with a space in it, such as `400 V`.
            value.push(' ');
            value.push_str(word.trim_matches('"'));
        }
    }
    match pairs.is_empty() {
        true => String::new(),
        false => {
            let mut query = form_urlencoded::Serializer::for_suffix("?".to_owned(), 1);
            query.extend_pairs(pairs);
            query.finish()
        }
    }
}

fn one(name: &str, value: &str) -> String {
    let mut query = form_urlencoded::Serializer::for_suffix("?".to_owned(), 1);
    query.append_pair(name, value);
    query.finish()
}

/// A part of a path: everything that could end it is escaped.
pub fn escaped(part: &str) -> String {
    // A form writes a space as +, which a path would take literally.
    let escaped: String = form_urlencoded::byte_serialize(part.as_bytes()).collect();
    escaped.replace('+', "%20")
}

fn way(address: impl Into<String>, name: impl Into<String>) -> Way {
    Way {
        address: address.into(),
        name: name.into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::builtin;

    #[test]
    fn a_command_leads_where_its_page_is() {
        let library = builtin::knowledge().expect("the knowledge opens");
        let address = |text: &str| lead(&library, text).map(|way| way.address);
        for (text, wanted) in [
            ("ground-fault", "/show/ground-fault"),
            ("whytrip show", "/show"),
            (
                "whytrip walk ground-fault --drive a/b when=start",
                "/walk/ground-fault?drive=a%2Fb&when=start",
            ),
            (
                "whytrip walk ground-fault supply_voltage=400 V when=start",
                "/walk/ground-fault?supply_voltage=400+V&when=start",
            ),
            ("whytrip check bus-at-rest", "/check/bus-at-rest"),
            ("    whytrip decode error 3210h", "/decode?word=error+3210h"),
            ("whytrip log show 12", "/log/12"),
        ] {
            assert_eq!(address(text).as_deref(), Some(wanted), "{text}");
        }
        for text in [
            "whytrip walk ID",
            "whytrip drive add --file FILE",
            "nothing-such",
            "c 2",
        ] {
            assert_eq!(address(text), None, "{text}");
        }
    }
}
