//! Making text from elsewhere harmless, on the way in and on the way into a spreadsheet.

use std::borrow::Cow;

/// The text without control characters, except newline and tab, and without white space at its end.
///
/// Control characters are those of Unicode's category Cc: C0, delete and C1, so that no escape
/// sequence for a terminal is left.
pub fn clean(text: &str) -> String {
    let mut cleaned: String = text
        .chars()
        .filter(|&c| !c.is_control() || c == '\n' || c == '\t')
        .collect();
    cleaned.truncate(cleaned.trim_end().len());
    cleaned
}

/// The text on one line: newlines and tabs become spaces, other control characters go, and there is
/// no white space at either end.
pub fn one_line(text: &str) -> String {
    let line: String = text
        .chars()
        .map(|c| if c == '\n' || c == '\t' { ' ' } else { c })
        .filter(|c| !c.is_control())
        .collect();
    line.trim().to_owned()
}

/// A cell for a CSV file that no spreadsheet takes for a formula: one that starts with `=`, `+`,
/// `-`, `@`, tab or carriage return gets an apostrophe in front (common practice, no source).
///
/// A cell that starts with apostrophes and then such a character gets one more, so that
/// [`from_csv_cell`] gives every text back as it was.
pub fn csv_cell(text: &str) -> Cow<'_, str> {
    if looks_like_formula(text) {
        Cow::Owned(format!("'{text}"))
    } else {
        Cow::Borrowed(text)
    }
}

/// The text behind a cell written by [`csv_cell`].
pub fn from_csv_cell(cell: &str) -> &str {
    match cell.strip_prefix('\'') {
        Some(rest) if looks_like_formula(rest) => rest,
        _ => cell,
    }
}

fn looks_like_formula(text: &str) -> bool {
    text.trim_start_matches('\'')
        .starts_with(['=', '+', '-', '@', '\t', '\r'])
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn terminal_sequences_lose_their_control_characters() {
        // ECMA-48: ESC (1B) and CSI (9B) open a control sequence, BEL (07) rings.
        assert_eq!(clean("a\u{1b}[31mb\u{9b}2Jc\u{7}"), "a[31mb2Jc");
        assert_eq!(clean("one\r\ntwo\tthree\n\n"), "one\ntwo\tthree");
        assert_eq!(one_line(" filler\n\u{8}line 2\t"), "filler line 2");
    }

    #[test]
    fn formulas_are_quoted_and_plain_cells_left_alone() {
        for cell in ["=1+1", "+A1", "-5 V", "@SUM(A1)", "\tx", "\rx", "'=1"] {
            assert_eq!(csv_cell(cell), format!("'{cell}"));
        }
        for cell in ["566 V", "", "'quoted'", "a=b"] {
            assert_eq!(csv_cell(cell), cell);
        }
    }

    proptest! {
        #[test]
        fn every_cell_comes_back(text in any::<String>(), lead in "['=+@-]{0,3}") {
            let cell = lead + &text;
            let written = csv_cell(&cell);
            prop_assert_eq!(from_csv_cell(&written), cell.as_str());
            prop_assert!(!written.starts_with(['=', '+', '-', '@', '\t', '\r']));
        }
    }
}
