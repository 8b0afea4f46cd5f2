//! Taking in incidents from elsewhere: a set union, in which nothing of either side is lost unseen.

use std::collections::BTreeSet;

use super::Incident;

/// An item of an import that is no incident. Whoever made it keeps the reason.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Refused;

/// What to do when both sides have the same revision of an incident and it differs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OnConflict {
    /// Take in nothing at all.
    Refuse,
    /// Keep this log's, tell, and take in the rest.
    KeepOurs,
}

/// What came of a union.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct United {
    /// Incidents that are new here.
    pub added: u32,
    /// Revisions of incidents that were here.
    pub revised: u32,
    /// Revisions that were here already, the same.
    pub same: u32,
    /// Revisions that are here and differ.
    pub conflicts: Vec<Conflict>,
}

/// A revision that both sides have and that differs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Conflict {
    /// The incident's running number here.
    pub number: u32,
    /// The revision.
    pub revision: u32,
    /// The fields that differ: name, the text here, the text there.
    pub fields: Vec<(String, String, String)>,
}

/// Whether two revisions say the same. When each was recorded makes no difference.
pub(super) fn say_the_same(one: &Incident, other: &Incident) -> bool {
    let mut record = other.clone().into_record();
    record.recorded_at = one.recorded_at;
    **one == record
}

/// The fields in which two revisions differ.
pub(super) fn differing(ours: &Incident, theirs: &Incident) -> Vec<(String, String, String)> {
    let (ours, theirs) = (as_map(ours), as_map(theirs));
    let names: BTreeSet<&String> = ours.keys().chain(theirs.keys()).collect();
    let text = |map: &serde_json::Map<String, serde_json::Value>, name: &str| match map.get(name) {
        Some(serde_json::Value::String(text)) => text.clone(),
        Some(other) => other.to_string(),
        None => String::new(),
    };
    names
        .into_iter()
        .filter(|name| *name != "recorded_at" && ours.get(*name) != theirs.get(*name))
        .map(|name| (name.clone(), text(&ours, name), text(&theirs, name)))
        .collect()
}

fn as_map(incident: &Incident) -> serde_json::Map<String, serde_json::Value> {
    match serde_json::to_value(incident) {
        Ok(serde_json::Value::Object(map)) => map,
        _ => serde_json::Map::new(),
    }
}
