//! The ISO 14224 codes of an incident.

use serde::{Deserialize, Serialize};

use super::field::{FieldError, form};
use crate::knowledge;

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

/// Failure modes of ISO 14224:2016: rotating equipment (table B.6), then electrical equipment.
const MODES: [&str; 30] = [
    "FTS", "STP", "UST", "BRD", "ERO", "HIO", "LOO", "OHE", "VIB", "NOI", "PDE", "AIR", "STD",
    "SER", "ELU", "ELP", "ELF", "INL", "PLU", "OTH", "UNK", "FTF", "FTI", "FOF", "FOV", "NOO",
    "FCO", "FDC", "DOP", "LOR",
];

impl Coding {
    /// Whether no code is given.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// The codes that knowledge proposes for an incident: how it shows and went wrong by its class, the
    /// rest by its cause. Whoever records it may change them.
    pub fn proposed(class: &knowledge::Coding, cause: Option<&knowledge::Coding>) -> Coding {
        let first = |of: fn(&knowledge::Coding) -> &Option<String>| {
            let by_cause = cause.and_then(|cause| of(cause).clone());
            by_cause.or_else(|| of(class).clone())
        };
        Coding {
            mode: class.mode.clone(),
            mechanism: first(|coding| &coding.mechanism),
            cause: first(|coding| &coding.cause),
            activity: first(|coding| &coding.activity),
        }
    }

    /// These codes, with those that are left out taken from a proposal.
    #[must_use]
    pub fn or(self, proposal: Coding) -> Coding {
        Coding {
            mode: self.mode.or(proposal.mode),
            mechanism: self.mechanism.or(proposal.mechanism),
            cause: self.cause.or(proposal.cause),
            activity: self.activity.or(proposal.activity),
        }
    }

    /// Whether a failure mode is one that open material repeats for rotating or electrical equipment.
    pub fn is_listed_mode(mode: &str) -> bool {
        MODES.contains(&mode)
    }

    /// Whether the codes exist.
    ///
    /// # Errors
    /// The first one that does not.
    pub fn check(&self) -> Result<(), FieldError> {
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
