//! One boat file: checked, and made into pages as far as the check allows.

use super::super::args::{PageFormat, Pages};
use super::super::bench::{beside, store};
use super::super::named::BoatFile;
use super::super::outcome::{Failure, Outcome};
use super::super::parallel::engine;
use super::super::write::sum;
use super::super::{boat, check};
use super::draw::{document_error, drawn, meta};
use super::place::numbered;
use crate::certificate;
use crate::document::record::Recorded;
use crate::document::{Document, Job, Request};
use crate::finding::Severity;
use crate::fingerprint::{Code, pack};
use crate::language::Language;
use crate::report::human;
use crate::report::text::counted;
use crate::report::{FileReport, Look};
use crate::rule::{self, acceptance};
use crate::setup::Setup;
use std::path::{Path, PathBuf};

/// What came of one file: what there is to say, and files to write.
pub(super) struct Made {
    pub(super) complaints: String,
    pub(super) outcome: Outcome,
    pub(super) files: Vec<(PathBuf, Vec<u8>)>,
}

/// Everything up to the bytes; writes nothing.
pub(super) fn make(
    (document, record): (&dyn Document, Option<&Path>),
    origin: boat::Origin,
    args: &Pages,
    request: &Request,
    target: &Path,
    format: PageFormat,
    look: Look,
) -> Result<Made, Failure> {
    let nothing = |complaints, outcome| Ok(Made { complaints, outcome, files: Vec::new() });
    let file = match &origin {
        boat::Origin::File(file) => Some(file.clone()),
        boat::Origin::Stdin(_) => None,
    };
    let (source, mut setup) = match boat::load(origin) {
        Ok(loaded) => loaded,
        Err(report) => return nothing(human::file(&report, look, false), Outcome::Failed),
    };
    let code = Code::of(&source);
    let packed = if document.holds_the_file() { pack(&source) } else { Vec::new() };
    let record = recorded(document, file.as_ref(), record)?;
    let (mut judged, certificate) = match document.holds_the_file() {
        true => engine(&setup, |engine| certificate::judged(&source, engine)),
        false => (engine(&setup, rule::judge_in), String::new()),
    };
    let certificate = document.holds_the_file().then(|| sum(certificate.as_bytes()));
    let request = &Request { record, certificate, ..request.clone() };
    let report = FileReport::checked(source, std::mem::take(&mut judged.verdict.findings));
    let errors = report.count(Severity::Error);
    let mut complaints = String::new();
    let claims = !document.is_to_measure();
    if claims && (report.open().next().is_some() || args.verdict) {
        complaints.push_str(&human::file(&report, look, false));
    }
    if claims && errors > 0 && !request.draft {
        let count = counted(errors, "error", "errors");
        let name = document.name();
        complaints.push_str(&format!("no {name} made: first put right {count}, or ask for a --draft\n"));
        return nothing(complaints, check::outcome(&report, false));
    }
    let open = report.not_judged().count();
    if claims && open > 0 && !request.draft {
        let name = document.name();
        complaints.push_str(&format!(
            "the {name} is marked PROVISIONAL: {} not judged; `lidcard check` says what is missing\n",
            counted(open, "check", "checks")
        ));
    }
    for_the_owner(&mut setup, &report, args.language);
    let job = Job::of(&setup, report.findings(), code, &packed, &judged);
    if format == PageFormat::Html && document.has_html() {
        return Ok(match document.html(&job, request) {
            Ok(page) => {
                let files = page.map(|page| (target.to_owned(), page.into_bytes())).into_iter().collect();
                Made { complaints, outcome: Outcome::Clean, files }
            }
            Err(error) => {
                complaints.push_str(&document_error(document.name(), &error, look));
                Made { complaints, outcome: Outcome::Failed, files: Vec::new() }
            }
        });
    }
    let made =
        request.labels(&setup).and_then(|labels| document.scene(&job, request).map(|scene| (labels, scene)));
    let (labels, scene) = match made {
        Ok(made) => made,
        Err(error) => {
            complaints.push_str(&document_error(document.name(), &error, look));
            return nothing(complaints, Outcome::Failed);
        }
    };
    let drawn = drawn(document.name(), &scene, &meta(&labels, &setup), format)?;
    let count = drawn.len();
    let files = drawn.into_iter().enumerate().map(|(n, bytes)| (numbered(target, n, count), bytes)).collect();
    // A draft was asked for in the knowledge of what is wrong: it was made, and that is success.
    Ok(Made { complaints, outcome: Outcome::Clean, files })
}

/// What was read at the bench, for a document that tells of it: from a record that was named, else from the one beside
/// the boat file. Without one there is no record to print, and nothing of one to tell.
pub(crate) fn recorded(
    document: &dyn Document,
    boat_file: Option<&BoatFile>,
    named: Option<&Path>,
) -> Result<Option<Recorded>, Failure> {
    if !document.reads_the_record() {
        return Ok(None);
    }
    let path = match (named, boat_file.filter(|file| !file.is_stdin())) {
        (Some(named), _) => named.to_path_buf(),
        (None, Some(file)) => beside(file),
        (None, None) if !document.holds_the_record() => return Ok(None),
        (None, None) => {
            let why = "a record lies beside its boat file: give the file by its name";
            return Err(Failure(why.to_owned()));
        }
    };
    match store::read(&path)? {
        Some((text, record)) => Ok(Some(Recorded { record, sum: sum(text.as_bytes())[..8].to_owned() })),
        None if named.is_none() && !document.holds_the_record() => Ok(None),
        None => {
            let boat_file = boat_file.map_or_else(|| "FILE".to_owned(), BoatFile::to_string);
            let path = path.display();
            Err(Failure(format!("there is no record {path}: `lidcard bench {boat_file}` makes one")))
        }
    }
}

/// The pages tell only what is so, in the owner's language: an acceptance without its finding says
/// nothing about the boat.
pub(crate) fn for_the_owner(setup: &mut Setup, report: &FileReport, language: Option<Language>) {
    setup.accept.retain(|a| report.accepted().any(|f| acceptance::matches(a, f)));
    setup.owner.language = language.or(setup.owner.language);
}
