//! A file of samples is one run's at a time: how it is begun, and why it cannot be used.

use super::head::{Head, NoHead};
use std::fs::{File, TryLockError};
use std::io::{self, Write};
use std::path::Path;

/// Why a store cannot be used.
#[derive(Debug)]
pub(super) enum StoreError {
    /// A message for the user, who can do something about it.
    Refused(String),
    /// The file system refuses.
    Io(io::Error),
}

impl From<io::Error> for StoreError {
    fn from(e: io::Error) -> Self {
        Self::Io(e)
    }
}

/// Keeps other runs off a file as long as this one lives. Where the file system knows no locks nobody
/// can be kept off.
pub(super) fn hold(file: &File, path: &Path) -> Result<(), StoreError> {
    match file.try_lock() {
        Err(TryLockError::WouldBlock) => Err(StoreError::Refused(format!(
            "another run is writing `{}`\n  wait for its end, or name another file by --store",
            path.display()
        ))),
        Ok(()) | Err(TryLockError::Error(_)) => Ok(()),
    }
}

/// Why no new file can be made where one is.
pub(super) fn taken(path: &Path) -> StoreError {
    let shown = path.display();
    let file = match File::open(path) {
        Ok(file) => file,
        Err(e) => return e.into(),
    };
    if let Err(held) = hold(&file, path) {
        return held;
    }
    match Head::read(&file) {
        Ok(_) => StoreError::Refused(format!(
            "`{shown}` holds the samples of a run that was not finished\n  go on with it by --resume, remove it, or name another file by --store"
        )),
        Err(NoHead::Foreign) => StoreError::Refused(format!(
            "`{shown}` is there already and is no file of samples: it is left alone\n  name another file by --store"
        )),
        Err(NoHead::Io(e)) => e.into(),
    }
}

/// Writes the first line; its length.
pub(super) fn put_head(file: &mut File, head: &Head) -> io::Result<u64> {
    let mut line = serde_json::to_string(head).map_err(io::Error::other)?;
    line.push('\n');
    file.write_all(line.as_bytes())?;
    Ok(line.len() as u64)
}
