//! The checks and units as the script needs them; what they mean stands in the page itself.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::checks::{self, Check, Condition, Input, Need, Origin, Relation, meter};
use crate::quantity::{self, Kind, Unit, units_of};

/// A kind of quantity.
#[derive(Debug, Serialize)]
pub struct KindData {
    /// With its article, as an error names it.
    words: String,
    /// How one is typed.
    example: &'static str,
    units: Vec<UnitData>,
    /// Limits of error of a usual meter: from this value on, percent, digits, fixed part.
    accuracy: Vec<(f64, f64, f64, f64)>,
}

#[derive(Debug, Serialize)]
struct UnitData {
    symbol: &'static str,
    spellings: &'static [&'static str],
    factor: f64,
    offset: f64,
    shown: bool,
    /// Size from which on a value is shown in it.
    from: f64,
}

/// A check.
#[derive(Debug, Serialize)]
pub struct CheckData {
    /// Places in the list of inputs.
    inputs: Vec<usize>,
    outputs: Vec<OutputData>,
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    expect: &'static [&'static str],
    #[serde(skip_serializing_if = "Vec::is_empty")]
    bands: Vec<BandData>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    doubtful: Vec<ConditionData>,
}

/// An input; checks share them.
#[derive(Debug, PartialEq, Serialize)]
pub struct InputData {
    name: &'static str,
    kind: String,
    unit: &'static str,
    /// Smallest and largest value in the coherent SI unit.
    #[serde(skip_serializing_if = "Option::is_none")]
    limits: Option<(f64, f64)>,
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    choices: &'static [&'static str],
    /// What is assumed for it.
    #[serde(skip_serializing_if = "Option::is_none")]
    assumed: Option<&'static str>,
    #[serde(skip_serializing_if = "is_false")]
    optional: bool,
    /// Whether a meter's error goes into it.
    #[serde(skip_serializing_if = "is_false")]
    reading: bool,
    /// How it is typed.
    example: String,
}

#[derive(Debug, Serialize)]
struct OutputData {
    name: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    kind: Option<String>,
    #[serde(skip_serializing_if = "str::is_empty")]
    unit: &'static str,
}

#[derive(Debug, Serialize)]
struct BandData {
    #[serde(skip_serializing_if = "Option::is_none")]
    when: Option<ConditionData>,
    verdict: &'static str,
    #[serde(skip_serializing_if = "is_false")]
    only_if_known: bool,
}

/// An output, the side of the limit (`<` or `>`), the limit in the coherent SI unit.
type ConditionData = (String, &'static str, f64);

fn is_false(flag: &bool) -> bool {
    !flag
}

/// Every kind of quantity by its name.
pub fn kinds() -> BTreeMap<String, KindData> {
    let kinds = Kind::ALL.iter();
    kinds
        .map(|kind| (format!("{kind:?}"), kind_data(*kind)))
        .collect()
}

/// A resistance reads worse from a megohm on, by [`meter::assumed`].
const WORSE_FROM: f64 = 1e6;

fn kind_data(kind: Kind) -> KindData {
    let (low, high) = (meter::assumed(kind, 0.0), meter::assumed(kind, WORSE_FROM));
    let mut accuracy = vec![(0.0, low.percent, low.digits, low.fixed)];
    if low != high {
        accuracy.push((WORSE_FROM, high.percent, high.digits, high.fixed));
    }
    KindData {
        words: kind.with_article(),
        example: quantity::example_of(kind),
        units: units_of(kind).map(unit).collect(),
        accuracy,
    }
}

fn unit(unit: &Unit) -> UnitData {
    UnitData {
        symbol: unit.symbol,
        spellings: unit.spellings,
        factor: unit.factor,
        offset: unit.offset,
        shown: unit.shown,
        from: unit.reads_from(),
    }
}

/// Every check by its name, and the inputs that they share.
pub fn checks() -> (BTreeMap<&'static str, CheckData>, Vec<InputData>) {
    let mut inputs = Vec::new();
    let checks = checks::all()
        .map(|check| (check.name, check_data(check, &mut inputs)))
        .collect();
    (checks, inputs)
}

fn check_data(check: &'static Check, inputs: &mut Vec<InputData>) -> CheckData {
    let place = |one: &'static Input| {
        let wanted = input(one);
        let found = inputs.iter().position(|known| *known == wanted);
        found.unwrap_or_else(|| {
            inputs.push(wanted);
            inputs.len() - 1
        })
    };
    CheckData {
        inputs: check.inputs.iter().map(place).collect(),
        outputs: check
            .outputs
            .iter()
            .map(|output| OutputData {
                name: output.name,
                kind: output.kind.map(|kind| format!("{kind:?}")),
                unit: output.unit,
            })
            .collect(),
        expect: check.expect,
        bands: check
            .bands
            .iter()
            .map(|band| BandData {
                when: condition(check, band.when),
                verdict: band.verdict.word(),
                only_if_known: band.only_if_known,
            })
            .collect(),
        doubtful: check
            .doubtful
            .iter()
            .filter_map(|text| condition(check, text))
            .collect(),
    }
}

fn input(input: &'static Input) -> InputData {
    let words = !input.choices.is_empty();
    let limits = checks::limits(input).filter(|_| !words);
    InputData {
        name: input.name,
        kind: format!("{:?}", input.kind),
        unit: input.unit,
        limits: limits.map(|(least, most)| (least.si(), most.si())),
        choices: input.choices,
        assumed: match input.need {
            Need::Default(assumed) if !words => Some(assumed),
            _ => None,
        },
        optional: input.need == Need::Optional,
        reading: input.origin == Origin::Reading,
        example: checks::example(input),
    }
}

fn condition(check: &Check, text: &str) -> Option<ConditionData> {
    let condition = Condition::parse(text, check).ok()?;
    let side = match condition.relation {
        Relation::Below => "<",
        Relation::Above => ">",
    };
    Some((condition.output, side, condition.limit.si()))
}
