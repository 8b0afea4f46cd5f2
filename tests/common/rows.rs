//! Rows of descriptions with the classes that are right for them, and a score over them.

/// A description.
pub struct Row {
    pub query: String,
    /// Empty if the query is out of scope.
    pub classes: Vec<String>,
    pub kind: String,
}

/// Rows of `query,classes,kind`; only the query may be quoted.
pub fn rows(text: &str) -> Vec<Row> {
    text.lines()
        .skip(1)
        .map(|line| {
            let (query, rest) = match line.strip_prefix('"') {
                Some(quoted) => quoted.split_once("\",").expect("a closing quote"),
                None => line.split_once(',').expect("three columns"),
            };
            let (classes, kind) = rest.split_once(',').expect("three columns");
            let classes = classes
                .split('|')
                .filter(|class| *class != "OUT")
                .map(str::to_owned);
            Row {
                query: query.to_owned(),
                classes: classes.collect(),
                kind: kind.to_owned(),
            }
        })
        .collect()
}

/// How often the right class was found.
#[derive(Default)]
pub struct Score {
    pub all: f64,
    pub first: f64,
    pub among_three: f64,
    pub reciprocal: f64,
    pub refused: f64,
}

impl Score {
    /// Counts one answer: the classes found, best first, and those that are right.
    pub fn add(&mut self, found: &[String], right: &[String]) {
        self.all += 1.0;
        self.refused += f64::from(u8::from(found.is_empty()));
        if let Some(place) = found.iter().position(|id| right.contains(id)) {
            self.first += f64::from(u8::from(place == 0));
            self.among_three += f64::from(u8::from(place < 3));
            self.reciprocal += 1.0 / (place as f64 + 1.0);
        }
    }

    pub fn line(&self, name: &str) -> String {
        format!(
            "{name:34} {:5}  first {:.3}  among three {:.3}  mean reciprocal rank {:.3}  refused {:.3}",
            self.all,
            self.first / self.all,
            self.among_three / self.all,
            self.reciprocal / self.all,
            self.refused / self.all
        )
    }
}
