//! Several files that belong together: all of them new or all as they were.
//!
//! All are written beside their targets first. Then a list of them takes its name: from then on they
//! count as written, and a run that finds the list finishes what a killed one left ([`finish`]).

use super::beside::{self, Beside, Kind};
use super::{
    Target, exchange, is_unsupported, only_if_free, place, staged, stop, sum, sum_of_file, sync_folder,
};
use serde::{Deserialize, Serialize};
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// A longer list is none of ours.
const LONGEST: u64 = 1 << 20;

/// The list. Its files lie in its own folder.
#[derive(Debug, Serialize, Deserialize)]
struct List {
    pages: Vec<Page>,
}

/// One of the files, by names without a folder.
#[derive(Debug, Serialize, Deserialize)]
struct Page {
    target: PathBuf,
    part: PathBuf,
    /// What is to be in it.
    new: String,
    /// What was in it, if it was there.
    old: Option<String>,
}

/// Why they could not be written, and which are new all the same.
#[derive(Debug)]
pub struct NotAll {
    /// Where it failed.
    pub path: PathBuf,
    /// Why.
    pub error: io::Error,
    /// Those that could not be put back.
    pub new: Vec<PathBuf>,
}

/// Writes files, each whole, and those of one folder all or none.
///
/// # Errors
/// When one cannot be written.
pub fn all(files: &[(PathBuf, Vec<u8>)]) -> Result<(), NotAll> {
    let at = |path: &Path| {
        let path = path.to_path_buf();
        move |error| NotAll { path, error, new: Vec::new() }
    };
    if let [(path, bytes)] = files {
        return super::atomically(path, bytes).map_err(at(path));
    }
    let mut made = Vec::new();
    for (path, bytes) in files {
        let Some(Target { path: real, old }) = Target::of(path).map_err(at(path))? else {
            return Err(at(path)(io::Error::other("several pages do not go into one device")));
        };
        made.push((staged(&real, bytes, old).map_err(at(path))?, real, sum(bytes)));
    }
    let Some((_, first, _)) = made.first() else { return Ok(()) };
    let list = listed(first, &made).map_err(at(first))?;
    stop::not_now(|| {
        put_in_place(list, made)?;
        files.iter().for_each(|(path, _)| stop::finished(path));
        Ok(())
    })
}

type Made = (Beside, PathBuf, String);

/// The list beside the first target, not yet under its name.
fn listed(first: &Path, made: &[Made]) -> io::Result<Option<(Beside, PathBuf)>> {
    let folder = first.parent();
    if made.iter().any(|(_, target, _)| target.parent() != folder) {
        // Links led into other folders: nobody would look for a list there.
        return Ok(None);
    }
    let page = |(beside, target, new): &Made| -> io::Result<Page> {
        let bare = |path: &Path| path.file_name().map(PathBuf::from).unwrap_or_default();
        let old = match sum_of_file(target) {
            Ok(sum) => Some(sum),
            Err(error) if error.kind() == io::ErrorKind::NotFound => None,
            Err(error) => return Err(error),
        };
        Ok(Page { target: bare(target), part: bare(beside.path()), new: new.clone(), old })
    };
    let list = List { pages: made.iter().map(page).collect::<io::Result<_>>()? };
    let (beside, mut file) = Beside::file(first)?;
    file.write_all(&serde_json::to_vec(&list).map_err(io::Error::other)?)?;
    file.sync_all()?;
    sync_folder(first);
    Ok(Some((beside, beside::free(first, Kind::Pages)?)))
}

fn put_in_place(list: Option<(Beside, PathBuf)>, made: Vec<Made>) -> Result<(), NotAll> {
    let Some((_, first, _)) = made.first() else { return Ok(()) };
    let first = first.clone();
    let mut named = None;
    if let Some((beside, name)) = list {
        beside.becomes(&name).map_err(|error| NotAll { path: first.clone(), error, new: Vec::new() })?;
        sync_folder(&first);
        named = Some(name);
    }
    let mut placed: Vec<(PathBuf, Undo)> = Vec::new();
    for (beside, target, _) in &made {
        match put(beside.path(), target) {
            Ok(undo) => placed.push((target.clone(), undo)),
            Err(error) => {
                let path = target.clone();
                let new = placed.iter().rev().filter(|(target, undo)| undo.run(target).is_err());
                let new = new.map(|(target, _)| target.clone()).collect();
                sync_folder(&first);
                // Before the parts go: a list without its parts finishes nothing.
                named.iter().for_each(|name| drop(fs::remove_file(name)));
                return Err(NotAll { path, error, new });
            }
        }
    }
    sync_folder(&first);
    // All are in place: what is left over is only untidy, and the next run takes it away.
    named.iter().for_each(|name| drop(fs::remove_file(name)));
    for (target, undo) in placed {
        if let Undo::Old(old) = undo {
            let _ = fs::remove_file(old);
        }
        sync_folder(&target);
    }
    // What is dropped now goes: each part holds what was in its target before, or is the target itself.
    Ok(())
}

/// How a target gets back what it held.
enum Undo {
    /// What it held lies under the name of the part.
    Exchanged(PathBuf),
    /// It held nothing; the part takes its own name again.
    Free(PathBuf),
    /// What it held lies under this name.
    Old(PathBuf),
}

impl Undo {
    fn run(&self, target: &Path) -> io::Result<()> {
        match self {
            Undo::Exchanged(part) => place::exchange(part, target),
            Undo::Free(part) => fs::rename(target, part),
            Undo::Old(old) => fs::rename(old, target),
        }
    }
}

/// Gives a part its target's name.
fn put(part: &Path, target: &Path) -> io::Result<Undo> {
    if fs::symlink_metadata(target).is_err() {
        only_if_free(part, target)?;
        return Ok(Undo::Free(part.to_path_buf()));
    }
    match exchange(part, target) {
        Ok(()) => return Ok(Undo::Exchanged(part.to_path_buf())),
        Err(error) if is_unsupported(&error) => {}
        Err(error) => return Err(error),
    }
    let old = beside::free(target, Kind::Old)?;
    fs::rename(target, &old)?;
    if let Err(error) = fs::rename(part, target) {
        fs::rename(&old, target).map_err(|second| {
            io::Error::other(format!("{error}; what was there now lies in {}: {second}", old.display()))
        })?;
        return Err(error);
    }
    Ok(Undo::Old(old))
}

/// Finishes what a list says, if every file in it is still what it was or was to be. Answers the targets
/// that are new through it.
///
/// # Errors
/// When a file cannot be read or renamed.
pub(super) fn finish(list: &Path) -> io::Result<Vec<PathBuf>> {
    let small = fs::symlink_metadata(list).is_ok_and(|facts| facts.is_file() && facts.len() <= LONGEST);
    let read = small.then(|| fs::read(list).ok()).flatten();
    let pages = read.and_then(|bytes| serde_json::from_slice::<List>(&bytes).ok()).map(|list| list.pages);
    let mut to_do = Vec::new();
    for page in pages.unwrap_or_default() {
        let bare = |path: &Path| path.file_name() == Some(path.as_os_str());
        if !bare(&page.target) || !bare(&page.part) {
            return Ok(Vec::new());
        }
        let (target, part) = (list.with_file_name(&page.target), list.with_file_name(&page.part));
        let there = sum_of(&target)?;
        if there.as_ref() == Some(&page.new) {
            continue;
        }
        // Somebody has been at it since then: theirs stays.
        if (there.is_some() && there != page.old) || sum_of(&part)?.as_ref() != Some(&page.new) {
            return Ok(Vec::new());
        }
        to_do.push((part, target));
    }
    for (part, target) in &to_do {
        fs::rename(part, target)?;
    }
    sync_folder(list);
    Ok(to_do.into_iter().map(|(_, target)| target).collect())
}

fn sum_of(path: &Path) -> io::Result<Option<String>> {
    match fs::symlink_metadata(path) {
        Ok(facts) if facts.is_file() => sum_of_file(path).map(Some),
        Ok(_) => Err(io::Error::other("that is no file")),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(error),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{List, Page, all, finish, sum};
    use std::fs;
    use std::path::{Path, PathBuf};

    fn names(folder: &Path) -> Vec<String> {
        let mut names: Vec<_> =
            fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }

    #[test]
    fn pages_are_replaced_together_and_nothing_is_left_beside_them() {
        let home = tempfile::tempdir().unwrap();
        let page = |name: &str, text: &str| (home.path().join(name), text.as_bytes().to_vec());
        all(&[page("1", "a"), page("2", "b")]).unwrap();
        all(&[page("1", "c"), page("2", "d"), page("3", "e")]).unwrap();
        assert_eq!(names(home.path()), ["1", "2", "3"]);
        assert_eq!(fs::read_to_string(home.path().join("2")).unwrap(), "d");
    }

    #[test]
    fn one_that_cannot_take_its_place_leaves_all_as_they_were() {
        let home = tempfile::tempdir().unwrap();
        let page = |name: &str, text: &str| (home.path().join(name), text.as_bytes().to_vec());
        all(&[page("1", "a"), page("2", "b")]).unwrap();
        fs::create_dir(home.path().join("3")).unwrap();
        let not = all(&[page("1", "c"), page("2", "d"), page("3", "e")]).unwrap_err();
        assert_eq!((not.path, not.new), (home.path().join("3"), Vec::<PathBuf>::new()));
        assert_eq!(names(home.path()), ["1", "2", "3"]);
        assert_eq!(fs::read_to_string(home.path().join("1")).unwrap(), "a");
    }

    #[test]
    fn a_list_is_finished_unless_somebody_has_been_at_a_page_since() {
        let home = tempfile::tempdir().unwrap();
        let at = |name: &str| home.path().join(name);
        let page = |n: &str, old: Option<&str>| Page {
            target: n.into(),
            part: format!("{n}.part").into(),
            new: sum(b"new"),
            old: old.map(|old| sum(old.as_bytes())),
        };
        let list = List { pages: vec![page("1", Some("old")), page("2", None), page("3", Some("old"))] };
        fs::write(at("list"), serde_json::to_vec(&list).unwrap()).unwrap();
        // The first took its place before the kill, the others did not.
        for (name, text) in [("1", "new"), ("2.part", "new"), ("3.part", "new"), ("3", "mine")] {
            fs::write(at(name), text).unwrap();
        }
        assert!(finish(&at("list")).unwrap().is_empty());
        assert_eq!(fs::read_to_string(at("3")).unwrap(), "mine");
        fs::write(at("3"), "old").unwrap();
        assert_eq!(finish(&at("list")).unwrap(), [at("2"), at("3")]);
        assert_eq!(fs::read_to_string(at("3")).unwrap(), "new");
    }
}
