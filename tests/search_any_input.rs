//! Nothing that can be typed or pasted breaks the search, takes long, or comes back as a control character.

use std::time::{Duration, Instant};

use proptest::prelude::*;
use whytrip::builtin;
use whytrip::search::Found;

fn find(words: &str) -> Found {
    let library = builtin::knowledge().expect("the knowledge opens");
    let searcher = builtin::searcher(&library).expect("the index opens");
    searcher.find(words, 10).expect("the index opens")
}

/// Every text of an answer that may hold what was typed.
fn texts(found: &Found) -> Vec<String> {
    let understood = &found.understood;
    let mut texts: Vec<String> = found.hits.iter().flat_map(|hit| hit.why.clone()).collect();
    texts.extend(found.advice.clone());
    texts.extend(
        understood
            .corrected
            .iter()
            .flat_map(|(typed, read)| [typed.clone(), read.clone()]),
    );
    texts.extend(understood.unknown.clone());
    texts.extend(understood.maker_codes.clone());
    for reading in &understood.readings {
        texts.push(reading.typed.clone());
        texts.extend(reading.of.clone());
    }
    texts
}

fn check(words: &str) -> Result<(), TestCaseError> {
    let found = find(words);
    for text in texts(&found) {
        prop_assert!(!text.chars().any(char::is_control), "{text:?}");
        prop_assert!(text.chars().count() < 600, "{text:?}");
    }
    for hit in &found.hits {
        prop_assert!((0.0..=1.0).contains(&hit.score), "{hit:?}");
        prop_assert!(hit.class.is_some(), "{hit:?}");
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text(words in any::<String>()) {
        check(&words)?;
    }

    #[test]
    fn words_of_the_trade_with_anything_between(
        words in prop::collection::vec("(OV|trips|stop|0x3210|F7|480 ?V|no|not|l'|E/F|\u{1b}\\[31m|\\PC{0,5})", 0..30)
    ) {
        check(&words.join(" "))?;
    }
}

#[test]
fn a_pasted_megabyte_is_cut() {
    for piece in [
        "overvoltge on stoping ",
        "a",
        "\u{1b}[31m",
        "no ",
        "ü/",
        "E/F ",
        "9",
    ] {
        let long = piece.repeat((1 << 20) / piece.len());
        let started = Instant::now();
        check(&long).expect("no control characters");
        // An unoptimised build on a busy machine included.
        assert!(
            started.elapsed() < Duration::from_secs(5),
            "{piece:?}: {:?}",
            started.elapsed()
        );
    }
}
