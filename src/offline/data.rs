//! The lists for the page's own script: JSON, packed, in letters that no markup can end early.

use std::collections::BTreeMap;

use base64::prelude::{BASE64_STANDARD, Engine};
use flate2::{Compression, write::ZlibEncoder};
use serde::Serialize;

use super::check_data::{CheckData, InputData, KindData, checks, kinds};
use super::{Contents, PageError};
use crate::plant::register::kept;
use crate::search::Portable;

#[derive(Debug, Serialize)]
struct Data<'a> {
    kinds: BTreeMap<String, KindData>,
    checks: BTreeMap<&'static str, CheckData>,
    inputs: Vec<InputData>,
    search: &'a Portable,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    drives: Vec<DriveData<'a>>,
}

/// A drive whose nameplate a form can be filled from.
#[derive(Debug, Serialize)]
struct DriveData<'a> {
    id: &'a str,
    nameplate: BTreeMap<&'a str, &'a str>,
}

/// The lists, packed.
///
/// # Errors
/// When they can't be written as JSON.
pub fn packed(contents: &Contents<'_>, search: &Portable) -> Result<String, PageError> {
    let drives = contents.drives.iter().map(|drive| DriveData {
        id: &drive.id,
        nameplate: drive
            .nameplate
            .iter()
            .filter(|(name, _)| kept(name).is_none())
            .map(|(name, value)| (name.as_str(), value.as_str()))
            .collect(),
    });
    let (checks, inputs) = checks();
    let data = Data {
        kinds: kinds(),
        checks,
        inputs,
        search,
        drives: drives.collect(),
    };
    let mut packer = ZlibEncoder::new(Vec::new(), Compression::best());
    serde_json::to_writer(&mut packer, &data)?;
    Ok(BASE64_STANDARD.encode(packer.finish().map_err(serde_json::Error::io)?))
}
