//! Why a document could not be made.

use std::fmt;
use std::ops::Range;

use super::labels::LabelError;
use crate::render::RenderError;
use crate::render::template::TemplateError;

/// Why a document could not be made.
#[derive(Clone, Debug, PartialEq)]
pub enum DocumentError {
    /// A mistake in the template.
    Template {
        /// Name of the template.
        name: String,
        /// The template itself.
        text: String,
        /// Which bytes of it are wrong; empty at 0 where that cannot be said.
        range: Range<usize>,
        /// What is wrong.
        message: String,
    },
    /// It needs more room than there is.
    DoesNotFit {
        /// What finds no place.
        what: Vec<String>,
        /// The sizes in which it would.
        fits_in: Vec<String>,
    },
    /// The fonts lack a character.
    Glyph {
        /// The character.
        character: char,
        /// The text in which it stands.
        text: String,
    },
    /// Something in a workshop's folder that cannot be used: the place, and what to do.
    Workshop(String),
    /// A labels file that cannot be used.
    Labels(LabelError),
    /// We failed.
    Render(RenderError),
}

impl fmt::Display for DocumentError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Template { name, text, range, message } => {
                let error = TemplateError {
                    name: name.clone(),
                    text: text.clone(),
                    range: range.clone(),
                    message: message.clone(),
                };
                error.fmt(f)
            }
            Self::DoesNotFit { what, fits_in } => {
                write!(f, "does not fit: {}", what.join("; "))?;
                if fits_in.is_empty() {
                    write!(f, " (nor would it in any usual size)")
                } else {
                    write!(f, " (it would in {})", fits_in.join(", "))
                }
            }
            Self::Glyph { character, text } => {
                RenderError::Glyph { character: *character, text: text.clone() }.fmt(f)
            }
            Self::Workshop(message) => f.write_str(message),
            Self::Labels(error) => error.fmt(f),
            Self::Render(error) => error.fmt(f),
        }
    }
}

impl std::error::Error for DocumentError {}

impl From<LabelError> for DocumentError {
    fn from(error: LabelError) -> Self {
        Self::Labels(error)
    }
}

impl From<TemplateError> for DocumentError {
    fn from(e: TemplateError) -> Self {
        Self::Template { name: e.name, text: e.text, range: e.range, message: e.message }
    }
}
