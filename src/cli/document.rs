//! `lidcard card` and the other documents: checks a boat file, then makes its pages.

mod command;
mod draw;
mod make;
mod place;

pub(super) use command::DocumentCommand;
pub(super) use draw::{document_error, drawn, meta};
pub(super) use make::{for_the_owner, recorded};
pub(super) use place::numbered;

use make::make;
use place::{default_output, distinct, format, target};

use super::args::Colour;
use super::args::{PageFormat, Pages};
use super::bench::beside;
use super::guard::guarded;
use super::named::BoatFile;
use super::outcome::{Failure, Outcome};
use super::parallel::{in_parallel, with_room};
use super::progress::Progress;
use super::write::NotAll;
use super::write::inputs::Inputs;
use super::{Streams, boat, write};
use crate::document::labels::Labels;
use crate::document::workshop::{LONGEST_TEXT, Workshop};
use crate::document::{self, Document, DocumentError, Request};
use crate::render::pdf::Meta;
use crate::render::template;
use crate::report::Look;
use crate::setup::BoatKind;
use crate::source::file;
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
        let made = with_room(template::STACK, || guarded(&name, make), || document::get_ready(document));
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

/// The workshop's own, from the folder asked for or else named in the environment.
pub(super) fn workshop(asked: Option<&Path>) -> Result<Workshop, DocumentError> {
    workshop_folder(asked).map_or_else(|| Ok(Workshop::default()), |folder| Workshop::read(&folder))
}

/// That folder.
pub(super) fn workshop_folder(asked: Option<&Path>) -> Option<PathBuf> {
    let named = || std::env::var_os("LIDCARD_WORKSHOP").filter(|v| !v.is_empty()).map(PathBuf::from);
    asked.map(Path::to_path_buf).or_else(named)
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

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::super::args::{Args, Command};
    use super::super::{Screen, Streams};
    use super::{Colour, run};
    use crate::document::guide::Guide;
    use crate::document::{Document, DocumentError, Job, Request, Template};
    use crate::render::Scene;
    use clap::Parser;

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
}
