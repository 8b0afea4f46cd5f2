//! `decode` as a person or a script uses it.

use crate::common::{Plant, control_characters, each, flat, too_wide};

#[test]
fn a_stuck_state_says_what_holds_it_what_to_send_and_where_to_go_on() {
    // CiA 402, IEC 61800-7-201: 0250h AND 004Fh = 0040h; shutdown (0006h) leads on from there.
    let run = Plant::new().run("decode status 0x0250");
    let text = flat(&run.out);
    let place = |words: &str| {
        text.find(words)
            .unwrap_or_else(|| panic!("no {words}: {text}"))
    };
    place("switch on disabled");
    place("safe torque off is open");
    place("whytrip walk safe-torque-off-active");
    // The caution stands before the command that can set the machine moving.
    assert!(place("WARNING: The machine can move") < place("Next control word: 0006h"));
    let json = Plant::new().run("decode status 0x0250 --json").json();
    assert_eq!(json["state"], "switch on disabled");
    assert_eq!(json["profile"], "cia402");
    assert_eq!(json["next_control_word"], "0006h");
    assert!(each(&json["cautions"], "id").contains(&"moving-machine"));
    assert_eq!(json["classes"][0], "safe-torque-off-active");
    assert_eq!(json["words"][0]["state"], "switch on disabled");
}

#[test]
fn a_bare_word_is_never_guessed_at_silently() {
    let plant = Plant::new();
    plant
        .run("decode 3210h")
        .says("which word is it?")
        .says("whytrip decode status 3210h")
        .says("whytrip decode error 3210h");
    assert_eq!(plant.run("decode --json 3210h").json()["open"], true);
    // No error code: the status word it is, and that this was a choice.
    plant
        .run("decode 0x0237")
        .says("operation enabled")
        .says("It was not said which word this is.");
    plant.run("decode 0237").says("taken as hexadecimal");
}

#[test]
fn an_ambiguous_code_asks_and_offers_every_class() {
    let run = Plant::new().run("decode error 4310h");
    run.says("can't tell which")
        .says("whytrip walk heatsink-overtemperature")
        .says("whytrip walk motor-overtemperature-sensor")
        .says_nothing_of("Next: whytrip walk");
}

#[test]
fn swapped_bytes_come_with_a_warning() {
    Plant::new()
        .run("decode --error 0x1032")
        .says("Careful: With its two bytes swapped it is 3210h");
    Plant::new()
        .call("decode status 3702h")
        .run()
        .ended(1)
        .says("not a defined state")
        .says("bytes swapped, 0237h");
}

#[test]
fn the_makers_range_is_left_to_the_maker() {
    Plant::new()
        .call("decode error FF01h")
        .run()
        .ended(1)
        .says("not decoded")
        .says("whytrip code add \"FF01h\" --class ID");
}

#[test]
fn several_words_and_lines() {
    let plant = Plant::new();
    let run = plant.run("decode status 0250h 0231h 0233h --json");
    assert_eq!(
        each(&run.json()["words"], "state"),
        ["switch on disabled", "ready to switch on", "switched on"]
    );
    let run = plant
        .call("decode --stdin --json")
        .typed("status 0237h\n\nhello\nerror 3210h\n")
        .run()
        .ended(1)
        .warns("line 3: \"hello\" is not a number");
    assert_eq!(run.out.lines().count(), 3, "{}", run.told());
    // A thousand lines are no trouble.
    let many = plant
        .call("decode --stdin --json")
        .typed("status 0237h\n".repeat(1000))
        .run()
        .ended(0);
    assert_eq!(many.out.lines().count(), 1000);
}

#[test]
fn what_is_wrong_is_named_with_what_was_understood() {
    let plant = Plant::new();
    let refused = |line: &str| plant.call(line).run().ended(2);
    refused("decode status 0237h hello").warns("understood before it: status 0237h");
    refused("decode 567").warns("may be decimal or hexadecimal");
    refused("decode F7").warns("code of the drive's maker");
    refused("decode 6041h").warns("address of the status word");
    refused("decode 0x12345").warns("16 bits");
    refused("decode").warns("whytrip decode status 0x0237");
    refused("decode \u{9b}31m").warns("not a number");
}

#[test]
fn it_fits_narrow_screens_and_plain_ones() {
    let plant = Plant::new();
    for line in [
        "decode status 0218h 0250h error 4310h 0x1032 FF01h",
        "decode 3210h stw1 047Fh zsw1 0278h",
    ] {
        for width in [45, 80] {
            let run = plant.call(&format!("{line} --width {width}")).run();
            let wide = too_wide(&run.out, width);
            let wide: Vec<_> = wide
                .iter()
                .filter(|line| !line.trim_start().starts_with("whytrip "))
                .collect();
            assert!(wide.is_empty(), "{wide:?}");
            assert_eq!(control_characters(&run.out), "");
        }
        assert!(plant.call(&format!("{line} --ascii")).run().out.is_ascii());
    }
}
