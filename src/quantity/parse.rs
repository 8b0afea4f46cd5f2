//! A typed reading: number, unit, and how finely it was read.

use super::number::{self, NumberError};
use super::units::{self, Unit};
use super::{Kind, Quantity};

/// Whether a reading is the value itself or only a bound (`>550 MΩ`, `OL`).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bound {
    /// The meter showed this value.
    Exact,
    /// The true value is at least this: the meter was over its range.
    AtLeast,
    /// The true value is at most this.
    AtMost,
}

/// A value as typed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// The value.
    pub value: Quantity,
    /// The place value of the last digit typed, in the coherent SI unit.
    pub resolution: f64,
    /// Whether it is a value or a bound.
    pub bound: Bound,
}

/// Why a reading could not be understood. The message says what was expected, with an example.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ParseError {
    /// Nothing was typed.
    #[error("nothing was typed; expected {} such as {}", .kind.with_article(), example(*.kind))]
    Empty {
        /// The kind that was expected.
        kind: Kind,
    },
    /// There is no number in front.
    #[error("\"{typed}\" does not start with a number; expected {} such as {}", .kind.with_article(), example(*.kind))]
    NotANumber {
        /// What was typed.
        typed: String,
        /// The kind that was expected.
        kind: Kind,
    },
    /// A comma that may be a decimal or a thousands mark.
    #[error("\"{typed}\" can mean {decimal} or {thousands}; write one of these")]
    AmbiguousNumber {
        /// What was typed.
        typed: String,
        /// Read as a decimal mark.
        decimal: String,
        /// Read as a thousands mark.
        thousands: String,
    },
    /// A number without a unit where none is implied.
    #[error("\"{typed}\" has no unit; expected {} such as {}", .kind.with_article(), example(*.kind))]
    NoUnit {
        /// What was typed.
        typed: String,
        /// The kind that was expected.
        kind: Kind,
    },
    /// A unit of another kind.
    #[error("\"{typed}\" is {}; {} is wanted, such as {}", .found.with_article(), .kind.with_article(), example(*.kind))]
    WrongKind {
        /// What was typed.
        typed: String,
        /// The kind of what was typed.
        found: Kind,
        /// The kind that was expected.
        kind: Kind,
    },
    /// More than one number where one is wanted.
    #[error("\"{typed}\" holds more than one number; type one value, such as {}", example(*.kind))]
    SeveralNumbers {
        /// What was typed.
        typed: String,
        /// The kind that was expected.
        kind: Kind,
    },
    /// A prefix that may be milli or mega.
    #[error("the unit \"{unit}\" is not clear: write {choices}")]
    AmbiguousUnit {
        /// The unit as typed.
        unit: String,
        /// What it may have meant.
        choices: String,
    },
    /// A unit nobody knows.
    #[error("\"{unit}\" is not a unit of {} that is known here; use {choices}", .kind.words())]
    UnknownUnit {
        /// The unit as typed.
        unit: String,
        /// The kind that was expected.
        kind: Kind,
        /// The units of that kind.
        choices: String,
    },
    /// A number too large to be computed with.
    #[error("\"{typed}\" is beyond anything that can be measured; expected {} such as {}", .kind.with_article(), example(*.kind))]
    TooLarge {
        /// What was typed.
        typed: String,
        /// The kind that was expected.
        kind: Kind,
    },
    /// Not as many values as were asked for.
    #[error("\"{typed}\" should be {wanted} values, such as {example}")]
    NotAList {
        /// What was typed.
        typed: String,
        /// How many values were expected.
        wanted: usize,
        /// How to type them.
        example: String,
    },
}

/// A reading over the meter's range on resistance or in its diode range, in ohms and volts.
const OVER_RANGE_OHMS: f64 = 1e9;
const OVER_RANGE_VOLTS: f64 = 10.0;

/// Longest text that is looked at; what a person types is far shorter.
const LONGEST: usize = 80;

/// Parses one reading of the wanted kind. A bare number takes `bare_unit`, if one is given.
///
/// # Errors
/// [`ParseError`] with what was understood and an example of what is wanted.
pub fn parse(kind: Kind, typed: &str, bare_unit: Option<&str>) -> Result<Reading, ParseError> {
    let text = normalise(typed);
    let shown: String = text.chars().take(LONGEST).collect();
    if text.is_empty() {
        return Err(ParseError::Empty { kind });
    }
    if text.chars().count() > LONGEST {
        return Err(ParseError::NotANumber { typed: shown, kind });
    }
    if let Some(reading) = over_range(kind, &text) {
        return Ok(reading);
    }
    let (bound, text) = match text.chars().next() {
        Some('>' | '≥') => (
            Bound::AtLeast,
            text.trim_start_matches(['>', '≥', '=', ' ']),
        ),
        Some('<' | '≤') => (Bound::AtMost, text.trim_start_matches(['<', '≤', '=', ' '])),
        _ => (Bound::Exact, text.as_str()),
    };
    if kind == Kind::Area
        && let Some(value) = wire_gauge(text)
    {
        return Ok(Reading {
            value,
            resolution: 0.0,
            bound,
        });
    }
    if kind == Kind::Resistance
        && let Some(value) = resistor_code(text)
    {
        return Ok(Reading {
            value,
            resolution: 0.0,
            bound,
        });
    }
    if kind == Kind::Time
        && let Some(value) = hours_minutes_seconds(text)
    {
        return Ok(Reading { bound, ..value });
    }
    let (number, rest) = number::leading(text).map_err(|error| match error {
        NumberError::Missing => ParseError::NotANumber {
            typed: shown.clone(),
            kind,
        },
        NumberError::Ambiguous { decimal, thousands } => ParseError::AmbiguousNumber {
            typed: shown.clone(),
            decimal,
            thousands,
        },
    })?;
    let unit_text = rest.trim();
    let unit = match (unit_text, bare_unit) {
        ("", _) if kind == Kind::Count => find_unit(kind, "")?,
        ("", Some(bare)) => find_unit(kind, bare)?,
        ("", None) => return Err(ParseError::NoUnit { typed: shown, kind }),
        (named, _) => {
            find_unit(kind, named).map_err(|error| match (error, other_kind(named, kind)) {
                (ParseError::UnknownUnit { .. }, Some(found)) => ParseError::WrongKind {
                    typed: shown.clone(),
                    found,
                    kind,
                },
                (ParseError::UnknownUnit { .. }, None) if begins_a_number(named) => {
                    ParseError::SeveralNumbers {
                        typed: shown.clone(),
                        kind,
                    }
                }
                (error, _) => error,
            })?
        }
    };
    let si = number.value * unit.factor + unit.offset;
    if !si.is_finite() || si.abs() > 1e15 {
        return Err(ParseError::TooLarge { typed: shown, kind });
    }
    Ok(Reading {
        value: Quantity::from_si(kind, si),
        resolution: number.resolution * unit.factor,
        bound,
    })
}

/// Parses several readings typed in one line: `400 402 398 V`, `1.02; 1.00; 0.98 ohm`, `58 V 5 Hz`.
/// Each wanted reading is a kind with the unit that a bare number takes.
///
/// # Errors
/// [`ParseError::NotAList`] when no way of splitting gives as many readings as wanted, or the error
/// of the reading that fails.
pub fn parse_list(
    wanted: &[(Kind, Option<&str>)],
    typed: &str,
) -> Result<Vec<Reading>, ParseError> {
    let count = wanted.len();
    if let [(kind, bare_unit)] = wanted {
        return parse(*kind, typed, *bare_unit).map(|reading| vec![reading]);
    }
    let text = normalise(typed);
    let not_a_list = || ParseError::NotAList {
        typed: text.chars().take(LONGEST).collect(),
        wanted: count,
        example: list_example(wanted),
    };
    if text.chars().count() > LONGEST * count {
        return Err(not_a_list());
    }
    let splits: [Vec<String>; 5] = [
        text.split([';', '|']).map(str::to_owned).collect(),
        text.split(", ").map(str::to_owned).collect(),
        split_at_spaces(&text),
        text.split('/').map(str::to_owned).collect(),
        text.split(',').map(str::to_owned).collect(),
    ];
    let one_kind = wanted.iter().all(|(kind, _)| *kind == wanted[0].0);
    let mut first_error = None;
    for parts in splits
        .iter()
        .filter(|parts| parts.len() == count && count > 0)
    {
        // A unit behind the last of several like readings stands for all of them.
        let shared = parts
            .last()
            .map(|last| unit_part(last))
            .filter(|unit| one_kind && !unit.is_empty());
        let parsed: Result<Vec<Reading>, ParseError> = parts
            .iter()
            .zip(wanted)
            .map(|(part, (kind, bare_unit))| match &shared {
                Some(unit)
                    if unit_part(part).is_empty() && number::leading(part.trim()).is_ok() =>
                {
                    parse(*kind, &format!("{} {unit}", part.trim()), *bare_unit)
                }
                _ => parse(*kind, part, *bare_unit),
            })
            .collect();
        match parsed {
            Ok(readings) => return Ok(readings),
            Err(error) => first_error = first_error.or(Some(error)),
        }
    }
    Err(first_error.unwrap_or_else(not_a_list))
}

/// An example of a reading of this kind.
pub fn example(kind: Kind) -> &'static str {
    match kind {
        Kind::Voltage => "566 V",
        Kind::Current => "18.5 A",
        Kind::Resistance => "2.2 kΩ",
        Kind::Power => "7.5 kW",
        Kind::ApparentPower => "400 kVA",
        Kind::Energy => "14 kJ",
        Kind::Frequency => "50 Hz",
        Kind::Time => "30 s",
        Kind::Temperature => "45 °C",
        Kind::TemperatureDifference => "10 K",
        Kind::Ratio => "12 %",
        Kind::Count => "4",
        Kind::Speed => "1480 rpm",
        Kind::Torque => "95 N·m",
        Kind::Inertia => "1.2 kg·m²",
        Kind::Capacitance => "1500 µF",
        Kind::Inductance => "0.5 mH",
        Kind::Charge => "50 µC",
        Kind::Length => "60 m",
        Kind::Area => "16 mm²",
        Kind::Mass => "500 kg",
        Kind::Velocity => "1.2 m/s",
        Kind::Airflow => "155 m³/h",
        Kind::VoltsPerHertz => "8 V/Hz",
        Kind::ResistancePerLength => "1.15 Ω/km",
        Kind::CapacitancePerLength => "0.3 µF/km",
        Kind::HeatTransfer => "5.5 W/(m²·K)",
        Kind::BitRate => "9600 baud",
    }
}

fn list_example(wanted: &[(Kind, Option<&str>)]) -> String {
    let examples: Vec<&str> = wanted.iter().map(|(kind, _)| example(*kind)).collect();
    examples.join("; ")
}

/// One spelling of minus, spaces, ohm, micro, degrees and fractions; no control characters; no
/// spaces, `~` or stray marks around.
fn normalise(typed: &str) -> String {
    let mut text = String::new();
    for c in typed.chars().filter(|c| *c == '\t' || !c.is_control()) {
        match c {
            '\u{2212}' | '\u{2013}' | '\u{207b}' => text.push('-'),
            '\u{a0}' | '\u{2009}' | '\u{202f}' | '\t' => text.push(' '),
            '\u{2126}' => text.push('Ω'),
            '\u{3bc}' => text.push('µ'),
            '\u{2019}' => text.push('\''),
            '\u{ba}' => text.push('°'),
            '\u{2103}' => text.push_str("°C"),
            '\u{2109}' => text.push_str("°F"),
            '\u{b9}' => text.push('1'),
            '½' => text.push_str(" 1/2"),
            '¼' => text.push_str(" 1/4"),
            '¾' => text.push_str(" 3/4"),
            other => text.push(other),
        }
    }
    text.trim_start_matches(['~', '≈', ' '])
        .trim_end_matches([',', ';', ' '])
        .to_owned()
}

/// Whether what stands where a unit should is the next number: `566-570 V`, `4x2.5`.
fn begins_a_number(unit: &str) -> bool {
    let marks = [' ', '-', '/', ':', '+', 'x', 'X', '×', 'G', 'g'];
    unit.trim_start_matches("to ")
        .trim_start_matches(marks)
        .starts_with(|c: char| c.is_ascii_digit())
}

/// `1 min 30 s`, `1h 5min`: parts from long to short.
fn hours_minutes_seconds(text: &str) -> Option<Reading> {
    let mut rest = text;
    let mut sum = 0.0;
    let mut last: Option<(f64, f64)> = None;
    let mut parts = 0;
    while !rest.is_empty() {
        let (number, after) = number::leading(rest).ok()?;
        let after = after.trim_start();
        let length = after.len() - after.trim_start_matches(|c: char| c.is_alphabetic()).len();
        let factor = match &after[..length] {
            "m" => 60.0,
            unit => find_unit(Kind::Time, unit).ok()?.factor,
        };
        if last.is_some_and(|(longer, _)| factor >= longer) || number.value < 0.0 {
            return None;
        }
        sum += number.value * factor;
        last = Some((factor, number.resolution * factor));
        parts += 1;
        rest = after[length..].trim_start();
    }
    let (_, resolution) = last.filter(|_| parts > 1 && sum < 1e12)?;
    Some(Reading {
        value: Quantity::from_si(Kind::Time, sum),
        resolution,
        bound: Bound::Exact,
    })
}

/// `OL` and its like: the meter is over its range.
fn over_range(kind: Kind, text: &str) -> Option<Reading> {
    let word: String = text
        .chars()
        .filter(|c| !matches!(c, '.' | ' '))
        .collect::<String>()
        .to_lowercase();
    let word = word
        .trim_end_matches('ω')
        .trim_end_matches("ohm")
        .trim_end_matches(['m', 'k']);
    let over = matches!(
        word,
        "ol" | "0l" | "open" | "inf" | "infinite" | "infinity" | "∞" | "overrange" | "over-range"
    );
    let si = match kind {
        Kind::Resistance => OVER_RANGE_OHMS,
        Kind::Voltage => OVER_RANGE_VOLTS,
        _ => return None,
    };
    over.then(|| Reading {
        value: Quantity::from_si(kind, si),
        resolution: 0.0,
        bound: Bound::AtLeast,
    })
}

/// `14 AWG`, `AWG 14`, `#14`, `14 ga`, `2/0`: the round wire's area by the geometric series of ASTM B258
/// (No. 36 is 0.005 in, No. 0000 is 0.46 in, 39 steps apart).
fn wire_gauge(text: &str) -> Option<Quantity> {
    let lower = text.to_lowercase();
    let zeros = lower.len() == 3 && lower.ends_with("/0");
    let size = lower
        .strip_prefix("awg")
        .or_else(|| lower.strip_prefix('#').filter(|rest| !rest.contains("awg")))
        .or_else(|| lower.strip_suffix("awg"))
        .or_else(|| lower.strip_suffix("gauge"))
        .or_else(|| lower.strip_suffix("ga"))
        .or_else(|| zeros.then_some(lower.as_str()))?
        .trim();
    let size = size.trim_start_matches('#').trim();
    let gauge: f64 = match size.split_once('/') {
        Some((zeros, "0")) => {
            1.0 - f64::from(zeros.parse::<u8>().ok().filter(|n| (1..=4).contains(n))?)
        }
        Some(_) => return None,
        None => f64::from(size.parse::<u8>().ok().filter(|n| *n <= 40)?),
    };
    let diameter = 0.127e-3 * 92f64.powf((36.0 - gauge) / 39.0);
    Some(Quantity::from_si(
        Kind::Area,
        std::f64::consts::PI / 4.0 * diameter * diameter,
    ))
}

/// `4k7`, `2M2`, `0R47`: a resistance with its multiplier in place of the point (IEC 60062).
fn resistor_code(text: &str) -> Option<Quantity> {
    let at = text.find(['k', 'K', 'M', 'R'])?;
    let (whole, rest) = (&text[..at], &text[at + 1..]);
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
    if !digits(whole) || !digits(rest) || text.len() > 8 {
        return None;
    }
    let factor = match text.as_bytes()[at] {
        b'R' => 1.0,
        b'M' => 1e6,
        _ => 1e3,
    };
    let value: f64 = format!("{whole}.{rest}").parse().ok()?;
    Some(Quantity::from_si(Kind::Resistance, value * factor))
}

/// A unit's spelling without the marks that people put or leave out.
fn bare_spelling(unit: &str) -> String {
    unit.chars()
        .filter(|c| !matches!(c, ' ' | '.' | '·' | '*' | '^' | '⋅' | '×'))
        .collect()
}

/// Whether this unit differs from another only by milli against mega.
fn prefix_matters(unit: &Unit, spelling: &str) -> bool {
    let milli_or_mega = unit.symbol.starts_with(['m', 'M']) && spelling.len() <= 6;
    milli_or_mega
        && spelling.starts_with(['m', 'M'])
        && !spelling.to_lowercase().starts_with("meg")
        && !matches!(unit.symbol, "min" | "m" | "m²" | "m³/h" | "m/s" | "m/min")
}

/// The unit meant by `typed`: spelled exactly, or in another case where that is unambiguous.
fn find_unit(kind: Kind, typed: &str) -> Result<&'static Unit, ParseError> {
    let wanted = if typed.trim() == "×" {
        "×".to_owned()
    } else {
        bare_spelling(typed)
    };
    let spelled = |unit: &Unit, same: &dyn Fn(&str) -> bool| {
        unit.spellings
            .iter()
            .any(|spelling| same(&bare_spelling(spelling)) || same(spelling))
    };
    if let Some(unit) = units::of(kind).find(|unit| spelled(unit, &|spelling| spelling == wanted)) {
        return Ok(unit);
    }
    let lower = wanted.to_lowercase();
    let loosely = |unit: &&Unit| spelled(unit, &|spelling| spelling.to_lowercase() == lower);
    let all: Vec<&'static Unit> = units::of(kind).filter(loosely).collect();
    let safe: Vec<&'static Unit> = all
        .iter()
        .copied()
        .filter(|unit| {
            spelled(unit, &|spelling| {
                spelling.to_lowercase() == lower
                    && (!prefix_matters(unit, spelling)
                        || spelling.chars().next() == wanted.chars().next())
            })
        })
        .collect();
    match (safe.as_slice(), all.as_slice()) {
        ([only], _) => Ok(only),
        (_, []) => Err(ParseError::UnknownUnit {
            unit: typed.to_owned(),
            kind,
            choices: names(units::of(kind).filter(|unit| unit.shown)),
        }),
        _ => Err(ParseError::AmbiguousUnit {
            unit: typed.to_owned(),
            choices: names(
                units::of(kind)
                    .filter(|unit| unit.symbol.to_lowercase() == all[0].symbol.to_lowercase()),
            ),
        }),
    }
}

fn names(units: impl Iterator<Item = &'static Unit>) -> String {
    let symbols: Vec<&str> = units.map(|unit| unit.symbol).collect();
    match symbols.as_slice() {
        [] => "a plain number".to_owned(),
        [only] => (*only).to_owned(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}

/// The kind that a unit of another kind belongs to.
fn other_kind(unit: &str, wanted: Kind) -> Option<Kind> {
    Kind::ALL
        .iter()
        .copied()
        .find(|kind| *kind != wanted && !unit.trim().is_empty() && find_unit(*kind, unit).is_ok())
}

/// What stands behind the number of one item of a list.
fn unit_part(item: &str) -> String {
    let over = item
        .trim_start()
        .get(..2)
        .is_some_and(|start| start.eq_ignore_ascii_case("ol"));
    if over {
        return item.trim_start()[2..].trim().to_owned();
    }
    match number::leading(item.trim_start_matches(['>', '<', '≥', '≤', ' '])) {
        Ok((_, rest)) => rest.trim().to_owned(),
        Err(_) => String::new(),
    }
}

/// Splits at spaces in front of a new number, so that units stay with their numbers.
fn split_at_spaces(text: &str) -> Vec<String> {
    let mut items: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let starts = word
            .starts_with(|c: char| c.is_ascii_digit() || matches!(c, '-' | '+' | '>' | '<'))
            || word.eq_ignore_ascii_case("ol");
        match items.last_mut() {
            Some(item) if !starts => {
                item.push(' ');
                item.push_str(word);
            }
            _ => items.push(word.to_owned()),
        }
    }
    items
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn check(kind: Kind, typed: &str, si: f64) {
        let reading = parse(kind, typed, None).unwrap_or_else(|error| panic!("{typed}: {error}"));
        let got = reading.value.si();
        assert!(
            (got - si).abs() <= 1e-9 * si.abs().max(1e-12),
            "{typed}: {got} instead of {si}"
        );
    }

    #[test]
    fn readings_as_technicians_type_them() {
        check(Kind::Voltage, "480V", 480.0);
        check(Kind::Voltage, "480 Vac", 480.0);
        check(Kind::Voltage, "566 v dc", 566.0);
        check(Kind::Current, "0,4 kA", 400.0);
        check(Kind::Current, "12.5 amps", 12.5);
        check(Kind::Power, "5.5kW", 5500.0);
        check(Kind::Power, "5.5 KW", 5500.0);
        check(Kind::Resistance, "2 MΩ", 2e6);
        check(Kind::Resistance, "2 Mohm", 2e6);
        check(Kind::Resistance, "2 mohm", 2e-3);
        check(Kind::Resistance, "2 MOHM", 2e6);
        check(Kind::Resistance, "500 megs", 500e6);
        check(Kind::Resistance, "4k7", 4700.0);
        check(Kind::Resistance, "3 kOhm", 3000.0);
        check(Kind::Temperature, "-10 °C", 263.15);
        check(Kind::Temperature, "45 C", 318.15);
        check(Kind::Temperature, "113 °F", 318.15);
        check(Kind::Time, "30 ms", 0.03);
        check(Kind::Time, "1 min", 60.0);
        check(Kind::Ratio, "12 %", 0.12);
        check(Kind::Speed, "1500 rpm", 50.0 * std::f64::consts::PI);
        check(Kind::Speed, "1500 1/min", 50.0 * std::f64::consts::PI);
        check(Kind::Current, "10 uA", 1e-5);
        check(Kind::Current, "10 μA", 1e-5);
        check(Kind::Torque, "95 Nm", 95.0);
        check(Kind::Torque, "95 N·m", 95.0);
        check(Kind::Power, "½ kW", 500.0);
        check(Kind::Voltage, "565½ V", 565.5);
        check(Kind::Voltage, "~566 V,", 566.0);
        check(Kind::Voltage, "1.000,5 V", 1000.5);
        check(Kind::Temperature, "50 ℃", 323.15);
        check(Kind::Temperature, "10º C", 283.15);
        check(Kind::Speed, "1500 min⁻¹", 50.0 * std::f64::consts::PI);
        check(Kind::Time, "1 min 30 s", 90.0);
        check(Kind::Time, "1m30s", 90.0);
        check(Kind::Time, "1h 5min", 3900.0);
    }

    /// Conversions by definition: the mechanical horsepower is 745.6999 W and the pound-foot
    /// 1.355818 N·m (NIST SP 811, Appendix B), the pound-foot squared 0.0421401 kg·m² (the same);
    /// 14 AWG has 4110 circular mils (NEC Chapter 9 Table 8).
    #[test]
    fn conversions_agree_with_published_factors() {
        let si = |kind, typed: &str| parse(kind, typed, None).unwrap().value.si();
        assert!((si(Kind::Power, "1 hp") - 745.6999).abs() < 1e-4);
        assert!((si(Kind::Torque, "1 lb-ft") - 1.355_818).abs() < 1e-6);
        assert!((si(Kind::Inertia, "50 lb-ft2") - 50.0 * 0.042_140_1).abs() < 1e-5);
        let circular_mil = 5.067_075e-10;
        assert!((si(Kind::Area, "14 AWG") / circular_mil - 4110.0).abs() < 5.0);
        assert!((si(Kind::Area, "2/0 AWG") / circular_mil - 133_100.0).abs() < 150.0);
        for same in ["#14", "14 ga", "14 gauge", "AWG 14"] {
            assert_eq!(si(Kind::Area, same), si(Kind::Area, "14 AWG"), "{same}");
        }
        assert_eq!(si(Kind::Area, "2/0"), si(Kind::Area, "2/0 AWG"));
        // NIST SP 811, Appendix B: 1 kgf·m = 9.80665 N·m, 1 lb·in² = 2.926397e-4 kg·m²,
        // 1 ozf·in = 7.061552e-3 N·m, 1 slug = 14.59390 kg.
        assert!((si(Kind::Torque, "1 kgf·m") - 9.806_65).abs() < 1e-9);
        assert!((si(Kind::Inertia, "1 lb-in2") - 2.926_397e-4).abs() < 1e-10);
        assert!((si(Kind::Torque, "1 oz-in") - 7.061_552e-3).abs() < 1e-9);
        assert!((si(Kind::Inertia, "1 slug-ft2") - 14.593_90 * 0.304_8 * 0.304_8).abs() < 1e-5);
        assert!((si(Kind::Area, "250 kcmil") / circular_mil - 250_000.0).abs() < 5.0);
    }

    fn refused(kind: Kind, typed: &str, part: &str) {
        let error = parse(kind, typed, None).expect_err(typed).to_string();
        assert!(error.contains(part), "{typed}: {error}");
    }

    #[test]
    fn errors_say_what_is_wanted_with_an_example() {
        refused(
            Kind::Voltage,
            "18 A",
            "is a current; a voltage is wanted, such as 566 V",
        );
        refused(Kind::Voltage, "", "such as 566 V");
        refused(Kind::Voltage, "about right", "does not start with a number");
        refused(Kind::Voltage, "566", "has no unit");
        refused(Kind::Speed, "1,500 rpm", "can mean 1.500 or 1500");
        refused(Kind::Resistance, "2 m", "write");
        refused(Kind::Current, "2 MA", "write mA");
        refused(
            Kind::Voltage,
            "566-570 V",
            "more than one number; type one value",
        );
        refused(Kind::Voltage, "566/570 V", "more than one number");
        refused(Kind::Area, "4x2.5", "more than one number");
        refused(Kind::Power, "5 mm2", "is an area; a power is wanted");
        refused(Kind::Voltage, "566 bananas", "not a unit of voltage");
        refused(Kind::Voltage, "9e300 V", "beyond anything");
    }

    #[test]
    fn a_reading_over_range_is_a_bound() {
        for typed in ["OL", "0.L", "O.L", "open", ">550 MΩ"] {
            assert_eq!(
                parse(Kind::Resistance, typed, None).unwrap().bound,
                Bound::AtLeast,
                "{typed}"
            );
        }
        assert!(parse(Kind::Current, "OL", None).is_err());
    }

    #[test]
    fn three_readings_in_one_line() {
        for typed in [
            "400 402 398 V",
            "400 V 402 V 398 V",
            "400/402/398 V",
            "400; 402; 398 V",
            "400, 402, 398 V",
            "400,402,398 V",
            "400V, 402V, 398V",
        ] {
            let got: Vec<f64> = parse_list(&[(Kind::Voltage, None); 3], typed)
                .unwrap_or_else(|error| panic!("{typed}: {error}"))
                .iter()
                .map(|reading| reading.value.si())
                .collect();
            assert_eq!(got, [400.0, 402.0, 398.0], "{typed}");
        }
        assert!(parse_list(&[(Kind::Voltage, Some("V")); 3], "400 402").is_err());
        let mixed = parse_list(
            &[(Kind::Voltage, None), (Kind::Frequency, None)],
            "58 V 5 Hz",
        )
        .unwrap();
        assert_eq!(mixed[1].value.si(), 5.0);
        let open = parse_list(&[(Kind::Resistance, None); 3], "0.62 OL OL Ω").unwrap();
        assert_eq!(open[2].bound, Bound::AtLeast);
    }

    proptest! {
        #[test]
        fn nothing_typed_panics(typed in ".{0,60}") {
            for kind in Kind::ALL {
                if let Ok(reading) = parse(*kind, &typed, Some("")) {
                    prop_assert!(reading.value.si().is_finite());
                }
                let _ = parse_list(&[(*kind, None); 3], &typed);
            }
        }

        #[test]
        fn shown_values_read_back(value in -1e6f64..1e6) {
            for kind in Kind::ALL {
                let quantity = Quantity::from_si(*kind, value);
                let shown = quantity.to_string();
                let back = parse(*kind, &shown, None).map_err(|e| TestCaseError::fail(format!("{shown}: {e}")))?;
                let tolerance = 2e-3 * (value.abs() + 300.0);
                prop_assert!((back.value.si() - value).abs() <= tolerance, "{kind:?} {shown}");
            }
        }
    }
}
