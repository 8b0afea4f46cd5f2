//! The YAML files as their authors write them.

use std::collections::BTreeMap;

use serde::Deserialize;

use super::types::{Access, ClassKind, Inseparable, Level};

type Map<T> = BTreeMap<String, T>;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawClass {
    pub title: String,
    pub kind: ClassKind,
    pub meaning: String,
    pub first_look: String,
    pub phrases: Vec<String>,
    #[serde(default)]
    pub abbreviations: Vec<String>,
    #[serde(default)]
    pub standard_codes: Vec<String>,
    pub causes: RawClassCauses,
    #[serde(default)]
    pub confused_with: Vec<RawLookAlike>,
    #[serde(default)]
    pub inseparable: Vec<Inseparable>,
    #[serde(default)]
    pub cautions: Vec<String>,
    #[serde(default)]
    pub coding: RawCoding,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawClassCauses {
    #[serde(default)]
    pub often: Vec<String>,
    #[serde(default)]
    pub sometimes: Vec<String>,
    #[serde(default)]
    pub rarely: Vec<String>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawLookAlike {
    pub class: String,
    pub ask: String,
    pub because: String,
}

#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawCoding {
    pub mode: Option<String>,
    pub mechanism: Option<String>,
    pub cause: Option<String>,
    pub activity: Option<String>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawCause {
    pub id: String,
    pub name: String,
    pub what: String,
    #[serde(default)]
    pub signs: Map<Map<Level>>,
    pub confirm: RawConfirm,
    pub put_right: String,
    pub prove: String,
    pub fails_with: Option<String>,
    #[serde(default)]
    pub cautions: Vec<String>,
    #[serde(default)]
    pub coding: RawCoding,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawConfirm {
    pub how: String,
    pub settled_by: Option<Map<String>>,
    pub minutes: f64,
    pub access: Access,
    pub ends_in: Option<Access>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawQuestion {
    pub id: String,
    pub short: Option<String>,
    pub ask: String,
    pub how: String,
    pub tells: String,
    pub access: Access,
    pub ends_in: Option<Access>,
    pub minutes: f64,
    #[serde(default)]
    pub cautions: Vec<String>,
    #[serde(default)]
    pub before_power_off: bool,
    pub reading: Option<RawMeasure>,
    pub findings: Vec<RawFinding>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawMeasure {
    pub check: String,
    pub inputs: Vec<String>,
    pub source: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawFinding {
    pub id: String,
    pub text: String,
    pub base: f64,
    pub when: Option<String>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawCaution {
    pub id: String,
    pub signal: String,
    pub text: String,
    #[serde(default)]
    pub sources: Vec<String>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawReference {
    pub id: String,
    pub title: String,
    pub note: Option<String>,
}

#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct RawWords {
    pub abbreviations: Vec<RawAbbreviation>,
    pub synonyms: Vec<RawSynonym>,
    pub translations: Vec<RawTranslation>,
    pub moments: Map<Vec<String>>,
    pub filler: Vec<String>,
    pub out_of_scope: Vec<String>,
    pub plain: Vec<String>,
    pub elsewhere: Vec<String>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawAbbreviation {
    pub word: String,
    pub means: String,
    #[serde(default)]
    pub classes: Vec<String>,
    pub ask: Option<String>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawSynonym {
    pub means: String,
    pub say: Vec<String>,
}

#[derive(Debug, Deserialize)]
pub(super) struct RawTranslation {
    pub english: String,
    #[serde(flatten)]
    pub terms: BTreeMap<Language, Vec<String>>,
}

/// The code of a language (ISO 639-1).
#[derive(Debug, Deserialize, PartialEq, Eq, PartialOrd, Ord)]
#[serde(try_from = "String")]
pub(super) struct Language(pub String);

impl TryFrom<String> for Language {
    type Error = String;

    fn try_from(code: String) -> Result<Language, String> {
        if code.len() == 2 && code.bytes().all(|byte| byte.is_ascii_lowercase()) {
            Ok(Language(code))
        } else {
            Err(format!(
                "\"{code}\" is neither \"english\" nor a language: two small letters (ISO 639-1), such as de or nl"
            ))
        }
    }
}
