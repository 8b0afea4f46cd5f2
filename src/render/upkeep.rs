//! What keeps a log as documents and as JSON: import, merge, backup, verify.

use std::path::Path;

use serde::Serialize;

use super::doc::{Document, plain, strong, value};
use super::text::shortened;
use crate::plant::{Conflict, Restored, United, Verified};

/// Most conflicts that are shown.
const SHOWN: usize = 50;

/// `1 incident`, `2 incidents`.
pub fn counted(count: u32, what: &str) -> String {
    format!("{count} {what}{}", if count == 1 { "" } else { "s" })
}

/// `1 record was`, `2 records were`.
pub fn counted_were(count: u32, what: &str) -> String {
    let was = if count == 1 { "was" } else { "were" };
    format!("{} {was}", counted(count, what))
}

/// What came of an import.
pub fn united(united: &United) -> Document {
    let mut document = Document::new();
    document.text(format!(
        "Taken in: {}, {}. Here already: {}.",
        counted(united.added, "incident"),
        counted(united.revised, "later or earlier revision"),
        counted(united.same, "revision")
    ));
    document
}

/// A conflict in one line.
pub fn conflict_line(conflict: &Conflict, other: &str) -> String {
    let fields: Vec<String> = conflict
        .fields
        .iter()
        .map(|(name, ours, theirs)| {
            format!(
                "{name}: \"{}\" here, \"{}\" in {other}",
                shortened(ours),
                shortened(theirs)
            )
        })
        .collect();
    format!(
        "incident {}, revision {}: {}",
        conflict.number,
        conflict.revision,
        fields.join("; ")
    )
}

/// Drives and codes that came from another log.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sheets {
    /// Drives that are new here.
    pub drives: u32,
    /// Codes that are new here.
    pub codes: u32,
    /// What is here and there, and differs.
    pub differ: Vec<String>,
}

/// What came of a merge.
pub fn merged(united_logs: &United, sheets: &Sheets) -> Document {
    let mut document = united(united_logs);
    if sheets.drives + sheets.codes > 0 {
        document.text(format!(
            "Taken in as well: {}, {}.",
            counted(sheets.drives, "drive"),
            counted(sheets.codes, "code")
        ));
    }
    let conflicts = &united_logs.conflicts;
    if conflicts.is_empty() && sheets.differ.is_empty() {
        return document;
    }
    document.heading(2, "Differs; what is here was kept");
    for conflict in conflicts.iter().take(SHOWN) {
        document.paragraph(vec![strong(format!(
            "Incident {}, revision {}",
            conflict.number, conflict.revision
        ))]);
        for (name, ours, theirs) in &conflict.fields {
            document.item(vec![
                plain(format!("{}: here ", name.replace('_', " "))),
                value(shortened(ours)),
                plain(", there "),
                value(shortened(theirs)),
            ]);
        }
    }
    if conflicts.len() > SHOWN {
        document.text(format!("and {} more", conflicts.len() - SHOWN));
    }
    for differing in &sheets.differ {
        document.item(vec![plain(differing)]);
    }
    if !conflicts.is_empty() {
        document.gap();
        document.text(
            "Amend an incident here if the other log is right: whytrip log amend NUMBER FIELD=VALUE.",
        );
    }
    document
}

/// A field that differs.
#[derive(Serialize)]
struct FieldJson<'a> {
    field: &'a str,
    here: &'a str,
    there: &'a str,
}

/// A conflict as printed.
#[derive(Serialize)]
struct ConflictJson<'a> {
    number: u32,
    revision: u32,
    fields: Vec<FieldJson<'a>>,
}

/// What came of an import, as printed.
#[derive(Serialize)]
pub struct UnitedJson<'a> {
    added: u32,
    revised: u32,
    same: u32,
    conflicts: Vec<ConflictJson<'a>>,
}

/// What came of an import, as printed.
pub fn united_json(united: &United) -> UnitedJson<'_> {
    fn field((field, here, there): &(String, String, String)) -> FieldJson<'_> {
        FieldJson { field, here, there }
    }
    UnitedJson {
        added: united.added,
        revised: united.revised,
        same: united.same,
        conflicts: united
            .conflicts
            .iter()
            .map(|conflict| ConflictJson {
                number: conflict.number,
                revision: conflict.revision,
                fields: conflict.fields.iter().map(field).collect(),
            })
            .collect(),
    }
}

/// What came of a merge, as printed.
#[derive(Serialize)]
pub struct MergedJson<'a> {
    #[serde(flatten)]
    united: UnitedJson<'a>,
    drives: u32,
    codes: u32,
    differ: &'a [String],
}

/// What came of a merge, as printed.
pub fn merged_json<'a>(united: &'a United, sheets: &'a Sheets) -> MergedJson<'a> {
    MergedJson {
        united: united_json(united),
        drives: sheets.drives,
        codes: sheets.codes,
        differ: &sheets.differ,
    }
}

/// A file that was written, as printed.
#[derive(Serialize)]
pub struct FileJson {
    file: String,
}

/// A file that was written, as printed.
pub fn file_json(file: &Path) -> FileJson {
    FileJson {
        file: file.display().to_string(),
    }
}

/// What was looked through, as printed.
#[derive(Serialize)]
pub struct VerifiedJson {
    incidents: u32,
    revisions: u32,
    sound: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    kept: Option<String>,
}

/// A sound log as printed.
pub fn verified_json(verified: Verified) -> VerifiedJson {
    VerifiedJson {
        incidents: verified.incidents,
        revisions: verified.revisions,
        sound: true,
        kept: None,
    }
}

/// A log that was put back, as printed.
pub fn restored_json(restored: &Restored) -> VerifiedJson {
    VerifiedJson {
        kept: restored
            .kept
            .as_ref()
            .map(|kept| kept.display().to_string()),
        ..verified_json(restored.verified)
    }
}

/// What came of a sheet's rows.
#[derive(Debug, Serialize)]
pub struct SheetTaken {
    good: usize,
    changed: u32,
    rejected: usize,
}

impl SheetTaken {
    /// So many good rows, so many of them new or changed, so many rejected.
    pub fn new(good: usize, changed: u32, rejected: usize) -> Self {
        Self {
            good,
            changed,
            rejected,
        }
    }
}

/// What came of a sheet's rows, in words.
pub fn sheet_taken(taken: &SheetTaken, what: &str) -> Document {
    let mut document = Document::new();
    let changed = taken.changed as usize;
    let mut said = format!(
        "Taken in: {}; {} stood so already.",
        counted(taken.changed, what),
        taken.good.saturating_sub(changed)
    );
    if taken.rejected > 0 {
        said += &format!(" Rejected: {}.", taken.rejected);
    }
    document.text(said);
    document
}
