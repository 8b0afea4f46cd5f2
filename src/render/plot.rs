//! Figures: columns against what is expected, and intervals on a scale of decades. A page shows them
//! as SVG without a request to anywhere; a terminal shows columns as bars, and leaves intervals to the
//! table that always stands beside them.

use std::fmt::Write;

use super::doc::Meaning;
use super::html::escaped;
use super::wrap::Pieces;

/// A figure.
#[derive(Clone, Debug, PartialEq)]
pub enum Figure {
    /// Counts side by side.
    Columns {
        /// What is counted.
        caption: String,
        /// The columns in order.
        columns: Vec<Column>,
    },
    /// Intervals below each other, on one logarithmic scale.
    Intervals {
        /// What is shown, with its unit.
        caption: String,
        /// The rows in order.
        rows: Vec<Row>,
    },
}

/// A count.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// What stands below it.
    pub label: String,
    /// The count.
    pub count: u64,
    /// What is expected, if there is such a thing.
    pub expected: Option<f64>,
    /// Whether it stands out, which must be said in words too.
    pub marked: bool,
}

/// An interval.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// What it is of.
    pub label: String,
    /// Lower end, above 0.
    pub lower: f64,
    /// Best estimate; none if there is only a lower end.
    pub middle: Option<f64>,
    /// Upper end; none if it is open.
    pub upper: Option<f64>,
}

/// Longest bar in a terminal, in characters.
const LONGEST: usize = 24;
/// Pixels.
const COLUMNS_HEIGHT: f64 = 120.0;
const ROW_HEIGHT: f64 = 26.0;

impl Figure {
    /// The figure in characters.
    pub fn lines(&self, width: Option<usize>, clean: impl Fn(&str) -> String) -> Vec<Pieces> {
        let Figure::Columns { columns, .. } = self else {
            return Vec::new();
        };
        let label = columns
            .iter()
            .map(|column| column.label.chars().count())
            .max();
        let label = label.unwrap_or(0);
        let largest = largest(columns).max(1.0);
        let room = width.map_or(LONGEST, |width| {
            width.saturating_sub(label + 8).min(LONGEST)
        });
        let bar = |column: &Column| -> Pieces {
            let length = (column.count as f64 / largest * room as f64).round() as usize;
            let padding = " ".repeat(label - column.label.chars().count());
            vec![
                (
                    format!("{}{padding} ", clean(&column.label)),
                    Meaning::Quiet,
                ),
                (clean(&"█".repeat(length)), Meaning::Plain),
                (format!(" {}", column.count), Meaning::Plain),
            ]
        };
        columns.iter().map(bar).collect()
    }

    /// The figure as SVG with its caption.
    pub fn to_svg(&self) -> String {
        let (caption, drawing) = match self {
            Figure::Columns { caption, columns } => (caption, columns_svg(columns)),
            Figure::Intervals { caption, rows } => (caption, intervals_svg(rows)),
        };
        format!(
            "<figure>{drawing}<figcaption>{}</figcaption></figure>\n",
            escaped(caption)
        )
    }

    /// What the figure says in words, for a page that shows no pictures.
    pub fn words(&self) -> Vec<String> {
        match self {
            Figure::Columns { columns, .. } => columns
                .iter()
                .map(|column| format!("{}: {}", column.label, column.count))
                .collect(),
            Figure::Intervals { .. } => Vec::new(),
        }
    }
}

fn largest(columns: &[Column]) -> f64 {
    columns
        .iter()
        .map(|column| column.expected.unwrap_or(0.0).max(column.count as f64))
        .fold(0.0, f64::max)
}

/// Columns over the whole width: places in percent, so that text keeps its size on every screen.
fn columns_svg(columns: &[Column]) -> String {
    let largest = largest(columns).max(1.0);
    let step = 100.0 / columns.len().max(1) as f64;
    let (top, base) = (18.0, 18.0 + COLUMNS_HEIGHT);
    let height = |value: f64| value / largest * COLUMNS_HEIGHT;
    let said = columns
        .iter()
        .map(|column| format!("{} {}", column.label, column.count));
    // On a narrow screen every second long label is left out.
    let long = columns.len() > 8
        && columns
            .iter()
            .any(|column| column.label.chars().count() > 3);
    let mut svg = opened(base + 24.0, &said.collect::<Vec<_>>().join(", "));
    for (index, column) in columns.iter().enumerate() {
        let left = step * index as f64;
        let middle = left + step / 2.0;
        let count = column.count as f64;
        let class = if column.marked { "bar over" } else { "bar" };
        let y = base - height(count);
        let label = if long && index % 2 == 1 {
            "label second"
        } else {
            "label"
        };
        // Writing to a string does not fail.
        let _ = write!(
            svg,
            "<rect class=\"{class}\" x=\"{:.2}%\" y=\"{y:.1}\" width=\"{:.2}%\" height=\"{:.1}\"/>",
            left + step * 0.14,
            step * 0.72,
            height(count),
        );
        if let Some(expected) = column.expected {
            let y = base - height(expected);
            let _ = write!(
                svg,
                "<line class=\"expected\" x1=\"{left:.2}%\" x2=\"{:.2}%\" y1=\"{y:.1}\" y2=\"{y:.1}\"/>",
                left + step,
            );
        }
        let _ = write!(
            svg,
            "<text class=\"figure\" x=\"{middle:.2}%\" y=\"{:.1}\">{}</text>\
<text class=\"{label}\" x=\"{middle:.2}%\" y=\"{:.1}\">{}</text>",
            (y - 4.0).max(top - 6.0),
            column.count,
            base + 16.0,
            escaped(&column.label),
        );
    }
    svg.push_str("</svg>");
    svg
}

/// The numbers 1 and 3 of each decade, from the last below the values to the first above; at least two.
fn ticks(low: f64, high: f64) -> Vec<f64> {
    if !(low > 0.0 && low <= high && high.is_finite()) {
        return Vec::new();
    }
    let decades = (low.log10().floor() as i32)..=(high.log10().ceil() as i32);
    let all: Vec<f64> = decades
        .flat_map(|decade| [1.0, 3.0].map(|digit| digit * 10_f64.powi(decade)))
        .collect();
    let start = all.iter().rposition(|&tick| tick <= low).unwrap_or(0);
    let end = all.iter().position(|&tick| tick >= high && tick > low);
    all.get(start..=end.unwrap_or(all.len() - 1))
        .map(<[f64]>::to_vec)
        .unwrap_or_default()
}

/// Labels take the left of the width, the scale of decades the rest.
fn intervals_svg(rows: &[Row]) -> String {
    const LEFT: f64 = 38.0;
    let ends = rows.iter().flat_map(|row| {
        [Some(row.lower), row.middle, row.upper]
            .into_iter()
            .flatten()
            .filter(|value| value.is_finite() && *value > 0.0)
    });
    let (low, high) = ends.fold((f64::INFINITY, 0.0_f64), |(low, high), value| {
        (low.min(value), high.max(value))
    });
    let ticks = ticks(low, high);
    let (Some(first), Some(last)) = (ticks.first(), ticks.last()) else {
        return opened(0.0, "nothing to show") + "</svg>";
    };
    let x = |value: f64| LEFT + (value / first).ln() / (last / first).ln() * (97.0 - LEFT);
    let bottom = ROW_HEIGHT * rows.len() as f64;
    let mut svg = opened(bottom + 22.0, "intervals; the table holds the figures");
    for value in &ticks {
        let at = x(*value);
        let _ = write!(
            svg,
            "<line class=\"grid\" x1=\"{at:.2}%\" x2=\"{at:.2}%\" y1=\"0\" y2=\"{bottom:.0}\"/>\
<text class=\"label\" x=\"{at:.2}%\" y=\"{:.0}\">{value}</text>",
            bottom + 16.0,
        );
    }
    for (index, row) in rows.iter().enumerate() {
        let y = ROW_HEIGHT * (index as f64 + 0.5);
        let _ = write!(
            svg,
            "<text class=\"name\" x=\"0\" y=\"{:.1}\">{}</text>\
<line class=\"interval\" x1=\"{:.2}%\" x2=\"{:.2}%\" y1=\"{y:.1}\" y2=\"{y:.1}\"/>",
            y + 4.5,
            escaped(&row.label),
            x(row.lower),
            row.upper.map_or(99.0, x),
        );
        for end in [Some(row.lower), row.upper].into_iter().flatten() {
            let _ = write!(
                svg,
                "<line class=\"interval\" x1=\"{0:.2}%\" x2=\"{0:.2}%\" y1=\"{1:.1}\" y2=\"{2:.1}\"/>",
                x(end),
                y - 4.0,
                y + 4.0,
            );
        }
        if let Some(middle) = row.middle {
            let _ = write!(
                svg,
                "<circle class=\"middle\" cx=\"{:.2}%\" cy=\"{y:.1}\" r=\"4.5\"/>",
                x(middle)
            );
        }
    }
    svg.push_str("</svg>");
    svg
}

fn opened(height: f64, said: &str) -> String {
    format!(
        "<svg role=\"img\" width=\"100%\" height=\"{height:.0}\" aria-label=\"{}\">",
        escaped(said)
    )
}

/// A share as a small bar for a cell of a table.
pub fn cell_bar(share: f64) -> String {
    format!(
        "<svg class=\"share\" width=\"100%\" height=\"10\" aria-hidden=\"true\">\
<rect class=\"back\" width=\"100%\" height=\"10\"/>\
<rect class=\"bar\" width=\"{:.1}%\" height=\"10\"/></svg>",
        share.clamp(0.0, 1.0) * 100.0
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_are_text_and_not_markup() {
        let figure = Figure::Intervals {
            caption: "days <b>".into(),
            rows: vec![
                Row {
                    label: "<script>".into(),
                    lower: 3.0,
                    middle: Some(10.0),
                    upper: Some(400.0),
                },
                Row {
                    label: "quiet".into(),
                    lower: 80.0,
                    middle: None,
                    upper: None,
                },
            ],
        };
        let svg = figure.to_svg();
        assert!(
            svg.contains("&lt;script&gt;") && !svg.contains("<script"),
            "{svg}"
        );
        assert!(svg.contains("days &lt;b&gt;"));
        assert_eq!(svg.matches("<circle").count(), 1);
        assert!(!svg.contains("NaN") && !svg.contains("inf\""), "{svg}");
    }

    #[test]
    fn a_column_is_as_long_as_its_count() {
        let figure = Figure::Columns {
            caption: "by hour".into(),
            columns: [("00-02", 12), ("02-04", 6), ("04-06", 0)]
                .map(|(label, count)| Column {
                    label: label.into(),
                    count,
                    expected: Some(6.0),
                    marked: count > 6,
                })
                .into(),
        };
        let lines = figure.lines(Some(45), str::to_owned);
        let bars: Vec<usize> = lines.iter().map(|line| line[1].0.chars().count()).collect();
        assert_eq!(bars, [24, 12, 0]);
        let svg = figure.to_svg();
        assert_eq!(svg.matches("bar over").count(), 1, "{svg}");
        assert_eq!(svg.matches("class=\"expected\"").count(), 3);
    }
}
