//! What a search gives back.

use crate::quantity::Quantity;

/// What a hit is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HitKind {
    /// A fault class.
    Class,
    /// A cause.
    Cause,
    /// An error code of an open standard.
    StandardCode,
    /// A status word of an open standard.
    StatusWord,
    /// A check: an electrical sum.
    Check,
    /// A question of the walks: a step with what it tells.
    Question,
    /// A display code of the plant's own drives.
    PlantCode,
    /// A resolved incident of the plant.
    Incident,
}

impl HitKind {
    /// The word shown.
    pub fn word(self) -> &'static str {
        match self {
            HitKind::Class => "class",
            HitKind::Cause => "cause",
            HitKind::StandardCode => "standard-code",
            HitKind::StatusWord => "status-word",
            HitKind::Check => "check",
            HitKind::Question => "question",
            HitKind::PlantCode => "plant-code",
            HitKind::Incident => "incident",
        }
    }
}

/// One thing that was found.
#[derive(Clone, Debug, PartialEq)]
pub struct Hit {
    /// What it is.
    pub kind: HitKind,
    /// Its id.
    pub id: String,
    /// The fault class it leads to.
    pub class: Option<String>,
    /// Its title.
    pub title: String,
    /// How surely it is meant, 0 to 1.
    pub score: f64,
    /// Why it was found, in words.
    pub why: Vec<String>,
}

/// A reading that stands in the query.
#[derive(Clone, Debug, PartialEq)]
pub struct QueryReading {
    /// What it belongs to, as typed: `bus`, `supply`.
    pub of: Option<String>,
    /// As typed.
    pub typed: String,
    /// The value.
    pub value: Quantity,
}

/// What the query was understood as.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Understood {
    /// Mistyped words and what they were read as.
    pub corrected: Vec<(String, String)>,
    /// The moment of the trouble: a finding of the question `trip-moment`.
    pub moment: Option<String>,
    /// Moments that the query rules out.
    pub not_moments: Vec<String>,
    /// Other observations: question and finding.
    pub observed: Vec<(String, String)>,
    /// Readings.
    pub readings: Vec<QueryReading>,
    /// Codes that only the maker of the drive can explain.
    pub maker_codes: Vec<String>,
    /// Words that nothing is known about.
    pub unknown: Vec<String>,
}

/// Two classes that fit almost equally well.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NearTie {
    /// The first class.
    pub first: String,
    /// The second class.
    pub second: String,
    /// The question that separates them.
    pub ask: String,
}

/// The answer to a query.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Found {
    /// Hits, best first; classes before causes.
    pub hits: Vec<Hit>,
    /// What the query was understood as.
    pub understood: Understood,
    /// Two classes that are hard to tell apart by these words.
    pub near_tie: Option<NearTie>,
    /// Questions whose answers would narrow it down most.
    pub ask: Vec<String>,
    /// What would help, in words.
    pub advice: Vec<String>,
    /// What must be said before anything else.
    pub caution: Option<&'static str>,
}

impl Found {
    /// A code that looked like a maker's is explained elsewhere, such as by the plant's code sheet:
    /// nothing is said of it any more.
    pub fn explained(&mut self, code: &str) {
        self.understood.maker_codes.retain(|typed| typed != code);
        self.advice.retain(|said| !said.starts_with(code));
    }
}
