//! What a killed run left in a folder: what was as good as written is finished, the rest goes.

use super::beside::{self, Kind, known};
use super::inputs::real;
use super::stop;
use super::{folder_of, pages};
use std::collections::BTreeSet;
use std::fs::{self, File, TryLockError};
use std::io;
use std::path::{Path, PathBuf};
use std::thread::sleep;
use std::time::Duration;

/// How often another program that has a folder to itself is asked whether it has done. A run of this one has it so only
/// while it clears away.
const TRIES: u32 = 100;
/// From which of them on somebody is told that there is something to wait for.
const TOLD_AT: u32 = 20;
/// What lies between two of them.
const BETWEEN: Duration = Duration::from_millis(50);

/// A folder that another program has to itself, and keeps.
#[derive(Debug)]
pub(super) struct Locked(pub(super) PathBuf);

/// Folders that this run writes into. As long as it is kept, no other run clears away there.
#[derive(Debug)]
pub struct Folders {
    _locks: Vec<File>,
}

/// Enters the folders of these outputs, and answers what was found there and what became of it, in lines.
/// A folder in which another run is at work is left alone. `waiting` is called once for each that has to be waited for.
///
/// # Errors
/// When another program keeps one of them to itself.
pub(super) fn enter<'a>(
    outputs: impl IntoIterator<Item = &'a Path>,
    waiting: &mut dyn FnMut(&Path),
) -> Result<(Folders, Vec<String>), Locked> {
    let folders: BTreeSet<PathBuf> =
        outputs.into_iter().map(|output| folder_of(&real(output)).to_path_buf()).collect();
    let (mut locks, mut told) = (Vec::new(), Vec::new());
    for folder in folders {
        stop::watch();
        // Not every system lets a folder be opened or locked: there nothing is cleared away, because
        // what lies there may be another run's.
        let Ok(lock) = File::open(&folder) else { continue };
        match lock.try_lock() {
            Ok(()) => clear(&folder, &mut told),
            Err(TryLockError::WouldBlock) => {}
            Err(TryLockError::Error(_)) => continue,
        }
        match shared(&lock, || waiting(&folder)) {
            Ok(()) => locks.push(lock),
            Err(TryLockError::WouldBlock) => return Err(Locked(folder)),
            Err(TryLockError::Error(_)) => {}
        }
    }
    Ok((Folders { _locks: locks }, told))
}

/// Locks a folder together with whoever else writes there. The system's own waiting has no end.
fn shared(lock: &File, mut waiting: impl FnMut()) -> Result<(), TryLockError> {
    for attempt in 1..TRIES {
        match lock.try_lock_shared() {
            Err(TryLockError::WouldBlock) => {}
            locked => return locked,
        }
        if attempt == TOLD_AT {
            waiting();
        }
        sleep(BETWEEN);
    }
    lock.try_lock_shared()
}

/// Everything of ours in a folder, in the order of names.
fn found(folder: &Path) -> io::Result<Vec<(PathBuf, PathBuf, Kind)>> {
    let mut all = Vec::new();
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if let Some((target, kind)) = path.file_name().and_then(known) {
            all.push((path.with_file_name(target), path, kind));
        }
    }
    all.sort();
    Ok(all)
}

fn clear(folder: &Path, told: &mut Vec<String>) {
    let Ok(found) = found(folder) else { return };
    if found.is_empty() {
        return;
    }
    let of = |wanted: Kind| found.iter().filter(move |(_, _, kind)| *kind == wanted);
    let is_there = |path: &Path| fs::symlink_metadata(path).is_ok();
    let mut done = |path: &Path, what: &str, result: io::Result<()>| match result {
        Ok(()) => told.push(format!("{} {what}", path.display())),
        Err(error) => {
            told.push(format!("{} is of a run that was stopped, and stays: {error}", path.display()))
        }
    };
    for (_, list, _) in of(Kind::Pages) {
        match pages::finish(list) {
            Ok(new) => {
                new.iter().for_each(|page| done(page, "was finished: a run before was stopped", Ok(())))
            }
            // The parts stay with their list, for a person to look at.
            Err(error) => return done(list, "", Err(error)),
        }
        done(list, "was taken away: a run before was stopped", fs::remove_file(list));
    }
    // A name that nothing has: first to what was ready for it, else to what had it.
    for (target, ready, _) in of(Kind::Ready).filter(|(target, ..)| !is_there(target)) {
        done(target, "was finished: a run before was stopped", fs::rename(ready, target));
    }
    for (target, old, _) in of(Kind::Old).filter(|(target, ..)| !is_there(target)) {
        done(target, "was put back: a run before was stopped", fs::rename(old, target));
    }
    for (_, path, _) in found.iter().filter(|(_, path, _)| is_there(path)) {
        done(path, "was taken away: a run before was stopped", beside::remove(path));
    }
    super::sync_folder(&folder.join("x"));
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::enter;
    use std::fs::{self, File};
    use std::path::Path;

    fn names(folder: &Path) -> Vec<String> {
        let mut names: Vec<_> =
            fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }

    #[test]
    fn what_was_left_goes_or_is_finished_and_what_is_not_ours_stays() {
        let home = tempfile::tempdir().unwrap();
        let at = |name: &str| home.path().join(name);
        fs::write(at(".a.yaml.lidcard-1-0.part"), "half").unwrap();
        fs::write(at(".b.yaml.lidcard-1-0.old"), "all there was").unwrap();
        fs::write(at(".c.part"), "somebody's").unwrap();
        for name in [".d.lidcard-1-0.ready", ".d.lidcard-1-0.old", ".e.lidcard-1-0.part"] {
            fs::create_dir(at(name)).unwrap();
            fs::write(at(name).join("x"), name).unwrap();
        }
        let (_folders, told) = enter([at("new.pdf").as_path()], &mut |_| ()).unwrap();
        assert_eq!(names(home.path()), [".c.part", "b.yaml", "d"]);
        assert_eq!(fs::read_to_string(at("d").join("x")).unwrap(), ".d.lidcard-1-0.ready");
        assert_eq!(told.len(), 5, "{told:?}");
    }

    #[test]
    fn where_another_run_is_at_work_nothing_is_cleared_away() {
        let home = tempfile::tempdir().unwrap();
        let part = home.path().join(".a.lidcard-1-0.part");
        let (_other, _) = enter([home.path().join("a").as_path()], &mut |_| ()).unwrap();
        fs::write(&part, "half").unwrap();
        let (_this, told) = enter([home.path().join("b").as_path()], &mut |_| ()).unwrap();
        assert!(part.exists() && told.is_empty());
    }

    #[test]
    fn a_folder_that_another_program_keeps_to_itself_is_waited_for_and_then_told() {
        let home = tempfile::tempdir().unwrap();
        let kept = File::open(home.path()).unwrap();
        kept.lock().unwrap();
        let mut waited = Vec::new();
        let refused = enter([home.path().join("a").as_path()], &mut |folder| waited.push(folder.to_owned()));
        let folder = refused.unwrap_err().0;
        assert_eq!(waited, [folder]);
        // One that lets go while somebody waits is no hindrance.
        let entered = enter([home.path().join("a").as_path()], &mut |_| kept.unlock().unwrap());
        assert!(entered.is_ok());
    }
}
