//! A drive of the plant's register.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::{
    FieldError, ScalarText,
    field::{check_count, check_length, form},
    text,
};

/// A drive of the register. Entered once; walks and checks take from it what they need.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Drive {
    /// The plant's own short name for it, such as `FC-101`; capitals make no difference.
    pub id: String,
    /// What people call it.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// Where it is.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub place: String,
    /// What it drives: pump, fan, conveyor, hoist.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub duty: String,
    /// The plant's own word for the kind of drive.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub model: String,
    /// Known values under the names that the checks use: `supply_voltage`: `400 V`.
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    pub nameplate: BTreeMap<String, String>,
    /// Anything else.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub notes: String,
}

/// A drive as written by hand.
#[derive(Clone, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DriveEntry {
    /// The plant's own short name for it.
    pub id: ScalarText,
    /// What people call it.
    #[serde(default)]
    pub name: String,
    /// Where it is.
    #[serde(default)]
    pub place: String,
    /// What it drives.
    #[serde(default)]
    pub duty: String,
    /// The plant's own word for the kind of drive.
    #[serde(default)]
    pub model: ScalarText,
    /// Known values under the names that the checks use.
    #[serde(default)]
    pub nameplate: BTreeMap<String, ScalarText>,
    /// Anything else.
    #[serde(default)]
    pub notes: String,
}

impl Drive {
    /// A valid drive from what somebody wrote.
    ///
    /// The names in the nameplate have the right form afterwards; whether a check knows them is for
    /// the caller to see.
    pub fn from_entry(entry: DriveEntry) -> Result<Self, FieldError> {
        let nameplate = entry.nameplate.into_iter();
        let drive = Self {
            id: text::one_line(&entry.id.0),
            name: text::one_line(&entry.name),
            place: text::one_line(&entry.place),
            duty: text::one_line(&entry.duty),
            model: text::one_line(&entry.model.0),
            nameplate: nameplate
                .map(|(key, value)| (text::one_line(&key), text::one_line(&value.0)))
                .collect(),
            notes: text::clean(&entry.notes),
        };
        drive.check()?;
        Ok(drive)
    }

    pub(super) fn check(&self) -> Result<(), FieldError> {
        if !is_drive_id(&self.id) {
            return Err(form(
                "drive id",
                &self.id,
                "a short name: up to 40 letters, digits and - _ . / : + = #, not starting with a hyphen, such as FC-101",
            ));
        }
        for (field, text, limit) in [
            ("name", &self.name, 80),
            ("place", &self.place, 200),
            ("duty", &self.duty, 80),
            ("model", &self.model, 120),
            ("notes", &self.notes, 4_000),
        ] {
            check_length(field, text, limit)?;
        }
        check_count("nameplate", self.nameplate.len(), 100)?;
        for (key, value) in &self.nameplate {
            if !is_value_name(key) {
                return Err(form(
                    "nameplate name",
                    key,
                    "lower-case words joined by _, such as supply_voltage",
                ));
            }
            if value.is_empty() {
                return Err(form(
                    "nameplate value of",
                    key,
                    "given: write it with its unit, such as 400 V",
                ));
            }
            check_length(key, value, 80)?;
        }
        Ok(())
    }
}

/// The signs are those of plant tags and of IEC 81346 reference designations (`=A1+S2-M3`).
fn is_drive_id(id: &str) -> bool {
    let allowed = |c: char| c.is_alphanumeric() || "-_./:+=#".contains(c);
    !id.is_empty() && !id.starts_with('-') && id.chars().all(allowed) && id.chars().count() <= 40
}

fn is_value_name(name: &str) -> bool {
    let word = |word: &str| {
        !word.is_empty()
            && word
                .bytes()
                .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit())
    };
    name.len() <= 60 && name.split('_').all(word)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn entry(id: &str) -> DriveEntry {
        DriveEntry {
            id: ScalarText(id.to_owned()),
            ..DriveEntry::default()
        }
    }

    #[test]
    fn plant_tags_are_good_ids() {
        // The last is a reference designation as in IEC 81346-1: function, location, product.
        for id in ["FC-101", "filler-2", "12", "Füller/3", "=A1+S2-M3"] {
            assert_eq!(Drive::from_entry(entry(id)).unwrap().id, id);
        }
        for id in ["", " ", "-M3", "filler 2", "a;b", &"x".repeat(41)] {
            assert!(Drive::from_entry(entry(id)).is_err(), "{id}");
        }
    }

    #[test]
    fn nameplate_from_yaml() {
        let yaml = "id: filler-2\nname: Filler, line 2\nnameplate:\n  supply_voltage: 400 V\n  motor_poles: 4\n";
        let drive = Drive::from_entry(serde_saphyr::from_str(yaml).unwrap()).unwrap();
        assert_eq!(drive.nameplate["supply_voltage"], "400 V");
        assert_eq!(drive.nameplate["motor_poles"], "4");
    }

    #[test]
    fn nameplate_with_a_bad_name_or_no_value_is_refused() {
        for (key, value) in [
            ("Supply voltage", "400 V"),
            ("supply__voltage", "400 V"),
            ("supply_voltage", " "),
        ] {
            let mut drive = entry("filler-2");
            drive
                .nameplate
                .insert(key.to_owned(), ScalarText(value.to_owned()));
            assert!(Drive::from_entry(drive).is_err(), "{key}: {value}");
        }
        assert!(serde_json::from_str::<DriveEntry>(r#"{"id": "a", "colour": "grey"}"#).is_err());
    }

    proptest! {
        #[test]
        fn no_text_is_too_odd(id in any::<String>(), name in any::<String>(), notes in any::<String>()) {
            let _ = Drive::from_entry(DriveEntry { name, notes, ..entry(&id) });
        }
    }
}
