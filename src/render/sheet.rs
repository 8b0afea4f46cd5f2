//! What a drive should read, computed before anything is measured: one page to pin inside its door.

use std::collections::{BTreeMap, BTreeSet};

use super::check::source_id;
use super::doc::{Document, Span, plain, quiet, strong, value};
use super::item::capital;
use crate::checks::{self, Check, Computed, Evaluation, Given, Need, Origin, Value, Verdict};

/// A row: the check and how the page names it.
type Row = (&'static str, &'static str);

/// The rows that an electrician looks for, in the order of the page. Other checks that the known
/// values feed are left to `--json`.
const ROWS: &[(&str, &[Row])] = &[
    (
        "DC bus",
        &[
            ("bus-at-rest", "At rest"),
            ("bus-loaded", "Under load"),
            ("bus-range", "Over the supply's tolerance"),
            ("bus-ceiling", "Highest"),
            ("ripple-frequency", "Ripple, frequency"),
            ("ripple-share", "Ripple, size"),
            ("precharge-time", "Charging"),
            ("precharge-starts", "Power-ups"),
            ("discharge-wait", "Wait before opening"),
            ("ride-through-time", "Ride-through"),
        ],
    ),
    (
        "Supply",
        &[
            ("supply-band", "Voltage"),
            ("supply-frequency", "Frequency"),
            ("line-reactor", "Line reactor"),
            ("short-circuit-at-drive", "Short-circuit current"),
            ("generator-size", "Generator"),
        ],
    ),
    (
        "Motor",
        &[
            ("full-load-current", "Current by the nameplate's power"),
            ("motor-no-load-current", "Current without load"),
            ("slip", "Speed"),
            ("rated-torque", "Rated torque"),
            ("volts-per-hertz", "Set in the drive"),
            ("insulation-resistance", "Insulation"),
            ("insulation-minimum", "Least insulation"),
        ],
    ),
    (
        "Currents and overload",
        &[
            ("duty-rating", "Drive"),
            ("derated-current", "Drive at this place"),
            ("overload-base-load", "Between overloads"),
            ("overload-setting", "Motor overload setting"),
            ("overload-setting-nec", "Motor overload setting by NEC"),
            ("several-motors", "Several motors"),
        ],
    ),
    (
        "Ramps and braking",
        &[
            ("acceleration-torque", "Acceleration"),
            ("stop-energy", "Energy of a stop"),
            ("minimum-stop-time", "Shortest stop without a resistor"),
            ("brake-resistor-power", "Braking resistor"),
            ("brake-resistor-range", "Fitting resistors"),
            ("bus-absorption", "What the bus takes"),
        ],
    ),
    (
        "Motor cable",
        &[
            ("conductor-resistance", "Conductor"),
            ("voltage-drop", "Voltage drop"),
            ("cable-charging-current", "Charging current"),
            ("cable-critical-length", "Reflection from"),
            ("reflected-peak", "Peak at the motor"),
        ],
    ),
    (
        "Cabinet and signals",
        &[
            ("enclosure-area", "Surface"),
            ("enclosure-dissipation", "Heat through the walls"),
            ("enclosure-rise", "Temperature inside"),
            ("enclosure-airflow", "Air"),
            ("encoder-frequency", "Encoder"),
            ("potentiometer", "Speed potentiometer"),
        ],
    ),
];

/// What can be computed from these values before anything is measured.
pub fn results(known: &BTreeMap<String, Given>) -> Vec<Evaluation> {
    let takes_some = |check: &&'static Check| {
        let mut inputs = check.inputs.iter();
        inputs.any(|input| known.contains_key(input.name))
    };
    checks::all()
        .filter(takes_some)
        .filter_map(|check| checks::expectation(check, known).ok())
        .filter(|result| !result.outputs.is_empty())
        .collect()
}

/// The page.
pub fn sheet(
    drive: Option<&str>,
    known: &BTreeMap<String, Given>,
    results: &[Evaluation],
) -> Document {
    let mut document = Document::new();
    document.heading(
        1,
        match drive {
            Some(id) => format!("What {id} should read"),
            None => "What the drive should read".to_owned(),
        },
    );
    document.paragraph(given(known));
    let mut used = Vec::new();
    for (title, names) in ROWS {
        let rows: Vec<(&str, &Evaluation)> = names
            .iter()
            .filter_map(|(name, label)| {
                let result = results.iter().find(|result| result.check.name == *name)?;
                tells(result, known).then_some((*label, result))
            })
            .collect();
        if rows.is_empty() {
            continue;
        }
        document.heading(2, *title);
        for (label, result) in rows {
            document.item(row(label, result));
            used.push(result);
        }
    }
    if used.is_empty() {
        document.gap();
        for result in results {
            document.item(row(&capital(&result.check.name.replace('-', " ")), result));
            used.push(result);
        }
    }
    if used.is_empty() {
        document.text("These values alone give no figure: add the supply's voltage and the motor's nameplate.");
    }
    document.gap();
    let assumed = assumptions(&used);
    if !assumed.is_empty() {
        document.labelled("Assumed, as not given", assumed.join("; "));
    }
    document.paragraph(vec![quiet(
        "Readings move by the supply's tolerance and the load. Limits that differ between makes come from the drive's own manual. Measuring is for qualified persons under the local rules.",
    )]);
    document
}

/// What the page was computed from, in one run.
fn given(known: &BTreeMap<String, Given>) -> Vec<Span> {
    let mut spans = vec![strong("From: ")];
    let last = known.len().saturating_sub(1);
    for (at, (name, given)) in known.iter().enumerate() {
        let text = match given {
            Given::Reading(reading) => reading.value.to_string(),
            Given::Word(word) => word.clone(),
        };
        spans.push(plain(format!("{} ", name.replace('_', " "))));
        spans.push(value(text));
        spans.push(plain(if at == last { "." } else { "; " }));
    }
    spans
}

/// Whether a row says something of this drive: all that the check wants from the nameplate is
/// known, and the result is not one that holds anywhere.
fn tells(result: &Evaluation, known: &BTreeMap<String, Given>) -> bool {
    let whole = result.check.inputs.iter().all(|input| {
        input.need != Need::Required
            || input.origin != Origin::Nameplate
            || result.inputs.get(input.name).is_some()
    });
    let quantity = |name: &str| match result.output(name).map(|one| &one.value) {
        Some(Value::Quantity(quantity)) => Some(quantity.si()),
        _ => None,
    };
    let applies = match result.check.name {
        // Nothing is lost at the place that was assumed.
        "derated-current" => quantity("factor").is_some_and(|factor| factor < 0.9995),
        // The code's countries have 60 Hz.
        "overload-setting-nec" => match known.get("supply_frequency") {
            Some(Given::Reading(reading)) => reading.value.si() > 55.0,
            _ => true,
        },
        _ => true,
    };
    whole && applies && !result.outputs.is_empty()
}

/// Name, what to expect, a verdict that is not normal, and by which source.
fn row(label: &str, result: &Evaluation) -> Vec<Span> {
    let computed = |one: &Computed| match &one.value {
        Value::Quantity(quantity) => format!("{} {quantity}", one.what),
        Value::Word(word) => format!("{} {word}", one.what),
    };
    let expected = result
        .expected
        .clone()
        .filter(|text| text.chars().any(|c| c.is_ascii_digit()))
        .unwrap_or_else(|| {
            let all: Vec<String> = result.outputs.iter().map(computed).collect();
            all.join("; ")
        });
    let mut sources: Vec<&str> = Vec::new();
    for source in result.check.sources {
        let id = source_id(source);
        if !sources.contains(&id) {
            sources.push(id);
        }
    }
    let mut spans = vec![strong(format!("{label}: ")), plain(expected)];
    if let Some(judged) = &result.judgement
        && judged.verdict != Verdict::Normal
    {
        spans.push(strong(format!(". {}: ", capital(judged.verdict.word()))));
        spans.push(plain(judged.means));
    }
    spans.push(quiet(format!(" [{}]", sources.join(", "))));
    spans
}

/// What was assumed for any row, each once.
fn assumptions(results: &[&Evaluation]) -> Vec<String> {
    let all: BTreeSet<String> = results
        .iter()
        .flat_map(|result| {
            result
                .assumed
                .iter()
                .filter_map(|name| match result.inputs.get(name) {
                    Some(Value::Quantity(quantity)) => {
                        Some(format!("{} {quantity}", name.replace('_', " ")))
                    }
                    _ => None,
                })
        })
        .collect();
    all.into_iter().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_a_check_and_stands_once() {
        let names: Vec<&str> = ROWS
            .iter()
            .flat_map(|(_, rows)| rows.iter().map(|(name, _)| *name))
            .collect();
        let once: BTreeSet<&str> = names.iter().copied().collect();
        assert_eq!(once.len(), names.len());
        for name in names {
            assert!(crate::checks::find(name).is_some(), "{name}");
        }
    }
}
