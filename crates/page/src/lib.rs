//! From a template to a page: a Tera template yields a sheet in millimetres, the sheet is laid out
//! into a flat scene, and the scene is drawn as PDF, SVG or PNG. No rule and no device is named here.

mod counted;
mod crosses;
mod draft;
mod draw;
mod drawing;
mod error;
pub mod font;
pub mod impose;
pub mod layout;
pub mod pages;
mod panel;
pub mod pdf;
pub mod picture;
pub mod png;
pub mod qr;
mod scene;
pub mod sheet;
pub mod svg;
mod table;
pub mod template;
mod ticks;
mod timeline;

pub use draft::mark_as_draft;
pub use error::RenderError;
pub use font::Weight;
pub use scene::{Heading, Item, Page, Path, Picture, Scene, Segment, Squares, Text};

/// Millimetres in one point.
pub const MM_PER_POINT: f64 = 25.4 / 72.0;
/// No text is set smaller than this, in points: below it a card cannot be read at arm's length.
pub const SMALLEST_TEXT: f64 = 7.0;
