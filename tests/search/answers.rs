//! What an answer says besides its hits: codes, moments, negation, readings, ties, reasons.

use whytrip::builtin;
use whytrip::diagnosis::catalogue::BuiltInChecks;
use whytrip::knowledge::{self, SourceFile};
use whytrip::quantity::{Kind, Quantity};
use whytrip::search::{Found, HitKind, Searcher, for_walk};

fn find(words: &str) -> Found {
    let library = builtin::knowledge().expect("the knowledge opens");
    let searcher = builtin::searcher(&library).expect("the index opens");
    searcher.find(words, 10).expect("the index opens")
}

fn first(words: &str) -> String {
    let found = find(words);
    found
        .hits
        .first()
        .map_or_else(String::new, |hit| hit.id.clone())
}

#[test]
fn a_makers_code_is_never_guessed_at() {
    for words in ["F7", "E05", "A12", "err 3", "F 012", "error 12"] {
        let found = find(words);
        assert!(found.hits.is_empty(), "{words}: {:?}", found.hits);
        assert!(
            found.advice.iter().any(|advice| advice.contains("manual")),
            "{words}"
        );
        assert_eq!(found.understood.maker_codes.len(), 1, "{words}");
    }
    // The letters are of the trade, the figure is not.
    let found = find("OC3");
    assert!(
        found
            .hits
            .iter()
            .all(|hit| hit.class.as_deref().is_some_and(|id| id.starts_with("o")))
    );
    assert!(
        found.advice.iter().any(|advice| advice.contains("figure")),
        "{:?}",
        found.advice
    );
}

/// IEC 61800-7-201, error codes: 3210h is too high a voltage of the DC link, 2330h an earth leakage on
/// the motor side.
#[test]
fn standard_codes_are_found_in_every_form() {
    for form in ["3210", "3210h", "0x3210", "fault 0x3210"] {
        let found = find(form);
        let code = found
            .hits
            .iter()
            .find(|hit| hit.kind == HitKind::StandardCode);
        assert_eq!(code.map(|hit| hit.id.as_str()), Some("3210"), "{form}");
        assert!(found.hits[0].id.starts_with("dc-overvoltage"), "{form}");
    }
    assert_eq!(first("2330h"), "ground-fault");
    let unknown = find("0x9999");
    assert!(unknown.hits.is_empty());
    assert!(unknown.advice.iter().any(|advice| advice.contains("9999h")));
}

#[test]
fn moments_said_in_many_ways_decide() {
    for (words, moment, class) in [
        (
            "overvoltage on ramp down",
            "slowing",
            "dc-overvoltage-decelerating",
        ),
        (
            "Überspannung beim Bremsen",
            "slowing",
            "dc-overvoltage-decelerating",
        ),
        (
            "ueberspannung beim bremsen",
            "slowing",
            "dc-overvoltage-decelerating",
        ),
        (
            "sobrecorriente al acelerar",
            "accelerating",
            "overcurrent-accelerating",
        ),
        ("OC when I press start", "start", "overcurrent-at-start"),
        (
            "under volts at power-up",
            "power-up",
            "dc-undervoltage-at-power-up",
        ),
    ] {
        let found = find(words);
        assert_eq!(found.understood.moment.as_deref(), Some(moment), "{words}");
        assert_eq!(found.hits[0].id, class, "{words}");
    }
    let found = find("overvoltage, but not when slowing down");
    assert_eq!(found.understood.moment, None);
    assert_eq!(found.understood.not_moments, ["slowing"]);
    assert_eq!(found.hits[0].id, "dc-overvoltage-supply");
}

#[test]
fn readings_are_handed_on() {
    let readings = find("trips on stopping, bus 790, supply 480V, 18 A")
        .understood
        .readings;
    let seen: Vec<(Option<&str>, Quantity)> = readings
        .iter()
        .map(|reading| (reading.of.as_deref(), reading.value))
        .collect();
    assert_eq!(
        seen,
        [
            (Some("bus"), Quantity::from_si(Kind::Voltage, 790.0)),
            (Some("supply"), Quantity::from_si(Kind::Voltage, 480.0)),
            (None, Quantity::from_si(Kind::Current, 18.0)),
        ]
    );
}

#[test]
fn typed_compounds_and_slips_are_one_thing() {
    for words in [
        "over current at start",
        "over-current at start",
        "overcurrent at start",
    ] {
        assert_eq!(first(words), "overcurrent-at-start", "{words}");
    }
    let found = find("ovrecurrent at start");
    assert_eq!(
        found.understood.corrected,
        [("ovrecurrent".to_owned(), "overcurrent".to_owned())]
    );
    assert_eq!(found.hits[0].id, "overcurrent-at-start");
    // "old" is a word, OLD is the drive's overload.
    assert_eq!(first("OLD"), "drive-overload");
    assert_ne!(first("an old drive with an earth fault"), "drive-overload");
}

#[test]
fn a_near_tie_names_the_question_that_separates() {
    let library = builtin::knowledge().expect("the knowledge opens");
    let found = find("overload");
    let tie = found.near_tie.expect("motor or drive stays open");
    assert!(
        [&tie.first, &tie.second]
            .iter()
            .all(|id| id.ends_with("overload")),
        "{tie:?}"
    );
    assert!(library.question(&tie.ask).is_some(), "{tie:?}");
    assert!(
        find("trips on overvoltage every time it slows down")
            .near_tie
            .is_none()
    );
}

#[test]
fn a_vague_query_is_asked_back() {
    let library = builtin::knowledge().expect("the knowledge opens");
    for words in ["it trips", "help", "fault", ""] {
        let found = find(words);
        assert!(found.hits.is_empty(), "{words}");
        assert!(!found.advice.is_empty(), "{words}");
        assert_eq!(found.ask[0], "trip-moment", "{words}");
        assert!(
            (2..=3).contains(&found.ask.len()),
            "{words}: {:?}",
            found.ask
        );
        let by_looking = |id: &String| {
            let question = library.question(id).expect("a question");
            question.access == knowledge::Access::Observe
        };
        assert!(found.ask.iter().all(by_looking), "{words}: {:?}", found.ask);
    }
    let found = find("not working");
    assert!(found.ask.len() >= 2, "{:?}", found.ask);
}

#[test]
fn a_moment_that_is_fine_is_ruled_out() {
    for (words, class) in [
        (
            "overcurrent when stopping, accelerates fine",
            "overcurrent-decelerating",
        ),
        (
            "fine when slowing down, overcurrent on the way up",
            "overcurrent-accelerating",
        ),
    ] {
        let found = find(words);
        assert_eq!(found.understood.not_moments.len(), 1, "{words}");
        assert_eq!(found.hits[0].id, class, "{words}");
    }
    // So far fine is not fine.
    let found = find("accelerates fine until 40 Hz then overcurrent");
    assert_eq!(found.understood.moment.as_deref(), Some("accelerating"));
}

#[test]
fn what_is_said_is_handed_to_the_walk() {
    let library = builtin::knowledge().expect("the knowledge opens");
    let facts = |words: &str, class: &str| -> Vec<String> {
        let understood = find(words).understood;
        let class = library.class(class).expect("the class");
        let facts = for_walk(&library, &understood, class);
        let facts = facts
            .into_iter()
            .map(|(name, value)| format!("{name}={value}"));
        facts.collect()
    };
    assert_eq!(
        facts(
            "trips on stopping, bus 790, supply 480V, 18 A",
            "dc-overvoltage-decelerating"
        ),
        ["when=slowing", "bus-peak=790V", "supply_voltage=480V"]
    );
    assert_eq!(
        facts("earth fault at start after wash down", "ground-fault"),
        ["when=start", "wet=wet"]
    );
    // A class is only told what its questions ask.
    assert_eq!(
        facts("fan of the drive dead, bus 790", "cooling-fan-failure"),
        Vec::<String>::new()
    );
}

/// Every observation that is handed on is a finding of a question.
#[test]
fn observations_are_findings() {
    let library = builtin::knowledge().expect("the knowledge opens");
    let mut seen = 0;
    for words in [
        "wet motor",
        "drive trips in hot weather",
        "drive trips, not in summer",
        "drive will not turn after the weekend",
        "drive trips with the welder next door",
        "drive trips when the contactor drops",
        "drive trips in a thunderstorm",
        "several drives trip",
        "new drive put in, trips",
        "drive trips at random",
    ] {
        let observed = find(words).understood.observed;
        assert!(!observed.is_empty(), "{words}");
        for (question, finding) in observed {
            let question = library.question(&question).expect("a question");
            let known = question.findings.iter().any(|one| one.id == finding);
            assert!(known, "{words}: {} has no {finding}", question.id);
            seen += 1;
        }
    }
    assert!(seen >= 10);
}

#[test]
fn who_asks_for_a_quantity_gets_the_check_first() {
    for (words, check) in [
        ("how long do I wait for the capacitors", "discharge-wait"),
        ("what size of braking resistor do I need", "brake-resistor"),
    ] {
        let found = find(words);
        let first = found.hits.first().expect("a hit");
        assert_eq!(first.kind, HitKind::Check, "{words}: {:?}", found.hits);
        assert!(first.id.starts_with(check), "{words}: {}", first.id);
    }
    // A trouble is no question for a quantity.
    let found = find("brake resistor too hot");
    assert_eq!(found.hits[0].kind, HitKind::Class);
}

#[test]
fn slips_of_every_kind_are_corrected_and_codes_are_not() {
    for (typed, read) in [
        ("ovrevoltage", "overvoltage"),
        ("overvoltge", "overvoltage"),
        ("overvolltage", "overvoltage"),
        ("overvoltahe", "overvoltage"),
        ("decelaration", "deceleration"),
    ] {
        let corrected = find(&format!("{typed} on the drive")).understood.corrected;
        assert_eq!(corrected, [(typed.to_owned(), read.to_owned())]);
    }
    for code in ["OCX", "UVF", "0x3211"] {
        assert!(find(code).understood.corrected.is_empty(), "{code}");
    }
}

#[test]
fn hits_say_why() {
    let found = find("trips when it slows down, bus volts high");
    assert_eq!(found.hits[0].id, "dc-overvoltage-decelerating");
    let why = found.hits[0].why.join("; ");
    assert!(why.contains("\"slows down\" → while slowing down"), "{why}");
    assert!(why.contains("\"bus volts high\" ≈ overvoltage"), "{why}");
}

#[test]
fn causes_are_found_behind_the_classes() {
    let found = find("brake resistor open");
    let cause = found
        .hits
        .iter()
        .find(|hit| hit.kind == HitKind::Cause)
        .expect("a cause");
    assert_eq!(cause.id, "brake-resistor-open");
    assert_eq!(cause.class.as_deref(), Some("brake-chopper-or-resistor"));
    let kinds: Vec<HitKind> = found.hits.iter().map(|hit| hit.kind).collect();
    assert!(
        kinds.is_sorted_by_key(|kind| *kind != HitKind::Class),
        "{kinds:?}"
    );
}

/// A plant's own class, with causes that are built in.
#[test]
fn a_plants_own_class_is_found_as_well() {
    let phrases = [
        "capper at Tarn Hollow stops",
        "capper head stuck",
        "capper jams on crooked caps",
        "caps pile up",
        "cap chute empty and capper waits",
        "capper torque too high",
        "capper drops bottles",
        "capper stops after lunch",
        "line two capper again",
        "capping head will not come down",
    ];
    let yaml = format!(
        "title: Capper of the bottling line stops\nkind: behaviour\nmeaning: The capper stops the line.\n\
         first_look: Look through the guard at the cap chute.\nphrases:\n{}\
         causes:\n  often: [mechanically-blocked, load-step]\n  sometimes: [load-heavier-than-planned, \
         motor-bearing-failing]\ncoding: {{ mode: UST, mechanism: \"1.6\" }}\n",
        phrases.map(|phrase| format!("  - {phrase}\n")).concat()
    );
    let file = SourceFile {
        name: "classes/capper-stops.yaml".to_owned(),
        text: yaml,
    };
    let library = builtin::knowledge().expect("the knowledge opens");
    let overlay = knowledge::load(&[file], Some(&library.as_loaded()), &BuiltInChecks);
    let overlay = overlay.unwrap_or_else(|problems| panic!("{}", problems[0]));
    let library = library.with_overlay(overlay);
    let searcher = Searcher::over(&library, &BuiltInChecks).expect("the index can be built");
    let found = searcher
        .find("caper head stuck agian", 5)
        .expect("the index opens");
    assert_eq!(found.hits[0].id, "capper-stops");
    assert_eq!(
        searcher
            .find("OV when slowing down", 5)
            .expect("the index opens")
            .hits[0]
            .id,
        "dc-overvoltage-decelerating"
    );
}

/// What other machines and times do is not taken for the start of this one.
#[test]
fn the_start_of_another_machine_is_no_moment() {
    for (words, moment) in [
        ("trips when the other drive starts", None),
        ("trips before start", None),
        ("overvoltage at night", None),
        ("trips 10 min after start when hot", Some("steady")),
        ("motor overload 25 minutes after start", Some("steady")),
        ("Überspannung beim Abfahren", Some("slowing")),
        ("overcurrent on start", Some("start")),
    ] {
        assert_eq!(find(words).understood.moment.as_deref(), moment, "{words}");
    }
}

/// Who asks how to get round a protection is told that nobody does, whatever else is found.
#[test]
fn a_protection_is_never_bridged() {
    for words in [
        "how do i bypass the safe torque off",
        "can I bridge the thermistor",
        "can I just keep resetting it",
    ] {
        let caution = find(words).caution;
        let never = caution.is_some_and(|caution| caution.starts_with("Never bridge"));
        assert!(never, "{words}: {caution:?}");
    }
    assert_eq!(find("bypass contactor does not pull in").caution, None);
}

/// The wait before a drive is opened is the first answer, in every language of the lists.
#[test]
fn the_wait_comes_first() {
    for words in [
        "how long do I wait for the capacitors",
        "when is it safe to touch",
        "Kondensatoren wie lange warten",
        "combien de temps attendre les condensateurs",
        "cuánto tiempo esperar condensadores",
        "quanto tempo aspettare i condensatori",
        "quanto tempo esperar os capacitores",
    ] {
        let found = find(words);
        let first = found.hits.first().map(|hit| hit.id.as_str());
        assert_eq!(first, Some("discharge-wait"), "{words}");
    }
}

#[test]
fn short_forms_letters_with_dots_and_degrees_are_read() {
    for (words, class) in [
        ("mtr brgs noisy", "motor-noise-or-vibration"),
        ("O.C. on accel", "overcurrent-accelerating"),
        ("no display, dead", "no-display-dead-drive"),
        (
            "fault memory shows overcurrent at start",
            "overcurrent-at-start",
        ),
        ("lost L2", "supply-phase-loss"),
        ("windings 3.1 3.1 OL ohm", "motor-winding-failure"),
    ] {
        let found = find(words);
        let first = found.hits.first().map(|hit| hit.id.as_str());
        assert_eq!(first, Some(class), "{words}");
    }
    let why = &find("mtr brgs noisy").hits[0].why;
    assert!(
        why.iter().any(|reason| reason == "\"brgs\" ≈ bearings"),
        "{why:?}"
    );
    let readings = find("bus volts 820, heatsink 95°C").understood.readings;
    let seen: Vec<&str> = readings.iter().map(|one| one.typed.as_str()).collect();
    assert_eq!(seen, ["820", "95°C"]);
    assert_eq!(readings[0].of.as_deref(), Some("bus"));
}
