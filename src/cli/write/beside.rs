//! Files and folders under names of the program's own, beside what they are to become. They go when
//! their work fails or is stopped; after a kill the next run knows them by their names.

use super::{place, stop};
use std::ffi::{OsStr, OsString};
use std::fs::{self, File, OpenOptions};
use std::io;
use std::path::{Path, PathBuf};

/// What lies beside a target.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// Not finished, or no longer needed.
    Part,
    /// The list of pages that are about to take their names together.
    Pages,
    /// A folder that is whole and about to take the target's name.
    Ready,
    /// What had the target's name.
    Old,
}

impl Kind {
    const ALL: [(Kind, &str); 4] =
        [(Kind::Part, "part"), (Kind::Pages, "pages"), (Kind::Ready, "ready"), (Kind::Old, "old")];

    fn ending(self) -> &'static str {
        Self::ALL.iter().find(|(kind, _)| *kind == self).map_or("part", |(_, ending)| ending)
    }
}

/// What stands between the target's name and the number of the process.
const MARK: &str = ".lidcard-";

/// The name that the target of a file or folder of ours has, and what it is; none for any other.
pub fn known(name: &OsStr) -> Option<(OsString, Kind)> {
    let text = name.to_str()?;
    let (target, rest) = text.strip_prefix('.')?.rsplit_once(MARK)?;
    let (number, ending) = rest.split_once('.')?;
    let (process, attempt) = number.split_once('-')?;
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    let (kind, _) = Kind::ALL.iter().find(|(_, e)| *e == ending)?;
    (!target.is_empty() && digits(process) && digits(attempt)).then(|| (OsString::from(target), *kind))
}

/// Something beside its target. Dropped before it has become anything, it goes.
#[derive(Debug)]
pub struct Beside {
    path: PathBuf,
    stays: bool,
}

impl Beside {
    /// A new file.
    ///
    /// # Errors
    ///
    /// When the system refuses, or as [`free`].
    pub fn file(target: &Path) -> io::Result<(Self, File)> {
        Self::new(target, Kind::Part, |path| OpenOptions::new().write(true).create_new(true).open(path))
    }

    /// A new folder.
    ///
    /// # Errors
    ///
    /// When the system refuses, or as [`free`].
    pub fn folder(target: &Path) -> io::Result<Self> {
        Self::new(target, Kind::Part, |path| fs::create_dir(path)).map(|(beside, ())| beside)
    }

    fn new<T>(target: &Path, kind: Kind, make: impl Fn(&Path) -> io::Result<T>) -> io::Result<(Self, T)> {
        for attempt in 0..100 {
            let path = name(target, kind, attempt)?;
            let made = stop::holding(&path, || make(&path));
            match made {
                Ok(made) => return Ok((Self { path, stays: false }, made)),
                Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
                Err(error) => return Err(error),
            }
        }
        Err(io::Error::other("too many unfinished ones lie beside it"))
    }

    /// Where it lies.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Gives it the target's name, whatever has that now.
    ///
    /// # Errors
    ///
    /// When the system refuses; the target is then as it was.
    pub fn becomes(self, target: &Path) -> io::Result<()> {
        fs::rename(&self.path, target)?;
        self.done();
        Ok(())
    }

    /// Gives it the target's name unless something has that.
    ///
    /// # Errors
    ///
    /// When something has the name, or the system refuses.
    pub fn becomes_only_if_free(self, target: &Path) -> io::Result<()> {
        place::only_if_free(&self.path, target)?;
        self.done();
        Ok(())
    }

    /// Gives it a name of another kind beside the same target, that is free.
    ///
    /// # Errors
    ///
    /// When the system refuses, or as [`free`].
    pub fn turns_into(self, target: &Path, kind: Kind) -> io::Result<Self> {
        let path = free(target, kind)?;
        fs::rename(&self.path, &path)?;
        self.done();
        Ok(Self { path, stays: true })
    }

    /// It is no longer this one's to take away.
    pub fn done(mut self) {
        stop::let_go(&self.path);
        self.stays = true;
    }
}

impl Drop for Beside {
    fn drop(&mut self) {
        if !self.stays {
            // What failed before is the one thing to tell; what is left over is only untidy.
            let _ = remove(&self.path);
            stop::let_go(&self.path);
        }
    }
}

/// A name of ours beside the target that nothing has.
///
/// # Errors
///
/// When the target has no file name, or a hundred names are taken.
pub fn free(target: &Path, kind: Kind) -> io::Result<PathBuf> {
    for attempt in 0..100 {
        let path = name(target, kind, attempt)?;
        if fs::symlink_metadata(&path).is_err() {
            return Ok(path);
        }
    }
    Err(io::Error::other("too many unfinished ones lie beside it"))
}

fn name(target: &Path, kind: Kind, attempt: u32) -> io::Result<PathBuf> {
    let name = target.file_name().ok_or_else(|| io::Error::other("that names no file and no folder"))?;
    let mut beside = OsString::from(".");
    beside.push(name);
    // A system without processes runs nothing else that could be at work here.
    let process = if cfg!(target_family = "wasm") { 0 } else { std::process::id() };
    beside.push(format!("{MARK}{process}-{attempt}.{}", kind.ending()));
    Ok(target.with_file_name(beside))
}

/// Takes away a file, or a folder with the plain files in it: ours hold no others.
///
/// # Errors
///
/// When the system refuses.
pub fn remove(path: &Path) -> io::Result<()> {
    if !fs::symlink_metadata(path)?.is_dir() {
        return fs::remove_file(path);
    }
    for entry in fs::read_dir(path)? {
        let entry = entry?;
        if entry.file_type()?.is_file() {
            fs::remove_file(entry.path())?;
        }
    }
    fs::remove_dir(path)
}

#[cfg(test)]
mod tests {
    use super::{Kind, known};
    use std::ffi::{OsStr, OsString};

    #[test]
    fn only_names_of_our_own_are_known() {
        let known = |name: &str| known(OsStr::new(name));
        assert_eq!(known(".newt.yaml.lidcard-17-0.part"), Some((OsString::from("newt.yaml"), Kind::Part)));
        assert_eq!(
            known(".a.lidcard-1-0.b.lidcard-17-3.old"),
            Some((OsString::from("a.lidcard-1-0.b"), Kind::Old))
        );
        for other in [
            "newt.yaml.lidcard-17-0.part",
            ".newt.part",
            ".newt.lidcard-x-0.part",
            ".newt.lidcard-17.part",
            ".lidcard-1-0.part",
            ".newt.lidcard-17-0.tmp",
        ] {
            assert_eq!(known(other), None, "{other}");
        }
    }
}
