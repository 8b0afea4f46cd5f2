//! The statistics as CSV: one figure a line, so that a spreadsheet can pivot them.

use std::borrow::Cow;

use uom::si::time::day;

use crate::plant::statistics::{Pareto, Rhythm, Statistics};
use crate::plant::text::csv_cell;

/// The figures under `section,name,measure,value,unit` (RFC 4180).
pub fn to_csv(statistics: &Statistics) -> String {
    let mut lines = Lines::default();
    lines.add("all", "", "incidents", statistics.incidents, "");
    lines.add("all", "", "occasions", statistics.occasions, "");
    for (section, pareto) in [
        ("cause", &statistics.causes),
        ("class", &statistics.classes),
        ("drive", &statistics.drives),
    ] {
        lines.pareto(section, pareto);
    }
    for one in &statistics.between {
        let figures = [
            ("mean time between incidents", one.time.mean),
            ("mean time, lower limit", Some(one.time.lower)),
            ("mean time, upper limit", one.time.upper),
        ];
        for (measure, time) in figures {
            if let Some(time) = time {
                let days = format!("{:.3}", time.get::<day>());
                lines.add("drive", &one.drive, measure, days, "days");
            }
        }
    }
    for one in &statistics.recurrence.returned {
        let cause = statistics.names.causes.of(one.cause);
        let name = format!("{} {cause}", statistics.drive(one.drive));
        lines.add("return", &name, "returns", one.returns, "");
        let shortest = format!("{:.3}", one.shortest_days);
        lines.add("return", &name, "shortest time", shortest, "days");
    }
    lines.rhythm("hour", &statistics.hours);
    lines.rhythm("weekday", &statistics.weekdays);
    lines.rhythm("month", &statistics.months);
    for one in statistics.growth.iter().flat_map(|growth| &growth.drives) {
        let drive = one.drive.map_or("", |drive| statistics.drive(drive));
        lines.add("change", drive, "before", one.before, "");
        lines.add("change", drive, "now", one.now, "");
        let chance = format!("{:.6}", one.chance_among_all);
        lines.add("change", drive, "chance among all", chance, "");
    }
    for one in &statistics.more_often {
        let name = format!("{} {}", one.class, one.cause);
        lines.add("more than judged", &name, "count", one.count, "");
        lines.add("more than judged", &name, "of", one.of, "");
        let judged = format!("{:.4}", one.judged);
        lines.add("more than judged", &name, "judged share", judged, "");
    }
    lines.text
}

struct Lines {
    text: String,
}

impl Default for Lines {
    fn default() -> Self {
        Lines {
            text: "section,name,measure,value,unit\r\n".to_owned(),
        }
    }
}

impl Lines {
    fn add(&mut self, section: &str, name: &str, measure: &str, value: impl ToString, unit: &str) {
        let value = value.to_string();
        let cells = [section, name, measure, &value, unit].map(quoted);
        self.text.push_str(&cells.join(","));
        self.text.push_str("\r\n");
    }

    fn pareto(&mut self, section: &str, pareto: &Pareto) {
        for sums in &pareto.rows {
            self.add(section, &sums.name, "incidents", sums.incidents, "");
            self.add(
                section,
                &sums.name,
                "downtime",
                sums.downtime_minutes,
                "min",
            );
            self.add(section, &sums.name, "labour", sums.labour_minutes, "min");
        }
    }

    fn rhythm(&mut self, section: &str, rhythm: &Rhythm) {
        for slot in &rhythm.slots {
            self.add(section, &slot.name, "occasions", slot.count, "");
            let expected = format!("{:.3}", slot.expected);
            self.add(section, &slot.name, "expected", expected, "");
        }
    }
}

/// A cell that is no formula, in quotes where it must be.
fn quoted(cell: &str) -> String {
    let cell: Cow<'_, str> = csv_cell(cell);
    if cell.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", cell.replace('"', "\"\""))
    } else {
        cell.into_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_are_quoted_and_no_formula() {
        assert_eq!(quoted("=1+1"), "'=1+1");
        assert_eq!(quoted("a, \"b\""), "\"a, \"\"b\"\"\"");
    }
}
