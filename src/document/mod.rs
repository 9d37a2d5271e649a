//! What is printed for a boat. One file per document and one template in `templates/`; one line
//! in [`ALL`] makes a document known.

pub mod card;
mod error;
pub mod labels;
pub mod measure;
mod words;

pub use error::DocumentError;

use crate::render::Scene;
use crate::setup::Setup;
use labels::{LabelError, Labels};
use measure::Units;

/// What a document is asked for.
#[derive(Clone, Debug, Default)]
pub struct Request {
    /// Width and height in millimetres, if not the document's own.
    pub size_mm: Option<[f64; 2]>,
    /// The set-up has errors or was not checked: every page is marked.
    pub draft: bool,
    /// Name and text of a template to use instead of ours.
    pub template: Option<(String, String)>,
    /// What it says, if not in the language that the boat file names.
    pub labels: Option<Labels>,
    /// The units of what is measured in water.
    pub units: Units,
}

impl Request {
    /// What the document says: as asked for, else in the owner's language.
    pub fn labels(&self, setup: &Setup) -> Result<Labels, LabelError> {
        self.labels.clone().map_or_else(|| Labels::for_owner(setup), Ok)
    }
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
