//! The shape of a facts file: `drive:` with nameplate values or an id, and `facts:`.

use std::collections::BTreeMap;
use std::fmt;

use serde::de::{Deserialize, Deserializer, MapAccess, Visitor};

/// A recorded case.
#[derive(Debug, Default, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FactsFile {
    /// Which drive.
    #[serde(default)]
    pub drive: DriveEntry,
    /// What is known, by question or cause.
    #[serde(default)]
    pub facts: BTreeMap<String, String>,
}

/// A drive by its id in the register, or by its nameplate.
#[derive(Debug, Default)]
pub enum DriveEntry {
    /// Nameplate values by name.
    Nameplate(BTreeMap<String, String>),
    /// An id of the register.
    Id(String),
    /// Nothing is said.
    #[default]
    None,
}

impl<'de> Deserialize<'de> for DriveEntry {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<DriveEntry, D::Error> {
        deserializer.deserialize_any(EntryVisitor)
    }
}

struct EntryVisitor;

impl<'de> Visitor<'de> for EntryVisitor {
    type Value = DriveEntry;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("the id of a drive, or its nameplate values")
    }

    fn visit_str<E>(self, id: &str) -> Result<DriveEntry, E> {
        Ok(DriveEntry::Id(id.to_owned()))
    }

    fn visit_unit<E>(self) -> Result<DriveEntry, E> {
        Ok(DriveEntry::None)
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<DriveEntry, A::Error> {
        let mut values = BTreeMap::new();
        while let Some((name, value)) = map.next_entry::<String, String>()? {
            values.insert(name, value);
        }
        Ok(DriveEntry::Nameplate(values))
    }
}
