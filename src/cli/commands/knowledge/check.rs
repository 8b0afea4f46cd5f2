//! `knowledge check`: first the files, then the gates, then what is covered.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use crate::builtin;
use crate::cli::context::{Context, yaml_files};
use crate::cli::facts_file::{DriveEntry, FactsFile};
use crate::cli::failure::{Failure, Outcome};
use crate::diagnosis::case::{Case, History};
use crate::diagnosis::catalogue::BuiltInChecks;
use crate::diagnosis::replay;
use crate::diagnosis::verdict::Verdict;
use crate::diagnosis::walk::Walk;
use crate::gates::{self, Coverage, Scope, Shortcoming};
use crate::knowledge::load::parse;
use crate::knowledge::{self, Library, Loaded, SourceFile};
use crate::render::{checked, json};
use crate::search::Searcher;

/// Between two words about progress so many classes go by.
const STEP: usize = 10;

pub fn run(
    folder: Option<&Path>,
    alone: bool,
    walks: Option<&Path>,
    context: &Context,
) -> Result<Outcome, Failure> {
    let Some(folder) = folder else {
        let library = context.knowledge()?;
        let report = look(&library, None, walks, context)?;
        return show(&report, context);
    };
    let Some(loaded) = load(folder, alone, context)? else {
        return Err(Failure::data(format!(
            "{} is not in order",
            folder.display()
        )));
    };
    let built_in = || builtin::knowledge().map_err(|error| Failure::data(error.to_string()));
    let (library, own) = if alone {
        let library = Library::of(&loaded).map_err(|error| Failure::data(error.to_string()))?;
        (library, None)
    } else {
        (built_in()?.with_overlay(loaded.clone()), Some(&loaded))
    };
    let mut report = look(&library, own, walks, context)?;
    if !alone {
        report.overrides = loaded.overrides(&built_in()?.as_loaded());
    }
    show(&report, context)
}

/// The files of a folder; none if they have problems, which have been told.
fn load(folder: &Path, alone: bool, context: &Context) -> Result<Option<Loaded>, Failure> {
    let files = yaml_files(folder)?;
    if files.is_empty() {
        return Err(
            Failure::usage(format!("there are no YAML files in {}", folder.display()))
                .next("name the folder that holds classes/, causes/ and questions/"),
        );
    }
    let base = if alone {
        None
    } else {
        Some(context.knowledge()?.as_loaded())
    };
    match knowledge::load(&files, base.as_ref(), &BuiltInChecks) {
        Ok(loaded) => Ok(Some(loaded)),
        Err(problems) => {
            if context.json {
                context.ui.raw(&json::document(checked::wrong(&problems)))?;
            } else {
                let text: Vec<String> = problems.iter().map(ToString::to_string).collect();
                context.ui.lines(&text.join("\n\n"))?;
            }
            let count = problems.len();
            let word = if count == 1 { "problem" } else { "problems" };
            Err(Failure::data(format!(
                "{count} {word} in {}",
                folder.display()
            )))
        }
    }
}

/// Runs the gates and counts.
fn look(
    library: &Library,
    own: Option<&Loaded>,
    walks: Option<&Path>,
    context: &Context,
) -> Result<checked::Report, Failure> {
    let scope = match own {
        Some(own) => Scope::of(library, own),
        None => Scope::whole(library),
    };
    context.ui.progress("Searching with every phrase ...");
    let searcher = Searcher::over(library, &BuiltInChecks)
        .map_err(|error| Failure::data(error.to_string()))?;
    let mut shortcomings =
        gates::check(&scope, &searcher).map_err(|error| Failure::data(error.to_string()))?;
    let coverage = gates::coverage(&scope, &mut |done, all| {
        if done % STEP == 0 && all > STEP {
            context
                .ui
                .progress(&format!("Planning class {} of {all} ...", done + 1));
        }
    });
    if let Some(folder) = walks {
        shortcomings.extend(recorded(library, &coverage, folder, context)?);
        shortcomings.sort();
    }
    Ok(checked::Report {
        shortcomings,
        coverage,
        overrides: Vec::new(),
        counts: checked::Counts::of(library, own),
    })
}

fn show(report: &checked::Report, context: &Context) -> Result<Outcome, Failure> {
    if context.json {
        context.ui.raw(&json::document(checked::json(report)))?;
    } else {
        context.ui.show(&checked::document(report))?;
    }
    Ok(if report.shortcomings.is_empty() {
        Outcome::Done
    } else {
        Outcome::No
    })
}

/// Replays the recorded cases of each class.
fn recorded(
    library: &Library,
    coverage: &Coverage,
    folder: &Path,
    context: &Context,
) -> Result<Vec<Shortcoming>, Failure> {
    if !folder.is_dir() {
        return Err(Failure::usage(format!(
            "{} is no folder of recorded cases",
            folder.display()
        ))
        .next("put each case into DIR/<class>/<cause>.yaml, as walk --facts takes it"));
    }
    let mut found = Vec::new();
    for (done, class) in coverage.classes.iter().enumerate() {
        context.ui.progress(&format!(
            "Replaying the cases of class {} of {} ...",
            done + 1,
            coverage.classes.len()
        ));
        let mut report = |text: String| {
            found.push(Shortcoming {
                about: class.id.clone(),
                gate: "recorded",
                text,
            });
        };
        let cases = cases(&folder.join(&class.id));
        if cases.is_empty() {
            report(format!(
                "no recorded case reaches it: add {}/<cause>.yaml",
                folder.join(&class.id).display()
            ));
        }
        for path in cases {
            match replayed(library, &class.id, &path) {
                Ok(ended) if cause_of(&path).as_deref() == Some(ended.as_str()) => {}
                Ok(ended) => report(format!("{} ends in {ended}", path.display())),
                Err(reason) => report(format!("{}: {reason}", path.display())),
            }
        }
    }
    Ok(found)
}

/// The recorded cases of a class in a fixed order.
fn cases(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let mut paths: Vec<PathBuf> = entries
        .map(|entry| entry.path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "yaml"))
        .collect();
    paths.sort();
    paths
}

/// The cause that a case is about: its file's name, without the number of a second or third case.
fn cause_of(path: &Path) -> Option<String> {
    let stem = path.file_stem()?.to_str()?;
    let plain = stem.rsplit_once('-').filter(|(_, number)| {
        !number.is_empty() && number.bytes().all(|byte| byte.is_ascii_digit())
    });
    Some(plain.map_or(stem, |(stem, _)| stem).to_owned())
}

/// Where a recorded case ends.
fn replayed(library: &Library, class: &str, path: &Path) -> Result<String, String> {
    let text = fs::read_to_string(path).map_err(|error| error.to_string())?;
    let source = SourceFile {
        name: path.display().to_string(),
        text,
    };
    let file: FactsFile = parse(&source).map_err(|problem| problem.to_string())?;
    let nameplate = match file.drive {
        DriveEntry::Nameplate(values) => values,
        DriveEntry::None => BTreeMap::new(),
        DriveEntry::Id(id) => return Err(format!("give the nameplate of {id} instead of its id")),
    };
    let class = library.class(class).ok_or("there is no such class")?;
    let case =
        Case::compile(library, class, History::default()).map_err(|error| error.to_string())?;
    let facts: Vec<(String, String)> = nameplate.into_iter().chain(file.facts).collect();
    let read = replay::read(library, Walk::new(case, BTreeMap::new()), &facts)
        .map_err(|error| error.to_string())?;
    let walk = read.replayed().map_err(|error| error.to_string())?;
    Ok(match walk.verdict().map_err(|error| error.to_string())? {
        Verdict::Confirmed(cause) => walk
            .case
            .causes
            .get(cause)
            .map_or("something else", |cause| &cause.id)
            .to_owned(),
        Verdict::Likely(_) => "a likely cause only".to_owned(),
        Verdict::Unresolved => "no cause".to_owned(),
    })
}
