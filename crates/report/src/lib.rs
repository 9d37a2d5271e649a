//! What was found, as bytes: for people, one line each, or for machines.
//!
//! Reports only read. They ask the source where a path stands and choose no words of their own
//! about a rule: what is wrong and what to do comes with the finding.

use lidcard_boat::{radio, setup, source};
use lidcard_check::{axis as axes, finding, rule};
use lidcard_physics as physics;

pub mod axis;
mod axis_json;
pub mod closing;
pub mod endpoints;
pub mod endpoints_json;
pub mod excerpt;
mod format;
pub mod human;
pub mod json_v1;
mod lanes;
mod missing;
mod part;
pub mod pond;
pub mod pond_json;
mod practice;
pub mod practice_json;
pub mod rehearsal;
pub mod rehearsal_json;
pub mod sarif;
pub mod short;
pub mod solved;
pub mod states;
pub mod text;
pub mod throws;
mod told;

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod samples;
#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;

pub use format::{Format, Part, pretty};

use crate::finding::{Finding, Outcome, Severity};
use crate::setup::Path;
use crate::source::{Mistake, Source, Span};
use std::cmp::Ordering;

/// Every shape that a report of `check` can have; the first is the one for a screen.
pub const ALL: &[&dyn Format] = &[&human::Human, &short::Short, &json_v1::Json, &sarif::Sarif];

/// How the page it is shown on looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Look {
    /// Colours may be used. Nothing is said by colour alone.
    pub colour: bool,
    /// Lines and boxes may be drawn with characters outside ASCII.
    pub unicode: bool,
    /// Characters in a line.
    pub width: usize,
}

impl Look {
    /// As for a file or a pipe.
    pub const PLAIN: Self = Self { colour: false, unicode: false, width: 80 };
}

/// What a mistake of reading is filed under, where a finding names its rule: the file itself is
/// wrong, and nothing is said of the boat.
const BOAT_FILE: &str = "boat-file";

/// How a file came out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Status {
    /// Read, and nothing found.
    Clean,
    /// Read, and something found.
    Findings,
    /// Read, and nothing found, but not all of it could be judged.
    NotJudged,
    /// Not read.
    Unreadable,
}

impl Status {
    /// The word in the JSON.
    pub fn word(self) -> &'static str {
        match self {
            Status::Clean => "clean",
            Status::Findings => "findings",
            Status::NotJudged => "not judged",
            Status::Unreadable => "unreadable",
        }
    }
}

/// Everything there is to say about one file.
#[derive(Debug)]
pub struct FileReport {
    name: String,
    source: Option<Source>,
    findings: Vec<Finding>,
    mistakes: Vec<Mistake>,
    unjudged: Vec<String>,
}

impl FileReport {
    /// A file that could be read. Puts the findings into the order in which everything is printed.
    pub fn checked(source: Source, mut findings: Vec<Finding>) -> Self {
        findings.sort_by(|a, b| order(&source, a, b));
        Self {
            name: source.name.clone(),
            source: Some(source),
            findings,
            mistakes: Vec::new(),
            unjudged: Vec::new(),
        }
    }

    /// With the keys without which something could not be judged, which is told beside the findings.
    #[must_use]
    pub fn wanting(mut self, keys: Vec<String>) -> Self {
        self.unjudged = keys;
        self
    }

    /// A file that could not; without a source where not even its text was to be had.
    pub fn unreadable(name: &str, source: Option<Source>, mut mistakes: Vec<Mistake>) -> Self {
        // Mistakes without a place first: they are about the file as a whole.
        mistakes.sort_by_key(|m| m.labels.first().map(|(span, _)| span.start));
        Self { name: name.to_owned(), source, findings: Vec::new(), mistakes, unjudged: Vec::new() }
    }

    /// The same under another name, for a reader who does not know the folders of this machine.
    #[must_use]
    pub fn called(mut self, name: &str) -> Self {
        name.clone_into(&mut self.name);
        if let Some(source) = &mut self.source {
            name.clone_into(&mut source.name);
        }
        self
    }

    /// The name as it was given.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// How it came out.
    pub fn status(&self) -> Status {
        if !self.mistakes.is_empty() || self.source.is_none() {
            Status::Unreadable
        } else if self.open().next().is_some() {
            Status::Findings
        } else if self.not_judged().next().is_some() {
            Status::NotJudged
        } else {
            Status::Clean
        }
    }

    /// What is not in order and not accepted.
    pub fn open(&self) -> impl Iterator<Item = &Finding> {
        self.findings.iter().filter(|f| f.is_open())
    }

    /// What the builder accepts.
    pub fn accepted(&self) -> impl Iterator<Item = &Finding> {
        self.found().filter(|f| f.accepted.is_some())
    }

    /// What is not in order and what is accepted, in one order.
    pub fn found(&self) -> impl Iterator<Item = &Finding> {
        self.findings.iter().filter(|f| f.is_found())
    }

    /// What hangs on something that the file does not say.
    pub fn not_judged(&self) -> impl Iterator<Item = &Finding> {
        self.findings.iter().filter(|f| f.outcome == Outcome::NotJudged)
    }

    /// What was proved, and what holds by an estimate.
    pub fn proved(&self) -> impl Iterator<Item = &Finding> {
        self.findings.iter().filter(|f| f.outcome == Outcome::Proved)
    }

    /// How many checks were proved, as they are called, and beside them how many hold by an estimate alone: `66 checks
    /// proved, 1 by estimate`.
    pub(crate) fn counts(&self, called: impl Fn(usize) -> String) -> String {
        let estimated = self.proved().filter(|f| f.by_estimate).count();
        let proved = called(self.proved().count() - estimated);
        match estimated {
            0 => format!("{proved} proved"),
            _ => format!("{proved} proved, {estimated} by estimate"),
        }
    }

    /// All of them, in the order in which everything is printed.
    pub fn findings(&self) -> &[Finding] {
        &self.findings
    }

    /// How many findings have this weight.
    pub fn count(&self, weight: Severity) -> usize {
        self.open().filter(|f| f.weight() == weight).count()
    }

    fn place(&self, path: &Path) -> FilePlace {
        self.source.as_ref().map_or(FilePlace::START, |s| FilePlace::of(s, s.locate(path)))
    }
}

/// File, position, severity, rule, message: the one order for everything printed. What is equal in
/// all of them goes by what it is about and the state, so that the order is the same every time.
fn order(source: &Source, a: &Finding, b: &Finding) -> Ordering {
    let at = |f: &Finding| source.locate(&f.primary.0).start;
    (at(a), a.weight(), a.rule, &a.message, &a.about, &a.state).cmp(&(
        at(b),
        b.weight(),
        b.rule,
        &b.message,
        &b.about,
        &b.state,
    ))
}

/// Lines and columns, from 1; the end is the first character that no longer belongs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FilePlace {
    /// First line.
    pub line: usize,
    /// First column.
    pub column: usize,
    /// Last line.
    pub end_line: usize,
    /// Column behind the last character.
    pub end_column: usize,
}

impl FilePlace {
    /// The start of the file, for what has no place in it.
    pub const START: Self = Self { line: 1, column: 1, end_line: 1, end_column: 1 };

    /// Where a span lies.
    pub fn of(source: &Source, span: Span) -> Self {
        let (line, column) = source.line_column(span.start);
        let (end_line, end_column) = source.line_column(span.end.max(span.start));
        Self { line, column, end_line, end_column }
    }

    fn of_mistake(source: Option<&Source>, mistake: &Mistake) -> Self {
        match (source, mistake.labels.first()) {
            (Some(source), Some((span, _))) => Self::of(source, *span),
            _ => Self::START,
        }
    }
}
