//! What is printed for a boat. One file per document and one template in `templates/`; one line
//! in [`ALL`] makes a document known.

pub mod card;
mod error;
mod fill;
pub mod guide;
pub mod labels;
pub mod measure;
mod paper;
pub mod sheet;
mod words;

pub use error::DocumentError;
pub use paper::Paper;
pub use words::sentence;

use crate::finding::Finding;
use crate::fingerprint::Code;
use crate::render::Scene;
use crate::render::pdf::Meta;
use crate::setup::Setup;
use labels::{LabelError, Labels};
use measure::Units;

/// What a document is about.
#[derive(Clone, Copy, Debug)]
pub struct Job<'a> {
    /// The set-up.
    pub setup: &'a Setup,
    /// Everything that the rules found, what was proved and what was accepted included.
    pub findings: &'a [Finding],
    /// The code of the boat file.
    pub code: Code,
    /// The boat file as texts for QR codes.
    pub packed: &'a [String],
}

/// What a document is asked for.
#[derive(Clone, Debug, Default)]
pub struct Request {
    /// Width and height in millimetres, if not the document's own.
    pub size_mm: Option<[f64; 2]>,
    /// The paper it is printed on, where that is another question than its size.
    pub on: Option<Paper>,
    /// A document of two sides comes as one piece to be folded.
    pub fold: bool,
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
    fn scene(&self, job: &Job<'_>, request: &Request) -> Result<Scene, DocumentError>;
}

/// Every document.
pub const ALL: &[&dyn Document] = &[&card::Card, &sheet::BenchSheet, &guide::Guide];

/// What the file of a document says about itself.
pub fn meta(labels: &Labels, setup: &Setup) -> Meta {
    let boat = &setup.boat;
    let said = [
        Some(boat.name.clone()),
        boat.reference.clone(),
        boat.revision.as_ref().map(|r| labels.fill("common.revision", &[("revision", r)])),
    ];
    let subject = said.into_iter().flatten().collect::<Vec<_>>().join(", ");
    Meta {
        author: boat.workshop.clone(),
        subject: Some(subject),
        language: Some(labels.language().to_owned()),
        date: boat.date.clone(),
    }
}
