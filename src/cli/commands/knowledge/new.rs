//! `knowledge new class`: three files with everything that has to be written, explained.

use std::fs::{self, OpenOptions};
use std::io::Write;
use std::path::Path;

use crate::builtin;
use crate::cli::context::Context;
use crate::cli::failure::{Failure, Outcome};
use crate::knowledge::is_id;
use crate::render::doc::{Block, Document, plain};

/// The files of a class: folder, text with ID and TITLE to be put in.
const TEMPLATES: [(&str, &str); 3] = [
    ("classes", include_str!("templates/class.yaml")),
    ("causes", include_str!("templates/causes.yaml")),
    ("questions", include_str!("templates/questions.yaml")),
];

pub fn class(id: &str, dir: &Path, context: &Context) -> Result<Outcome, Failure> {
    if !is_id(id) {
        return Err(Failure::usage(format!("\"{id}\" is not an id"))
            .because("an id is lower-case words and figures joined by hyphens".to_owned())
            .next("whytrip knowledge new class pump-runs-dry --dir mine"));
    }
    let library = builtin::knowledge().map_err(|error| Failure::data(error.to_string()))?;
    if library.class(id).is_some() {
        return Err(Failure::usage(format!("{id} is built in"))
            .because("a class of that id in your folder would stand in its place")
            .next(format!("whytrip show {id}, or choose another id")));
    }
    let files = TEMPLATES.map(|(folder, text)| {
        let path = dir.join(folder).join(format!("{id}.yaml"));
        (path, text.replace("ID", id))
    });
    // Nothing is written if one of the three is there already.
    if let Some((path, _)) = files.iter().find(|(path, _)| path.exists()) {
        return Err(
            Failure::usage(format!("{} is there already", path.display()))
                .next("choose another id, or another folder with --dir DIR"),
        );
    }
    for (path, text) in &files {
        write(path, text).map_err(|error| {
            Failure::data(format!("{} can't be written", path.display())).because(error.to_string())
        })?;
    }
    let mut document = Document::new();
    document.text("Begun. Fill in what says FILL IN, from the class to the questions:");
    for (path, _) in &files {
        document.item(vec![plain(path.display().to_string())]);
    }
    document.text("Then:");
    let dir = dir.display();
    document.push(Block::Command(format!("whytrip knowledge check {dir}")));
    document.push(Block::Command(format!(
        "whytrip --knowledge {dir} walk {id}"
    )));
    if context.json {
        context.ui.raw(&crate::render::json::document(serde_json::json!({
            "id": id,
            "files": files.iter().map(|(path, _)| path.display().to_string()).collect::<Vec<_>>(),
        })))?;
    } else {
        context.ui.show(&document)?;
    }
    Ok(Outcome::Done)
}

fn write(path: &Path, text: &str) -> std::io::Result<()> {
    if let Some(folder) = path.parent() {
        fs::create_dir_all(folder)?;
    }
    let mut file = OpenOptions::new().write(true).create_new(true).open(path)?;
    file.write_all(text.as_bytes())
}
