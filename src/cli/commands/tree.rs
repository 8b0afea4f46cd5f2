//! `tree`: the whole decision tree of a class, to read, print or draw.

use crate::cli::context::Context;
use crate::cli::failure::{Failure, Outcome};
use crate::cli::format::{self, PageFormat};
use crate::diagnosis::case::Case;
use crate::diagnosis::situation::Situation;
use crate::diagnosis::tree::{REACH_ONE_PAGE, REACH_TEXT, compile};
use crate::render::tree as render;

#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:
  whytrip tree ground-fault
  whytrip tree ground-fault --one-page --format html > door.html
  whytrip tree ground-fault --format dot | dot -Tsvg > tree.svg")]
pub struct Args {
    /// Id of the fault class
    class: String,
    /// How to write it
    #[arg(long, value_enum, default_value_t, value_name = "FORM")]
    format: TreeFormat,
    /// Cut rare branches, so that it fits a page inside the cabinet door
    #[arg(long)]
    one_page: bool,
    /// Count what the log says of this drive
    #[arg(long, value_name = "ID")]
    drive: Option<String>,
}

/// Form of a tree.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum)]
enum TreeFormat {
    /// Numbered steps for the terminal
    #[default]
    Text,
    /// Numbered steps as Markdown
    Markdown,
    /// Numbered steps as one HTML page, good on paper
    Html,
    /// A graph in the DOT language
    Dot,
    /// A Mermaid flow chart
    Mermaid,
}

pub fn run(args: Args, context: &Context) -> Result<Outcome, Failure> {
    let library = context.knowledge()?;
    let class = library.class(&args.class).ok_or_else(|| {
        let failure = Failure::usage(format!("there is no fault class \"{}\"", args.class));
        match library.nearest_class(&args.class) {
            Some(near) => failure
                .because(format!("closest: {near}"))
                .next(format!("whytrip tree {near}")),
            None => failure.next("whytrip show    (lists the fault classes)"),
        }
    })?;
    let history = context.history(&class.id, args.drive.as_deref());
    let misfit = |error: String| Failure::data(format!("the tree can't be computed: {error}"));
    let case =
        Case::compile(&library, class, history).map_err(|error| misfit(error.to_string()))?;
    let cut = if args.one_page {
        REACH_ONE_PAGE
    } else {
        REACH_TEXT
    };
    context
        .ui
        .progress("planning the tree; this takes some seconds");
    let tree = compile(&case.model, &Situation::at_start(&case.model), cut)
        .map_err(|error| misfit(error.to_string()))?;
    let page = match args.format {
        TreeFormat::Dot => {
            return context
                .ui
                .raw(&render::dot(&library, &case, &tree))
                .map(|()| Outcome::Done);
        }
        TreeFormat::Mermaid => {
            return context
                .ui
                .raw(&render::mermaid(&library, &case, &tree))
                .map(|()| Outcome::Done);
        }
        TreeFormat::Text => PageFormat::Text,
        TreeFormat::Markdown => PageFormat::Markdown,
        TreeFormat::Html => PageFormat::Html,
    };
    format::write(
        &render::steps(&library, &case, &tree),
        &class.title,
        page,
        context,
    )?;
    Ok(Outcome::Done)
}
