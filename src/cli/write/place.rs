//! Names that change hands in one step, where the system can do that.

use std::fs;
use std::io;
use std::path::{self, Path, PathBuf};

/// Exchanges the names of two files or folders in one step.
///
/// # Errors
/// When it fails, or [`is_unsupported`] here.
#[cfg(any(target_os = "linux", target_os = "android", target_vendor = "apple"))]
pub fn exchange(one: &Path, other: &Path) -> io::Result<()> {
    use rustix::fs::{CWD, RenameFlags, renameat_with};
    Ok(renameat_with(CWD, one, CWD, other, RenameFlags::EXCHANGE)?)
}

/// Exchanges the names of two files or folders in one step.
///
/// # Errors
/// Always: this system has no such call.
#[cfg(not(any(target_os = "linux", target_os = "android", target_vendor = "apple")))]
pub fn exchange(_: &Path, _: &Path) -> io::Result<()> {
    Err(io::ErrorKind::Unsupported.into())
}

/// The path of what is there, without links.
///
/// # Errors
/// When nothing is there, or it cannot be looked at.
pub fn resolved(path: &Path) -> io::Result<PathBuf> {
    match fs::canonicalize(path) {
        // Here is no telling where a link leads.
        Err(error) if error.kind() == io::ErrorKind::Unsupported => {
            fs::symlink_metadata(path)?;
            path::absolute(path)
        }
        resolved => resolved,
    }
}

/// What came of giving rights to a file or folder, where nobody has any: nothing needs to.
///
/// # Errors
/// When it failed where there are rights.
pub fn permitted(given: io::Result<()>) -> io::Result<()> {
    match given {
        Err(error) if error.kind() == io::ErrorKind::Unsupported => Ok(()),
        given => given,
    }
}

/// The system or the disk cannot do it at all; another way may.
pub fn is_unsupported(error: &io::Error) -> bool {
    matches!(error.kind(), io::ErrorKind::Unsupported | io::ErrorKind::InvalidInput)
}

/// Renames unless something has the new name.
///
/// # Errors
/// When it fails; of the kind `AlreadyExists` when the name is taken.
pub fn only_if_free(from: &Path, to: &Path) -> io::Result<()> {
    match rename_if_free(from, to) {
        Err(error) if is_unsupported(&error) => {}
        done => return done,
    }
    if fs::symlink_metadata(from)?.is_dir() {
        // A folder does not take the name of a file, nor of a folder that holds something.
        return match fs::symlink_metadata(to) {
            Ok(_) => Err(io::ErrorKind::AlreadyExists.into()),
            Err(_) => fs::rename(from, to),
        };
    }
    // A second name is made only where none is; a kill between the two leaves one that the next run
    // clears away.
    fs::hard_link(from, to)?;
    fs::remove_file(from)
}

#[cfg(any(target_os = "linux", target_os = "android", target_vendor = "apple"))]
fn rename_if_free(from: &Path, to: &Path) -> io::Result<()> {
    use rustix::fs::{CWD, RenameFlags, renameat_with};
    Ok(renameat_with(CWD, from, CWD, to, RenameFlags::NOREPLACE)?)
}

#[cfg(not(any(target_os = "linux", target_os = "android", target_vendor = "apple")))]
fn rename_if_free(_: &Path, _: &Path) -> io::Result<()> {
    Err(io::ErrorKind::Unsupported.into())
}
