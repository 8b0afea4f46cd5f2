//! How often which cause was behind which fault class, weighed by how it was confirmed.

use std::collections::BTreeMap;

use super::ConfirmedBy;

/// Whose incidents are counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Whose<'a> {
    /// Those of the whole plant.
    All,
    /// Those of one drive.
    Drive(&'a str),
    /// Those of all drives but one, and those without a drive.
    AllBut(&'a str),
}

/// Weighed counts of confirmed incidents: fault class, cause, how many.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Counts {
    classes: BTreeMap<String, BTreeMap<String, f64>>,
}

impl Counts {
    /// How many incidents of this class had this cause.
    pub fn of(&self, class: &str, cause: &str) -> f64 {
        self.causes(class)
            .and_then(|causes| causes.get(cause))
            .copied()
            .unwrap_or(0.0)
    }

    /// The causes of a class with their counts; none if it was never met.
    pub fn causes(&self, class: &str) -> Option<&BTreeMap<String, f64>> {
        self.classes.get(class)
    }

    /// Every class that was met, with its causes and their counts.
    pub fn iter(&self) -> impl Iterator<Item = (&str, &BTreeMap<String, f64>)> {
        self.classes
            .iter()
            .map(|(class, causes)| (class.as_str(), causes))
    }

    /// Adds incidents that were confirmed in one way.
    pub fn add(&mut self, class: String, cause: String, confirmed_by: ConfirmedBy, incidents: u32) {
        let count = self
            .classes
            .entry(class)
            .or_default()
            .entry(cause)
            .or_default();
        *count += confirmed_by.weight() * f64::from(incidents);
    }
}
