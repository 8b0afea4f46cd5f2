//! Finding incidents by the words in them.

use std::{cmp::Reverse, collections::BTreeMap};

use rusqlite::{Connection, params};

use super::{SqliteStore, incidents, words};
use crate::plant::{Filter, Found, Store, StoreError};

/// At most this many incidents are weighed against each other.
const CANDIDATES: u32 = 500;

/// At most this many words of a query are looked for.
const WORDS: usize = 16;

/// Of a word that fewer incidents hold than this, those that are like it are looked for as well.
const SELDOM: usize = 10;

/// To a shorter word nothing is like.
const SHORTEST_LIKE: usize = 4;

/// With age an incident loses up to half of its score, half of that in three years: plants change
/// (judgement; common practice, no source).
const HALF_LIFE_SECONDS: f64 = 3.0 * 365.25 * 86_400.0;

/// Incidents that hold some of the words, best first.
///
/// Seldom words tell most, so their incidents are candidates first; a word that many hold is known
/// of only the newest of them. Between equals the newer comes first.
pub(super) fn search(
    store: &SqliteStore,
    query: &str,
    limit: usize,
) -> Result<Vec<Found>, StoreError> {
    if query.chars().all(|c| c.is_whitespace() || c.is_control()) {
        let newest = store.incidents(&Filter {
            limit,
            ..Filter::default()
        })?;
        let unranked = |logged| Found {
            logged,
            matched: Vec::new(),
            score: 0.0,
        };
        return Ok(newest.into_iter().map(unranked).collect());
    }
    let mut words = Vec::new();
    for word in words_of(query) {
        let holders = holders_of(&store.connection, &word).map_err(store.explain())?;
        words.push(Word { word, holders });
    }
    let incidents: u32 = store
        .connection
        .query_row("select coalesce(max(number), 0) from incident", [], |row| {
            row.get(0)
        })
        .map_err(store.explain())?;
    let total: f64 = words.iter().map(|word| word.weight(incidents)).sum();

    let mut ranked = Vec::new();
    for (number, matches) in candidates(&words) {
        let weights = matches
            .iter()
            .map(|&(index, share)| share * words[index].weight(incidents));
        let score = weights.sum::<f64>() / total;
        let seconds = occurred_at(&store.connection, number).map_err(store.explain())?;
        ranked.push(Ranked {
            number,
            matches,
            score,
            seconds,
        });
    }
    let latest = ranked
        .iter()
        .map(|hit| hit.seconds)
        .fold(f64::NEG_INFINITY, f64::max);
    for hit in &mut ranked {
        hit.score *= 0.5 + 0.5 * (-(latest - hit.seconds) / HALF_LIFE_SECONDS).exp2();
    }
    ranked.sort_by(|a, b| b.score.total_cmp(&a.score).then(b.number.cmp(&a.number)));
    ranked.truncate(limit);
    let found = ranked.into_iter().map(|hit| {
        let matched = hit
            .matches
            .iter()
            .map(|&(index, _)| words[index].word.clone())
            .collect();
        let logged = incidents::latest(&store.connection, &store.path, hit.number)?;
        Ok(Found {
            logged,
            matched,
            score: hit.score,
        })
    });
    found.collect()
}

/// A candidate with its score so far.
struct Ranked {
    number: u32,
    matches: Vec<(usize, f64)>,
    score: f64,
    seconds: f64,
}

struct Word {
    word: String,
    /// The newest incidents that hold it, newest first, each with the share of the word's weight
    /// that it gets: the whole for the word itself, half for one that only begins alike.
    holders: Vec<(u32, f64)>,
}

impl Word {
    /// How much it tells that an incident holds the word: the fewer do, the more (inverse document
    /// frequency; Spärck Jones, 1972).
    fn weight(&self, incidents: u32) -> f64 {
        (1.0 + f64::from(incidents) / (self.holders.len().max(1) as f64)).ln()
    }
}

/// The incidents to be weighed, each with the words it holds by their index, and their shares.
fn candidates(words: &[Word]) -> BTreeMap<u32, Vec<(usize, f64)>> {
    let mut seldom_first: Vec<usize> = (0..words.len()).collect();
    seldom_first.sort_by_key(|&index| words[index].holders.len());
    let mut candidates: BTreeMap<u32, Vec<(usize, f64)>> = BTreeMap::new();
    for index in seldom_first {
        for &(number, share) in &words[index].holders {
            if let Some(matches) = candidates.get_mut(&number) {
                matches.push((index, share));
            } else if candidates.len() < CANDIDATES as usize {
                candidates.insert(number, vec![(index, share)]);
            }
        }
    }
    candidates
        .values_mut()
        .for_each(|matches| matches.sort_by_key(|&(index, _)| index));
    candidates
}

/// When an incident happened, in seconds since 1970.
fn occurred_at(connection: &Connection, number: u32) -> rusqlite::Result<f64> {
    let milliseconds: i64 = connection
        .prepare_cached("select occurred_at from incident where number = ?1")?
        .query_row([number], |row| row.get(0))?;
    Ok(milliseconds as f64 / 1000.0)
}

/// The words of a query, each once, without what surrounds them.
fn words_of(query: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for piece in query.split(|c: char| !c.is_alphanumeric()) {
        let word = piece.to_lowercase();
        let length = word.chars().count();
        if (1..=64).contains(&length) && !words.contains(&word) && words.len() < WORDS {
            words.push(word);
        }
    }
    words
}

/// The newest incidents that hold a word. If only few do, those with a word that is like it are
/// taken as well, so that a slip does no harm.
fn holders_of(connection: &Connection, word: &str) -> rusqlite::Result<Vec<(u32, f64)>> {
    let exact = matching(connection, word)?;
    let mut holders: BTreeMap<u32, f64> = exact.iter().map(|&number| (number, 1.0)).collect();
    if exact.len() < SELDOM && word.chars().count() >= SHORTEST_LIKE {
        for alike in words::alike(connection, word)? {
            for number in matching(connection, &alike)? {
                holders.entry(number).or_insert(0.5);
            }
        }
    }
    let mut holders: Vec<(u32, f64)> = holders.into_iter().collect();
    holders.sort_by_key(|&(number, _)| Reverse(number));
    holders.truncate(CANDIDATES as usize);
    Ok(holders)
}

/// A word as FTS5 takes it literally: a string in which only the quote needs doubling.
fn quoted(word: &str) -> String {
    format!("\"{}\"", word.replace('"', "\"\""))
}

/// The newest incidents that hold this one word.
fn matching(connection: &Connection, word: &str) -> rusqlite::Result<Vec<u32>> {
    let mut query = connection.prepare_cached(
        "select rowid from incident_text where incident_text match ?1
         order by rowid desc limit ?2",
    )?;
    let found = query
        .query_map(params![quoted(word), CANDIDATES], |row| row.get(0))
        .and_then(Iterator::collect);
    match found {
        // What is one word here may be several in the index, which keeps no order of words.
        Err(error) if error.to_string().contains("phrase") => Ok(Vec::new()),
        found => found,
    }
}
