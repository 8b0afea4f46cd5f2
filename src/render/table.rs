//! Tables: the first column names the row, the others hold figures; on a narrow screen each row
//! becomes a few lines.

use super::doc::Meaning;
use super::wrap::{Pieces, wrap};

/// A table.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Table {
    /// What the columns are.
    pub head: Vec<String>,
    /// The rows, each with a cell for every column.
    pub rows: Vec<Vec<String>>,
    /// A bar for every row, from 0 to 1, or none at all.
    pub bars: Vec<f64>,
}

/// Between columns.
const GAP: usize = 2;
/// Width of a bar in characters.
const BAR: usize = 10;
/// The first column is never narrower; below that the rows become lines.
const NARROWEST_NAME: usize = 22;

impl Table {
    /// A table with these columns.
    pub fn new(head: &[&str]) -> Table {
        Table {
            head: head.iter().map(|&text| text.to_owned()).collect(),
            ..Table::default()
        }
    }

    /// The same table with every text changed.
    #[must_use]
    pub fn map(&self, change: impl Fn(&str) -> String) -> Table {
        let all = |texts: &Vec<String>| texts.iter().map(|text| change(text)).collect();
        Table {
            head: all(&self.head),
            rows: self.rows.iter().map(all).collect(),
            bars: self.bars.clone(),
        }
    }

    /// The table as lines of at most `width` characters.
    pub fn lines(&self, width: Option<usize>) -> Vec<Pieces> {
        let mut widths = vec![0; self.head.len()];
        for row in self.rows.iter().chain([&self.head]) {
            for (width, cell) in widths.iter_mut().zip(row) {
                *width = (*width).max(cell.chars().count());
            }
        }
        let Some((longest, figures)) = widths.split_first() else {
            return Vec::new();
        };
        let taken: usize = figures.iter().map(|width| width + GAP).sum();
        let bar = if self.bars.is_empty() { 0 } else { BAR + GAP };
        let room = width.map_or(*longest, |width| width.saturating_sub(taken + bar));
        let name = room.min(*longest);
        if name < NARROWEST_NAME.min(*longest) {
            return self.stacked(width.unwrap_or(usize::MAX));
        }
        let mut lines = self.row(&self.head, name, figures, None, Meaning::Quiet);
        for (index, row) in self.rows.iter().enumerate() {
            let bar = self.bars.get(index).copied();
            lines.extend(self.row(row, name, figures, bar, Meaning::Plain));
        }
        lines
    }

    fn row(
        &self,
        cells: &[String],
        name_width: usize,
        widths: &[usize],
        bar: Option<f64>,
        meaning: Meaning,
    ) -> Vec<Pieces> {
        let Some((name, figures)) = cells.split_first() else {
            return Vec::new();
        };
        let mut names = wrap(&[(name.clone(), meaning)], name_width.max(10), 0, 0).into_iter();
        let mut first = names.next().unwrap_or_default();
        let used: usize = first.iter().map(|(text, _)| text.chars().count()).sum();
        first.push((" ".repeat(name_width.saturating_sub(used)), Meaning::Plain));
        for (figure, width) in figures.iter().zip(widths) {
            let padding = (width + GAP).saturating_sub(figure.chars().count());
            first.push((" ".repeat(padding), Meaning::Plain));
            first.push((figure.clone(), meaning));
        }
        if let Some(share) = bar {
            first.push((
                format!("{}{}", " ".repeat(GAP), drawn(share)),
                Meaning::Plain,
            ));
        }
        std::iter::once(first).chain(names).collect()
    }

    fn stacked(&self, width: usize) -> Vec<Pieces> {
        let mut lines = Vec::new();
        for (index, row) in self.rows.iter().enumerate() {
            let Some((name, figures)) = row.split_first() else {
                continue;
            };
            let mut title = Vec::new();
            if let Some(share) = self.bars.get(index) {
                title.push((format!("{} ", drawn(*share)), Meaning::Plain));
            }
            title.push((name.clone(), Meaning::Strong));
            let said: Vec<String> = self
                .head
                .iter()
                .skip(1)
                .zip(figures)
                .filter(|(_, figure)| !figure.is_empty())
                .map(|(head, figure)| format!("{head} {figure}"))
                .collect();
            lines.extend(wrap(&title, width, 0, 0));
            for mut line in wrap(&[(said.join(", "), Meaning::Plain)], width, 2, 2) {
                line.insert(0, ("  ".to_owned(), Meaning::Plain));
                lines.push(line);
            }
        }
        lines
    }
}

/// A share as a bar of characters.
pub fn drawn(share: f64) -> String {
    let filled = (share.clamp(0.0, 1.0) * BAR as f64).round() as usize;
    format!("{}{}", "█".repeat(filled), "░".repeat(BAR - filled))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn text(table: &Table, width: usize) -> Vec<String> {
        let lines = table.lines(Some(width));
        lines
            .iter()
            .map(|line| line.iter().map(|(text, _)| text.as_str()).collect())
            .collect()
    }

    #[test]
    fn columns_line_up_and_narrow_screens_get_lines() {
        let mut table = Table::new(&["Cause", "incidents", "downtime"]);
        table.rows = vec![
            vec![
                "Motor terminal box wet or its seal gone".into(),
                "12".into(),
                "18 h 5 min".into(),
            ],
            vec!["Fuse".into(), "3".into(), "40 min".into()],
        ];
        table.bars = vec![1.0, 0.2];
        let wide = text(&table, 70);
        assert_eq!(
            wide[0].find("incidents").map(|at| at + 9),
            wide[3].find(" 3").map(|at| at + 2)
        );
        assert!(
            wide.iter().all(|line| line.chars().count() <= 70),
            "{wide:#?}"
        );
        assert!(wide[1].ends_with("██████████"), "{wide:#?}");
        let narrow = text(&table, 45);
        assert!(
            narrow.iter().all(|line| line.chars().count() <= 45),
            "{narrow:#?}"
        );
        assert!(
            narrow.contains(&"  incidents 3, downtime 40 min".to_owned()),
            "{narrow:#?}"
        );
    }
}
