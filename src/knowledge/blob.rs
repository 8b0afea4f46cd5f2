//! The compiled form: a table of ids and places, then each item by itself, so that a start decodes
//! only what it prints.

use serde::{Deserialize, Serialize, de::DeserializeOwned};

use super::load::{Loaded, Placed};
use super::types::Words;

/// The compiled knowledge could not be read.
#[derive(Debug, thiserror::Error)]
#[error("the compiled knowledge is damaged; install the program again")]
pub struct DecodeError;

/// Where an item stands behind the table.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
pub(super) struct Place {
    pub start: u32,
    pub length: u32,
}

/// Ids in file order with their places.
pub(super) type Table<'a> = Vec<(&'a str, Place)>;

/// The head of the blob.
#[derive(Serialize, Deserialize)]
pub(super) struct Head<'a> {
    #[serde(borrow)]
    pub classes: Table<'a>,
    #[serde(borrow)]
    pub causes: Table<'a>,
    #[serde(borrow)]
    pub questions: Table<'a>,
    #[serde(borrow)]
    pub cautions: Table<'a>,
    #[serde(borrow)]
    pub references: Table<'a>,
    pub words: Place,
    pub error_codes: Place,
    pub states: Place,
}

/// Compiles loaded knowledge into bytes; the same knowledge gives the same bytes.
pub fn encode(loaded: &Loaded) -> Vec<u8> {
    let mut body = Vec::new();
    let head = Head {
        classes: table(&loaded.classes, |item| &item.id, &mut body),
        causes: table(&loaded.causes, |item| &item.id, &mut body),
        questions: table(&loaded.questions, |item| &item.id, &mut body),
        cautions: table(&loaded.cautions, |item| &item.id, &mut body),
        references: table(&loaded.references, |item| &item.id, &mut body),
        words: append::<Words>(&loaded.words, &mut body),
        error_codes: append(&bare(&loaded.error_codes), &mut body),
        states: append(&bare(&loaded.states), &mut body),
    };
    let head = postcard::to_stdvec(&head).unwrap_or_default();
    let mut bytes = (head.len() as u32).to_le_bytes().to_vec();
    bytes.extend(head);
    bytes.extend(body);
    bytes
}

fn table<'a, T: Serialize>(
    items: &'a [Placed<T>],
    id: impl Fn(&'a T) -> &'a String,
    body: &mut Vec<u8>,
) -> Table<'a> {
    items
        .iter()
        .map(|placed| (id(&placed.item).as_str(), append(&placed.item, body)))
        .collect()
}

fn bare<T>(items: &[Placed<T>]) -> Vec<&T> {
    items.iter().map(|placed| &placed.item).collect()
}

fn append<T: Serialize>(item: &T, body: &mut Vec<u8>) -> Place {
    let bytes = postcard::to_stdvec(item).unwrap_or_default();
    let place = Place {
        start: body.len() as u32,
        length: bytes.len() as u32,
    };
    body.extend(bytes);
    place
}

/// The head and the body of compiled knowledge.
pub(super) fn split(bytes: &[u8]) -> Result<(Head<'_>, &[u8]), DecodeError> {
    let (length, rest) = bytes.split_first_chunk::<4>().ok_or(DecodeError)?;
    let length = u32::from_le_bytes(*length) as usize;
    if length > rest.len() {
        return Err(DecodeError);
    }
    let (head, body) = rest.split_at(length);
    Ok((postcard::from_bytes(head).map_err(|_| DecodeError)?, body))
}

/// One item of the body.
pub(super) fn item<T: DeserializeOwned>(body: &[u8], place: Place) -> Result<T, DecodeError> {
    let start = place.start as usize;
    let bytes = body
        .get(start..start + place.length as usize)
        .ok_or(DecodeError)?;
    postcard::from_bytes(bytes).map_err(|_| DecodeError)
}
