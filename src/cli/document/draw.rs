//! From a scene to the bytes of its files, and what is said where there are none.

use super::super::args::PageFormat;
use super::super::outcome::Failure;
use crate::document::labels::Labels;
use crate::document::{self, DocumentError};
use crate::render::pdf::Meta;
use crate::render::{Scene, pdf, png, svg};
use crate::report::Look;
use crate::report::excerpt::Shown;
use crate::report::text::hanging;
use crate::setup::Setup;
use crate::source::Span;

/// As fine as a good printer needs it; a lid card comes to about 1200 x 900 dots.
pub(crate) const DPI: f64 = 300.0;

/// One file of bytes, or one for each page where the format knows no pages.
pub(crate) fn drawn(
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

/// What a file says about itself. A boat without a date may be given one by whoever wants the same bytes again.
pub(crate) fn meta(labels: &Labels, setup: &Setup) -> Meta {
    let epoch = std::env::var("SOURCE_DATE_EPOCH").ok().and_then(|s| s.trim().parse().ok());
    Meta { epoch, ..document::meta(labels, setup) }
}

/// A document that cannot be made, at its place in the template where there is one.
pub(crate) fn document_error(name: &str, error: &DocumentError, look: Look) -> String {
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
            match &fits_in[..] {
                [] => say("  help: ", "no usual size is large enough: shorten what the card has to say"),
                sizes => {
                    say(
                        "  help: ",
                        &format!("ask with --size for one in which it fits: {}", sizes.join(", ")),
                    );
                }
            }
        }
        DocumentError::Workshop(_) | DocumentError::Glyph { .. } | DocumentError::Render(_) => {
            say(&none, &error.to_string());
        }
    }
    out
}
