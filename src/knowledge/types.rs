//! The items of knowledge, as the rest of the program sees them.

use serde::{Deserialize, Serialize};

/// What kind of trouble a class is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ClassKind {
    /// The drive reports a fault and stops.
    Trip,
    /// The drive is healthy but held back.
    Waiting,
    /// A symptom without a report.
    Behaviour,
}

impl ClassKind {
    /// The word shown.
    pub fn word(self) -> &'static str {
        match self {
            ClassKind::Trip => "trip",
            ClassKind::Waiting => "waiting",
            ClassKind::Behaviour => "behaviour",
        }
    }
}

/// What a step needs of the machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Access {
    /// Door closed, anyone.
    Observe,
    /// Run the machine, door closed.
    Operate,
    /// Door open and powered: a qualified person.
    Live,
    /// Locked off, waited, proved dead: a qualified person.
    Isolated,
}

impl Access {
    /// All four, from the least to the most demanding.
    pub const ALL: [Access; 4] = [
        Access::Observe,
        Access::Operate,
        Access::Live,
        Access::Isolated,
    ];

    /// The word shown.
    pub fn word(self) -> &'static str {
        match self {
            Access::Observe => "observe",
            Access::Operate => "operate",
            Access::Live => "live",
            Access::Isolated => "isolated",
        }
    }

    /// The cautions that it brings by itself.
    pub fn cautions(self) -> &'static [&'static str] {
        match self {
            Access::Observe => &[],
            Access::Operate => &["moving-machine"],
            Access::Live => &["live-work"],
            Access::Isolated => &["isolate-and-prove-dead", "stored-charge"],
        }
    }
}

/// How often a cause is behind a class, as a judgement.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum HowOften {
    /// Often.
    Often,
    /// Sometimes.
    Sometimes,
    /// Rarely.
    Rarely,
}

impl HowOften {
    /// The word shown.
    pub fn word(self) -> &'static str {
        match self {
            HowOften::Often => "often",
            HowOften::Sometimes => "sometimes",
            HowOften::Rarely => "rarely",
        }
    }
}

/// How likely a cause makes a finding, as a judgement.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Level {
    /// Practically never.
    Never,
    /// Rarely.
    Rarely,
    /// About every second time.
    Sometimes,
    /// Usually.
    Usually,
    /// Practically always.
    Always,
}

impl Level {
    /// The word shown.
    pub fn word(self) -> &'static str {
        match self {
            Level::Never => "never",
            Level::Rarely => "rarely",
            Level::Sometimes => "sometimes",
            Level::Usually => "usually",
            Level::Always => "always",
        }
    }
}

/// ISO 14224:2016 codes; any of them may be left open.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Coding {
    /// Failure mode.
    pub mode: Option<String>,
    /// Failure mechanism.
    pub mechanism: Option<String>,
    /// Failure cause.
    pub cause: Option<String>,
    /// Maintenance activity.
    pub activity: Option<String>,
}

/// A cause in the list of a class.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ClassCause {
    /// The cause's id.
    pub cause: String,
    /// How often it is behind this class.
    pub how_often: HowOften,
}

/// A class that is easily taken for this one.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct LookAlike {
    /// The other class.
    pub class: String,
    /// The question that separates the two.
    pub ask: String,
    /// Why.
    pub because: String,
}

/// Two causes that no question can tell apart, and why that is so.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Inseparable {
    /// The two causes.
    pub causes: (String, String),
    /// Why.
    pub because: String,
}

/// A kind of trouble that a drive reports or a machine shows.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct FaultClass {
    /// Stable id.
    pub id: String,
    /// Title.
    pub title: String,
    /// What kind of trouble.
    pub kind: ClassKind,
    /// What the drive saw, and the physics behind it.
    pub meaning: String,
    /// The first safe thing to look at.
    pub first_look: String,
    /// How people say it.
    pub phrases: Vec<String>,
    /// Trade-wide short words.
    pub abbreviations: Vec<String>,
    /// CiA 402 error codes, four hex digits.
    pub standard_codes: Vec<String>,
    /// Its causes, most frequent first.
    pub causes: Vec<ClassCause>,
    /// Look-alikes.
    pub confused_with: Vec<LookAlike>,
    /// Pairs of its causes that no question can tell apart.
    pub inseparable: Vec<Inseparable>,
    /// Cautions of the class itself.
    pub cautions: Vec<String>,
    /// ISO 14224 proposal.
    pub coding: Coding,
}

/// A finding that a cause makes likely or unlikely.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Sign {
    /// The question.
    pub question: String,
    /// Its finding.
    pub finding: String,
    /// How likely.
    pub level: Level,
}

/// The decisive step for a cause.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Confirm {
    /// What to do.
    pub how: String,
    /// The finding that is itself the confirmation, if there is one.
    pub settled_by: Option<(String, String)>,
    /// Working minutes, without the way into the cabinet.
    pub minutes: f64,
    /// What it needs.
    pub access: Access,
    /// Where it leaves the machine.
    pub ends_in: Access,
}

/// A concrete, confirmable reason.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Cause {
    /// Stable id.
    pub id: String,
    /// What is wrong.
    pub name: String,
    /// The mechanism.
    pub what: String,
    /// Its signs.
    pub signs: Vec<Sign>,
    /// The decisive step.
    pub confirm: Confirm,
    /// How to put it right.
    pub put_right: String,
    /// How to prove the repair.
    pub prove: String,
    /// What else fails with it.
    pub fails_with: Option<String>,
    /// Cautions of the confirming step, those of its access included.
    pub cautions: Vec<String>,
    /// ISO 14224 proposal.
    pub coding: Coding,
}

/// How a measuring question is judged.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Measure {
    /// The check's name.
    pub check: String,
    /// The check's inputs that are typed, in this order.
    pub inputs: Vec<String>,
    /// Where the limits of the findings come from.
    pub source: String,
}

/// One outcome of a question.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Finding {
    /// Id within the question.
    pub id: String,
    /// In words.
    pub text: String,
    /// Share of drives that show it when nothing points there, 0 to 1.
    pub base: f64,
    /// Condition on the check's outputs; none for the last or for answers without a check.
    pub when: Option<String>,
}

/// What the user is asked to observe, measure or try.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Question {
    /// Stable id.
    pub id: String,
    /// Word for one-line facts.
    pub short: Option<String>,
    /// The question.
    pub ask: String,
    /// What to do.
    pub how: String,
    /// What the answer separates.
    pub tells: String,
    /// What it needs.
    pub access: Access,
    /// Where it leaves the machine.
    pub ends_in: Access,
    /// Working minutes, without the way into the cabinet.
    pub minutes: f64,
    /// Cautions, those of its access included.
    pub cautions: Vec<String>,
    /// Pointless once the drive has been switched off.
    pub before_power_off: bool,
    /// The check, for a measuring question.
    pub measure: Option<Measure>,
    /// Its findings in order.
    pub findings: Vec<Finding>,
}

/// A caution that stands before a risky step.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Caution {
    /// Stable id.
    pub id: String,
    /// The signal word.
    pub signal: String,
    /// What can happen and what to do.
    pub text: String,
    /// Source ids.
    pub sources: Vec<String>,
}

/// A published source, or one of the two marks for habit and memory.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Reference {
    /// Stable id.
    pub id: String,
    /// Title with edition.
    pub title: String,
    /// A remark: how far it was seen, what it covers.
    pub note: Option<String>,
}

/// A short word of the trade.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Abbreviation {
    /// As displayed or spoken.
    pub word: String,
    /// In plain words.
    pub means: String,
    /// The classes it may point at.
    pub classes: Vec<String>,
    /// What to ask where it is ambiguous.
    pub ask: Option<String>,
}

/// Ways of saying one thing.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Synonym {
    /// The words that the classes use.
    pub means: String,
    /// What people say instead.
    pub say: Vec<String>,
}

/// A term in other languages.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Translation {
    /// The English term.
    pub english: String,
    /// Language code and terms.
    pub terms: Vec<(String, Vec<String>)>,
}

/// The word lists.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Words {
    /// Abbreviations.
    pub abbreviations: Vec<Abbreviation>,
    /// Synonyms.
    pub synonyms: Vec<Synonym>,
    /// Translations.
    pub translations: Vec<Translation>,
    /// Finding of the question about the moment → how people say it.
    pub moments: Vec<(String, Vec<String>)>,
    /// Words that say nothing about the fault.
    pub filler: Vec<String>,
    /// Words that show that something else is meant.
    pub out_of_scope: Vec<String>,
    /// Words of everyday English that are never taken for a slip of the keyboard.
    pub plain: Vec<String>,
    /// What people say about other things than a drive's trouble.
    pub elsewhere: Vec<String>,
}

impl Words {
    /// Adds the lists of another file.
    pub fn extend(&mut self, other: Words) {
        self.abbreviations.extend(other.abbreviations);
        self.synonyms.extend(other.synonyms);
        self.translations.extend(other.translations);
        for (finding, say) in other.moments {
            match self.moments.iter_mut().find(|(own, _)| *own == finding) {
                Some((_, own)) => own.extend(say),
                None => self.moments.push((finding, say)),
            }
        }
        self.filler.extend(other.filler);
        self.out_of_scope.extend(other.out_of_scope);
        self.plain.extend(other.plain);
        self.elsewhere.extend(other.elsewhere);
    }
}
