//! A handover as a folder that is there whole or not at all.
//!
//! The files are written into a new folder beside the target, which then takes the target's name. An
//! earlier handover steps aside for that moment under a name of its own: whatever happens, the old one
//! or the new one is whole, and if the power fails just then the old one lies beside under that name.

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::ffi::OsString;
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// The list of a handover's files, by which an earlier one is known.
pub const MANIFEST: &str = "handover.json";
/// A longer list is none of ours.
const LONGEST: u64 = 1 << 20;

/// The list, version 1: a key may be added, none may change its name or meaning.
#[derive(Debug, Serialize, Deserialize)]
pub struct Manifest {
    version: u8,
    boat: String,
    code: String,
    files: Vec<Listed>,
}

#[derive(Debug, Serialize, Deserialize)]
struct Listed {
    name: String,
    sha256: String,
}

impl Manifest {
    /// The list of these files.
    pub fn of<'a>(boat: &str, code: &str, files: impl Iterator<Item = (&'a str, &'a [u8])>) -> Self {
        let files = files.map(|(name, bytes)| Listed { name: name.to_owned(), sha256: sum(bytes) }).collect();
        Self { version: 1, boat: boat.to_owned(), code: code.to_owned(), files }
    }
}

fn sum(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// Puts the files into the folder `target`. If an earlier handover that was replaced could not be
/// taken away afterwards, where it lies.
///
/// # Errors
/// In words, with what to do; then the target is as it was.
pub fn hand_over(
    target: &Path,
    boat: &str,
    files: Vec<(String, Vec<u8>)>,
) -> Result<Option<PathBuf>, String> {
    // A link stays a link: what it points to is replaced.
    let target = fs::canonicalize(target).unwrap_or_else(|_| target.to_path_buf());
    let shown = target.display();
    let earlier = earlier(&target, boat)?;
    let failed = |error: io::Error| format!("cannot write {shown}: {error}; nothing was changed");
    let fresh = make_beside(&target, "part").map_err(failed)?;
    let written = fill(&fresh, &files).and_then(|()| match earlier {
        None => fs::rename(&fresh, &target).map(|()| None),
        Some(_) => swap(&target, &fresh).map(Some),
    });
    let old = written.map_err(|error| {
        // The first error is the one to tell; what is left over is only untidy.
        let _ = remove(&fresh, files.iter().map(|(name, _)| name.as_str()));
        failed(error)
    })?;
    sync(target.parent());
    let (Some(old), Some(names)) = (old, earlier) else { return Ok(None) };
    Ok(remove(&old, names.iter().map(String::as_str)).is_err().then_some(old))
}

/// Whether the folder `target` may be made or replaced, so that nobody waits for pages in vain.
///
/// # Errors
/// As [`hand_over`].
pub fn may_be_made(target: &Path, boat: &str) -> Result<(), String> {
    let target = fs::canonicalize(target).unwrap_or_else(|_| target.to_path_buf());
    earlier(&target, boat).map(|_| ())
}

/// The names of the files in an earlier handover; none where there is nothing yet or an empty folder.
fn earlier(target: &Path, boat: &str) -> Result<Option<Vec<String>>, String> {
    let shown = target.display();
    if std::env::current_dir().and_then(fs::canonicalize).is_ok_and(|here| here.starts_with(target)) {
        // It would be taken away under whoever stands in it.
        return Err(format!(
            "{shown} is the folder you are in, or one around it: nothing written; name another behind -o"
        ));
    }
    let refuse = |why: String| {
        Err(format!(
            "{why}: nothing written; give a new name behind -o, or move what is there out of the way"
        ))
    };
    let entries = match fs::read_dir(target) {
        Ok(entries) => entries,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(None),
        Err(error) if error.kind() == io::ErrorKind::NotADirectory => {
            return refuse(format!("{shown} is a file, not a folder"));
        }
        Err(error) => return Err(format!("cannot look into {shown}: {error}; nothing was changed")),
    };
    let mut names = Vec::new();
    for entry in entries {
        let entry = entry.map_err(|error| format!("cannot look into {shown}: {error}"))?;
        names.push(entry.file_name().to_string_lossy().into_owned());
    }
    if names.is_empty() {
        return Ok(Some(names));
    }
    names.sort();
    let Some(manifest) = read_manifest(&target.join(MANIFEST)) else {
        return refuse(format!("{shown} is there already, and no handover of ours"));
    };
    if manifest.boat != boat {
        return refuse(format!("{shown} is the handover of {}, not of {boat}", manifest.boat));
    }
    for name in names.iter().filter(|name| *name != MANIFEST) {
        let Some(listed) = manifest.files.iter().find(|listed| listed.name == *name) else {
            return refuse(format!("{shown} holds {name}, which no handover of ours put there"));
        };
        let path = target.join(name);
        let plain = fs::symlink_metadata(&path).is_ok_and(|facts| facts.is_file());
        if !plain || fs::read(&path).ok().map(|bytes| sum(&bytes)) != Some(listed.sha256.clone()) {
            return refuse(format!("{} was changed since it was handed over", path.display()));
        }
    }
    Ok(Some(names))
}

fn read_manifest(path: &Path) -> Option<Manifest> {
    let small = fs::symlink_metadata(path).is_ok_and(|facts| facts.is_file() && facts.len() <= LONGEST);
    let text = small.then(|| fs::read_to_string(path).ok()).flatten()?;
    serde_json::from_str(&text).ok().filter(|manifest: &Manifest| manifest.version == 1)
}

fn fill(folder: &Path, files: &[(String, Vec<u8>)]) -> io::Result<()> {
    for (name, bytes) in files {
        let mut file = File::create_new(folder.join(name))?;
        file.write_all(bytes)?;
        file.sync_all()?;
    }
    sync(Some(folder));
    Ok(())
}

/// Gives the fresh folder the target's name and the target another, and says which; if that fails the
/// target has its name back.
fn swap(target: &Path, fresh: &Path) -> io::Result<PathBuf> {
    // Made to find a name that is free, and gone again because not every system renames onto a folder.
    let old = make_beside(target, "old")?;
    fs::remove_dir(&old)?;
    // Whoever may read the old one may read the new one.
    fs::set_permissions(fresh, fs::metadata(target)?.permissions())?;
    fs::rename(target, &old)?;
    match fs::rename(fresh, target) {
        Ok(()) => Ok(old),
        Err(error) => {
            fs::rename(&old, target).map_err(|second| {
                io::Error::other(format!("{error}; what was there now lies in {}: {second}", old.display()))
            })?;
            Err(error)
        }
    }
}

/// Takes away these files and the folder, and nothing else.
fn remove<'a>(folder: &Path, names: impl Iterator<Item = &'a str>) -> io::Result<()> {
    for name in names {
        match fs::remove_file(folder.join(name)) {
            Err(error) if error.kind() != io::ErrorKind::NotFound => return Err(error),
            _ => {}
        }
    }
    fs::remove_dir(folder)
}

fn make_beside(target: &Path, ending: &str) -> io::Result<PathBuf> {
    let name = target.file_name().ok_or_else(|| io::Error::other("that names no folder"))?;
    for attempt in 0..100 {
        let mut beside = OsString::from(".");
        beside.push(name);
        beside.push(format!(".{}-{attempt}.{ending}", std::process::id()));
        let beside = target.with_file_name(beside);
        match fs::create_dir(&beside) {
            Ok(()) => return Ok(beside),
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
            Err(error) => return Err(error),
        }
    }
    Err(io::Error::other("too many unfinished folders lie beside it"))
}

/// Not every system lets a folder be opened; the files are whole all the same.
fn sync(folder: Option<&Path>) {
    let folder = folder.filter(|f| !f.as_os_str().is_empty()).unwrap_or(Path::new("."));
    if let Ok(folder) = File::open(folder) {
        let _ = folder.sync_all();
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn files(text: &str) -> Vec<(String, Vec<u8>)> {
        let one = ("one.txt".to_owned(), text.as_bytes().to_vec());
        let list = Manifest::of("Pond Newt", "0000-0000", [("one.txt", text.as_bytes())].into_iter());
        vec![one, (MANIFEST.to_owned(), serde_json::to_vec(&list).unwrap())]
    }

    fn names(folder: &Path) -> Vec<String> {
        let entries = fs::read_dir(folder).unwrap();
        let mut names: Vec<_> = entries.map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }

    #[test]
    fn an_earlier_handover_is_replaced_and_nothing_is_left_beside() {
        let home = tempfile::tempdir().unwrap();
        let target = home.path().join("out");
        for text in ["first", "second"] {
            assert_eq!(hand_over(&target, "Pond Newt", files(text)), Ok(None));
            assert_eq!(fs::read_to_string(target.join("one.txt")).unwrap(), text);
            assert_eq!((names(home.path()), names(&target).len()), (vec!["out".to_owned()], 2));
        }
    }

    #[test]
    fn a_swap_that_fails_half_way_leaves_what_was_there() {
        let home = tempfile::tempdir().unwrap();
        let target = home.path().join("out");
        hand_over(&target, "Pond Newt", files("first")).unwrap();
        // The fresh folder is gone when its turn comes.
        swap(&target, &home.path().join("gone")).unwrap_err();
        assert_eq!(fs::read_to_string(target.join("one.txt")).unwrap(), "first");
        assert_eq!(names(home.path()), ["out"]);
    }

    #[test]
    fn only_what_is_named_is_taken_away() {
        let home = tempfile::tempdir().unwrap();
        let folder = home.path().join("old");
        fs::create_dir(&folder).unwrap();
        for name in ["ours", "foreign"] {
            fs::write(folder.join(name), name).unwrap();
        }
        remove(&folder, ["ours", "never there"].into_iter()).unwrap_err();
        assert_eq!(names(&folder), ["foreign"]);
    }
}
