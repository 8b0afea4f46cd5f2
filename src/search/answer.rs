//! The answer: which hits are good enough, how sure they are, what would help.

use super::hit::{Found, Hit, HitKind, NearTie, Understood};
use super::notes::{MOMENT_QUESTION, Notes};
use super::query::{Query, short_part};
use super::rank::Ranking;
use super::table::Table;
use super::why;
use crate::knowledge::Library;

/// Evidence is divided by this before it becomes shares. At 1.1 the mean share of the first class is
/// the share of queries whose first class is right, over the sets named in `weights.rs`.
const SOFTNESS: f32 = 1.1;
/// The first classes are shown even if the best one is far ahead of them.
const ALWAYS_SHOWN: usize = 3;
/// Further classes are shown from this part of the best one's share on.
const LEAST_OF_BEST: f32 = 0.02;
/// A class below this part of the best one's share is never shown.
const LEAST_SHOWN: f32 = 0.005;
/// Two classes this close are a near tie.
const NEAR: f32 = 0.4;
/// Below this sureness the answer is that nothing matches.
const LEAST_SURE: f32 = 0.45;
/// Below this score of the first class nothing matches either: the words fit every class alike.
const LEAST_SCORE: f32 = 0.08;
/// Below this score of the first class the query is vague.
const VAGUE: f32 = 0.35;
/// Most questions that are offered.
const MOST_QUESTIONS: usize = 3;
/// A cause is shown from this likeness on.
const CAUSE_LIKENESS: f32 = 0.55;
/// Most causes among the hits.
const MOST_CAUSES: usize = 3;

const WHAT_HELPS: &str = "What would help: what the display says in words, the moment of the trip (at \
    power-up, at the start, while speeding up, at a steady speed, while slowing down), and what was \
    changed before.";
const OUT_OF_SCOPE: &str = "This does not look like trouble with a variable-speed drive. If a drive \
    feeds the motor, say what the drive shows and when it stops.";

/// What an answer is put together from.
struct Case<'a> {
    knowledge: &'a Library,
    notes: &'a Notes<'a>,
    query: &'a Query,
    ranking: &'a Ranking,
    /// The share of each class, best first.
    shares: Vec<f32>,
    /// How sure it is that the query is about something known here.
    sure: f32,
    /// A standard code in the query that a class carries.
    code: Option<&'a String>,
}

/// Puts the answer together.
pub fn answer(
    library: &Library,
    notes: &Notes,
    lexicon: &Table,
    query: &Query,
    ranking: &Ranking,
    limit: usize,
) -> Found {
    let code = query.codes.iter().map(|(code, _)| code).find(|code| {
        notes
            .classes
            .iter()
            .any(|class| class.codes.contains(&code.as_str()))
    });
    let sure = match code {
        Some(_) => 1.0,
        None if nothing_said(query) => 0.0,
        None => sureness(query, ranking),
    };
    let case = Case {
        knowledge: library,
        notes,
        query,
        ranking,
        shares: shares(ranking),
        sure,
        code,
    };
    let mut found = Found {
        understood: understood(query),
        ..Found::default()
    };
    maker_codes(query, lexicon, &mut found);
    if sure < LEAST_SURE || case.score() < LEAST_SCORE {
        refuse(query, &mut found);
        return found;
    }
    case.classes(&mut found);
    case.standard_code(&mut found);
    case.causes(&mut found);
    case.near_tie(&mut found);
    case.vague(&mut found);
    ambiguous_short_words(query, &mut found);
    found.hits.truncate(limit);
    found
}

impl Case<'_> {
    /// The score of the best class.
    fn score(&self) -> f32 {
        self.sure * self.shares.first().copied().unwrap_or(0.0)
    }

    fn classes(&self, found: &mut Found) {
        let best = self.shares.first().copied().unwrap_or(0.0);
        for (place, (score, share)) in self.ranking.classes.iter().zip(&self.shares).enumerate() {
            let least = if place < ALWAYS_SHOWN {
                LEAST_SHOWN
            } else {
                LEAST_OF_BEST
            };
            let Some(note) = self.notes.classes.get(score.class) else {
                continue;
            };
            let carries = self.code.filter(|code| note.codes.contains(&code.as_str()));
            if *share < least * best && carries.is_none() {
                continue;
            }
            let class = self.knowledge.class(note.id);
            found.hits.push(Hit {
                kind: HitKind::Class,
                id: note.id.to_owned(),
                class: Some(note.id.to_owned()),
                title: note.title.to_owned(),
                score: f64::from(self.sure * share),
                why: why::class(self.query, score, class, carries),
            });
        }
    }

    fn standard_code(&self, found: &mut Found) {
        let Some(code) = self.code else { return };
        let carries = |id: &str| {
            let class = self.knowledge.class(id);
            class.is_some_and(|class| class.standard_codes.contains(code))
        };
        let class = found
            .hits
            .iter()
            .map(|hit| &hit.id)
            .find(|id| carries(id))
            .cloned();
        found.hits.push(Hit {
            kind: HitKind::StandardCode,
            id: code.clone(),
            class,
            title: format!("Error code {code}h of the drive profile"),
            score: f64::from(self.score()),
            why: vec![format!(
                "{code}h is an error code of IEC 61800-7-201 (CiA 402)"
            )],
        });
    }

    /// The causes that the words name, each with the best class that it belongs to.
    fn causes(&self, found: &mut Found) {
        let named = self
            .ranking
            .causes
            .iter()
            .filter(|score| score.likeness >= CAUSE_LIKENESS);
        for score in named.take(MOST_CAUSES) {
            let Some((id, name)) = self.notes.causes.get(score.cause) else {
                continue;
            };
            let class = self.ranking.classes.iter().find_map(|class| {
                let note = self.notes.classes.get(class.class)?;
                let has = note
                    .causes
                    .iter()
                    .any(|(cause, _)| usize::from(*cause) == score.cause);
                has.then(|| note.id.to_owned())
            });
            found.hits.push(Hit {
                kind: HitKind::Cause,
                id: (*id).to_owned(),
                class,
                title: (*name).to_owned(),
                score: f64::from(self.sure * score.likeness.min(1.0)),
                why: why::cause(self.query, score),
            });
        }
    }

    /// Names the question that separates the two best classes, if they are close.
    fn near_tie(&self, found: &mut Found) {
        let ([one, other, ..], [first, second, ..]) =
            (self.ranking.classes.as_slice(), self.shares.as_slice())
        else {
            return;
        };
        let notes = &self.notes.classes;
        let (Some(one), Some(other)) = (notes.get(one.class), notes.get(other.class)) else {
            return;
        };
        if *second < NEAR * first {
            return;
        }
        let ask = self
            .separating(one.id, other.id)
            .or_else(|| self.separating(other.id, one.id))
            .or_else(|| {
                found
                    .understood
                    .moment
                    .is_none()
                    .then(|| MOMENT_QUESTION.to_owned())
            });
        if let Some(ask) = ask {
            let (first, second) = (one.id.to_owned(), other.id.to_owned());
            found.near_tie = Some(NearTie {
                first,
                second,
                ask: ask.clone(),
            });
            found.ask.push(ask);
        }
    }

    fn separating(&self, one: &str, other: &str) -> Option<String> {
        let class = self.knowledge.class(one)?;
        let look_alike = class
            .confused_with
            .iter()
            .find(|look| look.class == other)?;
        Some(look_alike.ask.clone())
    }

    /// A vague query gets the questions that split it best.
    fn vague(&self, found: &mut Found) {
        if self.score() >= VAGUE {
            return;
        }
        if found.understood.moment.is_none() && !found.ask.iter().any(|ask| ask == MOMENT_QUESTION)
        {
            found.ask.insert(0, MOMENT_QUESTION.to_owned());
        }
        let hits = found
            .hits
            .iter()
            .filter(|hit| hit.kind == HitKind::Class)
            .take(ALWAYS_SHOWN);
        let classes = hits.filter_map(|hit| self.knowledge.class(&hit.id));
        for look in classes.flat_map(|class| &class.confused_with) {
            if found.ask.len() < MOST_QUESTIONS && !found.ask.contains(&look.ask) {
                found.ask.push(look.ask.clone());
            }
        }
    }
}

fn understood(query: &Query) -> Understood {
    Understood {
        corrected: query.corrected.clone(),
        moment: query.analysis.moments.first().cloned(),
        not_moments: query.analysis.not_moments.clone(),
        readings: query.readings.clone(),
        maker_codes: query.maker_codes.clone(),
        unknown: query.unknown.clone(),
    }
}

/// Whether the query holds nothing that could point anywhere.
fn nothing_said(query: &Query) -> bool {
    query.analysis.terms.is_empty() && query.analysis.names.is_empty()
}

/// A maker's code is never guessed at.
fn maker_codes(query: &Query, lexicon: &Table, found: &mut Found) {
    for code in &query.maker_codes {
        found.advice.push(match short_part(code, lexicon) {
            Some(part) => format!(
                "{code}: the letters {part} are of the trade, but what the figure behind them stands for \
                 differs from maker to maker; look it up in the drive's own manual."
            ),
            None => format!(
                "{code} is a code of the drive's maker, and no two makers agree: look it up in the drive's own \
                 manual and search here by its meaning. To teach it to this program: whytrip code add \
                 \"{}\" --class ID",
                code.replace(['"', '\\'], "")
            ),
        });
    }
}

/// Says that nothing matches, and what would help.
fn refuse(query: &Query, found: &mut Found) {
    for (code, _) in query.codes.iter().filter(|(_, sure)| *sure) {
        found.advice.push(format!(
            "No fault class here carries the standard error code {code}h."
        ));
    }
    if !query.analysis.out_of_scope.is_empty() {
        found.advice.push(OUT_OF_SCOPE.to_owned());
        return;
    }
    if !nothing_said(query) && query.maker_codes.is_empty() {
        found.advice.push("Nothing here matches well.".to_owned());
    }
    found.advice.push(WHAT_HELPS.to_owned());
    found.ask.push(MOMENT_QUESTION.to_owned());
}

/// How sure it is that the query is about something known here, 0 to 1: a logistic regression over the
/// test rows and the rows that are out of scope, rounded.
fn sureness(query: &Query, ranking: &Ranking) -> f32 {
    let best = ranking.classes.first();
    let likeness = best.map_or(0.0, |best| best.likeness);
    let evidence = best.map_or(0.0, |best| best.evidence).clamp(0.0, 8.0);
    let drive = |term: &str| term == "drive" || term.starts_with("dc bus");
    let drive = query.analysis.terms.iter().any(|term| drive(&term.text));
    let mut odds = 3.5 * likeness + 2.0 * ranking.coverage + 0.5 * evidence - 2.1;
    if drive {
        odds += 0.4;
    }
    if !query.analysis.moments.is_empty() {
        odds += 1.3;
    }
    if !query.analysis.out_of_scope.is_empty() {
        odds -= if drive { 2.0 } else { 7.0 };
    }
    1.0 / (1.0 + (-odds).exp())
}

/// The share of each class, best first.
fn shares(ranking: &Ranking) -> Vec<f32> {
    let best = ranking.classes.first().map_or(0.0, |score| score.evidence);
    let odds = |evidence: f32| ((evidence - best) / SOFTNESS).exp();
    let raw: Vec<f32> = ranking
        .classes
        .iter()
        .map(|score| odds(score.evidence))
        .collect();
    let all: f32 = raw.iter().sum();
    raw.into_iter()
        .map(|share| share / all.max(f32::MIN_POSITIVE))
        .collect()
}

/// Where a short word stands for several things and the rest of the words leave it open, asks which.
fn ambiguous_short_words(query: &Query, found: &mut Found) {
    for name in &query.analysis.names {
        let several = name
            .short_for
            .as_ref()
            .is_some_and(|means| means.contains(" or "));
        if let Some(ask) = &name.ask
            && (several || found.near_tie.is_some())
            && !found.advice.contains(ask)
        {
            found.advice.push(ask.clone());
        }
    }
}
