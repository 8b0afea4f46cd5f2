//! What every command needs: the streams, the knowledge, the plant's folders.

use std::cell::Cell;
use std::collections::BTreeMap;
use std::fs;
use std::io::Read;
use std::path::{Path, PathBuf};

use super::failure::Failure;
use super::ui::Ui;
use crate::builtin;
use crate::diagnosis::case::History;
use crate::diagnosis::catalogue::BuiltInChecks;
use crate::diagnosis::record::Fact;
use crate::knowledge::{self, Library, SourceFile};
use crate::plant::register::kept;
use crate::plant::{Drive, SqliteStore, Store, StoreError, histories};
use jiff::Timestamp;

/// The surroundings of a command.
#[derive(Debug)]
pub struct Context {
    /// The streams.
    pub ui: Ui,
    /// Whether JSON is wanted.
    pub json: bool,
    data: Option<PathBuf>,
    overlay: Option<PathBuf>,
    told_overrides: Cell<bool>,
}

impl Context {
    /// What the options said.
    pub fn new(ui: Ui, json: bool, data: Option<PathBuf>, overlay: Option<PathBuf>) -> Context {
        Context {
            ui,
            json,
            data,
            overlay,
            told_overrides: Cell::new(false),
        }
    }

    /// The knowledge, with the plant's own over it.
    ///
    /// # Errors
    /// When the program file is damaged or the plant's files are wrong.
    pub fn knowledge(&self) -> Result<Library, Failure> {
        let library = builtin::knowledge().map_err(|error| Failure::data(error.to_string()))?;
        let Some(folder) = &self.overlay else {
            return Ok(library);
        };
        let files = yaml_files(folder)?;
        let base = library.as_loaded();
        match knowledge::load(&files, Some(&base), &BuiltInChecks) {
            Ok(overlay) => {
                self.tell_overrides(folder, &overlay.overrides(&base));
                Ok(library.with_overlay(overlay))
            }
            Err(problems) => {
                let first = problems
                    .first()
                    .map(ToString::to_string)
                    .unwrap_or_default();
                Err(Failure::data(format!(
                    "the knowledge folder {} is not right; problems: {}",
                    folder.display(),
                    problems.len()
                ))
                .because(first)
                .next(format!("whytrip knowledge check {}", folder.display())))
            }
        }
    }

    /// Says once a run what the plant's folder puts in place of built-in items: whoever trusts a step
    /// should know whose it is.
    fn tell_overrides(&self, folder: &Path, overrides: &[String]) {
        if overrides.is_empty() || self.told_overrides.replace(true) {
            return;
        }
        let shown = overrides.iter().take(5).cloned().collect::<Vec<_>>();
        let more = match overrides.len() - shown.len() {
            0 => String::new(),
            count => format!(" and {count} more"),
        };
        self.ui.note(&format!(
            "note: {} stands in place of built-in items: {}{more}",
            folder.display(),
            shown.join(", ")
        ));
    }

    /// A drive of the plant's register.
    ///
    /// # Errors
    /// When there is no such drive, or the log can't be read.
    pub fn drive(&self, id: &str) -> Result<Drive, Failure> {
        let unknown = || Failure::usage(format!("there is no drive \"{id}\" in the register"));
        let Some(store) = self.store_to_read()? else {
            return Err(unknown().next("whytrip drive add --file FILE"));
        };
        if let Some(drive) = store
            .drive(id)
            .map_err(|error| self.store_failure(&error))?
        {
            return Ok(drive);
        }
        let drives = store.drives().map_err(|error| self.store_failure(&error))?;
        let near = drives
            .iter()
            .min_by_key(|drive| strsim::osa_distance(&drive.id, id));
        Err(match near {
            Some(near) => unknown()
                .because(format!("closest: {}", near.id))
                .next("whytrip drive list"),
            None => unknown().next("whytrip drive add --file FILE"),
        })
    }

    /// Whether the register has any drive.
    pub fn has_drives(&self) -> bool {
        let store = self.store_to_read().ok().flatten();
        store.is_some_and(|store| store.drives().is_ok_and(|drives| !drives.is_empty()))
    }

    /// A drive that the register does not have is taken as the plant's own word, and told.
    pub fn note_unknown_drive(&self, drive: Option<&str>) {
        if let Some(id) = drive
            && self.drive(id).is_err()
            && self.has_drives()
        {
            self.ui.note(&format!(
                "note: the register has no drive \"{id}\"; see whytrip drive list"
            ));
        }
    }

    /// The nameplate of a drive in the plant's register, as far as checks take it.
    ///
    /// # Errors
    /// As [`Context::drive`].
    pub fn drive_nameplate(&self, id: &str) -> Result<Vec<Fact>, Failure> {
        let nameplate = self.drive(id)?.nameplate.into_iter();
        Ok(nameplate.filter(|(name, _)| kept(name).is_none()).collect())
    }

    /// What the plant's log knows of a class. A log that can't be read must not stop a walk: it is
    /// told, and the walk goes without.
    pub fn history(&self, class: &str, drive: Option<&str>) -> History {
        self.histories(drive).remove(class).unwrap_or_default()
    }

    /// What the plant's log knows of every class, by its id; as [`Context::history`].
    pub fn histories(&self, drive: Option<&str>) -> BTreeMap<String, History> {
        let counted = || -> Result<BTreeMap<String, History>, Failure> {
            match self.store_to_read()? {
                Some(store) => histories(&store, drive).map_err(|error| self.store_failure(&error)),
                None => Ok(BTreeMap::new()),
            }
        };
        counted().unwrap_or_else(|failure| {
            self.ui
                .note(&format!("note: the log was left out: {}", failure.message));
            BTreeMap::new()
        })
    }

    fn log_file(&self) -> Result<PathBuf, Failure> {
        Ok(self.data_folder()?.join("log.db"))
    }

    /// The log for reading; none if there is no log yet.
    ///
    /// # Errors
    /// When it is damaged, foreign, newer or can't be read; it is left untouched.
    pub fn store_to_read(&self) -> Result<Option<SqliteStore>, Failure> {
        let store = SqliteStore::open_existing(&self.log_file()?, Timestamp::now())
            .map_err(|error| self.store_failure(&error))?;
        if let Some(store) = &store {
            self.tell_of_saved_copy(store);
        }
        Ok(store)
    }

    /// The log for writing; it is made if there is none.
    ///
    /// # Errors
    /// As [`Context::store_to_read`], or when it can't be written.
    pub fn store_to_write(&self) -> Result<SqliteStore, Failure> {
        let path = self.log_file_in_its_folder()?;
        let store = SqliteStore::open(&path, Timestamp::now())
            .map_err(|error| self.store_failure(&error))?;
        self.tell_of_saved_copy(&store);
        Ok(store)
    }

    /// Where the log lies; its folder is made if there is none.
    ///
    /// # Errors
    /// When the folder can't be made.
    pub fn log_file_in_its_folder(&self) -> Result<PathBuf, Failure> {
        let path = self.log_file()?;
        if let Some(folder) = path.parent() {
            fs::create_dir_all(folder).map_err(|error| {
                Failure::data(format!("the folder {} can't be made", folder.display()))
                    .because(error.to_string())
                    .next("name another one with --data DIR or WHYTRIP_DATA")
            })?;
        }
        Ok(path)
    }

    /// A log of an older version was brought up to date: where its copy is.
    fn tell_of_saved_copy(&self, store: &SqliteStore) {
        if let Some(copy) = store.saved_copy() {
            self.ui.note(&format!(
                "note: the log was brought up to date; a copy of it as it was is in {}",
                copy.display()
            ));
        }
    }

    /// A failure of the log in words; what the user got wrong is a usage error.
    pub fn store_failure(&self, error: &StoreError) -> Failure {
        let usage = matches!(
            error,
            StoreError::NotFound { .. }
                | StoreError::Ambiguous { .. }
                | StoreError::Field(_)
                | StoreError::Exists { .. }
                | StoreError::LogExists { .. }
                | StoreError::SameFile { .. }
                | StoreError::NoFolder { .. }
        );
        let mut source = std::error::Error::source(error);
        let mut causes = Vec::new();
        while let Some(cause) = source {
            causes.push(cause.to_string());
            source = cause.source();
        }
        let failure = if usage {
            Failure::usage(error.to_string())
        } else {
            Failure::data(error.to_string())
        };
        let failure = if causes.is_empty() {
            failure
        } else {
            failure.because(causes.join(": "))
        };
        match error {
            StoreError::NotFound { .. } => failure.next("whytrip log list"),
            _ => failure.next(error.next_step()),
        }
    }

    /// Whether the plant has knowledge of its own.
    pub fn has_overlay(&self) -> bool {
        self.overlay.is_some()
    }

    /// The folder of the plant's log and drives.
    ///
    /// # Errors
    /// When no folder was named and the home folder is not known.
    pub fn data_folder(&self) -> Result<PathBuf, Failure> {
        if let Some(folder) = &self.data {
            return Ok(folder.clone());
        }
        let variable = |name: &str| {
            std::env::var_os(name)
                .filter(|value| !value.is_empty())
                .map(PathBuf::from)
        };
        let base = if cfg!(windows) {
            variable("LOCALAPPDATA")
        } else {
            variable("XDG_DATA_HOME")
                .filter(|path| path.is_absolute())
                .or_else(|| variable("HOME").map(|home| home.join(".local/share")))
        };
        base.map(|base| base.join("whytrip")).ok_or_else(|| {
            Failure::usage("it is not known where the log should lie")
                .next("name a folder with --data DIR or WHYTRIP_DATA")
        })
    }
}

/// Largest knowledge file that is read.
const LARGEST_FILE: u64 = 4 * 1024 * 1024;

/// The YAML files of a knowledge folder, in a fixed order.
///
/// # Errors
/// When the folder or a file can't be read.
pub fn yaml_files(root: &Path) -> Result<Vec<SourceFile>, Failure> {
    let unreadable = |path: &Path, error: std::io::Error| {
        Failure::data(format!("{} can't be read", path.display()))
            .because(error.to_string())
            .next("see knowledge/README.md of the project for the shape of a knowledge folder")
    };
    let mut files = Vec::new();
    let mut folders = vec![(root.to_path_buf(), 0)];
    while let Some((folder, depth)) = folders.pop() {
        for entry in fs::read_dir(&folder).map_err(|error| unreadable(&folder, error))? {
            let path = entry.map_err(|error| unreadable(&folder, error))?.path();
            if path.is_dir() {
                if depth < 2 {
                    folders.push((path, depth + 1));
                }
                continue;
            }
            if path
                .extension()
                .is_none_or(|ending| ending != "yaml" && ending != "yml")
            {
                continue;
            }
            let size = fs::metadata(&path)
                .map_err(|error| unreadable(&path, error))?
                .len();
            if size > LARGEST_FILE {
                return Err(
                    Failure::data(format!("{} is larger than 4 MiB", path.display()))
                        .next("split it by area"),
                );
            }
            let text = fs::read_to_string(&path).map_err(|error| unreadable(&path, error))?;
            let name = path
                .strip_prefix(root)
                .unwrap_or(&path)
                .to_string_lossy()
                .replace('\\', "/");
            files.push(SourceFile {
                name: name.replace(".yml", ".yaml"),
                text,
            });
        }
    }
    files.sort_by(|one, other| one.name.cmp(&other.name));
    Ok(files)
}

/// Largest file of facts or incidents that is read.
const LARGEST_INPUT: u64 = 16 * 1024 * 1024;

/// A file's text, or what comes through standard input for `-`.
///
/// # Errors
/// When it can't be read, is too large or not text.
pub fn read_text(path: &Path) -> Result<String, Failure> {
    let unreadable = |reason: String| {
        Failure::usage(format!("{} can't be read", path.display())).because(reason)
    };
    let mut bytes = Vec::new();
    let mut reader: Box<dyn Read> = if path == Path::new("-") {
        Box::new(std::io::stdin().lock())
    } else {
        Box::new(fs::File::open(path).map_err(|error| unreadable(error.to_string()))?)
    };
    reader
        .by_ref()
        .take(LARGEST_INPUT + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| unreadable(error.to_string()))?;
    if bytes.len() as u64 > LARGEST_INPUT {
        return Err(unreadable("it is larger than 16 MiB".to_owned()));
    }
    String::from_utf8(bytes).map_err(|_| unreadable("it is not UTF-8 text".to_owned()))
}
