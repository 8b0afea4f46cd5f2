//! The conversation of a walk: one question at a time, lines in, documents out.

mod change;
pub mod class;

use jiff::Timestamp;
use jiff::tz::TimeZone;

use change::Change;

use super::context::Context;
use super::failure::Failure;
use super::progress::{self, Kept};
use crate::checks;
use crate::diagnosis::belief::AnswerError;
use crate::diagnosis::planner::{Action, Plan};
use crate::diagnosis::record;
use crate::diagnosis::reply::{self, Nameplate, Reply};
use crate::diagnosis::verdict::Verdict;
use crate::diagnosis::walk::{Given, Turn, Walk};
use crate::diagnosis::why;
use crate::knowledge::{Access, Library};
use crate::plant::{Birth, Entry, ScalarText, from_walk};
use crate::render::doc::{Block, Document, plain, strong};
use crate::render::{across, so_far, walk as render};

/// How a conversation ended.
pub enum Ending<'k> {
    /// The user stopped; the walk is kept.
    Stopped,
    /// The walk came to a verdict.
    Verdict {
        /// The walk.
        walk: Box<Walk<'k>>,
        /// Whether the proof run has passed.
        proved: bool,
    },
}

/// The drive of the register that a walk is about, and what the register says of it.
#[derive(Default)]
pub struct KnownDrive {
    /// Its id.
    pub id: Option<String>,
    /// Its nameplate.
    pub nameplate: Nameplate,
}

fn kept(walk: &Walk<'_>, drive: &KnownDrive) -> Kept {
    Kept {
        class: walk.case.class.id.clone(),
        drive: drive.id.clone(),
        text: record::text(walk, &drive.nameplate),
    }
}

/// What the user wants after a prompt.
enum Wish {
    Answer(String),
    Cannot,
    Back,
    Why,
    Where,
    How,
    /// To change the answer with this number.
    Change(usize),
    Stop,
    /// The input ended.
    End,
}

fn wish(context: &Context, prompt: &str) -> Result<Wish, Failure> {
    let Some(line) = context.ui.ask(prompt)? else {
        return Ok(Wish::End);
    };
    let typed = line.trim();
    Ok(match typed.to_lowercase().as_str() {
        "s" | "skip" | "cannot" | "can't measure" => Wish::Cannot,
        "b" | "back" => Wish::Back,
        "?" | "why" => Wish::Why,
        "w" | "where" => Wish::Where,
        "h" | "how" => Wish::How,
        "q" | "quit" | "stop" => Wish::Stop,
        lower => match number_to_change(lower) {
            Some(number) => Wish::Change(number),
            None => Wish::Answer(typed.to_owned()),
        },
    })
}

/// The number in `c 3` or `change 3`.
fn number_to_change(lower: &str) -> Option<usize> {
    let rest = lower
        .strip_prefix("change")
        .or_else(|| lower.strip_prefix('c'))?;
    rest.trim().parse().ok()
}

/// What was asked of the person about an access, and confirmed.
#[derive(Default)]
struct Permissions {
    live: bool,
    isolated: bool,
}

/// Walks until there is a verdict or the user stops.
///
/// # Errors
/// When the streams fail, or the input ends in the middle.
pub fn run<'k>(
    library: &'k Library,
    mut walk: Walk<'k>,
    drive: &KnownDrive,
    context: &Context,
) -> Result<Ending<'k>, Failure> {
    let mut permissions = Permissions::default();
    let mut not_known: Vec<&'static str> = Vec::new();
    let mut keeps = context.ui.may_ask();
    loop {
        if keeps && let Err(failure) = progress::keep(context, &kept(&walk, drive)) {
            context.ui.note(&format!("note: {}", failure.message));
            keeps = false;
        }
        let turn = walk
            .turn()
            .map_err(|error| Failure::data(error.to_string()))?;
        let needed = match &turn {
            Turn::Ask { question, .. } => walk.case.questions[*question].access,
            Turn::Confirm { cause, .. } => walk.case.causes[*cause].confirm.access,
            Turn::Settled { .. } | Turn::HandOver { .. } => Access::Observe,
        };
        match leave(&mut permissions, needed, context)? {
            Leave::Given => {}
            Leave::Refused => {
                walk.allowed[crate::diagnosis::case::place(needed)] = false;
                continue;
            }
            Leave::Stop => return stop(&walk, drive, context),
            Leave::End => return cut_off(&walk, drive, context),
        }
        let step = match turn {
            Turn::Ask {
                question,
                confirms,
                plan,
            } => match ask_nameplate(&walk, question, &mut not_known, context)? {
                Some(next) => next,
                None => ask(library, &walk, question, confirms, &plan, context)?,
            },
            Turn::Confirm { cause, .. } => confirm(library, &walk, cause, context)?,
            Turn::Settled { cause } => Next::Give(Given::Confirmed { cause }),
            Turn::HandOver { .. } => {
                context.ui.show(&verdict(library, &walk)?)?;
                let drive = drive.id.as_deref();
                context
                    .ui
                    .show(&other_classes(library, &walk, drive, context)?)?;
                return Ok(Ending::Verdict {
                    walk: Box::new(walk),
                    proved: false,
                });
            }
        };
        match step {
            Next::Give(Given::Confirmed { cause }) => {
                match put_right(library, &walk, cause, context)? {
                    Proof::Passed => {
                        let ended = confirmed(&walk, cause);
                        context.ui.show(&verdict(library, &ended)?)?;
                        return Ok(Ending::Verdict {
                            walk: Box::new(ended),
                            proved: true,
                        });
                    }
                    Proof::Later => {
                        let ended = confirmed(&walk, cause);
                        context.ui.show(&verdict(library, &ended)?)?;
                        return Ok(Ending::Verdict {
                            walk: Box::new(ended),
                            proved: false,
                        });
                    }
                    Proof::CameBack => {
                        context.ui.tell(CAME_BACK);
                        walk = came_back(&walk, cause);
                        tell_doubt(&walk, context)?;
                    }
                    Proof::Change(number) => {
                        let open = reopened(&walk);
                        match change::change(library, &open, number, &mut permissions, context)? {
                            Change::Made(other) => walk = *other,
                            Change::Not => {}
                            Change::Stop => return stop(&walk, drive, context),
                            Change::End => return cut_off(&walk, drive, context),
                        }
                    }
                    Proof::Stop => return stop(&walk, drive, context),
                }
            }
            Next::Give(given) => {
                walk = walk.answered(given, false);
                tell_doubt(&walk, context)?;
            }
            Next::Back => match walk.back() {
                Some(shorter) => walk = shorter,
                None => context
                    .ui
                    .tell("This is the first question; there is nothing to go back to."),
            },
            Next::Nameplate(name, value) => {
                walk = record::with_nameplate(&walk, [(name, value)].into());
            }
            Next::Change(number) => {
                match change::change(library, &walk, number, &mut permissions, context)? {
                    Change::Made(other) => walk = *other,
                    Change::Not => {}
                    Change::Stop => return stop(&walk, drive, context),
                    Change::End => return cut_off(&walk, drive, context),
                }
            }
            Next::Again => {}
            Next::Stop => return stop(&walk, drive, context),
            Next::End => return cut_off(&walk, drive, context),
        }
    }
}

/// The walk with a cause confirmed; a confirmation that was given before stays the only one.
fn confirmed<'k>(walk: &Walk<'k>, cause: usize) -> Walk<'k> {
    if walk.confirmed() == Some(cause) {
        return walk.clone();
    }
    walk.answered(Given::Confirmed { cause }, false)
}

const CAME_BACK: &str = "The trouble came back, so this is not the cause, or not the only one. It \
goes down the list; your answers stay.";

/// The walk after a remedy that did not cure: the cause was not it, or not alone.
fn came_back<'k>(walk: &Walk<'k>, cause: usize) -> Walk<'k> {
    reopened(walk).answered(Given::NotConfirmed { cause }, false)
}

/// The walk without what was confirmed.
fn reopened<'k>(walk: &Walk<'k>) -> Walk<'k> {
    let mut open = walk.clone();
    open.steps
        .retain(|step| !matches!(step.given, Given::Confirmed { .. }));
    open
}

fn verdict(library: &Library, walk: &Walk<'_>) -> Result<Document, Failure> {
    let mut document = Document::new();
    document.push(Block::Gap);
    let verdict = render::verdict(library, walk);
    document.append(verdict.map_err(|error| Failure::data(error.to_string()))?);
    Ok(document)
}

/// Other classes to look at after a walk that singled out no cause.
///
/// # Errors
/// As [`class::weighed`].
pub fn other_classes(
    library: &Library,
    walk: &Walk<'_>,
    drive: Option<&str>,
    context: &Context,
) -> Result<Document, Failure> {
    let verdict = walk
        .verdict()
        .map_err(|error| Failure::data(error.to_string()))?;
    if verdict != Verdict::Unresolved {
        return Ok(Document::new());
    }
    let facts = across::facts_of(walk);
    let weighed = class::weighed(library, "", &facts, drive, context)?;
    Ok(across::other_classes(library, walk, &weighed))
}

fn stop<'k>(walk: &Walk<'k>, drive: &KnownDrive, context: &Context) -> Result<Ending<'k>, Failure> {
    let kept = kept(walk, drive);
    context.ui.show(&render::resume(
        &kept.class,
        kept.drive.as_deref(),
        &kept.text,
    ))?;
    Ok(Ending::Stopped)
}

/// The input has ended in the middle: the walk is kept, and that is a failure.
fn cut_off<'k>(
    walk: &Walk<'k>,
    drive: &KnownDrive,
    context: &Context,
) -> Result<Ending<'k>, Failure> {
    stop(walk, drive, context)?;
    Err(Failure::usage("the answers ended before the walk did").next("whytrip walk --resume"))
}

/// What a step of the conversation came to.
enum Next {
    Give(Given),
    Back,
    /// Nothing was answered; look again at what comes next.
    Again,
    /// The answer with this number is to be changed.
    Change(usize),
    Nameplate(String, checks::Given),
    Stop,
    End,
}

/// Whether there is leave to work in an access.
enum Leave {
    Given,
    Refused,
    Stop,
    End,
}

/// Whether the person may work in an access; asked once, before the first step that needs it.
fn leave(
    permissions: &mut Permissions,
    access: Access,
    context: &Context,
) -> Result<Leave, Failure> {
    let granted = match access {
        Access::Observe | Access::Operate => return Ok(Leave::Given),
        Access::Live => &mut permissions.live,
        Access::Isolated => &mut permissions.isolated,
    };
    if *granted {
        return Ok(Leave::Given);
    }
    let mut document = Document::new();
    document.push(Block::Gap);
    document.paragraph(vec![
        strong("Before the next step: "),
        plain(render::access_question(access)),
    ]);
    document.push(Block::Numbered(1, vec![plain("Yes")]));
    document.push(Block::Numbered(2, vec![plain("No: leave such steps out")]));
    context.ui.show(&document)?;
    loop {
        match context.ui.ask("> ")?.as_deref().map(str::trim) {
            Some("1" | "y" | "yes") => {
                *granted = true;
                return Ok(Leave::Given);
            }
            Some("2" | "n" | "no" | "s") => return Ok(Leave::Refused),
            Some("q" | "quit" | "stop") => return Ok(Leave::Stop),
            Some(_) => context
                .ui
                .tell("Answer 1 for yes, 2 for no, or q to stop and keep."),
            None => return Ok(Leave::End),
        }
    }
}

fn ask(
    library: &Library,
    walk: &Walk<'_>,
    index: usize,
    confirms: Option<usize>,
    plan: &Plan,
    context: &Context,
) -> Result<Next, Failure> {
    let question = walk.case.questions[index];
    context.ui.show(&{
        let mut document = Document::new();
        document.push(Block::Gap);
        document.append(render::question(library, walk, index, confirms, plan));
        document
    })?;
    let by_reading = question.measure.is_some()
        && reply::missing_nameplate(question, &walk.nameplate).is_empty();
    if question.measure.is_some() && !by_reading {
        context.ui.show(&{
            let mut document = Document::new();
            document.text("Without that value the sum can't be made: compare with the drive's own manual and choose.");
            document
        })?;
    }
    context.ui.show(&render::answers(
        question,
        by_reading,
        walk.steps.is_empty(),
    ))?;
    loop {
        match wish(context, "> ")? {
            Wish::Cannot => return Ok(Next::Give(Given::Cannot { question: index })),
            Wish::Back => return Ok(Next::Back),
            Wish::Change(number) => return Ok(Next::Change(number)),
            Wish::Stop => return Ok(Next::Stop),
            Wish::End => return Ok(Next::End),
            Wish::Where => show_standing(walk, context)?,
            Wish::How => context
                .ui
                .show(&crate::render::item::question(library, question))?,
            Wish::Why => show_why(walk, index, plan, context)?,
            Wish::Answer(typed) if typed.is_empty() => {
                context
                    .ui
                    .tell("Type an answer, or s if it can't be measured.");
            }
            Wish::Answer(typed) => match reply::understand(question, &typed, &walk.nameplate) {
                Err(error) => context.ui.tell(&format!("{error}. Again, please.")),
                Ok(reply) => {
                    if is_doubted(&reply, context)? {
                        continue;
                    }
                    return told(walk, index, reply, context);
                }
            },
        }
    }
}

/// Asks for the next nameplate value that the sum of a question needs, before the question itself,
/// so that the expected reading can be shown with it. A value that nobody knows leaves the sum out.
fn ask_nameplate(
    walk: &Walk<'_>,
    index: usize,
    not_known: &mut Vec<&'static str>,
    context: &Context,
) -> Result<Option<Next>, Failure> {
    let missing = reply::missing_nameplate(walk.case.questions[index], &walk.nameplate);
    let Some(input) = missing
        .into_iter()
        .find(|input| !not_known.contains(&input.name))
    else {
        return Ok(None);
    };
    let mut document = Document::new();
    document.push(Block::Gap);
    document.paragraph(vec![
        strong("To say what the next reading should be: "),
        plain(format!(
            "{}? (such as {}; s if not known)",
            input.what,
            checks::example(input)
        )),
    ]);
    context.ui.show(&document)?;
    loop {
        match wish(context, "> ")? {
            Wish::Cannot => {
                not_known.push(input.name);
                return Ok(Some(Next::Again));
            }
            Wish::Back => return Ok(Some(Next::Back)),
            Wish::Change(number) => return Ok(Some(Next::Change(number))),
            Wish::Stop => return Ok(Some(Next::Stop)),
            Wish::End => return Ok(Some(Next::End)),
            Wish::Why | Wish::How | Wish::Where => {
                let limits = format!("{} to {}", input.limits.0, input.limits.1);
                context
                    .ui
                    .tell(&format!("{}: {} ({limits})", input.name, input.what));
            }
            Wish::Answer(typed) => match checks::read_nameplate(input, &typed) {
                Ok(value) => return Ok(Some(Next::Nameplate(input.name.to_owned(), value))),
                Err(error) => context.ui.tell(&format!("{error}. Again, please.")),
            },
        }
    }
}

/// A reading that is possible but odd is questioned, not swallowed.
fn is_doubted(reply: &Reply, context: &Context) -> Result<bool, Failure> {
    let Some(doubt) = reply
        .evaluation
        .as_ref()
        .and_then(|evaluation| evaluation.doubt.clone())
    else {
        return Ok(false);
    };
    context.ui.tell(&format!(
        "That is odd: {doubt}. Look at the meter, its range and the terminals."
    ));
    loop {
        match context
            .ui
            .ask("Keep it? 1 yes, 2 type it again > ")?
            .as_deref()
            .map(str::trim)
        {
            Some("1" | "y" | "yes") => return Ok(false),
            Some("2" | "n" | "no") | None => return Ok(true),
            Some(_) => {}
        }
    }
}

fn told(walk: &Walk<'_>, index: usize, reply: Reply, context: &Context) -> Result<Next, Failure> {
    let question = walk.case.questions[index];
    let before = walk
        .belief()
        .map_err(|error| Failure::data(error.to_string()))?;
    context.ui.show(&render::judgement(question, &reply))?;
    let given = Given::Found {
        question: index,
        reply: Box::new(reply),
    };
    let after = walk.answered(given.clone(), false);
    let standing = render::standing(&after, Some(&before))
        .map_err(|error| Failure::data(error.to_string()))?;
    context.ui.show(&standing)?;
    Ok(Next::Give(given))
}

/// Says so when the newest answer does not fit the others.
fn tell_doubt(walk: &Walk<'_>, context: &Context) -> Result<(), Failure> {
    let misfit = |error: AnswerError| Failure::data(error.to_string());
    match walk.new_contradiction().map_err(misfit)? {
        Some(found) => context
            .ui
            .show(&so_far::doubt(walk, &found).map_err(misfit)?),
        None => Ok(()),
    }
}

fn show_standing(walk: &Walk<'_>, context: &Context) -> Result<(), Failure> {
    let mut document = so_far::answers(walk);
    document
        .append(render::standing(walk, None).map_err(|error| Failure::data(error.to_string()))?);
    context.ui.show(&document)
}

fn show_why(walk: &Walk<'_>, index: usize, plan: &Plan, context: &Context) -> Result<(), Failure> {
    let situation = walk.situation();
    let found = why::why(&walk.case.model, &situation, plan, Action::Ask(index))
        .map_err(|error| Failure::data(error.to_string()))?;
    match found {
        Some(why) => context.ui.show(&render::why(walk, index, plan, &why)),
        None => Ok(()),
    }
}

fn confirm(
    library: &Library,
    walk: &Walk<'_>,
    cause: usize,
    context: &Context,
) -> Result<Next, Failure> {
    let mut document = Document::new();
    document.push(Block::Gap);
    document.append(render::confirm(library, walk, cause));
    choices(
        &mut document,
        &[
            "Yes, that is it",
            "No, it is not that",
            "It can't be done now",
        ],
    );
    context.ui.show(&document)?;
    loop {
        match wish(context, "> ")? {
            Wish::Answer(typed) => match typed.as_str() {
                "1" | "y" | "yes" => return Ok(Next::Give(Given::Confirmed { cause })),
                "2" | "n" | "no" => return Ok(Next::Give(Given::NotConfirmed { cause })),
                "3" => return Ok(Next::Give(Given::Postponed { cause })),
                _ => context.ui.tell("Answer 1, 2 or 3."),
            },
            Wish::Cannot => return Ok(Next::Give(Given::Postponed { cause })),
            Wish::Back => return Ok(Next::Back),
            Wish::Change(number) => return Ok(Next::Change(number)),
            Wish::Stop => return Ok(Next::Stop),
            Wish::End => return Ok(Next::End),
            Wish::Where | Wish::Why => show_standing(walk, context)?,
            Wish::How => {
                context.ui.show(&crate::render::item::cause(
                    library,
                    walk.case.causes[cause],
                ))?;
            }
        }
    }
}

/// How the remedy went.
enum Proof {
    Passed,
    Later,
    CameBack,
    Change(usize),
    Stop,
}

fn put_right(
    library: &Library,
    walk: &Walk<'_>,
    cause: usize,
    context: &Context,
) -> Result<Proof, Failure> {
    let mut document = Document::new();
    document.push(Block::Gap);
    document.append(render::remedy(library, walk, cause));
    document.gap();
    document.text("How did it go?");
    choices(
        &mut document,
        &[
            "Put right, and the proof passed",
            "Not yet put right or proved",
            "Put right, but the trouble came back",
        ],
    );
    context.ui.show(&document)?;
    loop {
        match wish(context, "> ")? {
            Wish::Answer(typed) => match typed.as_str() {
                "1" => return Ok(Proof::Passed),
                "2" => return Ok(Proof::Later),
                "3" => return Ok(Proof::CameBack),
                _ => context.ui.tell("Answer 1, 2 or 3."),
            },
            Wish::Cannot | Wish::End => return Ok(Proof::Later),
            Wish::Change(number) => return Ok(Proof::Change(number)),
            Wish::Stop | Wish::Back => return Ok(Proof::Stop),
            Wish::Why | Wish::Where => show_standing(walk, context)?,
            Wish::How => {
                context.ui.show(&crate::render::item::cause(
                    library,
                    walk.case.causes[cause],
                ))?;
            }
        }
    }
}

fn choices(document: &mut Document, texts: &[&str]) {
    for (number, text) in (1u32..).zip(texts) {
        document.push(Block::Numbered(number, vec![plain(*text)]));
    }
}

/// Offers to record a walk that has ended: one key, or a few words besides. Says
/// whether that is settled; if nobody answered, the walk should stay kept.
///
/// # Errors
/// When the log can't be written.
pub fn offer_record(
    walk: &Walk<'_>,
    drive: Option<&str>,
    proved: bool,
    context: &Context,
) -> Result<bool, Failure> {
    let mut document = Document::new();
    document.push(Block::Gap);
    document.heading(2, "Record it in the log?");
    choices(
        &mut document,
        &[
            "Yes, as it was walked",
            "No",
            "Yes, with a few words besides",
        ],
    );
    context.ui.show(&document)?;
    let with_words = loop {
        match context.ui.ask("> ")?.as_deref().map(str::trim) {
            Some("1" | "y" | "yes") => break false,
            Some("2" | "n" | "no" | "q" | "s") => return Ok(true),
            Some("3") => break true,
            None => return Ok(false),
            Some(_) => context.ui.tell("Answer 1, 2 or 3."),
        }
    };
    let told = if with_words {
        told_besides(drive, context)?
    } else {
        Entry {
            drive: drive.map(str::to_owned),
            ..Entry::default()
        }
    };
    let birth = Birth::at(Timestamp::now(), TimeZone::system());
    let incident =
        from_walk(walk, proved, told, &birth).map_err(|error| Failure::usage(error.to_string()))?;
    super::commands::log::add::store_and_tell(&incident, crate::plant::SAME_FAULT_DAYS, context)?;
    Ok(true)
}

/// What the user tells of an incident besides the walk.
fn told_besides(drive: Option<&str>, context: &Context) -> Result<Entry, Failure> {
    let line = |prompt: &str| -> Result<Option<String>, Failure> {
        let answer = context
            .ui
            .ask(prompt)?
            .unwrap_or_default()
            .trim()
            .to_owned();
        Ok((!answer.is_empty()).then_some(answer))
    };
    Ok(Entry {
        words: line("What was seen, in your words (Enter to leave out)? ")?,
        display: line("What did the drive show? ")?.map(ScalarText),
        done: line("What was done? ")?,
        drive: match drive {
            Some(id) => Some(id.to_owned()),
            None => line("Which drive? ")?,
        },
        who: line("Initials? ")?,
        ..Entry::default()
    })
}
