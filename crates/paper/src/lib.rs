//! What is printed for a boat. One file per document and one template in `templates/`; one line
//! in [`ALL`] makes a document known.

use lidcard_boat::{device, fingerprint, language, setup, source};
use lidcard_check::{axis, finding, question, rehearsal, rule};
use lidcard_page as render;
use lidcard_physics as physics;
use lidcard_proof::chain;

pub mod card;
mod error;
mod fill;
pub mod form;
mod frame;
pub mod guide;
pub mod handover;
pub mod labels;
mod mark;
pub mod measure;
mod page;
mod paper;
pub mod plan;
pub mod practice;
pub mod record;
pub mod rises;
pub mod service;
pub mod sheet;
mod words;
pub mod workshop;

pub use error::DocumentError;
pub use paper::Paper;
pub use words::sentence;

use crate::finding::Finding;
use crate::fingerprint::Code;
use crate::labels::text;
use crate::rehearsal::Rehearsal;
use crate::render::pdf::Meta;
use crate::render::template::Parsed;
use crate::render::{Item, Scene};
use crate::rule::emergency::Step;
use crate::rule::{Judgement, Windows};
use crate::setup::Setup;
use labels::Labels;
use measure::Units;
use workshop::Workshop;

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
    /// What a lost link does from the depth limit on, if that was followed already: not to do it twice.
    pub lost: Option<&'a Rehearsal>,
    /// What to do in an emergency, as far as it was judged.
    pub emergency: &'a [Step],
    /// The safe endpoints, as far as they were worked out already.
    pub windows: &'a Windows,
}

impl<'a> Job<'a> {
    /// Of a boat that was judged; what the rules found may have gone into a report already.
    pub fn of(
        setup: &'a Setup,
        findings: &'a [Finding],
        code: Code,
        packed: &'a [String],
        Judgement { lost, emergency, windows, .. }: &'a Judgement,
    ) -> Self {
        Self { setup, findings, code, packed, lost: lost.as_ref(), emergency, windows }
    }
}

/// What a document is asked for.
#[derive(Clone, Debug, Default)]
pub struct Request {
    /// The sum of the certificate of what was checked, where one was made.
    pub certificate: Option<String>,
    /// Width and height in millimetres, if not the document's own.
    pub size_mm: Option<[f64; 2]>,
    /// The paper it is printed on, where that is another question than its size.
    pub on: Option<Paper>,
    /// A document of two sides comes as one piece to be folded.
    pub fold: bool,
    /// With everything that is only looked up.
    pub annex: bool,
    /// The set-up has errors or was not checked: every page is marked.
    pub draft: bool,
    /// Name and text of a template to use instead of ours and the workshop's.
    pub template: Option<(String, String)>,
    /// What a workshop has of its own.
    pub workshop: Workshop,
    /// What it says, if not in the language that the boat file names.
    pub labels: Option<Labels>,
    /// The units of what is measured in water.
    pub units: Units,
    /// What was read at the bench, for a document that prints it.
    pub record: Option<record::Recorded>,
}

impl Request {
    /// What the document says: as asked for, else in the owner's language, in the workshop's words.
    ///
    /// # Errors
    /// When a labels file cannot be used.
    pub fn labels(&self, setup: &Setup) -> Result<Labels, DocumentError> {
        let labels = self.labels.clone().map_or_else(|| self.workshop.labels(setup), Ok)?;
        Ok(labels.speaking_of(setup))
    }

    /// The template to use: the one asked for, else the workshop's, else ours.
    fn template(&self, ours: Template) -> Chosen<'_> {
        let own = match (&self.template, self.workshop.templates.get(ours.name)) {
            (Some((name, text)), _) => Some((name, text)),
            (None, Some(own)) => Some((&own.name, &own.text)),
            (None, None) => None,
        };
        match own {
            Some((name, text)) => Chosen { name, text, own: true },
            None => Chosen { name: ours.name, text: ours.text, own: false },
        }
    }
}

/// A template of ours.
#[derive(Clone, Copy, Debug)]
pub struct Template {
    /// Its name in `templates/`.
    pub name: &'static str,
    /// Its text.
    pub text: &'static str,
}

/// The template that a document is made with.
#[derive(Clone, Copy, Debug)]
struct Chosen<'a> {
    name: &'a str,
    text: &'a str,
    /// Somebody else wrote it, so that it may leave out what must be said.
    own: bool,
}

impl Chosen<'_> {
    fn parsed(&self) -> Result<Parsed, DocumentError> {
        let parsed =
            if self.own { Parsed::read(self.name, self.text) } else { Parsed::ours(self.name, self.text) };
        Ok(parsed?)
    }

    /// A template may lay out as it likes, but not leave out a caution.
    fn must_say<'t>(
        &self,
        printed: &str,
        wanted: impl IntoIterator<Item = &'t String>,
    ) -> Result<(), DocumentError> {
        let bare = |text: &str| text.split_whitespace().collect::<String>();
        let printed = bare(printed);
        match wanted.into_iter().find(|text| self.own && !printed.contains(&bare(text))) {
            Some(text) => Err(DocumentError::Template {
                name: self.name.to_owned(),
                text: self.text.to_owned(),
                range: 0..0,
                message: format!("it leaves out a caution that has to be printed as it stands: {text}"),
            }),
            None => Ok(()),
        }
    }
}

/// The palest text that still reads on white, 7:1 (WCAG 2.2, 1.4.6: #595959 is 7.0:1).
const PALEST: f64 = 0.35;

/// All the words of a scene that can be read on white, in drawing order.
fn words_of(scene: &Scene) -> String {
    let items = scene.pages.iter().flat_map(|page| &page.items);
    let lines = items.filter_map(|item| match item {
        Item::Text(text) if text.grey <= PALEST => Some(text.text.as_str()),
        _ => None,
    });
    lines.collect::<Vec<_>>().join(" ")
}

/// A kind of document.
pub trait Document: Sync {
    /// Its name on the command line.
    fn name(&self) -> &'static str;
    /// What it is, as the end of "make …".
    fn about(&self) -> &'static str;
    /// Whether it may be asked for in another size than its own, and in one piece to be folded.
    fn of_any_size(&self) -> bool {
        false
    }
    /// Whether it has an annex that comes when asked for.
    fn has_an_annex(&self) -> bool {
        false
    }
    /// The form that goes with it, to be filled in by hand before anything is known.
    fn blank(&self) -> Option<&'static dyn Document> {
        None
    }
    /// Whether it says nothing that a check must have passed for.
    fn is_to_measure(&self) -> bool {
        false
    }
    /// The template it is made with.
    fn template(&self) -> Template;
    /// Whether the boat file itself goes into it, as [`Job::packed`].
    fn holds_the_file(&self) -> bool {
        false
    }
    /// Whether what was read at the bench goes into it, as [`Request::record`], and there is none without.
    fn holds_the_record(&self) -> bool {
        false
    }
    /// Whether it tells something of the record, where there is one.
    fn reads_the_record(&self) -> bool {
        self.holds_the_record()
    }
    /// Whether there is one for a screen as well.
    fn has_html(&self) -> bool {
        false
    }
    /// Makes the one for a screen: a page of HTML that needs nothing else to be read.
    ///
    /// # Errors
    /// When a labels file cannot be used.
    fn html(&self, _job: &Job<'_>, _request: &Request) -> Result<Option<String>, DocumentError> {
        Ok(None)
    }
    /// Makes it.
    ///
    /// # Errors
    ///
    /// When a labels file or a template cannot be used, or the page does not hold what has to stand on it.
    fn scene(&self, job: &Job<'_>, request: &Request) -> Result<Scene, DocumentError>;
}

/// Every document, in the order of the commands that make them.
pub const ALL: &[&dyn Document] = &[
    &card::Card,
    &guide::Guide,
    &sheet::BenchSheet,
    &record::BenchRecord,
    &service::Service,
    &plan::LeadPlan,
];

/// Reads what a document is made with, whatever is found: the fonts, and what it says in English, to which every other
/// language is held. Where somebody has time for that while the boat is checked, nobody waits for it afterwards.
pub fn get_ready(document: &dyn Document) {
    render::font::get_ready();
    Labels::english().get_ready(document.name());
}

/// What the file of a document says about itself.
pub fn meta(labels: &Labels, setup: &Setup) -> Meta {
    let boat = &setup.boat;
    let said = [
        Some(boat.name.clone()),
        boat.reference.clone(),
        boat.revision.as_ref().map(|r| labels.fill(text::common::Revision { revision: r })),
    ];
    let subject = said.into_iter().flatten().collect::<Vec<_>>().join(", ");
    Meta {
        author: boat.workshop.clone(),
        subject: Some(subject),
        language: Some(labels.language().to_owned()),
        date: boat.date.clone(),
        epoch: None,
    }
}
