//! `--json`: every command prints one document, whatever it has to say.

use crate::common::Plant;

#[test]
fn every_command_prints_one_document() {
    let plant = Plant::tarn_hollow();
    let incident = plant.file("incident.yaml", "words: It hums\n");
    let drives = plant.file("drives.yaml", "- { id: spare }\n");
    let with_file =
        |line: &str, file: &std::path::Path| plant.call(line).arg(file).run().ended(0).json();
    for line in [
        "find earth fault",
        "show",
        "show ground-fault",
        "show terminal-box-wet",
        "show trip-moment",
        "show bus-at-rest",
        "show live-work",
        "show practice",
        "check --list",
        "check bus-at-rest --explain",
        "check bus-at-rest supply_voltage=400V bus_voltage=566V",
        "walk ground-fault --facts examples/tarn-hollow/wash-down-earth-fault.yaml",
        "log list",
        "log show 1",
        "log find seal",
        "log wrong 8 --why tried-out",
        "drive list",
        "log show 1 --history",
        "log amend 2 who=AB",
        "log reopen 2",
        "log verify",
        "log export",
        "drive show rinser",
        "drive edit rinser place=here",
        "drive export",
        "code add F07 --class ground-fault",
        "code list",
        "code export",
        "code remove F07",
        "knowledge check examples/tarn-hollow/knowledge",
    ] {
        plant.run(&format!("{line} --json")).json();
    }
    with_file("log add --json --file", &incident);
    with_file("drive add --json --file", &drives);
}

#[test]
fn a_no_is_a_document_as_well() {
    let plant = Plant::new();
    for line in ["find xyzzyx", "log list", "log find xyzzyx", "drive list"] {
        plant.call(&format!("{line} --json")).run().ended(1).json();
    }
    let wrong = "tests/data/knowledge-invalid/unknown-cause";
    let checked = plant
        .call(&format!("knowledge check {wrong} --json"))
        .run()
        .ended(3)
        .json();
    assert!(
        !checked["problems"].as_array().expect("problems").is_empty(),
        "{checked}"
    );
}

#[test]
fn a_failure_prints_no_half_document() {
    let plant = Plant::new();
    for line in [
        "show xyzzyx",
        "check xyzzyx",
        "log show 1",
        "drive show x",
        "walk xyzzyx",
    ] {
        let run = plant.call(&format!("{line} --json")).run().ended(2);
        assert_eq!(run.out, "", "{line}");
        assert!(run.err.starts_with("error: "), "{}", run.told());
    }
}
