//! The shapes of a report: one file each, with the same content.

use super::closing::Sum;
use super::{FileReport, Look};
use crate::source::visible::escaped_in_json;
use serde_json::{Result, Value};

/// A shape of the report of `check`.
pub trait Format: Sync {
    /// Its name on the command line.
    fn name(&self) -> &'static str;
    /// What it is for, in a few words.
    fn about(&self) -> &'static str;
    /// One file, drawn as far as it can be without the others; `all` lists what was proved as well.
    ///
    /// # Errors
    /// When something cannot be written as JSON.
    fn part(&self, report: &FileReport, look: Look, all: bool) -> Result<Part>;
    /// All files together, each with what it comes to.
    ///
    /// # Errors
    /// When something cannot be written as JSON.
    fn whole(&self, parts: Vec<Part>, sums: &[Sum]) -> Result<String>;
}

impl std::fmt::Debug for dyn Format {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.name())
    }
}

/// What a file is drawn as by itself.
#[derive(Debug)]
pub enum Part {
    /// Lines, which follow upon those of the file before.
    Text(String),
    /// Entries of a list that goes over all files.
    Values(Vec<Value>),
}

/// The lines of all files.
pub(super) fn text(parts: Vec<Part>) -> String {
    let lines = parts.into_iter().map(|part| match part {
        Part::Text(lines) => lines,
        Part::Values(_) => String::new(),
    });
    lines.collect()
}

/// The entries of all files.
pub(super) fn values(parts: Vec<Part>) -> Vec<Value> {
    let entries = parts.into_iter().flat_map(|part| match part {
        Part::Text(_) => Vec::new(),
        Part::Values(entries) => entries,
    });
    entries.collect()
}

/// JSON to read, with a newline at the end.
///
/// # Errors
///
/// When a value has no form in JSON.
pub fn pretty(value: &impl serde::Serialize) -> Result<String> {
    // Files are looked at on terminals, too.
    serde_json::to_string_pretty(value).map(|text| escaped_in_json(&text).into_owned() + "\n")
}
