//! Which few make up most: incidents, downtime and labour by class, cause or drive.

use super::events::{Event, Names};

/// What stands in for a name that an incident does not have.
pub const NO_NAME: &str = "";

/// What is summed for one name.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sums {
    /// The id, or [`NO_NAME`].
    pub name: String,
    /// Incidents.
    pub incidents: u64,
    /// Minutes that machines stood, as far as recorded.
    pub downtime_minutes: u64,
    /// Minutes that people worked, as far as recorded.
    pub labour_minutes: u64,
}

/// Sums in descending order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Pareto {
    /// By name, the largest first: by downtime if any was recorded, else by incidents.
    pub rows: Vec<Sums>,
    /// Over all names.
    pub total: Sums,
    /// How many incidents have no downtime recorded.
    pub without_downtime: u64,
}

impl Pareto {
    /// Whether rows are in the order of downtime; else it is that of incidents.
    pub fn by_downtime(&self) -> bool {
        self.total.downtime_minutes > 0
    }

    /// What the rows are ordered by.
    pub fn measure(&self, sums: &Sums) -> u64 {
        if self.by_downtime() {
            sums.downtime_minutes
        } else {
            sums.incidents
        }
    }

    /// The share of the whole, from 0 to 1, by what the rows are ordered by.
    pub fn share(&self, sums: &Sums) -> f64 {
        match self.measure(&self.total) {
            0 => 0.0,
            total => self.measure(sums) as f64 / total as f64,
        }
    }
}

/// Sums events by the name that `of` picks.
pub fn pareto(events: &[Event], names: &Names, of: impl Fn(&Event) -> Option<u32>) -> Pareto {
    let mut rows = vec![Sums::default(); names.count() + 1];
    let mut total = Sums::default();
    let mut without_downtime = 0;
    for event in events {
        let index = of(event).map_or(names.count(), |number| number as usize);
        for sums in rows.get_mut(index).into_iter().chain([&mut total]) {
            sums.incidents += 1;
            sums.downtime_minutes += u64::from(event.downtime_minutes.unwrap_or(0));
            sums.labour_minutes += u64::from(event.labour_minutes.unwrap_or(0));
        }
        without_downtime += u64::from(event.downtime_minutes.is_none());
    }
    for (number, sums) in rows.iter_mut().enumerate().take(names.count()) {
        sums.name = names.of(number as u32).to_owned();
    }
    rows.retain(|sums| sums.incidents > 0);
    let mut pareto = Pareto {
        rows,
        total,
        without_downtime,
    };
    let mut rows = std::mem::take(&mut pareto.rows);
    rows.sort_by(|one, other| {
        let key = |sums: &Sums| (pareto.measure(sums), sums.incidents);
        key(other)
            .cmp(&key(one))
            .then_with(|| one.name.cmp(&other.name))
    });
    pareto.rows = rows;
    pareto
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plant::statistics::events::{Events, NamedEvent};

    #[test]
    fn downtime_orders_and_nothing_is_lost() {
        let mut events = Events::default();
        for (cause, downtime) in [
            (Some("a"), Some(10)),
            (Some("a"), None),
            (Some("b"), Some(90)),
            (None, Some(5)),
        ] {
            events.push(NamedEvent {
                cause,
                downtime_minutes: downtime,
                ..NamedEvent::default()
            });
        }
        let found = pareto(events.all(), &events.causes, |event| event.cause);
        let rows: Vec<_> = found
            .rows
            .iter()
            .map(|sums| (sums.name.as_str(), sums.incidents, sums.downtime_minutes))
            .collect();
        assert_eq!(rows, [("b", 1, 90), ("a", 2, 10), (NO_NAME, 1, 5)]);
        assert_eq!(found.total.incidents, 4);
        assert_eq!(found.without_downtime, 1);
        let shares: f64 = found.rows.iter().map(|sums| found.share(sums)).sum();
        assert!((shares - 1.0).abs() < 1e-12);
    }
}
