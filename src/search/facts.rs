//! What a query already answers of a walk: the moment, what was observed, voltages.

use super::hit::Understood;
use super::notes::MOMENT_QUESTION;
use crate::knowledge::{FaultClass, Library};
use crate::quantity::Kind;

/// What is observed: the meaning, the question that it answers, the finding if it is said, and the
/// finding if it is ruled out.
type Observed = (
    &'static str,
    &'static str,
    &'static str,
    Option<&'static str>,
);

/// Observations besides the moment.
const OBSERVED: &[Observed] = &[
    ("wet", "wet-or-washed-down", "wet", Some("dry")),
    (
        "hot weather",
        "hot-weather",
        "follows-heat",
        Some("any-time"),
    ),
    (
        "after standstill",
        "stood-still-before",
        "stood-full-or-cold",
        None,
    ),
    (
        "another machine",
        "neighbours-at-the-moment",
        "large-load-starts",
        None,
    ),
    (
        "a coil switches",
        "event-in-that-second",
        "coil-or-contact",
        None,
    ),
    ("surge", "event-in-that-second", "storm", None),
    (
        "several drives",
        "other-equipment-affected",
        "others-too",
        None,
    ),
    (
        "all stop together",
        "other-equipment-affected",
        "others-too",
        None,
    ),
    ("drive exchanged", "recent-change", "drive-exchanged", None),
    ("random", "how-often", "at-random", None),
];

/// Words for the DC bus that stand before a reading.
const BUS: &[&str] = &["bus", "link", "zwischenkreis"];

/// The observation that a meaning stands for.
pub fn observed(means: &str, ruled_out: bool) -> Option<(String, String)> {
    let (_, question, said, otherwise) = OBSERVED.iter().find(|(meaning, ..)| *meaning == means)?;
    let finding = if ruled_out { (*otherwise)? } else { said };
    Some(((*question).to_owned(), finding.to_owned()))
}

/// The facts of a query that a walk of this class can use, as `walk` takes them: name and value.
pub fn for_walk(
    library: &Library,
    understood: &Understood,
    class: &FaultClass,
) -> Vec<(String, String)> {
    let mut facts: Vec<(String, String)> = Vec::new();
    let mut add = |question: &str, value: String| {
        let asked = library
            .question(question)
            .filter(|_| uses(library, class, question));
        let Some(asked) = asked else { return };
        let short = asked.short.as_deref().filter(|short| !short.contains(' '));
        let name = short.unwrap_or(question).to_owned();
        if !facts.iter().any(|(taken, _)| *taken == name) {
            facts.push((name, value));
        }
    };
    if let Some(moment) = &understood.moment {
        add(MOMENT_QUESTION, moment.clone());
    }
    for (question, finding) in &understood.observed {
        add(question, finding.clone());
    }
    let slowing = understood.moment.as_deref() == Some("slowing");
    let volts = |of: fn(&str) -> bool| {
        let mut readings = understood.readings.iter();
        readings.find_map(|reading| {
            let named = reading
                .of
                .as_deref()
                .is_some_and(|name| of(&name.to_lowercase()));
            (named && reading.value.kind() == Kind::Voltage)
                .then(|| format!("{}V", reading.value.si()))
        })
    };
    let supply = volts(|name| !BUS.contains(&name) && name != "bank");
    // What the bus should read follows from the supply: without it a reading can't be judged.
    if let Some(bus) = volts(|name| BUS.contains(&name)).filter(|_| supply.is_some()) {
        let question = if slowing {
            "bus-while-slowing"
        } else {
            "bus-at-rest"
        };
        add(question, bus);
    }
    if let Some(supply) = supply {
        facts.push(("supply_voltage".to_owned(), supply));
    }
    facts
}

/// Whether any cause of a class gives a sign in this question.
pub fn uses(library: &Library, class: &FaultClass, question: &str) -> bool {
    let mut causes = class
        .causes
        .iter()
        .filter_map(|one| library.cause(&one.cause));
    causes.any(|cause| cause.signs.iter().any(|sign| sign.question == question))
}
