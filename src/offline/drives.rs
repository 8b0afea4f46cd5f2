//! The drives of the plant's register with their nameplates and what they should read, where the plant
//! wants them on the page.

use std::collections::BTreeMap;

use super::markup::escaped;
use super::markup::{chapter as chapter_of, heading, item, labelled, list};
use crate::checks::{self, Given};
use crate::diagnosis::record::nameplate_input;
use crate::plant::Drive;
use crate::plant::register::kept;
use crate::render::html::fragment;
use crate::render::sheet::sheet;

/// The chapter; empty without drives.
pub fn chapter(drives: &[Drive]) -> String {
    if drives.is_empty() {
        return String::new();
    }
    let items = drives.iter().enumerate().map(|(number, drive)| {
        let title = match drive.name.is_empty() {
            true => drive.id.clone(),
            false => format!("{}: {}", drive.id, drive.name),
        };
        item(&format!("drive.{number}"), &title, &text(drive))
    });
    let items: String = items.collect();
    let lead = "<h3>From the plant's register</h3>\n";
    chapter_of("drives", "Drives of the plant", &(lead.to_owned() + &items))
}

fn text(drive: &Drive) -> String {
    let mut text = String::new();
    for (label, words) in [
        ("Place", &drive.place),
        ("Drives", &drive.duty),
        ("Model", &drive.model),
        ("Notes", &drive.notes),
    ] {
        if !words.is_empty() {
            text.push_str(&labelled(label, words));
        }
    }
    text.push_str(&heading("Nameplate and settings"));
    let values = drive.nameplate.iter();
    text.push_str(&list(
        "",
        values.map(|(name, value)| {
            format!(
                "{}: <b>{}</b>",
                escaped(&name.replace('_', " ")),
                escaped(value)
            )
        }),
    ));
    let known = known(drive);
    if !known.is_empty() {
        let results: Vec<_> = checks::all()
            .filter(|check| check.inputs.iter().any(|one| known.contains_key(one.name)))
            .filter_map(|check| checks::expectation(check, &known).ok())
            .filter(|result| !result.outputs.is_empty())
            .collect();
        let page = sheet(Some(&drive.id), &known, &results);
        text.push_str(&fragment(&page, &|_| None, 4));
    }
    text
}

/// The values of the nameplate that checks take; one that can't be read is left out.
fn known(drive: &Drive) -> BTreeMap<String, Given> {
    let values = drive
        .nameplate
        .iter()
        .filter(|(name, _)| kept(name).is_none());
    values
        .filter_map(|(name, value)| {
            let given = checks::read_nameplate(nameplate_input(name)?, value).ok()?;
            Some((name.clone(), given))
        })
        .collect()
}
