//! Hands out the items of the built-in knowledge and of a plant's overlay.

use std::sync::OnceLock;

use serde::de::DeserializeOwned;

use super::blob::{self, DecodeError, Items, Parts};
use super::load::{Loaded, Placed};
use super::problem::nearest;
use super::standard::{ErrorCode, StateHelp};
use super::types::{Cause, Caution, FaultClass, Question, Reference, Words};

/// Items of one sort, decoded when first asked for.
#[derive(Debug)]
struct Shelf<T> {
    items: Items<'static>,
    decoded: Vec<OnceLock<Option<Box<T>>>>,
}

impl<T: DeserializeOwned> Shelf<T> {
    fn new(items: Items<'static>) -> Shelf<T> {
        let mut decoded = Vec::new();
        decoded.resize_with(items.len(), OnceLock::new);
        Shelf { items, decoded }
    }

    fn get(&self, id: &str) -> Option<&T> {
        let place = self.items.place(id)?;
        self.decoded
            .get(place)?
            .get_or_init(|| self.items.at(place).and_then(blob::decode).map(Box::new))
            .as_deref()
    }

    fn ids(&self) -> impl Iterator<Item = &str> {
        self.items.ids()
    }
}

/// A short list that is decoded as a whole when first asked for.
#[derive(Debug)]
struct List<T> {
    bytes: &'static [u8],
    items: OnceLock<Vec<T>>,
}

impl<T: DeserializeOwned> List<T> {
    fn new(bytes: &'static [u8]) -> List<T> {
        List {
            bytes,
            items: OnceLock::new(),
        }
    }

    fn all(&self) -> &[T] {
        self.items
            .get_or_init(|| blob::decode(self.bytes).unwrap_or_default())
    }
}

/// All knowledge: what is built in, and over it what the plant adds or overrides.
#[derive(Debug)]
pub struct Library {
    classes: Shelf<FaultClass>,
    causes: Shelf<Cause>,
    questions: Shelf<Question>,
    cautions: Shelf<Caution>,
    references: Shelf<Reference>,
    words: &'static [u8],
    words_cell: OnceLock<Words>,
    error_codes: List<ErrorCode>,
    states: List<StateHelp>,
    overlay: Option<Box<Loaded>>,
}

macro_rules! handed_out {
    ($one:ident, $all:ident, $type:ty, $list:ident, $words:literal) => {
        #[doc = concat!("The ", $words, " with this id.")]
        pub fn $one(&self, id: &str) -> Option<&$type> {
            self.overlay
                .as_deref()
                .and_then(|overlay| placed(&overlay.$list, |item: &$type| &item.id, id))
                .or_else(|| self.$list.get(id))
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
        let parts = Parts::open(bytes)?;
        Ok(Library {
            classes: Shelf::new(parts.classes),
            causes: Shelf::new(parts.causes),
            questions: Shelf::new(parts.questions),
            cautions: Shelf::new(parts.cautions),
            references: Shelf::new(parts.references),
            words: parts.words,
            words_cell: OnceLock::new(),
            error_codes: List::new(parts.error_codes),
            states: List::new(parts.states),
            overlay: None,
        })
    }

    /// A library of loaded files alone. What it holds stays in memory to the end of the program.
    ///
    /// # Errors
    /// [`DecodeError`] never for what [`load`](super::load()) gave.
    pub fn of(loaded: &Loaded) -> Result<Library, DecodeError> {
        Library::open(Box::leak(blob::encode(loaded).into_boxed_slice()))
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

    /// One phrase of a class, without decoding the class.
    pub fn phrase(&self, class: &str, nth: usize) -> Option<&str> {
        let own = self
            .overlay
            .as_deref()
            .and_then(|overlay| placed(&overlay.classes, |item: &FaultClass| &item.id, class));
        if let Some(own) = own {
            return own.phrases.get(nth).map(String::as_str);
        }
        let items = self.classes.items;
        blob::phrase(items.at(items.place(class)?)?, nth)
    }

    /// The word lists.
    pub fn words(&self) -> &Words {
        self.words_cell.get_or_init(|| {
            let mut words: Words = blob::decode(self.words).unwrap_or_default();
            if let Some(overlay) = &self.overlay {
                words.extend(overlay.words.clone());
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

    /// Every error code of the open profiles, built-in ones first, each once.
    pub fn error_codes(&self) -> impl Iterator<Item = &ErrorCode> {
        let built_in = self.error_codes.all();
        let own = self
            .overlay
            .iter()
            .flat_map(|overlay| &overlay.error_codes)
            .map(|placed| &placed.item);
        let is_own = |code: &str| {
            let overlay = self.overlay.as_deref();
            overlay.is_some_and(|overlay| {
                placed(&overlay.error_codes, |item: &ErrorCode| &item.code, code).is_some()
            })
        };
        built_in
            .iter()
            .filter(move |item| !is_own(&item.code))
            .chain(own)
    }

    /// An error code by its four hex digits.
    pub fn error_code(&self, code: &str) -> Option<&ErrorCode> {
        self.error_codes().find(|item| item.code == code)
    }

    /// What a drive in this state waits for.
    pub fn state(&self, id: &str) -> Option<&StateHelp> {
        self.overlay
            .as_deref()
            .and_then(|overlay| placed(&overlay.states, |item: &StateHelp| &item.id, id))
            .or_else(|| {
                let built_in = self.states.all();
                built_in.iter().find(|item| item.id == id)
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
            error_codes: all(self.error_codes()),
            states: all(self.states.all().iter()),
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
