//! `lidcard endpoints --solve --write`: solved values go into the boat file.

use super::outcome::Failure;
use super::{Streams, write};
use crate::report::solved::{endpoint, endpoints, sub_trim};
use crate::rule::solve::Solved;
use crate::setup::{Setup, lower};
use crate::source::edit::{Edit, Put};
use crate::source::{Node, Source, Value, file};
use std::path::{Path, PathBuf};

/// The bytes of a mark in front of a text.
const MARK: u64 = 3;
/// Backups beside one file before a person should tidy up.
const MOST_BACKUPS: u32 = 1_000;

/// Puts the values into the file, if there are any, and answers what the backup is called.
pub(super) fn put(
    file: &Path,
    source: &Source,
    setup: &Setup,
    all: &[Solved],
    streams: &mut Streams<'_>,
) -> Result<Option<PathBuf>, Failure> {
    let changed: Vec<&Solved> = all.iter().filter(|s| s.changed).collect();
    if changed.is_empty() {
        return Ok(None);
    }
    let mut edits = Vec::new();
    for solved in &changed {
        edits.extend(of_channel(source, setup, solved)?);
    }
    let text = source.with(&edits);
    let mut meant = setup.clone();
    changed.iter().for_each(|solved| solved.apply(&mut meant));
    if !means(&text, &meant) {
        let which = changed.iter().map(|s| setup.channel_title(s.channel)).collect::<Vec<_>>().join(", ");
        return Err(Failure(format!(
            "nothing written: the values of {which} stand in the file in a way that cannot be changed without changing something else (an alias, perhaps); put the lines in by hand"
        )));
    }
    put_text(file, source, &text, streams).map(Some)
}

/// Puts a changed text in place of the file that was read, and answers what the backup is called.
///
/// # Errors
/// When the file was changed in the meantime or cannot be written; then it is as it was.
pub(super) fn put_text(
    file: &Path,
    source: &Source,
    text: &str,
    streams: &mut Streams<'_>,
) -> Result<PathBuf, Failure> {
    let name = file.display();
    let why = |error: std::io::Error| Failure(format!("nothing written to {name}: {error}"));
    let old = file::read(file, source.text.len() as u64 + MARK).map_err(why)?;
    // A mark in front of the text is no part of what was read, but of the file.
    let Some(mark) = old.strip_suffix(source.text.as_bytes()) else {
        return Err(Failure(format!("nothing written: {name} was changed in the meantime")));
    };
    let _folders = write::enter([file], streams)?;
    let backup = back_up(file, &old).map_err(why)?;
    write::atomically(file, &[mark, text.as_bytes()].concat()).map_err(|error| {
        // Of a file that stays as it is nobody needs a backup.
        let _ = std::fs::remove_file(&backup);
        why(error)
    })?;
    Ok(backup)
}

/// The changes for one channel.
fn of_channel(source: &Source, setup: &Setup, solved: &Solved) -> Result<Vec<Edit>, Failure> {
    let channel = &setup.channels[solved.channel];
    let by_hand = |line: &str| {
        Failure(format!(
            "nothing written: there is no safe place in the file for a line of {}; put it in by hand: {line}",
            setup.channel_title(solved.channel)
        ))
    };
    let mut edits = Vec::new();
    let node = source.root.get("channels").and_then(|c| c.get(&channel.number.to_string()));
    if channel.endpoints != solved.endpoints {
        let value = endpoints(setup, solved).unwrap_or_default();
        let line = format!("endpoints: {value}");
        let node = node.ok_or_else(|| by_hand(&line))?;
        edits.extend(for_endpoints(source, setup, solved, node, &value).ok_or_else(|| by_hand(&line))?);
    }
    if channel.sub_trim != solved.sub_trim {
        let value = sub_trim(&solved.sub_trim);
        let put = Put { key: "sub_trim", value: &value, after: &["endpoints", "longer", "control"] };
        let edit = node.and_then(|node| source.put(node, put));
        edits.push(edit.ok_or_else(|| by_hand(&format!("sub_trim: {value}")))?);
    }
    Ok(edits)
}

/// Where the ways are named one by one, only those that change are touched.
fn for_endpoints(
    source: &Source,
    setup: &Setup,
    solved: &Solved,
    node: &Node,
    both: &str,
) -> Option<Vec<Edit>> {
    let channel = &setup.channels[solved.channel];
    let put = Put { key: "endpoints", value: both, after: &["longer", "control", "name"] };
    match node.get("endpoints") {
        Some(each) if matches!(each.value, Value::Map(_)) => {
            let ways = &setup.controls[channel.control?].ways;
            let changed = (0..2).filter(|&i| channel.endpoints[i] != solved.endpoints[i]);
            changed
                .map(|i| {
                    let value = endpoint(&solved.endpoints[i]);
                    source.put(each, Put { key: &ways[i], value: &value, after: &[] })
                })
                .collect()
        }
        _ => Some(vec![source.put(node, put)?]),
    }
}

/// Whether a text says exactly this.
fn means(text: &str, setup: &Setup) -> bool {
    let read = Source::from_bytes("", text.as_bytes().to_vec()).ok();
    let read = read.and_then(|source| lower::lower(&source).ok());
    read.is_some_and(|read| format!("{read:?}") == format!("{setup:?}"))
}

/// Keeps the old bytes beside the file. A backup of earlier is never written over.
fn back_up(file: &Path, bytes: &[u8]) -> std::io::Result<PathBuf> {
    // Whoever may not read the file may not read its backup.
    let permissions = std::fs::metadata(file)?.permissions();
    for number in 0..MOST_BACKUPS {
        let mut name = file.as_os_str().to_os_string();
        name.push(".bak");
        if number > 0 {
            name.push(format!(".{number}"));
        }
        match write::anew(Path::new(&name), bytes, Some(permissions.clone())) {
            Ok(()) => return Ok(PathBuf::from(name)),
            Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => {}
            Err(error) => return Err(error),
        }
    }
    Err(std::io::Error::other("too many backups lie beside it"))
}
