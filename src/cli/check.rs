//! `lidcard check`: reads the files, applies every rule, reports.

use super::args::{Check, Colour, ReportFormat};
use super::boat::{self, Origin};
use super::outcome::{Failure, Outcome};
use super::parallel::in_parallel;
use super::{Streams, write};
use crate::finding::Severity;
use crate::report::{FileReport, Look, Status, closing, human, json_v1, sarif, short};
use crate::rule;
use std::path::Path;

/// Checks the files and prints what was found, in the order in which they were given.
pub fn run(args: &Check, colour: Colour, streams: &mut Streams<'_>) -> Result<Outcome, Failure> {
    distinct(args)?;
    let origins = boat::origins(&args.files, streams.stdin)?;
    let reports = in_parallel(origins, check_one);
    let look = streams.screen.look_of_stdout(colour);
    streams.say(text(args.format, &reports, look, args.all)?)?;
    for (format, target) in &args.outputs {
        // A file is read on other screens than this one.
        let text = text(*format, &reports, Look::PLAIN, args.all)?;
        write::atomically(target, text.as_bytes())
            .map_err(|error| Failure(format!("cannot write {}: {error}", target.display())))?;
    }
    let outcome = reports.iter().map(|r| outcome(r, args.strict)).max();
    Ok(outcome.unwrap_or(Outcome::Clean))
}

/// Two reports in one file, or a report in place of a boat, is a slip of the pen that loses work.
fn distinct(args: &Check) -> Result<(), Failure> {
    let real = |path: &Path| std::fs::canonicalize(path).unwrap_or_else(|_| path.to_path_buf());
    let mut taken: Vec<_> = args.files.iter().map(|file| real(Path::new(file))).collect();
    for (_, target) in &args.outputs {
        if taken.contains(&real(target)) {
            let why = format!("{} is named twice: give each report a file of its own", target.display());
            return Err(Failure(why));
        }
        taken.push(real(target));
    }
    Ok(())
}

/// Every report has the same content, whatever its shape.
fn text(format: ReportFormat, reports: &[FileReport], look: Look, all: bool) -> Result<String, Failure> {
    Ok(match format {
        ReportFormat::Human => {
            let mut text: String = reports.iter().map(|r| human::file(r, look, all)).collect();
            // One file ends with a line of its own already.
            if reports.len() > 1 {
                text.push('\n');
                text.push_str(&closing::line(reports));
            }
            text
        }
        ReportFormat::Short => {
            let lines: String = reports.iter().map(|r| short::file(r, all)).collect();
            lines + &closing::line(reports)
        }
        ReportFormat::Json => json(&json_v1::check(reports, all))?,
        ReportFormat::Sarif => json(&sarif::check(reports, all))?,
    })
}

/// How one file counts.
pub fn outcome(report: &FileReport, strict: bool) -> Outcome {
    match report.status() {
        Status::Unreadable => Outcome::Failed,
        _ if report.count(Severity::Error) > 0 => Outcome::Found,
        Status::Findings if strict => Outcome::Found,
        _ => Outcome::Clean,
    }
}

/// Pretty JSON with a newline at the end.
pub fn json(value: &impl serde::Serialize) -> Result<String, Failure> {
    serde_json::to_string_pretty(value)
        .map(|text| text + "\n")
        .map_err(|error| Failure(format!("cannot write JSON: {error}")))
}

fn check_one(origin: Origin) -> FileReport {
    match boat::load(origin) {
        Ok((source, setup)) => FileReport::checked(source, rule::check(&setup)),
        Err(report) => *report,
    }
}
