//! How far the plant's own log moved the order of a class's causes.

use serde::Serialize;

use super::doc::{Document, plain, quiet};
use super::json::ClassJson;
use crate::diagnosis::case::{Case, Moved};
use crate::quantity::significant;

/// A move smaller than this is not worth a line (common practice, no source).
const WORTH_A_LINE: f64 = 0.01;

/// The moves as text; empty when the log has nothing to say.
pub fn moves(case: &Case<'_>) -> Document {
    let mut document = Document::new();
    let moved: Vec<Moved> = worth_a_line(case);
    if moved.is_empty() {
        return document;
    }
    document.gap();
    document.heading(2, "What your log has moved");
    for one in moved {
        let direction = if one.now > one.judged { "up" } else { "down" };
        document.item(vec![
            plain(format!("{}: ", case.cause_name(one.cause))),
            plain(format!(
                "{direction} from {} to {} in 100 ",
                whole(one.judged),
                whole(one.now)
            )),
            quiet(format!("({} in the log)", significant(one.incidents, 2))),
        ]);
    }
    document
}

fn worth_a_line(case: &Case<'_>) -> Vec<Moved> {
    let mut moved = case.moved();
    moved.retain(|one| (one.now - one.judged).abs() >= WORTH_A_LINE);
    moved
}

fn whole(share: f64) -> String {
    format!("{:.0}", 100.0 * share)
}

/// A cause that the log moved.
#[derive(Serialize)]
pub struct MovedJson<'a> {
    cause: &'a str,
    built_in: f64,
    now: f64,
    incidents: f64,
}

/// A class with what the log says of it.
#[derive(Serialize)]
pub struct LearnedClassJson<'a> {
    #[serde(flatten)]
    class: ClassJson<'a>,
    learned: Vec<MovedJson<'a>>,
}

/// A class as JSON, with every cause that the log moved.
pub fn json<'a>(class: ClassJson<'a>, case: &Case<'a>) -> LearnedClassJson<'a> {
    let learned = case
        .moved()
        .into_iter()
        .filter(|one| one.incidents > 0.0 || (one.now - one.judged).abs() >= WORTH_A_LINE)
        .map(|one| MovedJson {
            cause: &case.causes[one.cause].id,
            built_in: one.judged,
            now: one.now,
            incidents: one.incidents,
        })
        .collect();
    LearnedClassJson { class, learned }
}
