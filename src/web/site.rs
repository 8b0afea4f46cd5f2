//! What all pages share: the plant, who may do what, and the keys of this run.

use std::sync::Arc;

use axum_extra::extract::cookie::Key;

use super::pass::{Attempts, PassPhrase};
use super::plant::Plant;

/// Who may open and who may record.
#[derive(Debug, Default)]
pub struct Doors {
    /// Names besides plain addresses by which the pages may be called.
    pub names: Vec<String>,
    /// Who may record.
    pub recording: Recording,
    /// Whether the pages come over TLS.
    pub is_encrypted: bool,
}

/// Who may record an incident.
#[derive(Debug, Default)]
pub enum Recording {
    /// Nobody: pages are only read.
    #[default]
    Nobody,
    /// Whoever sits at this machine.
    Anybody,
    /// Whoever knows the pass phrase.
    WithPassPhrase(PassPhrase),
}

/// What all pages share.
#[derive(Clone)]
pub struct Site(Arc<Shared>);

struct Shared {
    plant: Plant,
    doors: Doors,
    key: Key,
    attempts: Attempts,
}

impl Site {
    /// A site with a new key.
    pub fn new(plant: Plant, doors: Doors) -> Site {
        Site(Arc::new(Shared {
            plant,
            doors,
            key: Key::generate(),
            attempts: Attempts::default(),
        }))
    }

    /// The plant.
    pub fn plant(&self) -> &Plant {
        &self.0.plant
    }

    /// Who may do what.
    pub fn doors(&self) -> &Doors {
        &self.0.doors
    }

    /// The key that signs cookies; it is forgotten when the server stops.
    pub fn key(&self) -> &Key {
        &self.0.key
    }

    /// Attempts at the pass phrase.
    pub fn attempts(&self) -> &Attempts {
        &self.0.attempts
    }
}
