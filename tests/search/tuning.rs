//! Chooses the weights of the search as `src/search/weights.rs` tells, and says what choosing brings:
//! `cargo test --release --test search tuning -- --ignored --nocapture`.

use std::{fs, thread};

use crate::chance::Chance;
use crate::described::{Row, Score, rows};
use crate::fifths::{FIFTHS, without};
use whytrip::builtin;
use whytrip::diagnosis::catalogue::BuiltInChecks;
use whytrip::knowledge::Library;
use whytrip::search::{HitKind, Searcher, WEIGHTS, Weights};

/// Sets of weights that are tried.
const TRIED: usize = 400;
/// Of the phrases left out every so-many-th is looked for.
const EVERY: usize = 5;

/// What a row of a real person weighs; no other does.
const REAL: f64 = 2.0;

/// The weights that are chosen, with their names; the weight of a word is the unit of the scale.
type Knob = (&'static str, fn(&mut Weights) -> &mut f32);
const KNOBS: &[Knob] = &[
    ("meaning", |w| &mut w.meaning),
    ("name_term", |w| &mut w.name_term),
    ("part", |w| &mut w.part),
    ("moment_term", |w| &mut w.moment_term),
    ("negated", |w| &mut w.negated),
    ("unit", |w| &mut w.unit),
    ("pale", |w| &mut w.pale),
    ("background", |w| &mut w.background),
    ("background_meaning", |w| &mut w.background_meaning),
    ("background_name", |w| &mut w.background_name),
    ("title", |w| &mut w.title),
    ("meaning_text", |w| &mut w.meaning_text),
    ("cause_name", |w| &mut w.cause_name),
    ("cause_what", |w| &mut w.cause_what),
    ("group", |w| &mut w.group),
    ("likeness", |w| &mut w.likeness),
    ("filler", |w| &mut w.filler),
    ("against", |w| &mut w.against),
    ("saturated", |w| &mut w.saturated),
    ("alike", |w| &mut w.alike),
    ("few_alike", |w| &mut w.few_alike),
    ("moment", |w| &mut w.moment),
    ("name", |w| &mut w.name),
    ("short_name", |w| &mut w.short_name),
];

/// What is looked for in one fifth: with what weight, in which index, and what is right.
struct Task {
    weight: f64,
    row: Row,
    /// Whether a real person said it.
    real: bool,
}

/// A fifth: rows looked for in the whole index, phrases in the index that lacks them.
struct Fifth {
    rows: Vec<Task>,
    others: Vec<Row>,
    phrases: Vec<Task>,
    fewer: Searcher<'static>,
}

/// How good weights are on a fifth: mean reciprocal rank, half the share of right first classes and a
/// quarter of those among three, 1.5 for rows and 1 for phrases; and the share of other things refused, without which
/// every weight would grow until nothing is refused.
#[derive(Clone, Copy, Default)]
struct Goodness {
    rows: [f64; 4],
    phrases: [f64; 4],
    /// The real ones among the rows.
    real: [f64; 4],
    /// Descriptions of other things: all, and those that were refused.
    others: [f64; 2],
}

impl Goodness {
    fn measure(sums: [f64; 4]) -> f64 {
        let [all, reciprocal, first, three] = sums;
        (reciprocal + first / 2.0 + three / 4.0) / all
    }

    fn value(self) -> f64 {
        let [others, refused] = self.others;
        1.5 * Goodness::measure(self.rows) + Goodness::measure(self.phrases) + refused / others
    }

    fn plus(mut self, other: Goodness) -> Goodness {
        for (own, other) in self.rows.iter_mut().zip(other.rows) {
            *own += other;
        }
        for (own, other) in self.phrases.iter_mut().zip(other.phrases) {
            *own += other;
        }
        for (own, other) in self.real.iter_mut().zip(other.real) {
            *own += other;
        }
        for (own, other) in self.others.iter_mut().zip(other.others) {
            *own += other;
        }
        self
    }

    fn line(self) -> String {
        let shares = |[all, reciprocal, first, three]: [f64; 4]| {
            format!(
                "{:.3}/{:.3} mrr {:.3}",
                first / all,
                three / all,
                reciprocal / all
            )
        };
        format!(
            "rows {}  real {}  phrases {}  refused {:.3}",
            shares(self.rows),
            shares(self.real),
            shares(self.phrases),
            self.others[1] / self.others[0]
        )
    }
}

fn place(searcher: &Searcher, row: &Row) -> Option<usize> {
    let found = searcher.find(&row.query, 20).expect("the index opens");
    let mut hits = found.hits.iter().filter(|hit| hit.kind == HitKind::Class);
    hits.position(|hit| row.classes.contains(&hit.id))
}

/// Where the first class stands, if any is found.
fn place_of_any(searcher: &Searcher, row: &Row) -> Option<usize> {
    let found = searcher.find(&row.query, 20).expect("the index opens");
    found.hits.iter().position(|hit| hit.kind == HitKind::Class)
}

/// The sums over all tasks, and over the real ones.
fn sums(searcher: &Searcher, tasks: &[Task]) -> [[f64; 4]; 2] {
    let mut sums = [[0.0; 4]; 2];
    for task in tasks {
        let place = place(searcher, &task.row);
        let share = |holds: bool| f64::from(u8::from(holds));
        let of_one = [
            1.0,
            place.map_or(0.0, |place| 1.0 / (place as f64 + 1.0)),
            share(place == Some(0)),
            share(place.is_some_and(|place| place < 3)),
        ];
        for (sums, counts) in sums.iter_mut().zip([true, task.real]) {
            for (sum, one) in sums.iter_mut().zip(of_one) {
                *sum += task.weight * share(counts) * one;
            }
        }
    }
    sums
}

/// A checksum of a text, to deal rows by.
fn dealt(text: &str) -> usize {
    let sum = text.bytes().fold(7u32, |sum, byte| {
        sum.wrapping_mul(31).wrapping_add(u32::from(byte))
    });
    sum as usize % FIFTHS
}

fn fifths(files: &[(f64, String)]) -> Vec<Fifth> {
    let mut fifths: Vec<Fifth> = (0..FIFTHS)
        .map(|fifth| {
            let (fewer, left_out) = without(fifth);
            let some = left_out.into_iter().step_by(EVERY);
            let task = |one: crate::fifths::LeftOut| Task {
                real: false,
                weight: 1.0,
                row: Row {
                    query: one.phrase,
                    classes: vec![one.class],
                    kind: String::new(),
                },
            };
            Fifth {
                rows: Vec::new(),
                others: Vec::new(),
                phrases: some.map(task).collect(),
                fewer: Searcher::over(Box::leak(Box::new(fewer)), &BuiltInChecks)
                    .expect("an index"),
            }
        })
        .collect();
    for (weight, text) in files {
        for row in rows(text) {
            if row.classes.is_empty() {
                fifths[dealt(&row.query)].others.push(row);
            } else {
                let (weight, real) = (*weight, *weight == REAL);
                let task = Task { weight, row, real };
                fifths[dealt(&task.row.query)].rows.push(task);
            }
        }
    }
    fifths
}

#[test]
#[ignore = "takes many minutes; for whoever changes weights"]
fn weights_are_chosen_on_four_fifths() {
    let whole: &'static Library = Box::leak(Box::new(builtin::knowledge().expect("it opens")));
    let data = |weight: f64, name: &str| {
        let path = format!("{}/tests/data/search/{name}", env!("CARGO_MANIFEST_DIR"));
        (weight, fs::read_to_string(path).expect("a file of rows"))
    };
    let files = vec![
        data(REAL, "real.csv"),
        data(1.0, "independent.csv"),
        data(1.0, "people.csv"),
        data(1.0, "people-held-out.csv"),
        data(0.5, "own.csv"),
        data(0.5, "own-voices-held-out.csv"),
        data(0.5, "languages.csv"),
        data(0.0, "out-of-scope.csv"),
    ];
    let fifths = fifths(&files);
    let try_out = |weights: &Weights| -> Vec<Goodness> {
        thread::scope(|scope| {
            let running: Vec<_> = fifths
                .iter()
                .map(|fifth| {
                    scope.spawn(|| {
                        let searcher = builtin::searcher(whole).expect("the index opens");
                        let fewer = fifth.fewer.clone();
                        let searcher = searcher.weighing(weights.clone());
                        let [rows, real] = sums(&searcher, &fifth.rows);
                        let [phrases, _] = sums(&fewer.weighing(weights.clone()), &fifth.phrases);
                        let refused = |row: &&Row| place_of_any(&searcher, row).is_none();
                        let refused = fifth.others.iter().filter(refused).count();
                        Goodness {
                            others: [fifth.others.len() as f64, refused as f64],
                            rows,
                            phrases,
                            real,
                        }
                    })
                })
                .collect();
            running
                .into_iter()
                .map(|one| one.join().expect("a fifth"))
                .collect()
        })
    };
    let total = |each: &[Goodness]| {
        each.iter()
            .copied()
            .fold(Goodness::default(), Goodness::plus)
    };
    let mut drawn = Chance(0x9E37_79B9_7F4A_7C15);
    let mut best = WEIGHTS;
    let mut tried = vec![(best.clone(), try_out(&best))];
    println!("in use      {}", total(&tried[0].1).line());
    let mut best_value = total(&tried[0].1).value();
    for _ in 0..TRIED {
        let mut weights = best.clone();
        for _ in 0..*drawn.one_of(&[1, 2, 3]) {
            let (_, knob) = drawn.one_of(KNOBS);
            *knob(&mut weights) *= (1.4 * (drawn.share() - 0.5)).exp() as f32;
        }
        let each = try_out(&weights);
        let value = total(&each).value();
        if value > best_value {
            println!("{value:.4}      {}", total(&each).line());
            (best, best_value) = (weights.clone(), value);
        }
        tried.push((weights, each));
    }
    // Chosen on four fifths, measured on the fifth; of those, the real ones by themselves.
    let mut measured = Goodness::default();
    for fifth in 0..FIFTHS {
        let others = |each: &[Goodness]| {
            let kept = each
                .iter()
                .enumerate()
                .filter(|(number, _)| *number != fifth);
            kept.map(|(_, one)| *one)
                .fold(Goodness::default(), Goodness::plus)
                .value()
        };
        let chosen = tried
            .iter()
            .max_by(|one, other| others(&one.1).total_cmp(&others(&other.1)));
        let (_, each) = chosen.expect("some were tried");
        measured = measured.plus(each[fifth]);
    }
    println!(
        "chosen on four fifths, measured on the fifth: {}",
        measured.line()
    );
    for (name, knob) in KNOBS {
        println!("{name:20} {:.3}", knob(&mut best));
    }
    let mut score = Score::default();
    let searcher = builtin::searcher(whole)
        .expect("the index opens")
        .weighing(best);
    for row in rows(&files[0].1)
        .iter()
        .filter(|row| !row.classes.is_empty())
    {
        let found = searcher.find(&row.query, 20).expect("the index opens");
        let classes = found.hits.into_iter();
        let classes = classes.filter(|hit| hit.kind == HitKind::Class);
        let classes: Vec<String> = classes.map(|hit| hit.id).collect();
        if !classes.iter().take(3).any(|id| row.classes.contains(id)) {
            println!("not among three ({}): {}", row.kind, row.query);
        }
        score.add(&classes, &row.classes);
    }
    println!("{}", score.line("real"));
    assert!(measured.value() > 0.0);
}
