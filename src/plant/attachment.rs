//! Which paths an attachment may have: below the attachment folder, on every system.

use super::field::{FieldError, form};

/// Whether an attachment may have this path.
pub fn is_path(path: &str) -> bool {
    check(path).is_ok()
}

/// A path is relative, goes down only, and is written with `/`.
///
/// # Errors
/// For a path that starts at a root or a drive letter, goes up, or names a stream or a device.
pub(super) fn check(path: &str) -> Result<(), FieldError> {
    let part_is_good =
        |part: &str| !part.is_empty() && part != "." && part != ".." && !part.ends_with([' ', '.']);
    if !path.contains(['\\', ':']) && path.split('/').all(part_is_good) {
        return Ok(());
    }
    Err(form(
        "attachments",
        path,
        "a path below the attachment folder, such as 2026/rinser.jpg: copy the file there first",
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_stay_below_the_folder() {
        for path in ["a.jpg", "2026/rinser 3.jpg", "Füller/ä.pdf", ".hidden"] {
            assert_eq!(check(path), Ok(()), "{path}");
        }
        // Traversal as in CWE-22 to CWE-40: up, root, drive letter, share, stream, dots at the end.
        for path in [
            "",
            "/etc/passwd",
            "../log.db",
            "a/../../b",
            "a//b",
            "./a",
            "a/",
            "C:\\a",
            "c:a",
            "\\\\host\\share",
            "..\\a",
            "a.jpg:stream",
            "a/.. ",
            "a/...",
        ] {
            assert!(check(path).is_err(), "{path}");
        }
    }
}
