//! The texts that are built in, read a section at a time when somebody asks: a card says a twelfth of
//! what all documents say together, and reading the rest would take longer than drawing it.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use super::{Found, LabelError, complete, flat, held_to_english, source};
use crate::language::{self, Language};

type Section = BTreeMap<String, Found>;

/// A section of a labels file, read when it is asked for.
struct Part {
    name: &'static str,
    /// Lines of the file before it.
    line: usize,
    text: &'static str,
    read: OnceLock<Result<Section, LabelError>>,
}

/// What a label's path begins with.
pub(super) fn name_of(path: &str) -> &str {
    path.split_once('.').map_or(path, |(section, _)| section)
}

/// A section of a language by its name, read once; `None` where the file has no such section.
///
/// # Errors
/// When the section does not say what the English one says.
pub(super) fn section(language: Language, name: &str) -> Option<Result<&'static Section, LabelError>> {
    let Part { line, text, read, .. } = parts(language).iter().find(|part| part.name == name)?;
    let read = read.get_or_init(|| {
        // Mistakes are told at their line of the file.
        let source = source(&format!("{}.yaml", language.name), &("\n".repeat(*line) + text))?;
        let found = flat(&source)?;
        let english = language::ALL[0].1;
        if language.name != english.name {
            held_to_english(&source, &found)?;
            complete(&source, &found, [name])?;
        }
        Ok(found)
    });
    Some(read.as_ref().map_err(Clone::clone))
}

/// A section of a language that is built in.
///
/// # Panics
/// When its file is wrong there: a mistake in the program, which a test finds in any section.
pub(super) fn right(language: Language, name: &str) -> Option<&'static Section> {
    section(language, name).map(|read| read.unwrap_or_else(|error| panic!("{error}")))
}

/// What a language says otherwise of a model that is no boat, read once.
///
/// # Panics
/// When its file is wrong: a mistake in the program, which a test finds.
pub(super) fn dry(language: Language) -> &'static Section {
    static FILES: OnceLock<Vec<OnceLock<Section>>> = OnceLock::new();
    let files = FILES.get_or_init(|| language::ALL.iter().map(|_| OnceLock::new()).collect());
    let place = language::ALL.iter().position(|(name, _)| *name == language.name).unwrap_or_default();
    files[place].get_or_init(|| {
        let read = source(&format!("dry/{}.yaml", language.name), language.dry).and_then(|source| {
            let found = flat(&source)?;
            held_to_english(&source, &found)?;
            Ok(found)
        });
        read.unwrap_or_else(|error| panic!("{error}"))
    })
}

/// The names of all sections, in the order of the English file.
pub(super) fn names() -> impl Iterator<Item = &'static str> {
    parts(language::ALL[0].1).iter().map(|part| part.name)
}

/// The labels file of a language by its outermost keys.
fn parts(language: Language) -> &'static [Part] {
    static FILES: OnceLock<Vec<OnceLock<Vec<Part>>>> = OnceLock::new();
    let files = FILES.get_or_init(|| language::ALL.iter().map(|_| OnceLock::new()).collect());
    let place = language::ALL.iter().position(|(name, _)| *name == language.name);
    place.map_or(&[], |place| files[place].get_or_init(|| cut(language.text)))
}

/// A labels file cut before each of its outermost keys; what stands before the first is comment.
fn cut(text: &'static str) -> Vec<Part> {
    let mut starts = Vec::new();
    let mut line = 0;
    let mut before = b'\n';
    for (at, &byte) in text.as_bytes().iter().enumerate() {
        if before == b'\n' && byte.is_ascii_alphabetic() {
            starts.push((at, line));
        }
        line += usize::from(byte == b'\n');
        before = byte;
    }
    let ends = starts.iter().skip(1).map(|start| start.0).chain([text.len()]);
    let part = |(&(start, line), end): (&(usize, usize), usize)| {
        let text = &text[start..end];
        let name = text.split_once(':').map_or(text, |(name, _)| name);
        Part { name, line, text, read: OnceLock::new() }
    };
    starts.iter().zip(ends).map(part).collect()
}
