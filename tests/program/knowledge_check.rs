//! `knowledge check`: every kind of slip in a knowledge file is told with its place and a remedy;
//! a sound folder is found and walked like what is built in.
//!
//! `tests/data/knowledge-invalid/<why>/` with the message beside it in `<why>.txt`.

use std::fs;
use std::path::PathBuf;

use crate::common::{Plant, control_characters, each, root};

const INVALID: &str = "tests/data/knowledge-invalid";
const OVERLAY: &str = "examples/tarn-hollow/knowledge";

/// The folders of wrong files.
fn invalid() -> Vec<PathBuf> {
    let mut folders: Vec<PathBuf> = fs::read_dir(root().join(INVALID))
        .expect("the wrong files")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.is_dir())
        .collect();
    folders.sort();
    folders
}

#[test]
fn every_slip_gets_its_recorded_message() {
    let plant = Plant::new();
    let mut differ = Vec::new();
    for folder in invalid() {
        let run = plant.call("knowledge check").arg(&folder).run().ended(3);
        let recorded = fs::read_to_string(folder.with_extension("txt")).unwrap_or_default();
        if run.out != recorded {
            differ.push(format!("{}:\n{}", folder.display(), run.out));
        }
    }
    assert!(invalid().len() >= 15, "where are the wrong files?");
    assert!(differ.is_empty(), "{}", differ.join("\n"));
}

#[test]
fn every_message_names_a_place_and_a_remedy() {
    for folder in invalid() {
        let recorded = fs::read_to_string(folder.with_extension("txt")).expect("a message");
        for problem in recorded.split("\n\n") {
            let (place, rest) = problem.split_once(": ").expect("a place");
            assert!(place.contains(".yaml"), "{problem}");
            assert!(rest.contains("\n  next: "), "{problem}");
            let parts: Vec<&str> = place.split(':').collect();
            if let [_, line, column] = parts.as_slice() {
                assert!(line.parse::<u32>().is_ok_and(|line| line > 0), "{problem}");
                assert!(
                    column.parse::<u32>().is_ok_and(|column| column > 0),
                    "{problem}"
                );
            } else {
                // Only a file that lies in the wrong place has no line.
                assert!(rest.contains("has no place"), "{problem}");
            }
        }
    }
}

#[test]
fn the_built_in_files_are_in_order_by_themselves() {
    Plant::new()
        .run("knowledge check knowledge --alone")
        .says("Knowledge is in order");
}

#[test]
fn a_sound_folder_of_the_plant_is_found_shown_and_walked() {
    let plant = Plant::new();
    plant
        .run(&format!("knowledge check {OVERLAY}"))
        .says("Knowledge is in order")
        .says("1 class, 4 causes, 4 questions");
    let with = |line: &str| plant.call(&format!("--knowledge {OVERLAY} {line}"));
    let found = with("find --json rinser stops because the window is fogged")
        .run()
        .ended(0)
        .json();
    assert_eq!(
        found["hits"][0]["id"], "rinser-guard-sensor-stop",
        "{found}"
    );
    let shown = with("show --json rinser-guard-sensor-stop")
        .run()
        .ended(0)
        .json();
    assert!(
        each(&shown["causes"], "id").contains(&"rinser-window-fogged"),
        "{shown}"
    );
    let walked = with("walk rinser-guard-sensor-stop --json --facts -")
        .typed("facts: { rinser-window-look: fog, rinser-wipe-once: stays-away }\n")
        .run()
        .ended(0)
        .json();
    assert_eq!(
        walked["verdict"]["cause"], "rinser-window-fogged",
        "{walked}"
    );
    with("walk rinser-guard-sensor-stop")
        .typed("q\n")
        .run()
        .ended(1);
    with("show ground-fault").run().ended(0);
    plant.call("show rinser-guard-sensor-stop").run().ended(2);
}

#[test]
fn the_plants_folder_may_be_named_by_the_environment() {
    Plant::new()
        .call("show rinser-guard-sensor-stop")
        .env("WHYTRIP_KNOWLEDGE", OVERLAY)
        .run()
        .ended(0)
        .says("Rinser stops because its guard sensor is fogged");
}

#[test]
fn a_wrong_folder_stops_every_command_with_the_way_to_the_details() {
    let wrong = format!("{INVALID}/unknown-cause");
    let plant = Plant::new();
    for line in ["show ground-fault", "find earth fault", "walk ground-fault"] {
        plant
            .call(&format!("--knowledge {wrong} {line}"))
            .run()
            .ended(3)
            .warns("classes/plug-wet.yaml:")
            .warns(&format!("whytrip knowledge check {wrong}"));
    }
    plant
        .call("knowledge check nowhere")
        .run()
        .ended(3)
        .warns("nowhere can't be read");
    plant
        .call("knowledge check tests/common")
        .run()
        .ended(2)
        .warns("no YAML files");
}

#[test]
fn escape_sequences_in_a_file_reach_no_terminal() {
    let plant = Plant::new();
    let file = plant.file(
        "kb/causes/a.yaml",
        "- id: \"\u{85}a\"\n  \u{9b}31mname: x\u{202e}\n",
    );
    let folder = file.ancestors().nth(2).expect("a folder");
    let run = plant.call("knowledge check").arg(folder).run().ended(3);
    assert_eq!(control_characters(&run.out), "", "{}", run.told());
    let checked = plant
        .call("--ascii knowledge check")
        .arg(folder)
        .run()
        .ended(3);
    assert!(checked.out.is_ascii(), "{}", checked.told());
}
