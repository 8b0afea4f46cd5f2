//! Reads the rows and compares results with them.

use whytrip::checks::{self, Evaluation, Value, Verdict};
use whytrip::quantity::{self, Kind};

/// One row of the data.
#[derive(Debug)]
pub struct Row {
    pub id: String,
    pub calculator: String,
    pub inputs: String,
    pub expected: String,
    pub unit: String,
    pub tolerance: String,
}

impl Row {
    /// The inputs as `key=value` pairs.
    pub fn pairs(&self) -> Vec<(&str, &str)> {
        self.inputs
            .split("; ")
            .filter_map(|part| part.split_once('='))
            .map(|(key, value)| (key.trim(), value.trim()))
            .collect()
    }

    /// The value of one key.
    pub fn get(&self, key: &str) -> Result<&str, String> {
        self.pairs()
            .into_iter()
            .find(|(own, _)| *own == key)
            .map(|(_, value)| value)
            .ok_or_else(|| format!("no {key} in \"{}\"", self.inputs))
    }
}

/// Every row of the data.
pub fn rows() -> Vec<Row> {
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/tests/data/check-values-machine.csv"
    );
    let mut reader = csv::Reader::from_path(path).expect("the data can be read");
    let header = reader.headers().expect("the data has a header").clone();
    let at = |record: &csv::StringRecord, name: &str| {
        let place = header.iter().position(|own| own == name).expect(name);
        record.get(place).unwrap_or_default().to_owned()
    };
    reader
        .records()
        .map(|record| {
            let record = record.expect("a whole row");
            for name in ["source", "confidence"] {
                assert!(!at(&record, name).is_empty(), "{record:?} has no {name}");
            }
            Row {
                id: at(&record, "id"),
                calculator: at(&record, "calculator"),
                inputs: at(&record, "inputs"),
                expected: at(&record, "expected"),
                unit: at(&record, "unit"),
                tolerance: at(&record, "tolerance"),
            }
        })
        .collect()
}

/// Runs a check on inputs as typed.
pub fn run(name: &str, typed: &[(&str, &str)]) -> Result<Evaluation, String> {
    crate::asked::note(name, typed);
    let check = checks::find(name).ok_or_else(|| format!("no check {name}"))?;
    let given = checks::read_inputs(check, typed.iter().copied())?;
    checks::evaluate(check, &given).map_err(|error| error.to_string())
}

/// A quantity's value in the coherent SI unit.
pub fn si(result: &Evaluation, output: &str) -> Result<f64, String> {
    match result.output(output).map(|computed| &computed.value) {
        Some(Value::Quantity(quantity)) => Ok(quantity.si()),
        other => Err(format!("{output} is {other:?}")),
    }
}

/// A word output.
pub fn word<'a>(result: &'a Evaluation, output: &str) -> Result<&'a str, String> {
    match result.output(output).map(|computed| &computed.value) {
        Some(Value::Word(word)) => Ok(word),
        other => Err(format!("{output} is {other:?}")),
    }
}

/// The verdict.
pub fn verdict(result: &Evaluation) -> Result<Verdict, String> {
    result
        .judgement
        .as_ref()
        .map(|judgement| judgement.verdict)
        .ok_or_else(|| "no verdict".to_owned())
}

/// Fails with a sentence unless both agree.
pub fn same<T: PartialEq + std::fmt::Debug>(got: T, wanted: T, what: &str) -> Result<(), String> {
    if got == wanted {
        return Ok(());
    }
    Err(format!("{what}: {got:?} instead of {wanted:?}"))
}

/// Fails unless a value is within a relative tolerance of the wanted one.
pub fn near(got: f64, wanted: f64, relative: f64, what: &str) -> Result<(), String> {
    if (got - wanted).abs() <= relative * wanted.abs().max(1e-9) {
        return Ok(());
    }
    Err(format!("{what}: {got} instead of {wanted}"))
}

/// Reads a published value in the kind of an output, in the coherent SI unit.
pub fn published(kind: Kind, number: &str, unit: &str) -> Result<f64, String> {
    // Notes behind a unit are dropped; shares without a unit are given per unit.
    let unit = [
        " at 40 C",
        " mean",
        " instantaneous",
        " standard",
        " of class",
    ]
    .iter()
    .fold(unit, |unit, note| unit.trim_end_matches(note));
    let unit = match (kind, unit) {
        (Kind::Ratio, "%") => "%",
        (Kind::Ratio, _) => "×",
        (Kind::Count, _) => "",
        (_, unit) => unit,
    };
    quantity::parse(kind, &format!("{number} {unit}"), None)
        .map(|reading| reading.value.si())
        .map_err(|error| error.to_string())
}

/// Compares an output with what the row expects, within the row's tolerance.
pub fn as_published(row: &Row, result: &Evaluation, output: &str) -> Result<(), String> {
    let computed = result
        .output(output)
        .ok_or_else(|| format!("no output {output}"))?;
    let quantity = match &computed.value {
        Value::Word(word) => return same(word.as_str(), row.expected.as_str(), output),
        Value::Quantity(quantity) => quantity,
    };
    let wanted = published(quantity.kind(), &row.expected, &row.unit)?;
    let allowed = allowed(row, quantity.kind(), wanted)?;
    if (quantity.si() - wanted).abs() <= allowed {
        return Ok(());
    }
    Err(format!(
        "{output} is {} in SI units, {wanted} ± {allowed} published",
        quantity.si()
    ))
}

/// The row's tolerance in the coherent SI unit.
fn allowed(row: &Row, kind: Kind, wanted: f64) -> Result<f64, String> {
    let rounding = 1e-9 * wanted.abs().max(1e-9);
    let text = row.tolerance.trim_start_matches('±').trim();
    if text == "exact" {
        return Ok(rounding);
    }
    let number = |text: &str| {
        text.trim()
            .parse::<f64>()
            .map_err(|_| format!("tolerance {}", row.tolerance))
    };
    if let Some(percent) = text.strip_suffix('%') {
        return Ok(number(percent)? / 100.0 * wanted.abs() + rounding);
    }
    let absolute = number(text.trim_end_matches("abs"))?;
    let one = published(kind, "1", &row.unit)? - published(kind, "0", &row.unit)?;
    Ok(absolute * one + rounding)
}
