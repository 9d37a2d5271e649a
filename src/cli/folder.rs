//! A handover as a folder that is there whole or not at all.
//!
//! The files are written into a new folder beside the target, and the two exchange their names in one
//! step. Where a system cannot do that it takes two, and the next run does the second if the first was
//! the last: whatever happens, the old one or the new one is whole.

use super::write::beside::{self, Beside, Kind};
use super::write::inputs::real;
use super::write::{exchange, is_unsupported, permitted, resolved, stop, sum, sum_of_file, sync_folder};
use crate::fingerprint::{Code, differences};
use crate::source::{LARGEST, Source, file};
use serde::{Deserialize, Serialize};
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// The list of a handover's files, by which an earlier one is known.
pub(super) const MANIFEST: &str = "handover.json";
/// How the name of a boat file of an earlier revision begins; its code follows.
pub(super) const OLDER: &str = "older-";
/// A longer list is none of ours.
const LONGEST: u64 = 1 << 20;

/// The list, version 1: a key may be added, none may change its name or meaning.
#[derive(Debug, Serialize, Deserialize)]
pub(super) struct Manifest {
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
    pub(super) fn of<'a>(boat: &str, code: &str, files: impl Iterator<Item = (&'a str, &'a [u8])>) -> Self {
        let files = files.map(|(name, bytes)| Listed { name: name.to_owned(), sha256: sum(bytes) }).collect();
        Self { version: 1, boat: boat.to_owned(), code: code.to_owned(), files }
    }
}

/// The handover that is to be made.
pub(super) struct Wanted<'a> {
    /// The boat's name.
    pub boat: &'a str,
    /// Its file.
    pub source: &'a Source,
    /// The code of that.
    pub code: Code,
    /// The handover of the same revision may be replaced.
    pub replace: bool,
}

/// What lies in the folder already.
#[derive(Debug, Default)]
pub(super) struct Earlier {
    /// The names of the files; none at all where there is no folder yet.
    names: Option<Vec<String>>,
    /// The boat files of earlier revisions, under the names they are to have: a card in somebody's hand
    /// may have the code of one of them.
    pub kept: Vec<(String, Vec<u8>)>,
}

/// Puts the files into the folder `target`, in place of those that were looked at as `earlier`. If the
/// ones replaced could not be taken away afterwards, where they lie.
///
/// # Errors
/// In words, with what to do; then the target is as it was.
pub(super) fn hand_over(
    target: &Path,
    wanted: &Wanted<'_>,
    files: Vec<(String, Vec<u8>)>,
) -> Result<Option<PathBuf>, String> {
    let target = real(target);
    let shown = target.display();
    let failed = |error: io::Error| format!("cannot write {shown}: {error}; nothing was changed");
    let fresh = Beside::folder(&target).map_err(failed)?;
    fill(fresh.path(), &files).map_err(failed)?;
    // Looked at once more, and last of all: somebody may have put a file there since.
    let earlier = look_into(&target, wanted)?;
    let old = stop::not_now(|| {
        let old = match earlier.names {
            None => fresh.becomes_only_if_free(&target).map(|()| None),
            Some(_) => swap(&target, fresh).map(Some),
        };
        old.inspect(|_| stop::finished(&target))
    })
    .map_err(failed)?;
    sync_folder(&target);
    Ok(old.filter(|old| beside::remove(old).is_err()))
}

/// What lies in the folder `target`, if all of it may be replaced.
///
/// # Errors
/// As [`hand_over`].
pub(super) fn look_into(target: &Path, wanted: &Wanted<'_>) -> Result<Earlier, String> {
    let target = real(target);
    let shown = target.display();
    if std::env::current_dir().and_then(|here| resolved(&here)).is_ok_and(|here| here.starts_with(&target)) {
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
    let entries = match fs::read_dir(&target) {
        Ok(entries) => entries,
        Err(error) if error.kind() == io::ErrorKind::NotFound => {
            if fs::symlink_metadata(&target).is_ok() {
                return refuse(format!("{shown} is a link to something that is not there"));
            }
            return Ok(Earlier::default());
        }
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
        return Ok(Earlier { names: Some(names), kept: Vec::new() });
    }
    names.sort();
    let Some(manifest) = read_manifest(&target.join(MANIFEST)) else {
        return refuse(format!("{shown} is there already, and no handover of ours"));
    };
    if manifest.boat != wanted.boat {
        return refuse(format!("{shown} is the handover of {}, not of {}", manifest.boat, wanted.boat));
    }
    let mut boats = Vec::new();
    for name in names.iter().filter(|name| *name != MANIFEST) {
        let Some(listed) = manifest.files.iter().find(|listed| listed.name == *name) else {
            return refuse(format!("{shown} holds {name}, which no handover of ours put there"));
        };
        let path = target.join(name);
        let plain = fs::symlink_metadata(&path).is_ok_and(|facts| facts.is_file());
        if !plain || !sum_of_file(&path).is_ok_and(|sum| sum == listed.sha256) {
            return refuse(format!("{} was changed since it was handed over", path.display()));
        }
        if name.ends_with(".yaml") {
            boats.extend(file::read(&path, LARGEST).ok());
        }
    }
    let boats = boats.into_iter().filter_map(|bytes| Boat::read(bytes, &manifest.code)).collect::<Vec<_>>();
    if let Some(boat) = boats.iter().find(|boat| boat.is_latest) {
        boat.makes_way(&shown.to_string(), wanted)?;
    }
    let older = boats.into_iter().filter(|boat| boat.code != wanted.code);
    let kept = older.map(|boat| (format!("{OLDER}{}.yaml", boat.code), boat.source.text.into_bytes()));
    Ok(Earlier { names: Some(names), kept: kept.collect() })
}

/// A boat file in an earlier handover.
struct Boat {
    source: Source,
    code: Code,
    /// The one that the handover was made from; the others are older still.
    is_latest: bool,
}

impl Boat {
    fn read(bytes: Vec<u8>, latest: &str) -> Option<Self> {
        let source = Source::from_bytes(MANIFEST, bytes).ok()?;
        let code = Code::of(&source);
        Some(Self { source, code, is_latest: code.to_string() == latest })
    }

    /// A paper that says revision B must not come to say something else under the same letter.
    fn makes_way(&self, shown: &str, wanted: &Wanted<'_>) -> Result<(), String> {
        let revision = revision(&self.source);
        if wanted.replace
            || revision != self::revision(wanted.source)
            || self.source.text == wanted.source.text
        {
            return Ok(());
        }
        let differences = differences(&self.source, wanted.source);
        let mut lines: Vec<String> = differences
            .iter()
            .take(MOST_TOLD)
            .map(|d| {
                let value =
                    |value: &Option<String>| value.clone().unwrap_or_else(|| "(not given)".to_owned());
                format!("  {}: {} -> {}", d.path, value(&d.before), value(&d.after))
            })
            .collect();
        match differences.len() {
            0 => lines.push("  remarks and layout only".to_owned()),
            all if all > MOST_TOLD => lines.push(format!("  and {} more", all - MOST_TOLD)),
            _ => {}
        }
        let what =
            revision.map_or_else(|| "no revision".to_owned(), |revision| format!("revision {revision} too"));
        Err(format!(
            "{shown} holds a handover with {what}, of another boat file; in this one is different:\n{}\nnothing \
             written; give the boat a new `revision`, or say --replace if nobody has the papers of the old one",
            lines.join("\n")
        ))
    }
}

/// Differences that are told one by one.
const MOST_TOLD: usize = 12;

fn revision(source: &Source) -> Option<&str> {
    source.root.get("boat")?.get("revision")?.text()
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
    sync_folder(&folder.join(MANIFEST));
    Ok(())
}

/// Gives the fresh folder the target's name, and answers where what had it lies now. If that fails the
/// target has its name back.
fn swap(target: &Path, fresh: Beside) -> io::Result<PathBuf> {
    // Whoever may read the old one may read the new one.
    permitted(fs::set_permissions(fresh.path(), fs::metadata(target)?.permissions()))?;
    match exchange(fresh.path(), target) {
        Ok(()) => {
            let old = fresh.path().to_path_buf();
            fresh.done();
            return Ok(old);
        }
        Err(error) if is_unsupported(&error) => {}
        Err(error) => return Err(error),
    }
    // In two steps; after a kill between them the next run here does the second.
    let ready = fresh.turns_into(target, Kind::Ready)?;
    let old = beside::free(target, Kind::Old)?;
    fs::rename(target, &old)?;
    match ready.becomes(target) {
        Ok(()) => Ok(old),
        Err(error) => {
            fs::rename(&old, target).map_err(|second| {
                io::Error::other(format!("{error}; what was there now lies in {}: {second}", old.display()))
            })?;
            Err(error)
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    const NEWT: &str = "lidcard: 1\nboat: {name: Pond Newt, revision: A}\n";

    fn newt(text: &str) -> Source {
        Source::from_text("newt.yaml", text).unwrap()
    }

    fn wanted(source: &Source) -> Wanted<'_> {
        Wanted { boat: "Pond Newt", source, code: Code::of(source), replace: false }
    }

    fn files(source: &Source, text: &str, more: &[(String, Vec<u8>)]) -> Vec<(String, Vec<u8>)> {
        let mut all = vec![
            ("one.txt".to_owned(), text.as_bytes().to_vec()),
            ("newt.yaml".to_owned(), source.text.clone().into_bytes()),
        ];
        all.extend(more.iter().cloned());
        let list = all.iter().map(|(name, bytes)| (name.as_str(), bytes.as_slice()));
        let list = Manifest::of("Pond Newt", &Code::of(source).to_string(), list);
        all.push((MANIFEST.to_owned(), serde_json::to_vec(&list).unwrap()));
        all
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
        let (target, boat) = (home.path().join("out"), newt(NEWT));
        for text in ["first", "second"] {
            assert_eq!(hand_over(&target, &wanted(&boat), files(&boat, text, &[])), Ok(None));
            assert_eq!(fs::read_to_string(target.join("one.txt")).unwrap(), text);
            assert_eq!((names(home.path()), names(&target).len()), (vec!["out".to_owned()], 3));
        }
    }

    #[test]
    fn a_swap_that_fails_half_way_leaves_what_was_there() {
        let home = tempfile::tempdir().unwrap();
        let (target, boat) = (home.path().join("out"), newt(NEWT));
        hand_over(&target, &wanted(&boat), files(&boat, "first", &[])).unwrap();
        let fresh = Beside::folder(&target).unwrap();
        // The fresh folder is gone when its turn comes.
        fs::remove_dir(fresh.path()).unwrap();
        swap(&target, fresh).unwrap_err();
        assert_eq!(fs::read_to_string(target.join("one.txt")).unwrap(), "first");
        assert_eq!(names(home.path()), ["out"]);
    }

    #[test]
    fn the_same_revision_of_another_file_is_refused_with_what_differs_unless_it_may_be_replaced() {
        let home = tempfile::tempdir().unwrap();
        let target = home.path().join("out");
        let (first, other) = (newt(NEWT), newt(&format!("{NEWT}channels: {{1: {{sub_trim: 3 %}}}}\n")));
        hand_over(&target, &wanted(&first), files(&first, "first", &[])).unwrap();
        let why = look_into(&target, &wanted(&other)).unwrap_err();
        assert!(
            why.contains("channels.1.sub_trim: (not given) -> 3 %") && why.contains("--replace"),
            "{why}"
        );
        let remark = newt(&format!("{NEWT}# a remark\n"));
        assert!(look_into(&target, &wanted(&remark)).unwrap_err().contains("remarks and layout only"));
        let earlier = look_into(&target, &Wanted { replace: true, ..wanted(&other) }).unwrap();
        assert_eq!(earlier.kept.len(), 1);
        // The same file again, on other paper perhaps, is no other handover.
        assert!(look_into(&target, &wanted(&first)).unwrap().kept.is_empty());
    }

    #[test]
    fn the_boat_files_of_all_earlier_revisions_are_kept() {
        let home = tempfile::tempdir().unwrap();
        let target = home.path().join("out");
        let mut kept = Vec::new();
        for (revision, trim) in [("A", 1), ("B", 2), ("C", 3)] {
            let text = NEWT.replace("revision: A", &format!("revision: {revision}"));
            let boat = newt(&format!("{text}channels: {{1: {{sub_trim: {trim} %}}}}\n"));
            kept = look_into(&target, &wanted(&boat)).unwrap().kept;
            hand_over(&target, &wanted(&boat), files(&boat, revision, &kept)).unwrap();
        }
        assert_eq!(kept.len(), 2);
        let all: String = kept.iter().map(|(_, bytes)| String::from_utf8_lossy(bytes).into_owned()).collect();
        assert!(all.contains("revision: A") && all.contains("revision: B"), "{all}");
        assert!(kept.iter().all(|(name, _)| names(&target).contains(name)));
    }
}
