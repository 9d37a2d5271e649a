//! Files that a command reads beside boat files: never waited for, and never longer than they may be.

use super::outcome::Failure;
use crate::source::file;
use std::path::Path;

/// More than this nobody types into a file of answers.
pub(super) const LONGEST_ANSWERS: u64 = 1 << 20;

/// The bytes of a file that is called `what` and is no longer than `most`.
///
/// # Errors
/// When it cannot be read, is no plain file or is longer.
pub(super) fn bytes(path: &Path, most: u64, what: &str) -> Result<Vec<u8>, Failure> {
    let name = path.display();
    let bytes = file::read(path, most).map_err(|error| Failure(format!("cannot read {name}: {error}")))?;
    if bytes.len() as u64 > most {
        return Err(Failure(format!("{name} is longer than {} MB: that is no {what}", most >> 20)));
    }
    Ok(bytes)
}

/// The same as text.
///
/// # Errors
/// As well when it is none.
pub(super) fn text(path: &Path, most: u64, what: &str) -> Result<String, Failure> {
    let bytes = bytes(path, most, what)?;
    let no_text = |_| Failure(format!("cannot read {}: it is not UTF-8 text", path.display()));
    String::from_utf8(bytes).map_err(no_text)
}
