//! Colours, widths, ASCII and closed pipes, over outputs of every command.

use std::io::Read;

use crate::common::talk::Talk;
use crate::common::{Call, Plant, Run, control_characters, flat, too_wide};

/// A call of every kind of output.
const OUTPUTS: &[&str] = &[
    "--help",
    "show",
    "show dc-overvoltage-decelerating",
    "show brake-resistor-open",
    "show brake-resistor-resistance",
    "show insulation-resistance",
    "find trips when it slows down, bus volts high",
    "check --list",
    "check bus-at-rest supply_voltage=400V bus_voltage=500V",
    "check brake-resistor-value --explain",
    "drive list",
    "drive show centrifuge",
    "log list",
    "log show 1",
    "log find seal",
    "walk dc-overvoltage-decelerating --facts examples/tarn-hollow/centrifuge-overvoltage.yaml",
    "walk ground-fault",
    "knowledge check examples/tarn-hollow/knowledge",
];

/// A look at everything, a skip and a stop.
const TYPED: &str = "?\nw\nh\ns\nq\n";

fn each_output(plant: &Plant, options: &str, mut look: impl FnMut(&str, &Run)) {
    each_output_with(plant, options, |call| call, &mut look);
}

fn each_output_with(
    plant: &Plant,
    options: &str,
    with: impl Fn(Call) -> Call,
    look: &mut impl FnMut(&str, &Run),
) {
    for line in OUTPUTS {
        let run = with(plant.call(options)).typed(TYPED);
        let run = line.split(' ').fold(run, |call, word| call.arg(word)).run();
        assert!(matches!(run.status, Some(0 | 1)), "{}", run.told());
        look(line, &run);
    }
}

#[test]
fn nothing_is_wider_than_asked_for() {
    let plant = Plant::tarn_hollow();
    for width in [30, 45, 80] {
        each_output(&plant, &format!("--width {width}"), |line, run| {
            // Help is laid out by the parser of the command line.
            if line != "--help" {
                assert_eq!(
                    too_wide(&run.out, width),
                    Vec::<&str>::new(),
                    "{line} at {width}"
                );
            }
        });
    }
}

#[test]
fn columns_set_the_width_where_no_terminal_does() {
    let plant = Plant::new();
    let narrow = plant
        .call("show ground-fault")
        .env("COLUMNS", "45")
        .run()
        .ended(0);
    assert_eq!(too_wide(&narrow.out, 45), Vec::<&str>::new());
    let free = plant.run("show ground-fault");
    assert!(
        !too_wide(&free.out, 80).is_empty(),
        "a pipe without COLUMNS gets unbroken lines"
    );
    assert_eq!(flat(&narrow.out), flat(&free.out));
}

#[test]
fn a_pipe_gets_no_escape_sequences() {
    each_output(&Plant::tarn_hollow(), "", |line, run| {
        assert_eq!(control_characters(&run.out), "", "{line}: {}", run.told());
    });
}

#[test]
fn colours_come_only_when_asked_for_and_change_no_word() {
    let plant = Plant::new();
    let plain = plant.run("show ground-fault");
    let always = plant
        .call("show ground-fault --color always")
        .env("NO_COLOR", "1")
        .run()
        .ended(0);
    assert!(always.out.contains("\u{1b}["), "{}", always.told());
    let never = plant
        .call("show ground-fault --color never")
        .env("TERM", "xterm-256color")
        .run()
        .ended(0);
    assert_eq!(never.out, plain.out);
    for (name, value) in [("NO_COLOR", "1"), ("TERM", "dumb"), ("CLICOLOR_FORCE", "")] {
        let run = plant
            .call("show ground-fault")
            .env(name, value)
            .run()
            .ended(0);
        assert_eq!(run.out, plain.out, "{name}");
    }
}

/// A terminal of its own, from util-linux; without it there is nothing to look at.
#[cfg(target_os = "linux")]
#[test]
fn a_terminal_gets_colours_unless_it_wants_none() {
    use std::process::Command;
    let in_terminal = |name: &str, value: &str| -> Option<String> {
        let line = format!("{} show ground-fault", env!("CARGO_BIN_EXE_whytrip"));
        let output = Command::new("script")
            .args(["-qec", &line, "/dev/null"])
            .env_remove("NO_COLOR")
            .env("TERM", "xterm-256color")
            .env(name, value)
            .output()
            .ok()?;
        Some(String::from_utf8_lossy(&output.stdout).into_owned())
    };
    let Some(coloured) = in_terminal("TERM", "xterm-256color") else {
        return;
    };
    assert!(coloured.contains("\u{1b}["), "{coloured:?}");
    for (name, value) in [("NO_COLOR", "1"), ("TERM", "dumb")] {
        let plain = in_terminal(name, value).expect("a terminal");
        assert!(
            plain.contains("ground-fault") && !plain.contains('\u{1b}'),
            "{name}: {plain:?}"
        );
    }
}

#[test]
fn ascii_is_pure_ascii() {
    let plant = Plant::tarn_hollow();
    let pure = |line: &str, run: &Run| {
        let foreign: Vec<char> = run.out.chars().filter(|c| !c.is_ascii()).collect();
        assert_eq!(foreign, [], "{line}: {}", run.told());
    };
    each_output(&plant, "--ascii", pure);
    each_output_with(&plant, "", |call| call.env("LANG", "C"), &mut { pure });
}

#[test]
fn messages_and_prompts_are_ascii_as_well() {
    let plant = Plant::new();
    let refused = plant
        .call("--ascii check brake-resistor-value brake_resistance=15ohm measured_resistance=-3ohm")
        .run()
        .ended(2)
        .warns("measured_resistance = -3 ohm");
    assert!(refused.err.is_ascii(), "{}", refused.told());
    let mut talk = Talk::start(plant.call("--ascii walk dc-overvoltage-decelerating"));
    let mut unknown = true;
    talk.go_on(|prompt| {
        Some(
            match () {
                () if std::mem::take(&mut unknown) => "12 Ω µ",
                () if prompt.asks_leave() => "1",
                () if prompt.offers_the_log() => "2",
                () => "s",
            }
            .to_owned(),
        )
    });
    assert!(talk.said.contains("> 12 ohm u"), "{}", talk.said);
    // The planned value of the braking resistor is asked for with an example in ohms.
    assert!(talk.said.contains("ohm; s if not known)"), "{}", talk.said);
    assert!(talk.said.is_ascii(), "{}", talk.said);
}

#[test]
fn the_locale_decides_between_ascii_and_utf8() {
    let plant = Plant::new();
    let with = |name, value| {
        plant
            .call("check bus-at-rest --explain")
            .env(name, value)
            .run()
            .ended(0)
            .out
    };
    assert!(with("LANG", "de_DE.UTF-8").contains('√'));
    assert!(with("LC_ALL", "C").is_ascii());
    assert!(with("LANG", "").contains('√'));
}

#[test]
fn a_reader_that_has_gone_is_no_failure() {
    let plant = Plant::tarn_hollow();
    for line in [
        "check --list --json",
        "show",
        "log list",
        "walk ground-fault",
    ] {
        let mut child = plant.call(line).start();
        drop(child.stdout.take());
        drop(child.stdin.take());
        let mut messages = String::new();
        let mut err = child.stderr.take().expect("messages");
        err.read_to_string(&mut messages)
            .expect("messages in UTF-8");
        let status = child.wait().expect("the program ends");
        assert_eq!((status.code(), messages.as_str()), (Some(0), ""), "{line}");
    }
}

#[test]
fn help_of_every_command_has_an_example_and_fits_80_columns() {
    let plant = Plant::new();
    for command in [
        "",
        "find",
        "show",
        "walk",
        "check",
        "log",
        "drive",
        "knowledge",
    ] {
        let run = plant.run(&format!("{command} --help"));
        assert_eq!(too_wide(&run.out, 80), Vec::<&str>::new(), "{command}");
        if command != "knowledge" {
            assert!(run.out.contains("Examples:"), "{}", run.told());
        }
    }
    plant.call("fnd").run().ended(2).warns("find");
    assert_eq!(plant.run("").out, plant.run("-h").out);
}
