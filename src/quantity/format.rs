//! How a quantity is written: a readable prefix, sensible digits.

use std::fmt;

use super::Quantity;
use super::units::{self, Unit};

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let unit = readable_unit(*self);
        let number = significant((self.si() - unit.offset) / unit.factor, 4);
        if unit.symbol.is_empty() {
            write!(f, "{number}")
        } else {
            write!(f, "{number} {}", unit.symbol)
        }
    }
}

/// The value in the unit written `symbol`, if that is a unit of its kind.
pub fn with_unit(quantity: Quantity, symbol: &str) -> Option<f64> {
    units::of(quantity.kind())
        .find(|unit| unit.symbol == symbol)
        .map(|unit| (quantity.si() - unit.offset) / unit.factor)
}

/// The largest shown unit in which the value is at least one.
fn readable_unit(quantity: Quantity) -> &'static Unit {
    let size = quantity.si().abs();
    let mut shown = units::of(quantity.kind()).filter(|unit| unit.shown);
    let Some(mut best) = shown.next() else {
        unreachable!("every kind has a shown unit; a test holds this")
    };
    if size == 0.0 {
        return units::of(quantity.kind())
            .find(|unit| unit.shown && unit.factor == 1.0)
            .unwrap_or(best);
    }
    for unit in shown {
        if size >= unit.reads_from() {
            best = unit;
        }
    }
    best
}

/// A number with so many significant digits, without trailing zeros or an exponent.
pub fn significant(value: f64, digits: usize) -> String {
    if value == 0.0 || !value.is_finite() {
        return if value == 0.0 {
            "0".to_owned()
        } else {
            "not a number".to_owned()
        };
    }
    let magnitude = value.abs().log10().floor() as i32;
    let places = digits as i32 - 1 - magnitude;
    if places <= 0 {
        return format!("{value:.0}");
    }
    let text = format!("{value:.*}", places.min(12) as usize);
    let trimmed = text.trim_end_matches('0').trim_end_matches('.');
    if trimmed.is_empty() || trimmed == "-0" || trimmed == "-" {
        "0".to_owned()
    } else {
        trimmed.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Kind;

    #[test]
    fn readable_prefix_and_digits() {
        let shown = |kind, si| Quantity::from_si(kind, si).to_string();
        assert_eq!(shown(Kind::Voltage, 565.685), "565.7 V");
        assert_eq!(shown(Kind::Voltage, 1131.4), "1131 V");
        assert_eq!(shown(Kind::Resistance, 2.2e6), "2.2 MΩ");
        assert_eq!(shown(Kind::Capacitance, 1.5e-3), "1.5 mF");
        assert_eq!(shown(Kind::Time, 242.8), "4.047 min");
        assert_eq!(shown(Kind::Time, 74.06), "74.06 s");
        assert_eq!(shown(Kind::Ratio, 0.01961), "1.961 %");
        assert_eq!(shown(Kind::Temperature, 318.15), "45 °C");
        assert_eq!(shown(Kind::Power, 0.0), "0 W");
        assert_eq!(shown(Kind::Count, 4.0), "4");
    }

    #[test]
    fn every_kind_has_a_unit_to_show() {
        for kind in Kind::ALL {
            assert!(units::of(*kind).any(|unit| unit.shown), "{kind:?}");
        }
    }
}
