//! The whole job in a real browser: on a phone and on a desk, with script and without, light and dark:
//! search, walk, a mistaken reading, the verdict, the record, found again. Then the general checker of
//! accessibility, axe-core, over every kind of page (rules of WCAG 2.2 A and AA, and contrast 7:1, AAA).

use crate::browser::{Browser, DESK, PHONE, Reader};
use crate::common::Plant;
use crate::serving::Serving;
use serde_json::json;

/// More steps than any walk takes.
const MOST_STEPS: usize = 60;

#[test]
fn on_a_phone_with_script() {
    whole_job(PHONE);
}

#[test]
fn on_a_phone_without_script() {
    whole_job(Reader {
        script: false,
        dark: true,
        ..PHONE
    });
}

#[test]
fn on_a_desk_with_script() {
    whole_job(Reader { dark: true, ..DESK });
}

#[test]
fn on_a_desk_without_script() {
    whole_job(Reader {
        script: false,
        ..DESK
    });
}

fn whole_job(reader: Reader) {
    let Some(browser) = Browser::try_open(reader) else {
        return;
    };
    let plant = Plant::tarn_hollow();
    let serving = Serving::start(&plant.data(), &[]);
    let home = format!("http://{}", serving.address);

    browser.go(&home);
    browser.type_into("#words", "erth fault at start, motor cable wet");
    browser.follow("form.search button");
    assert!(browser.text("main").contains("Earth fault"));
    browser.follow("a.first");

    assert!(browser.address().contains("/walk/ground-fault"));
    assert!(browser.text("main").contains("Where we stand"));

    // A reading: a mistake is told beside the field and what was typed stays.
    let reading = "/walk/dc-overvoltage-supply?supply_voltage=400V&may=live&again=bus-at-rest";
    browser.go(&format!("{home}{reading}"));
    browser.type_into("#reading-0", "a lot");
    browser.follow("form.reading button");
    assert!(browser.text(".error").contains("Not taken"));
    assert_eq!(browser.value("#reading-0"), "a lot");
    // A comma is as good as a point, and the unit stands beside the field. The bus at rest is the peak
    // of the supply, 400 V times the square root of two.
    browser.replace("#reading-0", "565,5");
    browser.follow("form.reading button");
    let said = browser.text("[aria-labelledby='so-far']");
    assert!(said.contains("read 565,5 V"), "{said}");

    // On to the verdict.
    let mut walked = String::new();
    for _ in 0..MOST_STEPS {
        walked = browser.text("main");
        if browser.has("form[action='/log']") {
            break;
        }
        if browser.has("form.reading input[inputmode='decimal']") {
            // The example of the field is a reading that it takes.
            let hint = browser.text("#reading-0-hint");
            let example = hint.trim_start_matches("Such as ").split(' ').next();
            browser.replace("#reading-0", example.expect("an example"));
            browser.follow("form.reading button");
        } else {
            browser.follow("form.answers button");
        }
    }
    assert!(browser.has("form[action='/log']"), "no verdict:\n{walked}");

    browser.type_into("#words", "Otter warning label came off in the wash");
    browser.type_into("#who", "kq");
    browser.follow("form[action='/log'] button");
    assert!(browser.text(".done").contains("Saved."));
    let incident = browser.text("main");
    assert!(incident.contains("Otter warning label"), "{incident}");
    // Loading the page again saves nothing again: it was a redirect.
    let saved = browser.address();
    browser.go(&saved);
    browser.go(&format!("{home}/log?words=otter"));
    assert_eq!(
        browser.text("main").matches("DC-bus overvoltage").count(),
        1
    );
    assert!(!browser.is_wider_than_its_window(), "it scrolls sideways");
}

/// Every kind of page, with a walk in each of its states.
const PAGES: [&str; 17] = [
    "/",
    "/find?words=trips+when+slowing+down",
    "/find?words=a+cake+recipe",
    "/show",
    "/show/ground-fault",
    "/walk/ground-fault",
    "/walk/ground-fault?trip-moment=start&look=why",
    "/walk/dc-overvoltage-supply?supply_voltage=400V&may=live&bus-at-rest=many",
    "/walk/ground-fault?trip-moment=start&motor-cable-insulation-damaged=confirmed",
    "/walk/ground-fault?trip-moment=start&motor-cable-insulation-damaged=confirmed&proof=passed",
    "/check",
    "/check/bus-at-rest?supply_voltage=400&unit=V&bus_voltage=566&unit=V",
    "/drive/filler",
    "/log",
    "/log/1",
    "/log/new",
    "/decode?word=status+0237h",
];

/// What the checker is asked for.
const RULES: [&str; 7] = [
    "wcag2a",
    "wcag2aa",
    "wcag21a",
    "wcag21aa",
    "wcag22aa",
    "wcag2aaa",
    "best-practice",
];

#[test]
fn a_general_checker_finds_nothing_that_keeps_people_out() {
    let Some(checker) = crate::browser::accessibility_checker() else {
        return;
    };
    let plant = Plant::tarn_hollow();
    let serving = Serving::start(&plant.data(), &[]);
    for reader in [PHONE, Reader { dark: true, ..DESK }] {
        let Some(browser) = Browser::try_open(reader) else {
            return;
        };
        for page in PAGES {
            browser.go(&format!("http://{}{page}", serving.address));
            assert!(
                !browser.is_wider_than_its_window(),
                "{page} scrolls sideways"
            );
            // The checker stands in the script itself: the page's own policy allows none from a text.
            let look = format!(
                "{checker};\
                 const [rules, done] = arguments;\
                 axe.run(document, {{runOnly: rules}}).then(found => done(\
                   found.violations.map(one => one.id + ': ' + one.nodes.map(node => node.html).join(' ; '))));"
            );
            let found = browser.script_then(&look, vec![json!(RULES)]);
            assert_eq!(found, json!([]), "{page} as {reader:?}");
        }
    }
}

#[test]
fn keys_alone_are_enough_and_targets_are_big() {
    let Some(browser) = Browser::try_open(PHONE) else {
        return;
    };
    let plant = Plant::tarn_hollow();
    let serving = Serving::start(&plant.data(), &[]);
    for page in PAGES {
        browser.go(&format!("http://{}{page}", serving.address));
        // 48 px high for gloves (WCAG 2.2, 2.5.8 asks 24 px); what is written is 18 px large.
        let small = browser.script(
            "return [...document.querySelectorAll('main button, main .go, main input:not([type=hidden]):not([type=radio]), main select')]\
               .filter(one => one.checkVisibility() && one.getBoundingClientRect().height < 48)\
               .map(one => one.outerHTML.slice(0, 120));",
            vec![],
        );
        assert_eq!(small, json!([]), "{page}");
        let size = browser.script(
            "return parseFloat(getComputedStyle(document.querySelector('main p, main a, main label')).fontSize);",
            vec![],
        );
        assert!(size.as_f64() >= Some(18.0), "{page}: {size}");
    }
    // The first press of Tab shows the way past the navigation.
    browser.go(&format!("http://{}/walk/ground-fault", serving.address));
    browser.type_into("body", "\u{e004}");
    let first = browser.script("return document.activeElement.className;", vec![]);
    assert_eq!(first, json!("skip"));
    let outline = browser.script(
        "document.querySelector('.answer').focus(); return getComputedStyle(document.querySelector('.answer')).outlineStyle;",
        vec![],
    );
    assert!(outline.is_string());
}
