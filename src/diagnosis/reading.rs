//! A reading near a limit counts for both findings, in proportion to the meter's uncertainty.
//!
//! The true value is taken as normal around the reading with the standard uncertainty of the
//! measurement [JCGM 100:2008]; the weight of a finding is the chance that the true value lies in
//! its region [JCGM 106:2012]. The weights enter the belief as likelihood evidence [Pearl 1988].

use std::fmt;

use super::normal;

/// Which side of a limit a finding wants.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Side {
    /// Output below the limit.
    Less,
    /// Output above the limit.
    Greater,
}

/// `output < limit` or `output > limit`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Condition {
    /// Which output of the check.
    pub output: usize,
    /// Which side of the limit.
    pub side: Side,
    /// The limit, in the unit of the output.
    pub limit: f64,
}

/// What a measurement or a computation gave.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// The value; may be infinite (over range) when the uncertainty is 0.
    pub value: f64,
    /// Standard uncertainty, 0 or more; 0 means exact.
    pub uncertainty: f64,
}

/// Why no weights can be given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum ReadingError {
    /// A condition names an output that was not given.
    UnknownOutput {
        /// Position of the finding.
        finding: usize,
    },
    /// A value, uncertainty or limit is not a number, or an uncertainty is below 0 or infinite.
    NotANumber,
    /// Only the last finding may, and must, have no condition.
    LastOnly {
        /// Position of the finding.
        finding: usize,
    },
}

impl fmt::Display for ReadingError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::UnknownOutput { finding } => {
                write!(
                    out,
                    "finding {finding} is judged by a value that was not given"
                )
            }
            Self::NotANumber => write!(
                out,
                "a value, its uncertainty or a limit is not a usable number"
            ),
            Self::LastOnly { finding } => {
                write!(
                    out,
                    "finding {finding}: every finding but the last needs a condition, the last none"
                )
            }
        }
    }
}

impl std::error::Error for ReadingError {}

/// Below this largest weight a reading is within the meter's uncertainty of a limit (`practice`).
pub const CLEAR_WEIGHT: f64 = 0.9;

/// Whether one finding clearly leads; else a better meter or a second method would settle it.
#[must_use]
pub fn is_clear(weights: &[f64]) -> bool {
    weights.iter().any(|weight| *weight >= CLEAR_WEIGHT)
}

/// Weights of the findings, together 1.
///
/// The findings are a decision list: the first whose condition holds is the finding, the last
/// takes what is left. What is left after some conditions is one interval an output, so a
/// finding's weight is the mass its condition cuts from its own output's interval times the mass
/// still open on every other output (outputs taken as independent). Conditions on one output
/// thus give differences of the normal distribution exactly.
///
/// # Errors
/// See [`ReadingError`].
pub fn weights(
    conditions: &[Option<Condition>],
    readings: &[Reading],
) -> Result<Vec<f64>, ReadingError> {
    let mut open = readings
        .iter()
        .map(Open::whole)
        .collect::<Result<Vec<_>, _>>()?;
    let mut weights = Vec::with_capacity(conditions.len());
    for (finding, condition) in conditions.iter().enumerate() {
        let last = finding + 1 == conditions.len();
        let Some(condition) = condition else {
            if !last {
                return Err(ReadingError::LastOnly { finding });
            }
            weights.push(open.iter().map(|part| part.mass).product());
            continue;
        };
        if last {
            return Err(ReadingError::LastOnly { finding });
        }
        if condition.limit.is_nan() {
            return Err(ReadingError::NotANumber);
        }
        let others: f64 = open
            .iter()
            .enumerate()
            .filter(|(output, _)| *output != condition.output)
            .map(|(_, part)| part.mass)
            .product();
        let own = open
            .get_mut(condition.output)
            .ok_or(ReadingError::UnknownOutput { finding })?;
        weights.push(others * own.cut(condition));
    }
    let sum: f64 = weights.iter().sum();
    Ok(weights.iter().map(|weight| weight / sum).collect())
}

/// What no condition has taken yet of one output.
struct Open {
    reading: Reading,
    low: f64,
    high: f64,
    mass: f64,
}

impl Open {
    fn whole(reading: &Reading) -> Result<Self, ReadingError> {
        let Reading { value, uncertainty } = *reading;
        let exact = uncertainty == 0.0 && !value.is_nan();
        let soft = uncertainty > 0.0 && uncertainty.is_finite() && value.is_finite();
        if exact || soft {
            Ok(Self {
                reading: *reading,
                low: f64::NEG_INFINITY,
                high: f64::INFINITY,
                mass: 1.0,
            })
        } else {
            Err(ReadingError::NotANumber)
        }
    }

    /// Takes the condition's part away and returns its mass.
    fn cut(&mut self, condition: &Condition) -> f64 {
        let Reading { value, uncertainty } = self.reading;
        if uncertainty == 0.0 {
            let holds = match condition.side {
                Side::Less => value < condition.limit,
                Side::Greater => value > condition.limit,
            };
            return if holds {
                std::mem::take(&mut self.mass)
            } else {
                0.0
            };
        }
        let limit = condition.limit.clamp(self.low, self.high);
        let mass = |low: f64, high: f64| {
            normal::between((low - value) / uncertainty, (high - value) / uncertainty)
        };
        let taken = match condition.side {
            Side::Less => mass(std::mem::replace(&mut self.low, limit), limit),
            Side::Greater => mass(limit, std::mem::replace(&mut self.high, limit)),
        };
        self.mass = mass(self.low, self.high);
        taken
    }
}

/// How sure somebody is of what was seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Sureness {
    /// Seen clearly.
    Sure,
    /// Fairly sure.
    Fairly,
    /// A guess.
    Guess,
}

impl Sureness {
    /// Weights of `findings` findings: 1, 0.85 or 0.65 (`practice`) on `finding`, the rest spread
    /// evenly over the others. All even when there is no such finding.
    #[must_use]
    pub fn weights(self, finding: usize, findings: usize) -> Vec<f64> {
        let own = match self {
            Self::Sure => 1.0,
            Self::Fairly => 0.85,
            Self::Guess => 0.65,
        };
        if finding >= findings || findings == 1 {
            return vec![1.0 / findings as f64; findings];
        }
        let other = (1.0 - own) / (findings - 1) as f64;
        (0..findings)
            .map(|at| if at == finding { own } else { other })
            .collect()
    }
}
