//! Which documents hold a term: the inverted index of the search library, made when the index is
//! written and kept as a table from each term to its documents, which is read in place.

use std::collections::BTreeSet;

use tantivy::schema::{IndexRecordOption, Schema, TextFieldIndexing, TextOptions};
use tantivy::{DocSet, Index, TERMINATED, TantivyDocument};

use super::table::{self, Table};

/// Bytes of one number.
const BYTES: usize = 2;
/// Memory for the writer, in bytes; the least that it takes.
const WRITER_BYTES: usize = 15_000_000;

/// The postings.
pub struct Postings<'a> {
    table: Table<'a>,
}

impl<'a> Postings<'a> {
    /// Postings over a table that [`encode`] wrote.
    pub fn new(table: Table<'a>) -> Postings<'a> {
        Postings { table }
    }

    /// The documents that hold a term, in rising order.
    pub fn holding(&self, term: &str) -> Vec<u16> {
        let numbers = self.table.get(term).unwrap_or_default();
        let (numbers, _) = numbers.as_chunks::<BYTES>();
        numbers.iter().map(|one| u16::from_le_bytes(*one)).collect()
    }
}

/// Writes the postings of documents, each given by its terms; a document's number is its place.
///
/// # Errors
/// What the search library reports; nothing that a knowledge file could bring about.
pub fn encode(documents: &[BTreeSet<String>]) -> tantivy::Result<Vec<u8>> {
    let mut schema = Schema::builder();
    let indexing = TextFieldIndexing::default()
        .set_tokenizer("raw")
        .set_fieldnorms(false)
        .set_index_option(IndexRecordOption::Basic);
    let field = schema.add_text_field(
        "terms",
        TextOptions::default().set_indexing_options(indexing),
    );
    // One segment keeps the documents in the order in which they were added.
    let mut writer = Index::builder()
        .schema(schema.build())
        .single_segment_index_writer(tantivy::directory::RamDirectory::create(), WRITER_BYTES)?;
    for terms in documents {
        let mut document = TantivyDocument::default();
        for term in terms {
            document.add_text(field, term);
        }
        writer.add_document(document)?;
    }
    let searcher = writer.finalize()?.reader()?.searcher();
    let mut entries: Vec<(String, Vec<u8>)> = Vec::new();
    for segment in searcher.segment_readers() {
        let index = segment.inverted_index(field)?;
        let mut terms = index.terms().stream()?;
        while terms.advance() {
            let Ok(term) = std::str::from_utf8(terms.key()) else {
                continue;
            };
            let mut postings =
                index.read_postings_from_terminfo(terms.value(), IndexRecordOption::Basic)?;
            let mut numbers = Vec::new();
            let mut document = postings.doc();
            while document != TERMINATED {
                // A knowledge of more texts than that would find the first ones only.
                numbers.extend(
                    u16::try_from(document)
                        .into_iter()
                        .flat_map(u16::to_le_bytes),
                );
                document = postings.advance();
            }
            entries.push((term.to_owned(), numbers));
        }
    }
    Ok(table::encode(&entries))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_term_finds_the_documents_that_hold_it() {
        let documents = [&["bus", "trip"][..], &[], &["trip"]]
            .map(|terms| terms.iter().map(ToString::to_string).collect());
        let bytes = encode(&documents).unwrap();
        let postings = Postings::new(Table::open(&bytes).unwrap());
        assert_eq!(postings.holding("trip"), [0, 2]);
        assert_eq!(postings.holding("bus"), [0]);
        assert!(postings.holding("tri").is_empty());
    }
}
