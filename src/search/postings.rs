//! The postings of the index, opened in place: which documents hold a term.

use std::sync::Arc;

use tantivy::directory::OwnedBytes;
use tantivy::schema::{Field, IndexRecordOption};
use tantivy::{DocSet, Index, InvertedIndexReader, SegmentReader, TERMINATED, TantivyError, Term};

use super::embedded::Embedded;
use super::index::FIELD;

/// The postings.
pub struct Postings {
    reader: Arc<InvertedIndexReader>,
    field: Field,
    /// Number of documents.
    pub documents: usize,
}

impl Postings {
    /// Opens the postings of a block of bytes.
    ///
    /// # Errors
    /// What the index reader reports.
    pub fn open(bytes: OwnedBytes) -> tantivy::Result<Postings> {
        let index = Index::open(Embedded::new(bytes))?;
        let field = index.schema().get_field(FIELD)?;
        let segment = index.searchable_segments()?.into_iter().next();
        let segment =
            segment.ok_or_else(|| TantivyError::InternalError("no segment".to_owned()))?;
        let segment = SegmentReader::open(&segment)?;
        let documents = segment.max_doc() as usize;
        Ok(Postings {
            reader: segment.inverted_index(field)?,
            field,
            documents,
        })
    }

    /// The documents that hold a term.
    ///
    /// # Errors
    /// What the index reader reports.
    pub fn holding(&self, term: &str) -> tantivy::Result<Vec<u32>> {
        let term = Term::from_field_text(self.field, term);
        let Some(mut postings) = self.reader.read_postings(&term, IndexRecordOption::Basic)? else {
            return Ok(Vec::new());
        };
        let mut found = Vec::new();
        let mut document = postings.doc();
        while document != TERMINATED {
            found.push(document);
            document = postings.advance();
        }
        Ok(found)
    }
}
