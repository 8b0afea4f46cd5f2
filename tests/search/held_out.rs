//! How well phrases find their class that the index has never seen: each fifth of every class's own
//! phrases in turn is left out of the index and then looked for. More than half of them were kept for being
//! hard to find before they were there.

use crate::fifths::{FIFTHS, without};
use whytrip::diagnosis::catalogue::BuiltInChecks;
use whytrip::search::{HitKind, Searcher};

/// Phrases looked for, right first, right among three.
fn look(round: usize) -> [f64; 3] {
    let (fewer, left_out) = without(round);
    let searcher = Searcher::over(&fewer, &BuiltInChecks).expect("the index can be built");
    let mut counts = [0.0; 3];
    for one in left_out {
        let found = searcher.find(&one.phrase, 20).expect("the index opens");
        let mut hits = found.hits.iter().filter(|hit| hit.kind == HitKind::Class);
        let place = hits.position(|hit| hit.id == one.class);
        counts[0] += 1.0;
        counts[1] += f64::from(u8::from(place == Some(0)));
        counts[2] += f64::from(u8::from(place.is_some_and(|place| place < 3)));
    }
    counts
}

#[test]
fn unseen_phrases_find_their_class() {
    let mut sums = [0.0; 3];
    for round in 0..FIFTHS {
        for (sum, count) in sums.iter_mut().zip(look(round)) {
            *sum += count;
        }
    }
    let [all, first, among_three] = sums;
    let (first, among_three) = (first / all, among_three / all);
    println!("{all} unseen phrases: first {first:.3}, among three {among_three:.3}");
    assert!(first >= 0.68, "right first: {first}");
    assert!(among_three >= 0.83, "right among three: {among_three}");
}
