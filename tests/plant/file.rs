//! The file behind the log: what is refused and left alone, migration, several users, sudden ends.

use std::{
    fs,
    io::{BufRead, BufReader, Write},
    path::{Path, PathBuf},
    process::{Command, Stdio},
    thread,
    time::Duration,
};

use jiff::{Timestamp, tz::TimeZone};
use rusqlite::Connection;
use tempfile::TempDir;
use whytrip::plant::{Birth, Entry, Filter, Incident, SqliteStore, Store, StoreError, Which};

fn now() -> Timestamp {
    "2026-11-25T08:00:00Z".parse().unwrap()
}

fn incident(words: &str) -> Incident {
    let entry = Entry {
        words: Some(words.to_owned()),
        ..Entry::default()
    };
    Incident::from_entry(&Birth::at(now(), TimeZone::UTC), entry).unwrap()
}

fn folder() -> (TempDir, PathBuf) {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("log.db");
    (folder, path)
}

/// A log with some incidents, closed.
fn filled(path: &Path) {
    let mut store = SqliteStore::open(path, now()).unwrap();
    let incidents: Vec<_> = (0..300)
        .map(|index| incident(&format!("conveyor {index} trips on starting")))
        .collect();
    store.add_incidents(&incidents).unwrap();
}

fn files(folder: &TempDir) -> Vec<String> {
    let names = fs::read_dir(folder.path())
        .unwrap()
        .map(|file| file.unwrap().file_name());
    let mut names: Vec<_> = names
        .map(|name| name.to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

/// Opens the file both ways and looks at everything in it: the first error.
fn complaint(path: &Path) -> StoreError {
    let written = SqliteStore::open(path, now()).err();
    let read = match SqliteStore::open_existing(path, now()) {
        Ok(Some(store)) => store.verify().err(),
        Ok(None) => None,
        Err(error) => Some(error),
    };
    let read = read.expect("reading should have failed");
    let error = written.unwrap_or(read);
    assert!(
        error.to_string().contains(path.to_str().unwrap()),
        "{error}"
    );
    assert!(!error.next_step().is_empty());
    error
}

/// Asserts that a file is refused with an error like this and keeps every byte.
fn refused(path: &Path, expected: fn(&StoreError) -> bool) {
    let before = fs::read(path).unwrap();
    let error = complaint(path);
    assert!(expected(&error), "{error:?}");
    assert!(
        fs::read(path).unwrap() == before,
        "the file was touched: {error}"
    );
}

#[test]
fn reading_creates_nothing() {
    let (folder, path) = folder();
    assert!(SqliteStore::open_existing(&path, now()).unwrap().is_none());
    assert!(
        SqliteStore::open_existing(&folder.path().join("none/log.db"), now())
            .unwrap()
            .is_none()
    );
    assert_eq!(files(&folder), [""; 0]);

    fs::write(&path, "").unwrap();
    assert!(SqliteStore::open_existing(&path, now()).unwrap().is_none());
    assert_eq!(fs::metadata(&path).unwrap().len(), 0);

    filled(&path);
    let mut store = SqliteStore::open_existing(&path, now()).unwrap().unwrap();
    assert_eq!(
        store
            .incidents(&Filter {
                limit: usize::MAX,
                ..Filter::default()
            })
            .unwrap()
            .len(),
        300
    );
    assert!(matches!(
        store.add_incident(&incident("a")),
        Err(StoreError::ReadOnly { .. })
    ));
    drop(store);
    assert_eq!(files(&folder), ["log.db"]);
}

#[test]
fn no_folder_and_a_folder_instead_of_a_file() {
    let (folder, path) = folder();
    let missing = folder.path().join("none");
    let error = SqliteStore::open(&missing.join("log.db"), now()).unwrap_err();
    assert_eq!(
        error.to_string(),
        format!("there is no folder {}", missing.display())
    );
    assert_eq!(files(&folder), [""; 0]);
    fs::create_dir(&path).unwrap();
    assert!(matches!(complaint(&path), StoreError::NotADatabase { .. }));
}

/// Takes the right to write away, unless this user may write everywhere (root): then there is
/// nothing to test.
#[cfg(unix)]
fn forbid_writing(path: &Path) -> bool {
    use std::os::unix::fs::PermissionsExt;
    let mode = if path.is_dir() { 0o555 } else { 0o444 };
    fs::set_permissions(path, fs::Permissions::from_mode(mode)).unwrap();
    if path.is_dir() {
        fs::write(path.join("probe"), "").is_err()
    } else {
        fs::File::options().append(true).open(path).is_err()
    }
}

#[cfg(unix)]
#[test]
fn without_the_right_to_write_a_log_is_read_and_nothing_is_written() {
    use std::os::unix::fs::PermissionsExt;
    let (folder, path) = folder();
    filled(&path);
    let before = fs::read(&path).unwrap();
    for forbidden in [path.clone(), folder.path().to_owned()] {
        if !forbid_writing(&forbidden) {
            return;
        }
        let error = SqliteStore::open(&path, now()).unwrap_err();
        assert!(matches!(error, StoreError::ReadOnly { .. }), "{error:?}");
        let mut store = SqliteStore::open_existing(&path, now()).unwrap().unwrap();
        assert_eq!(store.verify().unwrap().incidents, 300);
        let error = store.add_incident(&incident("a")).unwrap_err();
        assert!(matches!(error, StoreError::ReadOnly { .. }), "{error:?}");
        drop(store);
        assert_eq!(files(&folder), ["log.db"]);
    }
    let error = SqliteStore::open(&folder.path().join("new.db"), now()).unwrap_err();
    assert!(matches!(error, StoreError::NoAccess { .. }), "{error:?}");
    // The folder alone forbids it, the file doesn't.
    fs::set_permissions(&path, fs::Permissions::from_mode(0o644)).unwrap();
    let error = SqliteStore::open(&path, now()).unwrap_err();
    assert!(matches!(error, StoreError::ReadOnly { .. }), "{error:?}");
    let store = SqliteStore::open_existing(&path, now()).unwrap().unwrap();
    assert_eq!(store.verify().unwrap().incidents, 300);
    drop(store);
    assert_eq!(files(&folder), ["log.db"]);
    assert!(fs::read(&path).unwrap() == before);
    // So that the temporary folder can be removed.
    fs::set_permissions(folder.path(), fs::Permissions::from_mode(0o755)).unwrap();
}

#[test]
fn files_of_others_are_refused_untouched() {
    let (_folder, path) = folder();
    for bytes in [
        b"x".to_vec(),
        b"name,place\n".repeat(40),
        vec![0; 8192],
        b"SQLite format 3\0".to_vec(),
    ] {
        fs::write(&path, bytes).unwrap();
        refused(&path, |error| {
            matches!(error, StoreError::NotADatabase { .. })
        });
    }
    fs::remove_file(&path).unwrap();
    Connection::open(&path)
        .unwrap()
        .execute_batch("create table incident (number integer)")
        .unwrap();
    refused(&path, |error| matches!(error, StoreError::Foreign { .. }));
}

#[test]
fn newer_formats_are_refused_untouched() {
    let (_folder, path) = folder();
    filled(&path);
    Connection::open(&path)
        .unwrap()
        .execute_batch("pragma user_version = 99")
        .unwrap();
    refused(&path, |error| {
        matches!(error, StoreError::Newer { found: 99, .. })
    });
}

#[test]
fn damaged_files_are_refused_untouched() {
    let (_folder, path) = folder();
    filled(&path);
    let good = fs::read(&path).unwrap();
    let page = 4096;
    for cut in [page, good.len() / 2, good.len() - page] {
        fs::write(&path, &good[..cut]).unwrap();
        refused(&path, |error| matches!(error, StoreError::Damaged { .. }));
    }
    for first in [0, 16, page, 8 * page, good.len() / 2] {
        let mut bad = good.clone();
        bad[first..first + 64].fill(0xa5);
        fs::write(&path, bad).unwrap();
        refused(&path, |error| !matches!(error, StoreError::Failed { .. }));
    }
    fs::write(&path, &good).unwrap();
    assert_eq!(
        SqliteStore::open(&path, now())
            .unwrap()
            .verify()
            .unwrap()
            .incidents,
        300
    );
}

#[test]
fn a_flipped_bit_in_a_text_is_found_by_verify() {
    let (_folder, path) = folder();
    filled(&path);
    let mut bytes = fs::read(&path).unwrap();
    let words = b"conveyor 123 trips";
    let at = bytes
        .windows(words.len())
        .position(|window| window == words)
        .unwrap();
    bytes[at] ^= 1;
    fs::write(&path, bytes).unwrap();
    let store = SqliteStore::open(&path, now()).unwrap();
    let error = store.verify().unwrap_err();
    assert!(
        matches!(error, StoreError::BadRecord { number: 124, .. }),
        "{error}"
    );
}

#[test]
fn a_log_that_a_killed_program_left_is_read_without_a_change_and_written_on() {
    let (folder, path) = folder();
    let mut store = SqliteStore::open(&path, now()).unwrap();
    store.add_incident(&incident("a")).unwrap();
    // A copy of the files while they are in use is what a sudden end leaves.
    let copied = folder.path().join("copy.db");
    for ending in ["", "-wal"] {
        fs::copy(
            folder.path().join(format!("log.db{ending}")),
            folder.path().join(format!("copy.db{ending}")),
        )
        .unwrap();
    }
    drop(store);
    // SQLite file format, section 1.3: the number of pages, at offset 28. A program that was killed
    // while it moved pages from the write-ahead log has written the first page, and not the last.
    let mut before = fs::read(&copied).unwrap();
    before[28..32].copy_from_slice(&500_u32.to_be_bytes());
    fs::write(&copied, &before).unwrap();

    let reader = SqliteStore::open_existing(&copied, now()).unwrap().unwrap();
    assert_eq!(reader.verify().unwrap().incidents, 1);
    drop(reader);
    assert!(
        fs::read(&copied).unwrap() == before,
        "reading changed the file"
    );
    let mut writer = SqliteStore::open(&copied, now()).unwrap();
    writer.add_incident(&incident("b")).unwrap();
    assert_eq!(writer.verify().unwrap().incidents, 2);
}

/// A log as the first format left it, with one incident.
fn format_1(path: &Path) {
    let connection = Connection::open(path).unwrap();
    connection
        .execute_batch("pragma application_id = 0x57747270; pragma journal_mode = wal;")
        .unwrap();
    connection
        .execute_batch(include_str!(
            "../../src/plant/migrations/2026-11-25-1-incidents.sql"
        ))
        .unwrap();
    connection
        .execute_batch(
            "pragma user_version = 1;
             insert into incident (id, revision, occurred_at, wrong) values ('01ARZ3NDEKTSV4RRFFQ69G5FAV', 1, 0, 0);
             insert into revision (number, revision, recorded_at, occurred_at, words, status, digest)
                 values (1, 1, 0, 0, 'old', 'unresolved', 0);",
        )
        .unwrap();
}

#[test]
fn an_older_log_is_copied_and_brought_up_to_date() {
    let open = |path: &Path| SqliteStore::open(path, now()).unwrap();
    let open_existing = |path: &Path| SqliteStore::open_existing(path, now()).unwrap().unwrap();
    for opened in [&open as &dyn Fn(&Path) -> SqliteStore, &open_existing] {
        let (folder, path) = folder();
        format_1(&path);
        let store = opened(&path);
        assert_eq!(
            store.incident(&Which::Number(1)).unwrap().incident.words,
            "old"
        );
        assert_eq!(store.drives().unwrap(), []);
        let copy = store.saved_copy().unwrap().to_owned();
        drop(store);
        assert_eq!(
            files(&folder),
            ["log-format-1-20261125T080000Z.db", "log.db"]
        );
        let copy = Connection::open(copy).unwrap();
        let number = |sql| copy.query_row(sql, [], |row| row.get::<_, u32>(0)).unwrap();
        assert_eq!(number("pragma user_version"), 1);
        assert_eq!(number("pragma application_id"), 0x5774_7270);
        assert_eq!(
            number("select count(*) from revision where words = 'old'"),
            1
        );
        assert_eq!(
            opened(&path).saved_copy(),
            None,
            "there is nothing left to do"
        );
    }
}

#[test]
fn several_threads_add_at_once() {
    let (_folder, path) = folder();
    thread::scope(|scope| {
        for writer in 0..4 {
            let path = &path;
            scope.spawn(move || {
                let mut store = SqliteStore::open(path, now()).unwrap();
                for index in 0..50 {
                    store
                        .add_incident(&incident(&format!("writer {writer} incident {index}")))
                        .unwrap();
                }
            });
        }
    });
    let store = SqliteStore::open(&path, now()).unwrap();
    assert_eq!(store.verify().unwrap().incidents, 200);
    let mut numbers: Vec<_> = all(&store).iter().map(|logged| logged.number).collect();
    numbers.sort_unstable();
    assert_eq!(numbers, (1..=200).collect::<Vec<_>>());
}

fn all(store: &SqliteStore) -> Vec<whytrip::plant::Logged> {
    store
        .incidents(&Filter {
            limit: usize::MAX,
            ..Filter::default()
        })
        .unwrap()
}

/// Where a child process finds the log it has to write to.
const LOG_OF_CHILD: &str = "PLANT_FILE_TEST_LOG";

/// Not a test of its own: what the children of the next one do. It adds incidents until it is
/// stopped and tells the number of each that was acknowledged.
#[test]
#[ignore = "run by its parent"]
fn child_adds_until_it_is_stopped() {
    let Some(path) = std::env::var_os(LOG_OF_CHILD) else {
        return;
    };
    let mut store = SqliteStore::open(Path::new(&path), now()).unwrap();
    let mut output = std::io::stdout();
    for index in 0..100_000 {
        let added = store
            .add_incident(&incident(&format!("incident {index}")))
            .unwrap();
        writeln!(output, "\nadded {}", added.number).unwrap();
        output.flush().unwrap();
    }
}

#[test]
fn killed_processes_lose_nothing_that_was_acknowledged() {
    let (_folder, path) = folder();
    let mut acknowledged = 0;
    for round in 0..6 {
        let mut children: Vec<_> = (0..3)
            .map(|_| {
                Command::new(std::env::current_exe().unwrap())
                    .args([
                        "--exact",
                        "file::child_adds_until_it_is_stopped",
                        "--ignored",
                        "--nocapture",
                    ])
                    .env(LOG_OF_CHILD, &path)
                    .stdout(Stdio::piped())
                    .stderr(Stdio::null())
                    .spawn()
                    .unwrap()
            })
            .collect();
        // Also killed while they still create the log.
        thread::sleep(Duration::from_millis(4 + 37 * round));
        for child in &mut children {
            child.kill().unwrap();
        }
        let mut told = Vec::new();
        for mut child in children {
            let lines = BufReader::new(child.stdout.take().unwrap())
                .lines()
                .map_while(Result::ok);
            // The last line may be cut off; the ones before it are whole.
            let numbers = lines.filter_map(|line| line.strip_prefix("added ")?.parse::<u32>().ok());
            told.extend(numbers);
            child.wait().unwrap();
        }
        let store = SqliteStore::open(&path, now()).unwrap();
        let there: Vec<_> = all(&store).iter().map(|logged| logged.number).collect();
        for number in &told {
            assert!(
                there.contains(number),
                "incident {number} was acknowledged and is gone"
            );
        }
        store.verify().unwrap();
        acknowledged += told.len();
    }
    assert!(acknowledged > 0, "nobody got to write anything");
}
