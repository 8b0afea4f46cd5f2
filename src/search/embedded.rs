//! The files of the index, read in place from the block of bytes: a directory that cannot be written.

use std::fmt;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use tantivy::directory::error::{DeleteError, LockError, OpenReadError, OpenWriteError};
use tantivy::directory::{
    Directory, DirectoryLock, FileHandle, Lock, OwnedBytes, WatchCallback, WatchHandle, WritePtr,
};

use super::table::Table;

/// A read-only directory over the sections `index/…` of the block.
#[derive(Clone)]
pub struct Embedded {
    bytes: OwnedBytes,
}

impl Embedded {
    /// A directory over a block that [`super::index::write`] wrote.
    pub fn new(bytes: OwnedBytes) -> Embedded {
        Embedded { bytes }
    }

    fn section(&self, path: &Path) -> Option<OwnedBytes> {
        let name = format!("index/{}", path.to_str()?);
        let table = Table::open(self.bytes.as_slice())?;
        let range = table.range(&name)?;
        Some(self.bytes.slice(range))
    }
}

impl fmt::Debug for Embedded {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "Embedded({} bytes)", self.bytes.len())
    }
}

fn read_only() -> io::Error {
    io::Error::new(
        io::ErrorKind::PermissionDenied,
        "the built-in index cannot be written",
    )
}

impl Directory for Embedded {
    fn get_file_handle(&self, path: &Path) -> Result<Arc<dyn FileHandle>, OpenReadError> {
        match self.section(path) {
            Some(bytes) => Ok(Arc::new(bytes)),
            None => Err(OpenReadError::FileDoesNotExist(path.to_path_buf())),
        }
    }

    fn delete(&self, path: &Path) -> Result<(), DeleteError> {
        Err(DeleteError::IoError {
            io_error: Arc::new(read_only()),
            filepath: path.to_path_buf(),
        })
    }

    fn exists(&self, path: &Path) -> Result<bool, OpenReadError> {
        Ok(self.section(path).is_some())
    }

    fn open_write(&self, path: &Path) -> Result<WritePtr, OpenWriteError> {
        Err(OpenWriteError::IoError {
            io_error: Arc::new(read_only()),
            filepath: path.to_path_buf(),
        })
    }

    fn atomic_read(&self, path: &Path) -> Result<Vec<u8>, OpenReadError> {
        // The list of managed files matters only to a writer.
        if path == Path::new(".managed.json") {
            return Ok(b"[]".to_vec());
        }
        match self.section(path) {
            Some(bytes) => Ok(bytes.as_slice().to_vec()),
            None => Err(OpenReadError::FileDoesNotExist(PathBuf::from(path))),
        }
    }

    fn atomic_write(&self, _path: &Path, _data: &[u8]) -> io::Result<()> {
        Err(read_only())
    }

    fn sync_directory(&self) -> io::Result<()> {
        Ok(())
    }

    fn acquire_lock(&self, _lock: &Lock) -> Result<DirectoryLock, LockError> {
        Ok(DirectoryLock::from(Box::new(())))
    }

    fn watch(&self, _callback: WatchCallback) -> tantivy::Result<WatchHandle> {
        Ok(WatchHandle::empty())
    }
}
