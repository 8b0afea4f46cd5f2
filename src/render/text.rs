//! Text that comes from elsewhere is made harmless before it is shown.

/// Text without control characters, escape sequences and invisible direction marks. Line breaks and
/// tabs become spaces.
pub fn harmless(text: &str) -> String {
    // Nearly every text is plain.
    if text.bytes().all(|byte| matches!(byte, b' '..=b'~')) {
        return text.to_owned();
    }
    text.chars()
        .filter_map(|c| match c {
            '\n' | '\t' | '\r' => Some(' '),
            c if is_acted_on(c) => None,
            c => Some(c),
        })
        .collect()
}

/// Control characters, and the invisible marks that turn the direction of a text.
pub fn is_acted_on(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
}

/// The beginning of a text, for saying it back.
pub fn shortened(text: &str) -> String {
    let mut short: String = text.chars().take(SAID_BACK).collect();
    if short.len() < text.len() {
        short.push('…');
    }
    short
}

/// How much of what was typed is said back.
const SAID_BACK: usize = 80;

/// The same text for a terminal that shows only ASCII.
pub fn ascii(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            c if c.is_ascii() => plain.push(c),
            'Ω' => plain.push_str("ohm"),
            'µ' => plain.push('u'),
            '°' => plain.push_str("deg"),
            '²' => plain.push('2'),
            '³' => plain.push('3'),
            '√' => plain.push_str("sqrt"),
            '×' => plain.push('x'),
            '·' | '•' | '⋅' => plain.push('*'),
            '–' | '—' | '−' | '―' => plain.push('-'),
            '→' => plain.push_str("->"),
            '≥' => plain.push_str(">="),
            '≤' => plain.push_str("<="),
            '±' => plain.push_str("+-"),
            '≈' => plain.push('~'),
            'π' => plain.push_str("pi"),
            'Σ' => plain.push_str("sum"),
            'Δ' | '∂' => plain.push('d'),
            'η' => plain.push_str("eta"),
            'φ' => plain.push_str("phi"),
            'ω' => plain.push('w'),
            'ϑ' | 'θ' => plain.push('T'),
            'τ' => plain.push_str("tau"),
            '█' => plain.push('#'),
            '░' => plain.push('.'),
            '…' => plain.push_str("..."),
            '‘' | '’' => plain.push('\''),
            '“' | '”' | '„' => plain.push('"'),
            '▐' => plain.push('>'),
            other => plain.push_str(unaccented(other)),
        }
    }
    plain
}

fn unaccented(c: char) -> &'static str {
    match c {
        'à' | 'á' | 'â' | 'ã' | 'å' => "a",
        'ä' => "ae",
        'ç' => "c",
        'è' | 'é' | 'ê' | 'ë' => "e",
        'ì' | 'í' | 'î' | 'ï' => "i",
        'ñ' => "n",
        'ò' | 'ó' | 'ô' | 'õ' => "o",
        'ö' => "oe",
        'ù' | 'ú' | 'û' => "u",
        'ü' => "ue",
        'ß' => "ss",
        'Ä' => "Ae",
        'Ö' => "Oe",
        'Ü' => "Ue",
        _ => "?",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn escape_sequences_do_not_survive() {
        assert_eq!(harmless("a\u{1b}[31mred\u{7}\u{9b}0m"), "a[31mred0m");
        assert_eq!(harmless("two\nlines\u{202e}"), "two lines");
    }

    proptest! {
        #[test]
        fn what_is_shown_has_no_control_characters(text in any::<String>()) {
            prop_assert!(!harmless(&text).chars().any(char::is_control));
            prop_assert!(ascii(&harmless(&text)).is_ascii());
        }
    }
}
