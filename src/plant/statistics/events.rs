//! What the statistics need of each incident, small enough to hold a million of them.

use std::collections::HashMap;

use jiff::Timestamp;

/// Which events are wanted. Records that were marked wrong never are.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct EventFilter {
    /// Only those of this drive.
    pub drive: Option<String>,
    /// Only those of this fault class.
    pub class: Option<String>,
    /// Only those at this time or later.
    pub since: Option<Timestamp>,
    /// Only those before this time.
    pub until: Option<Timestamp>,
}

/// An incident, reduced to what is counted. Names are numbers into the lists of [`Events`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Event {
    /// When it happened, in milliseconds since 1970.
    pub at: i64,
    /// The drive.
    pub drive: Option<u32>,
    /// The fault class.
    pub class: Option<u32>,
    /// The cause.
    pub cause: Option<u32>,
    /// Whether the cause was confirmed: measured, proved by a run, or gone with an exchanged part.
    pub confirmed: bool,
    /// How long the machine stood.
    pub downtime_minutes: Option<u32>,
    /// How long people worked.
    pub labour_minutes: Option<u32>,
}

/// An event as it comes from a store, with its names spelt out.
#[derive(Clone, Copy, Debug, Default)]
pub struct NamedEvent<'a> {
    /// When it happened, in milliseconds since 1970.
    pub at: i64,
    /// The drive.
    pub drive: Option<&'a str>,
    /// The fault class.
    pub class: Option<&'a str>,
    /// The cause id.
    pub cause: Option<&'a str>,
    /// Whether the cause was confirmed.
    pub confirmed: bool,
    /// How long the machine stood.
    pub downtime_minutes: Option<u32>,
    /// How long people worked.
    pub labour_minutes: Option<u32>,
}

/// Events in the order of time.
#[derive(Clone, Debug, Default)]
pub struct Events {
    /// The drives; capitals make no difference, and the first spelling met is kept.
    pub drives: Names,
    /// The fault classes.
    pub classes: Names,
    /// The causes.
    pub causes: Names,
    list: Vec<Event>,
}

/// Names, each once, with a number.
#[derive(Clone, Debug, Default)]
pub struct Names {
    list: Vec<String>,
    spelt: HashMap<String, u32>,
    folded: HashMap<String, u32>,
}

impl Names {
    /// The name behind a number.
    pub fn of(&self, number: u32) -> &str {
        self.list.get(number as usize).map_or("", String::as_str)
    }

    /// How many there are.
    pub fn count(&self) -> usize {
        self.list.len()
    }

    /// The number of a name, whatever its capitals.
    pub fn number(&self, name: &str) -> Option<u32> {
        self.folded.get(&name.to_ascii_lowercase()).copied()
    }

    /// Enters a name that may be there already.
    pub fn enter(&mut self, name: &str) -> u32 {
        if let Some(&number) = self.spelt.get(name) {
            return number;
        }
        let next = self.list.len() as u32;
        let number = *self.folded.entry(name.to_ascii_lowercase()).or_insert(next);
        if number == next {
            self.list.push(name.to_owned());
        }
        self.spelt.insert(name.to_owned(), number);
        number
    }
}

impl Events {
    /// Adds an event; the order does not matter before [`Events::sorted`].
    pub fn push(&mut self, event: NamedEvent<'_>) {
        self.list.push(Event {
            at: event.at,
            drive: event.drive.map(|name| self.drives.enter(name)),
            class: event.class.map(|name| self.classes.enter(name)),
            cause: event.cause.map(|name| self.causes.enter(name)),
            confirmed: event.confirmed,
            downtime_minutes: event.downtime_minutes,
            labour_minutes: event.labour_minutes,
        });
    }

    /// The events in the order of time.
    #[must_use]
    pub fn sorted(mut self) -> Self {
        self.list.sort_by_key(|event| event.at);
        self
    }

    /// All of them, the first one first.
    pub fn all(&self) -> &[Event] {
        &self.list
    }

    /// Those from one time to just before another, in milliseconds since 1970.
    pub fn between(&self, since: i64, until: i64) -> &[Event] {
        let start = self.list.partition_point(|event| event.at < since);
        let end = self.list.partition_point(|event| event.at < until);
        self.list.get(start..end).unwrap_or(&[])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_folded_and_events_cut_by_time() {
        let mut events = Events::default();
        for (at, drive) in [(30, "FC-1"), (10, "fc-1"), (20, "FC-2")] {
            events.push(NamedEvent {
                at,
                drive: Some(drive),
                ..NamedEvent::default()
            });
        }
        let events = events.sorted();
        assert_eq!(events.drives.count(), 2);
        assert_eq!(events.drives.of(0), "FC-1");
        let at: Vec<i64> = events
            .between(10, 30)
            .iter()
            .map(|event| event.at)
            .collect();
        assert_eq!(at, [10, 20]);
        assert!(events.between(40, 10).is_empty());
    }
}
