//! Files from outside, read as far as they may be long.

use std::fs::{self, File};
use std::io::{self, Read};
use std::path::Path;

/// A file, open for reading. What is no plain file is not opened: a pipe without a writer would be waited for without
/// end.
///
/// # Errors
/// When it cannot be opened, or is no file.
pub fn open(path: &Path) -> io::Result<File> {
    let facts = fs::metadata(path)?;
    if facts.is_dir() {
        return Err(io::Error::new(io::ErrorKind::IsADirectory, "that is a folder"));
    }
    if !facts.is_file() {
        let why = "that is no plain file but a pipe or a device";
        return Err(io::Error::new(io::ErrorKind::InvalidInput, why));
    }
    File::open(path)
}

/// The bytes of a plain file, and one more than the most if it is longer.
///
/// # Errors
/// When it cannot be read, or is no file.
pub fn read(path: &Path, most: u64) -> io::Result<Vec<u8>> {
    let file = open(path)?;
    // As long as it is now: what it grows by meanwhile is read all the same.
    let long = file.metadata()?.len().min(most);
    let mut bytes = Vec::with_capacity(usize::try_from(long).unwrap_or(0) + 1);
    file.take(most + 1).read_to_end(&mut bytes)?;
    Ok(bytes)
}
