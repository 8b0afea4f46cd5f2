//! `drive`: the plant's register.

use crate::common::{Plant, each};

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

#[test]
fn a_drive_is_added_by_name_and_edited_and_its_id_stays() {
    let plant = Plant::new();
    plant
        .call("drive add press-1 supply_voltage=400V control_source=terminals")
        .arg("place=Hall 2")
        .run()
        .ended(0);
    plant
        .call("drive add press-1 supply_voltage=480V")
        .run()
        .ended(2)
        .warns("whytrip drive edit press-1");
    plant
        .run("drive edit press-1 motor_rated_current=14.3A place=")
        .says("motor rated current: 14.3A");
    let shown = plant.run("drive show press-1 --json").json();
    assert_eq!(shown["nameplate"]["supply_voltage"], "400V");
    assert_eq!(shown["nameplate"]["control_source"], "terminals");
    assert!(shown.get("place").is_none(), "{shown}");
    for (change, told) in [
        ("motor_rated_curent=1A", "closest: motor_rated_current"),
        ("supply_voltage=loud", "supply_voltage"),
        ("overvoltage_limit=2A", "overvoltage_limit"),
        ("id=press-2", "the id of a drive stays"),
        ("supply_voltage", "is not NAME=VALUE"),
    ] {
        plant
            .call("drive edit press-1")
            .arg(change)
            .run()
            .ended(2)
            .warns(told);
    }
    // What only the register keeps is no hindrance to a check.
    plant.run("check bus-at-rest bus_voltage=566V --drive press-1");
}

#[test]
fn drives_go_out_as_a_table_and_in_again() {
    let plant = Plant::tarn_hollow();
    let table = plant.run("drive export").out;
    let header = table.lines().next().expect("a header");
    assert!(header.starts_with("id,name,place,duty,model,notes,supply_voltage,"));
    let file = plant.file("drives.csv", &table);
    let other = Plant::new();
    other
        .call("drive import")
        .arg(&file)
        .run()
        .ended(0)
        .says("Taken in: 12 drives");
    assert_eq!(
        other.run("drive list --json").out,
        plant.run("drive list --json").out
    );
    other
        .call("drive import")
        .arg(&file)
        .run()
        .ended(0)
        .says("12 stood so already");
}

#[test]
fn five_hundred_drives_come_in_at_once_and_bad_rows_are_told_by_line() {
    let plant = Plant::new();
    let mut table = String::from("id,place,supply_voltage,motor_rated_current\n");
    for number in 1..=500 {
        table += &format!(
            "fc-{number},\"Hall {}, row 2\",400 V,{number} A\n",
            number % 7
        );
    }
    let good = plant.file("good.csv", &table);
    let run = plant.call("drive import").arg(&good).run().ended(0);
    assert_eq!(run.err, "", "no bar without a terminal");
    assert_eq!(
        plant.run("drive list --json").json()["drives"]
            .as_array()
            .map(Vec::len),
        Some(500)
    );
    table += "fc-501,,four hundred,3 A\nfc 502,,400 V,3 A\nfc-503,,400 V\n";
    let bad = plant.file("bad.csv", &table);
    plant
        .call("drive import")
        .arg(&bad)
        .run()
        .ended(2)
        .warns("bad.csv:502: supply_voltage:")
        .warns("bad.csv:503: drive id \"fc 502\" is not a short name")
        .warns("bad.csv:504: has 3 columns and the header has 4")
        .warns("nothing was taken in: 3 of 503 rows");
    plant
        .call("drive import --good-rows")
        .arg(&bad)
        .run()
        .ended(1)
        .says("500 stood so already. Rejected: 3.");
    let header = plant.file("header.csv", "id,suply_voltage\n");
    plant
        .call("drive import")
        .arg(&header)
        .run()
        .ended(2)
        .warns("closest: supply_voltage");
}

#[test]
fn a_check_says_what_the_register_gave() {
    let plant = Plant::tarn_hollow();
    let line = "check bus-at-rest bus_voltage=566V --drive rinser";
    plant
        .run(line)
        .says("From the register: drive rinser: supply voltage = 400 V");
    let printed = plant.run(&format!("{line} --json")).json();
    assert_eq!(printed["drive"], "rinser");
    assert_eq!(
        printed["from_register"],
        serde_json::json!(["supply_voltage"])
    );
    // What is typed counts more, and is not said to be the register's.
    plant
        .run(&format!("{line} supply_voltage=401V"))
        .says_nothing_of("From the register");
}
