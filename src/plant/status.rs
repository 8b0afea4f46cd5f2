//! How an incident ended, and how its cause was confirmed.

use serde::{Deserialize, Serialize};

/// How an incident ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Status {
    /// The cause is known and was confirmed.
    Confirmed,
    /// One cause is held to be likely; nothing has confirmed it.
    Likely,
    /// No cause was found.
    Unresolved,
}

/// How the cause was confirmed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ConfirmedBy {
    /// A decisive measurement showed it.
    Measured,
    /// It was put right, and a run proved it cured.
    ProvedByRun,
    /// A part was exchanged and the trouble went away.
    Exchanged,
    /// Nobody confirmed it.
    Presumed,
    /// No cause was found.
    NotFound,
}

impl Status {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Confirmed, Self::Likely, Self::Unresolved];

    /// The word that stands for it in files and in a log.
    pub fn word(self) -> &'static str {
        match self {
            Self::Confirmed => "confirmed",
            Self::Likely => "likely",
            Self::Unresolved => "unresolved",
        }
    }

    /// The status behind a word.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|status| status.word() == word)
    }
}

impl ConfirmedBy {
    /// All of them.
    pub const ALL: [Self; 5] = [
        Self::Measured,
        Self::ProvedByRun,
        Self::Exchanged,
        Self::Presumed,
        Self::NotFound,
    ];

    /// The word that stands for it in files and in a log.
    pub fn word(self) -> &'static str {
        match self {
            Self::Measured => "measured",
            Self::ProvedByRun => "proved-by-run",
            Self::Exchanged => "exchanged",
            Self::Presumed => "presumed",
            Self::NotFound => "not-found",
        }
    }

    /// The way behind a word.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|way| way.word() == word)
    }

    /// How much an incident confirmed in this way counts when the plant's experience is weighed
    /// (common practice, no source: judgement).
    pub fn weight(self) -> f64 {
        match self {
            Self::Measured | Self::ProvedByRun => 1.0,
            Self::Exchanged => 0.7,
            Self::Presumed => 0.3,
            Self::NotFound => 0.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_in_files_and_in_the_log_are_the_same() {
        for status in Status::ALL {
            assert_eq!(serde_json::to_value(status).unwrap(), status.word());
            assert_eq!(Status::from_word(status.word()), Some(status));
        }
        for way in ConfirmedBy::ALL {
            assert_eq!(serde_json::to_value(way).unwrap(), way.word());
            assert_eq!(ConfirmedBy::from_word(way.word()), Some(way));
        }
        assert_eq!(Status::from_word("Confirmed"), None);
    }
}
