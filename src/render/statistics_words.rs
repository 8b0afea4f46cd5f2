//! Figures of the statistics in words: times, shares, chances, names.

use jiff::tz::TimeZone;
use jiff::{Timestamp, ToSpan};
use uom::si::f64::Time;
use uom::si::time::{day, hour};

use crate::diagnosis::case::SOMETHING_ELSE_ID;
use crate::knowledge::Library;
use crate::plant::statistics::{FEW, MeanTime, NO_NAME};

/// Below this chance a difference is told as more than chance (common practice, no source).
pub const UNLIKELY: f64 = 0.05;

/// Minutes as people say them.
pub fn minutes(minutes: u64) -> String {
    match (minutes / 60, minutes % 60) {
        (0, rest) => format!("{rest} min"),
        (hours, _) if hours >= 100 => format!("{} h", (minutes + 30) / 60),
        (hours, 0) => format!("{hours} h"),
        (hours, rest) => format!("{hours} h {rest} min"),
    }
}

/// Minutes as hours with one decimal, for a column of them.
pub fn hours(minutes: u64) -> String {
    format!("{:.1}", minutes as f64 / 60.0)
}

/// A long time in days, or hours if it is short, with two figures or the whole days.
pub fn long_time(time: Time) -> String {
    let days = time.get::<day>();
    if !days.is_finite() {
        return "any".to_owned();
    }
    if days < 2.0 {
        return format!("{} h", two_figures(time.get::<hour>()));
    }
    format!("{} days", two_figures(days))
}

/// A number with two figures, or whole if it has more.
pub fn two_figures(value: f64) -> String {
    if value == 0.0 || value >= 9.95 {
        format!("{value:.0}")
    } else if value >= 0.095 {
        format!("{value:.1}")
    } else {
        format!("{value:.2}")
    }
}

/// A share in percent.
pub fn percent(share: f64) -> String {
    let share = share * 100.0;
    if share > 0.0 && share < 1.0 {
        "under 1 %".to_owned()
    } else {
        format!("{share:.0} %")
    }
}

/// How likely chance alone is.
pub fn by_chance(chance: f64) -> String {
    if chance < 1e-4 {
        "by chance less than 1 time in 10 000".to_owned()
    } else if chance < UNLIKELY {
        format!("by chance 1 time in {:.0}", 1.0 / chance)
    } else {
        format!("by chance {:.0} times in 100", chance * 100.0)
    }
}

/// A mean time with its limits, and whether it rests on few incidents.
pub fn mean_time(time: &MeanTime) -> String {
    let (Some(mean), Some(upper)) = (time.mean, time.upper) else {
        return format!("no incident: at least {}", long_time(time.lower));
    };
    let few = if time.count < FEW {
        format!("; {}: the interval is wide", incidents(time.count))
    } else {
        String::new()
    };
    format!(
        "{} ({} to {}){few}",
        long_time(mean),
        long_time(time.lower),
        long_time(upper)
    )
}

/// `1 incident`, `2 incidents`.
pub fn incidents(count: u64) -> String {
    counted(count, "incident")
}

/// `1 pair`, `2 pairs`.
pub fn counted(count: u64, what: &str) -> String {
    format!("{count} {what}{}", if count == 1 { "" } else { "s" })
}

/// A local day.
pub fn date(time: Timestamp, zone: &TimeZone) -> String {
    time.to_zoned(zone.clone()).strftime("%Y-%m-%d").to_string()
}

/// The last local day before a time.
pub fn last_day(until: Timestamp, zone: &TimeZone) -> String {
    date(until.checked_sub(1.milliseconds()).unwrap_or(until), zone)
}

/// A local time, from milliseconds since 1970.
pub fn moment(at: i64, zone: &TimeZone) -> String {
    Timestamp::from_millisecond(at).map_or_else(
        |_| "?".to_owned(),
        |time| {
            let local = time.to_zoned(zone.clone());
            local.strftime("%Y-%m-%d %H:%M").to_string()
        },
    )
}

/// The title of a fault class.
pub fn class_title(library: &Library, id: &str) -> String {
    match library.class(id) {
        Some(class) => class.title.clone(),
        None if id == NO_NAME => "No class given".to_owned(),
        None => id.to_owned(),
    }
}

/// The name of a cause.
pub fn cause_name(library: &Library, id: &str) -> String {
    match library.cause(id) {
        Some(cause) => cause.name.clone(),
        None if id == NO_NAME => "No cause found, or in words only".to_owned(),
        None if id == SOMETHING_ELSE_ID => "Something not on the lists".to_owned(),
        None => id.to_owned(),
    }
}

/// The name of a drive.
pub fn drive_name(id: &str) -> String {
    if id == NO_NAME {
        "No drive named".to_owned()
    } else {
        id.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_short_and_say_their_unit() {
        assert_eq!(minutes(45), "45 min");
        assert_eq!(minutes(185), "3 h 5 min");
        assert_eq!(minutes(12_345), "206 h");
        assert_eq!(long_time(Time::new::<hour>(30.0)), "30 h");
        assert_eq!(long_time(Time::new::<day>(36.4)), "36 days");
        assert_eq!(percent(0.004), "under 1 %");
        assert_eq!(by_chance(0.0021), "by chance 1 time in 476");
        assert_eq!(by_chance(0.34), "by chance 34 times in 100");
    }
}
