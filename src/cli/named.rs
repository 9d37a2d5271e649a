//! A boat file as the command line names it.

use std::ffi::OsString;
use std::fmt;
use std::path::{Path, PathBuf};

/// The name of a boat file, of whatever bytes the system lets names be, or `-` for standard input.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BoatFile(PathBuf);

impl BoatFile {
    /// Whether it comes from standard input.
    pub fn is_stdin(&self) -> bool {
        self.0.as_os_str() == "-"
    }

    /// Where it lies.
    pub fn path(&self) -> &Path {
        &self.0
    }

    /// Its name without folder and ending, with more behind it; of standard input, `boat`.
    pub fn stem_with(&self, more: &str) -> PathBuf {
        let stem = self.0.file_stem().filter(|_| !self.is_stdin());
        let mut name = stem.map_or_else(|| OsString::from("boat"), OsString::from);
        name.push(more);
        PathBuf::from(name)
    }
}

impl From<OsString> for BoatFile {
    fn from(name: OsString) -> Self {
        Self(PathBuf::from(name))
    }
}

impl From<&Path> for BoatFile {
    fn from(path: &Path) -> Self {
        Self(path.to_path_buf())
    }
}

/// As it is shown: what is no text in it is a mark.
impl fmt::Display for BoatFile {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.display().fmt(f)
    }
}
