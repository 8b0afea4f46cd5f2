//! The knowledge as one page for a phone's storage: complete without a script, and with its script it
//! searches and computes by itself. Nothing is ever fetched, and nothing that is typed is kept.

mod anchors;
mod causes;
mod check_data;
mod checks;
mod classes;
mod data;
mod drives;
mod front;
mod markup;
mod questions;
mod reference;
mod script;
mod trees;
mod words;

use crate::diagnosis::catalogue::BuiltInChecks;
use crate::knowledge::Library;
use crate::plant::Drive;
use base64::prelude::{BASE64_STANDARD, Engine};
use markup::attribute;
use sha2::{Digest, Sha256};

use crate::search::{self, SearchError};

/// What goes into the page.
#[derive(Debug)]
pub struct Contents<'a> {
    /// The knowledge, a plant's own over it.
    pub library: &'a Library,
    /// The day on which the page is made, as it is shown.
    pub made: &'a str,
    /// Drives of the plant's register; none go in unless they are asked for.
    pub drives: &'a [Drive],
}

/// Why there is no page.
#[derive(Debug, thiserror::Error)]
pub enum PageError {
    /// The words could not be indexed.
    #[error(transparent)]
    Search(#[from] SearchError),
    /// A class gives no tree.
    #[error("the tree of {class} can't be computed: {reason}")]
    Tree {
        /// Its id.
        class: String,
        /// Why.
        reason: String,
    },
    /// The lists for the script could not be written.
    #[error("the page's data can't be written: {0}")]
    Data(#[from] serde_json::Error),
}

const LOOK: &str = include_str!("look.css");

/// The page.
///
/// # Errors
/// When a class of the library gives no tree, or its words no index.
pub fn page(contents: &Contents<'_>) -> Result<String, PageError> {
    let library = contents.library;
    let trees = trees::all(library)?;
    let index = search::portable(library, &BuiltInChecks)?;
    let look = LOOK.trim();
    let script = script::text();
    let data = data::packed(contents, &index)?;
    let policy = format!(
        "default-src 'none'; style-src 'sha256-{}'; script-src 'sha256-{}'; base-uri 'none'; form-action 'none'",
        digest(look),
        digest(&script)
    );
    let chapters = [
        classes::chapter(library, &trees),
        words::chapter(library, &index),
        causes::chapter(library),
        questions::chapter(library),
        checks::chapter(library),
        drives::chapter(contents.drives),
        reference::codes(library),
        reference::cautions(library),
        reference::sources(library),
    ]
    .concat();
    Ok(format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
<meta http-equiv=\"Content-Security-Policy\" content=\"{}\">\n\
<meta name=\"viewport\" content=\"width=device-width,initial-scale=1\">\n\
<meta name=\"color-scheme\" content=\"light dark\">\n\
<meta name=\"referrer\" content=\"no-referrer\">\n\
<title>whytrip to carry along</title>\n<style>{look}</style>\n</head>\n<body id=\"top\">\n{}\
<main id=\"main\">\n{}{}{chapters}</main>\n{}\
<script type=\"application/zlib\" id=\"data\">{data}</script>\n<script type=\"module\">{script}</script>\n</body>\n</html>\n",
        attribute(&policy),
        front::header(),
        front::finder(),
        front::contents(contents),
        front::bar(),
    ))
}

/// What a content security policy knows a style or a script by.
fn digest(text: &str) -> String {
    BASE64_STANDARD.encode(Sha256::digest(text))
}
