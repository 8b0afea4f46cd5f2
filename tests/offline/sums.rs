//! The page's sums against the program's, whose own tests hold them against standards, handbooks and
//! worked examples: the inputs of those reference rows, the worked example of each check, and points
//! around it and over its whole range, drawn with a fixed seed. All are typed, as a reader would.

use std::collections::BTreeMap;
use std::thread;

use serde_json::{Value, json};
use whytrip::checks::{self, Check, CheckError, Evaluation, Input, Need};
use whytrip::quantity::{self, Quantity, units_of};

use crate::asked::{self, Asked};
use crate::browser::{Browser, DESK};
use crate::chance::Chance;
use crate::machine::{lookups, plain, support};
use crate::{exported, power};

/// Points drawn for each check, besides its example.
const DRAWN: usize = 40;
/// Largest relative difference of a result: both sides take the same double-precision steps, only
/// powers and logarithms may differ in their last bits.
const ROUNDING: f64 = 1e-9;

/// A check with its inputs as typed.
type Case = (&'static Check, BTreeMap<String, String>);

/// What runs with reference rows are made of, in a thread of its own.
fn reference_rows() -> Vec<Asked> {
    let rows = thread::spawn(|| {
        for row in support::rows() {
            let _ = plain::check(&row).or_else(|| lookups::check(&row));
        }
        power::every_row_comes_out();
        asked::all()
    });
    rows.join().expect("the reference rows")
}

fn cases() -> Vec<Case> {
    let mut cases: Vec<Case> = Vec::new();
    for (name, typed) in reference_rows() {
        let check = checks::find(&name).expect("a check");
        cases.push((check, typed.into_iter().collect()));
    }
    assert!(cases.len() > 600, "reference rows: {}", cases.len());
    let mut chance = Chance(0x5eed_0ff1_14e0_0001);
    for check in checks::all() {
        let owned = |(name, value): &(&str, &str)| ((*name).to_owned(), (*value).to_owned());
        let example: BTreeMap<String, String> = check.example.inputs.iter().map(owned).collect();
        cases.push((check, example.clone()));
        for number in 0..DRAWN {
            let around = number % 4 != 0;
            let drawn = check.inputs.iter().filter_map(|input| {
                let near = example.get(input.name).filter(|_| around);
                let left_out = near.is_none() && input.need != Need::Required;
                if left_out && chance.share() < 0.4 {
                    return None;
                }
                Some((input.name.to_owned(), draw(input, near, &mut chance)))
            });
            cases.push((check, drawn.collect()));
        }
    }
    cases
}

/// A value of an input as typed: near another, or anywhere within the limits and sometimes beyond.
fn draw(input: &'static Input, near: Option<&String>, chance: &mut Chance) -> String {
    if !input.choices.is_empty() {
        return (*chance.one_of(input.choices)).to_owned();
    }
    let (least, most) = checks::limits(input).expect("limits");
    let (least, most) = (least.si(), most.si());
    let near = near.and_then(|typed| quantity::parse(input.kind, typed, Some(input.unit)).ok());
    let si = match near {
        Some(reading) => reading.value.si() * (0.6 + 0.8 * chance.share()),
        None if least > 0.0 => least * (most / least).powf(chance.share() * 1.02),
        None => least + (most - least) * chance.share().powi(3),
    };
    let units: Vec<_> = units_of(input.kind).collect();
    let unit = match chance.share() < 0.7 {
        true => units.iter().find(|unit| unit.symbol == input.unit),
        false => None,
    };
    let unit = unit.unwrap_or_else(|| chance.one_of(&units));
    let mut number = quantity::significant((si - unit.offset) / unit.factor, 4);
    if chance.share() < 0.3 && number.split('.').nth(1).is_some_and(|part| part.len() != 3) {
        number = number.replace('.', ",");
    }
    match unit.symbol == input.unit && chance.share() < 0.5 {
        true => number,
        false => format!("{number} {}", unit.symbol),
    }
}

/// What the page says to a case: each result with its uncertainty and as shown, the verdict and all
/// that stands around it; or why there is none.
const ASK: &str = r#"
const { data, engine, Contradiction, Missing, Refused } = whytrip;
return arguments[0].map(([name, typed]) => {
  try {
    const check = data.checks[name];
    const given = {};
    for (const input of check.inputs) {
      if (typed[input.name] !== undefined) given[input.name] = engine.read(input, typed[input.name]);
    }
    const result = engine.evaluate(name, given);
    return {
      outputs: result.outputs.map((one) => [one.name, String(one.value), String(one.uncertainty), engine.show(one).text]),
      verdict: result.judgement ? result.judgement.verdict : null,
      band: result.judgement ? result.judgement.band : null,
      conclusive: result.judgement ? result.judgement.conclusive : null,
      expected: result.expected || null,
      doubt: result.doubt ? result.doubt.name : null,
      notes: result.notes,
      assumed: result.assumed,
    };
  } catch (error) {
    const known = [Refused, Contradiction, Missing].find((one) => error instanceof one);
    return { refused: known ? known.name : `broken: ${error}` };
  }
});
"#;

#[test]
fn the_page_computes_what_the_program_computes() {
    let cases = cases();
    let Some(browser) = Browser::try_open(DESK) else {
        return;
    };
    browser.go_to_file(&exported().file, "");
    browser.waits_for("whytrip");
    let mut wrong = Vec::new();
    let mut computed: BTreeMap<&str, usize> = BTreeMap::new();
    for part in cases.chunks(500) {
        let typed = part.iter().map(|(check, typed)| json!([check.name, typed]));
        let answers = browser.script(ASK, vec![typed.collect()]);
        let answers = answers.as_array().expect("answers");
        assert_eq!(answers.len(), part.len());
        for ((check, typed), answer) in part.iter().zip(answers) {
            let pairs = typed
                .iter()
                .map(|(name, value)| (name.as_str(), value.as_str()));
            let compared = match checks::read_inputs(check, pairs) {
                Err(_) => refused(answer, &["Refused"]),
                Ok(given) => match checks::evaluate(check, &given) {
                    Ok(result) => {
                        *computed.entry(check.name).or_default() += 1;
                        same(&result, answer)
                    }
                    Err(CheckError::Missing { .. }) => refused(answer, &["Missing"]),
                    Err(CheckError::OutOfRange { .. }) => refused(answer, &["Refused"]),
                    Err(_) => refused(answer, &["Contradiction", "Refused"]),
                },
            };
            if let Err(reason) = compared {
                wrong.push(format!("{} {typed:?}: {reason}", check.name));
            }
        }
    }
    let count = wrong.len();
    wrong.truncate(20);
    assert!(
        wrong.is_empty(),
        "{count} of {} differ:\n{}",
        cases.len(),
        wrong.join("\n")
    );
    // Points that are all refused would prove nothing.
    for check in checks::all() {
        let count = computed.get(check.name).copied().unwrap_or(0);
        assert!(count >= 5, "{} was computed {count} times only", check.name);
    }
}

fn refused(answer: &Value, ways: &[&str]) -> Result<(), String> {
    match answer["refused"].as_str() {
        Some(way) if ways.contains(&way) => Ok(()),
        _ => Err(format!(
            "the program refuses ({ways:?}), the page says {answer}"
        )),
    }
}

fn same(result: &Evaluation, answer: &Value) -> Result<(), String> {
    if let Some(way) = answer["refused"].as_str() {
        return Err(format!("the page refuses: {way}"));
    }
    let outputs = answer["outputs"].as_array().ok_or("no outputs")?;
    equal("outputs", result.outputs.len(), outputs.len())?;
    for computed in &result.outputs {
        let named = |one: &&Value| one[0] == computed.name;
        let one = outputs
            .iter()
            .find(named)
            .ok_or(format!("no {}", computed.name))?;
        match &computed.value {
            checks::Value::Word(word) => equal(computed.name, json!(word), one[1].clone())?,
            checks::Value::Quantity(quantity) => {
                let value = number(&one[1])?;
                near(
                    computed.name,
                    quantity.si(),
                    value,
                    ROUNDING * quantity.si().abs(),
                )?;
                let uncertainty = number(&one[2])?;
                // A difference of results has lost the digits that they share.
                let lost = 1e-6 * computed.uncertainty + ROUNDING * quantity.si().abs();
                near("uncertainty", computed.uncertainty, uncertainty, lost)?;
                let shown = Quantity::from_si(quantity.kind(), value).to_string();
                equal("shown", json!(shown), one[3].clone())?;
            }
        }
    }
    let judged = result.judgement.as_ref();
    equal(
        "verdict",
        json!(judged.map(|one| one.verdict.word())),
        answer["verdict"].clone(),
    )?;
    equal(
        "conclusive",
        json!(judged.map(|one| one.conclusive)),
        answer["conclusive"].clone(),
    )?;
    if let Some(judged) = judged {
        let band = answer["band"].as_u64().ok_or("no band")? as usize;
        equal("band", judged.means, result.check.bands[band].means)?;
    }
    equal(
        "expected",
        json!(result.expected),
        answer["expected"].clone(),
    )?;
    equal("doubt", result.doubt.is_some(), !answer["doubt"].is_null())?;
    equal("notes", json!(result.notes), answer["notes"].clone())?;
    equal("assumed", json!(result.assumed), answer["assumed"].clone())
}

/// A number that came as text, so that no digit is lost on the way.
fn number(text: &Value) -> Result<f64, String> {
    let number = text.as_str().and_then(|text| text.parse().ok());
    number.ok_or_else(|| format!("no number: {text}"))
}

fn equal<T: PartialEq + std::fmt::Debug>(what: &str, program: T, page: T) -> Result<(), String> {
    match program == page {
        true => Ok(()),
        false => Err(format!("{what}: program {program:?}, page {page:?}")),
    }
}

fn near(what: &str, program: f64, page: f64, allowed: f64) -> Result<(), String> {
    match (program - page).abs() <= allowed {
        true => Ok(()),
        false => Err(format!("{what}: program {program}, page {page}")),
    }
}
