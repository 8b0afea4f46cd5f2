//! Which incident is meant: its running number, or its id or the beginning of it.

use std::{fmt, str::FromStr};

use super::field::{FieldError, form};

/// Which incident is meant.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Which {
    /// The running number in this log, from 1.
    Number(u32),
    /// The id, or the beginning of it if that is enough.
    Id(String),
}

/// Fewer characters than this are taken for a mistake, not for the beginning of an id.
const SHORTEST_BEGINNING: usize = 4;

impl FromStr for Which {
    type Err = FieldError;

    /// `12` or `#12` is a running number, which never starts with a zero; `01KM2Z` begins an id, in
    /// capitals or not.
    fn from_str(typed: &str) -> Result<Self, FieldError> {
        let text = typed.trim();
        let number = text.strip_prefix('#').unwrap_or(text);
        if number.bytes().all(|b| b.is_ascii_digit())
            && !number.starts_with('0')
            && let Ok(number) = number.parse()
        {
            return Ok(Self::Number(number));
        }
        let id = text.to_ascii_uppercase();
        if (SHORTEST_BEGINNING..=ulid::ULID_LEN).contains(&id.len()) && begins_an_id(&id) {
            Ok(Self::Id(id))
        } else {
            Err(form(
                "incident",
                text,
                "a running number, such as 12, or the beginning of an id, such as 01KM2Z",
            ))
        }
    }
}

impl fmt::Display for Which {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Number(number) => write!(f, "{number}"),
            Self::Id(id) => f.write_str(id),
        }
    }
}

/// An id is in Crockford's base 32, which has no I, L, O and U, and starts with 0 to 7 so as to fit
/// 128 bits.
fn begins_an_id(text: &str) -> bool {
    let digit = |b: u8| b.is_ascii_digit() || (b.is_ascii_uppercase() && !b"ILOU".contains(&b));
    text.starts_with(|first| ('0'..='7').contains(&first)) && text.bytes().all(digit)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_and_beginnings_of_ids() {
        for typed in ["12", " #12 "] {
            assert_eq!(typed.parse(), Ok(Which::Number(12)));
        }
        // The example id of the ULID specification, whole and begun.
        for typed in ["01ARZ3NDEKTSV4RRFFQ69G5FAV", "01arz3ndek"] {
            assert_eq!(typed.parse(), Ok(Which::Id(typed.to_ascii_uppercase())));
        }
    }

    #[test]
    fn what_is_neither_is_refused() {
        let too_long = "0".repeat(27);
        for typed in [
            "",
            "#",
            "0",
            "01A",
            "01U2",
            "8ARZ",
            "01ARZ*",
            "last",
            "99999999999",
            "０１２３",
            &too_long,
        ] {
            assert!(typed.parse::<Which>().is_err(), "{typed}");
        }
    }
}
