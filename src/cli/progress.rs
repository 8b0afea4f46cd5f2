//! Keeps the walk that is going on, so that a stop, Ctrl-C or a lost terminal loses nothing.

use std::fs;
use std::io::Write;
use std::path::PathBuf;

use super::context::Context;
use super::failure::Failure;

const FILE: &str = "walk-in-progress.txt";

/// A walk that was stopped.
#[derive(Debug)]
pub struct Kept {
    /// Id of its class.
    pub class: String,
    /// The drive of the register, if one was named.
    pub drive: Option<String>,
    /// Its text form.
    pub text: String,
}

fn path(context: &Context) -> Result<PathBuf, Failure> {
    Ok(context.data_folder()?.join(FILE))
}

/// Keeps a walk. That a walk can't be kept must not stop it: the first time it is told, no more.
pub fn keep(context: &Context, kept: &Kept) -> Result<(), Failure> {
    let Kept { class, drive, text } = kept;
    let drive = drive.as_deref().unwrap_or("");
    let path = path(context)?;
    let folder = path.parent().map(PathBuf::from).unwrap_or_default();
    let draft = folder.join(format!("{FILE}.{}", std::process::id()));
    let written = fs::create_dir_all(&folder)
        .and_then(|()| fs::File::create(&draft))
        .and_then(|mut file| file.write_all(format!("{class}\n{drive}\n{text}\n").as_bytes()))
        .and_then(|()| fs::rename(&draft, &path));
    written.map_err(|error| {
        Failure::data(format!("the walk can't be kept in {}", path.display()))
            .because(error.to_string())
    })
}

/// The walk that was stopped last.
///
/// # Errors
/// When there is none, or it can't be read.
pub fn load(context: &Context) -> Result<Kept, Failure> {
    let path = path(context)?;
    let nothing =
        || Failure::usage("there is no stopped walk to go on with").next("whytrip walk CLASS");
    let text = fs::read_to_string(&path).map_err(|error| match error.kind() {
        std::io::ErrorKind::NotFound => nothing(),
        _ => Failure::data(format!("{} can't be read", path.display())).because(error.to_string()),
    })?;
    let mut lines = text.splitn(3, '\n').map(str::trim);
    let (Some(class), Some(drive), Some(text)) = (lines.next(), lines.next(), lines.next()) else {
        return Err(nothing());
    };
    Ok(Kept {
        class: class.to_owned(),
        drive: (!drive.is_empty()).then(|| drive.to_owned()),
        text: text.to_owned(),
    })
}

/// Forgets a walk that has ended.
pub fn clear(context: &Context) {
    if let Ok(path) = path(context) {
        // Nothing is lost if it stays.
        let _ = fs::remove_file(path);
    }
}
