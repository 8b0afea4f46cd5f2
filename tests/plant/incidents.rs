//! The log as its callers use it: what goes in comes out, revisions, counts and search.

use jiff::{Timestamp, tz::TimeZone};
use proptest::prelude::*;
use tempfile::TempDir;
use whytrip::plant::{
    Birth, Drive, DriveEntry, Entry, Filter, Incident, SqliteStore, Store, StoreError, Which, Whose,
};

fn now() -> Timestamp {
    "2026-11-25T08:00:00Z".parse().unwrap()
}

fn new_log() -> (TempDir, SqliteStore) {
    let folder = TempDir::new().unwrap();
    let store = SqliteStore::open(&folder.path().join("log.db"), now()).unwrap();
    (folder, store)
}

fn incident(json: &str) -> Incident {
    let entry: Entry = serde_json::from_str(json).unwrap();
    Incident::from_entry(&Birth::at(now(), TimeZone::UTC), entry).unwrap()
}

/// Adds an incident and gives its number.
fn add(store: &mut SqliteStore, json: &str) -> u32 {
    store.add_incident(&incident(json)).unwrap().number
}

fn number(number: u32) -> Which {
    Which::Number(number)
}

const WHOLE: &str = r#"{
    "occurred_at": "2026-11-20 02:10", "drive": "filler-2", "class": "dc-overvoltage-decelerating",
    "words": "trips when it slows down,\nbus volts high", "display": "OV", "moment": "slowing",
    "readings": [{"what": "bus_voltage", "value": "566 V"}, {"what": "line", "value": "0,4 kV"}],
    "walk": "trip-moment=slowing;bus-at-rest=566 V", "cause": "decel-ramp-too-short",
    "confirmed_by": "proved-by-run", "done": "ramp from 3 s to 12 s", "parts": "none",
    "proof": "five stops at full load", "downtime_minutes": 40, "labour_minutes": 25, "who": "TH",
    "notes": "ünïcödé ≤ Ω", "attachments": ["photos/filler.jpg"],
    "coding": {"mode": "UST", "mechanism": "4.4", "cause": "3.2", "activity": "4"}
}"#;

#[test]
fn every_field_comes_back_from_the_disk() {
    let (folder, mut store) = new_log();
    let whole = incident(WHOLE);
    let bare = incident(r#"{"class": "ground-fault"}"#);
    let added = store.add_incidents(&[whole.clone(), bare.clone()]).unwrap();
    assert_eq!(
        added
            .iter()
            .map(|added| (added.number, added.new))
            .collect::<Vec<_>>(),
        [(1, true), (2, true)]
    );
    drop(store);

    let store = SqliteStore::open_existing(&folder.path().join("log.db"), now())
        .unwrap()
        .unwrap();
    assert_eq!(store.incident(&number(1)).unwrap().incident, whole);
    assert_eq!(store.incident(&number(2)).unwrap().incident, bare);
    assert_eq!(store.verify().unwrap().incidents, 2);
}

#[test]
fn an_incident_is_found_by_number_id_and_beginning_of_its_id() {
    let (_folder, mut store) = new_log();
    let first = incident(r#"{"words": "a"}"#);
    store.add_incident(&first).unwrap();
    let id = first.id.to_string();
    for typed in ["1", "#1", &id, &id.to_lowercase(), &id[..25]] {
        assert_eq!(
            store.incident(&typed.parse().unwrap()).unwrap().number,
            1,
            "{typed}"
        );
    }
    // Both ids begin with the same ten characters, those of the time.
    add(&mut store, r#"{"words": "b"}"#);
    let error = store.incident(&id[..10].parse().unwrap()).unwrap_err();
    assert!(
        matches!(&error, StoreError::Ambiguous { numbers, .. } if numbers.len() == 2),
        "{error}"
    );
    for typed in ["3", "00000000"] {
        let error = store.incident(&typed.parse().unwrap()).unwrap_err();
        assert!(matches!(error, StoreError::NotFound { .. }), "{error}");
    }
}

#[test]
fn adding_the_same_again_adds_nothing_and_a_differing_one_undoes_the_whole_import() {
    let (_folder, mut store) = new_log();
    let first = incident(WHOLE);
    store.add_incident(&first).unwrap();
    assert!(!store.add_incident(&first).unwrap().new);

    let mut record = first.into_record();
    record.done = "something else".to_owned();
    let differing = Incident::read_back(record).unwrap();
    let error = store
        .add_incidents(&[incident(r#"{"words": "new"}"#), differing])
        .unwrap_err();
    assert!(
        matches!(error, StoreError::Differs { number: 1, .. }),
        "{error}"
    );
    assert_eq!(store.incidents(&Filter::default()).unwrap().len(), 1);
    assert_eq!(store.verify().unwrap().revisions, 1);
}

#[test]
fn an_amendment_is_read_and_the_earlier_revision_stays() {
    let (_folder, mut store) = new_log();
    add(&mut store, WHOLE);
    let first = store.incident(&number(1)).unwrap().incident;
    let mut record = first.clone().into_record();
    record.done = "choke fitted".to_owned();
    record.drive = Some("filler-3".to_owned());
    let second = first.amended(now(), record).unwrap();
    assert_eq!(store.amend_incident(&second).unwrap(), 1);

    assert_eq!(store.incident(&number(1)).unwrap().incident, second);
    assert_eq!(
        store.revisions(&number(1)).unwrap(),
        [first.clone(), second]
    );
    assert_eq!(store.search("choke", 5).unwrap().len(), 1);
    assert_eq!(
        store.search("ramp", 5).unwrap()[0].matched,
        ["ramp"],
        "the cause's id still has it"
    );
    assert_eq!(
        store.search("stops at", 5).unwrap(),
        [],
        "proof isn't searched"
    );
    let of_drive = |drive: &str| Filter {
        drive: Some(drive.to_owned()),
        ..Filter::default()
    };
    assert_eq!(store.incidents(&of_drive("filler-2")).unwrap().len(), 0);
    assert_eq!(store.incidents(&of_drive("Filler-3")).unwrap().len(), 1);

    // Somebody else still looks at the first revision.
    let late = first.amended(now(), first.clone().into_record()).unwrap();
    let error = store.amend_incident(&late).unwrap_err();
    assert!(
        matches!(
            error,
            StoreError::Outdated {
                number: 1,
                latest: 2
            }
        ),
        "{error}"
    );
    assert_eq!(store.verify().unwrap().revisions, 2);
}

#[test]
fn what_is_marked_wrong_stays_but_is_not_listed_counted_or_found() {
    let (_folder, mut store) = new_log();
    add(&mut store, WHOLE);
    let wrong = store
        .mark_wrong(&number(1), "it was the other filler", now())
        .unwrap();
    assert_eq!(wrong.incident.revision, 2);
    assert_eq!(store.incidents(&Filter::default()).unwrap(), []);
    assert_eq!(
        store
            .incidents(&Filter {
                with_wrong: true,
                ..Filter::default()
            })
            .unwrap(),
        [wrong]
    );
    assert_eq!(store.search("bus volts", 5).unwrap(), []);
    assert_eq!(store.counts(Whose::All).unwrap().iter().count(), 0);
    assert_eq!(store.verify().unwrap().incidents, 1);

    // Taken back, it is there again.
    let latest = store.incident(&number(1)).unwrap().incident;
    let mut record = latest.clone().into_record();
    record.wrong = None;
    store
        .amend_incident(&latest.amended(now(), record).unwrap())
        .unwrap();
    assert_eq!(store.search("bus volts", 5).unwrap().len(), 1);
    assert_eq!(store.verify().unwrap().revisions, 3);
}

#[test]
fn lists_are_newest_first_and_filtered() {
    let (_folder, mut store) = new_log();
    for (day, class, drive) in [("03", "a", "x"), ("01", "b", "x"), ("02", "a", "y")] {
        add(
            &mut store,
            &format!(
                r#"{{"occurred_at": "2026-11-{day} 10:00", "class": "{class}", "drive": "{drive}"}}"#
            ),
        );
    }
    let numbers = |filter: Filter| -> Vec<u32> {
        store
            .incidents(&filter)
            .unwrap()
            .iter()
            .map(|logged| logged.number)
            .collect()
    };
    assert_eq!(numbers(Filter::default()), [1, 3, 2]);
    assert_eq!(
        numbers(Filter {
            class: Some("a".to_owned()),
            ..Filter::default()
        }),
        [1, 3]
    );
    assert_eq!(
        numbers(Filter {
            drive: Some("x".to_owned()),
            limit: 1,
            ..Filter::default()
        }),
        [1]
    );
    let since = Some("2026-11-02T10:00:00Z".parse().unwrap());
    assert_eq!(
        numbers(Filter {
            since,
            ..Filter::default()
        }),
        [1, 3]
    );
    assert_eq!(
        numbers(Filter {
            cause: Some("a".to_owned()),
            ..Filter::default()
        }),
        [0; 0]
    );
}

#[test]
fn counts_weigh_how_a_cause_was_confirmed() {
    let (_folder, mut store) = new_log();
    for (drive, confirmed_by) in [
        ("x", "measured"),
        ("x", "proved-by-run"),
        ("X", "exchanged"),
        ("y", "presumed"),
    ] {
        add(
            &mut store,
            &format!(
                r#"{{"class": "ground-fault", "drive": "{drive}", "cause": "wet-motor", "confirmed_by": "{confirmed_by}"}}"#
            ),
        );
    }
    add(
        &mut store,
        r#"{"class": "ground-fault", "confirmed_by": "not-found"}"#,
    );
    add(
        &mut store,
        r#"{"class": "ground-fault", "cause": "cut-cable", "confirmed_by": "exchanged"}"#,
    );
    add(
        &mut store,
        r#"{"class": "ground-fault", "cause_note": "rat", "confirmed_by": "measured"}"#,
    );

    // Sums of 1, 1, 0.7 and 0.3 by hand.
    let of = |whose, cause| store.counts(whose).unwrap().of("ground-fault", cause);
    assert!((of(Whose::All, "wet-motor") - 3.0).abs() < 1e-12);
    assert!((of(Whose::Drive("x"), "wet-motor") - 2.7).abs() < 1e-12);
    assert!((of(Whose::AllBut("x"), "wet-motor") - 0.3).abs() < 1e-12);
    assert!((of(Whose::AllBut("x"), "cut-cable") - 0.7).abs() < 1e-12);
    assert_eq!(
        store
            .counts(Whose::All)
            .unwrap()
            .causes("ground-fault")
            .unwrap()
            .len(),
        2
    );
    assert_eq!(of(Whose::All, "unknown"), 0.0);
}

#[test]
fn search_ranks_by_words_then_by_age() {
    let (_folder, mut store) = new_log();
    for (day, words) in [
        ("01", "pump trips when slowing down, bus volts high"),
        ("02", "pump hums"),
        ("03", "fan trips at power up"),
        ("04", "pump trips on starting"),
        ("05", "Überspannung beim Bremsen der Füllpumpe"),
    ] {
        add(
            &mut store,
            &format!(r#"{{"occurred_at": "2026-11-{day} 10:00", "words": "{words}"}}"#),
        );
    }
    let found = |query: &str| -> Vec<u32> {
        store
            .search(query, 10)
            .unwrap()
            .iter()
            .map(|found| found.logged.number)
            .collect()
    };
    assert_eq!(
        found("bus voltage high when it slows")[0],
        1,
        "inflected words are met by their stems"
    );
    assert_eq!(found("pump"), [4, 2, 1], "the newest of equals first");
    assert_eq!(found("uberspannung"), [5], "with or without diacritics");
    assert_eq!(found("startimg"), [4], "a slip in the ending");
    assert_eq!(found("gearbox"), [0; 0]);
    assert_eq!(found("???"), [0; 0]);
    assert_eq!(
        found(" \n"),
        [5, 4, 3, 2, 1],
        "the newest, if nothing is asked"
    );
    let best = &store.search("pump gearbox", 1).unwrap()[0];
    assert_eq!(best.matched, ["pump"]);
    assert!(best.score > 0.0 && best.score < 1.0, "{}", best.score);
}

#[test]
fn seldom_words_reach_behind_the_newest_five_hundred() {
    let (_folder, mut store) = new_log();
    let mut incidents = vec![incident(r#"{"words": "conveyor trips, coupling torn"}"#)];
    incidents.extend((0..600).map(|_| incident(r#"{"words": "conveyor trips again"}"#)));
    store.add_incidents(&incidents).unwrap();
    assert_eq!(
        store.search("conveyor trips coupling", 3).unwrap()[0]
            .logged
            .number,
        1
    );
}

#[test]
fn a_drive_is_entered_once_and_its_changes_are_kept() {
    let (folder, mut store) = new_log();
    let drive = |name: &str| -> Drive {
        let json = format!(
            r#"{{"id": "FC-101", "name": "{name}", "place": "hall 2", "duty": "pump", "model": "small blue one",
                "nameplate": {{"supply_voltage": "400 V", "motor_poles": 4}}, "notes": "a\nb"}}"#
        );
        Drive::from_entry(serde_json::from_str::<DriveEntry>(&json).unwrap()).unwrap()
    };
    store.put_drive(&drive("Rinser"), now()).unwrap();
    store.put_drive(&drive("Rinser"), now()).unwrap();
    assert_eq!(store.drive("fc-101").unwrap(), Some(drive("Rinser")));
    store.put_drive(&drive("Rinser pump"), now()).unwrap();
    assert_eq!(store.drives().unwrap(), [drive("Rinser pump")]);
    assert_eq!(store.drive("FC-102").unwrap(), None);

    let mut spoilt = drive("Rinser");
    spoilt.id = "no good".to_owned();
    assert!(matches!(
        store.put_drive(&spoilt, now()),
        Err(StoreError::Field(_))
    ));
    let rows = rusqlite::Connection::open(folder.path().join("log.db"))
        .unwrap()
        .query_row("select count(*) from drive", [], |row| row.get::<_, u32>(0))
        .unwrap();
    assert_eq!(rows, 2);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    #[test]
    fn any_text_comes_back_without_control_characters(texts in prop::collection::vec(any::<String>(), 5)) {
        let (_folder, mut store) = new_log();
        let entry = Entry {
            class: Some("a".to_owned()), words: Some(texts[0].clone()), done: Some(texts[1].clone()),
            notes: Some(texts[2].clone()), cause_note: Some(texts[3].clone()), proof: Some(texts[4].clone()),
            ..Entry::default()
        };
        let incident = Incident::from_entry(&Birth::at(now(), TimeZone::UTC), entry).unwrap();
        store.add_incident(&incident).unwrap();
        let back = store.incident(&number(1)).unwrap().incident;
        for (text, back) in texts.iter().zip([&back.words, &back.done, &back.notes, &back.cause_note, &back.proof]) {
            let kept: String = text.chars().filter(|c| !c.is_control() || "\n\t".contains(*c)).collect();
            prop_assert_eq!(back, kept.trim_end());
        }
        store.verify().unwrap();
    }
}

#[test]
fn no_query_is_too_odd() {
    let (_folder, mut store) = new_log();
    add(&mut store, WHOLE);
    for query in [
        "\"",
        "\"bus\"",
        "a AND",
        "NEAR(a b)",
        "words:bus",
        "bus*",
        "^bus",
        "-bus",
        "(",
        "\0bus",
        "'; drop table",
        "{a b}:c",
    ] {
        store.search(query, 5).unwrap();
    }
    let mut runner = proptest::test_runner::TestRunner::default();
    let query = prop_oneof![
        any::<String>(),
        "[a-z\"*^():+-]{0,12}( (AND|OR|NOT|NEAR) [a-z\"*]{0,5})*"
    ];
    runner
        .run(&query, |query| {
            prop_assert!(store.search(&query, 5).is_ok());
            Ok(())
        })
        .unwrap();
}

#[test]
fn records_cannot_be_edited_in_place() {
    let (folder, mut store) = new_log();
    add(&mut store, WHOLE);
    let other = rusqlite::Connection::open(folder.path().join("log.db")).unwrap();
    for sql in ["update revision set done = 'x'", "delete from revision"] {
        let error = other.execute(sql, []).unwrap_err().to_string();
        assert!(error.contains("never"), "{error}");
    }
}
