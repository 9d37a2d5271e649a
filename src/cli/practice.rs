//! `lidcard try`: a page on which the owner moves the sticks and sees what she does. Made of a boat that passed her
//! check, like every other paper.

use super::args::{Colour, Try, TryFormat};
use super::boat;
use super::document::{document_error, for_the_owner, workshop, workshop_folder};
use super::named::BoatFile;
use super::outcome::{Failure, Outcome};
use super::progress::during;
use super::write;
use super::write::inputs::Inputs;
use super::{Streams, check};
use crate::document::practice::page;
use crate::document::{DocumentError, Job, Request};
use crate::finding::Severity;
use crate::fingerprint::{Code, pack};
use crate::report::text::counted;
use crate::report::{FileReport, human, practice_json};
use crate::rule;
use crate::setup::Setup;
use std::path::PathBuf;

/// Checks the boat, then writes the page, or what it evaluates.
pub(super) fn run(args: &Try, colour: Colour, streams: &mut Streams<'_>) -> Result<Outcome, Failure> {
    let look = streams.screen.look_of_stderr(colour);
    let workshop = match workshop(args.workshop.as_deref()) {
        Ok(workshop) => workshop,
        Err(error) => {
            streams.complain_drawn(&document_error("practice page", &error, look), look)?;
            return Ok(Outcome::Failed);
        }
    };
    let (source, mut setup) = match boat::load_one(&args.file, streams.stdin)? {
        Ok(loaded) => loaded,
        Err(report) => {
            streams.complain_drawn(&human::file(&report, look, false), look)?;
            return Ok(Outcome::Failed);
        }
    };
    let (code, packed) = (Code::of(&source), pack(&source));
    let mut judged = during(streams.screen, "checking", || rule::judge(&setup));
    let report = FileReport::checked(source, std::mem::take(&mut judged.verdict.findings))
        .wanting(std::mem::take(&mut judged.verdict.wanting));
    let errors = report.count(Severity::Error);
    if report.open().next().is_some() {
        streams.complain_drawn(&human::file(&report, look, false), look)?;
    }
    if errors > 0 && !args.draft {
        let count = counted(errors, "error", "errors");
        streams
            .complain(format!("no practice page made: first put right {count}, or ask for a --draft\n"))?;
        return Ok(check::outcome(&report, false));
    }
    let named = default_output(&args.file, args.format);
    let target = match &args.output {
        Some(folder) if folder.is_dir() => folder.join(named),
        Some(output) => output.clone(),
        None => named,
    };
    let mut inputs = Inputs::boats(std::slice::from_ref(&args.file));
    if let Some(folder) = workshop_folder(args.workshop.as_deref()) {
        inputs.add(&folder, "in the workshop's own folder");
    }
    inputs.refuse([target.as_path()])?;
    for_the_owner(&mut setup, &report, args.language);
    let job = Job::of(&setup, report.findings(), code, &packed, &judged);
    let request = Request { draft: args.draft, workshop, ..Request::default() };
    let make = || match args.format {
        TryFormat::Html => html(&job, &request),
        TryFormat::Json => Ok(Ok(told(&setup, code, true)?)),
    };
    let made = during(streams.screen, "rehearsing every cause", make)?;
    let text = match made {
        Ok(text) => text,
        Err(error) => {
            streams.complain_drawn(&document_error("practice page", &error, look), look)?;
            return Ok(Outcome::Failed);
        }
    };
    let _folders = write::enter([target.as_path()], streams)?;
    write::atomically(&target, text.as_bytes())
        .map_err(|error| Failure(format!("cannot write {}: {error}", target.display())))?;
    streams.note(format!("wrote {}\n", target.display()))?;
    Ok(Outcome::Clean)
}

/// The page of a boat.
pub(super) fn html(job: &Job<'_>, request: &Request) -> Result<Result<String, DocumentError>, Failure> {
    let boat = told(job.setup, job.code, false)?;
    Ok(page(job, request, &boat))
}

fn told(setup: &Setup, code: Code, pretty: bool) -> Result<String, Failure> {
    let code = code.to_string();
    let practice = practice_json::practice(setup, &code).map_err(|too_many| {
        Failure(format!(
            "no practice page made: the switches on {} can be combined in too many ways for a page",
            too_many.channel
        ))
    })?;
    if pretty {
        return check::json(&practice);
    }
    serde_json::to_string(&practice)
        .map_err(|error| Failure(format!("cannot write the boat as JSON: {error}")))
}

/// `boats/moonfish.yaml` becomes `moonfish-practice.html` in the current folder.
fn default_output(file: &BoatFile, format: TryFormat) -> PathBuf {
    file.stem_with(match format {
        TryFormat::Html => "-practice.html",
        TryFormat::Json => "-practice.json",
    })
}
