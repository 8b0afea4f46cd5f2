//! Decoding against the open profiles: published words, every listed code, all 65 536 words.
//!
//! `tests/data/status-words.csv`: mask pairs and bit logic as two open implementations of CiA 402 have
//! them, and words seen in open test code (column `seen`); `tests/data/error-codes.csv`: codes that two
//! or more open tables of CiA 301 and CiA 402 share, with the class that we judge likely.

use std::collections::BTreeSet;
use std::path::Path;

use whytrip::builtin;
use whytrip::knowledge::Library;
use whytrip::search::HitKind;
use whytrip::standards::typed;
use whytrip::standards::{Profile, Reading, WordKind, decode, every_reading};

fn library() -> Library {
    builtin::knowledge().expect("the knowledge opens")
}

fn rows(file: &str) -> Vec<csv::StringRecord> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data")
        .join(file);
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(path)
        .expect("the table");
    reader.records().map(|row| row.expect("a row")).collect()
}

fn hex(text: &str) -> u16 {
    u16::from_str_radix(text, 16).expect("a hex word")
}

fn set_bits(reading: &Reading) -> Vec<String> {
    let set = reading.bits.iter().filter(|bit| bit.set);
    set.map(|bit| bit.number.to_string()).collect()
}

#[test]
fn published_words_read_as_published() {
    let library = library();
    let rows = rows("status-words.csv");
    assert_eq!(rows.len(), 36);
    for row in rows {
        let [id, profile, kind, word, state, bits, says, _] = row.iter().collect::<Vec<_>>()[..]
            .try_into()
            .expect("eight columns");
        let profile = match profile {
            "cia402" => Profile::Cia402,
            _ => Profile::Profile3,
        };
        let kind = match kind {
            "status" => WordKind::Status,
            _ => WordKind::Control,
        };
        let reading = decode(&library, profile, kind, hex(word));
        assert_eq!(reading.state.as_deref().unwrap_or(""), state, "{id}");
        assert_eq!(set_bits(&reading).join(" "), bits, "{id}");
        let told = format!("{:?}", reading);
        for word in says.split('|').filter(|word| !word.is_empty()) {
            assert!(told.contains(word), "{id} does not say {word}: {told}");
        }
    }
}

/// The mask table of the profile, written down apart from the program.
const PUBLISHED: [(u16, u16, &str); 8] = [
    (0x4F, 0x00, "not ready to switch on"),
    (0x4F, 0x40, "switch on disabled"),
    (0x6F, 0x21, "ready to switch on"),
    (0x6F, 0x23, "switched on"),
    (0x6F, 0x27, "operation enabled"),
    (0x6F, 0x07, "quick stop active"),
    (0x4F, 0x0F, "fault reaction active"),
    (0x4F, 0x08, "fault"),
];

#[test]
fn every_word_has_its_published_state_or_none() {
    let library = library();
    for word in 0..=u16::MAX {
        let published: Vec<&str> = PUBLISHED
            .iter()
            .filter(|(mask, value, _)| word & mask == *value)
            .map(|(_, _, name)| *name)
            .collect();
        let reading = decode(&library, Profile::Cia402, WordKind::Status, word);
        assert_eq!(
            reading.state.as_deref().into_iter().collect::<Vec<_>>(),
            published,
            "{word:04X}"
        );
        // What is stuck leads somewhere; what is no state claims nothing.
        assert_eq!(
            reading.classes.is_empty(),
            published.is_empty(),
            "{word:04X}"
        );
        assert_eq!(
            reading.blocked_by.is_empty(),
            published.is_empty(),
            "{word:04X}"
        );
        assert!(
            published.len() == 1 || !reading.warnings.is_empty(),
            "{word:04X}"
        );
        let says = |text: &str| reading.notes.iter().any(|note| note.contains(text));
        if published.len() == 1 && word != 0 {
            assert_eq!(says("Bit 9 clear"), word & 0x0200 == 0, "{word:04X}");
            assert_eq!(says("Bit 11 set"), word & 0x0800 != 0, "{word:04X}");
        }
    }
}

#[test]
fn every_word_can_be_read_by_every_profile() {
    let library = library();
    let known: BTreeSet<&str> = library.classes().map(|class| class.id.as_str()).collect();
    for profile in [Profile::Cia402, Profile::Profile3] {
        for word in (0..=u16::MAX).step_by(7).chain([0xFEFF, 0xFF00, 0xFFFF]) {
            for reading in every_reading(&library, profile, word) {
                for class in &reading.classes {
                    assert!(known.contains(class.as_str()), "{word:04X}: {class}");
                }
                // Before a control word is named, the caution stands.
                if reading.send.is_some() {
                    assert!(
                        reading.cautions.iter().any(|id| id == "moving-machine"),
                        "{word:04X}"
                    );
                }
            }
        }
    }
}

fn error(library: &Library, code: u16) -> Reading {
    decode(library, Profile::Cia402, WordKind::Error, code)
}

#[test]
fn every_listed_code_has_its_meaning_and_class() {
    let library = library();
    let rows = rows("error-codes.csv");
    let shipped: Vec<_> = rows.iter().filter(|row| &row[4] == "ship").collect();
    assert_eq!(shipped.len(), 212);
    for row in &shipped {
        let reading = error(&library, hex(&row[0]));
        assert!(reading.exact, "{}", &row[0]);
        assert_eq!(reading.state.as_deref(), Some(&row[1]), "{}", &row[0]);
        for class in row[2].split_whitespace().chain(row[3].split_whitespace()) {
            assert!(
                reading.classes.iter().any(|own| own == class),
                "{} does not lead to {class}",
                &row[0]
            );
        }
        // Without a likely class the code alone must not choose one of several.
        if row[2].is_empty() && reading.classes.len() > 1 {
            assert!(reading.ask.is_some(), "{} guesses", &row[0]);
        }
    }
    let listed: BTreeSet<String> = library
        .error_codes()
        .map(|code| code.code.clone())
        .collect();
    let expected: BTreeSet<String> = shipped.iter().map(|row| row[0].to_owned()).collect();
    assert_eq!(listed, expected);
    for code in ["4300", "4310", "7310", "3210"] {
        assert!(
            error(&library, hex(code)).ask.is_some(),
            "{code} is ambiguous"
        );
    }
}

/// Codes that one open table alone has, and everything of the maker's.
#[test]
fn what_is_not_sure_is_never_told() {
    let library = library();
    for row in rows("error-codes.csv")
        .iter()
        .filter(|row| &row[4] != "ship")
    {
        let code = hex(&row[0]);
        let reading = error(&library, code);
        assert!(!reading.exact, "{}", &row[0]);
        assert_ne!(reading.state.as_deref(), Some(&row[1]), "{}", &row[0]);
    }
    for code in 0xFF00..=0xFFFF {
        let reading = error(&library, code);
        assert_eq!(reading.state, None, "{code:04X}");
        assert!(reading.classes.is_empty(), "{code:04X}");
        assert!(reading.notes.iter().any(|note| note.contains("maker")));
    }
}

#[test]
fn an_unlisted_code_falls_back_to_group_then_class_and_says_so() {
    let library = library();
    for code in 0..0xFF00_u16 {
        let reading = error(&library, code);
        let listed = |code: u16| library.error_code(&format!("{code:04X}"));
        let expected = match (listed(code), listed(code & 0xFF00), listed(code & 0xF000)) {
            (Some(own), _, _) => Some(own),
            (_, Some(group), _) => Some(group),
            (_, _, class) => class.filter(|_| code & 0xF000 != 0),
        };
        assert_eq!(
            reading.state.as_deref(),
            expected.map(|code| code.meaning.as_str()),
            "{code:04X}"
        );
        assert_eq!(reading.exact, listed(code).is_some(), "{code:04X}");
        if !reading.exact && reading.state.is_some() {
            assert!(!reading.warnings.is_empty(), "{code:04X}");
            assert!(reading.because.contains("not listed"), "{code:04X}");
        }
        // Swapped bytes are never taken without a warning.
        if !reading.exact && listed(code.swap_bytes()).is_some() {
            let warned = reading
                .warnings
                .iter()
                .any(|warning| warning.contains("swapped"));
            assert!(warned, "{code:04X}");
        }
    }
}

#[test]
fn the_classes_and_the_table_of_codes_agree() {
    let library = library();
    for class in library.classes() {
        for code in &class.standard_codes {
            let listed = library.error_code(code);
            let agrees = listed.is_some_and(|listed| listed.classes.contains(&class.id));
            assert!(agrees, "{} carries {code}, the table does not", class.id);
        }
    }
}

#[test]
fn a_search_offers_what_a_code_is() {
    let library = library();
    let searcher = builtin::searcher(&library).expect("the index opens");
    let kind_and_id = |words: &str, limit| {
        let found = searcher.find(words, limit).expect("an answer");
        assert!(found.hits.len() <= limit);
        let codes = found
            .hits
            .into_iter()
            .filter(|hit| matches!(hit.kind, HitKind::StandardCode | HitKind::StatusWord));
        codes.map(|hit| (hit.kind, hit.title)).next()
    };
    let status = (
        HitKind::StatusWord,
        "Status word 0237h: operation enabled".to_owned(),
    );
    for words in [
        "0x0237",
        "0237h",
        "16#0237",
        "0x0237 motor hums and does not turn",
    ] {
        assert_eq!(kind_and_id(words, 5), Some(status.clone()), "{words}");
    }
    let error = (
        HitKind::StandardCode,
        "Error code 3210h: DC link voltage too high".to_owned(),
    );
    for words in ["3210h", "3210", "0x3210", "fault 0x3210", "16#3210"] {
        assert_eq!(kind_and_id(words, 5), Some(error.clone()), "{words}");
    }
    // A drive without a class of ours, the maker's range, no code at all.
    assert!(kind_and_id("8500h", 5).is_some());
    assert_eq!(kind_and_id("FF01h", 5), None);
    assert_eq!(kind_and_id("0x0225", 5), None);
    assert_eq!(kind_and_id("trips at 1000 rpm", 5), None);
}

proptest::proptest! {
    #[test]
    fn whatever_is_typed_is_read_or_refused(text in "(status|error|0x|16#|[0-9a-fA-F]{1,6}h?|[ =:,.-]|decimal|\\PC){0,30}") {
        let typed = typed::read(&text);
        assert!(typed.words.len() <= typed::MOST_WORDS);
        assert!(typed.error.is_some() || !typed.words.is_empty());
        if let Some(error) = typed.error {
            assert!(!error.remedy().is_empty());
        }
    }

    #[test]
    fn every_word_comes_back_from_every_form(word: u16) {
        for form in [
            format!("0x{word:04X}"),
            format!("{word:04x}h"),
            format!("16#{word:X}"),
            format!("decimal {word}"),
            format!("status 0x{word:x}"),
            format!("decimal {}", word as i16),
            format!("emergency {:02x} {:02x}", word & 0xFF, word >> 8),
        ] {
            // The addresses of the objects are no words of their own.
            if ![0x6040, 0x6041, 0x603F].contains(&word) || form.contains(' ') {
                let typed = typed::read(&form);
                if let Some(first) = typed.words.first() {
                    assert_eq!(first.value, word, "{form}");
                } else {
                    assert!([0x6040, 0x6041, 0x603F].contains(&word), "{form}: {:?}", typed.error);
                }
            }
        }
    }
}
