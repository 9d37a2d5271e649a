//! `lidcard card`: checks, then makes the card for the lid.

use super::args::{Card, CardFormat, Colour};
use super::outcome::{Failure, Outcome};
use super::{Streams, boat, check, write};
use crate::document::DocumentError;
use crate::document::card::{CardRequest, card};
use crate::document::labels::Labels;
use crate::finding::Severity;
use crate::render::pdf::Meta;
use crate::render::{Scene, pdf, png, svg};
use crate::report::excerpt::Shown;
use crate::report::human;
use crate::report::text::{counted, hanging};
use crate::report::{FileReport, Look};
use crate::rule::{self, acceptance};
use crate::setup::Setup;
use crate::source::Span;
use std::path::{Path, PathBuf};

/// Checks the file, and unless there are errors writes its card.
pub fn run(args: &Card, colour: Colour, streams: &mut Streams<'_>) -> Result<Outcome, Failure> {
    let look = streams.screen.look_of_stderr(colour);
    let (source, mut setup) = match boat::load_one(&args.file, streams.stdin)? {
        Ok(loaded) => loaded,
        Err(report) => {
            streams.complain(human::file(&report, look, false))?;
            return Ok(Outcome::Failed);
        }
    };
    let report = FileReport::checked(source, rule::check(&setup));
    let errors = report.count(Severity::Error);
    if report.open().next().is_some() {
        streams.complain(human::file(&report, look, false))?;
    }
    if errors > 0 && !args.draft {
        let count = counted(errors, "error", "errors");
        streams.complain(format!("no card made: first put right {count}, or ask for a --draft\n"))?;
        return Ok(check::outcome(&report, false));
    }
    // The card tells only what is so: an acceptance without its finding says nothing about the boat.
    setup.accept.retain(|a| report.accepted().any(|f| acceptance::matches(a, f)));
    let request = CardRequest {
        size_mm: args.size,
        draft: args.draft,
        template: template(args)?,
        units: args.units.into(),
        ..CardRequest::default()
    };
    setup.owner.language = args.language.or(setup.owner.language);
    let made = request
        .labels(&setup)
        .map_err(DocumentError::from)
        .and_then(|labels| card(&setup, &request).map(|scene| (labels, scene)));
    let (labels, scene) = match made {
        Ok(made) => made,
        Err(error) => {
            streams.complain(document_error(&error, look))?;
            return Ok(Outcome::Failed);
        }
    };
    let format = format(args);
    let files = drawn(&scene, &labels, &setup, format)?;
    let target = args.output.clone().unwrap_or_else(|| default_output(&args.file, format));
    if target == Path::new("-") {
        return to_stdout(&files, streams);
    }
    let count = files.len();
    for (index, bytes) in files.iter().enumerate() {
        let target = numbered(&target, index, count);
        write::atomically(&target, bytes)
            .map_err(|error| Failure(format!("cannot write {}: {error}", target.display())))?;
        let draft = if args.draft { ", a draft marked NOT CHECKED" } else { "" };
        streams.say(format!("wrote {}{draft}\n", target.display()))?;
    }
    // A draft was asked for in the knowledge of what is wrong: it was made, and that is success.
    Ok(Outcome::Clean)
}

fn template(args: &Card) -> Result<Option<(String, String)>, Failure> {
    let Some(path) = &args.template else {
        return Ok(None);
    };
    let text = std::fs::read_to_string(path)
        .map_err(|error| Failure(format!("cannot read the template {}: {error}", path.display())))?;
    Ok(Some((path.display().to_string(), text)))
}

/// As fine as a good printer needs it; a lid card comes to about 1200 x 900 dots.
const DPI: f64 = 300.0;

/// One file of bytes, or one for each page where the format knows no pages.
fn drawn(scene: &Scene, labels: &Labels, setup: &Setup, format: CardFormat) -> Result<Vec<Vec<u8>>, Failure> {
    let files = match format {
        CardFormat::Pdf => {
            let meta = Meta {
                author: setup.boat.workshop.clone(),
                subject: setup.boat.reference.clone(),
                date: setup.boat.date.clone(),
                language: Some(labels.language().to_owned()),
            };
            pdf::to_pdf(scene, &meta).map(|bytes| vec![bytes])
        }
        CardFormat::Svg => {
            svg::to_svg(scene).map(|pages| pages.into_iter().map(String::into_bytes).collect())
        }
        CardFormat::Png => png::to_png(scene, DPI),
    };
    files.map_err(|error| Failure(format!("cannot draw the card: {error}")))
}

/// As asked for, else as the name of the output ends, else PDF.
fn format(args: &Card) -> CardFormat {
    let ending = args.output.as_deref().and_then(Path::extension);
    let by_ending = [CardFormat::Svg, CardFormat::Png]
        .into_iter()
        .find(|f| ending.is_some_and(|e| e.eq_ignore_ascii_case(f.ending())));
    args.format.or(by_ending).unwrap_or(CardFormat::Pdf)
}

/// `boats/moonfish.yaml` becomes `moonfish-card.pdf` in the current folder.
fn default_output(file: &str, format: CardFormat) -> PathBuf {
    let stem = Path::new(file).file_stem().filter(|_| file != "-");
    let mut name = stem.map_or_else(|| "boat".into(), std::ffi::OsStr::to_os_string);
    name.push(format!("-card.{}", format.ending()));
    PathBuf::from(name)
}

/// `moonfish-card.svg`, or `moonfish-card-1.svg` and so on where there are several.
fn numbered(target: &Path, index: usize, count: usize) -> PathBuf {
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

fn to_stdout(files: &[Vec<u8>], streams: &mut Streams<'_>) -> Result<Outcome, Failure> {
    let [only] = files else {
        let why = "the card has several pages: give -o a file name, or make a PDF";
        return Err(Failure(why.to_owned()));
    };
    streams.say(only)?;
    Ok(Outcome::Clean)
}

/// A card that cannot be made, at its place in the template where there is one.
fn document_error(error: &DocumentError, look: Look) -> String {
    let mut out = String::new();
    let mut say = |lead: &str, text: &str| hanging(&mut out, lead, text, look.width);
    match error {
        DocumentError::Template { name, range, message, .. } if range.is_empty() => {
            say("no card made: ", &format!("the template {name} cannot be used: {message}"));
        }
        DocumentError::Template { name, text, range, message } => {
            let span = Span { start: range.start, end: range.end };
            out = Shown::elsewhere("error: template", message, name, text, span).text(look);
        }
        DocumentError::Labels(error) => {
            let (message, range) = (error.fault.to_string(), error.span);
            out = Shown::elsewhere("error: labels", &message, &error.name, &error.text, range).text(look);
        }
        DocumentError::DoesNotFit { what, fits_in } => {
            say("no card made: ", "it needs more room than there is, and text is never shrunk or cut");
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
        DocumentError::Glyph { .. } | DocumentError::Render(_) => {
            say("no card made: ", &error.to_string());
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::{CardFormat, default_output, numbered};
    use std::path::{Path, PathBuf};

    #[test]
    fn a_card_is_named_after_its_boat_file_and_lies_in_the_current_folder() {
        let name = |file| default_output(file, CardFormat::Pdf);
        assert_eq!(name("boats/moonfish.yaml"), PathBuf::from("moonfish-card.pdf"));
        assert_eq!(name("-"), PathBuf::from("boat-card.pdf"));
        assert_eq!(default_output("a.b.yaml", CardFormat::Png), PathBuf::from("a.b-card.png"));
    }

    #[test]
    fn pages_are_numbered_only_where_there_are_several() {
        let at = |index, count| numbered(Path::new("out/c.svg"), index, count);
        assert_eq!(at(0, 1), PathBuf::from("out/c.svg"));
        assert_eq!(at(1, 2), PathBuf::from("out/c-2.svg"));
    }
}
