//! Hands out the items of the built-in knowledge and of a plant's overlay.

use std::sync::OnceLock;

use serde::de::DeserializeOwned;

use super::blob::{self, DecodeError, Place};
use super::load::{Loaded, Placed};
use super::problem::nearest;
use super::types::{Cause, Caution, FaultClass, Question, Reference, Words};

/// Items of one sort, decoded when first asked for.
#[derive(Debug)]
struct Shelf<T> {
    slots: Vec<Slot<T>>,
    /// Slot numbers sorted by id.
    by_id: Vec<u32>,
}

#[derive(Debug)]
struct Slot<T> {
    id: &'static str,
    place: Place,
    item: OnceLock<Option<Box<T>>>,
}

impl<T: DeserializeOwned> Shelf<T> {
    fn new(table: Vec<(&'static str, Place)>) -> Shelf<T> {
        let slots: Vec<Slot<T>> = table
            .into_iter()
            .map(|(id, place)| Slot {
                id,
                place,
                item: OnceLock::new(),
            })
            .collect();
        let mut by_id: Vec<u32> = (0..slots.len() as u32).collect();
        by_id.sort_by_key(|slot| slots[*slot as usize].id);
        Shelf { slots, by_id }
    }

    fn get(&self, id: &str, body: &'static [u8]) -> Option<&T> {
        let found = self
            .by_id
            .binary_search_by(|slot| self.slots[*slot as usize].id.cmp(id))
            .ok()?;
        let slot = &self.slots[self.by_id[found] as usize];
        slot.item
            .get_or_init(|| blob::item(body, slot.place).ok().map(Box::new))
            .as_deref()
    }

    fn ids(&self) -> impl Iterator<Item = &str> {
        self.slots.iter().map(|slot| slot.id)
    }
}

/// All knowledge: what is built in, and over it what the plant adds or overrides.
#[derive(Debug)]
pub struct Library {
    body: &'static [u8],
    classes: Shelf<FaultClass>,
    causes: Shelf<Cause>,
    questions: Shelf<Question>,
    cautions: Shelf<Caution>,
    references: Shelf<Reference>,
    words: Place,
    words_cell: OnceLock<Words>,
    overlay: Option<Box<Loaded>>,
}

macro_rules! handed_out {
    ($one:ident, $all:ident, $type:ty, $list:ident, $words:literal) => {
        #[doc = concat!("The ", $words, " with this id.")]
        pub fn $one(&self, id: &str) -> Option<&$type> {
            self.overlay
                .as_deref()
                .and_then(|overlay| placed(&overlay.$list, |item: &$type| &item.id, id))
                .or_else(|| self.$list.get(id, self.body))
        }

        #[doc = concat!("Every ", $words, ", built-in ones first, each once.")]
        pub fn $all(&self) -> impl Iterator<Item = &$type> {
            let built_in = self.$list.ids().filter_map(|id| self.$one(id));
            let added = self
                .overlay
                .iter()
                .flat_map(|overlay| &overlay.$list)
                .map(|placed| &placed.item)
                .filter(|item| !self.$list.ids().any(|id| id == item.id));
            built_in.chain(added)
        }
    };
}

impl Library {
    /// Opens compiled knowledge in place.
    ///
    /// # Errors
    /// [`DecodeError`] if the bytes are not what the build wrote.
    pub fn open(bytes: &'static [u8]) -> Result<Library, DecodeError> {
        let (head, body) = blob::split(bytes)?;
        Ok(Library {
            body,
            classes: Shelf::new(head.classes),
            causes: Shelf::new(head.causes),
            questions: Shelf::new(head.questions),
            cautions: Shelf::new(head.cautions),
            references: Shelf::new(head.references),
            words: head.words,
            words_cell: OnceLock::new(),
            overlay: None,
        })
    }

    /// Lays a plant's knowledge over this one.
    #[must_use]
    pub fn with_overlay(self, overlay: Loaded) -> Library {
        Library {
            overlay: Some(Box::new(overlay)),
            // The word lists may have been read before the plant's own came.
            words_cell: OnceLock::new(),
            ..self
        }
    }

    handed_out!(class, classes, FaultClass, classes, "fault class");
    handed_out!(cause, causes, Cause, causes, "cause");
    handed_out!(question, questions, Question, questions, "question");
    handed_out!(caution, cautions, Caution, cautions, "caution");
    handed_out!(reference, references, Reference, references, "source");

    /// The word lists.
    pub fn words(&self) -> &Words {
        self.words_cell.get_or_init(|| {
            let mut words: Words = blob::item(self.body, self.words).unwrap_or_default();
            if let Some(overlay) = &self.overlay {
                words
                    .abbreviations
                    .extend(overlay.words.abbreviations.iter().cloned());
                words
                    .synonyms
                    .extend(overlay.words.synonyms.iter().cloned());
                words
                    .translations
                    .extend(overlay.words.translations.iter().cloned());
            }
            words
        })
    }

    /// The question with this id or this short word.
    pub fn question_named(&self, name: &str) -> Option<&Question> {
        self.question(name).or_else(|| {
            self.questions()
                .find(|question| question.short.as_deref() == Some(name))
        })
    }

    /// The id that was probably meant, among classes, causes, questions and sources.
    pub fn nearest_id(&self, typed: &str) -> Option<&str> {
        let overlay = self
            .overlay
            .iter()
            .flat_map(|overlay| overlay.classes.iter().map(|placed| placed.item.id.as_str()));
        let ids = self
            .classes
            .ids()
            .chain(self.causes.ids())
            .chain(self.questions.ids())
            .chain(self.references.ids())
            .chain(overlay);
        nearest(typed, ids)
    }

    /// The class id that was probably meant.
    pub fn nearest_class(&self, typed: &str) -> Option<&str> {
        let overlay = self
            .overlay
            .iter()
            .flat_map(|overlay| overlay.classes.iter().map(|placed| placed.item.id.as_str()));
        nearest(typed, self.classes.ids().chain(overlay))
    }

    /// The built-in knowledge as loaded values, for an overlay to be checked against.
    pub fn as_loaded(&self) -> Loaded {
        fn all<'a, T: Clone + 'a>(items: impl Iterator<Item = &'a T>) -> Vec<Placed<T>> {
            items
                .map(|item| Placed {
                    item: item.clone(),
                    file: 0,
                    line: 0,
                })
                .collect()
        }
        Loaded {
            classes: all(self.classes()),
            causes: all(self.causes()),
            questions: all(self.questions()),
            cautions: all(self.cautions()),
            references: all(self.references()),
            words: self.words().clone(),
            advice: Vec::new(),
        }
    }
}

fn placed<'a, T>(items: &'a [Placed<T>], own: impl Fn(&T) -> &String, id: &str) -> Option<&'a T> {
    items
        .iter()
        .map(|placed| &placed.item)
        .find(|item| own(item) == id)
}
