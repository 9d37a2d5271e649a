//! From a name on the command line to a set-up.

use super::named::BoatFile;
use super::outcome::Failure;
use crate::render::font::missing_characters;
use crate::report::FileReport;
use crate::rule::acceptance;
use crate::setup::{Setup, lower};
use crate::source::{Mistake, Node, Source, Span, Value, alike};
use std::io::Read;

/// The name under which standard input is shown.
const STDIN: &str = "standard input";

/// A boat file that was read, or the report why it was not.
pub(super) type Loaded = Result<(Source, Setup), Box<FileReport>>;

/// Where the text comes from. Standard input is read once, before anything runs in parallel.
pub(super) enum Origin {
    /// A file.
    File(BoatFile),
    /// Bytes from standard input.
    Stdin(Vec<u8>),
}

impl Origin {
    /// What to call it in reports.
    pub(super) fn name(&self) -> String {
        match self {
            Self::File(file) => file.to_string(),
            Self::Stdin(_) => STDIN.to_owned(),
        }
    }
}

/// Sorts out the names; `-` may stand once.
pub(super) fn origins(names: &[BoatFile], stdin: &mut dyn Read) -> Result<Vec<Origin>, Failure> {
    if names.iter().filter(|name| name.is_stdin()).count() > 1 {
        return Err(Failure("standard input can be read once only: give `-` once".into()));
    }
    names
        .iter()
        .map(|name| {
            if !name.is_stdin() {
                return Ok(Origin::File(name.clone()));
            }
            let mut bytes = Vec::new();
            // One byte more than is accepted is enough for the reader to refuse it.
            stdin
                .take(MOST + 1)
                .read_to_end(&mut bytes)
                .map_err(|error| Failure(format!("cannot read standard input: {error}")))?;
            Ok(Origin::Stdin(bytes))
        })
        .collect()
}

/// No boat file is anywhere near this long; the reader itself draws the line lower.
const MOST: u64 = 32 << 20;

/// Reads and understands one boat file.
pub(super) fn load(origin: Origin) -> Loaded {
    let (name, read) = match origin {
        Origin::File(file) => (file.to_string(), Source::load(file.path())),
        Origin::Stdin(bytes) => (STDIN.to_owned(), Source::from_bytes(STDIN, bytes)),
    };
    let source = read.map_err(|refused| {
        let (source, mistake) = refused.into_parts();
        Box::new(FileReport::unreadable(&name, Some(source), vec![mistake]))
    })?;
    let mut beside = unprintable(&source.root);
    beside.extend(acceptance::mistakes(&source.root));
    beside.extend(alike::mistakes(&source.root));
    let refuse = |source, mistakes| Err(Box::new(FileReport::unreadable(&name, Some(source), mistakes)));
    match lower::lower(&source) {
        Ok(setup) if beside.is_empty() => Ok((source, setup)),
        Ok(_) => refuse(source, beside),
        Err(mut mistakes) => {
            mistakes.extend(beside);
            refuse(source, some(mistakes))
        }
    }
}

/// Every text with a character that the font of the pages lacks: it would vanish from the card.
fn unprintable(node: &Node) -> Vec<Mistake> {
    let judge = |text: &str, span: Span| {
        let missing = missing_characters(text);
        let (first, rest) = missing.split_first()?;
        let others = if rest.is_empty() { "" } else { " and others" };
        let message = format!("the font cannot print `{first}` (U+{:04X}){others}", *first as u32);
        let help = "write it in Latin, Greek or Cyrillic letters; comments may hold anything";
        Some(Mistake::at(span, message, "this text is meant for the pages").help(help))
    };
    match &node.value {
        Value::Scalar { text, .. } => judge(text, node.span).into_iter().collect(),
        Value::List(items) => items.iter().flat_map(unprintable).collect(),
        Value::Map(entries) => entries
            .iter()
            .flat_map(|e| judge(&e.key, e.key_span).into_iter().chain(unprintable(&e.value)))
            .collect(),
    }
}

/// A refusal without a reason would pass for a file that was read.
fn some(mut mistakes: Vec<Mistake>) -> Vec<Mistake> {
    if mistakes.is_empty() {
        let message = "the file could not be read".to_owned();
        mistakes.push(Mistake { message, labels: Vec::new(), help: None });
    }
    mistakes
}

/// Reads one boat file for a command that takes one.
pub(super) fn load_one(file: &BoatFile, stdin: &mut dyn Read) -> Result<Loaded, Failure> {
    let mut origins = origins(std::slice::from_ref(file), stdin)?;
    match origins.pop() {
        Some(origin) => Ok(load(origin)),
        None => Err(Failure("no file given".into())),
    }
}
