//! More or fewer than before: the plant, and each of its drives.

use uom::si::f64::Time;

use super::events::{Event, Names};
use super::interval::{Comparison, compare};

/// Two stretches of time that follow each other, in milliseconds since 1970.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stretches {
    /// Start of the earlier one.
    pub start: i64,
    /// Its end, where the later one starts.
    pub middle: i64,
    /// End of the later one.
    pub end: i64,
}

/// A count against the one before.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// The drive's number; none for the whole plant.
    pub drive: Option<u32>,
    /// In the earlier stretch.
    pub before: u64,
    /// In the later stretch.
    pub now: u64,
    /// Their comparison.
    pub comparison: Comparison,
    /// The chance times how many drives were looked at (Bonferroni), so that among many drives none
    /// stands out by chance.
    pub chance_among_all: f64,
}

/// What changed.
#[derive(Clone, Debug, PartialEq)]
pub struct Growth {
    /// The stretches compared.
    pub stretches: Stretches,
    /// Occasions in the whole plant: several drives at once count once.
    pub plant: Change,
    /// Drives with incidents in either stretch, the least likely by chance first.
    pub drives: Vec<Change>,
}

/// Compares the later stretch with the earlier one.
pub fn growth(
    stretches: Stretches,
    occasions: &[Event],
    events: &[Event],
    drives: &Names,
) -> Growth {
    let Stretches { start, middle, end } = stretches;
    let lengths = (milliseconds(middle - start), milliseconds(end - middle));
    let change = |drive, before: u64, now: u64| Change {
        drive,
        before,
        now,
        comparison: compare((before, lengths.0), (now, lengths.1)),
        chance_among_all: 1.0,
    };
    let split = |events: &[Event]| {
        let earlier = events
            .iter()
            .filter(|event| (start..middle).contains(&event.at));
        let later = events
            .iter()
            .filter(|event| (middle..end).contains(&event.at));
        (earlier.count() as u64, later.count() as u64)
    };
    let mut counts = vec![(0_u64, 0_u64); drives.count()];
    for event in events {
        let count = event.drive.and_then(|drive| counts.get_mut(drive as usize));
        if let Some((before, now)) = count {
            *before += u64::from((start..middle).contains(&event.at));
            *now += u64::from((middle..end).contains(&event.at));
        }
    }
    let mut by_drive: Vec<Change> = counts
        .iter()
        .enumerate()
        .filter(|(_, (before, now))| before + now > 0)
        .map(|(drive, (before, now))| change(Some(drive as u32), *before, *now))
        .collect();
    let looked_at = by_drive.len() as f64;
    for one in &mut by_drive {
        one.chance_among_all = (one.comparison.chance * looked_at).min(1.0);
    }
    by_drive.sort_by(|one, other| one.comparison.chance.total_cmp(&other.comparison.chance));
    let (before, now) = split(occasions);
    let mut plant = change(None, before, now);
    plant.chance_among_all = plant.comparison.chance;
    Growth {
        stretches,
        plant,
        drives: by_drive,
    }
}

/// A time from milliseconds.
pub fn milliseconds(milliseconds: i64) -> Time {
    Time::new::<uom::si::time::millisecond>(milliseconds as f64)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_drive_that_grew_comes_first_and_pays_for_the_others() {
        let mut drives = Names::default();
        let (steady, grown) = (drives.enter("steady"), drives.enter("grown"));
        let mut events = Vec::new();
        for at in 0..20 {
            events.push((at, steady));
        }
        for at in [3, 10, 11, 12, 13, 14, 15, 16, 17, 18] {
            events.push((at, grown));
        }
        let events: Vec<Event> = events
            .into_iter()
            .map(|(at, drive)| Event {
                at,
                drive: Some(drive),
                class: None,
                cause: None,
                confirmed: false,
                downtime_minutes: None,
                labour_minutes: None,
            })
            .collect();
        let stretches = Stretches {
            start: 0,
            middle: 10,
            end: 20,
        };
        let found = growth(stretches, &events, &events, &drives);
        let first = &found.drives[0];
        assert_eq!((first.drive, first.before, first.now), (Some(grown), 1, 9));
        // A sign test by hand: 2 · (10 + 1) / 2^10.
        assert!((first.comparison.chance - 22.0 / 1024.0).abs() < 1e-12);
        assert!((first.chance_among_all - 44.0 / 1024.0).abs() < 1e-12);
        assert_eq!((found.plant.before, found.plant.now), (11, 19));
    }
}
