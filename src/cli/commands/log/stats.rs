//! `log stats`: what the log teaches.

use jiff::civil::{Date, DateTime};
use jiff::tz::TimeZone;
use jiff::{Span, Timestamp, ToSpan};

use crate::cli::context::Context;
use crate::cli::failure::{Failure, Outcome};
use crate::knowledge::Library;
use crate::plant::Store;
use crate::plant::statistics::{EventFilter, Events, Statistics, Window};
use crate::render::html::{PAGE_STYLE, to_styled_html};
use crate::render::statistics::{View, document};
use crate::render::statistics_csv::to_csv;
use crate::render::statistics_json::statistics_json;
use crate::render::{json, markdown};

/// What the log teaches
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:
  whytrip log stats
  whytrip log stats --period 1y
  whytrip log stats --class ground-fault --since 2026-01-01
  whytrip log stats --format html > statistics.html

A day given to --until counts as a whole. The time looked at is compared with
as long a time before it; the whole log is compared half with half.")]
pub struct Args {
    /// Only this fault class
    #[arg(long, value_name = "ID")]
    class: Option<String>,
    /// Only this drive
    #[arg(long, value_name = "ID")]
    drive: Option<String>,
    /// From this day or time on, such as 2026-03-14; else from the first record
    #[arg(long, value_name = "TIME")]
    since: Option<String>,
    /// Up to this day or time; else up to now
    #[arg(long, value_name = "TIME")]
    until: Option<String>,
    /// The last so long: 90d, 12w, 6m, 1y
    #[arg(long, value_name = "LENGTH", conflicts_with = "since")]
    period: Option<String>,
    /// At most so many rows in a table
    #[arg(long, default_value_t = 8, value_name = "N")]
    top: usize,
    /// How to write it
    #[arg(long, value_enum, default_value_t, value_name = "FORM")]
    format: StatsFormat,
}

/// Form of the statistics.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum)]
enum StatsFormat {
    /// For the terminal
    #[default]
    Text,
    /// One figure a line, for a spreadsheet
    Csv,
    /// Markdown
    Markdown,
    /// One HTML page with plots, good on paper
    Html,
}

pub fn run(args: Args, context: &Context) -> Result<Outcome, Failure> {
    let library = context.knowledge()?;
    if let Some(class) = &args.class {
        check_class(&library, class)?;
    }
    let zone = TimeZone::system();
    let until = match &args.until {
        Some(typed) => time("--until", typed, Edge::End, &zone)?,
        None => Timestamp::now(),
    };
    let since = match (&args.since, &args.period) {
        (Some(typed), _) => Some(time("--since", typed, Edge::Start, &zone)?),
        (None, Some(typed)) => Some(back(typed, until, &zone)?),
        (None, None) => None,
    };
    if since.is_some_and(|since| since >= until) {
        return Err(Failure::usage("the time looked at ends before it starts")
            .next("give --since a time before --until"));
    }
    let filter = EventFilter {
        drive: args.drive.clone(),
        class: args.class.clone(),
        since: since.map(|since| Window::before(since, until)),
        until: Some(until),
    };
    let (events, registered) = read(&filter, context)?;
    let window = Window::of(&events, since, until, &zone);
    let statistics = Statistics::of(events, window, &registered, &library, &zone);
    if let Some(id) = &args.drive
        && statistics.incidents == 0
        && context.drive(id).is_err()
    {
        let note =
            format!("note: neither log nor register has a drive \"{id}\"; see whytrip drive list");
        context.ui.note(&note);
    }
    write(&args, &statistics, &library, &zone, context)?;
    Ok(if statistics.incidents == 0 {
        Outcome::No
    } else {
        Outcome::Done
    })
}

/// The events, and the drives to be told even without one.
fn read(filter: &EventFilter, context: &Context) -> Result<(Events, Vec<String>), Failure> {
    let Some(store) = context.store_to_read()? else {
        return Ok((Events::default(), Vec::new()));
    };
    let failed = |error| context.store_failure(&error);
    let events = store.events(filter).map_err(failed)?;
    let registered = match (&filter.drive, &filter.class) {
        (None, None) => store.drives().map_err(failed)?,
        _ => Vec::new(),
    };
    Ok((
        events,
        registered.into_iter().map(|drive| drive.id).collect(),
    ))
}

fn write(
    args: &Args,
    statistics: &Statistics,
    library: &Library,
    zone: &TimeZone,
    context: &Context,
) -> Result<(), Failure> {
    if context.json {
        let printed = statistics_json(statistics, args.class.clone(), args.drive.clone());
        return context.ui.raw(&json::document(printed));
    }
    let class = args.class.as_ref().map(|class| {
        library
            .class(class)
            .map_or_else(|| class.clone(), |known| known.title.clone())
    });
    let view = View {
        statistics,
        library,
        zone,
        picked: class.into_iter().chain(args.drive.clone()).collect(),
        rows: args.top.max(1),
    };
    match args.format {
        StatsFormat::Text => context.ui.show(&document(&view)),
        StatsFormat::Csv => context.ui.raw(&to_csv(statistics)),
        StatsFormat::Markdown => context.ui.raw(&markdown::to_markdown(&document(&view))),
        StatsFormat::Html => context.ui.raw(&to_styled_html(
            &document(&view),
            "What the log teaches",
            PAGE_STYLE,
        )),
    }
}

fn check_class(library: &Library, class: &str) -> Result<(), Failure> {
    if library.class(class).is_some() {
        return Ok(());
    }
    let failure = Failure::usage(format!("there is no fault class \"{class}\""));
    Err(match library.nearest_class(class) {
        Some(near) => failure.next(format!("did you mean {near}?")),
        None => failure.next("whytrip show    (lists the fault classes)"),
    })
}

/// Which end of the time looked at a day stands for.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Edge {
    Start,
    End,
}

/// A day, a local time, or a time with its zone.
fn time(option: &str, typed: &str, edge: Edge, zone: &TimeZone) -> Result<Timestamp, Failure> {
    let text = typed.trim();
    let day = text.parse::<Date>().ok().filter(|_| !text.contains(':'));
    let found = match day {
        Some(day) => {
            let day = match edge {
                Edge::Start => Some(day),
                Edge::End => day.tomorrow().ok(),
            };
            day.and_then(|day| day.to_zoned(zone.clone()).ok())
                .map(|start| start.timestamp())
        }
        None => text.parse::<Timestamp>().ok().or_else(|| {
            let local = text.parse::<DateTime>().ok()?;
            zone.to_timestamp(local).ok()
        }),
    };
    found.ok_or_else(|| {
        Failure::usage(format!("{option} \"{typed}\" is no time"))
            .next("write 2026-03-14, 2026-03-14 02:10 (local) or 2026-03-14T02:10:00Z")
    })
}

/// The longest period, in its own unit: more than any log holds.
const LONGEST: i64 = 10_000;

/// The time that lies so long before another: `90d`, `12w`, `6m`, `1y`.
fn back(typed: &str, until: Timestamp, zone: &TimeZone) -> Result<Timestamp, Failure> {
    let wrong = || {
        Failure::usage(format!("--period \"{typed}\" is no length of time"))
            .next("write a number with d, w, m or y: 90d, 12w, 6m, 1y")
    };
    let text = typed.trim();
    let unit = text.chars().last().ok_or_else(wrong)?;
    let number = text[..text.len() - unit.len_utf8()].trim();
    let number: i64 = number.parse().map_err(|_| wrong())?;
    if !(1..=LONGEST).contains(&number) {
        return Err(wrong());
    }
    let span: Span = match unit.to_ascii_lowercase() {
        'd' => number.days(),
        'w' => number.weeks(),
        'm' => number.months(),
        'y' => number.years(),
        _ => return Err(wrong()),
    };
    let start = until.to_zoned(zone.clone()).checked_sub(span);
    start.map(|start| start.timestamp()).map_err(|_| wrong())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_is_whole_and_a_period_follows_the_calendar() {
        let zone = TimeZone::posix("CET-1CEST,M3.5.0,M10.5.0/3").unwrap();
        let at = |edge| {
            time("--since", "2026-03-29", edge, &zone)
                .unwrap()
                .to_string()
        };
        // The European change to summer time, 29 March 2026 (Directive 2000/84/EC): a day of 23 h.
        assert_eq!(at(Edge::Start), "2026-03-28T23:00:00Z");
        assert_eq!(at(Edge::End), "2026-03-29T22:00:00Z");
        let until: Timestamp = "2026-03-31T10:00:00Z".parse().unwrap();
        let since = |typed: &str| back(typed, until, &zone).unwrap().to_string();
        assert_eq!(since("1m"), "2026-02-28T11:00:00Z");
        assert_eq!(since("7d"), "2026-03-24T11:00:00Z");
        for typed in [
            "",
            "d",
            "1",
            "0d",
            "-3d",
            "3 fortnights",
            "99999999999y",
            "10001d",
            "3µ",
        ] {
            assert!(back(typed, until, &zone).is_err(), "{typed}");
        }
        for typed in ["", "yesterday", "2026-02-30", "10:00"] {
            assert!(
                time("--since", typed, Edge::Start, &zone).is_err(),
                "{typed}"
            );
        }
    }
}
