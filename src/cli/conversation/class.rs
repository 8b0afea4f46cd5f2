//! Which class it is: by its id, by words, by what is already known, or by both.

use std::collections::BTreeMap;

use crate::cli::commands::find;
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::diagnosis::across::{self, Across};
use crate::diagnosis::record::Fact;
use crate::knowledge::{FaultClass, Library};
use crate::render::doc::{Block, Document, plain, quiet};
use crate::render::walk::share_words;

/// How many hits are looked at when a class is to be chosen.
const OFFERED: usize = 5;

/// Every class weighed by facts and words.
///
/// # Errors
/// When the search or the log can't be read.
pub fn weighed<'k>(
    library: &'k Library,
    words: &str,
    facts: &[Fact],
    drive: Option<&str>,
    context: &Context,
) -> Result<Across<'k>, Failure> {
    let mut spoken = BTreeMap::new();
    if !words.is_empty() {
        let found = find::searcher(library, context)?
            .find(words, usize::from(u8::MAX))
            .map_err(|error| Failure::data(error.to_string()))?;
        for hit in &found.hits {
            if let Some(class) = &hit.class {
                let best: &mut f64 = spoken.entry(class.clone()).or_default();
                *best = best.max(hit.score);
            }
        }
    }
    let histories = context.histories(drive);
    let history = |class: &str| histories.get(class).cloned().unwrap_or_default();
    Ok(across::rank(library, facts, &spoken, &history))
}

/// A class from a description in plain words: the best hits are offered, never taken unasked.
///
/// # Errors
/// When nothing matches or nobody can choose.
pub fn from_words<'k>(
    library: &'k Library,
    words: &str,
    context: &Context,
) -> Result<&'k FaultClass, Failure> {
    if let Some(class) = library.class(words.trim()) {
        return Ok(class);
    }
    let found = find::searcher(library, context)?
        .find(words, OFFERED)
        .map_err(|error| Failure::data(error.to_string()))?;
    let mut classes: Vec<&FaultClass> = Vec::new();
    let codes = find::plant_codes(words, context);
    let on_sheet = codes.iter().map(|found| found.code.class.as_str());
    let known = found.hits.iter().filter_map(|hit| hit.class.as_deref());
    for id in on_sheet.chain(known) {
        if let Some(class) = library.class(id)
            && !classes.iter().any(|known| known.id == class.id)
        {
            classes.push(class);
        }
    }
    if classes.is_empty() {
        return Err(
            Failure::usage(format!("no fault class matches \"{words}\""))
                .because(found.advice.join(" "))
                .next("whytrip show    (lists the fault classes)"),
        );
    }
    if context.json {
        let best = &classes[0].id;
        return Err(
            Failure::usage(format!("\"{words}\" is not the id of a fault class"))
                .because(format!("best match: {best}"))
                .next(format!("whytrip walk {best}")),
        );
    }
    let offered: Vec<(&FaultClass, Option<f64>)> =
        classes.into_iter().map(|class| (class, None)).collect();
    choose(library, &offered, context)
}

/// A class from what is known: the best fitting ones are offered.
///
/// # Errors
/// When nobody chooses.
pub fn from_facts<'k>(
    library: &'k Library,
    across: &Across<'k>,
    context: &Context,
) -> Result<&'k FaultClass, Failure> {
    let offered: Vec<(&FaultClass, Option<f64>)> = across
        .classes
        .iter()
        .take(OFFERED)
        .map(|fit| (fit.class, Some(fit.share)))
        .collect();
    choose(library, &offered, context)
}

fn choose<'k>(
    library: &'k Library,
    offered: &[(&'k FaultClass, Option<f64>)],
    context: &Context,
) -> Result<&'k FaultClass, Failure> {
    let mut document = Document::new();
    document.text("Which of these is it?");
    for (number, (class, share)) in (1u32..).zip(offered) {
        let mut spans = vec![plain(class.title.as_str())];
        if let Some(share) = share {
            spans.push(quiet(format!(" ({})", share_words(*share))));
        }
        document.push(Block::Numbered(number, spans));
    }
    context.ui.show(&document)?;
    let best = offered.first().map_or("CLASS", |(class, _)| &class.id);
    loop {
        let Some(line) = context.ui.ask("> ")? else {
            return Err(
                Failure::usage("no fault class was chosen").next(format!("whytrip walk {best}"))
            );
        };
        let typed = line.trim();
        let number = typed
            .parse::<usize>()
            .ok()
            .and_then(|number| number.checked_sub(1));
        if let Some((class, _)) = number.and_then(|index| offered.get(index)) {
            return Ok(class);
        }
        if let Some(class) = library.class(typed) {
            return Ok(class);
        }
        if matches!(typed, "q" | "quit" | "stop") {
            return Err(Failure::interrupted("no fault class was chosen"));
        }
        context
            .ui
            .tell("Type the number of a class, its id, or q to stop.");
    }
}
