//! `knowledge`: check a folder of knowledge files, or report what is built in.

use std::collections::BTreeMap;
use std::path::PathBuf;

use crate::cli::context::{Context, yaml_files};
use crate::cli::failure::{Failure, Outcome};
use crate::diagnosis::catalogue::BuiltInChecks;
use crate::knowledge::{self, Loaded};
use crate::render::doc::{Document, code, plain};
use crate::render::{checked, json};

/// Check knowledge files, or report what is known
#[derive(Debug, clap::Args)]
pub struct Args {
    #[command(subcommand)]
    command: Sub,
}

#[derive(Debug, clap::Subcommand)]
enum Sub {
    /// Check a folder of knowledge files; every problem comes with file, line and remedy
    Check {
        /// The folder, with classes/, causes/ and questions/ in it
        folder: PathBuf,
        /// The folder stands by itself instead of over the built-in knowledge
        #[arg(long)]
        alone: bool,
    },
}

pub fn run(args: Args, context: &Context) -> Result<Outcome, Failure> {
    let Sub::Check { folder, alone } = args.command;
    let files = yaml_files(&folder)?;
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
        Ok(loaded) => {
            if context.json {
                context
                    .ui
                    .raw(&json::document(checked::in_order(&loaded)))?;
            } else {
                context.ui.show(&report(&loaded))?;
            }
            Ok(Outcome::Done)
        }
        Err(problems) => {
            if context.json {
                context.ui.raw(&json::document(checked::wrong(&problems)))?;
            } else {
                let text: Vec<String> = problems.iter().map(ToString::to_string).collect();
                context.ui.lines(&text.join("\n\n"))?;
            }
            Err(Failure::data(format!(
                "{} in {}",
                counted(problems.len(), "problem", "problems"),
                folder.display()
            )))
        }
    }
}

fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

fn report(loaded: &Loaded) -> Document {
    let mut document = Document::new();
    let measuring = loaded
        .questions
        .iter()
        .filter(|q| q.item.measure.is_some())
        .count();
    document.heading(1, "Knowledge is in order");
    document.text(format!(
        "{}, {}, {} ({measuring} measuring), {}, {}.",
        counted(loaded.classes.len(), "class", "classes"),
        counted(loaded.causes.len(), "cause", "causes"),
        counted(loaded.questions.len(), "question", "questions"),
        counted(loaded.cautions.len(), "caution", "cautions"),
        counted(loaded.references.len(), "source", "sources"),
    ));
    let mut by_item: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for advice in &loaded.advice {
        by_item.entry(&advice.about).or_default().push(&advice.text);
    }
    if !by_item.is_empty() {
        document.heading(2, "Worth a thought");
        for (about, texts) in by_item {
            document.item(vec![code(about), plain(format!(": {}", texts.join("; ")))]);
        }
    }
    document
}
