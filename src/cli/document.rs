//! `lidcard card` and the other documents: checks a boat file, then makes its pages.

mod command;

pub(super) use command::DocumentCommand;

use super::args::Colour;
use super::args::{PageFormat, Pages};
use super::bench::{beside, store};
use super::guard::guarded;
use super::named::BoatFile;
use super::outcome::{Failure, Outcome};
use super::parallel::{in_parallel, with_room};
use super::progress::Progress;
use super::write::NotAll;
use super::write::inputs::Inputs;
use super::write::sum;
use super::{Streams, boat, check, write};
use crate::certificate;
use crate::document::labels::Labels;
use crate::document::record::Recorded;
use crate::document::workshop::{LONGEST_TEXT, Workshop};
use crate::document::{self, Document, DocumentError, Job, Request};
use crate::finding::Severity;
use crate::fingerprint::{Code, pack};
use crate::language::Language;
use crate::render::pdf::Meta;
use crate::render::{Scene, pdf, png, svg, template};
use crate::report::excerpt::Shown;
use crate::report::human;
use crate::report::text::{counted, hanging};
use crate::report::{FileReport, Look};
use crate::rule::{self, acceptance};
use crate::setup::{BoatKind, Setup};
use crate::source::{Span, file};
use std::path::{Path, PathBuf};

/// What only some documents are asked for.
#[derive(Clone, Debug, Default)]
pub struct Wanted {
    /// Width and height in millimetres.
    pub size_mm: Option<[f64; 2]>,
    /// Front and back in one piece.
    pub fold: bool,
    /// With its annex.
    pub annex: bool,
    /// Of a boat that has no file: of what kind she is.
    pub kind: Option<BoatKind>,
    /// The bench record, where it does not lie beside the boat file.
    pub record: Option<PathBuf>,
}

/// The form to measure by.
const FORM: &dyn Document = &document::form::MeasuringForm;

/// What came of one file: what there is to say, and files to write.
struct Made {
    complaints: String,
    outcome: Outcome,
    files: Vec<(PathBuf, Vec<u8>)>,
}

/// Checks each file, and unless there are errors writes its document.
pub(super) fn run(
    DocumentCommand { document, pages: args, shape }: &DocumentCommand,
    colour: Colour,
    streams: &mut Streams<'_>,
) -> Result<Outcome, Failure> {
    let (document, look) = (*document, streams.screen.look_of_stderr(colour));
    let workshop = match workshop(args.workshop.as_deref()) {
        Ok(workshop) => workshop,
        Err(error) => {
            streams.complain_drawn(&document_error(document.name(), &error, look), look)?;
            return Ok(Outcome::Failed);
        }
    };
    let request = Request {
        workshop,
        size_mm: shape.size_mm,
        fold: shape.fold,
        annex: shape.annex,
        on: args.on,
        draft: args.draft,
        template: template(args)?,
        units: args.units.into(),
        ..Request::default()
    };
    if args.files.is_empty() {
        return of_kind(shape.kind.unwrap_or_default(), args, &request, look, streams);
    }
    let several = args.files.len() > 1;
    if several && let Some(record) = &shape.record {
        return Err(Failure(format!(
            "{} is the record of one boat: make one document with it",
            record.display()
        )));
    }
    let format = format(args);
    let to_stdout = args.output.as_deref() == Some(Path::new("-"));
    if several && let Some(folder) = args.output.as_deref().filter(|o| !o.is_dir()) {
        let why = format!("several boats need a folder behind -o, and {} is none", folder.display());
        return Err(Failure(why));
    }
    let targets: Vec<_> = args.files.iter().map(|file| target(args, file, document.name(), format)).collect();
    let mut inputs = inputs(args);
    if document.reads_the_record() {
        for file in &args.files {
            inputs.add(&shape.record.clone().unwrap_or_else(|| beside(file)), "the bench record itself");
        }
    }
    let mut folders = None;
    if !to_stdout {
        distinct(&args.files, &targets)?;
        // The pages get their names later; what is wrong already need not wait for them.
        inputs.refuse(targets.iter().map(PathBuf::as_path))?;
        folders = Some(write::enter(targets.iter().map(PathBuf::as_path), streams)?);
    }
    let origins = boat::origins(&args.files, streams.stdin)?;
    let mut worst = Outcome::Clean;
    let jobs: Vec<_> = targets.into_iter().zip(origins).collect();
    let progress = Progress::begin(streams.screen, "checking and drawing", jobs.len());
    let all = in_parallel(jobs, |(target, origin)| {
        let name = origin.name();
        let make =
            || make((document, shape.record.as_deref()), origin, args, &request, &target, format, look);
        let made = with_room(template::STACK, || guarded(&name, make));
        // Each is written by whoever made it: one after another the disk would be waited for.
        let written = match &made {
            Ok(made) if !to_stdout => put(&made.files, &inputs),
            _ => Ok(()),
        };
        progress.step();
        Ok((made?, written))
    });
    drop(progress);
    // What went wrong with one boat must not hide what became of the others.
    let mut failed = Vec::new();
    for done in all {
        let (made, written) = match done {
            Ok(done) => done,
            Err(Failure(why)) => {
                failed.push(why);
                continue;
            }
        };
        streams.complain_drawn(&made.complaints, look)?;
        if let Err(Failure(why)) = written {
            failed.push(why);
            continue;
        }
        worst = worst.max(made.outcome);
        if to_stdout {
            match &made.files[..] {
                [] => {}
                [(_, only)] => streams.hand_out(only)?,
                _ => {
                    let why = "there are several pages: give -o a file name, or make a PDF";
                    return Err(Failure(why.to_owned()));
                }
            }
            continue;
        }
        for (path, _) in &made.files {
            let draft = if args.draft { ", a draft marked on every page" } else { "" };
            streams.note(format!("wrote {}{draft}\n", path.display()))?;
        }
    }
    drop(folders);
    if failed.is_empty() { Ok(worst) } else { Err(Failure(failed.join("\n"))) }
}

/// The form of a boat that has no file yet.
fn of_kind(
    kind: BoatKind,
    args: &Pages,
    request: &Request,
    look: Look,
    streams: &mut Streams<'_>,
) -> Result<Outcome, Failure> {
    let labels = args.language.map_or_else(Labels::english, Labels::of).speaking_of_a(kind);
    let format = format(args);
    let scene = match document::form::of_kind(kind, &labels, request) {
        Ok(scene) => scene,
        Err(error) => {
            streams.complain_drawn(&document_error(FORM.name(), &error, look), look)?;
            return Ok(Outcome::Failed);
        }
    };
    let about = Meta { language: Some(labels.language().to_owned()), ..Meta::default() };
    let drawn = drawn(FORM.name(), &scene, &about, format)?;
    if args.output.as_deref() == Some(Path::new("-")) {
        return match &drawn[..] {
            [only] => streams.hand_out(only).map(|()| Outcome::Clean),
            _ => Err(Failure("there are several pages: give -o a file name, or make a PDF".to_owned())),
        };
    }
    let target = target(args, &Path::new(kind.word()).into(), FORM.name(), format);
    let inputs = inputs(args);
    inputs.refuse([target.as_path()])?;
    let _folders = write::enter([target.as_path()], streams)?;
    let count = drawn.len();
    let files: Vec<_> =
        drawn.into_iter().enumerate().map(|(n, bytes)| (numbered(&target, n, count), bytes)).collect();
    put(&files, &inputs)?;
    for (path, _) in &files {
        streams.say(format!("wrote {}\n", path.display()))?;
    }
    Ok(Outcome::Clean)
}

/// The form to measure by, beside a boat file that was just written.
pub(super) fn form_beside(
    file: &BoatFile,
    colour: Colour,
    streams: &mut Streams<'_>,
) -> Result<Outcome, Failure> {
    let target = file.path().with_file_name(default_output(file, FORM.name(), PageFormat::Pdf));
    let pages = Pages::of(file, target);
    run(&DocumentCommand { document: FORM, pages, shape: Wanted::default() }, colour, streams)
}

/// Only now is it known how many pages there are, and so what they are called.
fn put(files: &[(PathBuf, Vec<u8>)], inputs: &Inputs) -> Result<(), Failure> {
    inputs.refuse(files.iter().map(|(path, _)| path.as_path()))?;
    write::all(files).map_err(|NotAll { path, error, new }| {
        let new: Vec<String> = new.iter().map(|path| path.display().to_string()).collect();
        let changed = match &new[..] {
            [] if files.len() > 1 => "; all pages are as they were".to_owned(),
            [] => String::new(),
            new => format!("; new all the same: {}", new.join(", ")),
        };
        Failure(format!("cannot write {}: {error}{changed}", path.display()))
    })
}

fn inputs(args: &Pages) -> Inputs {
    let mut inputs = Inputs::boats(&args.files);
    if let Some(template) = &args.template {
        inputs.add(template, "the template itself");
    }
    if let Some(folder) = workshop_folder(args.workshop.as_deref()) {
        inputs.add(&folder, "in the workshop's own folder");
    }
    inputs
}

/// Everything up to the bytes; writes nothing.
fn make(
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
    let (judged, certificate) = match document.holds_the_file() {
        true => certificate::judged(&source, &setup),
        false => (rule::judge(&setup), String::new()),
    };
    let certificate = document.holds_the_file().then(|| sum(certificate.as_bytes()));
    let request = &Request { record, certificate, ..request.clone() };
    let report = FileReport::checked(source, judged.findings);
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
    let job = Job {
        setup: &setup,
        findings: report.findings(),
        code,
        packed: &packed,
        lost: judged.lost.as_ref(),
        emergency: &judged.emergency,
        windows: &judged.windows,
    };
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
pub(super) fn recorded(
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
        Some((text, record)) => {
            Ok(Some(Recorded { record, sum: write::sum(text.as_bytes())[..8].to_owned() }))
        }
        None if named.is_none() && !document.holds_the_record() => Ok(None),
        None => {
            let boat_file = boat_file.map_or_else(|| "FILE".to_owned(), BoatFile::to_string);
            let path = path.display();
            Err(Failure(format!("there is no record {path}: `lidcard bench {boat_file}` makes one")))
        }
    }
}

/// What a file says about itself. A boat without a date may be given one by whoever wants the same bytes again.
pub(super) fn meta(labels: &Labels, setup: &Setup) -> Meta {
    let epoch = std::env::var("SOURCE_DATE_EPOCH").ok().and_then(|s| s.trim().parse().ok());
    Meta { epoch, ..document::meta(labels, setup) }
}

/// Two documents in one file would lose work without a word.
fn distinct(files: &[BoatFile], targets: &[PathBuf]) -> Result<(), Failure> {
    for (n, target) in targets.iter().enumerate() {
        if let Some(before) = targets[..n].iter().position(|other| other == target) {
            let (one, other, target) = (&files[before], &files[n], target.display());
            return Err(Failure(format!(
                "{one} and {other} would both become {target}: nothing written; make them one at a time, \
                 each with -o and a name of its own"
            )));
        }
    }
    Ok(())
}

/// The workshop's own, from the folder asked for or else named in the environment.
pub(super) fn workshop(asked: Option<&Path>) -> Result<Workshop, DocumentError> {
    workshop_folder(asked).map_or_else(|| Ok(Workshop::default()), |folder| Workshop::read(&folder))
}

/// That folder.
pub(super) fn workshop_folder(asked: Option<&Path>) -> Option<PathBuf> {
    let named = || std::env::var_os("LIDCARD_WORKSHOP").filter(|v| !v.is_empty()).map(PathBuf::from);
    asked.map(Path::to_path_buf).or_else(named)
}

/// The pages tell only what is so, in the owner's language: an acceptance without its finding says
/// nothing about the boat.
pub(super) fn for_the_owner(setup: &mut Setup, report: &FileReport, language: Option<Language>) {
    setup.accept.retain(|a| report.accepted().any(|f| acceptance::matches(a, f)));
    setup.owner.language = language.or(setup.owner.language);
}

/// Where the document of a file goes.
fn target(args: &Pages, file: &BoatFile, document: &str, format: PageFormat) -> PathBuf {
    let name = default_output(file, document, format);
    match &args.output {
        Some(folder) if folder.is_dir() => folder.join(name),
        Some(output) => output.clone(),
        None => name,
    }
}

fn template(args: &Pages) -> Result<Option<(String, String)>, Failure> {
    let Some(path) = &args.template else {
        return Ok(None);
    };
    let why = |error: &dyn std::fmt::Display| {
        Failure(format!("cannot read the template {}: {error}", path.display()))
    };
    let bytes = file::read(path, LONGEST_TEXT).map_err(|error| why(&error))?;
    if bytes.len() as u64 > LONGEST_TEXT {
        return Err(why(&"it is larger than 1 MB: that is no template"));
    }
    let text = String::from_utf8(bytes).map_err(|_| why(&"it is not UTF-8 text"))?;
    Ok(Some((path.display().to_string(), text)))
}

/// As fine as a good printer needs it; a lid card comes to about 1200 x 900 dots.
pub(super) const DPI: f64 = 300.0;

/// One file of bytes, or one for each page where the format knows no pages.
pub(super) fn drawn(
    name: &str,
    scene: &Scene,
    meta: &Meta,
    format: PageFormat,
) -> Result<Vec<Vec<u8>>, Failure> {
    let files = match format {
        PageFormat::Pdf => pdf::to_pdf(scene, meta).map(|bytes| vec![bytes]),
        PageFormat::Svg => {
            svg::to_svg(scene).map(|pages| pages.into_iter().map(String::into_bytes).collect())
        }
        PageFormat::Png => png::to_png(scene, DPI),
        PageFormat::Html => {
            let why = format!("the {name} does not come as HTML: ask for pdf, svg or png");
            return Err(Failure(why));
        }
    };
    files.map_err(|error| Failure(format!("cannot draw the {name}: {error}")))
}

/// As asked for, else as the name of the output ends, else PDF.
fn format(args: &Pages) -> PageFormat {
    let ending = args.output.as_deref().and_then(Path::extension);
    let by_ending = [PageFormat::Svg, PageFormat::Png, PageFormat::Html]
        .into_iter()
        .find(|f| ending.is_some_and(|e| e.eq_ignore_ascii_case(f.ending())));
    args.format.or(by_ending).unwrap_or(PageFormat::Pdf)
}

/// `boats/moonfish.yaml` becomes `moonfish-card.pdf` in the current folder.
fn default_output(file: &BoatFile, document: &str, format: PageFormat) -> PathBuf {
    file.stem_with(&format!("-{document}.{}", format.ending()))
}

/// `moonfish-card.svg`, or `moonfish-card-1.svg` and so on where there are several.
pub(super) fn numbered(target: &Path, index: usize, count: usize) -> PathBuf {
    if count < 2 {
        return target.to_path_buf();
    }
    let mut name = target.file_stem().map(std::ffi::OsStr::to_os_string).unwrap_or_default();
    name.push(format!("-{}", index + 1));
    if let Some(ending) = target.extension() {
        name.push(".");
        name.push(ending);
    }
    target.with_file_name(name)
}

/// A document that cannot be made, at its place in the template where there is one.
pub(super) fn document_error(name: &str, error: &DocumentError, look: Look) -> String {
    let mut out = String::new();
    let none = format!("no {name} made: ");
    let mut say = |lead: &str, text: &str| hanging(&mut out, lead, text, look.width);
    match error {
        DocumentError::Template { name: template, range, message, .. } if range.is_empty() => {
            say(&none, &format!("the template {template} cannot be used: {message}"));
        }
        DocumentError::Template { name: template, text, range, message } => {
            let span = Span { start: range.start, end: range.end };
            out = Shown::elsewhere("error: template", message, template, text, span).text(look);
        }
        DocumentError::Labels(error) => {
            let (message, range) = (error.fault.to_string(), error.span);
            out = Shown::elsewhere("error: labels", &message, &error.name, &error.text, range).text(look);
        }
        DocumentError::DoesNotFit { what, fits_in } => {
            say(&none, "it needs more room than there is, and text is never shrunk or cut");
            for what in what {
                say("  does not fit: ", what);
            }
            if fits_in.is_empty() {
                say("  help: ", "no usual size is large enough: shorten what the card has to say");
            }
            if !fits_in.is_empty() {
                say("  help: ", &format!("ask with --size for one in which it fits: {}", fits_in.join(", ")));
            }
        }
        DocumentError::Workshop(_) | DocumentError::Glyph { .. } | DocumentError::Render(_) => {
            say(&none, &error.to_string());
        }
    }
    out
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::super::args::{Args, Command};
    use super::super::{Screen, Streams};
    use super::{Colour, PageFormat, default_output, numbered, run};
    use crate::document::guide::Guide;
    use crate::document::{Document, DocumentError, Job, Request, Template};
    use crate::render::Scene;
    use clap::Parser;
    use std::path::{Path, PathBuf};

    /// A guide whose making panics for one boat.
    struct FallsOver(&'static str);

    impl Document for FallsOver {
        fn name(&self) -> &'static str {
            Guide.name()
        }
        fn about(&self) -> &'static str {
            Guide.about()
        }
        fn template(&self) -> Template {
            Guide.template()
        }
        fn scene(&self, job: &Job<'_>, request: &Request) -> Result<Scene, DocumentError> {
            assert_ne!(job.setup.boat.name, self.0, "a width beyond all bounds");
            Guide.scene(job, request)
        }
    }

    #[test]
    fn a_boat_over_which_a_library_falls_costs_no_other_its_pages() {
        let folder = tempfile::tempdir().unwrap();
        let out = folder.path().display().to_string();
        let words = ["lidcard", "guide", "boats/sprat.yaml", "boats/capstan.yaml", "-o", &out];
        let Command::Document(mut guide) = Args::try_parse_from(words).unwrap().command else {
            panic!("a guide")
        };
        guide.document = &FallsOver("Sprat");
        let (mut stdout, mut stderr) = (Vec::new(), Vec::new());
        let mut streams = Streams {
            stdin: &mut std::io::empty(),
            stdout: &mut stdout,
            stderr: &mut stderr,
            screen: Screen::NONE,
        };
        let why = run(&guide, Colour::Never, &mut streams).unwrap_err().0;
        assert!(why.starts_with("boats/sprat.yaml: the program itself failed"), "{why}");
        assert!(why.contains("a width beyond all bounds"), "{why}");
        let names: Vec<_> = folder.path().read_dir().unwrap().map(|e| e.unwrap().file_name()).collect();
        assert_eq!(names, ["capstan-guide.pdf"]);
    }

    #[test]
    fn a_card_is_named_after_its_boat_file_and_lies_in_the_current_folder() {
        let name = |file: &str| default_output(&Path::new(file).into(), "card", PageFormat::Pdf);
        assert_eq!(name("boats/moonfish.yaml"), PathBuf::from("moonfish-card.pdf"));
        assert_eq!(name("-"), PathBuf::from("boat-card.pdf"));
        assert_eq!(
            default_output(&Path::new("a.b.yaml").into(), "card", PageFormat::Png),
            PathBuf::from("a.b-card.png")
        );
    }

    #[test]
    fn pages_are_numbered_only_where_there_are_several() {
        let at = |index, count| numbered(Path::new("out/c.svg"), index, count);
        assert_eq!(at(0, 1), PathBuf::from("out/c.svg"));
        assert_eq!(at(1, 2), PathBuf::from("out/c-2.svg"));
    }
}
