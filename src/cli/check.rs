//! `lidcard check`: reads the files, applies every rule, reports.

use super::args::{Check, Colour};
use super::boat::{self, Origin};
use super::guard::{caught, fallen};
use super::outcome::{Failure, Outcome};
use super::parallel::{engine, in_parallel};
use super::progress::Progress;
use super::write::inputs::{Inputs, real};
use super::{Streams, write};
use crate::certificate;
use crate::finding::Severity;
use crate::report::{FileReport, Format, Look, Part, Status, closing, json_v1, pretty};
use crate::rule::{self, Verdict};
use crate::source::Source;
use serde_json::Value;
use std::path::{Path, PathBuf};

/// A shape of the report, and how the page looks that it is drawn for.
type ReportTo = (&'static dyn Format, Look);

/// Checks the files and prints what was found, in the order in which they were given.
pub(super) fn run(args: &Check, colour: Colour, streams: &mut Streams<'_>) -> Result<Outcome, Failure> {
    distinct(args)?;
    let _folders = write::enter(targets(args), streams)?;
    let origins = boat::origins(&args.files, streams.stdin)?;
    let look = streams.screen.look_of_stdout(colour);
    // A file is read on other screens than this one.
    let to_files = args.outputs.iter().map(|(format, _)| (*format, Look::PLAIN));
    let shapes: Vec<ReportTo> = std::iter::once((args.format, look)).chain(to_files).collect();
    let progress = Progress::begin(streams.screen, "checking", origins.len());
    let checked = in_parallel(origins, |origin| {
        let checked = check_one(origin, &shapes, args);
        progress.step();
        checked
    });
    drop(progress);
    let mut sums = Vec::with_capacity(checked.len());
    let mut parts: Vec<Vec<Part>> = shapes.iter().map(|_| Vec::with_capacity(checked.len())).collect();
    let mut worst = Outcome::Clean;
    let mut certificate = None;
    for file in checked {
        let file = file?;
        worst = worst.max(file.outcome);
        sums.push(file.sum);
        certificate = file.certificate;
        for (all, part) in parts.iter_mut().zip(file.parts) {
            all.push(part);
        }
    }
    let files = std::iter::once(None).chain(args.outputs.iter().map(|(_, target)| Some(target)));
    for (((format, _), parts), target) in shapes.into_iter().zip(parts).zip(files) {
        let text = format.whole(parts, &sums).map_err(no_json)?;
        match target {
            None => streams.say_drawn(&text, look)?,
            Some(target) => put(target, &text)?,
        }
    }
    match (&args.certificate, certificate) {
        (Some(target), Some(text)) => put(target, &text)?,
        (Some(target), None) => {
            let why = format!("{} was not written: what is not read has no certificate", target.display());
            return Err(Failure(why));
        }
        (None, _) => {}
    }
    Ok(worst)
}

fn put(target: &Path, text: &str) -> Result<(), Failure> {
    write::atomically(target, text.as_bytes())
        .map_err(|error| Failure(format!("cannot write {}: {error}", target.display())))
}

/// Everything that is written beside what is printed.
fn targets(args: &Check) -> impl Iterator<Item = &Path> {
    args.outputs.iter().map(|(_, target)| target).chain(&args.certificate).map(PathBuf::as_path)
}

/// Two reports in one file, or a report in place of a boat, is a slip of the pen that loses work.
fn distinct(args: &Check) -> Result<(), Failure> {
    if args.certificate.is_some() && args.files.len() > 1 {
        return Err(Failure("a certificate is of one boat: give one boat file with --certificate".into()));
    }
    Inputs::boats(&args.files).refuse(targets(args))?;
    let mut taken = Vec::new();
    for target in targets(args) {
        if taken.contains(&real(target)) {
            let why = format!("{} is named twice: give each report a file of its own", target.display());
            return Err(Failure(why));
        }
        taken.push(real(target));
    }
    Ok(())
}

/// What stays of a file once it is drawn.
struct Checked {
    sum: closing::Sum,
    outcome: Outcome,
    /// One for each shape asked for.
    parts: Vec<Part>,
    certificate: Option<String>,
}

/// The JSON of one file.
pub(super) fn value(report: &FileReport, all: bool) -> Result<Value, Failure> {
    serde_json::to_value(json_v1::file(report, all)).map_err(no_json)
}

/// How one file counts.
pub(super) fn outcome(report: &FileReport, strict: bool) -> Outcome {
    match report.status() {
        Status::Unreadable => Outcome::Failed,
        _ if report.count(Severity::Error) > 0 => Outcome::Found,
        Status::Findings | Status::NotJudged if strict => Outcome::Found,
        _ => Outcome::Clean,
    }
}

/// Pretty JSON with a newline at the end.
pub(super) fn json(value: &impl serde::Serialize) -> Result<String, Failure> {
    pretty(value).map_err(no_json)
}

fn no_json(error: serde_json::Error) -> Failure {
    Failure(format!("cannot write JSON: {error}"))
}

/// Everything that can be done for one file alone, so that it is done beside the others. Source and
/// report end here too: to take a thousand of them down again is work as well.
fn check_one(origin: Origin, shapes: &[ReportTo], args: &Check) -> Result<Checked, Failure> {
    let name = origin.name();
    let work = || {
        let (report, certificate) = report(origin, args.certificate.is_some());
        drawn(&report, shapes, args).map(|checked| Checked { certificate, ..checked })
    };
    unless_it_falls(&name, work, |report| drawn(report, shapes, args))
}

/// If the work panics, the boat is reported as one of which nothing is known.
fn unless_it_falls<T>(name: &str, work: impl FnOnce() -> T, told: impl FnOnce(&FileReport) -> T) -> T {
    caught(work).unwrap_or_else(|why| told(&fallen(name, why)))
}

fn report(origin: Origin, certified: bool) -> (FileReport, Option<String>) {
    match boat::load(origin) {
        Ok((source, setup)) if certified => {
            let (judged, text) = engine(&setup, |engine| certificate::judged(&source, engine));
            (reported(source, judged.verdict), Some(text))
        }
        Ok((source, setup)) => {
            let verdict = engine(&setup, rule::verdict_in);
            (reported(source, verdict), None)
        }
        Err(report) => (*report, None),
    }
}

fn reported(source: Source, verdict: Verdict) -> FileReport {
    FileReport::checked(source, verdict.findings).wanting(verdict.wanting)
}

fn drawn(report: &FileReport, shapes: &[ReportTo], args: &Check) -> Result<Checked, Failure> {
    let parts = shapes.iter().map(|(format, look)| format.part(report, *look, args.all).map_err(no_json));
    let parts = parts.collect::<Result<_, _>>()?;
    let outcome = outcome(report, args.strict);
    Ok(Checked { sum: closing::Sum::of(report), outcome, parts, certificate: None })
}

#[cfg(test)]
mod tests {
    use super::{Look, Outcome, outcome, unless_it_falls};
    use crate::report::human;

    #[test]
    fn a_boat_over_which_the_program_falls_is_reported_as_one_that_could_not_be_read() {
        let told = unless_it_falls(
            "newt.yaml",
            || panic!("too wide"),
            |report| (outcome(report, false), human::file(report, Look::PLAIN, false)),
        );
        assert_eq!(told.0, Outcome::Failed);
        assert!(told.1.contains("the program itself failed") && told.1.contains("too wide"), "{}", told.1);
    }
}
