//! The mirror types of `--json`: what is printed, apart from what is computed. Only additions.

use serde::Serialize;

use super::text::is_acted_on;
use crate::checks::{self, Check, Computed, Evaluation, Need, Origin, Value};
use crate::diagnosis::scope;
use crate::knowledge::{Cause, Caution, Coding, FaultClass, Library, Question, Reference};
use crate::quantity::{Quantity, with_unit};

/// The version of the contracts.
pub const SCHEMA: u32 = 1;

/// A document: its version in front.
#[derive(Serialize)]
pub struct Versioned<T: Serialize> {
    schema: u32,
    #[serde(flatten)]
    content: T,
}

/// One JSON document as a line of text.
pub fn document<T: Serialize>(content: T) -> String {
    let printed = serde_json::to_string_pretty(&Versioned {
        schema: SCHEMA,
        content,
    });
    escaped(&printed.unwrap_or_else(|_| "{}".to_owned()))
}

/// A computed check and which of its inputs the register gave.
#[derive(Serialize)]
pub struct FromRegister<'a, T: Serialize> {
    #[serde(flatten)]
    evaluation: T,
    #[serde(skip_serializing_if = "Option::is_none")]
    drive: Option<&'a str>,
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    from_register: &'a [String],
}

/// A computed check as printed; `origin` is the drive of the register and the inputs it gave.
pub fn evaluation_of<'a>(
    result: &'a Evaluation,
    origin: Option<(&'a str, &'a [String])>,
) -> FromRegister<'a, impl Serialize> {
    FromRegister {
        evaluation: evaluation(result),
        drive: origin.map(|(drive, _)| drive),
        from_register: origin.map_or(&[], |(_, names)| names),
    }
}

/// The same on one line.
pub fn line<T: Serialize>(content: T) -> String {
    let printed = serde_json::to_string(&Versioned {
        schema: SCHEMA,
        content,
    });
    escaped(&printed.unwrap_or_else(|_| "{}".to_owned()))
}

/// A plain list on one line.
pub fn list<T: Serialize>(items: &[T]) -> String {
    escaped(&serde_json::to_string(items).unwrap_or_else(|_| "[]".to_owned()))
}

/// The same document with every character that a terminal would act on written as `\u....`: JSON
/// asks that of the oldest control characters only.
pub fn escaped(printed: &str) -> String {
    let mut safe = String::with_capacity(printed.len());
    for c in printed.chars() {
        if c != '\n' && is_acted_on(c) {
            safe.push_str(&format!("\\u{:04x}", u32::from(c)));
        } else {
            safe.push(c);
        }
    }
    safe
}

/// ISO 14224 codes.
#[derive(Serialize)]
pub struct CodingJson<'a> {
    mode: Option<&'a str>,
    mechanism: Option<&'a str>,
    cause: Option<&'a str>,
    activity: Option<&'a str>,
}

/// ISO 14224 codes as printed.
pub fn coding(coding: &Coding) -> CodingJson<'_> {
    CodingJson {
        mode: coding.mode.as_deref(),
        mechanism: coding.mechanism.as_deref(),
        cause: coding.cause.as_deref(),
        activity: coding.activity.as_deref(),
    }
}

/// A caution.
#[derive(Serialize)]
pub struct CautionJson<'a> {
    id: &'a str,
    signal: &'a str,
    text: &'a str,
}

/// Cautions by id, in order.
pub fn cautions<'a>(library: &'a Library, ids: &[String]) -> Vec<CautionJson<'a>> {
    ids.iter()
        .filter_map(|id| library.caution(id))
        .map(caution)
        .collect()
}

fn caution(caution: &Caution) -> CautionJson<'_> {
    CautionJson {
        id: &caution.id,
        signal: &caution.signal,
        text: &caution.text,
    }
}

/// A source.
#[derive(Serialize)]
pub struct ReferenceJson<'a> {
    id: &'a str,
    title: &'a str,
    note: Option<&'a str>,
}

fn reference(reference: &Reference) -> ReferenceJson<'_> {
    ReferenceJson {
        id: &reference.id,
        title: &reference.title,
        note: reference.note.as_deref(),
    }
}

/// A sign of a cause.
#[derive(Serialize)]
pub struct SignJson<'a> {
    question: &'a str,
    finding: &'a str,
    level: &'static str,
}

/// How a cause is confirmed.
#[derive(Serialize)]
pub struct ConfirmJson<'a> {
    how: &'a str,
    question: Option<&'a str>,
    finding: Option<&'a str>,
    access: &'static str,
    ends_in: &'static str,
    minutes: f64,
    cautions: Vec<CautionJson<'a>>,
}

/// A cause, whole.
#[derive(Serialize)]
pub struct CauseJson<'a> {
    kind: &'static str,
    id: &'a str,
    name: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    how_often: Option<&'static str>,
    what: &'a str,
    signs: Vec<SignJson<'a>>,
    confirm: ConfirmJson<'a>,
    put_right: &'a str,
    prove: &'a str,
    fails_with: Option<&'a str>,
    coding: CodingJson<'a>,
    classes: Vec<&'a str>,
}

/// A cause as printed.
pub fn cause<'a>(
    library: &'a Library,
    cause: &'a Cause,
    how_often: Option<&'static str>,
) -> CauseJson<'a> {
    let settled = cause.confirm.settled_by.as_ref();
    CauseJson {
        kind: "cause",
        id: &cause.id,
        name: &cause.name,
        how_often,
        what: &cause.what,
        signs: cause
            .signs
            .iter()
            .map(|sign| SignJson {
                question: &sign.question,
                finding: &sign.finding,
                level: sign.level.word(),
            })
            .collect(),
        confirm: ConfirmJson {
            how: &cause.confirm.how,
            question: settled.map(|(question, _)| question.as_str()),
            finding: settled.map(|(_, finding)| finding.as_str()),
            access: cause.confirm.access.word(),
            ends_in: cause.confirm.ends_in.word(),
            minutes: cause.confirm.minutes,
            cautions: cautions(library, &cause.cautions),
        },
        put_right: &cause.put_right,
        prove: &cause.prove,
        fails_with: cause.fails_with.as_deref(),
        coding: coding(&cause.coding),
        classes: library
            .classes()
            .filter(|class| class.causes.iter().any(|listed| listed.cause == cause.id))
            .map(|class| class.id.as_str())
            .collect(),
    }
}

/// A finding of a question.
#[derive(Serialize)]
pub struct FindingJson<'a> {
    id: &'a str,
    text: &'a str,
    base_rate: f64,
    when: Option<&'a str>,
}

/// An input of a check.
#[derive(Serialize)]
pub struct InputJson {
    name: &'static str,
    quantity: &'static str,
    unit: &'static str,
    what: &'static str,
    from: &'static str,
    required: bool,
    default: Option<&'static str>,
    least: Option<String>,
    most: Option<String>,
    choices: Vec<&'static str>,
}

fn input(input: &'static checks::Input) -> InputJson {
    let limits = checks::limits(input);
    InputJson {
        name: input.name,
        quantity: if input.choices.is_empty() {
            input.kind.words()
        } else {
            "choice"
        },
        unit: input.unit,
        what: input.what,
        from: match input.origin {
            Origin::Reading => "reading",
            Origin::Setting => "setting",
            Origin::Nameplate => "nameplate",
        },
        required: input.need == Need::Required,
        default: match input.need {
            Need::Default(value) => Some(value),
            Need::Required | Need::Optional => input.choices.first().copied(),
        },
        least: limits.map(|(least, _)| least.to_string()),
        most: limits.map(|(_, most)| most.to_string()),
        choices: input.choices.to_vec(),
    }
}

/// A question, whole.
#[derive(Serialize)]
pub struct QuestionJson<'a> {
    kind: &'static str,
    id: &'a str,
    short: Option<&'a str>,
    ask: &'a str,
    how: &'a str,
    tells: &'a str,
    access: &'static str,
    ends_in: &'static str,
    minutes: f64,
    before_power_off: bool,
    cautions: Vec<CautionJson<'a>>,
    check: Option<&'a str>,
    readings: Option<Vec<&'a str>>,
    inputs: Option<Vec<InputJson>>,
    limits_from: Option<&'a str>,
    findings: Vec<FindingJson<'a>>,
}

/// A question as printed.
pub fn question<'a>(library: &'a Library, question: &'a Question) -> QuestionJson<'a> {
    let measure = question.measure.as_ref();
    let check = measure.and_then(|measure| checks::find(&measure.check));
    QuestionJson {
        kind: "question",
        id: &question.id,
        short: question.short.as_deref(),
        ask: &question.ask,
        how: &question.how,
        tells: &question.tells,
        access: question.access.word(),
        ends_in: question.ends_in.word(),
        minutes: question.minutes,
        before_power_off: question.before_power_off,
        cautions: cautions(library, &question.cautions),
        check: measure.map(|measure| measure.check.as_str()),
        readings: measure.map(|measure| measure.inputs.iter().map(String::as_str).collect()),
        inputs: check.map(|check| check.inputs.iter().map(input).collect()),
        limits_from: measure.map(|measure| measure.source.as_str()),
        findings: question
            .findings
            .iter()
            .map(|finding| FindingJson {
                id: &finding.id,
                text: &finding.text,
                base_rate: finding.base,
                when: finding.when.as_deref(),
            })
            .collect(),
    }
}

/// A look-alike of a class.
#[derive(Serialize)]
pub struct LookAlikeJson<'a> {
    class: &'a str,
    ask: &'a str,
    because: &'a str,
}

/// A fault class, whole: its causes and questions included.
#[derive(Serialize)]
pub struct ClassJson<'a> {
    kind: &'static str,
    id: &'a str,
    title: &'a str,
    trouble: &'static str,
    meaning: &'a str,
    first_look: &'a str,
    cautions: Vec<CautionJson<'a>>,
    phrases: &'a [String],
    abbreviations: &'a [String],
    standard_codes: &'a [String],
    causes: Vec<CauseJson<'a>>,
    questions: Vec<QuestionJson<'a>>,
    confused_with: Vec<LookAlikeJson<'a>>,
    coding: CodingJson<'a>,
    judgement: &'static str,
    sources: Vec<ReferenceJson<'a>>,
}

/// A class as printed.
pub fn class<'a>(library: &'a Library, class: &'a FaultClass) -> ClassJson<'a> {
    let questions = scope::questions_of(library, class);
    let cited: Vec<&str> = questions
        .iter()
        .filter_map(|q| q.measure.as_ref())
        .map(|m| m.source.as_str())
        .collect();
    ClassJson {
        kind: "class",
        id: &class.id,
        title: &class.title,
        trouble: class.kind.word(),
        meaning: &class.meaning,
        first_look: &class.first_look,
        cautions: cautions(library, &class.cautions),
        phrases: &class.phrases,
        abbreviations: &class.abbreviations,
        standard_codes: &class.standard_codes,
        causes: scope::causes_of(library, class)
            .into_iter()
            .map(|(one, how_often)| cause(library, one, Some(how_often.word())))
            .collect(),
        questions: questions
            .into_iter()
            .map(|one| question(library, one))
            .collect(),
        confused_with: class
            .confused_with
            .iter()
            .map(|other| LookAlikeJson {
                class: &other.class,
                ask: &other.ask,
                because: &other.because,
            })
            .collect(),
        coding: coding(&class.coding),
        judgement: "how often, levels and base rates are judgement (common practice, no source)",
        sources: library
            .references()
            .filter(|one| cited.contains(&one.id.as_str()))
            .map(reference)
            .collect(),
    }
}

/// A caution or source by itself.
#[derive(Serialize)]
pub struct Single<T: Serialize> {
    kind: &'static str,
    #[serde(flatten)]
    item: T,
}

/// A caution as printed by itself.
pub fn one_caution(one: &Caution) -> Single<CautionJson<'_>> {
    Single {
        kind: "caution",
        item: caution(one),
    }
}

/// A source as printed by itself.
pub fn one_reference(one: &Reference) -> Single<ReferenceJson<'_>> {
    Single {
        kind: "source",
        item: reference(one),
    }
}

/// An output of a check in the list.
#[derive(Serialize)]
pub struct OutputJson {
    name: &'static str,
    quantity: &'static str,
    unit: &'static str,
    what: &'static str,
}

/// A verdict band.
#[derive(Serialize)]
pub struct BandJson {
    when: &'static str,
    verdict: &'static str,
    means: &'static str,
    source: &'static str,
}

/// A check's definition.
#[derive(Serialize)]
pub struct CheckJson {
    kind: &'static str,
    check: &'static str,
    purpose: &'static str,
    inputs: Vec<InputJson>,
    outputs: Vec<OutputJson>,
    formula: &'static str,
    valid: &'static str,
    bands: Vec<BandJson>,
    sources: &'static [&'static str],
    example: ExampleJson,
    area: &'static str,
    expected: &'static [&'static str],
    uncertainty: Option<String>,
}

/// A worked example.
#[derive(Serialize)]
pub struct ExampleJson {
    inputs: Vec<(&'static str, &'static str)>,
    output: &'static str,
    value: &'static str,
}

/// A check's definition as printed.
pub fn check(check: &'static Check) -> CheckJson {
    CheckJson {
        kind: "check",
        check: check.name,
        purpose: check.purpose,
        inputs: check.inputs.iter().map(input).collect(),
        outputs: check
            .outputs
            .iter()
            .map(|output| OutputJson {
                name: output.name,
                quantity: output.kind.map_or("word", crate::quantity::Kind::words),
                unit: output.unit,
                what: output.what,
            })
            .collect(),
        formula: check.formula,
        valid: check.valid,
        bands: check
            .bands
            .iter()
            .map(|band| BandJson {
                when: band.when,
                verdict: band.verdict.word(),
                means: band.means,
                source: band.source,
            })
            .collect(),
        sources: check.sources,
        example: ExampleJson {
            inputs: check.example.inputs.to_vec(),
            output: check.example.output.0,
            value: check.example.output.1,
        },
        area: checks::area_of(check),
        expected: check.expect,
        uncertainty: checks::meter::stated(check),
    }
}

/// The list of checks.
#[derive(Serialize)]
pub struct CheckList {
    checks: Vec<CheckJson>,
}

/// Every check as printed.
pub fn check_list() -> CheckList {
    CheckList {
        checks: checks::all().map(check).collect(),
    }
}

/// A number or a word.
#[derive(Serialize)]
#[serde(untagged)]
pub enum NumberOrWord {
    /// A number in the unit beside it.
    Number(f64),
    /// A word.
    Word(String),
}

/// A result of a check.
#[derive(Serialize)]
pub struct ComputedJson {
    name: &'static str,
    value: NumberOrWord,
    unit: &'static str,
    uncertainty: Option<f64>,
}

fn computed(one: &Computed) -> ComputedJson {
    match &one.value {
        Value::Word(word) => ComputedJson {
            name: one.name,
            value: NumberOrWord::Word(word.clone()),
            unit: "",
            uncertainty: None,
        },
        Value::Quantity(quantity) => {
            // Uncertainty is a difference: its scale is the unit's, its zero is not.
            let scale = |si: f64| with_unit(Quantity::from_si(quantity.kind(), si), one.unit);
            let spread = scale(quantity.si() + one.uncertainty).zip(scale(quantity.si()));
            ComputedJson {
                name: one.name,
                value: NumberOrWord::Number(scale(quantity.si()).unwrap_or(quantity.si())),
                unit: one.unit,
                uncertainty: spread.map(|(high, middle)| high - middle),
            }
        }
    }
}

/// An input as it was used.
#[derive(Serialize)]
pub struct UsedInput {
    name: &'static str,
    value: NumberOrWord,
    unit: &'static str,
    assumed: bool,
}

/// A check's result.
#[derive(Serialize)]
pub struct EvaluationJson {
    check: &'static str,
    inputs: Vec<UsedInput>,
    outputs: Vec<ComputedJson>,
    verdict: Option<&'static str>,
    meaning: Option<&'static str>,
    conclusive: Option<bool>,
    limit_from: Option<&'static str>,
    expected: Option<String>,
    doubt: Option<String>,
    formula: &'static str,
    valid: &'static str,
    sources: &'static [&'static str],
    notes: Vec<String>,
}

/// A check's result as printed; uncertainties are standard uncertainties.
pub fn evaluation(result: &Evaluation) -> EvaluationJson {
    let judged = result.judgement.as_ref();
    EvaluationJson {
        check: result.check.name,
        inputs: result
            .check
            .inputs
            .iter()
            .filter_map(|input| {
                let (value, unit) = match result.inputs.get(input.name)? {
                    Value::Word(word) => (NumberOrWord::Word(word.clone()), ""),
                    Value::Quantity(quantity) => (
                        NumberOrWord::Number(
                            with_unit(*quantity, input.unit).unwrap_or(quantity.si()),
                        ),
                        input.unit,
                    ),
                };
                Some(UsedInput {
                    name: input.name,
                    value,
                    unit,
                    assumed: result.assumed.contains(&input.name),
                })
            })
            .collect(),
        outputs: result.outputs.iter().map(computed).collect(),
        verdict: judged.map(|judged| judged.verdict.word()),
        meaning: judged.map(|judged| judged.means),
        conclusive: judged.map(|judged| judged.conclusive),
        limit_from: judged.map(|judged| judged.source),
        expected: result.expected.clone(),
        doubt: result.doubt.clone(),
        formula: result.check.formula,
        valid: result.check.valid,
        sources: result.check.sources,
        notes: result.notes.clone(),
    }
}

/// A sheet of expected values.
#[derive(Serialize)]
pub struct SheetJson<'a> {
    drive: Option<&'a str>,
    checks: Vec<EvaluationJson>,
}

/// A sheet as printed.
pub fn sheet<'a>(drive: Option<&'a str>, results: &[Evaluation]) -> SheetJson<'a> {
    SheetJson {
        drive,
        checks: results.iter().map(evaluation).collect(),
    }
}

/// A class in the list.
#[derive(Serialize)]
pub struct ListedClass<'a> {
    id: &'a str,
    title: &'a str,
    trouble: &'static str,
}

/// The list of classes.
#[derive(Serialize)]
pub struct ClassList<'a> {
    classes: Vec<ListedClass<'a>>,
}

/// Every class in the list.
pub fn class_list(library: &Library) -> ClassList<'_> {
    ClassList {
        classes: library
            .classes()
            .map(|class| ListedClass {
                id: &class.id,
                title: &class.title,
                trouble: class.kind.word(),
            })
            .collect(),
    }
}
