//! What is asked of a single field, and what is said when it falls short.

/// Why a field can't be kept as it is. The message names the field and what to do about it.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum FieldError {
    /// Something that must be there isn't.
    #[error("{field} is missing: {wanted}")]
    Missing {
        /// The field.
        field: &'static str,
        /// What is wanted.
        wanted: &'static str,
    },
    /// A text that is too long.
    #[error("{field} has {length} characters; at most {limit} fit, so shorten it or attach a file")]
    TooLong {
        /// The field.
        field: String,
        /// Its length in characters.
        length: usize,
        /// The most that fit.
        limit: usize,
    },
    /// A list that is too long.
    #[error("{field} has {count} items; at most {limit} fit")]
    TooMany {
        /// The field.
        field: &'static str,
        /// How many there are.
        count: usize,
        /// The most that fit.
        limit: usize,
    },
    /// A text that doesn't have the form it needs.
    #[error("{field} \"{text}\" is not {wanted}")]
    Form {
        /// The field.
        field: String,
        /// What was given.
        text: String,
        /// What is wanted.
        wanted: &'static str,
    },
    /// A number that can't be.
    #[error("{field} is {value}; it must lie between 0 and {limit} minutes")]
    Minutes {
        /// The field.
        field: &'static str,
        /// What was given.
        value: String,
        /// The most that is accepted.
        limit: u32,
    },
    /// A name that no field has.
    #[error("there is no field \"{field}\"; closest: {nearest}")]
    Unknown {
        /// What was given.
        field: String,
        /// The name that is most like it.
        nearest: &'static str,
    },
    /// Two fields that contradict each other.
    #[error("{what}: {remedy}")]
    Contradiction {
        /// What doesn't fit together.
        what: &'static str,
        /// What to do about it.
        remedy: &'static str,
    },
}

/// An id of the knowledge: lower-case words joined by hyphens.
pub(super) fn check_id(field: &'static str, text: &str) -> Result<(), FieldError> {
    let word = |word: &str| {
        !word.is_empty()
            && word
                .bytes()
                .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit())
    };
    if text.len() <= 80 && text.split('-').all(word) {
        Ok(())
    } else {
        Err(form(
            field,
            text,
            "an id: lower-case words joined by hyphens, such as dc-overvoltage-supply",
        ))
    }
}

/// At most `limit` characters.
pub(super) fn check_length(field: &str, text: &str, limit: usize) -> Result<(), FieldError> {
    // A text has at most as many characters as bytes, so most need no counting.
    let length = if text.len() <= limit {
        return Ok(());
    } else {
        text.chars().count()
    };
    if length <= limit {
        Ok(())
    } else {
        Err(FieldError::TooLong {
            field: field.to_owned(),
            length,
            limit,
        })
    }
}

/// At most `limit` items.
pub(super) fn check_count(
    field: &'static str,
    count: usize,
    limit: usize,
) -> Result<(), FieldError> {
    if count <= limit {
        Ok(())
    } else {
        Err(FieldError::TooMany {
            field,
            count,
            limit,
        })
    }
}

/// The name that is most like what was typed.
pub(super) fn nearest(typed: &str, names: &[&'static str]) -> &'static str {
    names
        .iter()
        .min_by_key(|name| {
            let begins = typed.len() >= 3 && name.contains(typed);
            (!begins, strsim::osa_distance(name, typed))
        })
        .copied()
        .unwrap_or("")
}

/// The error for a text of the wrong form; the text is cut so that the message stays readable.
pub(super) fn form(field: &str, text: &str, wanted: &'static str) -> FieldError {
    let text = super::text::one_line(text).chars().take(60).collect();
    FieldError::Form {
        field: field.to_owned(),
        text,
        wanted,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_are_lower_case_words_joined_by_hyphens() {
        for id in ["brake", "dc-overvoltage-decelerating", "control-supply-24v"] {
            assert_eq!(check_id("cause", id), Ok(()));
        }
        for id in [
            "",
            "-",
            "Brake",
            "brake--open",
            "brake-",
            "brake open",
            "brâke",
            &"a".repeat(81),
        ] {
            assert!(check_id("cause", id).is_err(), "{id} should be refused");
        }
    }

    #[test]
    fn length_counts_characters_not_bytes() {
        assert_eq!(check_length("who", "ΩΩΩ", 3), Ok(()));
        let error = check_length("who", "ΩΩΩΩ", 3).unwrap_err();
        assert_eq!(
            error.to_string(),
            "who has 4 characters; at most 3 fit, so shorten it or attach a file"
        );
    }
}
