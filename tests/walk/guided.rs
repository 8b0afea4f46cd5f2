//! `walk` as a conversation through a pipe: answers of every form, slips, going back, stopping and
//! going on.

use crate::common::talk::{Prompt, Talk};
use crate::common::{Call, Plant, flat};
use whytrip::builtin;
use whytrip::knowledge::Library;

fn library() -> Library {
    builtin::knowledge().expect("built-in knowledge")
}

/// A class whose walk has a question with a reading, and that question.
const CLASS: &str = "dc-overvoltage-supply";
const MEASURING: &str = "bus-at-rest";

fn walk(plant: &Plant) -> Call {
    plant.call("walk").arg(CLASS).arg("supply_voltage=400V")
}

/// A talk that stands at the measuring question; what came before was skipped.
fn at_the_reading(plant: &Plant) -> (Talk, Prompt) {
    let library = library();
    let mut talk = Talk::start(walk(plant));
    while let Some(prompt) = talk.prompt() {
        if prompt
            .question(&library)
            .is_some_and(|question| question.id == MEASURING)
        {
            return (talk, prompt);
        }
        talk.answer("s");
    }
    panic!("{MEASURING} was never asked: {}", talk.said);
}

/// The command that a stopped walk prints to go on with, as its arguments. Where nothing was
/// answered yet there are no answers in it.
fn printed_command(said: &str) -> Vec<String> {
    let line = said
        .lines()
        .rev()
        .find(|line| line.starts_with("whytrip walk "))
        .unwrap_or_else(|| panic!("no command to go on with: {said}"));
    let (words, answers) = match line.split_once(" --answers ") {
        Some((words, answers)) => (words, Some(answers)),
        None => (line, None),
    };
    let mut arguments: Vec<String> = words.split(' ').skip(1).map(str::to_owned).collect();
    if let Some(answers) = answers {
        arguments.extend(["--answers".to_owned(), answers.trim_matches('"').to_owned()]);
    }
    arguments
}

/// The first question of a walk, by its heading.
fn first_heading(said: &str) -> String {
    said.lines()
        .find(|line| {
            line.split_once(". ")
                .is_some_and(|(number, _)| number.parse::<u32>().is_ok())
        })
        .unwrap_or_else(|| panic!("no question: {said}"))
        .to_owned()
}

#[test]
fn an_answer_is_a_number_an_id_or_the_beginning_of_its_text() {
    let library = library();
    let question = library.question("trip-moment").expect("a question");
    let finding = &question.findings[1];
    let beginning = finding.text[..10].to_lowercase();
    for answer in ["2", finding.id.as_str(), beginning.as_str()] {
        let plant = Plant::new();
        let run = plant
            .call("walk ground-fault --answers")
            .arg("wet-or-washed-down=cannot")
            .typed(format!("{answer}\nq\n"))
            .run()
            .ended(1);
        let wanted = format!("trip-moment={}", finding.id);
        assert!(run.out.contains(&wanted), "{answer}: {}", run.told());
    }
}

#[test]
fn what_is_typed_through_a_pipe_stands_behind_its_prompt() {
    let run = walk(&Plant::new()).typed("s\nq\n").run().ended(1);
    assert!(run.out.contains("\n> s\n"), "{}", run.told());
    assert!(run.out.contains("\n> q\n"), "{}", run.told());
}

/// √2 · 400 V = 565.7 V (Mohan, Power Electronics, ch. 5).
#[test]
fn a_reading_is_judged_against_what_was_expected_before_it_was_typed() {
    let plant = Plant::new();
    let (mut talk, prompt) = at_the_reading(&plant);
    assert!(
        prompt.flat().contains("Expected: 565.7 V"),
        "{}",
        prompt.text
    );
    assert!(prompt.flat().contains("such as 566 V"), "{}", prompt.text);
    talk.answer("565,5 V");
    let judged = talk.prompt().expect("another prompt").flat();
    assert!(
        judged.contains("reading against expectation 99.97 %"),
        "{judged}"
    );
    assert!(
        judged.contains("Moved "),
        "what moved is not told: {judged}"
    );
}

#[test]
fn what_can_not_be_read_names_what_was_expected_and_asks_again() {
    let plant = Plant::new();
    let (mut talk, _) = at_the_reading(&plant);
    for (typed, answer) in [
        ("quite high", "such as 566 V"),
        ("566 A", "is a current; a voltage is wanted, such as 566 V"),
        ("5 kV", "is outside 0 V to 1500 V"),
        ("-40 V", "is outside 0 V to 1500 V"),
    ] {
        talk.answer(typed);
        let told = talk.prompt().expect("the prompt again").flat();
        assert!(
            told.contains(answer) && told.contains("Again, please."),
            "{typed}: {told}"
        );
    }
    talk.answer("");
    talk.prompt().expect("the prompt again");
    talk.answer("566 V");
    let judged = talk.prompt().expect("another prompt").flat();
    assert!(judged.contains("reading against expectation"), "{judged}");
}

/// Twice √2 · 400 V is more than any load gives back through a resting drive: possible, and odd.
#[test]
fn an_odd_reading_is_questioned_before_it_counts() {
    let plant = Plant::new();
    let (mut talk, _) = at_the_reading(&plant);
    talk.answer("1200 V");
    let told = talk.prompt().expect("a question").flat();
    assert!(
        told.contains("That is odd") && told.contains("Keep it?"),
        "{told}"
    );
    talk.answer("2");
    let again = talk.prompt().expect("the prompt again").flat();
    assert!(!again.contains("reading against expectation"), "{again}");
    talk.answer("1200 V");
    talk.prompt().expect("a question");
    talk.answer("1");
    let kept = talk.prompt().expect("another prompt").flat();
    assert!(
        kept.contains("reading against expectation 212.1 %"),
        "{kept}"
    );
}

#[test]
fn back_asks_the_question_before_again() {
    let library = library();
    let mut talk = Talk::start(walk(&Plant::new()));
    let asked = |talk: &mut Talk| {
        let prompt = talk.prompt().expect("a prompt");
        prompt.question(&library).expect("a question").id.clone()
    };
    let first = asked(&mut talk);
    talk.answer("s");
    assert_ne!(asked(&mut talk), first);
    talk.answer("b");
    assert_eq!(asked(&mut talk), first);
}

#[test]
fn back_at_the_first_question_is_told_and_asks_on() {
    let run = walk(&Plant::new()).typed("b\nq\n").run().ended(1);
    run.says("nothing to go back to");
}

#[test]
fn why_where_and_how_answer_and_ask_on() {
    let plant = Plant::new();
    let (mut talk, prompt) = at_the_reading(&plant);
    assert!(prompt.flat().contains("Why now: "), "{}", prompt.text);
    for (typed, wanted) in [
        ("?", "It tells: "),
        ("w", "░"),
        ("h", "Judged by whytrip check"),
    ] {
        talk.answer(typed);
        let told = talk.prompt().expect("the prompt again").flat();
        assert!(told.contains(wanted), "{typed}: {told}");
    }
}

#[test]
fn a_stopped_walk_goes_on_where_it_was() {
    let plant = Plant::new();
    let stopped = walk(&plant)
        .typed("s\ns\nq\n")
        .run()
        .ended(1)
        .says("whytrip walk --resume");
    let left = stopped.out.lines().rfind(|line| line.starts_with("3. "));
    let left = left.unwrap_or_else(|| panic!("no third question: {}", stopped.told()));
    let resumed = plant.call("walk --resume").typed("q\n").run().ended(1);
    assert_eq!(first_heading(&resumed.out), left);
    let command = printed_command(&stopped.out);
    let other = Plant::new();
    let typed_again = command
        .iter()
        .fold(other.call(""), |call, word| call.arg(word));
    let typed_again = typed_again.typed("q\n").run().ended(1);
    assert_eq!(first_heading(&typed_again.out), left);
    assert_eq!(printed_command(&typed_again.out), command);
}

#[test]
fn a_reading_survives_a_stop() {
    let plant = Plant::new();
    let (mut talk, _) = at_the_reading(&plant);
    talk.answer("571,5 V");
    talk.prompt().expect("another prompt");
    talk.answer("q");
    assert_eq!(talk.go_on(|_| None), Some(1));
    let command = printed_command(&talk.said).join(" ");
    assert!(command.contains("supply_voltage=400 V"), "{command}");
    assert!(command.contains("bus-at-rest=571,5 V"), "{command}");
}

#[test]
fn an_input_that_is_cut_off_keeps_the_walk() {
    let plant = Plant::new();
    let cut = walk(&plant).typed("s\n").run().ended(2);
    let cut = cut
        .warns("the answers ended before the walk did")
        .warns("whytrip walk --resume");
    let left = cut
        .out
        .lines()
        .find(|line| line.starts_with("2. "))
        .expect("a second question");
    let resumed = plant.call("walk --resume").typed("q\n").run().ended(1);
    assert_eq!(first_heading(&resumed.out), left);
}

#[test]
fn a_walk_that_ended_unrecorded_for_want_of_answers_can_be_gone_on_with() {
    let plant = Plant::new();
    let mut talk = Talk::start(plant.call("walk ground-fault"));
    talk.go_on(|prompt| {
        if prompt.offers_the_log() {
            return None;
        }
        Some(if prompt.asks_leave() { "2" } else { "s" }.to_owned())
    });
    assert!(talk.said.contains("Record it in the log?"), "{}", talk.said);
    plant
        .call("walk --resume")
        .typed("2\n".repeat(4))
        .run()
        .says("Record it in the log?");
}

#[test]
fn nothing_to_go_on_with_is_told() {
    Plant::new()
        .call("walk --resume")
        .run()
        .ended(2)
        .warns("no stopped walk");
}

#[test]
fn an_unknown_class_suggests_the_nearest() {
    Plant::new()
        .call("walk grund-fault")
        .run()
        .ended(2)
        .warns("closest: ground-fault");
}

#[test]
fn plain_words_offer_classes_to_choose_from() {
    let run = Plant::new()
        .call("walk earth fault after wash down")
        .typed("1\nq\n")
        .run()
        .ended(1)
        .says("Which of these is it?");
    assert!(
        printed_command(&run.out).contains(&"ground-fault".to_owned()),
        "{}",
        run.told()
    );
    Plant::new()
        .call("walk earth fault after wash down")
        .run()
        .ended(2)
        .warns("whytrip walk ground-fault");
    Plant::new()
        .call("walk purple elephants")
        .run()
        .ended(2)
        .warns("no fault class matches");
}

#[test]
fn an_unknown_fact_suggests_the_nearest() {
    let plant = Plant::new();
    plant
        .call("walk ground-fault trip-momnet=start")
        .run()
        .ended(2)
        .warns("\"trip-momnet\"; closest: trip-moment");
    plant
        .call("walk ground-fault trip-moment=sometime")
        .run()
        .ended(2)
        .warns("\"sometime\" is not an answer here")
        .warns("start");
}

#[test]
fn facts_on_the_command_line_are_not_asked_again() {
    let library = library();
    let mut talk = Talk::start(Plant::new().call("walk ground-fault when=start"));
    let mut asked = Vec::new();
    talk.go_on(|prompt| {
        asked.extend(
            prompt
                .question(&library)
                .map(|question| question.id.clone()),
        );
        Some(
            if prompt.asks_leave() || prompt.offers_the_log() {
                "2"
            } else {
                "s"
            }
            .to_owned(),
        )
    });
    assert!(asked.len() > 3, "{asked:?}");
    assert!(!asked.contains(&"trip-moment".to_owned()), "{asked:?}");
}

#[test]
fn a_conversation_needs_somebody_to_answer() {
    let plant = Plant::new();
    plant
        .call("walk ground-fault --no-input")
        .run()
        .ended(2)
        .warns("error: ");
    plant
        .call("walk ground-fault --json")
        .run()
        .ended(2)
        .warns("--facts FILE --json");
    plant
        .call("walk")
        .run()
        .ended(2)
        .warns("which fault class?");
}

#[test]
fn the_drive_of_the_register_saves_typing_its_nameplate() {
    let plant = Plant::tarn_hollow();
    let library = library();
    let mut talk = Talk::start(plant.call("walk dc-overvoltage-supply --drive conveyor-1"));
    let status = talk.go_on(|prompt| {
        assert!(
            !prompt.asks_nameplate(),
            "asks for a nameplate value: {}",
            prompt.text
        );
        let reading = prompt
            .question(&library)
            .is_some_and(|one| one.id == MEASURING);
        Some(if reading { "q" } else { "s" }.to_owned())
    });
    assert_eq!(status, Some(1));
    assert!(
        flat(&talk.said).contains("Expected: 565.7 V"),
        "{}",
        talk.said
    );
    assert!(
        printed_command(&talk.said).contains(&"--drive".to_owned()),
        "{}",
        talk.said
    );
    plant
        .call("walk ground-fault --drive rinsr")
        .run()
        .ended(2)
        .warns("closest: rinser");
}

#[test]
fn a_nameplate_value_is_asked_for_when_the_sum_needs_it() {
    let library = library();
    let mut talk = Talk::start(Plant::new().call("walk").arg(CLASS));
    talk.go_on(|prompt| {
        let reading = prompt
            .question(&library)
            .is_some_and(|one| one.id == MEASURING);
        Some(
            match () {
                () if prompt.asks_nameplate() && prompt.text.contains("supply voltage") => "400 V",
                () if reading => "q",
                () => "s",
            }
            .to_owned(),
        )
    });
    let said = flat(&talk.said);
    assert!(
        said.contains("To say what the next reading should be: supply voltage"),
        "{}",
        talk.said
    );
    assert!(said.contains("Expected: 565.7 V"), "{}", talk.said);
}
