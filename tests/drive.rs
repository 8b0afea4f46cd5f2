//! `drive`: the plant's register.

mod common;

use common::{Plant, each};

#[test]
fn drives_come_from_yaml_json_or_standard_input_and_are_replaced_by_id() {
    let plant = Plant::tarn_hollow();
    assert_eq!(
        plant.run("drive list --json").json()["drives"]
            .as_array()
            .map(Vec::len),
        Some(12)
    );
    plant
        .call("drive add --file -")
        .typed(
            r#"[{"id": "rinser", "name": "New rinser", "nameplate": {"supply_voltage": "480 V"}}]"#,
        )
        .run()
        .ended(0);
    let rinser = plant.run("drive show rinser --json").json();
    assert_eq!(rinser["name"], "New rinser");
    assert_eq!(rinser["nameplate"]["supply_voltage"], "480 V");
    assert_eq!(
        plant.run("drive list --json").json()["drives"]
            .as_array()
            .map(Vec::len),
        Some(12)
    );
}

#[test]
fn a_drive_is_shown_with_its_nameplate() {
    let plant = Plant::tarn_hollow();
    plant
        .run("drive show centrifuge")
        .says("Nameplate")
        .says("supply voltage: 400 V");
    let listed = plant.run("drive list --json").json();
    let ids = each(&listed["drives"], "id");
    assert!(ids.contains(&"centrifuge"), "{ids:?}");
    let text = plant.run("drive list");
    for id in ids {
        assert!(text.out.contains(id), "{id}: {}", text.told());
    }
}

#[test]
fn an_empty_register_says_how_to_fill_it() {
    let plant = Plant::new();
    plant
        .call("drive list")
        .run()
        .ended(1)
        .says("whytrip drive add --file FILE");
    plant
        .call("drive show rinser")
        .run()
        .ended(2)
        .warns("there is no drive \"rinser\"");
}

#[test]
fn a_drive_that_makes_no_sense_is_refused_and_none_is_added() {
    let plant = Plant::new();
    let refused = |text: &str, message: &str| {
        plant
            .call("drive add --file -")
            .typed(text)
            .run()
            .ended(2)
            .warns(message);
    };
    let good = "- { id: one, nameplate: { supply_voltage: 400 V } }\n";
    refused(
        &format!("{good}- {{ id: two, nameplate: {{ suply_voltage: 400 V }} }}\n"),
        "closest: supply_voltage",
    );
    refused(
        &format!("{good}- {{ id: two, nameplate: {{ supply_voltage: 400 A }} }}\n"),
        "a voltage is wanted",
    );
    refused("- { id: one, nameplat: {} }\n", "did you mean `nameplate`?");
    refused("id: one\n", "expected a list");
    refused("- { id: '' }\n", "id");
    plant
        .call("drive add --file nowhere.yaml")
        .run()
        .ended(2)
        .warns("can't be read");
    plant.call("drive list").run().ended(1);
}

#[test]
fn an_unknown_drive_suggests_the_nearest() {
    let plant = Plant::tarn_hollow();
    plant
        .call("drive show rinsr")
        .run()
        .ended(2)
        .warns("closest: rinser");
}

#[test]
fn a_record_about_a_drive_that_is_not_registered_is_told() {
    let plant = Plant::tarn_hollow();
    plant
        .call("log add --file -")
        .typed("words: x\ndrive: rinsr\n")
        .run()
        .ended(0)
        .warns("the register has no drive \"rinsr\"");
}
