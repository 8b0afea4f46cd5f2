//! From a technician's words to fault classes and causes, with reasons.
//!
//! [`Searcher::open`] reads the index that the build embedded; [`Searcher::over`] builds the same index
//! in memory over a library with a plant's own knowledge. [`Searcher::find`] understands the words
//! ([`query`]), ranks ([`rank`]) and says why ([`answer`]).

mod answer;
mod facts;
mod hit;
mod index;
mod lexicon;
mod normalise;
mod notes;
mod portable;
mod postings;
mod query;
mod rank;
mod shorthand;
mod slip;
mod splitting;
mod standard_word;
mod stem;
mod sureness;
mod terms;
mod understood;
mod vocabulary;
mod weights;
mod why;

pub use facts::for_walk;
pub use hit::{Found, Hit, HitKind, NearTie, QueryReading, Understood};
pub use portable::{Portable, PortableClass, portable};
pub use weights::{WEIGHTS, Weights};

#[cfg(test)]
pub(crate) use shorthand::alone;

use std::borrow::Cow;

use crate::knowledge::{CheckCatalogue, Library, named_checks, table};

use lexicon::Lexicon;
use notes::Notes;
use postings::Postings;
use table::Table;
use vocabulary::Vocabulary;

/// The index could not be read or built.
#[derive(Debug, thiserror::Error)]
pub enum SearchError {
    /// The embedded index is not what the build wrote.
    #[error("the built-in search index is damaged; install the program again")]
    Damaged,
    /// The search library refused.
    #[error("the search index could not be built: {0}")]
    Index(#[from] tantivy::TantivyError),
}

/// Finds fault classes and causes by words.
#[derive(Clone)]
pub struct Searcher<'l> {
    knowledge: &'l Library,
    index: Cow<'static, [u8]>,
    weights: Weights,
}

/// The sections of the index, in place.
struct Sections<'a> {
    lexicon: Lexicon<'a>,
    vocabulary: Vocabulary<'a>,
    postings: Postings<'a>,
    documents: &'a [u8],
    notes: &'a [u8],
}

impl<'a> Sections<'a> {
    fn open(index: &'a [u8]) -> Option<Sections<'a>> {
        let sections = Table::open(index)?;
        let table = |name: &str| Table::open(sections.get(name)?);
        Some(Sections {
            lexicon: Lexicon::open(sections.get("lexicon")?)?,
            vocabulary: Vocabulary::new(table("vocabulary")?, sections.get("letters")?),
            postings: Postings::new(table("postings")?),
            documents: sections.get("documents")?,
            notes: sections.get("notes")?,
        })
    }
}

impl<'l> Searcher<'l> {
    /// Opens the embedded index in place.
    ///
    /// # Errors
    /// [`SearchError`] if the bytes are not what the build wrote.
    pub fn open(library: &'l Library, index: &'static [u8]) -> Result<Searcher<'l>, SearchError> {
        Searcher::with(library, Cow::Borrowed(index))
    }

    /// Builds the index in memory over everything the library holds, a plant's own knowledge included.
    ///
    /// # Errors
    /// [`SearchError`] if the search library cannot build it.
    pub fn over(
        library: &'l Library,
        checks: &dyn CheckCatalogue,
    ) -> Result<Searcher<'l>, SearchError> {
        let bytes = index::write(&index::Contents {
            classes: library.classes().collect(),
            causes: library.causes().collect(),
            questions: library.questions().collect(),
            checks: named_checks(checks),
            words: library.words(),
        })?;
        Searcher::with(library, Cow::Owned(bytes))
    }

    fn with(library: &'l Library, index: Cow<'static, [u8]>) -> Result<Searcher<'l>, SearchError> {
        Sections::open(&index).ok_or(SearchError::Damaged)?;
        Ok(Searcher {
            knowledge: library,
            index,
            weights: WEIGHTS,
        })
    }

    /// The same with other weights than those in use, to choose them by.
    #[must_use]
    pub fn weighing(self, weights: Weights) -> Searcher<'l> {
        Searcher { weights, ..self }
    }

    /// Finds at most `limit` hits for words as a technician types them.
    ///
    /// # Errors
    /// [`SearchError`] if the index is damaged.
    pub fn find(&self, words: &str, limit: usize) -> Result<Found, SearchError> {
        let sections = Sections::open(&self.index).ok_or(SearchError::Damaged)?;
        let lexicon = &sections.lexicon;
        let notes = Notes::open(sections.notes).ok_or(SearchError::Damaged)?;
        let query = query::understand(words, lexicon, &sections.vocabulary);
        let lists = (&sections.postings, sections.documents);
        let ranking = rank::rank(&query, lists, &notes, &self.weights);
        let mut found = answer::answer(self.knowledge, &notes, lexicon, &query, &ranking, limit);
        standard_word::offer(self.knowledge, words, &query, limit, &mut found);
        Ok(found)
    }
}
