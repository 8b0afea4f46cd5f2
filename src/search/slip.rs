//! How dear it is to read one word as a slip of another: a noisy channel (Kernighan, Church and Gale 1990).
//!
//! Four slips in five are one letter left out, added, changed, or two swapped (Damerau 1964); how often which is
//! and which letters are taken for which: common practice, no source. A cost stands to the others about as
//! the negative logarithms of how often such a slip happens; their height is chosen on slips made at random.

/// A letter left out; one of two equal ones.
const LEFT_OUT: f32 = 1.1;
const LEFT_OUT_OF_TWO: f32 = 0.6;
/// A letter typed twice, a neighbour touched as well, any other one added.
const TWICE: f32 = 1.9;
const NEIGHBOUR_ADDED: f32 = 3.4;
const ADDED: f32 = 5.0;
/// Two letters swapped.
const SWAPPED: f32 = 1.9;
/// One vowel for another, a neighbour on the keyboard, any other letter.
const VOWEL: f32 = 2.6;
const NEIGHBOUR: f32 = 3.2;
const CHANGED: f32 = 5.5;
/// Any letter added or changed at the end: endings are said in many ways.
const ENDING: f32 = 2.7;
/// The first letter is rarely the wrong one.
const FIRST: f32 = 1.5;

/// The least cost of all ways to come from the word that was meant to what was typed.
pub fn cost(meant: &str, typed: &str) -> f32 {
    let (meant, typed) = (meant.as_bytes(), typed.as_bytes());
    let first = |place: usize| if place == 0 { FIRST } else { 0.0 };
    let mut before: Vec<f32> = Vec::new();
    let mut above: Vec<f32> = Vec::new();
    for i in 0..=meant.len() {
        let mut row = vec![0.0_f32; typed.len() + 1];
        for j in 0..=typed.len() {
            if i == 0 && j == 0 {
                continue;
            }
            let mut least = f32::INFINITY;
            if i > 0 {
                let double = i > 1 && meant[i - 1] == meant[i - 2];
                let cost = if double { LEFT_OUT_OF_TWO } else { LEFT_OUT };
                least = least.min(above[j] + cost + first(i - 1));
            }
            if j > 0 {
                least = least.min(row[j - 1] + added(typed, j - 1) + first(j - 1));
            }
            if i > 0 && j > 0 {
                let (one, other) = (meant[i - 1], typed[j - 1]);
                let cost = if one == other {
                    0.0
                } else {
                    let last = i == meant.len() && j == typed.len();
                    let cost = changed(one, other) + first(i - 1);
                    if last { cost.min(ENDING) } else { cost }
                };
                least = least.min(above[j - 1] + cost);
            }
            if i > 1 && j > 1 && meant[i - 1] == typed[j - 2] && meant[i - 2] == typed[j - 1] {
                least = least.min(before[j - 2] + SWAPPED + first(i - 2));
            }
            row[j] = least;
        }
        before = std::mem::replace(&mut above, row);
    }
    above.last().copied().unwrap_or_default()
}

/// What the letter costs that was typed and not meant.
fn added(typed: &[u8], place: usize) -> f32 {
    let letter = typed[place];
    let beside = [place.checked_sub(1), Some(place + 1)];
    let last = place + 1 == typed.len();
    let ending = if last { ENDING } else { ADDED };
    let mut beside = beside.into_iter().flatten().filter_map(|at| typed.get(at));
    if place > 0 && typed[place - 1] == letter {
        TWICE
    } else if beside.any(|other| neighbours(*other, letter)) {
        NEIGHBOUR_ADDED.min(ending)
    } else {
        ADDED.min(ending)
    }
}

/// What one letter costs in place of another.
fn changed(meant: u8, typed: u8) -> f32 {
    let vowel = |letter: u8| b"aeiouy".contains(&letter);
    if vowel(meant) && vowel(typed) {
        VOWEL
    } else if neighbours(meant, typed) {
        NEIGHBOUR
    } else {
        CHANGED
    }
}

/// Whether two letters lie side by side on the usual keyboard of the Latin script (ISO/IEC 9995-3).
fn neighbours(one: u8, other: u8) -> bool {
    const ROWS: [&[u8]; 3] = [b"qwertyuiop", b"asdfghjkl", b"zxcvbnm"];
    let place = |letter: u8| {
        let row = |row: &&[u8]| row.iter().position(|key| *key == letter);
        ROWS.iter()
            .enumerate()
            .find_map(|(number, keys)| Some((number, row(keys)?)))
    };
    let (Some((row, column)), Some((other_row, other_column))) = (place(one), place(other)) else {
        return false;
    };
    // Each row lies half a key to the right of the one above it.
    match other_row as isize - row as isize {
        0 => column.abs_diff(other_column) == 1,
        1 => other_column == column || other_column + 1 == column,
        -1 => other_column == column || column + 1 == other_column,
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn likelier_slips_are_cheaper() {
        let cheaper = |one: (&str, &str), other: (&str, &str)| {
            let (less, more) = (cost(one.0, one.1), cost(other.0, other.1));
            assert!(less < more, "{one:?} {less} {other:?} {more}");
        };
        assert_eq!(cost("motor", "motor"), 0.0);
        cheaper(("stopping", "stoping"), ("motor", "moor"));
        cheaper(("brake", "braek"), ("brake", "brale"));
        cheaper(("brake", "breke"), ("brake", "brqke"));
        cheaper(("drive", "drkve"), ("drive", "drmve"));
        cheaper(("motor", "motoor"), ("motor", "motoxr"));
        cheaper(("motor", "mtor"), ("motor", "otor"));
    }

    #[test]
    fn keys_lie_side_by_side() {
        for (pair, beside) in [
            ("qw", true),
            ("sw", true),
            ("se", true),
            ("az", true),
            ("bn", true),
            ("km", true),
            ("qs", false),
            ("ax", false),
            ("gm", false),
        ] {
            let (one, other) = (pair.as_bytes()[0], pair.as_bytes()[1]);
            assert_eq!(neighbours(one, other), beside, "{pair}");
            assert_eq!(neighbours(other, one), beside, "{pair}");
        }
    }
}
