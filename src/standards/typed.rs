//! Understands words as people type them: `0x0237`, `0237h`, `16#0237`, `decimal 567`,
//! `status 0x0237`, `6041h = 0237h`, `emergency 10 32`.

use super::reading::{Profile, WordKind};

/// A word of 16 bits as it was typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TypedWord {
    /// Its value.
    pub value: u16,
    /// Which word it is, if that was said.
    pub kind: Option<WordKind>,
    /// The profile, if the word for it names one.
    pub profile: Option<Profile>,
    /// As typed.
    pub typed: String,
    /// How an unmarked number was taken.
    pub note: Option<String>,
}

/// Why something could not be read as a word.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum TypedError {
    /// Nothing was typed that could be a number.
    #[error("there is no word to decode in it")]
    Nothing,
    /// Only the address of an object was given.
    #[error("{0} is the address of the {1}, not its value")]
    AddressOnly(String, &'static str),
    /// A number without a mark that may be decimal or hexadecimal.
    #[error("{0} may be decimal or hexadecimal")]
    Unmarked(String),
    /// More than 16 bits.
    #[error("{0} does not fit into 16 bits")]
    TooLarge(String),
    /// More words than one line may hold.
    #[error("at most {MOST_WORDS} words are decoded at once")]
    TooMany,
    /// A code as makers print them.
    #[error("{0} looks like a code of the drive's maker, not like a word of a drive profile")]
    Maker(String),
    /// Not a number.
    #[error("\"{0}\" is not a number of 16 bits")]
    NotANumber(String),
}

impl TypedError {
    /// What to do about it.
    pub fn remedy(&self) -> String {
        match self {
            TypedError::Unmarked(typed) => {
                format!("write 0x{typed} or {typed}h for hexadecimal, decimal {typed} for decimal")
            }
            TypedError::AddressOnly(address, _) => format!("give its value: {address} = 0237h"),
            TypedError::Maker(typed) => format!(
                "look {typed} up in the drive's own manual and search by its meaning; if it is a number, write \
                 0x{typed}"
            ),
            TypedError::TooMany => {
                "put them one a line into a file: whytrip decode --stdin < FILE".to_owned()
            }
            TypedError::Nothing | TypedError::TooLarge(_) | TypedError::NotANumber(_) => {
                "write it as 0x0237, 0237h, 16#0237 or decimal 567, with status, control or error in front"
                    .to_owned()
            }
        }
    }
}

/// Most words that are read from one line.
pub const MOST_WORDS: usize = 64;

/// What was understood, and the first thing that was not.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Typed {
    /// The words in order.
    pub words: Vec<TypedWord>,
    /// What could not be read; what stands behind it was not looked at.
    pub error: Option<TypedError>,
}

/// Reads the words of a line.
pub fn read(text: &str) -> Typed {
    let tokens = tokens(text);
    let mut reader = Reader::default();
    let mut rest = tokens.as_slice();
    while let Some((token, behind)) = rest.split_first() {
        if reader.typed.words.len() == MOST_WORDS {
            reader.typed.error = Some(TypedError::TooMany);
            break;
        }
        match reader.take(token, behind) {
            Ok(used) => rest = behind.get(used..).unwrap_or_default(),
            Err(error) => {
                reader.typed.error = Some(error);
                break;
            }
        }
    }
    if reader.typed.words.is_empty() && reader.typed.error.is_none() {
        reader.typed.error = Some(match reader.address {
            Some((address, name)) => TypedError::AddressOnly(address, name),
            None => TypedError::Nothing,
        });
    }
    reader.typed
}

/// Lower-case words between spaces and signs; figures and their marks joined (`0x 0237`, `0237 h`).
fn tokens(text: &str) -> Vec<String> {
    let plain: String = text
        .chars()
        .filter(|c| *c != '_')
        .map(|c| match c {
            ',' | ';' | '=' | '(' | ')' | '"' => ' ',
            other => other.to_ascii_lowercase(),
        })
        .collect();
    let mut joined: Vec<String> = Vec::new();
    for piece in plain.split_whitespace() {
        // "6041:00", "status:"
        let piece = piece.strip_suffix(":00").unwrap_or(piece);
        for token in piece.split(':').filter(|token| !token.is_empty()) {
            match joined.last_mut() {
                Some(last) if matches!(last.as_str(), "0x" | "16#" | "2#") => {
                    last.push_str(token);
                }
                Some(last) if token == "h" && is_hex(last) => last.push('h'),
                _ => joined.push(token.to_owned()),
            }
        }
    }
    joined
}

fn is_hex(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_hexdigit())
}

#[derive(Clone, Copy, PartialEq)]
enum Base {
    Decimal,
    Hexadecimal,
}

#[derive(Default)]
struct Reader {
    typed: Typed,
    kind: Option<WordKind>,
    profile: Option<Profile>,
    base: Option<Base>,
    /// An emergency message carries its bytes low byte first.
    message: bool,
    address: Option<(String, &'static str)>,
}

impl Reader {
    /// Takes a token; the answer is how many of those behind it were used up as well.
    fn take(&mut self, token: &str, behind: &[String]) -> Result<usize, TypedError> {
        if self.word_in_front(token, !behind.is_empty()) {
            return Ok(0);
        }
        if self.message && token.len() == 2 && is_hex(token) {
            let high = behind
                .first()
                .filter(|next| next.len() == 2 && is_hex(next))
                .ok_or_else(|| TypedError::Unmarked(token.to_owned()))?;
            let shown = format!("{token} {high}");
            let value = u16::from_str_radix(&format!("{high}{token}"), 16)
                .map_err(|_| TypedError::NotANumber(shown.clone()))?;
            let note =
                format!("{shown} read as an emergency message, low byte first: {value:04X}h.");
            self.push(value, shown, Some(note));
            // The other bytes of the message are register and maker's bytes.
            let bytes = behind
                .iter()
                .take(7)
                .take_while(|byte| byte.len() == 2 && is_hex(byte))
                .count();
            self.message = false;
            return Ok(bytes);
        }
        let (base, used) = match behind.first().map(String::as_str) {
            Some("decimal" | "dec") => (Some(Base::Decimal), 1),
            Some("hex" | "hexadecimal") => (Some(Base::Hexadecimal), 1),
            _ => (self.base, 0),
        };
        let (value, note) = number(token, base)?;
        self.push(value, token.to_owned(), note);
        Ok(used)
    }

    fn push(&mut self, value: u16, typed: String, note: Option<String>) {
        self.typed.words.push(TypedWord {
            value,
            kind: self.kind,
            profile: self.profile,
            typed,
            note,
        });
    }

    /// Whether the token says something about the numbers behind it.
    fn word_in_front(&mut self, token: &str, more: bool) -> bool {
        let kind = match token {
            "status" | "statusword" | "status-word" => Some(WordKind::Status),
            "control" | "controlword" | "control-word" | "command" => Some(WordKind::Control),
            "error" | "code" | "errorcode" | "error-code" | "fault" | "emergency" | "emcy" => {
                Some(WordKind::Error)
            }
            "zsw" | "zsw1" | "stw" | "stw1" => {
                self.profile = Some(Profile::Profile3);
                Some(if token.starts_with('z') {
                    WordKind::Status
                } else {
                    WordKind::Control
                })
            }
            _ => None,
        };
        if let Some(kind) = kind {
            self.kind = Some(kind);
            self.message = matches!(token, "emergency" | "emcy");
            return true;
        }
        let object = match token.trim_start_matches("0x").trim_start_matches("16#") {
            "6041" | "6041h" => Some((WordKind::Status, "status word")),
            "6040" | "6040h" => Some((WordKind::Control, "control word")),
            "603f" | "603fh" => Some((WordKind::Error, "error code")),
            _ => None,
        };
        if let Some((kind, name)) = object {
            self.kind = Some(kind);
            self.address = Some((shown_address(token), name));
            return true;
        }
        match token {
            "decimal" | "dec" if more => self.base = Some(Base::Decimal),
            "hex" | "hexadecimal" if more => self.base = Some(Base::Hexadecimal),
            // What people write between the name and the number.
            "word" | "object" | "index" | "value" | "is" | "reads" | "shows" | "the" | "and"
            | "then" | "message" => {}
            _ => return false,
        }
        true
    }
}

fn shown_address(token: &str) -> String {
    let digits = token.trim_start_matches("0x").trim_start_matches("16#");
    format!("{}h", digits.trim_end_matches('h').to_uppercase())
}

/// A number with how it was taken.
fn number(token: &str, base: Option<Base>) -> Result<(u16, Option<String>), TypedError> {
    let shown = || token.to_owned();
    let with_mark = |marks: &[(&str, u32)]| {
        marks.iter().find_map(|(mark, radix)| {
            let digits = token.strip_prefix(mark)?;
            is_hex(digits).then_some((digits, *radix))
        })
    };
    // 0b00h is hexadecimal: the mark behind counts before the mark of two figures.
    let marked = with_mark(&[("0x", 16), ("16#", 16), ("$", 16)])
        .or_else(|| {
            let digits = token.strip_suffix('h').filter(|digits| is_hex(digits))?;
            Some((digits, 16))
        })
        .or_else(|| with_mark(&[("0b", 2), ("2#", 2)]));
    if let Some((digits, radix)) = marked {
        return Ok((in_radix(digits, radix, token)?, None));
    }
    if base == Some(Base::Decimal) {
        return decimal(token).map(|value| (value, None));
    }
    if base == Some(Base::Hexadecimal) && is_hex(token) {
        return Ok((in_radix(token, 16, token)?, None));
    }
    let only_digits = !token.is_empty() && token.bytes().all(|byte| byte.is_ascii_digit());
    match token.len() {
        4 if only_digits => Ok((
            in_radix(token, 16, token)?,
            Some(format!(
                "{token} taken as hexadecimal; if it is decimal, write: decimal {token}"
            )),
        )),
        4 if is_hex(token) => {
            let value = in_radix(token, 16, token)?;
            let note = starts_with_a_letter(token).then(|| {
                format!(
                    "{} taken as hexadecimal; if the drive's display shows it like that, it is the maker's own \
                     code and means something else.",
                    token.to_uppercase()
                )
            });
            Ok((value, note))
        }
        5 if only_digits => Ok((
            decimal(token)?,
            Some(format!("{token} taken as decimal: it has five figures.")),
        )),
        1..=3 if only_digits => Err(TypedError::Unmarked(shown())),
        _ if only_digits || token.strip_prefix('-').is_some_and(is_number) => {
            Err(TypedError::TooLarge(shown()))
        }
        2..=6 if is_makers(token) => Err(TypedError::Maker(token.to_uppercase())),
        _ => Err(TypedError::NotANumber(shortened(token))),
    }
}

fn is_number(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit())
}

fn starts_with_a_letter(token: &str) -> bool {
    token.starts_with(|c: char| c.is_ascii_alphabetic())
}

/// Letters, then figures.
fn is_makers(token: &str) -> bool {
    let figures = token.trim_start_matches(|c: char| c.is_ascii_alphabetic());
    starts_with_a_letter(token) && is_number(figures.trim_start_matches(['-', '.']))
}

fn in_radix(digits: &str, radix: u32, token: &str) -> Result<u16, TypedError> {
    u32::from_str_radix(digits, radix)
        .map_err(|_| match digits.len() {
            9.. => TypedError::TooLarge(shortened(token)),
            _ => TypedError::NotANumber(shortened(token)),
        })
        .and_then(|value| u16::try_from(value).map_err(|_| TypedError::TooLarge(shortened(token))))
}

/// A decimal number; controllers show 16 bits with a sign as well.
fn decimal(token: &str) -> Result<u16, TypedError> {
    let value: i64 = token
        .parse()
        .map_err(|_| TypedError::NotANumber(shortened(token)))?;
    match value {
        0..=0xFFFF => Ok(value as u16),
        -0x8000..0 => Ok((value + 0x1_0000) as u16),
        _ => Err(TypedError::TooLarge(shortened(token))),
    }
}

fn shortened(token: &str) -> String {
    token.chars().take(40).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn values(text: &str) -> Vec<(u16, Option<WordKind>)> {
        let typed = read(text);
        assert_eq!(typed.error, None, "{text}");
        typed
            .words
            .iter()
            .map(|word| (word.value, word.kind))
            .collect()
    }

    #[test]
    fn every_usual_form_is_the_same_word() {
        let status = Some(WordKind::Status);
        for text in [
            "0x0237",
            "0237h",
            "0237H",
            "16#0237",
            "16#237",
            "$0237",
            "0237",
            "0x 0237",
            "0237 h",
            "decimal 567",
            "567 dec",
            "00567",
            "0X0237",
            "2#0000_0010_0011_0111",
            "0b1000110111",
            "hex 237",
            "0x00000237",
        ] {
            assert_eq!(values(text), [(0x0237, None)], "{text}");
        }
        for text in [
            "status 0x0237",
            "Status word: 0237h",
            "6041h = 0237h",
            "6041:00 0x0237",
            "0x6041 is 0237",
            "statusword=0x0237",
            "status decimal 567",
        ] {
            assert_eq!(values(text), [(0x0237, status)], "{text}");
        }
        assert_eq!(values("decimal -32193"), [(0x823F, None)]);
    }

    #[test]
    fn a_kind_holds_until_the_next_one() {
        use WordKind::{Control, Error, Status};
        assert_eq!(
            values("status 0x0250, 0x0231 then control 6 hex error 3210h"),
            [
                (0x0250, Some(Status)),
                (0x0231, Some(Status)),
                (0x0006, Some(Control)),
                (0x3210, Some(Error))
            ]
        );
    }

    /// CiA 301: an emergency message carries the error code in its first two bytes, low byte first.
    #[test]
    fn the_bytes_of_an_emergency_message_come_low_byte_first() {
        for text in ["emergency 10 32", "emcy 10 32 08 00 00 00 00 00"] {
            assert_eq!(values(text), [(0x3210, Some(WordKind::Error))], "{text}");
        }
    }

    #[test]
    fn what_was_not_understood_is_named() {
        let error = |text: &str| read(text).error;
        assert_eq!(error(""), Some(TypedError::Nothing));
        assert_eq!(error("status"), Some(TypedError::Nothing));
        assert_eq!(error("567"), Some(TypedError::Unmarked("567".to_owned())));
        assert_eq!(
            error("70000"),
            Some(TypedError::TooLarge("70000".to_owned()))
        );
        assert_eq!(
            error("0x12345"),
            Some(TypedError::TooLarge("0x12345".to_owned()))
        );
        assert_eq!(error("F7"), Some(TypedError::Maker("F7".to_owned())));
        assert_eq!(error("E-05"), Some(TypedError::Maker("E-05".to_owned())));
        assert_eq!(
            error("hello"),
            Some(TypedError::NotANumber("hello".to_owned()))
        );
        assert_eq!(
            error("6041h"),
            Some(TypedError::AddressOnly("6041h".to_owned(), "status word"))
        );
        let typed = read("0x0237 hello 0x0250");
        assert_eq!(typed.words.len(), 1);
    }
}
