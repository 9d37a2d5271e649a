//! Where each key stands in the file.

use super::Takes::{Block, Device, Either, List, Named, Numbered, NumberedAnd, OneOrList, Pair, Works};
use super::device::DEVICE;
use super::file::FILE;
use super::work::WORK;
use super::{Key, Part, Takes};
use crate::setup::lower::boat::OPPOSITES;

/// A key at one place of the file.
#[derive(Clone, Debug)]
pub struct KeyPlace {
    /// The keys on the way to it; what is a name or number of the builder's own is in capitals.
    pub path: String,
    /// The part it stands in.
    pub part: &'static Part,
    /// What it is.
    pub key: &'static Key,
}

/// The words for effects that every file may use, in pairs of opposites.
pub fn effects() -> &'static [[&'static str; 2]] {
    OPPOSITES
}

/// Every key at every place, in the order of the file.
pub fn places() -> Vec<KeyPlace> {
    let mut all = Vec::new();
    of_part(&FILE, "", &mut all);
    all
}

fn of_part(part: &'static Part, before: &str, all: &mut Vec<KeyPlace>) {
    for key in part.keys {
        let path = if before.is_empty() { key.name.to_owned() } else { format!("{before}.{}", key.name) };
        all.push(KeyPlace { path: path.clone(), part, key });
        behind(&key.takes, &path, all);
    }
}

/// What stands in the value of a key.
fn behind(takes: &'static Takes, path: &str, all: &mut Vec<KeyPlace>) {
    match takes {
        Block(part) | NumberedAnd(part, _) => of_part(part, path, all),
        Device => of_part(&DEVICE, path, all),
        Named(name, _, of) => behind(of, &format!("{path}.{name}"), all),
        Works => of_part(&WORK, &format!("{path}.WORK"), all),
        Numbered(_, of) => behind(of, &format!("{path}.NUMBER"), all),
        List(_, of) => behind(of, &format!("{path}[]"), all),
        Pair(of) | OneOrList(of) => behind(of, path, all),
        Either(each) => each.iter().for_each(|of| behind(of, path, all)),
        _ => {}
    }
}
