//! Which questions split an undecided answer best.
//!
//! A question is worth the information that its finding carries about the class, in bits: the entropy
//! of its findings over all classes less the mean of it within each class (Shannon 1948). How likely a
//! finding is within a class follows from the signs of its causes, weighted by how often they occur.

use std::collections::BTreeMap;

use crate::knowledge::{Access, Cause, FaultClass, HowOften, Level, Library, Question};

/// For each question how likely each of its findings is, not yet summing to one.
type Findings<'l> = BTreeMap<&'l str, BTreeMap<&'l str, f64>>;

/// Below this many bits a question is not worth asking.
const LEAST_BITS: f64 = 0.02;

/// Where causes and questions are looked up.
pub trait Known {
    /// A cause by its id.
    fn cause(&self, id: &str) -> Option<&Cause>;
    /// A question by its id.
    fn question(&self, id: &str) -> Option<&Question>;
}

impl Known for Library {
    fn cause(&self, id: &str) -> Option<&Cause> {
        Library::cause(self, id)
    }

    fn question(&self, id: &str) -> Option<&Question> {
        Library::question(self, id)
    }
}

/// The questions that can be answered by looking, best first; classes come with their shares.
pub fn best(known: &impl Known, classes: &[(&FaultClass, f64)], most: usize) -> Vec<String> {
    let total: f64 = classes.iter().map(|(_, share)| share).sum();
    if total <= 0.0 {
        return Vec::new();
    }
    let within: Vec<(f64, Findings)> = classes
        .iter()
        .map(|(class, share)| (share / total, findings(known, class)))
        .collect();
    let mut questions: Vec<&str> = within
        .iter()
        .flat_map(|(_, findings)| findings.keys().copied())
        .collect();
    questions.sort_unstable();
    questions.dedup();
    let mut worth: Vec<(f64, &str)> = questions
        .into_iter()
        .filter(|id| {
            let asked = known.question(id);
            asked.is_some_and(|question| question.access == Access::Observe)
        })
        .map(|id| (bits(id, &within), id))
        .filter(|(bits, _)| *bits >= LEAST_BITS)
        .collect();
    worth.sort_by(|one, other| other.0.total_cmp(&one.0).then(one.1.cmp(other.1)));
    let best = worth.into_iter().take(most);
    best.map(|(_, id)| id.to_owned()).collect()
}

/// What a judgement of how often a cause is behind a class weighs.
pub fn weight(how_often: HowOften) -> f64 {
    match how_often {
        HowOften::Often => 1.0,
        HowOften::Sometimes => 0.5,
        HowOften::Rarely => 0.2,
    }
}

/// The likelihood that a judged level stands for.
pub fn likelihood(level: Level) -> f64 {
    match level {
        Level::Never => 0.03,
        Level::Rarely => 0.15,
        Level::Sometimes => 0.5,
        Level::Usually => 0.85,
        Level::Always => 0.97,
    }
}

/// How likely the findings are within a class.
fn findings<'l>(known: &'l impl Known, class: &FaultClass) -> Findings<'l> {
    let mut found = Findings::new();
    for one in &class.causes {
        let Some(cause) = known.cause(&one.cause) else {
            continue;
        };
        let often = weight(one.how_often);
        for sign in &cause.signs {
            let findings = found.entry(sign.question.as_str()).or_default();
            *findings.entry(sign.finding.as_str()).or_default() += often * likelihood(sign.level);
        }
    }
    found
}

/// The information of a question; a class that says nothing about it counts as the mean of the others.
fn bits(question: &str, within: &[(f64, Findings)]) -> f64 {
    let mut overall: BTreeMap<&str, f64> = BTreeMap::new();
    let (mut inside, mut saying) = (0.0, 0.0);
    for (share, classes) in within {
        let Some(findings) = classes.get(question) else {
            continue;
        };
        let all: f64 = findings.values().sum();
        if all <= 0.0 {
            continue;
        }
        saying += share;
        inside += share * entropy(findings.values().map(|weight| weight / all));
        for (finding, weight) in findings {
            *overall.entry(finding).or_default() += share * weight / all;
        }
    }
    if saying <= 0.0 {
        return 0.0;
    }
    let between = entropy(overall.values().map(|weight| weight / saying));
    saying * (between - inside / saying)
}

fn entropy(shares: impl Iterator<Item = f64>) -> f64 {
    shares
        .filter(|share| *share > 0.0)
        .map(|share| -share * share.log2())
        .sum()
}
