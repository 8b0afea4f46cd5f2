//! `show`: every item of the knowledge reads well at both widths and is whole as JSON.

use crate::common::{Plant, control_characters, each, flat, has_keys, too_wide};
use whytrip::knowledge::Library;
use whytrip::{builtin, checks};

fn library() -> Library {
    builtin::knowledge().expect("built-in knowledge")
}

/// An id, a text that its page must show, and the ids of its cautions.
struct Item {
    id: String,
    title: String,
    cautions: Vec<String>,
}

/// Every class, cause, question, check, caution and source.
fn items(library: &Library) -> Vec<Item> {
    let item = |id: &str, title: &str, cautions: &[String]| Item {
        id: id.to_owned(),
        title: title.to_owned(),
        cautions: cautions.to_vec(),
    };
    let mut all = Vec::new();
    all.extend(
        library
            .classes()
            .map(|one| item(&one.id, &one.title, &one.cautions)),
    );
    all.extend(
        library
            .causes()
            .map(|one| item(&one.id, &one.name, &one.cautions)),
    );
    all.extend(
        library
            .questions()
            .map(|one| item(&one.id, &one.ask, &one.cautions)),
    );
    // Where a question or cause carries the name of a check, it is shown and leads to the check.
    all.extend(
        checks::all()
            .filter(|one| !is_shared(library, one.name))
            .map(|one| item(one.name, one.purpose, &[])),
    );
    all.extend(library.cautions().map(|one| {
        let itself = [one.id.clone()];
        item(&one.id, &one.signal, &itself)
    }));
    all.extend(
        library
            .references()
            .map(|one| item(&one.id, &one.title, &[])),
    );
    all
}

/// What is wrong with the page of every item at a width.
fn faults_at(width: usize) -> Vec<String> {
    let (plant, library) = (Plant::new(), library());
    let mut faults = Vec::new();
    for item in items(&library) {
        let run = plant
            .call("show --width")
            .arg(width.to_string())
            .arg(&item.id)
            .run()
            .ended(0);
        let mut fault = |what: String| faults.push(format!("{}: {what}", item.id));
        for line in too_wide(&run.out, width) {
            fault(format!("too wide: {line}"));
        }
        if !control_characters(&run.out).is_empty() {
            fault("control characters".to_owned());
        }
        let shown = flat(&run.out);
        if !shown.contains(&item.title) {
            fault(format!("does not show {:?}", item.title));
        }
        for id in &item.cautions {
            let caution = library.caution(id).expect("a caution");
            if !shown.contains(&format!("{}: {}", caution.signal, caution.text)) {
                fault(format!("does not show the caution {id}"));
            }
        }
    }
    faults
}

#[test]
fn every_item_reads_well_at_80_columns() {
    let faults = faults_at(80);
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn every_item_reads_well_at_45_columns() {
    let faults = faults_at(45);
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn every_item_is_whole_as_json() {
    let (plant, library) = (Plant::new(), library());
    for item in items(&library) {
        let run = plant.call("show --json").arg(&item.id).run().ended(0);
        let shown = run.json();
        let id = shown.get("id").or(shown.get("check"));
        assert_eq!(id.and_then(|id| id.as_str()), Some(item.id.as_str()));
        let cautions = match shown["kind"].as_str() {
            Some("caution") => vec![item.id.as_str()],
            Some("cause") => each(&shown["confirm"]["cautions"], "id"),
            Some("class" | "question") => each(&shown["cautions"], "id"),
            _ => Vec::new(),
        };
        assert_eq!(cautions, item.cautions, "{}", item.id);
    }
}

#[test]
fn a_class_comes_with_its_causes_questions_and_sources() {
    let class = Plant::new().run("show ground-fault --json").json();
    has_keys(
        &class,
        &[
            "id",
            "title",
            "meaning",
            "first_look",
            "phrases",
            "causes",
            "questions",
            "sources",
        ],
    );
    for cause in class["causes"].as_array().expect("causes") {
        has_keys(
            cause,
            &[
                "id",
                "name",
                "how_often",
                "what",
                "signs",
                "confirm",
                "put_right",
                "prove",
            ],
        );
        has_keys(&cause["confirm"], &["how", "access", "minutes", "cautions"]);
    }
    let questions = class["questions"].as_array().expect("questions");
    for question in questions {
        has_keys(
            question,
            &[
                "id", "ask", "how", "access", "minutes", "findings", "check", "inputs", "cautions",
            ],
        );
        assert!(
            question["findings"].as_array().expect("findings").len() >= 2,
            "{question}"
        );
    }
    let measuring = questions
        .iter()
        .find(|one| !one["check"].is_null())
        .expect("a measuring question");
    let source = measuring["limits_from"].as_str().expect("a source");
    assert!(
        each(&class["sources"], "id").contains(&source),
        "{source} is not listed"
    );
}

#[test]
fn a_dangerous_question_shows_its_cautions_before_how_it_is_done() {
    let run = Plant::new().run("show brake-resistor-resistance");
    let caution = run.out.find("DANGER: ").expect("a caution");
    let how = run.out.find("How: ").expect("how");
    assert!(caution < how, "{}", run.told());
}

#[test]
fn without_an_id_the_classes_are_listed() {
    let plant = Plant::new();
    let listed = plant.run("show --json").json();
    let wanted: Vec<String> = library().classes().map(|class| class.id.clone()).collect();
    assert_eq!(each(&listed["classes"], "id"), wanted);
    let text = plant.run("show");
    for id in wanted {
        assert!(text.out.contains(&id), "{id}: {}", text.told());
    }
}

#[test]
fn an_unknown_id_suggests_the_nearest() {
    let plant = Plant::new();
    plant
        .call("show grund-fault")
        .run()
        .ended(2)
        .warns("closest: ground-fault");
    plant
        .call("show bus-at-rset")
        .run()
        .ended(2)
        .warns("closest: bus-at-rest");
    plant
        .call("show xyzzy")
        .run()
        .ended(2)
        .warns("whytrip show");
}

/// Whether a check has its name in common with a question or cause.
fn is_shared(library: &Library, name: &str) -> bool {
    library.question(name).is_some() || library.cause(name).is_some()
}

#[test]
fn a_question_or_cause_with_the_name_of_a_check_leads_to_the_check() {
    let plant = Plant::new();
    let library = library();
    let command = |name: &str| format!("check {name} --explain");
    let shared: Vec<_> = checks::all()
        .filter(|check| is_shared(&library, check.name))
        .collect();
    assert!(!shared.is_empty(), "this test looks at nothing");
    for check in shared {
        plant
            .call("show")
            .arg(check.name)
            .run()
            .ended(0)
            .says(&command(check.name));
        plant.run(&command(check.name)).says(check.purpose);
    }
}
