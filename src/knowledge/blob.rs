//! The compiled form: tables of items that are read in place, so that a start decodes only what it
//! prints.

use serde::{Deserialize, Serialize, de::DeserializeOwned};

use super::load::{Loaded, Placed};
use super::table::{self, Table};
use super::types::{ClassKind, Words};

/// The compiled knowledge could not be read.
#[derive(Debug, thiserror::Error)]
#[error("the compiled knowledge is damaged; install the program again")]
pub struct DecodeError;

/// Bytes of one place in a list of places.
const PLACE_BYTES: usize = 4;

/// Items of one sort under their ids.
#[derive(Clone, Copy, Debug)]
pub(super) struct Items<'a> {
    /// In file order.
    items: Table<'a>,
    /// Their places, sorted by id.
    by_id: &'a [[u8; PLACE_BYTES]],
}

impl<'a> Items<'a> {
    fn open(bytes: &'a [u8]) -> Option<Items<'a>> {
        let parts = Table::open(bytes)?;
        let (by_id, _) = parts.get("by-id")?.as_chunks();
        Some(Items {
            items: Table::open(parts.get("items")?)?,
            by_id,
        })
    }

    /// Number of items.
    pub fn len(&self) -> usize {
        self.items.len()
    }

    /// The place of an id in file order.
    pub fn place(&self, id: &str) -> Option<usize> {
        let place = |bytes: &[u8; PLACE_BYTES]| u32::from_le_bytes(*bytes) as usize;
        let key = |bytes| self.items.at(place(bytes)).map(|(key, _)| key);
        let found = self
            .by_id
            .binary_search_by_key(&Some(id.as_bytes()), key)
            .ok()?;
        self.by_id.get(found).map(place)
    }

    /// The compiled item at a place.
    pub fn at(&self, place: usize) -> Option<&'a [u8]> {
        self.items.at(place).map(|(_, item)| item)
    }

    /// The ids in file order.
    pub fn ids(self) -> impl Iterator<Item = &'a str> {
        (0..self.len())
            .filter_map(move |place| self.items.at(place))
            .filter_map(|(key, _)| std::str::from_utf8(key).ok())
    }
}

/// The parts of compiled knowledge.
pub(super) struct Parts<'a> {
    pub classes: Items<'a>,
    pub causes: Items<'a>,
    pub questions: Items<'a>,
    pub cautions: Items<'a>,
    pub references: Items<'a>,
    pub words: &'a [u8],
    pub error_codes: &'a [u8],
    pub states: &'a [u8],
}

impl<'a> Parts<'a> {
    /// Finds the parts in bytes that [`encode`] gave.
    pub fn open(bytes: &'a [u8]) -> Result<Parts<'a>, DecodeError> {
        let parts = Table::open(bytes).ok_or(DecodeError)?;
        let part = |name| parts.get(name).ok_or(DecodeError);
        let items = |name| Items::open(part(name)?).ok_or(DecodeError);
        Ok(Parts {
            classes: items("classes")?,
            causes: items("causes")?,
            questions: items("questions")?,
            cautions: items("cautions")?,
            references: items("references")?,
            words: part("words")?,
            error_codes: part("error-codes")?,
            states: part("states")?,
        })
    }
}

/// Compiles loaded knowledge into bytes; the same knowledge gives the same bytes.
pub fn encode(loaded: &Loaded) -> Vec<u8> {
    table::encode(&[
        ("causes", items(&loaded.causes, |item| &item.id)),
        ("cautions", items(&loaded.cautions, |item| &item.id)),
        ("classes", items(&loaded.classes, |item| &item.id)),
        ("error-codes", compiled(&bare(&loaded.error_codes))),
        ("questions", items(&loaded.questions, |item| &item.id)),
        ("references", items(&loaded.references, |item| &item.id)),
        ("states", compiled(&bare(&loaded.states))),
        ("words", compiled::<Words>(&loaded.words)),
    ])
}

fn items<T: Serialize>(items: &[Placed<T>], id: impl Fn(&T) -> &String) -> Vec<u8> {
    let entries: Vec<(&String, Vec<u8>)> = items
        .iter()
        .map(|placed| (id(&placed.item), compiled(&placed.item)))
        .collect();
    let mut by_id: Vec<usize> = (0..entries.len()).collect();
    by_id.sort_by_key(|place| entries[*place].0);
    let by_id: Vec<u8> = by_id
        .into_iter()
        .flat_map(|place| (place as u32).to_le_bytes())
        .collect();
    table::encode(&[("by-id", by_id), ("items", table::encode(&entries))])
}

fn bare<T>(items: &[Placed<T>]) -> Vec<&T> {
    items.iter().map(|placed| &placed.item).collect()
}

fn compiled<T: Serialize>(item: &T) -> Vec<u8> {
    postcard::to_stdvec(item).unwrap_or_default()
}

/// Decodes an item.
pub(super) fn decode<T: DeserializeOwned>(bytes: &[u8]) -> Option<T> {
    postcard::from_bytes(bytes).ok()
}

/// The start of a compiled class, up to its phrases: a search shows one of them and nothing else.
#[derive(Deserialize)]
struct ClassHead<'a> {
    _id: &'a str,
    _title: &'a str,
    _kind: ClassKind,
    _meaning: &'a str,
    _first_look: &'a str,
    #[serde(borrow)]
    phrases: Vec<&'a str>,
}

/// One phrase of a compiled class, read where it lies.
pub(super) fn phrase(class: &[u8], nth: usize) -> Option<&str> {
    let (head, _) = postcard::take_from_bytes::<ClassHead>(class).ok()?;
    head.phrases.get(nth).copied()
}
