//! The whole job over HTTP as a browser without script does it: search, walk, a mistake, the verdict,
//! the record, and the incident found again; and several people at once.

use std::collections::BTreeSet;
use std::thread;
use std::time::Duration;

use crate::common::Plant;
use crate::serving::{Browser, Serving, attributes, hidden, written};

/// The walk of a cable damaged to earth, up to the page with the remedy.
const WALK: &str = "/walk/ground-fault?drive=filler&trip-moment=start&wet-or-washed-down=dry";

/// Who searches from a drive's page and then in other words still searches for that drive.
#[test]
fn a_second_search_keeps_the_drive() {
    let plant = Plant::tarn_hollow();
    let serving = Serving::start(&plant.data(), &[]);
    let mut browser = serving.browser();
    let first = browser
        .get("/find?drive=filler&words=erth+fault")
        .ended(200)
        .says("About drive filler");
    assert_eq!(hidden(&first.body, "drive"), "filler");
    let ways = attributes(&first.body, "href");
    assert!(ways.iter().any(|way| way.contains("drive=filler")));
    let plain = browser.get("/find?words=erth+fault").ended(200);
    assert!(!plain.body.contains("name=\"drive\""), "{}", plain.body);
}

#[test]
fn search_walk_mistake_verdict_record_found_again() {
    let plant = Plant::tarn_hollow();
    let serving = Serving::start(&plant.data(), &[]);
    let mut browser = serving.browser();

    browser.get("/").ended(200).says("What does the drive show");
    let found = browser
        .get("/find?words=erth+fault+after+wash+down")
        .ended(200)
        .says("ground-fault");
    let ways = attributes(&found.body, "href");
    let walk = ways
        .iter()
        .find(|way| way.starts_with("/walk/ground-fault"));
    let first = browser.get(walk.expect("a way to the walk")).ended(200);
    assert!(
        first.body.contains("<h1 id=\"question\">"),
        "{}",
        first.body
    );

    // A check from the field of a reading: a mistake is told beside the field and what was typed stays.
    let wrong = browser
        .get("/check/bus-at-rest?supply_voltage=400&unit=V&bus_voltage=5x6&unit=V")
        .ended(200);
    assert!(wrong.body.contains("value=\"5x6\""), "{}", wrong.body);
    assert!(wrong.body.contains("role=\"alert\""), "{}", wrong.body);
    // 400 V · √2 = 565.7 V, the peak of a sine; the reading is within 1 %.
    browser
        .get("/check/bus-at-rest?supply_voltage=400&unit=V&bus_voltage=566&unit=V")
        .ended(200)
        .says("565.7 V")
        .says("Normal.");

    let verdict = browser
        .get(&format!(
            "{WALK}&motor-cable-insulation-damaged=confirmed&proof=passed"
        ))
        .ended(200)
        .says("Confirmed:");
    let (token, id) = (hidden(&verdict.body, "token"), hidden(&verdict.body, "id"));
    let walked = hidden(&verdict.body, "walk").replace("&amp;", "&");
    let form = [
        ("token", token),
        ("id", id),
        ("class", "ground-fault"),
        ("walk", &walked),
        ("proved", "yes"),
        ("drive", "filler"),
        (
            "words",
            "Zebra stripe marked cable rubbed through at the tray",
        ),
        ("who", "kq"),
    ];
    let saved = browser.post("/log", &form).ended(303);
    let place = saved.header("location").expect("where it is").to_owned();
    browser
        .get(&place)
        .ended(200)
        .says("Saved.")
        .says("proved-by-run")
        .says("Zebra stripe");

    // A second tap on the same form leads to the same incident.
    let again = browser.post("/log", &form).ended(303);
    assert_eq!(again.header("location"), Some(place.as_str()));
    let found = browser.get("/log?words=zebra+stripe").ended(200);
    assert_eq!(found.body.matches("/log/9\"").count(), 1, "{}", found.body);
    // The terminal finds it too: one log, one truth.
    plant.run("log find zebra stripe").says("9 ");
}

#[test]
fn a_mistaken_reading_is_asked_again_with_what_was_typed() {
    let plant = Plant::tarn_hollow();
    let serving = Serving::start(&plant.data(), &[]);
    let mut browser = serving.browser();
    let address = "/walk/dc-overvoltage-supply?supply_voltage=400V&bus-at-rest=";
    let page = browser
        .get(&format!("{address}about+500&may=live"))
        .ended(200);
    assert!(page.body.contains("Not taken:"), "{}", page.body);
    assert!(page.body.contains("value=\"about 500\""), "{}", page.body);
    // A comma is a point here, and the unit beside the field counts.
    let page = browser
        .get(&format!("{address}565,5&unit=V&may=live"))
        .ended(200);
    assert!(!page.body.contains("Not taken:"), "{}", page.body);
    assert!(page.body.contains("read 565,5 V"), "{}", page.body);
    // An odd one is doubted and can be kept.
    let odd = browser
        .get(&format!("{address}5655&unit=V&may=live"))
        .ended(200);
    assert!(
        odd.body.contains("That is odd:") || odd.body.contains("Not taken:"),
        "{}",
        odd.body
    );
}

#[test]
fn live_work_is_asked_for_before_its_first_question() {
    let plant = Plant::new();
    let serving = Serving::start(&plant.data(), &[]);
    let mut browser = serving.browser();
    let mut address = "/walk/dc-undervoltage-running".to_owned();
    let mut seen = BTreeSet::new();
    for _ in 0..60 {
        let page = browser.get(&address).ended(200).body;
        if page.contains("allowed to measure live?") {
            assert!(page.contains("class=\"caution\""), "{page}");
            seen.insert("live");
            address = next(&page, &address, "may", "live");
        } else if page.contains("may lock off, prove dead") {
            assert!(page.contains("class=\"caution\""), "{page}");
            seen.insert("isolated");
            address = next(&page, &address, "may", "isolated");
        } else if page.contains("That is it:") || page.contains("action=\"/log\"") {
            break;
        } else {
            // Live pages come only after the permission.
            if page.contains("Door open and powered") {
                assert!(address.contains("may=live"), "{address}");
            }
            if page.contains("Locked off and proved dead") {
                assert!(address.contains("may=isolated"), "{address}");
            }
            let key = button(&page);
            address = next(&page, &address, &key.0, &key.1);
        }
    }
    assert!(seen.contains("live"), "the walk never came to a live step");
}

/// The last answer of a page, which is the most evasive one.
fn button(page: &str) -> (String, String) {
    let (_, last) = page
        .rsplit_once("<button class=\"answer\" type=\"submit\" name=\"")
        .unwrap_or_else(|| panic!("no answer in:\n{page}"));
    let name = last.split('"').next().unwrap_or("");
    (name.to_owned(), attributes(last, "value")[0].clone())
}

fn next(_: &str, address: &str, key: &str, value: &str) -> String {
    let join = if address.contains('?') { '&' } else { '?' };
    format!("{address}{join}{key}={value}")
}

#[test]
fn two_technicians_record_at_once_and_nothing_is_lost_or_doubled() {
    const EACH: usize = 12;
    let plant = Plant::tarn_hollow();
    let serving = Serving::start(&plant.data(), &[]);
    let people: Vec<_> = ["one", "two", "three", "four"]
        .into_iter()
        .map(|who| {
            let mut browser = serving.browser();
            thread::spawn(move || {
                (0..EACH)
                    .map(|count| record(&mut browser, &format!("{who} wrote {count}")))
                    .collect::<Vec<_>>()
            })
        })
        .collect();
    let places: Vec<String> = people
        .into_iter()
        .flat_map(|person| person.join().expect("no panic"))
        .collect();
    let distinct: BTreeSet<&String> = places.iter().collect();
    assert_eq!(distinct.len(), 4 * EACH);
    assert!(serving.stop().success());
    plant
        .run("log list --limit 1000 --json")
        .says("three wrote 11");
    plant.run("log verify");
}

/// Records an incident, tapping twice, and says where it is.
fn record(browser: &mut Browser, words: &str) -> String {
    let page = browser.get("/log/new").ended(200).body;
    let form = form(&page, words);
    let mut other = browser.clone();
    let answers = thread::scope(|scope| {
        let tap = scope.spawn(|| other.post("/log", &form).ended(303));
        let own = browser.post("/log", &form).ended(303);
        [own, tap.join().expect("no panic")]
    });
    let [one, two] = answers.map(|answer| answer.header("location").map(str::to_owned));
    assert_eq!(one, two);
    one.expect("where it is")
}

fn form<'p>(page: &'p str, words: &'p str) -> [(&'static str, &'p str); 3] {
    [
        ("token", hidden(page, "token")),
        ("id", hidden(page, "id")),
        ("words", words),
    ]
}

#[test]
fn a_server_that_stops_has_kept_what_it_acknowledged() {
    let plant = Plant::tarn_hollow();
    let serving = Serving::start(&plant.data(), &[]);
    let mut browser = serving.browser();
    let writer = thread::spawn(move || {
        for kept in 0.. {
            let page = browser.try_ask("GET", "/log/new", &[], "");
            let saved = page.and_then(|page| {
                let form = written(&form(&page.body, "kept before the stop"));
                browser.try_ask("POST", "/log", &[], &form)
            });
            match saved {
                Ok(answer) if answer.status == 303 => {}
                _ => return kept,
            }
        }
        0
    });
    thread::sleep(Duration::from_millis(700));
    assert!(serving.stop().success());
    let kept: usize = writer.join().expect("no panic");
    assert!(kept > 0, "nothing was recorded in time");
    let listed = plant.run("log list --limit 10000 --json");
    let found = listed.out.matches("kept before the stop").count();
    assert!(found >= kept, "{found} of {kept}");
    plant.run("log verify");
}
