//! Drives of the register as documents and as JSON.

use serde::Serialize;

use super::doc::{Document, code, plain, value};
use crate::plant::Drive;

/// Drives as a list.
pub fn drives(drives: &[Drive]) -> Document {
    let mut document = Document::new();
    if drives.is_empty() {
        document.text("The register has no drives yet.");
        document.paragraph(vec![
            plain("Add some: "),
            code("whytrip drive add --file FILE"),
        ]);
    }
    for drive in drives {
        document.item(vec![
            code(&drive.id),
            plain(format!(
                "  {}",
                joined(&[&drive.name, &drive.place, &drive.duty])
            )),
        ]);
    }
    document
}

/// The texts that say something, with commas between.
fn joined(texts: &[&str]) -> String {
    texts
        .iter()
        .filter(|text| !text.is_empty())
        .copied()
        .collect::<Vec<_>>()
        .join(", ")
}

/// A drive with its nameplate.
pub fn drive(drive: &Drive) -> Document {
    let mut document = Document::new();
    document.heading(
        1,
        if drive.name.is_empty() {
            &drive.id
        } else {
            &drive.name
        },
    );
    let fields = [
        ("Id", &drive.id),
        ("Place", &drive.place),
        ("Duty", &drive.duty),
        ("Model", &drive.model),
        ("Notes", &drive.notes),
    ];
    for (label, text) in fields.iter().filter(|(_, text)| !text.is_empty()) {
        document.labelled(label, text.as_str());
    }
    document.heading(2, "Nameplate");
    for (name, shown) in &drive.nameplate {
        document.item(vec![
            plain(format!("{}: ", name.replace('_', " "))),
            value(shown),
        ]);
    }
    document
}

/// A drive by itself.
#[derive(Serialize)]
pub struct DriveJson<'a> {
    kind: &'static str,
    #[serde(flatten)]
    drive: &'a Drive,
}

/// A drive as printed.
pub fn drive_json(drive: &Drive) -> DriveJson<'_> {
    DriveJson {
        kind: "drive",
        drive,
    }
}

/// All drives.
#[derive(Serialize)]
pub struct DrivesJson<'a> {
    drives: &'a [Drive],
}

/// All drives as printed.
pub fn drives_json(drives: &[Drive]) -> DrivesJson<'_> {
    DrivesJson { drives }
}
