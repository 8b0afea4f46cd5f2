//! Time to the next question along walks through every shipped class: one turn of the live walk,
//! from the answers so far to the step with its prices.

use std::collections::BTreeMap;
use std::time::{Duration, Instant};

use whytrip::builtin;
use whytrip::diagnosis::case::{Case, History};
use whytrip::diagnosis::reply;
use whytrip::diagnosis::walk::{Given, Turn, Walk};
use whytrip::knowledge::{FaultClass, Library};

use crate::generated::Random;

/// Walks a class.
const WALKS: u64 = 3;

pub fn print() {
    let library = builtin::knowledge().expect("the built-in knowledge");
    let mut first = Vec::new();
    let mut later = Vec::new();
    let mut compiled = Vec::new();
    let mut slowest: Vec<(Duration, String)> = Vec::new();
    for class in library.classes() {
        let start = Instant::now();
        let case = Case::compile(&library, class, History::default()).expect("a model");
        compiled.push(start.elapsed());
        let mut worst = Duration::ZERO;
        for seed in 0..WALKS {
            let times = walk(&library, class, seed);
            first.push(times[0]);
            later.extend_from_slice(&times[1..]);
            worst = worst.max(times.iter().copied().max().unwrap_or_default());
        }
        let size = format!(
            "{} ({} causes, {} questions)",
            class.id,
            case.causes.len(),
            case.questions.len()
        );
        slowest.push((worst, size));
    }
    println!(
        "time to the next question, {WALKS} walks through every shipped class (best of five a step)"
    );
    line("compile the class", &mut compiled);
    line("first question", &mut first);
    line("later steps", &mut later);
    let mut all = [first, later].concat();
    line("every step", &mut all);
    slowest.sort();
    for (worst, class) in slowest.iter().rev().take(8) {
        println!("  {:7.2} ms  {class}", worst.as_secs_f64() * 1e3);
    }
}

/// Times of the turns of one walk whose cause and answers are drawn by the class's own numbers.
fn walk(library: &Library, class: &FaultClass, seed: u64) -> Vec<Duration> {
    let case = Case::compile(library, class, History::default()).expect("a model");
    let mut random = Random::new(seed);
    let truth = draw(
        &mut random,
        case.model.causes().iter().map(|cause| cause.prior),
    );
    let mut walk = Walk::new(case, BTreeMap::new());
    let mut times = Vec::new();
    loop {
        let (turn, time) = timed(|| walk.turn().expect("a turn"));
        times.push(time);
        let given = match turn {
            Turn::Ask { question, .. } => {
                let row = &walk.case.model.questions()[question].likelihood[truth];
                let finding = draw(&mut random, row.iter().copied());
                Given::Found {
                    question,
                    reply: Box::new(reply::by_finding(walk.case.questions[question], finding)),
                }
            }
            Turn::Confirm { cause, .. } if cause != truth => Given::NotConfirmed { cause },
            Turn::Confirm { .. } | Turn::Settled { .. } | Turn::HandOver { .. } => return times,
        };
        walk = walk.answered(given, false);
    }
}

/// Does it five times and takes the shortest, since others use the machine too.
fn timed<T>(work: impl Fn() -> T) -> (T, Duration) {
    let mut done = Vec::new();
    for _ in 0..5 {
        let start = Instant::now();
        let result = work();
        done.push((start.elapsed(), result));
    }
    done.sort_by_key(|(time, _)| *time);
    let (time, result) = done.swap_remove(0);
    (result, time)
}

pub fn draw(random: &mut Random, chances: impl Iterator<Item = f64>) -> usize {
    let mut left = random.unit();
    let mut last = 0;
    for (index, chance) in chances.enumerate() {
        last = index;
        left -= chance;
        if left < 0.0 {
            break;
        }
    }
    last
}

fn line(what: &str, times: &mut [Duration]) {
    times.sort_unstable();
    let at = |share: f64| {
        let place = ((times.len() as f64 - 1.0) * share).round() as usize;
        times.get(place).copied().unwrap_or_default().as_secs_f64() * 1e3
    };
    println!(
        "  {what:<20} median {:7.3} ms, 95 % {:7.3} ms, worst {:7.3} ms, of {}",
        at(0.5),
        at(0.95),
        at(1.0),
        times.len()
    );
}
