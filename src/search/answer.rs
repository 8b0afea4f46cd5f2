//! The answer: which hits are good enough, how sure they are, why they were found, what would help.

use super::hit::{Found, Hit, HitKind, NearTie, Understood};
use super::index::Notes;
use super::query::{Query, short_part};
use super::rank::{ClassScore, Ranking};
use super::table::Table;
use super::terms::Via;
use crate::knowledge::Library;

/// Evidence is divided by this before it becomes shares.
const SOFTNESS: f32 = 2.5;
/// A class below this share of the best one is not shown.
const LEAST_OF_BEST: f32 = 0.05;
/// Two classes this close are a near tie.
const NEAR: f32 = 0.45;
/// Below this the answer is that nothing matches.
const LEAST_SURE: f32 = 0.30;
/// Most reasons for one hit.
const MOST_REASONS: usize = 6;
/// A cause is shown from this likeness on.
const CAUSE_LIKENESS: f32 = 0.45;
/// Most causes among the hits.
const MOST_CAUSES: usize = 3;

/// Puts the answer together.
pub fn answer(
    library: &Library,
    notes: &Notes,
    lexicon: &Table,
    query: Query,
    ranking: Ranking,
    limit: usize,
) -> Found {
    let mut found = Found {
        understood: understood(&query),
        ..Found::default()
    };
    let known_code = query.codes.iter().find(|(code, _)| {
        notes
            .classes
            .iter()
            .any(|class| class.codes.contains(&code.as_str()))
    });
    maker_code_advice(&query, lexicon, &mut found);
    let only_codes = query.analysis.terms.is_empty() && query.analysis.names.is_empty();
    if only_codes && known_code.is_none() {
        if query.maker_codes.is_empty() {
            found.advice.push(WHAT_HELPS.to_owned());
        }
        for (code, _) in query.codes.iter().filter(|(_, sure)| *sure) {
            found.advice.push(format!(
                "No fault class here carries the standard code {code}h. Say what the machine did."
            ));
        }
        return found;
    }
    let sure = if known_code.is_some() {
        0.99
    } else {
        sureness(&query, &ranking)
    };
    if sure < LEAST_SURE {
        found.advice.push(if query.analysis.out_of_scope.is_empty() {
            format!("Nothing here matches well. {WHAT_HELPS}")
        } else {
            "This does not look like trouble with a variable-speed drive. If a drive feeds the motor, say \
             what the drive shows and when it stops."
                .to_owned()
        });
        return found;
    }
    let shares = shares(&ranking);
    let Some(best) = shares.first().copied() else {
        return found;
    };
    for (score, share) in ranking.classes.iter().zip(&shares) {
        if found.hits.len() >= limit || *share < LEAST_OF_BEST * best {
            break;
        }
        let Some(note) = notes.classes.get(score.class) else {
            continue;
        };
        found.hits.push(Hit {
            kind: HitKind::Class,
            id: note.id.to_owned(),
            class: Some(note.id.to_owned()),
            title: note.title.to_owned(),
            score: f64::from(sure * share),
            why: reasons(
                library,
                &query,
                score,
                note.id,
                known_code.map(|(code, _)| code),
            ),
        });
    }
    if let Some((code, _)) = known_code
        && found.hits.len() < limit
    {
        let class = found.hits.first().and_then(|hit| hit.class.clone());
        found.hits.push(Hit {
            kind: HitKind::StandardCode,
            id: code.clone(),
            class,
            title: format!("Error code {code}h of the drive profile"),
            score: f64::from(sure * best),
            why: vec![format!(
                "{code}h is an error code of IEC 61800-7-201 (CiA 402)"
            )],
        });
    }
    causes(notes, &ranking, sure, limit, &mut found);
    near_tie(library, notes, &ranking, &shares, &mut found);
    vague(library, sure, &ranking, &mut found);
    found
}

const WHAT_HELPS: &str = "What would help: what the display says in words, the moment of the trip (at \
    power-up, at the start, while speeding up, at a steady speed, while slowing down), and what was changed.";

fn understood(query: &Query) -> Understood {
    let moments = &query.analysis.moments;
    Understood {
        corrected: query.corrected.clone(),
        moment: moments.first().map(|(moment, _)| moment.clone()),
        not_moments: query.analysis.not_moments.clone(),
        readings: query.readings.clone(),
        maker_codes: query.maker_codes.clone(),
        unknown: query.unknown.clone(),
    }
}

fn maker_code_advice(query: &Query, lexicon: &Table, found: &mut Found) {
    for code in &query.maker_codes {
        let advice = match short_part(code, lexicon) {
            Some(part) => format!(
                "{code}: the letters {part} are of the trade, but what the figure behind them stands for differs \
                 from maker to maker; look it up in the drive's own manual."
            ),
            None => format!(
                "{code} is a code of the drive's maker: look it up in the drive's own manual and search for its \
                 words, or add it to the plant's code sheet."
            ),
        };
        found.advice.push(advice);
    }
}

/// How sure it is that the query is about something known here, 0 to 1.
fn sureness(query: &Query, ranking: &Ranking) -> f32 {
    let likeness = ranking.classes.first().map_or(0.0, |best| best.likeness);
    let outside = if query.analysis.out_of_scope.is_empty() {
        0.0
    } else {
        1.0
    };
    let odds = 5.0 * likeness + 3.0 * ranking.coverage + 0.15 * ranking.substance.min(12.0)
        - 3.0
        - 3.0 * outside;
    1.0 / (1.0 + (-odds).exp())
}

/// The share of each class, best first.
fn shares(ranking: &Ranking) -> Vec<f32> {
    let best = ranking.classes.first().map_or(0.0, |score| score.evidence);
    let raw: Vec<f32> = ranking
        .classes
        .iter()
        .map(|score| ((score.evidence - best) / SOFTNESS).exp())
        .collect();
    let all: f32 = raw.iter().sum();
    raw.into_iter().map(|share| share / all.max(1e-9)).collect()
}

/// Why a class was found, strongest reason first.
fn reasons(
    library: &Library,
    query: &Query,
    score: &ClassScore,
    id: &str,
    code: Option<&String>,
) -> Vec<String> {
    let mut reasons: Vec<String> = Vec::new();
    if let Some(code) = code {
        reasons.push(format!("carries the standard error code {code}h"));
    }
    let mut terms = score.terms.clone();
    terms.sort_by(|one, other| other.1.total_cmp(&one.1));
    for (number, evidence) in terms {
        let Some(term) = query.analysis.terms.get(number) else {
            continue;
        };
        if evidence <= 0.05 || reasons.len() >= MOST_REASONS {
            break;
        }
        let typed = typed(query, term.span);
        let reason = match &term.via {
            Via::Moment(moment) => format!("\"{typed}\" → {}", moment_in_words(moment)),
            Via::Meaning(means) | Via::Name(means) if !means.eq_ignore_ascii_case(&typed) => {
                format!("\"{typed}\" ≈ {means}")
            }
            Via::Meaning(_) | Via::Name(_) | Via::Word => format!("\"{typed}\""),
            Via::Part | Via::Negated | Via::Unit => continue,
        };
        if !reasons.contains(&reason) {
            reasons.push(reason);
        }
    }
    for (typed, read) in query.corrected.iter().take(MOST_REASONS) {
        reasons.push(format!("\"{}\" read as \"{read}\"", printable(typed)));
    }
    if score.likeness > 0.3
        && let Some(phrase) = library
            .class(id)
            .and_then(|class| class.phrases.get(usize::from(score.phrase)))
    {
        reasons.push(format!("people say: \"{}\"", printable(phrase)));
    }
    reasons
}

/// The words of a span as they were typed.
fn typed(query: &Query, span: (usize, usize)) -> String {
    let words = query.words.get(span.0..span.1).unwrap_or_default();
    let typed: Vec<String> = words.iter().map(|word| printable(&word.typed)).collect();
    typed.join(" ")
}

/// A text without anything a terminal could obey.
fn printable(text: &str) -> String {
    text.chars().filter(|c| !c.is_control()).collect()
}

fn moment_in_words(moment: &str) -> &str {
    match moment {
        "power-up" => "as the supply is switched on",
        "start" => "at the start",
        "accelerating" => "while speeding up",
        "steady" => "at rest or at a steady speed",
        "slowing" => "while slowing down",
        other => other,
    }
}

/// Adds the causes that the words name, each with the best class it belongs to.
fn causes(notes: &Notes, ranking: &Ranking, sure: f32, limit: usize, found: &mut Found) {
    for score in ranking.causes.iter().take(MOST_CAUSES) {
        if score.likeness < CAUSE_LIKENESS || found.hits.len() >= limit {
            break;
        }
        let Some((id, name)) = notes.causes.get(score.cause) else {
            continue;
        };
        let class = ranking.classes.iter().find_map(|class| {
            let note = notes.classes.get(class.class)?;
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
            score: f64::from(sure * score.likeness.min(1.0)),
            why: vec!["the words name this cause".to_owned()],
        });
    }
}

/// Names the question that separates the two best classes, if they are close.
fn near_tie(
    library: &Library,
    notes: &Notes,
    ranking: &Ranking,
    shares: &[f32],
    found: &mut Found,
) {
    let [one, other, ..] = ranking.classes.as_slice() else {
        return;
    };
    let [first, second, ..] = shares else { return };
    if *second < NEAR * first {
        return;
    }
    let (Some(one), Some(other)) = (notes.classes.get(one.class), notes.classes.get(other.class))
    else {
        return;
    };
    let ask =
        separating(library, one.id, other.id).or_else(|| separating(library, other.id, one.id));
    if let Some(ask) = ask {
        found.near_tie = Some(NearTie {
            first: one.id.to_owned(),
            second: other.id.to_owned(),
            ask: ask.clone(),
        });
        found.ask.push(ask);
    }
}

fn separating(library: &Library, one: &str, other: &str) -> Option<String> {
    let look_alike = library
        .class(one)?
        .confused_with
        .iter()
        .find(|look| look.class == other)?;
    Some(look_alike.ask.clone())
}

/// A vague query gets the questions that split it best.
fn vague(library: &Library, sure: f32, ranking: &Ranking, found: &mut Found) {
    let shares = shares(ranking);
    if shares.first().is_none_or(|best| sure * best > 0.35) {
        return;
    }
    if found.understood.moment.is_none() && !found.ask.iter().any(|ask| ask == "trip-moment") {
        found.ask.insert(0, "trip-moment".to_owned());
    }
    for hit in found
        .hits
        .iter()
        .filter(|hit| hit.kind == HitKind::Class)
        .take(3)
    {
        for look in library
            .class(&hit.id)
            .into_iter()
            .flat_map(|class| &class.confused_with)
        {
            if found.ask.len() < 3 && !found.ask.contains(&look.ask) {
                found.ask.push(look.ask.clone());
            }
        }
    }
}
