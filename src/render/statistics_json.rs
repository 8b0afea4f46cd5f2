//! The statistics as JSON: mirror types, whole, in SI units or minutes and days as named.

use jiff::Timestamp;
use serde::Serialize;
use uom::si::time::day;

use crate::plant::statistics::{
    Change, Pareto, Rhythm, SpreadTest, Statistics, Sums, TOGETHER_WITHIN_SECONDS,
};

/// The document.
#[derive(Debug, Serialize)]
pub struct StatisticsJson {
    since: String,
    until: String,
    days: f64,
    class: Option<String>,
    drive: Option<String>,
    confidence: f64,
    incidents: u64,
    occasions: u64,
    downtime_minutes: u64,
    labour_minutes: u64,
    without_downtime: u64,
    classes: Vec<SumsJson>,
    causes: Vec<SumsJson>,
    drives: Vec<SumsJson>,
    between_incidents: Vec<BetweenJson>,
    recurrence: RecurrenceJson,
    hours: RhythmJson,
    weekdays: RhythmJson,
    months: RhythmJson,
    together: TogetherJson,
    change: Option<GrowthJson>,
    more_often_than_judged: Vec<MoreOftenJson>,
}

#[derive(Debug, Serialize)]
struct SumsJson {
    id: Option<String>,
    incidents: u64,
    downtime_minutes: u64,
    labour_minutes: u64,
    share: f64,
}

#[derive(Debug, Serialize)]
struct BetweenJson {
    drive: String,
    incidents: u64,
    mean_days: Option<f64>,
    lower_days: f64,
    upper_days: Option<f64>,
    few: bool,
}

#[derive(Debug, Serialize)]
struct RecurrenceJson {
    within_days: u32,
    repairs: u64,
    returns: u64,
    share_lower: f64,
    share_upper: f64,
    too_fresh: u64,
    returned: Vec<ReturnedJson>,
}

#[derive(Debug, Serialize)]
struct ReturnedJson {
    drive: String,
    cause: String,
    incidents: u64,
    returns: u64,
    shortest_days: f64,
    quiet_days: f64,
}

#[derive(Debug, Serialize)]
struct RhythmJson {
    slots: Vec<SlotJson>,
    test: Option<TestJson>,
}

#[derive(Debug, Serialize)]
struct SlotJson {
    name: String,
    count: u64,
    expected: f64,
}

#[derive(Debug, Serialize)]
struct TestJson {
    chi_squared: f64,
    degrees_of_freedom: u32,
    chance: f64,
    peak: String,
}

#[derive(Debug, Serialize)]
struct TogetherJson {
    within_seconds: u32,
    pairs: u64,
    pairs_by_chance: f64,
    chance: f64,
    occasions: Vec<OccasionJson>,
}

#[derive(Debug, Serialize)]
struct OccasionJson {
    at: Option<String>,
    seconds: u64,
    drives: Vec<String>,
    downtime_minutes: u64,
}

#[derive(Debug, Serialize)]
struct GrowthJson {
    before_since: Option<String>,
    now_since: Option<String>,
    until: Option<String>,
    plant: ChangeJson,
    drives: Vec<ChangeJson>,
}

#[derive(Debug, Serialize)]
struct ChangeJson {
    drive: Option<String>,
    before: u64,
    now: u64,
    ratio: Option<f64>,
    ratio_lower: f64,
    ratio_upper: Option<f64>,
    chance: f64,
    chance_among_all: f64,
}

#[derive(Debug, Serialize)]
struct MoreOftenJson {
    class: String,
    cause: String,
    count: u64,
    of: u64,
    judged: f64,
    share_lower: f64,
    share_upper: f64,
    chance: f64,
}

/// The statistics as printed; `class` and `drive` are what was picked.
pub fn statistics_json(
    statistics: &Statistics,
    class: Option<String>,
    drive: Option<String>,
) -> StatisticsJson {
    let name = |number: u32| statistics.drive(number).to_owned();
    let recurrence = &statistics.recurrence;
    let together = &statistics.together;
    StatisticsJson {
        since: statistics.window.since.to_string(),
        until: statistics.window.until.to_string(),
        days: statistics.window.length().get::<day>(),
        class,
        drive,
        confidence: crate::plant::statistics::CONFIDENCE,
        incidents: statistics.incidents,
        occasions: statistics.occasions,
        downtime_minutes: statistics.drives.total.downtime_minutes,
        labour_minutes: statistics.drives.total.labour_minutes,
        without_downtime: statistics.drives.without_downtime,
        classes: sums(&statistics.classes),
        causes: sums(&statistics.causes),
        drives: sums(&statistics.drives),
        between_incidents: statistics
            .between
            .iter()
            .map(|one| BetweenJson {
                drive: one.drive.clone(),
                incidents: one.time.count,
                mean_days: one.time.mean.map(|mean| mean.get::<day>()),
                lower_days: one.time.lower.get::<day>(),
                upper_days: one.time.upper.map(|upper| upper.get::<day>()),
                few: one.time.count < crate::plant::statistics::FEW,
            })
            .collect(),
        recurrence: RecurrenceJson {
            within_days: recurrence.within_days,
            repairs: recurrence.repairs,
            returns: recurrence.returns,
            share_lower: recurrence.limits.lower,
            share_upper: recurrence.limits.upper,
            too_fresh: recurrence.too_fresh,
            returned: recurrence
                .returned
                .iter()
                .map(|one| ReturnedJson {
                    drive: name(one.drive),
                    cause: statistics.names.causes.of(one.cause).to_owned(),
                    incidents: one.incidents,
                    returns: one.returns,
                    shortest_days: one.shortest_days,
                    quiet_days: one.quiet_days,
                })
                .collect(),
        },
        hours: rhythm(&statistics.hours),
        weekdays: rhythm(&statistics.weekdays),
        months: rhythm(&statistics.months),
        together: TogetherJson {
            within_seconds: TOGETHER_WITHIN_SECONDS,
            pairs: together.pairs,
            pairs_by_chance: together.pairs_by_chance,
            chance: together.chance,
            occasions: together
                .occasions
                .iter()
                .map(|one| OccasionJson {
                    at: time(one.at),
                    seconds: one.seconds,
                    drives: one.drives.iter().map(|&drive| name(drive)).collect(),
                    downtime_minutes: one.downtime_minutes,
                })
                .collect(),
        },
        change: statistics.growth.as_ref().map(|growth| GrowthJson {
            before_since: time(growth.stretches.start),
            now_since: time(growth.stretches.middle),
            until: time(growth.stretches.end),
            plant: change(&growth.plant, &name),
            drives: growth.drives.iter().map(|one| change(one, &name)).collect(),
        }),
        more_often_than_judged: statistics
            .more_often
            .iter()
            .map(|one| MoreOftenJson {
                class: one.class.clone(),
                cause: one.cause.clone(),
                count: one.count,
                of: one.of,
                judged: one.judged,
                share_lower: one.limits.lower,
                share_upper: one.limits.upper,
                chance: one.chance,
            })
            .collect(),
    }
}

fn time(at: i64) -> Option<String> {
    let time = Timestamp::from_millisecond(at).ok()?;
    Some(time.to_string())
}

fn sums(pareto: &Pareto) -> Vec<SumsJson> {
    let one = |sums: &Sums| SumsJson {
        id: (!sums.name.is_empty()).then(|| sums.name.clone()),
        incidents: sums.incidents,
        downtime_minutes: sums.downtime_minutes,
        labour_minutes: sums.labour_minutes,
        share: pareto.share(sums),
    };
    pareto.rows.iter().map(one).collect()
}

fn rhythm(rhythm: &Rhythm) -> RhythmJson {
    let test = |test: &SpreadTest| TestJson {
        chi_squared: test.statistic,
        degrees_of_freedom: test.degrees_of_freedom,
        chance: test.chance,
        peak: test.peak.name.clone(),
    };
    RhythmJson {
        slots: rhythm
            .slots
            .iter()
            .map(|slot| SlotJson {
                name: slot.name.clone(),
                count: slot.count,
                expected: slot.expected,
            })
            .collect(),
        test: rhythm.test.as_ref().map(test),
    }
}

fn change(change: &Change, name: &impl Fn(u32) -> String) -> ChangeJson {
    let upper = change.comparison.limits.upper;
    ChangeJson {
        drive: change.drive.map(name),
        before: change.before,
        now: change.now,
        ratio: change.comparison.ratio,
        ratio_lower: change.comparison.limits.lower,
        ratio_upper: upper.is_finite().then_some(upper),
        chance: change.comparison.chance,
        chance_among_all: change.chance_among_all,
    }
}
