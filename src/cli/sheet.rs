//! Rows of a CSV sheet that somebody keeps: drives, codes.

use std::collections::{BTreeMap, BTreeSet};
use std::io::Read;
use std::path::Path;

use super::context::{Context, read_text};
use super::failure::Failure;
use crate::plant::text::from_csv_cell;

/// What a sheet's rows became.
#[derive(Debug)]
pub struct Rows<T> {
    /// The good ones.
    pub good: Vec<T>,
    /// How many were rejected.
    pub rejected: usize,
}

/// Reads a sheet: `column` says whether a name may head a column, `make` makes a row into what it
/// stands for. Cells that are empty are left out. Each rejected row is told in a line: where, what,
/// and what to do.
///
/// # Errors
/// When the file can't be read, or its header has a column that is not known or stands twice.
pub fn read<T>(
    file: &Path,
    column: impl Fn(&str) -> Result<(), String>,
    make: impl Fn(BTreeMap<String, String>) -> Result<T, String>,
    context: &Context,
) -> Result<Rows<T>, Failure> {
    let text = read_text(file)?;
    let text = text.trim_start_matches('\u{feff}');
    let bad_header = |reason: String| Failure::usage(format!("{}:1: {reason}", file.display()));
    let mut reader = csv::ReaderBuilder::new()
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let header = header(&mut reader, &column).map_err(bad_header)?;
    let total = text.lines().count().saturating_sub(1) as u64;
    let bar = context.ui.bar("Reading", Some(total));
    let mut rows = Rows {
        good: Vec::new(),
        rejected: 0,
    };
    let mut told = Vec::new();
    for (done, record) in (1..).zip(reader.records()) {
        bar.at(done);
        let (line, made) = match record {
            Err(error) => (
                error.position().map_or(0, csv::Position::line),
                Err(format!("can't be read: {error}")),
            ),
            Ok(record) => {
                let line = record.position().map_or(0, csv::Position::line);
                (line, cells(&header, &record).and_then(&make))
            }
        };
        match made {
            Ok(row) => rows.good.push(row),
            Err(reason) => {
                rows.rejected += 1;
                told.push(format!("{}:{line}: {reason}", file.display()));
            }
        }
    }
    bar.end();
    for line in told {
        context.ui.note(&line);
    }
    Ok(rows)
}

fn header(
    reader: &mut csv::Reader<impl Read>,
    column: impl Fn(&str) -> Result<(), String>,
) -> Result<Vec<String>, String> {
    let header: Vec<String> = reader
        .headers()
        .map_err(|error| format!("the header can't be read: {error}"))?
        .iter()
        .map(|name| name.to_lowercase().replace([' ', '-'], "_"))
        .collect();
    let mut seen = BTreeSet::new();
    for name in &header {
        column(name)?;
        if !seen.insert(name) {
            return Err(format!("the column {name} stands twice; take one out"));
        }
    }
    Ok(header)
}

fn cells(
    header: &[String],
    record: &csv::StringRecord,
) -> Result<BTreeMap<String, String>, String> {
    if record.len() != header.len() {
        return Err(format!(
            "has {} columns and the header has {}; put quotes around texts with commas",
            record.len(),
            header.len()
        ));
    }
    Ok(header
        .iter()
        .cloned()
        .zip(record.iter().map(|cell| from_csv_cell(cell).to_owned()))
        .filter(|(_, cell)| !cell.is_empty())
        .collect())
}

/// Nothing is taken from a sheet with rejected rows, unless the good rows were asked for.
///
/// # Errors
/// When rows were rejected and nothing else was asked for.
pub fn all_or_good<T>(rows: Rows<T>, good_rows: bool) -> Result<Rows<T>, Failure> {
    if rows.rejected > 0 && !good_rows {
        let (good, rejected) = (rows.good.len(), rows.rejected);
        return Err(Failure::usage(format!(
            "nothing was taken in: {rejected} of {} rows can't be used",
            good + rejected
        ))
        .next(format!(
            "correct them and repeat it, or take the {good} good ones with --good-rows"
        )));
    }
    Ok(rows)
}

/// Rows as CSV text.
///
/// # Errors
/// When they can't be put together.
pub fn to_text<R>(rows: impl Iterator<Item = R>) -> Result<String, Failure>
where
    R: IntoIterator,
    R::Item: AsRef<[u8]>,
{
    let broken = |error: String| Failure::data("the table can't be put together").because(error);
    let mut table = csv::WriterBuilder::new()
        .terminator(csv::Terminator::Any(b'\n'))
        .from_writer(Vec::new());
    for row in rows {
        table
            .write_record(row)
            .map_err(|error| broken(error.to_string()))?;
    }
    let bytes = table
        .into_inner()
        .map_err(|error| broken(error.to_string()))?;
    String::from_utf8(bytes).map_err(|error| broken(error.to_string()))
}
