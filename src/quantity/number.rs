//! The number in front of a unit, as people write it: comma or point, thousands, fractions, `4k7`.

/// A number and how finely it was written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Number {
    pub value: f64,
    /// The place value of the last digit written.
    pub resolution: f64,
}

/// Why no number could be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum NumberError {
    /// The text does not begin with a number.
    Missing,
    /// One comma with three digits behind it: a decimal or a thousands mark.
    Ambiguous { decimal: String, thousands: String },
}

/// Reads the number at the start of `text` and returns it with what follows.
pub(super) fn leading(text: &str) -> Result<(Number, &str), NumberError> {
    let (sign, unsigned) = match text.strip_prefix(['-', '+']) {
        Some(rest) if text.starts_with('-') => (-1.0, rest.trim_start()),
        Some(rest) => (1.0, rest.trim_start()),
        None => (1.0, text),
    };
    if let Some((number, rest)) = fraction(unsigned) {
        return Ok((
            Number {
                value: sign * number,
                resolution: 0.0,
            },
            rest,
        ));
    }
    let end = digits_end(unsigned);
    let written = &unsigned[..end];
    if !written.contains(|c: char| c.is_ascii_digit()) {
        return Err(NumberError::Missing);
    }
    let plain = plain_decimal(written)?;
    let (exponent, rest) = exponent(&unsigned[end..]);
    let places = plain
        .split_once('.')
        .map_or(0, |(_, fraction)| fraction.len() as i32);
    let value: f64 = plain.parse().map_err(|_| NumberError::Missing)?;
    let scale = 10f64.powi(exponent);
    Ok((
        Number {
            value: sign * value * scale,
            resolution: 10f64.powi(-places) * scale,
        },
        rest,
    ))
}

/// Where the run of digits, points, commas and digit-grouping spaces ends.
fn digits_end(text: &str) -> usize {
    let bytes = text.as_bytes();
    let digit = |at: usize| bytes.get(at).is_some_and(u8::is_ascii_digit);
    let mut at = 0;
    while at < bytes.len() {
        match bytes[at] {
            b'0'..=b'9' => at += 1,
            b'.' | b',' if digit(at + 1) => at += 1,
            b'.' if at > 0 && digit(at - 1) && !text[at + 1..].starts_with(char::is_alphabetic) => {
                at += 1;
                break;
            }
            b' ' | b'\''
                if at > 0
                    && digit(at - 1)
                    && digit(at + 1)
                    && digit(at + 2)
                    && digit(at + 3)
                    && !digit(at + 4)
                    && group_before(&bytes[..at]) =>
            {
                at += 1;
            }
            _ => break,
        }
    }
    at
}

/// Whether what stands before a grouping space is one to three digits, or a group after a space.
fn group_before(before: &[u8]) -> bool {
    let run = before
        .iter()
        .rev()
        .take_while(|byte| byte.is_ascii_digit())
        .count();
    let opener = before.len().checked_sub(run + 1).map(|at| before[at]);
    match opener {
        None => run <= 3,
        Some(b' ' | b'\'') => run == 3,
        Some(_) => false,
    }
}

/// Turns grouping and decimal marks into one plain decimal number.
fn plain_decimal(written: &str) -> Result<String, NumberError> {
    let compact: String = written
        .chars()
        .filter(|c| !matches!(c, ' ' | '\''))
        .collect();
    let compact = compact.trim_end_matches('.');
    let commas = compact.matches(',').count();
    let points = compact.matches('.').count();
    let without = |mark: char| compact.replace(mark, "");
    match (commas, points) {
        (0, 0 | 1) => Ok(compact.to_owned()),
        (1, 0) => {
            let (whole, fraction) = compact.split_once(',').unwrap_or((compact, ""));
            let could_group =
                fraction.len() == 3 && (1..=3).contains(&whole.len()) && !whole.starts_with('0');
            let decimal = format!("{whole}.{fraction}");
            if could_group {
                return Err(NumberError::Ambiguous {
                    decimal,
                    thousands: without(','),
                });
            }
            Ok(decimal)
        }
        (_, 0) if grouped(compact, ',') => Ok(without(',')),
        (0, _) if grouped(compact, '.') => Ok(without('.')),
        (_, 1) if compact.rfind(',') < compact.rfind('.') => {
            let (whole, fraction) = compact.split_once('.').unwrap_or((compact, ""));
            if grouped(whole, ',') {
                Ok(format!("{}.{fraction}", whole.replace(',', "")))
            } else {
                Err(NumberError::Missing)
            }
        }
        (1, _) if compact.rfind('.') < compact.rfind(',') => {
            let (whole, fraction) = compact.split_once(',').unwrap_or((compact, ""));
            if grouped(whole, '.') {
                Ok(format!("{}.{fraction}", whole.replace('.', "")))
            } else {
                Err(NumberError::Missing)
            }
        }
        _ => Err(NumberError::Missing),
    }
}

/// Whether `mark` splits the digits into groups of three.
fn grouped(text: &str, mark: char) -> bool {
    let mut groups = text.split(mark);
    let first = groups.next().unwrap_or("");
    (1..=3).contains(&first.len()) && groups.all(|group| group.len() == 3)
}

/// A power of ten such as `e-3`, directly behind the digits.
fn exponent(text: &str) -> (i32, &str) {
    let Some(after) = text.strip_prefix(['e', 'E']) else {
        return (0, text);
    };
    let signed = after.strip_prefix(['-', '+']).unwrap_or(after);
    let digits = signed.len()
        - signed
            .trim_start_matches(|c: char| c.is_ascii_digit())
            .len();
    if digits == 0 || digits > 3 {
        return (0, text);
    }
    let length = after.len() - signed.len() + digits;
    match after[..length].trim_start_matches('+').parse() {
        Ok(power) => (power, &after[length..]),
        Err(_) => (0, text),
    }
}

/// `1/2` or `7 1/2`, as horsepower is still written.
fn fraction(text: &str) -> Option<(f64, &str)> {
    let take = |text: &'_ str| -> Option<(f64, usize)> {
        let length = text.len() - text.trim_start_matches(|c: char| c.is_ascii_digit()).len();
        (1..=4)
            .contains(&length)
            .then(|| text[..length].parse().ok())
            .flatten()
            .map(|n| (n, length))
    };
    let simple = |text: &'_ str| -> Option<(f64, usize)> {
        let (top, top_length) = take(text)?;
        let below = text[top_length..].strip_prefix('/')?;
        let (bottom, bottom_length) = take(below)?;
        // Sizes are halves, thirds, sixteenths and their like; 566/570 are two readings.
        let usual = [2, 3, 4, 5, 6, 8, 10, 12, 16, 20, 25, 32, 40, 60, 64];
        (top < bottom && usual.contains(&(bottom as i64)))
            .then_some((top / bottom, top_length + 1 + bottom_length))
    };
    let ends = |text: &str, at: usize| !text[at..].starts_with(['/', '.', ',']);
    if let Some((value, length)) = simple(text) {
        return ends(text, length).then(|| (value, &text[length..]));
    }
    let (whole, whole_length) = take(text)?;
    let rest = text[whole_length..].strip_prefix([' ', '-'])?;
    let (part, length) = simple(rest)?;
    ends(rest, length).then(|| (whole + part, &rest[length..]))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(text: &str, value: f64, resolution: f64, rest: &str) {
        let (number, after) = leading(text).unwrap_or_else(|error| panic!("{text}: {error:?}"));
        assert!(
            (number.value - value).abs() <= 1e-9 * value.abs().max(1.0),
            "{text}: {number:?}"
        );
        assert!(
            (number.resolution - resolution).abs() < 1e-12,
            "{text}: {number:?}"
        );
        assert_eq!(after, rest, "{text}");
    }

    #[test]
    fn reads_numbers_as_people_write_them() {
        check("480V", 480.0, 1.0, "V");
        check("0,4 kA", 0.4, 0.1, " kA");
        check("-10.5 °C", -10.5, 0.1, " °C");
        check("4.8e2 V", 480.0, 10.0, " V");
        check("1 480 rpm", 1480.0, 1.0, " rpm");
        check("1'480 rpm", 1480.0, 1.0, " rpm");
        check("1,234.5 V", 1234.5, 0.1, " V");
        check("1.234,5 V", 1234.5, 0.1, " V");
        check("1,234,567", 1_234_567.0, 1.0, "");
        check("0,412 ohm", 0.412, 0.001, " ohm");
        check("1480 1/min", 1480.0, 1.0, " 1/min");
        check("1/2 hp", 0.5, 0.0, " hp");
        check("7 1/2 hp", 7.5, 0.0, " hp");
        check("566/570 V", 566.0, 1.0, "/570 V");
        check("400 402 398", 400_402_398.0, 1.0, "");
    }

    #[test]
    fn a_comma_that_may_be_either_is_refused() {
        assert!(matches!(
            leading("1,500 rpm"),
            Err(NumberError::Ambiguous { .. })
        ));
        assert_eq!(leading("volts"), Err(NumberError::Missing));
        assert_eq!(leading(""), Err(NumberError::Missing));
        assert_eq!(
            leading("1,23,4 V").map(|(n, _)| n.value),
            Err(NumberError::Missing)
        );
    }
}
