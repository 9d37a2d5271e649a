//! `lidcard check`: reads the files, applies every rule, reports.

use super::args::{Check, Colour};
use super::boat::{self, Origin};
use super::guard::{caught, fallen};
use super::outcome::{Failure, Outcome};
use super::parallel::in_parallel;
use super::write::inputs::{Inputs, real};
use super::{Streams, write};
use crate::finding::Severity;
use crate::report::{FileReport, Format, Look, Part, Status, closing, json_v1, pretty};
use crate::rule;
use serde_json::Value;

/// A shape of the report, and how the page looks that it is drawn for.
type Shape = (&'static dyn Format, Look);

/// Checks the files and prints what was found, in the order in which they were given.
pub(super) fn run(args: &Check, colour: Colour, streams: &mut Streams<'_>) -> Result<Outcome, Failure> {
    distinct(args)?;
    let _folders = write::enter(args.outputs.iter().map(|(_, target)| target.as_path()), streams)?;
    let origins = boat::origins(&args.files, streams.stdin)?;
    let look = streams.screen.look_of_stdout(colour);
    // A file is read on other screens than this one.
    let to_files = args.outputs.iter().map(|(format, _)| (*format, Look::PLAIN));
    let shapes: Vec<Shape> = std::iter::once((args.format, look)).chain(to_files).collect();
    let checked = in_parallel(origins, |origin| check_one(origin, &shapes, args));
    let mut sums = Vec::with_capacity(checked.len());
    let mut parts: Vec<Vec<Part>> = shapes.iter().map(|_| Vec::with_capacity(checked.len())).collect();
    let mut worst = Outcome::Clean;
    for file in checked {
        let file = file?;
        worst = worst.max(file.outcome);
        sums.push(file.sum);
        for (all, part) in parts.iter_mut().zip(file.parts) {
            all.push(part);
        }
    }
    let targets = std::iter::once(None).chain(args.outputs.iter().map(|(_, target)| Some(target)));
    for (((format, _), parts), target) in shapes.into_iter().zip(parts).zip(targets) {
        let text = format.whole(parts, &sums).map_err(no_json)?;
        match target {
            None => streams.say_drawn(&text, look)?,
            Some(target) => {
                write::atomically(target, text.as_bytes())
                    .map_err(|error| Failure(format!("cannot write {}: {error}", target.display())))?;
            }
        }
    }
    Ok(worst)
}

/// Two reports in one file, or a report in place of a boat, is a slip of the pen that loses work.
fn distinct(args: &Check) -> Result<(), Failure> {
    Inputs::boats(&args.files).refuse(args.outputs.iter().map(|(_, target)| target.as_path()))?;
    let mut taken = Vec::new();
    for (_, target) in &args.outputs {
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
fn check_one(origin: Origin, shapes: &[Shape], args: &Check) -> Result<Checked, Failure> {
    let name = origin.name().to_owned();
    unless_it_falls(&name, || drawn(&report(origin), shapes, args), |report| drawn(report, shapes, args))
}

/// If the work panics, the boat is reported as one of which nothing is known.
fn unless_it_falls<T>(name: &str, work: impl FnOnce() -> T, told: impl FnOnce(&FileReport) -> T) -> T {
    caught(work).unwrap_or_else(|why| told(&fallen(name, why)))
}

fn report(origin: Origin) -> FileReport {
    match boat::load(origin) {
        Ok((source, setup)) => {
            let judged = rule::judge(&setup);
            FileReport::checked(source, judged.findings).wanting(judged.wanting)
        }
        Err(report) => *report,
    }
}

fn drawn(report: &FileReport, shapes: &[Shape], args: &Check) -> Result<Checked, Failure> {
    let parts = shapes.iter().map(|(format, look)| format.part(report, *look, args.all).map_err(no_json));
    let parts = parts.collect::<Result<_, _>>()?;
    Ok(Checked { sum: closing::Sum::of(report), outcome: outcome(report, args.strict), parts })
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
