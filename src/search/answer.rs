//! The answer: which hits are good enough, how sure they are, what would help.

use super::facts;
use super::hit::{Found, Hit, HitKind, NearTie};
use super::lexicon::Lexicon;
use super::notes::{MOMENT_QUESTION, Notes};
use super::query::{Query, short_part};
use super::rank::{ItemScore, LEAST_LIKENESS, Ranking};
use super::splitting;
use super::sureness::{shares, sureness};
use super::terms::Via;
use super::understood::{asks, understood};
use super::why;
use crate::knowledge::{FaultClass, Library};

/// The first classes are shown even if the best one is far ahead of them.
const ALWAYS_SHOWN: usize = 3;
/// Further classes are shown from this part of the best one's share on.
const LEAST_OF_BEST: f32 = 0.02;
/// A class below this part of the best one's share is never shown.
const LEAST_SHOWN: f32 = 0.0005;
/// Two classes this close are a near tie.
const NEAR: f32 = 0.4;
/// Below this sureness the answer is that nothing matches.
const LEAST_SURE: f32 = 0.45;
/// Below this score of the first class nothing matches either: the words fit every class alike.
const LEAST_SCORE: f32 = 0.06;
/// Below this score of the first class the query is vague.
const VAGUE: f32 = 0.35;
/// Most questions that are offered.
const MOST_QUESTIONS: usize = 3;
/// A cause is shown from this likeness on.
const CAUSE_LIKENESS: f32 = 0.55;
/// Most causes among the hits.
const MOST_CAUSES: usize = 3;
/// A check or a question is shown from this likeness on.
const ITEM_LIKENESS: f32 = 0.5;
/// The same where a quantity is asked for.
const ASKED_LIKENESS: f32 = LEAST_LIKENESS;
/// Most checks, and most questions, among the hits.
const MOST_ITEMS: usize = 2;
/// Classes that the questions for a vague query are to tell apart.
const SPLIT: usize = 8;

/// The meaning of words that ask how to get round a protection.
const DEFEATED_PROTECTION: &str = "protection defeated";
const NEVER: &str = "Never bridge, bypass or switch off a protective or safety device to get a machine \
    going, and do not reset it again and again: it has seen something. Find out what, with those who \
    answer for the safety of this machine.";
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
    lexicon: &Lexicon,
    query: &Query,
    ranking: &Ranking,
    limit: usize,
) -> Found {
    let code = query.codes.iter().map(|(code, _)| code).find(|code| {
        notes
            .classes
            .iter()
            .any(|class| class.codes().any(|own| own == *code))
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
    let defeats = |via: &Via| matches!(via, Via::Meaning(means) if means == DEFEATED_PROTECTION);
    if query.analysis.terms.iter().any(|term| defeats(&term.via)) {
        found.caution = Some(NEVER);
    }
    maker_codes(query, lexicon, &mut found);
    let asks = asks(query);
    if asks {
        case.checks(ASKED_LIKENESS, &mut found);
    }
    if sure < LEAST_SURE || case.score() < LEAST_SCORE {
        if found.hits.is_empty() {
            case.refuse(&mut found);
        }
        return found;
    }
    case.classes(&mut found);
    case.standard_code(&mut found);
    case.causes(&mut found);
    if !asks {
        case.checks(ITEM_LIKENESS, &mut found);
    }
    case.questions(&mut found);
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
            let carries = self
                .code
                .filter(|code| note.codes().any(|own| own == *code));
            if *share < least * best && carries.is_none() {
                continue;
            }
            found.hits.push(Hit {
                kind: HitKind::Class,
                id: note.id.to_owned(),
                class: Some(note.id.to_owned()),
                title: note.title.to_owned(),
                score: f64::from(self.sure * share),
                why: why::class(self.query, score, self.knowledge, note.id, carries),
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
            let Some((id, name)) = self.notes.causes.get(score.number) else {
                continue;
            };
            let class = self.ranking.classes.iter().find_map(|class| {
                let note = self.notes.classes.get(class.class)?;
                let has = note.causes().any(|(cause, _)| cause == score.number);
                has.then(|| note.id.to_owned())
            });
            found.hits.push(Hit {
                kind: HitKind::Cause,
                id: id.to_owned(),
                class,
                title: name.to_owned(),
                score: f64::from(self.sure * score.likeness.min(1.0)),
                why: why::item(self.query, score),
            });
        }
    }

    /// The checks that the words name.
    fn checks(&self, least: f32, found: &mut Found) {
        let named = |score: &ItemScore| {
            let (name, purpose) = self.notes.checks.get(score.number)?;
            Some(Hit {
                kind: HitKind::Check,
                id: name.to_owned(),
                class: None,
                title: purpose.to_owned(),
                score: f64::from(score.likeness.min(1.0)),
                why: why::item(self.query, score),
            })
        };
        let near = self
            .ranking
            .checks
            .iter()
            .filter(|score| score.likeness >= least);
        found.hits.extend(near.take(MOST_ITEMS).filter_map(named));
    }

    /// The questions that the words name, each with the best class that asks it.
    fn questions(&self, found: &mut Found) {
        let near = self
            .ranking
            .questions
            .iter()
            .filter(|score| score.likeness >= ITEM_LIKENESS);
        for score in near.take(MOST_ITEMS) {
            let id = self.notes.questions.get(score.number);
            let Some(question) = id.and_then(|(id, _)| self.knowledge.question(id)) else {
                continue;
            };
            let mut classes = self.best_classes(SPLIT);
            let class = classes.find(|(class, _)| facts::uses(self.knowledge, class, &question.id));
            found.hits.push(Hit {
                kind: HitKind::Question,
                id: question.id.clone(),
                class: class.map(|(class, _)| class.id.clone()),
                title: question.ask.clone(),
                score: f64::from(self.sure * score.likeness.min(1.0)),
                why: why::item(self.query, score),
            });
        }
    }

    /// The best classes with their shares.
    fn best_classes(&self, most: usize) -> impl Iterator<Item = (&FaultClass, f64)> {
        let shares = self.ranking.classes.iter().zip(&self.shares);
        shares.take(most).filter_map(|(score, share)| {
            let note = self.notes.classes.get(score.class)?;
            Some((self.knowledge.class(note.id)?, f64::from(*share)))
        })
    }

    /// Says that nothing matches, and what would help.
    fn refuse(&self, found: &mut Found) {
        for (code, _) in self.query.codes.iter().filter(|(_, sure)| *sure) {
            found.advice.push(format!(
                "No fault class here carries the standard error code {code}h."
            ));
        }
        if !self.query.analysis.out_of_scope.is_empty() {
            found.advice.push(OUT_OF_SCOPE.to_owned());
            return;
        }
        if !nothing_said(self.query) && self.query.maker_codes.is_empty() {
            found.advice.push("Nothing here matches well.".to_owned());
        }
        found.advice.push(WHAT_HELPS.to_owned());
        found.ask.push(MOMENT_QUESTION.to_owned());
        let first = &self.notes.first_questions;
        let first = (0..first.len()).filter_map(|place| first.get(place));
        let further = first.filter(|(id, _)| *id != MOMENT_QUESTION);
        let further = further.map(|(id, _)| id.to_owned());
        found.ask.extend(further.take(MOST_QUESTIONS - 1));
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
        // What was said already need not be asked.
        let said = !found.understood.not_moments.is_empty() || found.understood.moment.is_some();
        let open = |ask: &str| !said || ask != MOMENT_QUESTION;
        let ask = one
            .told_from(other.id)
            .or_else(|| other.told_from(one.id))
            .filter(|ask| open(ask))
            .map(str::to_owned)
            .or_else(|| {
                let pair: Vec<_> = self.best_classes(2).collect();
                let mut asks = splitting::best(self.knowledge, &pair, 2).into_iter();
                asks.find(|ask| open(ask))
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

    /// A vague query gets the questions that split it best.
    fn vague(&self, found: &mut Found) {
        if self.score() >= VAGUE && !one_word(self.query) {
            return;
        }
        if found.understood.moment.is_none() && !found.ask.iter().any(|ask| ask == MOMENT_QUESTION)
        {
            found.ask.insert(0, MOMENT_QUESTION.to_owned());
        }
        let classes: Vec<_> = self.best_classes(SPLIT).collect();
        for question in splitting::best(self.knowledge, &classes, MOST_QUESTIONS) {
            if found.ask.len() < MOST_QUESTIONS && !found.ask.contains(&question) {
                found.ask.push(question);
            }
        }
    }
}

/// Whether the query holds nothing that could point anywhere.
fn nothing_said(query: &Query) -> bool {
    let little = |via: &Via| matches!(via, Via::Filler);
    query.analysis.terms.iter().all(|term| little(&term.via)) && query.analysis.names.is_empty()
}

/// Whether all that is said is one word, which no list knows as the name of anything.
fn one_word(query: &Query) -> bool {
    let mut telling = query
        .analysis
        .terms
        .iter()
        .filter(|term| term.via != Via::Filler);
    let first = telling.next();
    let bare = first.is_some_and(|term| matches!(term.via, Via::Word | Via::Negated));
    bare && telling.next().is_none()
}

/// A maker's code is never guessed at.
fn maker_codes(query: &Query, lexicon: &Lexicon, found: &mut Found) {
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
