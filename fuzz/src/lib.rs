//! Inputs that are nearly right, through everything that reads them, with what always holds as the judge.
//!
//! Every target takes bytes. They stand for choices, so that a fuzzer led by coverage may turn them one at a time
//! (`cargo +nightly fuzz run TARGET --features guided`), and the program here (`cargo run -p lidcard-fuzz -- TARGET COUNT`)
//! makes thousands of them by itself with any compiler, with all checks of a test. A target panics where something does not hold.
//! `fuzz/corpus/TARGET/` keeps what was once worth a look; a test sends all of it through its target.

pub mod boats;
pub mod chance;
pub mod code;
pub mod photograph;
pub mod picture;
pub mod reader;
pub mod recording;
pub mod spent;
pub mod svg;
pub mod template;
pub mod tree;
pub mod vary;

use std::path::PathBuf;

/// How far an input got.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Got {
    /// Refused by the reader, with a reason.
    Refused,
    /// Read, and what was to be made of it was not made, with a reason.
    Read,
    /// All the way.
    Through,
}

/// A way in.
#[derive(Clone, Copy, Debug)]
pub struct Target {
    /// Its name.
    pub name: &'static str,
    /// Sends bytes through it.
    pub run: fn(&[u8]) -> Got,
    /// The bytes of an input of this number, where they are not simply anything.
    pub made: fn(u64) -> Vec<u8>,
}

/// Every one.
pub const ALL: &[Target] = &[
    Target { name: "boats", run: boats::run, made: choices },
    Target { name: "reader", run: reader::run, made: reader::made },
    Target { name: "template", run: template::run, made: template::made },
    Target { name: "svg", run: svg::run, made: svg::made },
    Target { name: "picture", run: picture::run, made: picture::made },
    Target { name: "code", run: code::run, made: choices },
    Target { name: "photograph", run: photograph::run, made: choices },
    Target { name: "recording", run: recording::run, made: recording::made },
];

/// The first choices; all others follow from them.
fn choices(number: u64) -> Vec<u8> {
    let mut chance = chance::Chance::numbered(number);
    (0..24).map(|_| chance.below(256) as u8).collect()
}

/// The folder that holds the program.
pub fn root() -> PathBuf {
    PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/.."))
}

/// Bytes with some of them wrong, left out or doubled, and words of a list put in.
pub fn bent(chance: &mut chance::Chance<'_>, bytes: &[u8], words: &[&str]) -> Vec<u8> {
    let mut bytes = bytes.to_vec();
    for _ in 0..chance.pick([1, 1, 2, 4, 12]) {
        let at = chance.below(bytes.len() + 1);
        let until = (at + chance.pick([1, 1, 4, 30, 400])).min(bytes.len());
        match chance.below(6) {
            0 => drop(bytes.drain(at..until)),
            1 => {
                let part = bytes[at..until].to_vec();
                let to = chance.below(bytes.len() + 1);
                bytes.splice(to..to, part);
            }
            2 if !words.is_empty() => {
                let word = chance.one(words).copied().unwrap_or_default();
                bytes.splice(at..until, word.bytes());
            }
            3 => bytes.truncate(if chance.percent(20) { at } else { bytes.len() }),
            4 if at < bytes.len() => bytes[at] ^= 1 << chance.below(8),
            _ if at < bytes.len() => bytes[at] = chance.below(256) as u8,
            _ => {}
        }
    }
    bytes
}

/// What a target's corpus holds, by name.
pub fn corpus(target: &str) -> Vec<(PathBuf, Vec<u8>)> {
    let folder = root().join("fuzz/corpus").join(target);
    let mut files: Vec<PathBuf> =
        std::fs::read_dir(folder).into_iter().flatten().flatten().map(|entry| entry.path()).collect();
    files.sort();
    files.into_iter().filter_map(|path| std::fs::read(&path).ok().map(|bytes| (path, bytes))).collect()
}
