//! The words of incidents: which incident holds which, and how they are written.

use std::collections::{BTreeMap, HashSet};

use rusqlite::{Connection, params};

use crate::plant::Incident;

/// Longer words are no words: they are found, but nothing is like them.
const LONGEST: usize = 40;

/// At most this many words that are alike are looked for.
const ALIKE: usize = 6;

/// Words that are still to be entered, in the same transaction.
///
/// They go into the index many rows at a time: any other statement that may fail makes the index
/// write what it holds in memory to its tables first, which costs more than all the rest of a row.
#[derive(Default)]
pub(super) struct Pending {
    texts: BTreeMap<u32, String>,
    /// Words that stand in the table already, as far as this transaction saw them.
    known: HashSet<String>,
}

/// So many incidents wait at the most.
const WAITING: usize = 20_000;

impl Pending {
    /// Notes the words of a new incident, unless it is marked wrong.
    pub(super) fn put(
        &mut self,
        connection: &Connection,
        number: u32,
        incident: &Incident,
    ) -> rusqlite::Result<()> {
        if incident.wrong.is_none() {
            self.texts.insert(number, text_of(incident));
        }
        if self.texts.len() >= WAITING {
            self.enter(connection)?;
        }
        Ok(())
    }

    /// Notes the words of an incident in the place of those that it had.
    pub(super) fn replace(
        &mut self,
        connection: &Connection,
        number: u32,
        incident: &Incident,
    ) -> rusqlite::Result<()> {
        if self.texts.remove(&number).is_none() {
            remove(connection, number)?;
        }
        self.put(connection, number, incident)
    }

    /// Enters everything that waits.
    pub(super) fn enter(&mut self, connection: &Connection) -> rusqlite::Result<()> {
        let mut word_in =
            connection.prepare_cached("insert or ignore into word (word) values (?1)")?;
        for text in self.texts.values() {
            let lower = text.to_lowercase();
            for word in lower.split(|c: char| !c.is_alphanumeric()) {
                if (3..=LONGEST).contains(&word.len()) && !self.known.contains(word) {
                    word_in.execute([word])?;
                    self.known.insert(word.to_owned());
                }
            }
        }
        let mut text_in = connection
            .prepare_cached("insert into incident_text (rowid, words) values (?1, ?2)")?;
        for (number, text) in std::mem::take(&mut self.texts) {
            text_in.execute(params![number, text])?;
        }
        Ok(())
    }
}

/// Takes the words of an incident out of the index.
fn remove(connection: &Connection, number: u32) -> rusqlite::Result<()> {
    connection
        .prepare_cached("delete from incident_text where rowid = ?1")?
        .execute([number])?;
    Ok(())
}

fn text_of(incident: &Incident) -> String {
    let optional = |text: &'_ Option<String>| text.as_deref().unwrap_or("").to_owned();
    [
        incident.words.as_str(),
        &incident.display,
        &incident.cause_note,
        &incident.done,
        &incident.parts,
        &incident.notes,
        &optional(&incident.drive),
        &optional(&incident.class),
        &optional(&incident.cause),
    ]
    .join(" ")
}

/// Words of the log that are like one that was typed: those that it begins, and those of which a
/// letter or two are off behind the second one; the likest first.
pub(super) fn alike(connection: &Connection, typed: &str) -> rusqlite::Result<Vec<String>> {
    let beginning: String = typed.chars().take(2).collect();
    let letters = typed.chars().count();
    let slips = if letters >= 8 { 2 } else { 1 };
    let mut query = connection
        .prepare_cached("select word from word where word >= ?1 and word < ?2 and word <> ?3")?;
    let end = format!("{beginning}{}", char::MAX);
    let mut rows = query.query(params![beginning, end, typed])?;
    let mut alike: Vec<(usize, String)> = Vec::new();
    while let Some(row) = rows.next()? {
        let word: String = row.get(0)?;
        if word.starts_with(typed) {
            alike.push((0, word));
        } else if word.chars().count().abs_diff(letters) <= slips {
            let distance = strsim::osa_distance(&word, typed);
            if distance <= slips {
                alike.push((distance, word));
            }
        }
    }
    alike.sort_by_cached_key(|(distance, word)| (*distance, word.len(), word.clone()));
    alike.truncate(ALIKE);
    Ok(alike.into_iter().map(|(_, word)| word).collect())
}

/// Lets the index take in much at once: it keeps more in memory before it writes a part, and merges
/// the parts at the end. The caller's transaction undoes it if something goes wrong.
pub(super) fn prepare_for_many(connection: &Connection) -> rusqlite::Result<()> {
    connection.execute_batch(
        "insert into incident_text (incident_text, rank) values ('hashsize', 33554432);
         insert into incident_text (incident_text, rank) values ('automerge', 16);",
    )
}

/// The way back from [`prepare_for_many`], with the defaults of the index.
pub(super) fn settle_after_many(connection: &Connection) -> rusqlite::Result<()> {
    connection.execute_batch(
        "insert into incident_text (incident_text, rank) values ('hashsize', 1048576);
         insert into incident_text (incident_text, rank) values ('automerge', 4);",
    )
}
