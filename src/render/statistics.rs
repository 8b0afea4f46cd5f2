//! What the log teaches, as a document: first in short, then figure by figure.

use jiff::Timestamp;
use jiff::tz::TimeZone;

use super::doc::{Block, Document, plain, quiet, strong, value};
use super::plot::{Column, Figure, Row};
use super::statistics_words::{
    UNLIKELY, by_chance, cause_name, class_title, counted, date, drive_name, hours, incidents,
    last_day, long_time, mean_time, minutes, moment, percent, two_figures,
};
use super::table::Table;
use crate::knowledge::Library;
use crate::plant::statistics::{
    Change, FEW, Growth, NO_NAME, Pareto, Recurrence, Rhythm, SpreadTest, Statistics, Together,
};
use uom::si::time::day;

/// What a document of statistics needs besides the figures.
#[derive(Debug)]
pub struct View<'a> {
    /// The figures.
    pub statistics: &'a Statistics,
    /// The names of classes and causes.
    pub library: &'a Library,
    /// The zone of local times.
    pub zone: &'a TimeZone,
    /// What was picked, in words; empty for the whole log.
    pub picked: Vec<String>,
    /// How many rows a table shows.
    pub rows: usize,
}

impl View<'_> {
    fn cause(&self, id: &str) -> String {
        cause_name(self.library, id)
    }

    fn class(&self, id: &str) -> String {
        class_title(self.library, id)
    }
}

/// Everything that the log teaches.
pub fn document(view: &View<'_>) -> Document {
    let mut document = Document::new();
    head(&mut document, view);
    if view.statistics.incidents == 0 {
        document.text("Nothing happened in this time, so there is nothing to count.");
        return document;
    }
    in_short(&mut document, view);
    let statistics = view.statistics;
    for (title, pareto, name) in [
        (
            "By cause",
            &statistics.causes,
            &(|id: &str| view.cause(id)) as &dyn Fn(&str) -> String,
        ),
        ("By fault class", &statistics.classes, &|id: &str| {
            view.class(id)
        }),
        ("By drive", &statistics.drives, &|id: &str| drive_name(id)),
    ] {
        pareto_section(&mut document, title, pareto, name, view.rows);
    }
    between_section(&mut document, view);
    recurrence_section(&mut document, view);
    growth_section(&mut document, view);
    rhythm_section(&mut document, "Hour of the day", &statistics.hours);
    rhythm_section(&mut document, "Day of the week", &statistics.weekdays);
    rhythm_section(&mut document, "Month of the year", &statistics.months);
    together_section(&mut document, view);
    judgement_section(&mut document, view);
    small_print(&mut document, view);
    document
}

fn head(document: &mut Document, view: &View<'_>) {
    let statistics = view.statistics;
    document.heading(1, "What the log teaches");
    let window = statistics.window;
    let mut spans = vec![plain(format!(
        "{} to {} ({}): ",
        date(window.since, view.zone),
        last_day(window.until, view.zone),
        counted(window.length().get::<day>().round() as u64, "day"),
    ))];
    if !view.picked.is_empty() {
        spans.push(plain(format!("only {}: ", view.picked.join(", "))));
    }
    spans.push(value(incidents(statistics.incidents)));
    if statistics.occasions < statistics.incidents {
        let occasions = counted(statistics.occasions, "occasion");
        spans.push(plain(format!(" on {occasions}")));
    }
    let total = &statistics.drives.total;
    if total.downtime_minutes > 0 {
        spans.push(plain(", machines stood "));
        spans.push(value(minutes(total.downtime_minutes)));
    }
    if total.labour_minutes > 0 {
        spans.push(plain(", people worked "));
        spans.push(value(minutes(total.labour_minutes)));
    }
    spans.push(plain("."));
    document.paragraph(spans);
    let without = statistics.drives.without_downtime;
    if without > 0 && total.downtime_minutes > 0 {
        document.paragraph(vec![quiet(format!(
            "{} without a downtime: the sums leave them out.",
            incidents(without)
        ))]);
    }
}

/// The few sentences that somebody should act on.
fn in_short(document: &mut Document, view: &View<'_>) {
    let statistics = view.statistics;
    document.heading(2, "In short");
    if statistics.incidents < FEW {
        document.item(vec![
            strong("Few: "),
            plain(format!(
                "{} teach little; every interval below is wide.",
                incidents(statistics.incidents)
            )),
        ]);
    }
    let causes = &statistics.causes;
    if let Some(first) = causes.rows.iter().find(|sums| sums.name != NO_NAME) {
        let measure = if causes.by_downtime() {
            format!("{} of the downtime", percent(causes.share(first)))
        } else {
            format!("{} of the incidents", percent(causes.share(first)))
        };
        document.item(vec![
            strong("Costs most: "),
            plain(format!(
                "{}, {measure} ({}).",
                view.cause(&first.name),
                incidents(first.incidents)
            )),
        ]);
    }
    let returned = &statistics.recurrence.returned;
    let within = statistics.recurrence.within_days;
    // What has been quiet for long has probably been put right.
    let live = returned
        .iter()
        .find(|back| back.quiet_days <= f64::from(within));
    if let Some(back) = live {
        document.item(vec![
            strong("Comes back: "),
            plain(format!(
                "{} at {}, {} within {} days of the time before.",
                view.cause(statistics.names.causes.of(back.cause)),
                statistics.drive(back.drive),
                counted(back.returns, "return"),
                within,
            )),
        ]);
    }
    if let Some(change) = grown(statistics.growth.as_ref()).next() {
        document.item(vec![strong("Grows: "), plain(change_words(view, change))]);
    }
    for (name, rhythm) in [
        ("hour", &statistics.hours),
        ("weekday", &statistics.weekdays),
        ("season", &statistics.months),
    ] {
        if let Some(test) = rhythm.test.as_ref().filter(|test| test.chance < UNLIKELY) {
            document.item(vec![
                strong(format!("The {name} matters: ")),
                plain(peak(test)),
            ]);
        }
    }
    let together = &statistics.together;
    if together.chance < UNLIKELY
        && let Some(most) = together.occasions.first()
    {
        let drives = counted(most.drives.len() as u64, "drive");
        document.item(vec![
            strong("Together: "),
            plain(format!(
                "{drives} at {}. Look for what they share: supply, control voltage, network.",
                moment(most.at, view.zone)
            )),
        ]);
    }
    if let Some(more) = statistics.more_often.first() {
        document.item(vec![
            strong("More than judged: "),
            plain(format!(
                "{} is behind {} of {} here ({}); the built-in judgement says {}.",
                view.cause(&more.cause),
                more.count,
                more.of,
                view.class(&more.class),
                percent(more.judged)
            )),
        ]);
    }
}

fn pareto_section(
    document: &mut Document,
    title: &str,
    pareto: &Pareto,
    name: &dyn Fn(&str) -> String,
    most: usize,
) {
    if pareto.rows.len() < 2 {
        return;
    }
    document.heading(2, title);
    let labour = pareto.total.labour_minutes > 0;
    let mut head = vec![title, "incidents"];
    if pareto.by_downtime() {
        head.push("hours down");
    }
    if labour {
        head.push("hours worked");
    }
    head.push("share");
    let mut table = Table::new(&head);
    table.head[0] = String::new();
    let largest = pareto.rows.first().map_or(0.0, |sums| pareto.share(sums));
    let mut add = |label: String, incidents: u64, downtime: u64, work: u64, share: f64| {
        let mut row = vec![label, incidents.to_string()];
        if pareto.by_downtime() {
            row.push(hours(downtime));
        }
        if labour {
            row.push(hours(work));
        }
        row.push(percent(share));
        table.rows.push(row);
        table
            .bars
            .push(if largest > 0.0 { share / largest } else { 0.0 });
    };
    for sums in pareto.rows.iter().take(most) {
        add(
            name(&sums.name),
            sums.incidents,
            sums.downtime_minutes,
            sums.labour_minutes,
            pareto.share(sums),
        );
    }
    let rest = pareto.rows.get(most..).unwrap_or(&[]);
    if !rest.is_empty() {
        add(
            format!("{} others", rest.len()),
            rest.iter().map(|sums| sums.incidents).sum(),
            rest.iter().map(|sums| sums.downtime_minutes).sum(),
            rest.iter().map(|sums| sums.labour_minutes).sum(),
            rest.iter().map(|sums| pareto.share(sums)).sum(),
        );
        // Many small ones together would dwarf the largest.
        if let Some(bar) = table.bars.last_mut() {
            *bar = 0.0;
        }
    }
    document.push(Block::Table(table));
}

fn between_section(document: &mut Document, view: &View<'_>) {
    let between = &view.statistics.between;
    if between.is_empty() {
        return;
    }
    document.heading(2, "Time between incidents");
    let mut table = Table::new(&["", "incidents", "mean", "from", "to"]);
    let shown = between.iter().take(view.rows.max(12));
    for one in shown.clone() {
        table.rows.push(vec![
            one.drive.clone(),
            one.time.count.to_string(),
            one.time.mean.map_or_else(|| "-".to_owned(), long_time),
            long_time(one.time.lower),
            one.time.upper.map_or_else(|| "open".to_owned(), long_time),
        ]);
    }
    document.push(Block::Table(table));
    let rows = shown
        .map(|one| Row {
            label: one.drive.clone(),
            lower: one.time.lower.get::<day>(),
            middle: one.time.mean.map(|mean| mean.get::<day>()),
            upper: one.time.upper.map(|upper| upper.get::<day>()),
        })
        .collect();
    document.push(Block::Figure(Figure::Intervals {
        caption: "Mean time between incidents in days, with its 95 % interval".to_owned(),
        rows,
    }));
    let few = between.iter().filter(|one| one.time.count < FEW).count() as u64;
    let hidden = between.len().saturating_sub(view.rows.max(12));
    if hidden > 0 {
        let hidden = counted(hidden as u64, "drive");
        document.paragraph(vec![quiet(format!(
            "And {hidden} more with fewer incidents."
        ))]);
    }
    document.text(format!(
        "The true mean lies between \"from\" and \"to\" with 95 % confidence.{}",
        if few > 0 {
            format!(
                " {} had fewer than {FEW} incidents: there the interval is wide, and two drives whose \
intervals overlap may well be alike.",
                counted(few, "drive")
            )
        } else {
            String::new()
        }
    ));
    if let [only] = between.as_slice() {
        document.text(format!("{}: {}.", only.drive, mean_time(&only.time)));
    }
}

fn recurrence_section(document: &mut Document, view: &View<'_>) {
    let Recurrence {
        within_days,
        repairs,
        returns,
        limits,
        too_fresh,
        returned,
    } = &view.statistics.recurrence;
    document.heading(2, "Back after the repair");
    if *repairs == 0 {
        document.text(format!(
            "No repair is {within_days} days old yet, so none can be said to have held."
        ));
    } else {
        let few = if *repairs < 4 * FEW {
            " Few repairs: the interval is wide."
        } else {
            ""
        };
        document.text(format!(
            "After {returns} of {} the same cause was back at the same drive within {within_days} days: \
{} (95 %: {} to {}).{few}{}",
            counted(*repairs, "repair"),
            percent(*returns as f64 / *repairs as f64),
            percent(limits.lower),
            percent(limits.upper),
            if *too_fresh > 0 {
                format!(" {too_fresh} more are too fresh to tell.")
            } else {
                String::new()
            }
        ));
    }
    if returned.is_empty() {
        return;
    }
    let mut table = Table::new(&["", "times", "returns", "soonest", "quiet for"]);
    for one in returned.iter().take(view.rows) {
        table.rows.push(vec![
            format!(
                "{}: {}",
                view.statistics.drive(one.drive),
                view.cause(view.statistics.names.causes.of(one.cause))
            ),
            one.incidents.to_string(),
            one.returns.to_string(),
            format!("{} d", two_figures(one.shortest_days)),
            format!("{} d", two_figures(one.quiet_days)),
        ]);
    }
    document.push(Block::Table(table));
}

/// Drives with more incidents than before, by more than chance.
fn grown(growth: Option<&Growth>) -> impl Iterator<Item = &Change> {
    growth
        .into_iter()
        .flat_map(|growth| &growth.drives)
        .filter(|change| change.now > change.before && change.chance_among_all < UNLIKELY)
}

fn change_words(view: &View<'_>, change: &Change) -> String {
    let of = change
        .drive
        .map_or("the plant", |drive| view.statistics.drive(drive));
    let ratio = match (change.comparison.ratio, change.comparison.limits.upper) {
        (Some(ratio), upper) if upper.is_finite() => format!(
            ", {} times as many (95 %: {} to {})",
            two_figures(ratio),
            two_figures(change.comparison.limits.lower),
            two_figures(upper)
        ),
        _ => String::new(),
    };
    let among = if change.drive.is_some() {
        ", with all drives looked at"
    } else {
        ""
    };
    format!(
        "{of}: {} before, {} now{ratio}; {}{among}.",
        change.before,
        change.now,
        by_chance(change.chance_among_all)
    )
}

fn growth_section(document: &mut Document, view: &View<'_>) {
    let Some(growth) = &view.statistics.growth else {
        return;
    };
    document.heading(2, "Against the time before");
    let stretches = growth.stretches;
    let time = |at: i64| Timestamp::from_millisecond(at).unwrap_or_default();
    document.text(format!(
        "Before: {} to {}. Now: {} to {}.",
        date(time(stretches.start), view.zone),
        last_day(time(stretches.middle), view.zone),
        date(time(stretches.middle), view.zone),
        last_day(time(stretches.end), view.zone)
    ));
    let plant = change_words(view, &growth.plant);
    document.item(vec![strong(verdict(&growth.plant)), plain(plant)]);
    for change in &growth.drives {
        if change.chance_among_all < UNLIKELY {
            let words = change_words(view, change);
            document.item(vec![strong(verdict(change)), plain(words)]);
        }
    }
    if growth
        .drives
        .iter()
        .all(|change| change.chance_among_all >= UNLIKELY)
    {
        document.item(vec![plain(
            "No single drive changed by more than chance would give among so many.",
        )]);
    }
}

fn verdict(change: &Change) -> &'static str {
    if change.chance_among_all >= UNLIKELY {
        "No clear change: "
    } else if change.now > change.before {
        "More than chance: "
    } else {
        "Fewer, more than chance: "
    }
}

/// Where a pattern is strongest, and how sure it is.
fn peak(test: &SpreadTest) -> String {
    let peak = &test.peak;
    format!(
        "most in {}, {} where {} are expected; {} (χ² = {:.1} with {} degrees of freedom).",
        peak.name,
        peak.count,
        two_figures(peak.expected),
        by_chance(test.chance),
        test.statistic,
        test.degrees_of_freedom
    )
}

fn rhythm_section(document: &mut Document, title: &str, rhythm: &Rhythm) {
    document.heading(2, title);
    let certain = (rhythm.test.as_ref()).is_some_and(|test| test.chance < UNLIKELY);
    let columns = rhythm
        .slots
        .iter()
        .map(|slot| Column {
            label: slot.name.clone(),
            count: slot.count,
            expected: Some(slot.expected),
            marked: certain && slot.count as f64 > slot.expected,
        })
        .collect();
    document.push(Block::Figure(Figure::Columns {
        caption: format!("{title}, occasions; dashed: what an even spread would give"),
        columns,
    }));
    match &rhythm.test {
        None => document.text("Too little to tell a pattern from chance."),
        Some(test) if test.chance < UNLIKELY => {
            document.paragraph(vec![strong("More than chance: "), plain(peak(test))])
        }
        Some(test) => document.text(format!(
            "No more uneven than chance would make it ({}).",
            by_chance(test.chance)
        )),
    };
}

fn together_section(document: &mut Document, view: &View<'_>) {
    let together = &view.statistics.together;
    document.heading(2, "Several drives at once");
    if together.occasions.is_empty() {
        document.text(format!(
            "No two drives went within {} s of each other.",
            together.within_seconds
        ));
        return;
    }
    let verdict = if together.chance < UNLIKELY {
        "That is more than chance: look for what they share."
    } else {
        "That is no more than chance would give."
    };
    document.text(format!(
        "On {} drives went within {} s of each other: {}, where drives that go each by itself would give {}. {verdict}",
        counted(together.occasions.len() as u64, "occasion"),
        together.within_seconds,
        counted(together.pairs, "pair"),
        two_figures(together.pairs_by_chance),
    ));
    let line = |one: &Together| {
        let drives: Vec<&str> = one
            .drives
            .iter()
            .map(|&drive| view.statistics.drive(drive))
            .collect();
        let downtime = if one.downtime_minutes > 0 {
            format!("; stood {}", minutes(one.downtime_minutes))
        } else {
            String::new()
        };
        vec![
            strong(format!("{} ", moment(one.at, view.zone))),
            plain(format!(
                "{} within {} s{downtime}",
                drives.join(", "),
                one.seconds
            )),
        ]
    };
    for one in together.occasions.iter().take(view.rows) {
        document.item(line(one));
    }
    if together.occasions.len() > view.rows {
        let more = together.occasions.len() - view.rows;
        document.item(vec![quiet(format!("and {more} more"))]);
    }
}

fn judgement_section(document: &mut Document, view: &View<'_>) {
    document.heading(2, "More often here than judged");
    let more_often = &view.statistics.more_often;
    if more_often.is_empty() {
        document.text(
            "No confirmed cause is behind its class more often than the built-in judgement says, beyond chance.",
        );
        return;
    }
    for more in more_often.iter().take(view.rows) {
        let few = if more.of < FEW {
            format!(" {}: the interval is wide.", incidents(more.of))
        } else {
            String::new()
        };
        document.item(vec![
            strong(view.cause(&more.cause)),
            plain(format!(
                " behind {}: {} of {} here, {} to {} (95 %), judged {}; {}.{few}",
                view.class(&more.class),
                more.count,
                more.of,
                percent(more.limits.lower),
                percent(more.limits.upper),
                percent(more.judged),
                by_chance(more.chance)
            )),
        ]);
    }
    document.text("Walks already count this: they ask for these causes earlier here.");
}

fn small_print(document: &mut Document, view: &View<'_>) {
    document.heading(2, "How it is counted");
    document.paragraph(vec![quiet(format!(
        "Records marked wrong are left out. Time is calendar time, and every drive counts as there all \
along: a line that stands at night can't trip at night. Drives within {} s of each other are one occasion \
for the patterns and the plant's change. A difference is called more than chance below 1 time in 20. Mean \
times: NIST e-Handbook of Statistical Methods, 8.4.5.1, the same as IEC 60605-4; patterns: χ² test, \
1.3.5.15; change: exact conditional test of two Poisson counts; shares: Clopper and Pearson. Incidents that \
cause each other make chance look smaller than it is.",
        view.statistics.together.within_seconds
    ))]);
}
