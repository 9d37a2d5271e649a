//! From a file name or a text to a tree.

use super::file;
use super::{Mistake, Source, Span, Unreadable, tree};

/// A boat file runs to a few kilobytes. What is larger than this is some other file.
pub const LARGEST: u64 = 4 * 1024 * 1024;
/// A reading has some ten values: three hundred runs through the longest sheet.
const MOST_OF_A_RECORD: usize = 400_000;

impl Source {
    /// Reads a file.
    ///
    /// # Errors
    ///
    /// When it cannot be opened, or as [`Source::from_bytes`].
    pub fn load(path: impl AsRef<std::path::Path>) -> Result<Self, Unreadable> {
        let path = path.as_ref();
        let name = &path.display().to_string();
        let refuse = |mistake| Unreadable { name: name.clone(), text: String::new(), mistake };
        if std::fs::metadata(path).is_ok_and(|facts| facts.is_dir()) {
            return Err(refuse(
                Mistake::whole(format!("`{name}` is a folder, not a boat file")).help("name one file in it"),
            ));
        }
        let bytes = file::read(path, LARGEST).map_err(|error| refuse(not_opened(name, &error)))?;
        Self::from_bytes(name, bytes)
    }

    /// Reads bytes that came from anywhere.
    ///
    /// # Errors
    ///
    /// When it is too large, is no UTF-8, or as [`Source::from_text`].
    pub fn from_bytes(name: &str, bytes: Vec<u8>) -> Result<Self, Unreadable> {
        Self::from_text(name, &text_of(name, bytes)?)
    }

    /// Reads a bench record: it grows with every run, and nothing in it is ever taken away.
    ///
    /// # Errors
    ///
    /// As [`Source::from_bytes`].
    pub fn from_record(name: &str, bytes: Vec<u8>) -> Result<Self, Unreadable> {
        Self::of(name, &text_of(name, bytes)?, MOST_OF_A_RECORD)
    }

    /// Reads a text.
    ///
    /// # Errors
    ///
    /// When it is no YAML of the kind that a boat file is written in.
    pub fn from_text(name: &str, text: &str) -> Result<Self, Unreadable> {
        Self::of(name, text, tree::MOST_NODES)
    }

    fn of(name: &str, text: &str, most: usize) -> Result<Self, Unreadable> {
        // Some editors put an invisible mark first; places are counted without it.
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let refuse = |mistake| Unreadable { name: name.to_owned(), text: text.to_owned(), mistake };
        if text.len() as u64 > LARGEST {
            return Self::from_bytes(name, text.as_bytes().to_vec());
        }
        if let Some(mistake) = tab_in_indent(text) {
            return Err(refuse(mistake));
        }
        let root = tree::build(text, most).map_err(refuse)?;
        Ok(Self { name: name.to_owned(), text: text.to_owned(), root })
    }
}

/// The text that bytes are.
fn text_of(name: &str, bytes: Vec<u8>) -> Result<String, Unreadable> {
    let refuse = |mistake| Unreadable { name: name.to_owned(), text: String::new(), mistake };
    if bytes.len() as u64 > LARGEST {
        return Err(refuse(
            Mistake::whole(format!(
                "`{name}` is larger than {} MB: that is no boat file",
                LARGEST / 1024 / 1024
            ))
            .help("a boat file is a short YAML text, a few kilobytes long"),
        ));
    }
    String::from_utf8(bytes).map_err(|error| {
        let place = error.utf8_error().valid_up_to();
        let line = error.as_bytes()[..place].iter().filter(|b| **b == b'\n').count() + 1;
        refuse(
            Mistake::whole(format!("`{name}` is not UTF-8 text: byte {place} on line {line} does not fit"))
                .help("save the file again with the encoding UTF-8"),
        )
    })
}

fn not_opened(name: &str, error: &std::io::Error) -> Mistake {
    match error.kind() {
        std::io::ErrorKind::NotFound => Mistake::whole(format!("there is no file `{name}`"))
            .help("check the name and the folder you are in"),
        std::io::ErrorKind::PermissionDenied => Mistake::whole(format!("`{name}` may not be read by you"))
            .help("ask its owner for leave to read it"),
        _ => Mistake::whole(format!("`{name}` cannot be read: {error}"))
            .help("check that it is an ordinary file; from a pipe a boat file comes where `-` is given"),
    }
}

/// YAML forbids tabs in front of a line, and its parser blames the line before.
fn tab_in_indent(text: &str) -> Option<Mistake> {
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        let content = line.trim_start_matches([' ', '\t']);
        let indent = &line[..line.len() - content.len()];
        let blank = content.trim().is_empty() || content.starts_with('#');
        if !blank && let Some(at) = indent.find('\t') {
            let span = Span { start: start + at, end: start + at + 1 };
            return Some(
                Mistake::at(span, "a line begins with a tab", "tab")
                    .help("indent with spaces; YAML does not allow tabs here"),
            );
        }
        start += line.len();
    }
    None
}
