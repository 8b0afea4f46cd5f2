//! What a check is: one definition gives its name, help, limits, sum, verdict bands and example.

use std::collections::BTreeMap;

use crate::quantity::{Kind, Quantity};

/// A named electrical computation.
#[derive(Debug)]
pub struct Check {
    /// Kebab-case name, as YAML and the command line refer to it.
    pub name: &'static str,
    /// What it answers, in one line.
    pub purpose: &'static str,
    /// What it needs, readings and nameplate values.
    pub inputs: &'static [Input],
    /// What it gives.
    pub outputs: &'static [Output],
    /// The formula, with the symbols explained.
    pub formula: &'static str,
    /// Where the formula holds.
    pub valid: &'static str,
    /// Source ids, each with clause or table behind a colon: `nema-mg1: 14.36`.
    pub sources: &'static [&'static str],
    /// What a healthy reading would be: templates with `{input}` and `{output}`, the first whose
    /// names are all known is shown before the reading is taken.
    pub expect: &'static [&'static str],
    /// Verdict bands as a decision list: the first whose condition holds.
    pub bands: &'static [Band],
    /// Results that are possible but so odd that the user is asked to look again.
    pub doubtful: &'static [&'static str],
    /// A worked example: inputs, then one output with its value.
    pub example: Example,
    /// The computation. Readings may be missing: then only what doesn't need them is given.
    pub compute: fn(&Inputs) -> Result<Outputs, CheckError>,
}

/// One input of a check.
#[derive(Debug)]
pub struct Input {
    /// Snake-case name, shared by all checks that mean the same thing.
    pub name: &'static str,
    /// What kind of quantity.
    pub kind: Kind,
    /// The unit of a bare number.
    pub unit: &'static str,
    /// What it is and where it is read.
    pub what: &'static str,
    /// Where it comes from.
    pub origin: Origin,
    /// Whether the check can do without it.
    pub need: Need,
    /// Smallest and largest value that the formula stands for, as typed.
    pub limits: (&'static str, &'static str),
    /// For an input that is a choice of words: the words, the first being the default.
    pub choices: &'static [&'static str],
}

/// Where an input comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// Measured or read now.
    Reading,
    /// Read now from a setting: exact as far as it is shown.
    Setting,
    /// Known beforehand: nameplate, label, manual, register.
    Nameplate,
}

/// Whether a check can do without an input.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// It can't.
    Required,
    /// Some outputs are left out without it.
    Optional,
    /// This value is assumed, and the result says so.
    Default(&'static str),
}

/// One output of a check.
#[derive(Debug)]
pub struct Output {
    /// Snake-case name.
    pub name: &'static str,
    /// What kind of quantity, or none for a word.
    pub kind: Option<Kind>,
    /// The unit in which machines are told.
    pub unit: &'static str,
    /// What it means.
    pub what: &'static str,
}

/// How a result is to be taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// As it should be.
    Normal,
    /// Look closer.
    Suspect,
    /// Not as it may be.
    Bad,
}

impl Verdict {
    /// The word shown and stored.
    pub fn word(self) -> &'static str {
        match self {
            Verdict::Normal => "normal",
            Verdict::Suspect => "suspect",
            Verdict::Bad => "bad",
        }
    }
}

/// One row of a verdict table.
#[derive(Debug)]
pub struct Band {
    /// Condition on an output (`unbalance > 5 %`); empty for "everything else".
    pub when: &'static str,
    /// The verdict.
    pub verdict: Verdict,
    /// What it means, in one sentence.
    pub means: &'static str,
    /// Source id of the limit.
    pub source: &'static str,
    /// Whether the other bands judge without it where its output is not known.
    pub only_if_known: bool,
}

/// A worked example, run by a test.
#[derive(Debug)]
pub struct Example {
    /// Inputs as typed.
    pub inputs: &'static [(&'static str, &'static str)],
    /// The output and its value as typed; a word for a word output.
    pub output: (&'static str, &'static str),
    /// Largest relative error, where the published figure is rounded.
    pub tolerance: f64,
}

/// A value handed to or given by a check.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A quantity.
    Quantity(Quantity),
    /// A word, for choices and classes.
    Word(String),
}

/// Why a check gave no result.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum CheckError {
    /// An input is missing.
    #[error("{input} is missing: {what}, such as {example}")]
    Missing {
        /// Its name.
        input: &'static str,
        /// What it is.
        what: &'static str,
        /// How to type it.
        example: String,
    },
    /// An input lies outside the range in which the formula stands.
    #[error("{input} = {value} is outside {least} to {most}: {what}")]
    OutOfRange {
        /// Its name.
        input: &'static str,
        /// The value.
        value: String,
        /// The smallest allowed.
        least: String,
        /// The largest allowed.
        most: String,
        /// What it is.
        what: &'static str,
    },
    /// The inputs together make no sense.
    #[error("{0}")]
    Contradiction(String),
    /// A word that is not one of the choices.
    #[error("{input} = {value} is not a choice; use {choices}")]
    NotAChoice {
        /// Its name.
        input: &'static str,
        /// What was given.
        value: String,
        /// What may be given.
        choices: String,
    },
}

/// The known inputs of one computation.
#[derive(Clone, Debug, Default)]
pub struct Inputs {
    values: BTreeMap<&'static str, Value>,
}

impl Inputs {
    /// Sets an input.
    pub fn set(&mut self, name: &'static str, value: Value) {
        self.values.insert(name, value);
    }

    /// An input's value, if it is known.
    pub fn get(&self, name: &str) -> Option<&Value> {
        self.values.get(name)
    }

    /// A chosen word.
    pub fn word(&self, name: &str) -> Option<&str> {
        match self.values.get(name) {
            Some(Value::Word(word)) => Some(word),
            _ => None,
        }
    }

    fn quantity(&self, name: &str) -> Option<Quantity> {
        match self.values.get(name) {
            Some(Value::Quantity(quantity)) => Some(*quantity),
            _ => None,
        }
    }
}

macro_rules! typed_inputs {
    ($($getter:ident: $uom:ty;)*) => {
        impl Inputs {
            $(
                #[doc = concat!("The ", stringify!($getter), " called `name`, if it is known.")]
                pub fn $getter(&self, name: &str) -> Option<$uom> {
                    self.quantity(name).and_then(Quantity::$getter)
                }
            )*
        }
    };
}

use uom::si::f64 as si;
typed_inputs! {
    voltage: si::ElectricPotential;
    current: si::ElectricCurrent;
    resistance: si::ElectricalResistance;
    power: si::Power;
    apparent_power: si::Power;
    energy: si::Energy;
    frequency: si::Frequency;
    time: si::Time;
    temperature: si::ThermodynamicTemperature;
    temperature_difference: si::TemperatureInterval;
    ratio: si::Ratio;
    count: si::Ratio;
    speed: si::AngularVelocity;
    torque: si::Torque;
    inertia: si::MomentOfInertia;
    capacitance: si::Capacitance;
    inductance: si::Inductance;
    charge: si::ElectricCharge;
    length: si::Length;
    area: si::Area;
    mass: si::Mass;
    velocity: si::Velocity;
    airflow: si::VolumeRate;
    volts_per_hertz: si::MagneticFlux;
    resistance_per_length: si::ElectricalResistance;
    capacitance_per_length: si::ElectricPermittivity;
    heat_transfer: si::HeatTransfer;
    bit_rate: si::Frequency;
}

/// What a computation gave, in the order of the check's outputs.
#[derive(Clone, Debug, Default)]
pub struct Outputs {
    /// Name and value of each output that could be computed.
    pub values: Vec<(&'static str, Value)>,
    /// Remarks: which rule was used, what was assumed.
    pub notes: Vec<String>,
}

impl Outputs {
    /// Nothing yet.
    pub fn new() -> Outputs {
        Outputs::default()
    }

    /// Adds a quantity whose kind follows from its `uom` type.
    #[must_use]
    pub fn with(mut self, name: &'static str, value: impl Into<Quantity>) -> Outputs {
        self.values.push((name, Value::Quantity(value.into())));
        self
    }

    /// Adds a quantity, if it could be computed.
    #[must_use]
    pub fn with_some(self, name: &'static str, value: Option<impl Into<Quantity>>) -> Outputs {
        match value {
            Some(value) => self.with(name, value),
            None => self,
        }
    }

    /// Adds a word.
    #[must_use]
    pub fn with_word(mut self, name: &'static str, word: impl Into<String>) -> Outputs {
        self.values.push((name, Value::Word(word.into())));
        self
    }

    /// Adds a remark.
    #[must_use]
    pub fn note(mut self, text: impl Into<String>) -> Outputs {
        self.notes.push(text.into());
        self
    }

    /// The quantity called `name`.
    pub fn quantity(&self, name: &str) -> Option<Quantity> {
        self.values
            .iter()
            .find(|(own, _)| *own == name)
            .and_then(|(_, value)| match value {
                Value::Quantity(quantity) => Some(*quantity),
                Value::Word(_) => None,
            })
    }
}

/// A measured input that is needed.
pub const fn reading(
    name: &'static str,
    kind: Kind,
    unit: &'static str,
    limits: (&'static str, &'static str),
    what: &'static str,
) -> Input {
    Input {
        name,
        kind,
        unit,
        what,
        origin: Origin::Reading,
        need: Need::Required,
        limits,
        choices: &[],
    }
}

/// A setting that is needed, read off now.
pub const fn setting(
    name: &'static str,
    kind: Kind,
    unit: &'static str,
    limits: (&'static str, &'static str),
    what: &'static str,
) -> Input {
    Input {
        origin: Origin::Setting,
        ..reading(name, kind, unit, limits, what)
    }
}

/// A known input that is needed.
pub const fn nameplate(
    name: &'static str,
    kind: Kind,
    unit: &'static str,
    limits: (&'static str, &'static str),
    what: &'static str,
) -> Input {
    Input {
        name,
        kind,
        unit,
        what,
        origin: Origin::Nameplate,
        need: Need::Required,
        limits,
        choices: &[],
    }
}

/// The same input, not needed.
pub const fn optional(input: Input) -> Input {
    Input {
        need: Need::Optional,
        ..input
    }
}

/// The same input, with a value that is assumed and told.
pub const fn assumed(input: Input, value: &'static str) -> Input {
    Input {
        need: Need::Default(value),
        ..input
    }
}

/// The same input, known beforehand.
pub const fn known(input: Input) -> Input {
    Input {
        origin: Origin::Nameplate,
        ..input
    }
}

/// The same input, read or measured now.
pub const fn measured(input: Input) -> Input {
    Input {
        origin: Origin::Reading,
        ..input
    }
}

/// The same input, described as this check means it.
pub const fn said(input: Input, what: &'static str) -> Input {
    Input { what, ..input }
}

/// An input that is one of several words; the first is assumed.
pub const fn choice(
    name: &'static str,
    choices: &'static [&'static str],
    what: &'static str,
) -> Input {
    Input {
        name,
        kind: Kind::Count,
        unit: "",
        what,
        origin: Origin::Nameplate,
        need: Need::Optional,
        limits: ("", ""),
        choices,
    }
}

/// An output that is a quantity.
pub const fn output(
    name: &'static str,
    kind: Kind,
    unit: &'static str,
    what: &'static str,
) -> Output {
    Output {
        name,
        kind: Some(kind),
        unit,
        what,
    }
}

/// An output that is a word.
pub const fn word(name: &'static str, what: &'static str) -> Output {
    Output {
        name,
        kind: None,
        unit: "",
        what,
    }
}

/// A row of a verdict table.
pub const fn band(
    when: &'static str,
    verdict: Verdict,
    means: &'static str,
    source: &'static str,
) -> Band {
    Band {
        when,
        verdict,
        means,
        source,
        only_if_known: false,
    }
}

/// A row of a verdict table that counts where its output is known, and is left out elsewhere.
pub const fn band_if_known(
    when: &'static str,
    verdict: Verdict,
    means: &'static str,
    source: &'static str,
) -> Band {
    Band {
        only_if_known: true,
        ..band(when, verdict, means, source)
    }
}
