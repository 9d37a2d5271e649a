//! Writing files so that they are there whole or not at all.
//!
//! Everything is written beside its target under a name of the program's own and then takes the target's
//! name. Whoever opens the target sees the old bytes or the new ones, also when the power fails in
//! between. What a run that was killed leaves under such names, the next one in the folder clears away
//! ([`left`]).

pub mod beside;
pub mod inputs;
mod left;
mod pages;
mod place;
pub mod stop;

pub use left::Folders;
pub use pages::{NotAll, all};
pub use place::{exchange, is_unsupported, only_if_free, permitted, resolved};

use crate::cli::Streams;
use crate::cli::outcome::Failure;
use crate::source::file;
use beside::Beside;
use sha2::{Digest, Sha256};
use std::fs::{self, File, OpenOptions, Permissions};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

/// Enters the folders of these outputs, and tells what a killed run left there and what became of it.
///
/// # Errors
/// When that cannot be told, or another program keeps one of the folders to itself.
pub fn enter<'a>(
    outputs: impl IntoIterator<Item = &'a Path>,
    streams: &mut Streams<'_>,
) -> Result<Folders, Failure> {
    let mut waiting = |folder: &Path| {
        // Whoever cannot be told waits all the same.
        let _ = streams.complain(format!(
            "another program has locked the folder {}: waiting for it\n",
            folder.display()
        ));
    };
    let (folders, told) = left::enter(outputs, &mut waiting).map_err(|left::Locked(folder)| {
        let name = folder.display();
        Failure(format!(
            "the folder {name} is locked by another program, and nothing is written there: end that program, or name a file in another folder"
        ))
    })?;
    for line in told {
        streams.complain(format!("{line}\n"))?;
    }
    Ok(folders)
}

/// Puts the bytes in place of a file, or makes it.
///
/// # Errors
/// When it cannot be written; then the target is as it was.
pub fn atomically(target: &Path, bytes: &[u8]) -> io::Result<()> {
    let Target { path, old } = match Target::of(target)? {
        Some(target) => target,
        // A device or a pipe cannot be replaced by a file.
        None => {
            device(target)?.write_all(bytes)?;
            stop::finished(target);
            return Ok(());
        }
    };
    let beside = staged(&path, bytes, old)?;
    stop::not_now(|| beside.becomes(&path).map(|()| stop::finished(target)))?;
    sync_folder(&path);
    Ok(())
}

/// The same for a file that must not be there yet: of two who write at once only one does, and nothing
/// takes the name before it is whole.
///
/// # Errors
/// As [`atomically`]; of the kind `AlreadyExists` when the name is taken.
pub fn anew(target: &Path, bytes: &[u8], permissions: Option<Permissions>) -> io::Result<()> {
    // Also where a link lies that leads nowhere.
    if fs::symlink_metadata(target).is_ok() {
        return Err(io::ErrorKind::AlreadyExists.into());
    }
    let beside = staged(target, bytes, permissions)?;
    stop::not_now(|| beside.becomes_only_if_free(target).map(|()| stop::finished(target)))?;
    sync_folder(target);
    Ok(())
}

/// The SHA-256 of some bytes in hexadecimal digits, by which lists of files tell whose they are.
pub fn sum(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// The same of a plain file, of which no more than a piece is held at a time.
///
/// # Errors
/// When it cannot be read, or is no file.
pub fn sum_of_file(path: &Path) -> io::Result<String> {
    let mut file = file::open(path)?;
    let mut hash = Sha256::new();
    let mut piece = vec![0; 1 << 16];
    loop {
        match file.read(&mut piece)? {
            0 => return Ok(hash.finalize().iter().map(|byte| format!("{byte:02x}")).collect()),
            count => hash.update(&piece[..count]),
        }
    }
}

/// A device or a pipe, open for writing. For somebody to read from a pipe nobody waits.
#[cfg(unix)]
fn device(path: &Path) -> io::Result<File> {
    use rustix::fs::{Mode, OFlags, open};
    use rustix::io::Errno;
    // Open until the other is: whoever reads sees one writer after the other and no end between them.
    let _tried = match open(path, OFlags::WRONLY | OFlags::NONBLOCK | OFlags::CLOEXEC, Mode::empty()) {
        Err(Errno::NXIO) => return Err(io::Error::other("that is a pipe from which nobody reads")),
        tried => tried?,
    };
    OpenOptions::new().write(true).open(path)
}

/// A device or a pipe, open for writing.
#[cfg(not(unix))]
fn device(path: &Path) -> io::Result<File> {
    OpenOptions::new().write(true).open(path)
}

/// A file that may be written, behind all links.
struct Target {
    path: PathBuf,
    /// What whoever may do with the file that is there.
    old: Option<Permissions>,
}

impl Target {
    /// None for what is no file and no folder, such as a device.
    fn of(path: &Path) -> io::Result<Option<Self>> {
        // A link stays a link: what it points to is replaced.
        let real = match resolved(path) {
            Ok(real) => real,
            Err(error) if error.kind() == io::ErrorKind::NotFound => {
                if fs::symlink_metadata(path).is_ok() {
                    let why = "that is a link to something that is not there; take it away, or name another";
                    return Err(io::Error::other(why));
                }
                return Ok(Some(Self { path: path.to_path_buf(), old: None }));
            }
            Err(error) => return Err(error),
        };
        let facts = fs::metadata(&real)?;
        if facts.is_dir() {
            return Err(io::Error::new(io::ErrorKind::IsADirectory, "that is a folder"));
        }
        Ok(facts.is_file().then(|| Self { path: real, old: Some(facts.permissions()) }))
    }
}

/// The bytes in a new file beside the target, safe on the disk.
fn staged(target: &Path, bytes: &[u8], permissions: Option<Permissions>) -> io::Result<Beside> {
    let (beside, mut file) = Beside::file(target)?;
    file.write_all(bytes)?;
    if let Some(permissions) = permissions {
        permitted(file.set_permissions(permissions))?;
    }
    file.sync_all()?;
    Ok(beside)
}

/// The new name is safe once the folder is on the disk too. Not every system lets a folder be
/// opened; the file is whole all the same, so this is a best effort.
pub fn sync_folder(target: &Path) {
    if let Ok(folder) = File::open(folder_of(target)) {
        let _ = folder.sync_all();
    }
}

/// The folder in which something lies.
fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."))
}
