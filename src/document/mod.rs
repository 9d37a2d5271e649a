//! What is printed for a boat. One file per document and one template in `templates/`; one line
//! in [`ALL`] makes a document known.

pub mod card;
mod error;
mod fill;
mod paper;
mod words;

pub use error::DocumentError;
pub use paper::Paper;

use crate::finding::Finding;
use crate::fingerprint::Code;
use crate::render::Scene;
use crate::render::pdf::Meta;
use crate::setup::Setup;

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
    fn scene(&self, job: &Job<'_>, request: &Request) -> Result<Scene, DocumentError>;
}

/// Every document.
pub const ALL: &[&dyn Document] = &[&card::Card];

/// What the file of a document says about itself.
pub fn meta(setup: &Setup) -> Meta {
    let boat = &setup.boat;
    let said = [
        Some(boat.name.clone()),
        boat.reference.clone(),
        boat.revision.as_ref().map(|r| format!("rev. {r}")),
    ];
    let subject = said.into_iter().flatten().collect::<Vec<_>>().join(", ");
    Meta { author: boat.workshop.clone(), subject: Some(subject), language: None, date: boat.date.clone() }
}
