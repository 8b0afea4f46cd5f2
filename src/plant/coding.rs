//! The ISO 14224 codes of an incident.

use serde::{Deserialize, Serialize};

use super::field::{FieldError, form};

/// ISO 14224:2016 codes; each may be left out.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Coding {
    /// Failure mode: how it showed at the equipment, three letters (tables B.6 to B.15).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mode: Option<String>,
    /// Failure mechanism: what went wrong physically (table B.2).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mechanism: Option<String>,
    /// Failure cause: the root of it (table B.3).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cause: Option<String>,
    /// Maintenance activity: what was done (table B.5).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub activity: Option<String>,
}

/// The last number of each group of failure mechanisms, ISO 14224:2016 table B.2: mechanical,
/// material, instrument, electrical, external, miscellaneous.
const MECHANISMS: [u8; 6] = [6, 8, 6, 5, 3, 4];

/// The last number of each group of failure causes, ISO 14224:2016 table B.3: design, fabrication or
/// installation, operation or maintenance, management, miscellaneous.
const CAUSES: [u8; 5] = [2, 2, 4, 2, 6];

/// The number of maintenance activities, ISO 14224:2016 table B.5.
const ACTIVITIES: u8 = 12;

impl Coding {
    /// Whether no code is given.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    pub(super) fn check(&self) -> Result<(), FieldError> {
        let three_letters =
            |code: &str| code.len() == 3 && code.bytes().all(|b| b.is_ascii_uppercase());
        check_code(
            "coding mode",
            &self.mode,
            three_letters,
            "an ISO 14224 failure mode: three capital letters, such as UST",
        )?;
        check_code(
            "coding mechanism",
            &self.mechanism,
            |code| in_groups(code, &MECHANISMS),
            "an ISO 14224 failure mechanism, table B.2: 1.0 to 6.4, such as \"4.4\"",
        )?;
        check_code(
            "coding cause",
            &self.cause,
            |code| in_groups(code, &CAUSES),
            "an ISO 14224 failure cause, table B.3: 1.0 to 5.6, such as \"3.2\"",
        )?;
        check_code(
            "coding activity",
            &self.activity,
            |code| {
                is_plain(code)
                    && code
                        .parse()
                        .is_ok_and(|number: u8| (1..=ACTIVITIES).contains(&number))
            },
            "an ISO 14224 maintenance activity, table B.5: 1 to 12, such as \"4\"",
        )
    }
}

fn check_code(
    field: &str,
    code: &Option<String>,
    good: impl Fn(&str) -> bool,
    wanted: &'static str,
) -> Result<(), FieldError> {
    match code {
        Some(code) if !good(code) => Err(form(field, code, wanted)),
        _ => Ok(()),
    }
}

/// Whether `group.number` exists, given the last number of each group.
fn in_groups(code: &str, groups: &[u8]) -> bool {
    let Some((group, number)) = code.split_once('.') else {
        return false;
    };
    let (true, Ok(group), Ok(number)) = (
        is_plain(group),
        group.parse::<usize>(),
        number.parse::<u8>(),
    ) else {
        return false;
    };
    number.to_string() == code[code.len() - 1..]
        && code.len() == 3
        && group
            .checked_sub(1)
            .and_then(|group| groups.get(group))
            .is_some_and(|&last| number <= last)
}

fn is_plain(number: &str) -> bool {
    !number.starts_with(['+', '0'])
}

#[cfg(test)]
mod tests {
    use super::*;

    fn accepted(codes: impl Iterator<Item = String>, as_coding: fn(String) -> Coding) -> usize {
        codes
            .filter(|code| as_coding(code.clone()).check().is_ok())
            .count()
    }

    fn all_dotted() -> impl Iterator<Item = String> {
        (0..20).flat_map(|group| (0..20).map(move |number| format!("{group}.{number}")))
    }

    #[test]
    fn as_many_codes_as_the_tables_have() {
        // ISO 14224:2016: 38 entries in table B.2, 21 in B.3, 12 in B.5.
        let mechanism = |code| Coding {
            mechanism: Some(code),
            ..Coding::default()
        };
        let cause = |code| Coding {
            cause: Some(code),
            ..Coding::default()
        };
        let activity = |code| Coding {
            activity: Some(code),
            ..Coding::default()
        };
        assert_eq!(accepted(all_dotted(), mechanism), 38);
        assert_eq!(accepted(all_dotted(), cause), 21);
        assert_eq!(
            accepted((0..40).map(|number| number.to_string()), activity),
            12
        );
    }

    #[test]
    fn odd_spellings_are_refused() {
        for code in [
            "", ".", "4", "4.", ".4", "+4.1", "4.+1", "4.01", "04.1", "4.1.1", "４.1",
        ] {
            assert!(
                Coding {
                    mechanism: Some(code.to_owned()),
                    ..Coding::default()
                }
                .check()
                .is_err(),
                "{code}"
            );
        }
        for code in ["ust", "US", "USTX", "U1T"] {
            assert!(
                Coding {
                    mode: Some(code.to_owned()),
                    ..Coding::default()
                }
                .check()
                .is_err(),
                "{code}"
            );
        }
    }
}
