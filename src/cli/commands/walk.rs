//! `walk`: the guided walk, by conversation or replayed from facts.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use super::log;
use crate::checks;
use crate::cli::context::Context;
use crate::cli::conversation::{self, Ending, KnownDrive, class};
use crate::cli::facts_file::{DriveEntry, FactsFile};
use crate::cli::failure::{Failure, Outcome};
use crate::cli::progress;
use crate::diagnosis::case::Case;
use crate::diagnosis::record::{self, Fact};
use crate::diagnosis::replay::{self, Facts};
use crate::diagnosis::reply::Nameplate;
use crate::diagnosis::verdict::Verdict;
use crate::diagnosis::walk::{Given, Turn, Walk};
use crate::knowledge::load::parse;
use crate::knowledge::{FaultClass, Library, SourceFile};
use crate::plant::Incident;
use crate::render::doc::{Document, code, plain, quiet};
use crate::render::item::push_cautions;
use crate::render::{across, json_walk, walk as render};

#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:
  whytrip walk dc-overvoltage-decelerating
  whytrip walk ground-fault supply_voltage=400V when=start wet=wet
  whytrip walk when=slowing bus-at-rest=566V     (no class: rank all by facts)
  whytrip walk ground-fault --facts case.yaml --json
  whytrip walk --resume

At every question: a number, a finding's id or a reading with its unit; \"2 guess\"
or \"2 fairly\" if not sure; s if it can't be measured, b to go back, c 3 to change
answer 3, ? for why, w for where we stand, h for more, q to stop and keep.
Works through a pipe as well, one answer a line.")]
pub struct Args {
    /// Id of the fault class, then facts as name=value
    #[arg(value_name = "CLASS|NAME=VALUE")]
    words: Vec<String>,
    /// Replay a recorded case: a YAML file with drive: and facts: (- for standard input)
    #[arg(long, value_name = "FILE")]
    facts: Option<PathBuf>,
    /// With --facts: give every fact first, then say what would be asked next
    #[arg(long, requires = "facts")]
    all_facts: bool,
    /// Answers of an earlier walk, as it printed them
    #[arg(long, value_name = "TEXT")]
    answers: Option<String>,
    /// Go on with the walk that was stopped last
    #[arg(long)]
    resume: bool,
    /// Replay the walk of a logged incident under today's knowledge, and say what differs
    #[arg(long, value_name = "INCIDENT", conflicts_with_all = ["facts", "answers", "resume", "words"])]
    incident: Option<String>,
    /// The drive of the plant's register
    #[arg(long, value_name = "ID")]
    drive: Option<String>,
}

pub fn run(args: Args, context: &Context) -> Result<Outcome, Failure> {
    let library = context.knowledge()?;
    let (pairs, words): (Vec<String>, Vec<String>) = args
        .words
        .iter()
        .cloned()
        .partition(|word| word.contains('='));
    let mut facts: Vec<Fact> = Vec::new();
    let mut recorded: Vec<Fact> = Vec::new();
    let mut drive = args.drive.clone();
    let mut class_words = words;
    let logged = match &args.incident {
        Some(which) => Some(log::logged(which, context)?.incident),
        None => None,
    };
    if let Some(incident) = &logged {
        let Some(class) = incident.class.clone() else {
            return Err(
                Failure::usage("that incident names no fault class, so it has no walk")
                    .next("whytrip log show INCIDENT"),
            );
        };
        class_words = vec![class];
        drive = drive.or(incident.drive.clone());
        recorded.extend(
            incident
                .walk
                .steps
                .iter()
                .map(|step| (step.question.clone(), step.answer.clone())),
        );
    }
    if args.resume {
        let kept = progress::load(context)?;
        class_words = vec![kept.class];
        drive = drive.or(kept.drive);
        recorded
            .extend(record::split(&kept.text).map_err(|error| Failure::data(error.to_string()))?);
    }
    if let Some(file) = &args.facts {
        let read = read_facts(file)?;
        match read.drive {
            DriveEntry::Nameplate(values) => facts.extend(values),
            DriveEntry::Id(id) => match &drive {
                Some(other) if *other != id => context.ui.note(&format!(
                    "note: the file is about {id}; --drive {other} is used instead"
                )),
                _ => drive = Some(id),
            },
            DriveEntry::None => {}
        }
        facts.extend(read.facts);
    }
    if let Some(text) = &args.answers {
        recorded.extend(record::split(text).map_err(|error| Failure::usage(error.to_string()))?);
    }
    for pair in &pairs {
        let (key, value) = pair.split_once('=').unwrap_or((pair, ""));
        facts.push((key.trim().to_owned(), value.trim().to_owned()));
    }
    let mut all_facts = match &drive {
        // A logged walk can be looked at without the drive's nameplate.
        Some(id) => match context.drive_nameplate(id) {
            Err(failure) if logged.is_some() => {
                context.ui.note(&format!("note: {}", failure.message));
                Vec::new()
            }
            values => values?,
        },
        None => Vec::new(),
    };
    let known = KnownDrive {
        id: drive.clone(),
        nameplate: typed_nameplate(&all_facts),
    };
    all_facts.extend(facts);
    let Some(class) = choose_class(&library, &class_words, &all_facts, &drive, context)? else {
        return Ok(Outcome::Done);
    };
    let history = context.history(&class.id, drive.as_deref());
    let case = Case::compile(&library, class, history)
        .map_err(|error| Failure::data(format!("{}: {error}", class.id)))?;
    let walk = Walk::new(case, BTreeMap::new());
    let mut facts = replay::read(&library, walk, &all_facts).map_err(|error| {
        Failure::usage(error.to_string()).next(format!(
            "whytrip show {}    (lists the questions and findings)",
            class.id
        ))
    })?;
    if !recorded.is_empty() {
        let old = replay::read_recorded(&library, facts.walk.clone(), &recorded);
        for reason in &old.differing {
            context.ui.note(&format!(
                "note: left out, not in today's knowledge: {reason}"
            ));
        }
        let unjudged = facts.unjudged;
        facts = old.with_more(facts.answers, facts.not_used);
        facts.unjudged.extend(unjudged);
    }
    for key in &facts.not_used {
        context
            .ui
            .note(&format!("note: {key} is not used by {}", class.id));
    }
    if let Some(incident) = &logged {
        return compared(&library, &facts, incident, context);
    }
    for one in &facts.unjudged {
        context.ui.note(&format!(
            "note: {key}={value} can't be judged without {lacks}; add {first}=... to the command",
            key = one.key,
            value = one.value,
            lacks = one.lacks.join(" and "),
            first = one.lacks.first().unwrap_or(&"it"),
        ));
    }
    if args.facts.is_some() {
        return replayed(&library, &facts, args.all_facts, context);
    }
    // At a terminal such a reading can still be asked for, with what it lacks.
    let unjudged: Vec<usize> = facts.unjudged.iter().map(|one| one.question).collect();
    facts.answers.retain(
        |given| !matches!(given, Given::Cannot { question } if unjudged.contains(question)),
    );
    converse(&library, &facts, &known, context)
}

/// The register's values of a drive as a walk takes them.
fn typed_nameplate(values: &[Fact]) -> Nameplate {
    values
        .iter()
        .filter_map(|(name, value)| {
            let input = record::nameplate_input(name)?;
            Some((name.clone(), checks::read_input(input, value).ok()?))
        })
        .collect()
}

fn read_facts(file: &Path) -> Result<FactsFile, Failure> {
    let text = crate::cli::context::read_text(file)?;
    let source = SourceFile {
        name: file.display().to_string(),
        text,
    };
    parse(&source).map_err(|problem| {
        Failure::usage(format!("the facts file is not right\n{problem}"))
            .next("it holds drive: (nameplate values) and facts: (question: finding or reading)")
    })
}

/// The class by id; by a near id, the words of `find` or the facts where a person can choose. None
/// when nobody can: then the classes that fit were printed.
fn choose_class<'k>(
    library: &'k Library,
    words: &[String],
    facts: &[Fact],
    drive: &Option<String>,
    context: &Context,
) -> Result<Option<&'k FaultClass>, Failure> {
    if let [id] = words
        && let Some(class) = library.class(id)
    {
        return Ok(Some(class));
    }
    let typed = words.join(" ");
    if typed.is_empty() && facts.is_empty() {
        if context.json || !context.ui.is_interactive() {
            return Err(Failure::usage("which fault class?")
                .next("whytrip walk CLASS    (all classes: whytrip show)"));
        }
        let Some(answer) = context
            .ui
            .ask("What does the drive show, or what is it doing? ")?
        else {
            return Err(Failure::interrupted("nothing was typed"));
        };
        return class::from_words(library, &answer, context).map(Some);
    }
    if let [id] = words
        && let Some(near) = library.nearest_class(id)
    {
        return Err(Failure::usage(format!("there is no fault class \"{id}\""))
            .because(format!("closest: {near}"))
            .next(format!("whytrip walk {near}")));
    }
    if facts.is_empty() {
        return class::from_words(library, &typed, context).map(Some);
    }
    let weighed = class::weighed(library, &typed, facts, drive.as_deref(), context)?;
    for key in &weighed.not_used {
        context.ui.note(&format!(
            "note: there is no question or nameplate value \"{key}\""
        ));
    }
    if context.json {
        context.ui.raw(&crate::render::json::document(across::json(
            library, &weighed,
        )))?;
        return Ok(None);
    }
    if !context.ui.is_interactive() {
        context
            .ui
            .show(&across::ranking(library, &weighed, facts))?;
        return Ok(None);
    }
    context.ui.show(&across::causes(library, &weighed))?;
    class::from_facts(library, &weighed, context).map(Some)
}

fn replayed(
    library: &Library,
    facts: &Facts<'_>,
    all_first: bool,
    context: &Context,
) -> Result<Outcome, Failure> {
    let walk = if all_first {
        facts.all_given()
    } else {
        facts.replayed().map_err(misfit)?
    };
    let next = if all_first {
        Some(walk.turn().map_err(misfit)?)
    } else {
        None
    };
    let verdict = walk.verdict().map_err(misfit)?;
    if context.json {
        let not_needed = facts.not_needed(&walk);
        let document =
            json_walk::walk(library, &walk, next.as_ref(), not_needed).map_err(misfit)?;
        context.ui.raw(&crate::render::json::document(document))?;
    } else {
        context.ui.show(&summary(library, &walk, next.as_ref())?)?;
        if next.is_none() {
            context
                .ui
                .show(&conversation::other_classes(library, &walk, None, context)?)?;
        }
        let not_needed = facts.not_needed(&walk);
        if !not_needed.is_empty() {
            context.ui.note(&format!(
                "note: not needed for the verdict: {}",
                not_needed.join(", ")
            ));
        }
    }
    Ok(match verdict {
        Verdict::Confirmed(_) | Verdict::Likely(_) => Outcome::Done,
        Verdict::Unresolved => Outcome::No,
    })
}

/// A logged walk under today's knowledge, and what differs from the record.
fn compared(
    library: &Library,
    facts: &Facts<'_>,
    incident: &Incident,
    context: &Context,
) -> Result<Outcome, Failure> {
    let walk = facts.all_given();
    let mut evidence = walk.clone();
    evidence
        .steps
        .retain(|step| matches!(step.given, Given::Found { .. } | Given::Cannot { .. }));
    if context.json {
        let document = json_walk::walk(library, &walk, None, Vec::new()).map_err(misfit)?;
        context.ui.raw(&crate::render::json::document(document))?;
        return Ok(Outcome::Done);
    }
    let mut document = summary(library, &walk, None)?;
    document.gap();
    document.heading(2, "By its answers alone, today");
    document.append(render::standing(&evidence, None).map_err(misfit)?);
    let recorded = incident.cause.as_deref().map_or("no cause", |id| {
        library.cause(id).map_or(id, |cause| &cause.name)
    });
    document.labelled(
        "Recorded",
        format!(
            "{recorded} ({}), under knowledge {}; this is {}.",
            incident.status.word(),
            incident.knowledge_version,
            env!("CARGO_PKG_VERSION")
        ),
    );
    if walk.steps.is_empty() {
        document.text("No walk was recorded with this incident.");
    }
    context.ui.show(&document)?;
    Ok(Outcome::Done)
}

/// A replayed walk in short: what was asked and found, then the verdict.
fn summary(library: &Library, walk: &Walk<'_>, next: Option<&Turn>) -> Result<Document, Failure> {
    let mut document = json_walk::transcript(library, walk);
    document.gap();
    if matches!(walk.verdict().map_err(misfit)?, Verdict::Likely(_)) {
        document.append(render::standing(walk, None).map_err(misfit)?);
    }
    document.append(render::verdict(library, walk).map_err(misfit)?);
    if let Some(cause) = walk.confirmed() {
        document.append(render::remedy(library, walk, cause));
    }
    match next {
        Some(Turn::Ask {
            question,
            confirms,
            plan,
        }) => {
            document.heading(2, "Would be asked next");
            document.append(render::question(library, walk, *question, *confirms, plan));
        }
        Some(Turn::Confirm { cause, .. }) => {
            document.append(render::confirm(library, walk, *cause));
        }
        Some(Turn::Settled { cause }) if walk.confirmed().is_none() => {
            document.append(render::remedy(library, walk, *cause));
        }
        Some(Turn::Settled { .. } | Turn::HandOver { .. }) | None => {}
    }
    Ok(document)
}

fn converse(
    library: &Library,
    facts: &Facts<'_>,
    drive: &KnownDrive,
    context: &Context,
) -> Result<Outcome, Failure> {
    if context.json {
        return Err(Failure::usage("a conversation has no JSON form")
            .next("give the answers in a file: whytrip walk CLASS --facts FILE --json"));
    }
    let mut document = Document::new();
    document.heading(1, facts.walk.case.class.title.clone());
    if let Some(id) = &drive.id {
        let mut spans = vec![plain("Drive: "), code(id)];
        if !drive.nameplate.is_empty() {
            spans.push(quiet("  The sums take its values from the register."));
        }
        document.paragraph(spans);
    }
    push_cautions(&mut document, library, &facts.walk.case.class.cautions);
    document.text(facts.walk.case.class.meaning.clone());
    document.gap();
    document.labelled("Look first", facts.walk.case.class.first_look.clone());
    if !facts.walk.case.history.is_empty() {
        document.paragraph(vec![
            plain("The order below counts what your log says happens here: "),
            code(format!("whytrip log find {}", facts.walk.case.class.id)),
        ]);
    }
    context.ui.show(&document)?;
    let walk = facts.all_given();
    match conversation::run(library, walk, drive, context)? {
        Ending::Stopped => Ok(Outcome::No),
        Ending::Verdict { walk, proved } => {
            let confirmed = walk.confirmed().is_some();
            if conversation::offer_record(&walk, drive.id.as_deref(), proved, context)? {
                progress::clear(context);
            }
            Ok(if confirmed {
                Outcome::Done
            } else {
                Outcome::No
            })
        }
    }
}

fn misfit(error: impl std::fmt::Display) -> Failure {
    Failure::data(format!("the walk can't be computed: {error}"))
}
