//! The report for people: each finding at its place in the file, then how it can be seen with the
//! sticks in hand, then what to do; and at the end of the file one line that sums up.

use super::text::{counted, hanging, margin, percent, signed_percent, verdict};
use super::{FileReport, Look, Place, Status};
use crate::finding::{Finding, Outcome, Severity, Witness};
use crate::source::{Mistake, Source, Span};
use miette::{
    Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, MietteError,
    MietteSpanContents, SourceCode, SourceSpan, SpanContents, ThemeCharacters, ThemeStyles,
};
use std::fmt::{self, Write};

/// The report for one file.
pub fn file(report: &FileReport, look: Look, all: bool) -> String {
    let mut out = String::new();
    for mistake in &report.mistakes {
        out.push_str(&mistake_text(mistake, report.source.as_ref(), look));
    }
    for finding in report.open() {
        out.push_str(&finding_text(finding, report.source.as_ref(), look));
    }
    if all {
        for finding in report.proved() {
            out.push_str(&proved_line(finding));
        }
        if report.proved().next().is_some() {
            out.push('\n');
        }
    }
    out.push_str(&closing_line(report));
    out.push('\n');
    out
}

/// A mistake in reading, at its place.
pub fn mistake_text(mistake: &Mistake, source: Option<&Source>, look: Look) -> String {
    let labels = mistake
        .labels
        .iter()
        .map(|(span, words)| (*span, words.clone()))
        .collect();
    let shown = Shown::new(
        "unreadable",
        Severity::Error,
        &mistake.message,
        source,
        labels,
    );
    let mut out = shown.text(look);
    if let Some(help) = &mistake.help {
        hanging(&mut out, "  help: ", help, look.width);
    }
    out.push('\n');
    out
}

/// One finding: excerpt, witness, margin, help.
pub fn finding_text(finding: &Finding, source: Option<&Source>, look: Look) -> String {
    let labels = match source {
        None => Vec::new(),
        Some(source) => std::iter::once(&finding.primary)
            .chain(&finding.others)
            .map(|(path, words)| (source.locate(path), words.clone()))
            .collect(),
    };
    let code = format!("{}: {}", verdict(finding), finding.rule);
    let mut out = Shown::new(&code, finding.weight(), &finding.message, source, labels).text(look);
    if finding.outcome == Outcome::Undecided {
        let words = "neither proved nor broken; take it for broken until it is settled";
        hanging(&mut out, "  verdict: ", words, look.width);
    }
    hanging(
        &mut out,
        "  where: ",
        &format!("{}, {}", finding.about, finding.state),
        look.width,
    );
    if let Some(witness) = &finding.witness {
        hanging(
            &mut out,
            "  shown by: ",
            &witness_words(witness),
            look.width,
        );
        if !witness.order.is_empty() {
            let lines: Vec<_> = witness
                .order
                .iter()
                .map(|(l, w)| format!("{l}: {w}"))
                .collect();
            hanging(&mut out, "  on a set with: ", &lines.join(", "), look.width);
        }
    }
    if let Some(left) = &finding.margin {
        let words = if left.axis.signum() < 0 {
            "  over by: "
        } else {
            "  left over: "
        };
        let size = format!(
            "{} ({:.1})",
            percent(&left.axis.abs()),
            positive(&left.micros)
        );
        hanging(&mut out, words, &size, look.width);
    }
    for help in &finding.help {
        hanging(&mut out, "  help: ", help, look.width);
    }
    out.push('\n');
    out
}

fn positive(micros: &crate::setup::quantity::Micros) -> crate::setup::quantity::Micros {
    crate::setup::quantity::Micros(micros.0.abs())
}

/// `tank: blow held fully, nothing else touched: output +71 %, 1784 us`
fn witness_words(witness: &Witness) -> String {
    let (output, pulse) = (signed_percent(&witness.output), &witness.pulse);
    format!("{}: output {output}, {pulse:.1}", witness.words)
}

fn proved_line(finding: &Finding) -> String {
    let mut line = format!(
        "proved: {} at {}, {}",
        finding.rule, finding.about, finding.state
    );
    if let Some(left) = &finding.margin {
        let _ = write!(line, ": margin {}", margin(left));
    }
    line.push('\n');
    line
}

fn closing_line(report: &FileReport) -> String {
    let name = &report.name;
    match report.status() {
        Status::Unreadable => {
            let count = counted(report.mistakes.len(), "mistake", "mistakes");
            let first = report.mistakes.iter().find(|m| !m.labels.is_empty());
            let at = first.map(|m| Place::of_mistake(report.source.as_ref(), m).line);
            let at = at.map_or(String::new(), |line| {
                format!("{}{line}", first_at(report.mistakes.len()))
            });
            format!("{name}: not checked, it could not be read: {count}{at}")
        }
        Status::Findings => {
            let (errors, warnings) = (
                report.count(Severity::Error),
                report.count(Severity::Warning),
            );
            let mut counts = Vec::new();
            if errors > 0 {
                counts.push(counted(errors, "error", "errors"));
            }
            if warnings > 0 {
                counts.push(counted(warnings, "warning", "warnings"));
            }
            let line = report
                .open()
                .next()
                .map_or(1, |f| report.place(&f.primary.0).line);
            format!(
                "{} in {name}{}{line}",
                counts.join(", "),
                first_at(errors + warnings)
            )
        }
        Status::Clean => {
            let proved = report.proved().count();
            let mut line = format!(
                "{name}: nothing found; {} proved",
                counted(proved, "check", "checks")
            );
            let least = report
                .proved()
                .filter_map(|f| f.margin.as_ref().map(|m| (m, &f.about)))
                .min_by(|(a, _), (b, _)| a.axis.cmp(&b.axis));
            if let Some((left, about)) = least {
                let _ = write!(line, ", least margin {} at {about}", margin(left));
            }
            line
        }
    }
}

fn first_at(count: usize) -> &'static str {
    if count == 1 {
        ", at line "
    } else {
        "; the first is at line "
    }
}

/// One thing to show with miette.
#[derive(Debug)]
pub struct Shown<'a> {
    code: String,
    severity: Severity,
    message: String,
    text: Option<NamedText<'a>>,
    /// The first is the primary one.
    labels: Vec<(Span, String)>,
}

impl<'a> Shown<'a> {
    fn new(
        code: &str,
        severity: Severity,
        message: &str,
        source: Option<&'a Source>,
        labels: Vec<(Span, String)>,
    ) -> Self {
        let text = source.map(|s| NamedText {
            name: &s.name,
            text: &s.text,
        });
        Self {
            code: code.to_owned(),
            severity,
            message: message.to_owned(),
            text,
            labels,
        }
    }

    /// Something wrong in a text that is no boat file, such as a template.
    pub fn elsewhere(code: &str, message: &str, name: &'a str, text: &'a str, span: Span) -> Self {
        Self {
            code: code.to_owned(),
            severity: Severity::Error,
            message: message.to_owned(),
            text: Some(NamedText { name, text }),
            labels: vec![(span, "here".to_owned())],
        }
    }

    /// As text for this look, ending in a newline.
    pub fn text(&self, look: Look) -> String {
        let theme = GraphicalTheme {
            characters: if look.unicode {
                ThemeCharacters::unicode()
            } else {
                ThemeCharacters::ascii()
            },
            styles: if look.colour {
                ThemeStyles::ansi()
            } else {
                ThemeStyles::none()
            },
        };
        let handler = GraphicalReportHandler::new_themed(theme)
            .with_width(look.width)
            .with_links(false)
            .with_context_lines(1);
        let mut out = String::new();
        if handler.render_report(&mut out, self).is_err() {
            out = format!("{}\n  {}\n", self.code, self.message);
        }
        // miette leaves blanks at line ends, which no golden file survives.
        out.lines()
            .map(str::trim_end)
            .fold(String::new(), |all, line| all + line + "\n")
    }
}

impl fmt::Display for Shown<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for Shown<'_> {}

impl Diagnostic for Shown<'_> {
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
        self.text
            .as_ref()
            .filter(|t| !t.text.is_empty())
            .map(|t| t as &dyn SourceCode)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        let text = self.text.as_ref()?.text;
        if self.labels.is_empty() {
            return None;
        }
        Some(Box::new(self.labels.iter().enumerate().map(
            move |(index, (span, words))| {
                let (start, length) = within(text, *span);
                let words = Some(words.clone());
                if index == 0 {
                    LabeledSpan::new_primary_with_span(words, (start, length))
                } else {
                    LabeledSpan::new_with_span(words, (start, length))
                }
            },
        )))
    }
}

/// A span that miette can draw, whatever it is handed: inside the text, on whole characters.
fn within(text: &str, span: Span) -> (usize, usize) {
    let whole = |mut at: usize| {
        at = at.min(text.len());
        while !text.is_char_boundary(at) {
            at -= 1;
        }
        at
    };
    let start = whole(span.start);
    (start, whole(span.end).saturating_sub(start))
}

/// A text with its name that is not copied for each finding.
#[derive(Debug)]
struct NamedText<'a> {
    name: &'a str,
    text: &'a str,
}

impl SourceCode for NamedText<'_> {
    fn read_span<'b>(
        &'b self,
        span: &SourceSpan,
        before: usize,
        after: usize,
    ) -> Result<Box<dyn SpanContents<'b> + 'b>, MietteError> {
        let inner = self.text.read_span(span, before, after)?;
        Ok(Box::new(MietteSpanContents::new_named(
            self.name.to_owned(),
            inner.data(),
            *inner.span(),
            inner.line(),
            inner.column(),
            inner.line_count(),
        )))
    }
}
