//! `walk`: cautions stand before every step that can hurt, nothing hides them, and a no to live or
//! isolated work is kept.

use std::thread;

use crate::common::talk::{Prompt, Talk};
use crate::common::{Plant, flat};
use whytrip::builtin;
use whytrip::knowledge::{Access, Library};

fn library() -> Library {
    builtin::knowledge().expect("built-in knowledge")
}

/// At most `most` classes, evenly spread: planning many walks in a build without optimisation takes
/// its time.
fn some_classes(most: usize) -> Vec<String> {
    let all: Vec<String> = library().classes().map(|class| class.id.clone()).collect();
    let step = all.len().div_ceil(most);
    all.into_iter().step_by(step).collect()
}

/// The text of a caution as it stands in an output.
fn caution(library: &Library, id: &str) -> String {
    let caution = library.caution(id).expect("a caution");
    format!("{}: {}", caution.signal, caution.text)
}

/// What a step of this kind must always say, whatever its author wrote.
fn by_access(access: Access) -> &'static [&'static str] {
    match access {
        Access::Observe => &[],
        Access::Operate => &["moving-machine"],
        Access::Live => &["live-work"],
        Access::Isolated => &["isolate-and-prove-dead", "stored-charge"],
    }
}

/// The cautions that must stand before a step, and the step's own words.
fn step<'p>(prompt: &Prompt, library: &Library, text: &'p str) -> Option<(Vec<String>, &'p str)> {
    if prompt.asks_leave() || prompt.offers_the_log() {
        return None;
    }
    if prompt.asks_how_it_went() {
        let always = ["isolate-and-prove-dead", "stored-charge", "moving-machine"];
        return Some((always.map(str::to_owned).to_vec(), "Put right: "));
    }
    if prompt.asks_to_confirm() {
        let name = text.rsplit_once(". Confirm: ")?.1;
        let cause = library
            .causes()
            .filter(|cause| name.starts_with(&cause.name))
            .max_by_key(|cause| cause.name.len())?;
        let mut ids = cause.cautions.clone();
        ids.extend(
            by_access(cause.confirm.access)
                .iter()
                .map(|id| (*id).to_owned()),
        );
        return Some((ids, "Do this: "));
    }
    let question = prompt.question(library)?;
    let mut ids = question.cautions.clone();
    ids.extend(by_access(question.access).iter().map(|id| (*id).to_owned()));
    Some((ids, "How: "))
}

/// Walks a class and tells every step whose cautions are not all before it.
fn steps_without_cautions(class: &str, confirm: &str) -> (usize, Vec<String>) {
    let library = library();
    let (mut steps, mut faults) = (0, Vec::new());
    let mut talk = Talk::start(Plant::new().call("walk").arg(class));
    talk.go_on(|prompt| {
        let text = prompt.flat();
        if let Some((ids, words)) = step(prompt, &library, &text) {
            let at = text.rfind(words).unwrap_or(0);
            steps += 1;
            for id in ids {
                if !text[..at].contains(&caution(&library, &id)) {
                    faults.push(format!("{class}: no {id} before {}", &text[at..]));
                }
            }
        }
        Some(
            match () {
                () if prompt.asks_leave() => "1",
                () if prompt.asks_how_it_went() || prompt.offers_the_log() => "2",
                () if prompt.asks_to_confirm() => confirm,
                () => "s",
            }
            .to_owned(),
        )
    });
    (steps, faults)
}

/// Classes walked with one answer to each confirming step, two at a time.
fn walked_with(confirm: &str, most: usize) {
    let (even, odd): (Vec<_>, Vec<_>) = some_classes(most)
        .into_iter()
        .enumerate()
        .partition(|(at, _)| at % 2 == 0);
    let walked = |classes: Vec<(usize, String)>| {
        classes
            .into_iter()
            .map(|(_, class)| steps_without_cautions(&class, confirm))
            .collect::<Vec<_>>()
    };
    let walks = thread::scope(|scope| {
        let other = scope.spawn(|| walked(odd));
        let mut walks = walked(even);
        walks.extend(other.join().expect("the other half"));
        walks
    });
    let faults: Vec<String> = walks
        .iter()
        .flat_map(|(_, faults)| faults.clone())
        .collect();
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    assert!(
        walks.iter().all(|(steps, _)| *steps > 3),
        "a walk hardly asked anything"
    );
}

#[test]
fn cautions_stand_before_every_step() {
    walked_with("2", 4);
}

#[test]
fn cautions_stand_before_every_remedy() {
    walked_with("1", 3);
}

/// The accesses that were asked and confirmed in a walk without leave for some of them.
fn accesses_without_leave(class: &str, refused: &str) -> Vec<Access> {
    let library = library();
    let mut asked = Vec::new();
    let mut was_refused = false;
    let mut talk = Talk::start(Plant::new().call("walk").arg(class));
    talk.go_on(|prompt| {
        if prompt.asks_leave() {
            let this = prompt.text.contains(refused);
            was_refused |= this;
            return Some(if this { "2" } else { "1" }.to_owned());
        }
        if prompt.asks_to_confirm() {
            let text = prompt.flat();
            let name = text.rsplit_once(". Confirm: ").expect("a cause").1;
            let cause = library
                .causes()
                .filter(|cause| name.starts_with(&cause.name));
            asked.extend(
                cause
                    .max_by_key(|cause| cause.name.len())
                    .map(|cause| cause.confirm.access),
            );
            return Some("2".to_owned());
        }
        asked.extend(prompt.question(&library).map(|question| question.access));
        Some(if prompt.offers_the_log() { "2" } else { "s" }.to_owned())
    });
    assert!(was_refused, "{class} never asked for leave: {}", talk.said);
    asked
}

#[test]
fn without_leave_no_isolated_step_is_asked() {
    let asked = accesses_without_leave("ground-fault", "lock off");
    assert!(!asked.contains(&Access::Isolated), "{asked:?}");
    assert!(asked.len() > 3, "{asked:?}");
}

#[test]
fn without_leave_no_live_step_is_asked() {
    let asked = accesses_without_leave("supply-phase-loss", "measure live");
    assert!(!asked.contains(&Access::Live), "{asked:?}");
    assert!(asked.len() > 3, "{asked:?}");
}

#[test]
fn the_walk_can_be_stopped_where_leave_is_asked_for() {
    let mut talk = Talk::start(Plant::new().call("walk ground-fault"));
    let status = talk.go_on(|prompt| Some(if prompt.asks_leave() { "q" } else { "s" }.to_owned()));
    assert_eq!(status, Some(1), "{}", talk.said);
    let end = talk
        .said
        .rsplit("Before the next step")
        .next()
        .expect("the end");
    assert!(end.contains("whytrip walk --resume"), "{end}");
}

#[test]
fn the_cautions_of_a_class_open_its_walk() {
    let library = library();
    let plant = Plant::new();
    for class in library.classes() {
        let run = plant
            .call("walk")
            .arg(&class.id)
            .typed("q\n")
            .run()
            .ended(1);
        let text = flat(&run.out);
        let look = text.find("Look first: ").expect("the first look");
        for id in &class.cautions {
            assert!(
                text[..look].contains(&caution(&library, id)),
                "{id}: {}",
                run.told()
            );
        }
    }
}

#[test]
fn no_option_hides_a_caution() {
    let library = library();
    let question = library
        .question("brake-resistor-resistance")
        .expect("a question");
    let plant = Plant::new();
    for options in [
        "",
        "--ascii",
        "--width 30",
        "--color never",
        "--color always",
        "--no-input",
    ] {
        let run = plant.run(&format!("show brake-resistor-resistance {options}"));
        let text = without_escapes(&flat(&run.out)).replace("▐ ", "");
        let text = flat(&text.replace("> ", ""));
        for id in &question.cautions {
            let words = library
                .caution(id)
                .expect("a caution")
                .text
                .replace(['’'], "'");
            // The first sentence is enough: ASCII spells a few signs differently.
            let first = words.split(". ").next().expect("a sentence");
            assert!(text.contains(first), "{options}: {id}: {}", run.told());
        }
    }
}

/// The text without its colours.
fn without_escapes(text: &str) -> String {
    let mut plain = String::new();
    let mut parts = text.split('\u{1b}');
    plain.push_str(parts.next().unwrap_or(""));
    for part in parts {
        plain.push_str(part.split_once('m').map_or("", |(_, rest)| rest));
    }
    plain
}
