//! What can go wrong between a sheet and a page.

use std::fmt;

/// Why a page could not be made.
#[derive(Clone, Debug, PartialEq)]
pub enum RenderError {
    /// The fonts have no shape for a character.
    Glyph {
        /// The character.
        character: char,
        /// The text in which it stands.
        text: String,
    },
    /// A word or line is wider than the room it was given, or leaves the page.
    TooWide {
        /// The text.
        text: String,
    },
    /// Two texts that would be printed over each other.
    Overlap {
        /// The one.
        text: String,
        /// The other.
        other: String,
    },
    /// Text smaller than anybody can read.
    TooSmall {
        /// The text.
        text: String,
        /// Its size in points.
        points: f64,
    },
    /// Blocks that find no place on the pages there are, by name.
    Overflow {
        /// Their names.
        blocks: Vec<String>,
    },
    /// The sheet is not what a sheet has to be.
    Sheet {
        /// What is wrong.
        message: String,
        /// The line of the sheet, from 1, where it is known.
        line: Option<usize>,
    },
    /// A library failed us.
    Inner(String),
}

impl fmt::Display for RenderError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Glyph { character, text } => {
                write!(f, "the font has no `{character}` (U+{:04X}), used in `{text}`", u32::from(*character))
            }
            Self::TooWide { text } => {
                write!(f, "`{text}` does not fit into the width it was given")
            }
            Self::Overlap { text, other } => write!(f, "`{text}` and `{other}` would overlap"),
            Self::TooSmall { text, points } => {
                write!(
                    f,
                    "`{text}` is set in {points} pt; nothing below {} pt is printed",
                    super::SMALLEST_TEXT
                )
            }
            Self::Overflow { blocks } => write!(f, "does not fit: {}", blocks.join(", ")),
            Self::Sheet { message, line: Some(line) } => write!(f, "line {line} of the sheet: {message}"),
            Self::Sheet { message, line: None } => write!(f, "the sheet cannot be read: {message}"),
            Self::Inner(message) => f.write_str(message),
        }
    }
}

impl std::error::Error for RenderError {}
