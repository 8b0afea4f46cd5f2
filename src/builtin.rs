//! What is compiled into the program.

use crate::knowledge::{DecodeError, Library};
use crate::search::{SearchError, Searcher};

static KNOWLEDGE: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/knowledge.bin"));

/// The built-in knowledge, read in place.
///
/// # Errors
/// [`DecodeError`] if the program file is damaged.
pub fn knowledge() -> Result<Library, DecodeError> {
    Library::open(KNOWLEDGE)
}

static INDEX: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/search.bin"));

/// The search index over the built-in knowledge, read in place.
///
/// # Errors
/// [`SearchError`] if the program file is damaged.
pub fn searcher(library: &Library) -> Result<Searcher<'_>, SearchError> {
    Searcher::open(library, INDEX)
}

#[cfg(test)]
mod tests {
    #[test]
    fn a_phrase_read_in_place_is_the_one_of_the_class() {
        let library = super::knowledge().expect("the knowledge opens");
        for class in library.classes() {
            for (nth, said) in class.phrases.iter().enumerate() {
                assert_eq!(library.phrase(&class.id, nth), Some(said.as_str()));
            }
            assert_eq!(library.phrase(&class.id, class.phrases.len()), None);
        }
    }

    /// A short form makes all that is known of it known of its whole word.
    #[test]
    fn no_list_means_something_else_by_a_short_form() {
        let library = super::knowledge().expect("the knowledge opens");
        let words = library.words();
        let abbreviations = words.abbreviations.iter().map(|one| &one.word);
        let foreign = words.translations.iter().flat_map(|one| &one.terms);
        let said = abbreviations
            .chain(foreign.flat_map(|(_, say)| say))
            .chain(words.moments.iter().flat_map(|(_, say)| say));
        for text in said {
            assert_eq!(crate::search::alone(text), None, "{text}");
        }
    }
}
