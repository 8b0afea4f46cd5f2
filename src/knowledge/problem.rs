//! What is wrong with a knowledge file: where, what, and how to mend it.

use std::fmt;

/// One problem in one file.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Problem {
    /// The file as it was named.
    pub file: String,
    /// Line from 1; 0 when the file as a whole is meant.
    pub line: usize,
    /// Column from 1.
    pub column: usize,
    /// What is wrong.
    pub message: String,
    /// What to do about it.
    pub remedy: String,
    /// The line itself.
    pub excerpt: String,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.line == 0 {
            writeln!(f, "{}: {}", self.file, self.message)?;
        } else {
            writeln!(
                f,
                "{}:{}:{}: {}",
                self.file, self.line, self.column, self.message
            )?;
        }
        if !self.excerpt.is_empty() {
            let number = self.line.to_string();
            writeln!(f, "  {number} | {}", self.excerpt)?;
            let indent = self.column.saturating_sub(1);
            writeln!(
                f,
                "  {} | {}^",
                " ".repeat(number.len()),
                " ".repeat(indent)
            )?;
        }
        write!(f, "  next: {}", self.remedy)
    }
}

/// Where a word stands in a text, from a given line on: line and column from 1.
///
/// The word counts only where no letter, digit or hyphen adjoins it.
pub(super) fn locate(text: &str, from_line: usize, word: &str) -> Option<(usize, usize)> {
    let part_of_word = |c: Option<char>| c.is_some_and(|c| c.is_alphanumeric() || c == '-');
    text.lines()
        .enumerate()
        .skip(from_line.saturating_sub(1))
        .find_map(|(index, line)| {
            line.match_indices(word).find_map(|(at, _)| {
                let before = line[..at].chars().next_back();
                let after = line[at + word.len()..].chars().next();
                (!part_of_word(before) && !part_of_word(after))
                    .then(|| (index + 1, line[..at].chars().count() + 1))
            })
        })
}

/// The nearest of several names, if one is near enough to be a slip.
pub(super) fn nearest<'a>(
    typed: &str,
    names: impl IntoIterator<Item = &'a str>,
) -> Option<&'a str> {
    names
        .into_iter()
        .map(|name| (strsim::osa_distance(typed, name), name))
        .filter(|(distance, name)| *distance <= 1 + name.chars().count() / 4)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, name)| name)
}
