//! What an error of the database means to whoever uses the log.

use std::path::Path;

use rusqlite::{Error, ErrorCode};

use crate::plant::StoreError;

pub(super) fn explain(path: &Path, error: Error) -> StoreError {
    let path = path.to_owned();
    match error.sqlite_error_code() {
        Some(ErrorCode::DatabaseCorrupt) => StoreError::Damaged {
            path,
            detail: error.to_string(),
        },
        Some(ErrorCode::NotADatabase) => StoreError::NotADatabase { path },
        Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => StoreError::Busy { path },
        Some(ErrorCode::DiskFull) => StoreError::Full { path },
        Some(ErrorCode::ReadOnly) => StoreError::ReadOnly { path },
        Some(ErrorCode::CannotOpen | ErrorCode::PermissionDenied) => StoreError::NoAccess {
            path,
            source: error.into(),
        },
        // A table or a column that must be there and isn't, or that holds another kind of value.
        _ => match &error {
            Error::SqliteFailure(_, Some(text)) if text.starts_with("no such ") => {
                StoreError::Damaged {
                    path,
                    detail: text.clone(),
                }
            }
            Error::InvalidColumnType(..)
            | Error::IntegralValueOutOfRange(..)
            | Error::Utf8Error(..) => StoreError::Damaged {
                path,
                detail: error.to_string(),
            },
            _ => StoreError::Failed {
                path,
                source: error.into(),
            },
        },
    }
}

/// An error of the file system.
pub(super) fn no_access(path: &Path, error: std::io::Error) -> StoreError {
    StoreError::NoAccess {
        path: path.to_owned(),
        source: error.into(),
    }
}
