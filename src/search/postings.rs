//! Which documents hold a term: a table from each term to their numbers, read in place.

use std::collections::{BTreeMap, BTreeSet};

use super::table::{self, Table};

/// Bytes of one number.
const BYTES: usize = 4;

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
    pub fn holding(&self, term: &str) -> Vec<u32> {
        let numbers = self.table.get(term).unwrap_or_default();
        let (numbers, _) = numbers.as_chunks::<BYTES>();
        numbers.iter().map(|one| u32::from_le_bytes(*one)).collect()
    }
}

/// Writes the postings of documents, each given by its terms; a document's number is its place.
pub fn encode(documents: &[BTreeSet<String>]) -> Vec<u8> {
    let mut holding: BTreeMap<&str, Vec<u8>> = BTreeMap::new();
    for (number, terms) in documents.iter().enumerate() {
        for term in terms {
            let numbers = holding.entry(term).or_default();
            numbers.extend((number as u32).to_le_bytes());
        }
    }
    let entries: Vec<(&str, Vec<u8>)> = holding.into_iter().collect();
    table::encode(&entries)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_term_finds_the_documents_that_hold_it() {
        let documents = [&["bus", "trip"][..], &[], &["trip"]]
            .map(|terms| terms.iter().map(ToString::to_string).collect());
        let bytes = encode(&documents);
        let postings = Postings::new(Table::open(&bytes).unwrap());
        assert_eq!(postings.holding("trip"), [0, 2]);
        assert_eq!(postings.holding("bus"), [0]);
        assert!(postings.holding("tri").is_empty());
    }
}
