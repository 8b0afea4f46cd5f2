//! The forms in which a page can be written.

use super::context::Context;
use super::failure::Failure;
use crate::render::doc::Document;
use crate::render::{html, markdown};

/// Form of a page.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum)]
pub enum PageFormat {
    /// For the terminal
    #[default]
    Text,
    /// Markdown
    Markdown,
    /// One HTML page, good on paper
    Html,
}

/// Writes a page in the wanted form.
///
/// # Errors
/// When the output is gone.
pub fn write(
    document: &Document,
    title: &str,
    format: PageFormat,
    context: &Context,
) -> Result<(), Failure> {
    match format {
        PageFormat::Text => context.ui.show(document),
        PageFormat::Markdown => context.ui.raw(&markdown::to_markdown(document)),
        PageFormat::Html => context.ui.raw(&html::to_html(document, title)),
    }
}
