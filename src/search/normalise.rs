//! From what is typed to plain words: case, accents, apostrophes, hyphens, numbers with their units.

/// Longest text that is looked at, in characters; what a person types is far shorter.
pub const LONGEST_TEXT: usize = 1200;
/// Most words that are looked at.
pub const MOST_WORDS: usize = 160;
/// Longest word that is looked at, in characters.
const LONGEST_WORD: usize = 40;

/// A word in its plain form and as it was typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Word {
    /// Lower case, without accents.
    pub plain: String,
    /// As typed, without control characters.
    pub typed: String,
}

/// Splits a text into plain words.
pub fn words(text: &str) -> Vec<Word> {
    let mut found: Vec<Word> = Vec::new();
    let characters: Vec<char> = text.chars().take(LONGEST_TEXT).collect();
    let mut word = Word {
        plain: String::new(),
        typed: String::new(),
    };
    for (at, &character) in characters.iter().enumerate() {
        let before = at.checked_sub(1).and_then(|before| characters.get(before));
        let after = characters.get(at + 1);
        let between_digits =
            before.is_some_and(char::is_ascii_digit) && after.is_some_and(char::is_ascii_digit);
        match character {
            '.' | ',' if between_digits => keep(&mut word, character, "."),
            '%' if before.is_some_and(|c| c.is_ascii_digit() || *c == ' ') => {
                keep(&mut word, character, "%");
            }
            '\'' | '\u{2019}' | '\u{2bc}' | '`' => {
                // l'arrêt, d'isolement: an article stands before the apostrophe; won't: nothing.
                if word.plain.chars().count() <= 1 && after.is_some_and(|c| c.is_alphabetic()) {
                    end(&mut word, &mut found);
                } else {
                    word.typed.push(character);
                }
            }
            // An accent that was typed apart from its letter.
            '\u{300}'..='\u{36f}' => {}
            _ => {
                let folded = fold(character);
                if folded.is_empty() {
                    end(&mut word, &mut found);
                } else {
                    keep(&mut word, character, &folded);
                }
            }
        }
    }
    end(&mut word, &mut found);
    join_letters(&mut found, text);
    join_units(&mut found);
    found.retain(|word| !word.plain.is_empty());
    found.truncate(MOST_WORDS);
    found
}

fn keep(word: &mut Word, typed: char, plain: &str) {
    if word.typed.chars().count() < LONGEST_WORD {
        word.typed.push(typed);
        word.plain.push_str(plain);
    }
}

fn end(word: &mut Word, found: &mut Vec<Word>) {
    if !word.plain.is_empty() {
        let typed = word.typed.trim_end_matches(['\'', '\u{2019}']).to_owned();
        found.push(Word {
            plain: std::mem::take(&mut word.plain),
            typed,
        });
    }
    word.plain.clear();
    word.typed.clear();
}

/// Joins `E/F` and `O.C.` into one word; only single letters are joined.
fn join_letters(found: &mut Vec<Word>, text: &str) {
    if !text.contains(['/', '.']) {
        return;
    }
    let mut at = 0;
    while at + 1 < found.len() {
        let joined = |sign| format!("{}{sign}{}", found[at].typed, found[at + 1].typed);
        let joined = ['/', '.']
            .map(joined)
            .into_iter()
            .find(|one| text.contains(one.as_str()));
        let single = |word: &Word| {
            word.plain.len() == 1 && word.plain.bytes().all(|byte| byte.is_ascii_lowercase())
        };
        if let Some(joined) = joined
            && single(&found[at])
            && single(&found[at + 1])
        {
            let second = found.remove(at + 1);
            found[at].plain.push_str(&second.plain);
            found[at].typed = joined;
        }
        at += 1;
    }
}

/// Joins a number with the unit behind it, so that `480 V`, `480V` and `480 volts` are one word.
fn join_units(found: &mut Vec<Word>) {
    let mut at = 0;
    while at < found.len() {
        let digits = found[at]
            .plain
            .bytes()
            .next()
            .is_some_and(|byte| byte.is_ascii_digit());
        if digits {
            let number_end = found[at]
                .plain
                .find(|c: char| !c.is_ascii_digit() && c != '.')
                .unwrap_or(found[at].plain.len());
            let (number, own) = found[at].plain.split_at(number_end);
            let number = number.to_owned();
            if let Some(unit) = unit(own, true) {
                found[at].plain = number + unit;
            } else if own.is_empty()
                && let Some(next) = found.get(at + 1)
                && let Some(unit) = unit(&next.plain, next.typed.chars().any(char::is_uppercase))
            {
                let typed = format!("{} {}", found[at].typed, next.typed);
                found[at] = Word {
                    plain: number + unit,
                    typed,
                };
                found.remove(at + 1);
            }
        }
        at += 1;
    }
}

/// One spelling of a unit; `sure` when a single letter can only be a unit.
fn unit(word: &str, sure: bool) -> Option<&'static str> {
    Some(match word {
        "v" | "vac" | "vdc" | "volt" | "volts" => "v",
        "kv" => "kv",
        "amp" | "amps" | "ampere" | "amperes" => "a",
        "a" if sure => "a",
        "ma" => "ma",
        "hz" | "hertz" | "cps" => "hz",
        "khz" => "khz",
        "kw" => "kw",
        "hp" | "ps" | "cv" => "hp",
        "rpm" => "rpm",
        "ms" => "ms",
        "s" if sure => "s",
        "sec" | "secs" | "second" | "seconds" | "sek" => "s",
        "min" | "mins" | "minute" | "minutes" => "min",
        "ohm" | "ohms" | "ω" => "ohm",
        "mohm" | "megohm" | "megohms" | "meg" => "mohm",
        "percent" | "pct" | "%" => "%",
        "degc" | "celsius" => "degc",
        "kvar" => "kvar",
        _ => return None,
    })
}

/// The plain form of one character; empty for what separates words.
fn fold(character: char) -> String {
    if character.is_ascii_alphanumeric() {
        return character.to_ascii_lowercase().to_string();
    }
    let lower = character.to_lowercase().next().unwrap_or(character);
    let plain = match lower {
        'à'..='å' | 'ā' | 'ă' | 'ą' | 'ạ'..='ặ' => "a",
        'æ' => "ae",
        'ç' | 'ć' | 'č' => "c",
        'è'..='ë' | 'ē' | 'ė' | 'ę' | 'ě' | 'ẹ'..='ệ' => "e",
        'ì'..='ï' | 'ī' | 'į' | 'ı' | 'ỉ' | 'ị' | 'ĩ' => "i",
        'đ' | 'ď' => "d",
        'ñ' | 'ń' | 'ň' => "n",
        'ò'..='ö' | 'ø' | 'ō' | 'ő' | 'ơ' | 'ọ'..='ợ' => "o",
        'œ' => "oe",
        'ğ' | 'ģ' => "g",
        'ł' => "l",
        'ř' => "r",
        'ś' | 'š' | 'ş' | 'ș' => "s",
        'ß' => "ss",
        'ť' | 'ţ' | 'ț' => "t",
        'ù'..='ü' | 'ū' | 'ů' | 'ű' | 'ũ' | 'ư' | 'ụ'..='ự' => "u",
        'ý' | 'ÿ' | 'ỳ'..='ỹ' => "y",
        'ź' | 'ż' | 'ž' => "z",
        'ё' => "е",
        'й' => "и",
        '²' => "2",
        '³' => "3",
        '\u{2126}' => "ω",
        // 95 °C
        '°' => "deg",
        other if other.is_alphanumeric() => return other.to_string(),
        _ => return String::new(),
    };
    plain.to_owned()
}

/// A text with German umlauts written out, if it has any: `Überstrom` → `Ueberstrom`.
pub fn spelled_out(text: &str) -> Option<String> {
    if !text.contains(['ä', 'ö', 'ü', 'Ä', 'Ö', 'Ü']) {
        return None;
    }
    let mut spelled = String::with_capacity(text.len() + 4);
    for character in text.chars() {
        match character {
            'ä' | 'Ä' => spelled.push_str("ae"),
            'ö' | 'Ö' => spelled.push_str("oe"),
            'ü' | 'Ü' => spelled.push_str("ue"),
            other => spelled.push(other),
        }
    }
    Some(spelled)
}

/// A CiA 402 error code in any of its usual forms, as four hex digits: `3210`, `3210h`, `0x3210`.
/// `sure` tells whether the form itself shows that it is a hex code.
pub fn hex_code(plain: &str) -> Option<(String, bool)> {
    let (digits, sure) = match (plain.strip_prefix("0x"), plain.strip_suffix('h')) {
        (Some(digits), _) | (None, Some(digits)) => (digits, true),
        (None, None) => (plain, false),
    };
    let hex = digits.len() == 4 && digits.bytes().all(|byte| byte.is_ascii_hexdigit());
    let number = digits
        .bytes()
        .next()
        .is_some_and(|byte| byte.is_ascii_digit() || byte == b'f');
    (hex && number).then(|| (digits.to_ascii_uppercase(), sure))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plain(text: &str) -> String {
        words(text)
            .into_iter()
            .map(|word| word.plain)
            .collect::<Vec<_>>()
            .join(" ")
    }

    #[test]
    fn typed_forms_become_plain_words() {
        assert_eq!(
            plain("Überstrom beim Hochfahren"),
            "uberstrom beim hochfahren"
        );
        assert_eq!(
            plain("Won\u{2019}t start, can't run"),
            "wont start cant run"
        );
        assert_eq!(
            plain("défaut d'isolement à l'arrêt"),
            "defaut d isolement a l arret"
        );
        assert_eq!(
            plain("over-current E/F on start/stop"),
            "over current ef on start stop"
        );
        assert_eq!(
            plain("bus 790 V, 18A, 2,2 kW at 140 %"),
            "bus 790v 18a 2.2kw at 140%"
        );
        assert_eq!(plain("I²t trip"), "i2t trip");
        assert_eq!(plain("chập nên"), "chap nen");
        assert_eq!(plain("che\u{302}\u{323}m U\u{308}ber"), "chem uber");
        assert_eq!(
            plain("Şanzıman, ścięło, счётчик"),
            "sanziman scielo счетчик"
        );
    }

    #[test]
    fn standard_codes_in_every_usual_form() {
        assert_eq!(hex_code("0x3210"), Some(("3210".to_owned(), true)));
        assert_eq!(hex_code("3210h"), Some(("3210".to_owned(), true)));
        assert_eq!(hex_code("3210"), Some(("3210".to_owned(), false)));
        assert_eq!(hex_code("ff00h"), Some(("FF00".to_owned(), true)));
        assert_eq!(hex_code("dead"), None);
        assert_eq!(hex_code("32100"), None);
    }

    #[test]
    fn long_input_is_cut() {
        let long = "motor ".repeat(200_000);
        assert!(words(&long).len() <= MOST_WORDS);
        assert!(words(&"x".repeat(1_000_000))[0].plain.len() <= LONGEST_WORD);
    }
}
