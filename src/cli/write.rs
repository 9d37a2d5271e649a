//! Writing a file so that it is there whole or not at all.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// Puts the bytes into a new file beside the target and then gives it the target's name. Whoever
/// opens the target sees the old bytes or the new ones, also when the power fails in between.
pub fn atomically(target: &Path, bytes: &[u8]) -> io::Result<()> {
    // A link stays a link: what it points to is replaced.
    let target = fs::canonicalize(target).unwrap_or_else(|_| target.to_path_buf());
    let old = fs::metadata(&target).ok();
    if old.as_ref().is_some_and(|m| !m.is_file() && !m.is_dir()) {
        // A device or a pipe cannot be replaced by a file.
        return OpenOptions::new().write(true).open(&target)?.write_all(bytes);
    }
    if old.as_ref().is_some_and(fs::Metadata::is_dir) {
        return Err(io::Error::new(io::ErrorKind::IsADirectory, "that is a folder"));
    }
    let (mut file, beside) = create_beside(&target)?;
    let written = (|| {
        file.write_all(bytes)?;
        if let Some(old) = &old {
            file.set_permissions(old.permissions())?;
        }
        file.sync_all()?;
        drop(file);
        fs::rename(&beside, &target)
    })();
    match written {
        Ok(()) => sync_folder(&target),
        Err(error) => {
            // The first error is the one to tell; what is left over is only untidy.
            let _ = fs::remove_file(&beside);
            return Err(error);
        }
    }
    Ok(())
}

/// The same for a file that must not be there yet.
pub fn anew(target: &Path, bytes: &[u8]) -> io::Result<()> {
    // The name is taken first, so that of two who write at once only one does.
    OpenOptions::new().write(true).create_new(true).open(target)?;
    atomically(target, bytes).inspect_err(|_| {
        let _ = fs::remove_file(target);
    })
}

fn create_beside(target: &Path) -> io::Result<(File, PathBuf)> {
    let name = target.file_name().ok_or_else(|| io::Error::other("that names no file"))?;
    for attempt in 0..100 {
        let mut beside = std::ffi::OsString::from(".");
        beside.push(name);
        beside.push(format!(".{}-{attempt}.part", std::process::id()));
        let beside = target.with_file_name(beside);
        match OpenOptions::new().write(true).create_new(true).open(&beside) {
            Ok(file) => return Ok((file, beside)),
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
            Err(error) => return Err(error),
        }
    }
    Err(io::Error::other("too many unfinished files lie beside it"))
}

/// The new name is safe once the folder is on the disk too. Not every system lets a folder be
/// opened; the file is whole all the same, so this is a best effort.
fn sync_folder(target: &Path) {
    let folder = target.parent().filter(|p| !p.as_os_str().is_empty());
    if let Ok(folder) = File::open(folder.unwrap_or(Path::new("."))) {
        let _ = folder.sync_all();
    }
}
