//! A stretch of a file with labels at what is wrong in it, drawn by miette.

use super::Look;
use super::part::{Part, brief};
use crate::finding::Severity;
use crate::source::visible::visible;
use crate::source::{Source, Span};
use miette::{
    Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, MietteError, MietteSpanContents,
    SourceCode, SourceSpan, SpanContents, ThemeCharacters, ThemeStyles,
};
use std::fmt;

/// One thing to show with miette.
#[derive(Debug)]
pub struct Shown {
    code: String,
    severity: Severity,
    message: String,
    /// The first label of it is the primary one.
    part: Option<Part>,
}

impl Shown {
    /// Something about a boat file; the first label is the place itself.
    pub fn new(
        code: &str,
        severity: Severity,
        message: &str,
        source: Option<&Source>,
        labels: Vec<(Span, String)>,
    ) -> Self {
        let part = source.and_then(|s| Part::of(&s.name, &s.text, labels));
        Self { code: visible(code).into_owned(), severity, message: brief(message), part }
    }

    /// Something wrong in a text that is no boat file, such as a template.
    pub fn elsewhere(code: &str, message: &str, name: &str, text: &str, span: Span) -> Self {
        let part = Part::of(name, text, vec![(span, "here".to_owned())]);
        Self { code: visible(code).into_owned(), severity: Severity::Error, message: brief(message), part }
    }

    /// As text for this look, ending in a newline.
    pub fn text(&self, look: Look) -> String {
        let theme = GraphicalTheme {
            characters: if look.unicode { ThemeCharacters::unicode() } else { ThemeCharacters::ascii() },
            styles: if look.colour { ThemeStyles::ansi() } else { ThemeStyles::none() },
        };
        let handler = GraphicalReportHandler::new_themed(theme)
            .with_width(look.width)
            .with_links(false)
            .with_context_lines(1);
        let mut out = String::new();
        if handler.render_report(&mut out, self).is_err() {
            out = format!("{}\n  {}\n", self.code, self.message);
        }
        shortened(&out)
    }
}

/// Leaves out what lies between labels that are far apart, and the blanks that miette puts at line
/// ends. The wrong value and the threshold it collides with stay in one excerpt that way, whether
/// three or three hundred lines lie between them.
fn shortened(drawn: &str) -> String {
    let rows: Vec<(&str, Row)> = drawn.lines().map(|line| (line.trim_end(), Row::of(line))).collect();
    let is_label = |at: Option<usize>| at.and_then(|i| rows.get(i)).is_some_and(|(_, r)| *r == Row::Label);
    // Kept: labelled lines, and one line of context on either side.
    let kept = |i: usize| {
        rows[i].1 != Row::Source
            || is_label(i.checked_sub(1))
            || is_label(Some(i + 1))
            || (rows.get(i + 1).is_some_and(|(_, r)| *r == Row::Source) && is_label(Some(i + 2)))
    };
    let mut out = String::new();
    let mut i = 0;
    while i < rows.len() {
        let run = (i..rows.len()).take_while(|&j| !kept(j)).count();
        if run > 1 {
            // The gutter is as wide as it is at the lines beside it.
            let gutter = plain(rows[i].0).find(['|', '│']).unwrap_or(0);
            out.push_str(&format!("{:gutter$}...\n", ""));
            i += run;
        } else {
            out.push_str(rows[i].0);
            out.push('\n');
            i += 1;
        }
    }
    out
}

/// What a drawn line is.
#[derive(Clone, Copy, PartialEq)]
enum Row {
    /// A numbered line of the text.
    Source,
    /// A line that belongs to a label.
    Label,
    /// Anything else.
    Other,
}

impl Row {
    fn of(line: &str) -> Self {
        let line = plain(line);
        let line = line.trim_start();
        let behind = line.trim_start_matches(|c: char| c.is_ascii_digit());
        if behind.len() < line.len() && behind.trim_start().starts_with(['|', '│']) {
            Row::Source
        } else if line.starts_with([':', '·']) {
            Row::Label
        } else {
            Row::Other
        }
    }
}

/// A line without its colours.
fn plain(line: &str) -> String {
    let mut out = String::new();
    let mut letters = line.chars();
    while let Some(letter) = letters.next() {
        if letter == '\u{1b}' {
            letters.by_ref().find(|c| *c == 'm');
        } else {
            out.push(letter);
        }
    }
    out
}

impl fmt::Display for Shown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for Shown {}

impl Diagnostic for Shown {
    fn code<'b>(&'b self) -> Option<Box<dyn fmt::Display + 'b>> {
        Some(Box::new(&self.code))
    }

    fn severity(&self) -> Option<miette::Severity> {
        Some(match self.severity {
            Severity::Error => miette::Severity::Error,
            Severity::Warning => miette::Severity::Warning,
        })
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        self.part.as_ref().map(|part| part as &dyn SourceCode)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        let labels = &self.part.as_ref()?.labels;
        Some(Box::new(labels.iter().enumerate().map(|(index, (span, words))| {
            let (words, span) = (Some(words.clone()), (span.start, span.end - span.start));
            if index == 0 {
                LabeledSpan::new_primary_with_span(words, span)
            } else {
                LabeledSpan::new_with_span(words, span)
            }
        })))
    }
}

impl SourceCode for Part {
    fn read_span<'b>(
        &'b self,
        span: &SourceSpan,
        before: usize,
        after: usize,
    ) -> Result<Box<dyn SpanContents<'b> + 'b>, MietteError> {
        let inner = self.text.read_span(span, before, after)?;
        // Read alone, a label is read for its place in the file.
        let primary = self.labels.first().filter(|_| before == 0 && after == 0);
        let column = match primary {
            Some((first, _)) if first.start == span.offset() => self.column,
            _ => inner.column(),
        };
        Ok(Box::new(MietteSpanContents::new_named(
            self.name.clone(),
            inner.data(),
            *inner.span(),
            self.lines_before + inner.line(),
            column,
            self.lines_before + inner.line_count(),
        )))
    }
}
