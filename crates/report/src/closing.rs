//! The last line of a report over all files: how much there is, and where to begin.

use super::text::counted;
use super::told::worst_first;
use super::{FilePlace, FileReport, Status};
use crate::finding::Severity;

/// What of one file goes into the last line.
#[derive(Debug)]
pub struct Sum {
    name: String,
    /// The line of the first mistake, if it could not be read.
    unread: Option<usize>,
    errors: usize,
    warnings: usize,
    accepted: usize,
    not_judged: usize,
    /// The lines of the worst error and of the worst warning.
    first: [Option<usize>; 2],
}

impl Sum {
    /// Of a report.
    pub fn of(report: &FileReport) -> Self {
        let told = worst_first(report);
        let first = |weight| {
            let finding = told.iter().find(|f| f.weight() == weight)?;
            Some(report.place(&finding.primary.0).line)
        };
        let mistake = || {
            let at = |m| FilePlace::of_mistake(report.source.as_ref(), m);
            report.mistakes.first().map_or(FilePlace::START, at).line
        };
        Self {
            name: report.name.clone(),
            unread: (report.status() == Status::Unreadable).then(mistake),
            errors: report.count(Severity::Error),
            warnings: report.count(Severity::Warning),
            accepted: report.accepted().count(),
            not_judged: report.not_judged().count(),
            first: [first(Severity::Error), first(Severity::Warning)],
        }
    }

    /// Whether the file could be read.
    pub fn is_read(&self) -> bool {
        self.unread.is_none()
    }
}

/// One line with its newline.
pub fn line(sums: &[Sum]) -> String {
    let unread = sums.iter().filter(|s| !s.is_read()).count();
    let errors: usize = sums.iter().map(|s| s.errors).sum();
    let warnings: usize = sums.iter().map(|s| s.warnings).sum();
    let accepted: usize = sums.iter().map(|s| s.accepted).sum();
    let files = counted(sums.len(), "file", "files");
    let mut counts = Vec::new();
    for (count, one, many) in [
        (unread, "file not read", "files not read"),
        (errors, "error", "errors"),
        (warnings, "warning", "warnings"),
    ] {
        if count > 0 {
            counts.push(counted(count, one, many));
        }
    }
    let open: usize = sums.iter().map(|s| s.not_judged).sum();
    let mut kept = if accepted > 0 { format!(", {accepted} accepted") } else { String::new() };
    if open > 0 {
        kept.push_str(&format!(", {open} not judged"));
    }
    match begin(sums) {
        Some((name, line)) => {
            format!("{} in {files}{kept}: begin at line {line} of {name}\n", counts.join(", "))
        }
        None if open > 0 => {
            format!("nothing is known to be wrong in {files}{kept}: `--all` lists what is missing\n")
        }
        None => format!("nothing found in {files}{kept}: next, try it on the bench\n"),
    }
}

/// What hides most comes first: a file that was not read, then an error, then a warning.
fn begin(sums: &[Sum]) -> Option<(&str, usize)> {
    let earliest = |line: fn(&Sum) -> Option<usize>| {
        sums.iter().find_map(|sum| line(sum).map(|line| (sum.name.as_str(), line)))
    };
    earliest(|s| s.unread).or_else(|| earliest(|s| s.first[0])).or_else(|| earliest(|s| s.first[1]))
}
