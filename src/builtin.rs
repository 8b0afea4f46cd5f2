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
}
