//! What is printed for a boat. One file per document and one template in `templates/`; one line
//! in [`ALL`] makes a document known.

pub mod card;
mod error;
mod words;

pub use error::DocumentError;

use crate::render::Scene;
use crate::setup::Setup;

/// What a document is asked for.
#[derive(Clone, Debug, Default)]
pub struct Request {
    /// Width and height in millimetres, if not the document's own.
    pub size_mm: Option<[f64; 2]>,
    /// The set-up has errors or was not checked: every page is marked.
    pub draft: bool,
    /// Name and text of a template to use instead of ours.
    pub template: Option<(String, String)>,
}

/// A kind of document.
pub trait Document: Sync {
    /// Its name on the command line.
    fn name(&self) -> &'static str;
    /// What it is, in a line.
    fn about(&self) -> &'static str;
    /// The template it is made with.
    fn template(&self) -> &'static str;
    /// Makes it.
    fn scene(&self, setup: &Setup, request: &Request) -> Result<Scene, DocumentError>;
}

/// Every document.
pub const ALL: &[&dyn Document] = &[&card::Card];
