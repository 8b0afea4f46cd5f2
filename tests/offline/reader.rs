//! The page as its reader meets it: opened from disk, on a phone and at a desk, with scripts and without.

use serde_json::{Value, json};

use crate::browser::{Browser, DESK, PHONE, Reader};
use crate::described::{Score, rows};
use crate::exported;

fn opened(reader: Reader, place: &str) -> Option<Browser> {
    let browser = Browser::try_open(reader)?;
    browser.go_to_file(&exported().file, place);
    Some(browser)
}

#[test]
fn a_search_leads_to_the_class() {
    let Some(browser) = opened(PHONE, "") else {
        return;
    };
    browser.type_into(
        "[id='find.words']",
        "trips when it slos down, bus volts high\n",
    );
    let said = browser.text("[id='find.said']");
    assert!(said.contains("likeliest first"), "{said}");
    let found = browser.text("[id='find.found']");
    assert!(found.contains("\"slos\" read as \"slows\""), "{found}");
    browser.click("[id='find.found'] .links a");
    assert!(browser.shows("[id='dc-overvoltage-decelerating'] > p"));
    let asked = browser.script(
        "return performance.getEntriesByType('resource').length + document.cookie.length",
        Vec::new(),
    );
    assert_eq!(asked, json!(0), "the page asked for something");
}

#[test]
fn words_about_other_things_are_refused_with_what_would_help() {
    let Some(browser) = opened(PHONE, "") else {
        return;
    };
    browser.type_into("[id='find.words']", "the coffee machine is out of milk\n");
    let said = browser.text("[id='find.said']");
    assert!(
        said.contains("Nothing here matches") || said.contains("does not look like"),
        "{said}"
    );
    let links = "return document.querySelectorAll(\"[id='find.found'] a\").length";
    assert_eq!(browser.script(links, Vec::new()), json!(0));
}

#[test]
fn a_check_is_computed_with_comma_unit_and_verdict() {
    let Some(browser) = opened(PHONE, "#check.bus-at-rest") else {
        return;
    };
    browser.type_into("[id='bus-at-rest.supply_voltage']", "400");
    browser.type_into("[id='bus-at-rest.bus_voltage']", "0,566 kV\n");
    let result = browser.text("[id='check.bus-at-rest'] .result");
    // √2 · 400 V = 565.7 V (Mohan, Undeland, Robbins, Power Electronics, ch. 5).
    for part in [
        "565.7 V",
        "100.1 %",
        "Normal.",
        "[mohan-power-electronics]",
        "√2 × 400 V",
    ] {
        assert!(result.contains(part), "{part}: {result}");
    }
    browser.click("[id='check.bus-at-rest'] button[type=reset]");
    assert_eq!(browser.text("[id='check.bus-at-rest'] .result"), "");
    browser.type_into("[id='bus-at-rest.supply_voltage']", "400 A\n");
    let wrong = browser.text("[id='bus-at-rest.supply_voltage.wrong']");
    assert!(
        wrong.contains("is no unit of a voltage") && wrong.contains('V'),
        "{wrong}"
    );
}

#[test]
fn an_address_opens_its_place() {
    let Some(browser) = opened(DESK, "#ground-fault.tree") else {
        return;
    };
    assert!(browser.shows("[id='ground-fault.tree'] h6"));
    browser.go_to_file(&exported().file, "#c.decel-ramp-too-short");
    assert!(browser.shows("[id='c.decel-ramp-too-short'] > p"));
    assert!(
        browser
            .text("[id='c.decel-ramp-too-short']")
            .contains("DC-bus overvoltage while slowing down")
    );
}

/// Every form of the page, made at once.
const OPEN_ALL: &str = "for (const one of document.querySelectorAll('details')) one.open = true;";

/// WCAG 2.2: names of fields (1.3.1, 4.1.2), targets of at least 48 px that are apart by 8 px, as a
/// gloved finger needs them (2.5.8 asks for 24 px), no sideways scrolling at 320 px (1.4.10).
#[test]
fn fields_have_labels_and_targets_fit_a_glove() {
    let narrow = Reader {
        size: (320, 700),
        ..PHONE
    };
    let Some(browser) = opened(narrow, "") else {
        return;
    };
    browser.script(OPEN_ALL, Vec::new());
    // Opening is told to the forms a moment later.
    let waiting = "return document.querySelectorAll('form.sum').length";
    for _ in 0..600 {
        if browser.script(waiting, Vec::new()) == json!(whytrip::checks::all().count()) {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(100));
    }
    let found = browser.script(
        r#"
const bad = [];
const name = (one) => one.id || one.textContent.slice(0, 40) || one.outerHTML.slice(0, 80);
for (const field of document.querySelectorAll("input, select")) {
  const labelled = field.labels.length > 0 || field.hasAttribute("aria-label");
  if (!labelled) bad.push(`no label: ${name(field)}`);
}
for (const one of document.querySelectorAll("a:not(.skip), button, summary, select, input:not([type=radio]), label.choice")) {
  const { height, width } = one.getBoundingClientRect();
  if (height < 47.5 || width < 47.5) bad.push(`${width} x ${height}: ${name(one)}`);
}
const last = {};
for (const one of document.querySelectorAll(".links > li, label.choice, section > details")) {
  const before = one.previousElementSibling;
  if (!before || before.tagName !== one.tagName) continue;
  const gap = one.getBoundingClientRect().top - before.getBoundingClientRect().bottom;
  if (gap < 7.5) bad.push(`gap ${gap}: ${name(one)}`);
}
if (document.documentElement.scrollWidth > innerWidth) bad.push(`wide: ${document.documentElement.scrollWidth}`);
return [document.querySelectorAll("form.sum").length, bad.length, bad.slice(0, 20)];
"#,
        Vec::new(),
    );
    assert_eq!(found[0], json!(whytrip::checks::all().count()));
    assert_eq!(found[1], json!(0), "{found:#}");
}

/// Contrast of at least 7:1 (WCAG 2.2, 1.4.6), light and dark, by the formula of its definition of
/// relative luminance.
#[test]
fn every_text_has_contrast_by_day_and_by_night() {
    for dark in [false, true] {
        let Some(browser) = opened(Reader { dark, ..PHONE }, "#check.bus-at-rest") else {
            return;
        };
        browser.type_into("[id='find.words']", "ground fault\n");
        browser.script(OPEN_ALL, Vec::new());
        let found = browser.script(
            r#"
const channel = (c) => (c / 255 <= 0.04045 ? c / 255 / 12.92 : ((c / 255 + 0.055) / 1.055) ** 2.4);
const luminance = ([r, g, b]) => 0.2126 * channel(r) + 0.7152 * channel(g) + 0.0722 * channel(b);
const rgb = (text) => text.match(/[\d.]+/g).map(Number);
const back = (one) => {
  for (let at = one; at; at = at.parentElement) {
    const colour = rgb(getComputedStyle(at).backgroundColor);
    if (colour.length < 4 || colour[3] > 0) return colour;
  }
  return [255, 255, 255];
};
const bad = new Map();
let seen = 0;
for (const one of document.querySelectorAll("body *")) {
  if (!Array.from(one.childNodes).some((node) => node.nodeType === 3 && node.data.trim() !== "")) continue;
  if (["SCRIPT", "NOSCRIPT", "STYLE"].includes(one.tagName)) continue;
  seen += 1;
  const pair = [luminance(rgb(getComputedStyle(one).color)), luminance(back(one))].sort((a, b) => b - a);
  const contrast = (pair[0] + 0.05) / (pair[1] + 0.05);
  if (contrast < 7) bad.set(`${one.tagName}.${one.className}`, contrast);
}
const paper = luminance(back(document.body));
return [seen, Array.from(bad), paper];
"#,
            Vec::new(),
        );
        assert!(found[0].as_u64().is_some_and(|seen| seen > 10_000));
        assert_eq!(found[1], json!([]), "dark: {dark}");
        let paper = found[2].as_f64().expect("a luminance");
        assert_eq!(paper < 0.2, dark);
    }
}

#[test]
fn without_a_script_it_is_whole() {
    let Some(browser) = opened(
        Reader {
            script: false,
            ..PHONE
        },
        "",
    ) else {
        return;
    };
    assert!(!browser.shows("#find"));
    // By the keyboard, as everything must be reached (WCAG 2.2, 2.1.1).
    browser.type_into("[id='ground-fault'] > summary", "\n");
    assert!(browser.shows("[id='ground-fault'] > p"));
    // A place that an address leads to shows although nothing opened it.
    browser.go_to_file(&exported().file, "#c.decel-ramp-too-short");
    let seen =
        "return document.querySelector(\"[id='c.decel-ramp-too-short'] > p\").checkVisibility()";
    assert_eq!(browser.script(seen, Vec::new()), json!(true));
}

/// The page searches with the program's own lists, so it must find what the program finds: the rows
/// are those of `search_quality`, real descriptions, reworded.
#[test]
fn it_finds_as_well_as_the_program() {
    let library = whytrip::builtin::knowledge().expect("the knowledge");
    let searcher = whytrip::builtin::searcher(&library).expect("the index");
    let Some(browser) = opened(DESK, "") else {
        return;
    };
    browser.waits_for("whytrip");
    for text in [
        include_str!("../data/search/real.csv"),
        include_str!("../data/search/own.csv"),
    ] {
        let rows: Vec<_> = rows(text)
            .into_iter()
            .filter(|row| !row.classes.is_empty())
            .collect();
        let words: Vec<&str> = rows.iter().map(|row| row.query.as_str()).collect();
        let found = browser.script(
            "return arguments[0].map((words) => whytrip.search.find(words).classes.map((one) => one.id))",
            vec![json!(words)],
        );
        let (mut page, mut program) = (Score::default(), Score::default());
        for (row, found) in rows.iter().zip(found.as_array().expect("answers")) {
            let ids = found.as_array().expect("classes").iter();
            let ids: Vec<String> = ids.filter_map(Value::as_str).map(str::to_owned).collect();
            page.add(&ids, &row.classes);
            let hits = searcher
                .find(&row.query, 20)
                .expect("the index opens")
                .hits
                .into_iter();
            let hits = hits.filter(|hit| hit.kind == whytrip::search::HitKind::Class);
            program.add(&hits.map(|hit| hit.id).collect::<Vec<_>>(), &row.classes);
        }
        println!("{}\n{}", page.line("page"), program.line("program"));
        let first = |score: &Score| score.first / score.all;
        assert!(first(&page) >= first(&program) - 0.02);
    }
}
