//! What a meter's reading is worth: its limit of error as a standard uncertainty.

use super::define::{Check, Origin};
use crate::quantity::{Kind, Quantity, Reading};

/// A meter's stated accuracy: percent of reading plus digits of the last place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Accuracy {
    /// Percent of the reading.
    pub percent: f64,
    /// Counts of the last place shown.
    pub digits: f64,
    /// A fixed part in the coherent SI unit, for thermometers and stop-watches.
    pub fixed: f64,
}

/// The accuracy assumed when nobody states the meter's own (common practice, no source): a
/// hand-held multimeter, a clamp, an insulation tester, a surface thermometer.
pub fn assumed(kind: Kind, value: f64) -> Accuracy {
    let (percent, digits, fixed) = match kind {
        Kind::Voltage => (0.7, 2.0, 0.0),
        Kind::Current => (2.0, 5.0, 0.0),
        Kind::Resistance if value >= 1e6 => (5.0, 2.0, 0.0),
        Kind::Resistance => (0.9, 2.0, 0.0),
        Kind::Frequency => (0.1, 1.0, 0.0),
        Kind::Temperature | Kind::TemperatureDifference => (0.0, 1.0, 2.0),
        Kind::Time => (1.0, 1.0, 0.0),
        Kind::Speed => (0.1, 1.0, 0.0),
        Kind::Count => (0.0, 0.0, 0.0),
        _ => (1.0, 1.0, 0.0),
    };
    Accuracy {
        percent,
        digits,
        fixed,
    }
}

/// What becomes of the limits of error.
pub const METHOD: &str = "Taken as rectangular, carried through the formula and told as ±2u (JCGM 100:2008, 4.3.7 and 5.1.2); a verdict that the interval does not settle is called so.";

/// How the readings of a check are taken to be uncertain, and what becomes of it; none for a check
/// that takes no reading.
pub fn stated(check: &Check) -> Option<String> {
    let limits = stated_limits(check)?;
    Some(format!(
        "Limits of error assumed of a hand-held meter: {limits}. {METHOD}"
    ))
}

/// The limits of error that are assumed for the readings of a check; none for a check that takes no
/// reading.
pub fn stated_limits(check: &Check) -> Option<String> {
    let readings: Vec<String> = check
        .inputs
        .iter()
        .filter(|input| input.origin == Origin::Reading && input.choices.is_empty())
        .map(|input| {
            format!(
                "{} {}",
                input.name,
                assumed(input.kind, 0.0).words(input.kind)
            )
        })
        .collect();
    (!readings.is_empty()).then(|| readings.join("; "))
}

impl Accuracy {
    /// The limit of error in words, as it stands in a meter's manual.
    fn words(self, kind: Kind) -> String {
        let mut parts = Vec::new();
        if self.fixed > 0.0 {
            let fixed = Quantity::from_si(Kind::TemperatureDifference, self.fixed);
            parts.push(fixed.to_string());
        }
        if self.percent > 0.0 {
            parts.push(format!("{} % of reading", self.percent));
        }
        if self.digits > 0.0 {
            let plural = if self.digits > 1.0 { "digits" } else { "digit" };
            parts.push(format!("{} {plural}", self.digits));
        }
        if parts.is_empty() {
            return "exact".to_owned();
        }
        let megohms = if kind == Kind::Resistance {
            " (5 % from 1 MΩ up)"
        } else {
            ""
        };
        format!("±({}){megohms}", parts.join(" + "))
    }
}

/// Standard uncertainty of a reading, in the coherent SI unit.
///
/// Formula: `u = a / √3` with the limit of error `a = percent · |reading| + digits · resolution + fixed`,
/// taken as a rectangular distribution. Source: JCGM 100:2008, 4.3.7.
pub fn standard_uncertainty(reading: &Reading, accuracy: Accuracy) -> f64 {
    limit_of_error(reading, accuracy) / 3f64.sqrt()
}

/// The limit of error `a`, in the coherent SI unit.
pub fn limit_of_error(reading: &Reading, accuracy: Accuracy) -> f64 {
    let offset = if reading.value.kind() == Kind::Temperature {
        273.15
    } else {
        0.0
    };
    let size = (reading.value.si() - offset).abs();
    accuracy.percent / 100.0 * size + accuracy.digits * reading.resolution + accuracy.fixed
}
