//! Nothing that can be typed or pasted breaks the search, takes long, or comes back as a control character.

use std::time::{Duration, Instant};

use proptest::prelude::*;
use whytrip::builtin;
use whytrip::search::{Found, HitKind};

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
    sound(&find(words))
}

fn sound(found: &Found) -> Result<(), TestCaseError> {
    for text in texts(found) {
        prop_assert!(!text.chars().any(char::is_control), "{text:?}");
        prop_assert!(text.chars().count() < 600, "{text:?}");
    }
    for hit in &found.hits {
        prop_assert!((0.0..=1.0).contains(&hit.score), "{hit:?}");
        let stands_alone = matches!(hit.kind, HitKind::Check | HitKind::Question);
        prop_assert!(hit.class.is_some() || stands_alone, "{hit:?}");
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

/// A long run: `cargo test --test search any_input -- --ignored`.
#[test]
#[ignore = "takes minutes"]
fn a_million_random_texts() {
    const PIECES: &[&str] = &[
        "overvoltage",
        "ovrevoltge",
        "trips",
        "when",
        "not",
        "no",
        "fine",
        "instead",
        "OC3",
        "F7",
        "0x3210",
        "3210h",
        "480V",
        "bus",
        "790",
        "18 A",
        "E/F",
        "l'",
        "\u{0}",
        "\u{1b}[31m",
        "\u{202e}",
        "ﬁ",
        "Ⅷ",
        "ß",
        "é",
        "e\u{301}",
        "漢字",
        "🙂",
        "--",
        "%",
        "%%",
        ".",
        ",",
        "..",
        "9",
        "99999999999999999999",
        "1e999",
        "-",
        "/",
        "how long",
        "\n",
        "\t",
        "\u{feff}",
        "pump",
        "drive",
        "motor",
        "slowing down",
        "Überstrom",
        "surintensité",
    ];
    let library = builtin::knowledge().expect("the knowledge opens");
    let searcher = builtin::searcher(&library).expect("the index opens");
    let mut seed = 7_u64;
    let mut random = |below: u64| {
        seed ^= seed << 13;
        seed ^= seed >> 7;
        seed ^= seed << 17;
        seed % below
    };
    for _ in 0..1_000_000 {
        let mut text = String::new();
        for _ in 0..=random(8) {
            if random(3) == 0 {
                text.extend((0..random(6)).filter_map(|_| char::from_u32(random(0x3000) as u32)));
            } else {
                text.push_str(PIECES[random(PIECES.len() as u64) as usize]);
            }
            if random(4) > 0 {
                text.push(' ');
            }
        }
        let found = searcher.find(&text, 10).expect("the index opens");
        sound(&found).unwrap_or_else(|error| panic!("{text:?}: {error}"));
    }
}
