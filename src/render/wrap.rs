//! Word wrap over spans: a label never stands alone because its text would fit the next line.

use super::doc::Meaning;

/// A line of pieces with their meanings.
pub type Pieces = Vec<(String, Meaning)>;

/// Breaks pieces into lines of at most `width` characters at their spaces; what has no space and is
/// longer is cut. The first line starts after `first` characters, the others after `rest`.
pub fn wrap(pieces: &[(String, Meaning)], width: usize, first: usize, rest: usize) -> Vec<Pieces> {
    let mut lines: Vec<Pieces> = vec![Vec::new()];
    let room = |line: usize| {
        width
            .saturating_sub(if line == 0 { first } else { rest })
            .max(10)
    };
    let mut used = 0;
    for (text, meaning) in pieces {
        for word in words(text) {
            let length = word.trim_end().chars().count();
            if used > 0 && used + length > room(lines.len() - 1) {
                lines.push(Vec::new());
                used = 0;
            }
            let word = if used == 0 { word.trim_start() } else { word };
            for part in parts(word, room(0).min(room(1))) {
                let size = part.chars().count();
                if used > 0 && used + part.trim_end().chars().count() > room(lines.len() - 1) {
                    lines.push(Vec::new());
                    used = 0;
                }
                push(&mut lines, part, *meaning);
                used += size;
            }
        }
    }
    for line in &mut lines {
        trim_end(line);
    }
    lines
}

/// Takes the spaces off the end of a line, whichever piece they stand in.
fn trim_end(line: &mut Pieces) {
    while let Some((text, _)) = line.last_mut() {
        text.truncate(text.trim_end().len());
        if !text.is_empty() {
            break;
        }
        line.pop();
    }
}

fn push(lines: &mut [Pieces], part: &str, meaning: Meaning) {
    let Some(line) = lines.last_mut() else { return };
    match line.last_mut() {
        Some((text, last)) if *last == meaning => text.push_str(part),
        _ => line.push((part.to_owned(), meaning)),
    }
}

/// Words with the spaces behind them; spaces in front stay with nothing.
fn words(text: &str) -> impl Iterator<Item = &str> {
    text.split_inclusive(' ')
}

/// A word in parts that fit.
fn parts(word: &str, room: usize) -> Vec<&str> {
    let mut parts = Vec::new();
    let mut rest = word;
    while rest.trim_end().chars().count() > room {
        let at = rest
            .char_indices()
            .nth(room)
            .map_or(rest.len(), |(at, _)| at);
        parts.push(&rest[..at]);
        rest = &rest[at..];
    }
    parts.push(rest);
    parts
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn joined(lines: &[Pieces]) -> Vec<String> {
        lines
            .iter()
            .map(|line| {
                line.iter()
                    .map(|(text, _)| text.as_str())
                    .collect::<String>()
            })
            .collect()
    }

    #[test]
    fn a_label_keeps_its_text_beside_it() {
        let pieces = vec![
            ("Proof: ".to_owned(), Meaning::Strong),
            (
                "five stops from full speed without a trip".to_owned(),
                Meaning::Plain,
            ),
        ];
        let lines = joined(&wrap(&pieces, 20, 0, 0));
        assert_eq!(lines[0].trim_end(), "Proof: five stops");
        assert!(
            lines
                .iter()
                .all(|line| line.trim_end().chars().count() <= 20),
            "{lines:?}"
        );
    }

    proptest! {
        #[test]
        fn nothing_is_lost_and_nothing_is_too_wide(words in proptest::collection::vec("[a-zäΩ-]{1,40}", 0..40), width in 12usize..90) {
            let text = words.join(" ");
            let lines = joined(&wrap(&[(text.clone(), Meaning::Plain)], width, 2, 4));
            let back: String = lines.concat().split_whitespace().collect();
            let whole: String = text.split_whitespace().collect();
            prop_assert_eq!(back, whole);
            for (index, line) in lines.iter().enumerate() {
                let room = width.saturating_sub(if index == 0 { 2 } else { 4 }).max(10);
                prop_assert!(line.trim_end().chars().count() <= room);
            }
        }
    }
}
