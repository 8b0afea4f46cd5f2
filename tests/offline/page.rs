//! What stands in the page, script or no script; and what the command does with odd wishes.

use std::collections::BTreeSet;

use whytrip::builtin;
use whytrip::checks;
use whytrip::knowledge::Library;

use crate::common::{Plant, root};
use crate::exported;

/// Largest page that is still handed around without a thought (common practice, no source).
const LARGEST: usize = 3_000_000;

fn library() -> Library {
    builtin::knowledge().expect("the built-in knowledge")
}

/// What a reader without a script gets: the page up to the script's lists.
fn readable() -> &'static str {
    let text = &exported().text;
    text.split("<script").next().expect("a page")
}

/// A text as it stands in the page.
fn shown(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
}

/// The item with this id, from its mark to its end.
fn item(id: &str) -> &'static str {
    let mark = format!("<details id=\"{id}\">");
    let start = readable().find(&mark).unwrap_or_else(|| panic!("no {id}"));
    let rest = &readable()[start..];
    let mut depth = 0;
    for (at, _) in rest.match_indices("details") {
        match rest.as_bytes()[at - 1] {
            b'<' => depth += 1,
            b'/' => depth -= 1,
            _ => {}
        }
        if depth == 0 {
            return &rest[..at];
        }
    }
    panic!("{id} has no end");
}

/// The values of an attribute.
fn values(attribute: &str) -> impl Iterator<Item = &'static str> {
    let mark = format!(" {attribute}=\"");
    let parts: Vec<&str> = readable().split(mark.as_str()).skip(1).collect();
    parts
        .into_iter()
        .map(|rest| rest.split('"').next().expect("an end"))
}

#[test]
fn it_is_small_and_asks_no_network() {
    let text = &exported().text;
    assert!(text.len() < LARGEST, "{} bytes", text.len());
    let lower = text.to_lowercase();
    for outside in [
        "http://", "https://", " src=", "url(", "@import", "<link", "<iframe", "<img",
    ] {
        assert!(!lower.contains(outside), "{outside}");
    }
    assert!(text.contains("default-src 'none'") && !text.contains("unsafe"));
    assert!(values("href").all(|address| address.starts_with('#')));
    assert!(values("style").next().is_none() && values("onclick").next().is_none());
}

#[test]
fn every_link_leads_somewhere_and_every_place_has_one_name() {
    let places: Vec<&str> = values("id").collect();
    let names: BTreeSet<&str> = places.iter().copied().collect();
    assert_eq!(names.len(), places.len(), "an id stands twice");
    let lost: BTreeSet<&str> = values("href")
        .filter(|to| !names.contains(&to[1..]))
        .collect();
    assert!(lost.is_empty(), "{lost:?}");
    assert!(values("aria-labelledby").all(|name| names.contains(name)));
    assert!(values("for").all(|name| names.contains(name)));
    assert!(values("href").count() > 3000);
}

#[test]
fn it_has_a_language_one_title_landmarks_and_labels() {
    let text = readable();
    assert!(text.contains("<html lang=\"en\">"));
    for once in ["<h1>", "<main ", "<header>", "class=\"skip\""] {
        assert_eq!(text.matches(once).count(), 1, "{once}");
    }
    assert_eq!(
        text.matches("<input").count(),
        text.matches("<label for=").count()
    );
}

#[test]
fn every_class_is_whole() {
    for class in library().classes() {
        let item = item(&class.id);
        assert!(item.contains(&shown(&class.title)));
        assert!(item.contains(&shown(&class.meaning)), "{}", class.id);
        assert!(item.contains(&shown(&class.first_look)), "{}", class.id);
        assert!(item.contains(&format!(
            "<details class=\"part\" id=\"{}.tree\">",
            class.id
        )));
        assert!(
            item.contains("Questions that tell these causes apart"),
            "{}",
            class.id
        );
        for cause in &class.causes {
            assert!(
                item.contains(&format!("href=\"#c.{}\"", cause.cause)),
                "{}",
                class.id
            );
        }
        for phrase in class.phrases.iter().take(8) {
            assert!(item.contains(&shown(phrase)), "{}", class.id);
        }
        let tree = item.split(".tree\">").nth(1).expect("a tree");
        assert!(
            tree.contains("<h6 id=\"t") || class.causes.len() < 2,
            "{}",
            class.id
        );
    }
}

#[test]
fn every_caution_stands_in_full_before_its_step() {
    let library = library();
    for question in library.questions() {
        let item = item(&format!("q.{}", question.id));
        let step = item.find(&shown(&question.how)).expect("how it is done");
        for id in &question.cautions {
            let caution = library.caution(id).expect("a caution");
            let at = item.find(&shown(&caution.text));
            assert!(at.is_some_and(|at| at < step), "{}: {id}", question.id);
        }
    }
    for cause in library.causes() {
        let item = item(&format!("c.{}", cause.id));
        let step = item
            .find(&shown(&cause.confirm.how))
            .expect("how it is confirmed");
        for id in &cause.cautions {
            let caution = library.caution(id).expect("a caution");
            let at = item.find(&shown(&caution.text));
            assert!(at.is_some_and(|at| at < step), "{}: {id}", cause.id);
        }
    }
    for class in library.classes() {
        let item = item(&class.id);
        let meaning = item.find(&shown(&class.meaning)).expect("a meaning");
        for id in &class.cautions {
            let caution = library.caution(id).expect("a caution");
            assert!(
                item.find(&shown(&caution.text))
                    .is_some_and(|at| at < meaning)
            );
        }
    }
    for caution in library.cautions() {
        assert!(readable().contains(&shown(&caution.text)), "{}", caution.id);
    }
}

/// A tree names the cautions of each of its steps, and has every one of them in full in front: the
/// class's own above it, the others at its top.
#[test]
fn every_tree_has_the_cautions_of_its_steps_in_front() {
    let library = library();
    for class in library.classes() {
        let item = item(&class.id);
        let (above, tree) = item.split_once(".tree\">").expect("a tree");
        let tree = tree.split("</details>").next().expect("its end");
        let (top, steps) = tree.split_once("<h6").unwrap_or((tree, ""));
        for link in steps.split("href=\"#q.").skip(1) {
            let id = link.split('"').next().expect("an id");
            let question = library.question(id).expect("a question");
            for id in &question.cautions {
                let text = shown(&library.caution(id).expect("a caution").text);
                assert!(
                    above.contains(&text) || top.contains(&text),
                    "{}: {id}",
                    class.id
                );
                let named = id.replace('-', " ");
                let step = link.split("<h6").next().expect("a step");
                assert!(
                    step.contains(&named),
                    "{}: {} lacks {named}",
                    class.id,
                    question.id
                );
            }
        }
    }
}

#[test]
fn every_cause_question_check_and_source_is_there() {
    let library = library();
    for cause in library.causes() {
        let item = item(&format!("c.{}", cause.id));
        for text in [&cause.what, &cause.put_right, &cause.prove] {
            assert!(item.contains(&shown(text)), "{}", cause.id);
        }
    }
    for question in library.questions() {
        let item = item(&format!("q.{}", question.id));
        assert!(item.contains(&shown(&question.tells)), "{}", question.id);
        for finding in &question.findings {
            assert!(item.contains(&shown(&finding.text)), "{}", question.id);
        }
    }
    for check in checks::all() {
        let item = item(&format!("check.{}", check.name));
        assert!(item.contains(&shown(check.formula)), "{}", check.name);
        for source in check.sources {
            assert!(item.contains(&shown(source)), "{}: {source}", check.name);
        }
        for band in check.bands {
            assert!(item.contains(&shown(band.means)), "{}", check.name);
        }
    }
    for source in library.references() {
        assert!(readable().contains(&format!("id=\"source.{}\"", source.id)));
    }
    for code in library.error_codes() {
        assert!(readable().contains(&format!("<b>{}h</b>", code.code)));
    }
}

#[test]
fn words_lead_to_their_classes() {
    let words = readable().split("id=\"words\"").nth(1).expect("the words");
    let words = words.split("</section>").next().expect("the words");
    for (word, class) in [
        ("OV", "dc-overvoltage-decelerating"),
        ("overvoltage", "dc-overvoltage"),
    ] {
        let entry = words.split(&format!("<b>{word}</b>")).nth(1);
        let entry = entry.unwrap_or_else(|| panic!("no {word}"));
        let entry = entry.split("<p>").next().expect("an entry");
        assert!(
            entry.contains(&format!("href=\"#{class}")),
            "{word}: {entry}"
        );
    }
}

#[test]
fn a_plant_is_in_the_page_only_where_it_wants_to_be() {
    assert!(!readable().contains("centrifuge main drive") && !readable().contains("id=\"drives\""));
    assert!(!exported().text.contains("Tarn Hollow"));
    let plant = Plant::tarn_hollow();
    let overlay = root().join("tests/data/ten-minutes");
    let page = plant
        .call("export-page - --drives --knowledge")
        .arg(overlay)
        .run()
        .ended(0)
        .out;
    assert!(page.contains("id=\"pump-loses-prime\"") && page.contains("id=\"drives\""));
    assert!(page.contains("motor rated power") && page.contains("What centrifuge should read"));
    // Of the log there is nothing: not even a drive's history.
    assert!(!page.contains("2025-"), "a date of the log");
}

#[test]
fn an_odd_wish_is_answered_with_a_next_step() {
    let plant = Plant::new();
    let there = plant.file("there.html", "mine");
    let refused = plant.call("export-page").arg(&there).run().ended(2);
    assert!(refused.err.contains("is there already") && refused.err.contains("--force"));
    assert_eq!(std::fs::read_to_string(&there).expect("a file"), "mine");
    let nowhere = plant
        .file("a", "")
        .with_file_name("no-folder")
        .join("page.html");
    let refused = plant.call("export-page").arg(&nowhere).run().ended(2);
    assert!(
        refused.err.contains("can't be written") && refused.err.contains("next:"),
        "{}",
        refused.err
    );
    let refused = plant.call("export-page - --drives").run().ended(2);
    assert!(
        refused.err.contains("no drives") && refused.err.contains("drive add"),
        "{}",
        refused.err
    );
    let refused = plant.call("export-page - --knowledge nowhere").run();
    assert!(refused.err.contains("nowhere"), "{}", refused.err);
    plant.call("export-page").run().ended(2);
}

#[test]
fn force_puts_the_new_page_in_place_of_the_old_one() {
    let plant = Plant::new();
    let there = plant.file("there.html", "old");
    plant.call("export-page --force").arg(&there).run().ended(0);
    let page = std::fs::read_to_string(&there).expect("a page");
    assert!(page.ends_with("</html>\n"));
    let left = std::fs::read_dir(there.parent().expect("a folder")).expect("a folder");
    let names: Vec<_> = left
        .map(|entry| entry.expect("an entry").file_name())
        .collect();
    assert!(
        !names
            .iter()
            .any(|name| name.to_string_lossy().ends_with(".part")),
        "{names:?}"
    );
}
