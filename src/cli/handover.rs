//! `lidcard handover`: everything that goes with a boat, together in one folder.

use super::args::{Colour, Handover, PageFormat};
use super::document::{
    document_error, drawn, for_the_owner, meta, numbered, recorded, workshop, workshop_folder,
};
use super::folder::{self, MANIFEST, Manifest, Wanted};
use super::guard::guarded;
use super::named::BoatFile;
use super::outcome::{Failure, Outcome};
use super::parallel::{engine, in_parallel, with_room};
use super::progress::{Progress, during};
use super::write::inputs::Inputs;
use super::{Streams, boat, check, write};
use crate::certificate;
use crate::document::card::Card;
use crate::document::guide::Guide;
use crate::document::handover::{INDEX, Kind, index};
use crate::document::service::Service;
use crate::document::sheet::BenchSheet;
use crate::document::{Document, DocumentError, Job, Request};
use crate::finding::Severity;
use crate::fingerprint::{Code, pack};
use crate::render::{Scene, template};
use crate::report::text::counted;
use crate::report::{FileReport, Look, endpoints, endpoints_json, human, json_v1, throws};
use crate::rule;
use crate::setup::Setup;
use crate::source::Source;
use std::path::Path;

/// The documents in the order in which they are listed, each with its form for a screen.
const DOCUMENTS: [(&dyn Document, Kind, Option<Kind>); 4] = [
    (&Card, Kind::Card, Some(Kind::CardHtml)),
    (&Guide, Kind::Guide, Some(Kind::GuideHtml)),
    (&BenchSheet, Kind::Sheet, None),
    (&Service, Kind::Service, None),
];

/// A file of the handover before it is written.
struct Part {
    name: String,
    kind: Kind,
    bytes: Vec<u8>,
}

/// Checks the boat, makes everything, and only then writes all of it at once.
pub(super) fn run(args: &Handover, colour: Colour, streams: &mut Streams<'_>) -> Result<Outcome, Failure> {
    let look = streams.screen.look_of_stderr(colour);
    let workshop = match workshop(args.workshop.as_deref()) {
        Ok(workshop) => workshop,
        Err(error) => return refused(&error, look, streams),
    };
    let (source, mut setup) = match boat::load_one(&args.file, streams.stdin)? {
        Ok(loaded) => loaded,
        Err(report) => {
            streams.complain_drawn(&human::file(&report, look, false), look)?;
            return Ok(Outcome::Failed);
        }
    };
    let (stem, handed) = (stem(&args.file), source.clone());
    let (code, packed) = (Code::of(&source), pack(&source));
    let (mut judged, certificate) =
        during(streams.screen, "checking", || engine(&setup, |engine| certificate::judged(&source, engine)));
    let report = FileReport::checked(source, std::mem::take(&mut judged.verdict.findings))
        .wanting(std::mem::take(&mut judged.verdict.wanting));
    let errors = report.count(Severity::Error);
    if report.open().next().is_some() {
        streams.complain_drawn(&human::file(&report, look, false), look)?;
    }
    if errors > 0 {
        let count = counted(errors, "error", "errors");
        streams.complain(format!(
            "nothing handed over: first put right {count} in {}\n  help: for the bench, card, sheet and \
             guide can each be made as a --draft\n",
            report.name()
        ))?;
        return Ok(check::outcome(&report, false));
    }
    if let Some(why) = not_provisional(args, &setup, &report) {
        streams.complain(why)?;
        return Ok(Outcome::Found);
    }
    let target = args.output.clone().unwrap_or_else(|| args.file.stem_with("-handover"));
    let inputs = inputs(args);
    inputs.refuse([target.as_path()])?;
    let _folders = write::enter([target.as_path()], streams)?;
    let boat = setup.boat.name.clone();
    let wanted = Wanted { boat: &boat, source: &handed, code, replace: args.replace };
    let older = folder::look_into(&target, &wanted).map_err(Failure)?.kept;
    let report = report.called(&format!("{stem}.yaml"));
    for_the_owner(&mut setup, &report, args.language);
    let request = Request {
        size_mm: args.size,
        fold: args.fold,
        annex: true,
        on: args.on,
        units: args.units.into(),
        workshop,
        certificate: Some(write::sum(certificate.as_bytes())),
        record: recorded(&Guide, Some(&args.file), args.record.as_deref())?,
        ..Request::default()
    };
    let job = Job::of(&setup, report.findings(), code, &packed, &judged);
    // Each document, the practice page and the reports.
    let progress = Progress::begin(streams.screen, "drawing", DOCUMENTS.len() + 2);
    let of = Of {
        stem: &stem,
        source: &handed,
        certificate: &certificate,
        report: &report,
        job: &job,
        request: &request,
    };
    let make = || parts(&of, older, &progress);
    let made = with_room(template::STACK, || guarded(&args.file.to_string(), make), || ());
    drop(progress);
    let parts = match made? {
        Ok(parts) => parts,
        Err((name, error)) => {
            streams.complain_drawn(&document_error(name, &error, look), look)?;
            streams.complain("nothing handed over\n")?;
            return Ok(Outcome::Failed);
        }
    };
    let files: Vec<(String, Vec<u8>)> = parts.into_iter().map(|part| (part.name, part.bytes)).collect();
    let count = files.len();
    let left = folder::hand_over(&target, &wanted, files).map_err(Failure)?;
    if let Some(left) = left {
        streams.complain(format!("the handover before this one still lies in {}\n", left.display()))?;
    }
    streams.note(format!("wrote {count} files into {}; begin with {INDEX}\n", target.display()))?;
    Ok(Outcome::Clean)
}

/// Why a boat of which not everything could be judged is not handed over, if she is not.
fn not_provisional(args: &Handover, setup: &Setup, report: &FileReport) -> Option<String> {
    let open = report.not_judged().count();
    let said = !setup.owner.left_to_owner.is_empty();
    if open == 0 || (args.provisional && said) {
        return None;
    }
    let count = counted(open, "check is", "checks are");
    let help = if args.provisional {
        "write under `owner` what she still has to have done: `left_to_owner: [fit the bottle, ...]`"
    } else {
        "`lidcard check` says what to measure; or hand her over with `--provisional` and a list \
         `left_to_owner` under `owner`"
    };
    Some(format!("nothing handed over: {count} not judged in {}\n  help: {help}\n", report.name()))
}

/// The boat file may lie in the folder: a copy of it will lie there again. The workshop's files may not.
fn inputs(args: &Handover) -> Inputs {
    let mut inputs = Inputs::default();
    if let Some(folder) = workshop_folder(args.workshop.as_deref()) {
        inputs.add(&folder, "in the workshop's own folder");
    }
    inputs
}

fn refused(error: &DocumentError, look: Look, streams: &mut Streams<'_>) -> Result<Outcome, Failure> {
    streams.complain_drawn(&document_error("handover", error, look), look)?;
    Ok(Outcome::Failed)
}

/// `boats/moonfish.yaml` gives `moonfish`; standard input is called `boat`.
fn stem(file: &BoatFile) -> String {
    file.stem_with("").to_string_lossy().into_owned()
}

type Made<T> = Result<Result<T, (&'static str, DocumentError)>, Failure>;

/// What is made beside each other: neither needs what comes of the others.
#[derive(Clone, Copy)]
enum Piece {
    /// A document, what it is, and what it is for a screen.
    Paper(&'static dyn Document, Kind, Option<Kind>),
    Practice,
    Reports,
}

impl Piece {
    fn name(self) -> &'static str {
        match self {
            Piece::Paper(document, ..) => document.name(),
            Piece::Practice => "practice page",
            Piece::Reports => "reports",
        }
    }
}

/// What all of them are made of.
struct Of<'a> {
    stem: &'a str,
    source: &'a Source,
    certificate: &'a str,
    report: &'a FileReport,
    job: &'a Job<'a>,
    request: &'a Request,
}

/// Every file, the index page and the list of all last.
fn parts(of: &Of<'_>, older: Vec<(String, Vec<u8>)>, progress: &Progress) -> Made<Vec<Part>> {
    let Of { stem, source, certificate, job, request, .. } = *of;
    let papers = DOCUMENTS.map(|(document, kind, on_screen)| Piece::Paper(document, kind, on_screen));
    let pieces = papers.into_iter().chain([Piece::Practice, Piece::Reports]).collect();
    let made = in_parallel(pieces, |piece: Piece| {
        progress.now(piece.name());
        let made = with_room(template::STACK, || guarded(of.report.name(), || of.piece(piece)), || ());
        progress.step();
        made
    });
    let mut all = Vec::new();
    let mut card = None;
    for piece in made {
        match piece? {
            Ok((parts, scene)) => {
                all.extend(parts);
                card = card.or(scene);
            }
            Err(error) => return Ok(Err(error)),
        }
    }
    let name = format!("{stem}-certificate.json");
    all.push(Part { name, kind: Kind::Certificate, bytes: certificate.as_bytes().into() });
    all.push(Part { name: format!("{stem}.yaml"), kind: Kind::Boat, bytes: source.text.clone().into() });
    all.extend(older.into_iter().map(|(name, bytes)| Part { name, kind: Kind::Older, bytes }));
    progress.now("index page");
    let mut listed: Vec<_> = all.iter().map(|part| (part.name.clone(), part.kind)).collect();
    listed.push((MANIFEST.to_owned(), Kind::Manifest));
    let page = match index(job, request, &listed, &card.unwrap_or_default()) {
        Ok(page) => page,
        Err(error) => return Ok(Err(("index page", error))),
    };
    // The page is not in its own list, so it has no kind that matters.
    all.insert(0, Part { name: INDEX.to_owned(), kind: Kind::Report, bytes: page.into_bytes() });
    let sums = all.iter().map(|part| (part.name.as_str(), part.bytes.as_slice()));
    let manifest = check::json(&Manifest::of(&job.setup.boat.name, &job.code.to_string(), sums))?;
    all.push(Part { name: MANIFEST.to_owned(), kind: Kind::Manifest, bytes: manifest.into_bytes() });
    Ok(Ok(all))
}

impl Of<'_> {
    /// The files of a piece; of the card what is drawn on it, too.
    fn piece(&self, piece: Piece) -> Made<(Vec<Part>, Option<Scene>)> {
        match piece {
            Piece::Paper(document, kind, on_screen) => self.paper(document, kind, on_screen),
            Piece::Practice => Ok(match super::practice::html(self.job, self.request)? {
                Ok(page) => {
                    let name = format!("{}-practice.html", self.stem);
                    Ok((vec![Part { name, kind: Kind::Practice, bytes: page.into_bytes() }], None))
                }
                Err(error) => Err((piece.name(), error)),
            }),
            Piece::Reports => Ok(Ok((reports(self.stem, self.source, self.report, self.job)?.into(), None))),
        }
    }

    fn paper(
        &self,
        document: &dyn Document,
        kind: Kind,
        on_screen: Option<Kind>,
    ) -> Made<(Vec<Part>, Option<Scene>)> {
        let (stem, job, name) = (self.stem, self.job, document.name());
        // A size asked for is that of the card.
        let size_mm = self.request.size_mm.filter(|_| kind == Kind::Card);
        let request = Request { size_mm, ..self.request.clone() };
        let labels = match request.labels(job.setup) {
            Ok(labels) => labels,
            Err(error) => return Ok(Err(("handover", error))),
        };
        let facts = meta(&labels, job.setup);
        let mut all = Vec::new();
        let scene = match document.scene(job, &request) {
            Ok(scene) => scene,
            Err(error) => return Ok(Err((name, error))),
        };
        for bytes in drawn(name, &scene, &facts, PageFormat::Pdf)? {
            all.push(Part { name: format!("{stem}-{name}.pdf"), kind, bytes });
        }
        if let Some(kind) = on_screen {
            let page = match document.html(job, &request) {
                Ok(page) => page,
                Err(error) => return Ok(Err((name, error))),
            };
            let file = |page: String| Part { name: format!("{stem}-{name}.html"), kind, bytes: page.into() };
            all.extend(page.map(file));
        }
        if kind != Kind::Card {
            return Ok(Ok((all, None)));
        }
        let pictures = drawn(name, &scene, &facts, PageFormat::Png)?;
        let count = pictures.len();
        for (n, bytes) in pictures.into_iter().enumerate() {
            let file = numbered(Path::new(&format!("{stem}-{name}.png")), n, count);
            all.push(Part { name: file.display().to_string(), kind: Kind::CardPicture, bytes });
        }
        Ok(Ok((all, Some(scene))))
    }
}

/// What the check says and how far the endpoints may go, to read and for programs.
fn reports(stem: &str, source: &Source, report: &FileReport, job: &Job<'_>) -> Result<[Part; 3], Failure> {
    let setup = job.setup;
    let (ways, reach, driven) = (job.windows.of(setup), rule::reach(setup), rule::throws(setup));
    let more = rule::more::readings(setup, ways);
    let name = report.name();
    let mut text = human::file(report, Look::PLAIN, true);
    text.push('\n');
    text.push_str(&endpoints::file(name, setup, ways, &driven, &more, Look::PLAIN));
    let check = check::json(&json_v1::check(vec![check::value(report, true)?]))?;
    let linkages = throws::json(setup, &driven);
    let boat = (source, setup);
    let endpoints = endpoints_json::endpoints(name, boat, ways, &reach, linkages, None, &more);
    let endpoints = check::json(&endpoints)?;
    let part = |name: String, kind, text: String| Part { name, kind, bytes: text.into_bytes() };
    Ok([
        part(format!("{stem}-report.txt"), Kind::Report, text),
        part(format!("{stem}-check.json"), Kind::Check, check),
        part(format!("{stem}-endpoints.json"), Kind::Endpoints, endpoints),
    ])
}
