//! The last line of a report over all files: how much there is, and where to begin.

use super::text::counted;
use super::{FileReport, Place, Status};
use crate::finding::Severity;

/// One line with its newline.
pub fn line(reports: &[FileReport]) -> String {
    let sum = |weight| reports.iter().map(|r| r.count(weight)).sum::<usize>();
    let unread = reports.iter().filter(|r| r.status() == Status::Unreadable).count();
    let (errors, warnings) = (sum(Severity::Error), sum(Severity::Warning));
    let accepted: usize = reports.iter().map(|r| r.accepted().count()).sum();
    let files = counted(reports.len(), "file", "files");
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
    let kept = if accepted > 0 { format!(", {accepted} accepted") } else { String::new() };
    match begin(reports) {
        Some((name, line)) => {
            format!("{} in {files}{kept}: begin at line {line} of {name}\n", counts.join(", "))
        }
        None => format!("nothing found in {files}{kept}: next, try it on the bench\n"),
    }
}

/// What hides most comes first: a file that was not read, then an error, then a warning.
fn begin(reports: &[FileReport]) -> Option<(&str, usize)> {
    let unread = reports.iter().find(|r| r.status() == Status::Unreadable).map(|r| {
        let place = r.mistakes.first().map_or(Place::START, |m| Place::of_mistake(r.source.as_ref(), m));
        (r.name(), place.line)
    });
    let first = |weight| {
        reports.iter().find_map(|r| {
            let finding = r.open().find(|f| f.weight() == weight)?;
            Some((r.name(), r.place(&finding.primary.0).line))
        })
    };
    unread.or_else(|| first(Severity::Error)).or_else(|| first(Severity::Warning))
}
