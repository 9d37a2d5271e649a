//! The index page of a handover: what lies beside it, what it is of, and what was found. One file of
//! HTML that needs nothing else to be read.

use serde::Serialize;

use super::labels::text::handover::{cautions, files};
use super::labels::{Labels, Text};
use super::words::{self, FIXED};
use super::{Chosen, DocumentError, Job, Request, Template, fill, page};
use crate::finding::{Finding, Outcome};
use crate::labels::text;
use crate::labels::text::guide::facts;
use crate::render::svg::base64;
use crate::render::{RenderError, Scene, png, template};
use crate::setup::Setup;

/// The template of the page.
pub const TEMPLATE: Template =
    Template { name: "handover.html", text: include_str!("../../../templates/handover.html") };
/// The name of the page in the folder.
pub const INDEX: &str = "index.html";

/// The picture of the card on the page: a screen shows no more.
const PREVIEW_DPI: f64 = 150.0;
/// What lies in the folder.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// The card for the lid.
    Card,
    /// The card for a screen.
    CardHtml,
    /// A picture of it.
    CardPicture,
    /// The bench sheet.
    Sheet,
    /// The owner's guide.
    Guide,
    /// The guide for a screen.
    GuideHtml,
    /// The page for practice.
    Practice,
    /// The page for shipping, storage and resale.
    Service,
    /// What the check says, to read.
    Report,
    /// The same for programs.
    Check,
    /// The endpoints for programs.
    Endpoints,
    /// What makes each answer of the check true.
    Certificate,
    /// The boat file.
    Boat,
    /// The boat file of an earlier revision.
    Older,
    /// The list of all files.
    Manifest,
}

impl Kind {
    fn about(self) -> Text {
        match self {
            Kind::Card => files::CARD,
            Kind::CardHtml => files::CARD_HTML,
            Kind::CardPicture => files::CARD_PICTURE,
            Kind::Sheet => files::SHEET,
            Kind::Guide => files::GUIDE,
            Kind::GuideHtml => files::GUIDE_HTML,
            Kind::Practice => files::PRACTICE,
            Kind::Service => files::SERVICE,
            Kind::Report => files::REPORT,
            Kind::Check => files::CHECK,
            Kind::Endpoints => files::ENDPOINTS,
            Kind::Certificate => files::CERTIFICATE,
            Kind::Boat => files::BOAT,
            Kind::Older => files::OLDER,
            Kind::Manifest => files::MANIFEST,
        }
    }
}

#[derive(Serialize)]
struct Line {
    name: String,
    /// The name as a link has it.
    href: String,
    what: String,
}

/// A warning, or what the builder lives with.
#[derive(Serialize)]
struct Found {
    rule: &'static str,
    about: String,
    message: String,
    because: String,
}

/// One of the three papers, with every form in which it lies here.
#[derive(Serialize)]
struct OnPaper {
    title: String,
    /// Each an address and its words.
    links: Vec<[String; 2]>,
}

#[derive(Serialize)]
struct Picture {
    src: String,
    /// In pixels of CSS.
    width: u32,
    height: u32,
}

/// All that the template may say.
#[derive(Serialize)]
struct Facts {
    labels: serde_json::Value,
    language: String,
    title: String,
    boat: String,
    /// Code, revision and date in one line.
    imprint: String,
    code: String,
    code_note: String,
    /// Label and value.
    facts: Vec<[String; 2]>,
    verdict: String,
    /// The verdict stands without a warning.
    clean: bool,
    limits: String,
    warnings: Vec<Found>,
    accepted: Vec<Found>,
    cautions: Vec<String>,
    papers: Vec<OnPaper>,
    files: Vec<Line>,
    card: Vec<Picture>,
    logo: Option<Picture>,
    contact: Vec<String>,
}

/// Makes the page for the files of these names and kinds; `card` is shown on it.
///
/// # Errors
/// When a template or labels file cannot be used, or the card cannot be drawn.
pub fn index(
    job: &Job<'_>,
    request: &Request,
    files: &[(String, Kind)],
    card: &Scene,
) -> Result<String, DocumentError> {
    let labels = request.labels(job.setup)?;
    let facts = Facts::of(&labels, job, request, files, card)?;
    let chosen = request.template(TEMPLATE);
    let Chosen { name, text, .. } = chosen;
    let content = template::fill_html(name, text, fill::context(&facts)?)?;
    let page = page::page(&facts.language, &facts.title, &content).map_err(|message| {
        let (name, text) = (name.to_owned(), text.to_owned());
        DocumentError::Template { name, text, range: 0..0, message }
    })?;
    let because = facts.accepted.iter().flat_map(|f| [&f.message, &f.because]);
    let warnings = facts.warnings.iter().map(|f| &f.message);
    let must = [&facts.verdict, &facts.limits, &facts.code, &facts.boat].into_iter();
    chosen.must_say(&page.words, must.chain(&facts.cautions).chain(because).chain(warnings))?;
    Ok(page.html)
}

impl Facts {
    fn of(
        labels: &Labels,
        job: &Job<'_>,
        request: &Request,
        files: &[(String, Kind)],
        card: &Scene,
    ) -> Result<Self, DocumentError> {
        let setup = job.setup;
        let say = |text: Text| labels.get(text).to_owned();
        let found = |is: fn(&Finding) -> bool| {
            job.findings.iter().filter(|f| is(f)).map(|f| told(labels, job.setup, f)).collect()
        };
        let warnings: Vec<Found> = found(Finding::is_open);
        let accepted: Vec<Found> = found(|f| f.outcome != Outcome::Proved && f.accepted.is_some());
        let gas = words::caution(labels, setup);
        let trial = if setup.dives() { cautions::TRIAL } else { cautions::TRIAL_SURFACE };
        let general = [cautions::SWITCHED_ON, cautions::BATTERIES, cautions::GAS, cautions::LAW, trial];
        let general = general.into_iter().filter(|text| *text != cautions::GAS || gas.is_some());
        let mut careful = words::within_reach(labels, setup);
        careful.extend(gas.clone());
        careful.extend(general.map(say));
        let code = job.code.to_string();
        let logo = match &request.workshop.logo {
            Some(logo) => {
                let png = lidcard_pixels::to_png(&logo.pixels).map_err(|e| inner(&e))?;
                let [width, height] = logo.size_in(LOGO_ROOM);
                Some(Picture { src: data(&png), width: pixels(width), height: pixels(height) })
            }
            None => None,
        };
        let drawn = png::to_png(card, PREVIEW_DPI).map_err(DocumentError::Render)?;
        let card = card.pages.iter().zip(drawn).map(|(page, png)| Picture {
            src: data(&png),
            width: pixels(page.width),
            height: pixels(page.height),
        });
        Ok(Self {
            language: labels.language().to_owned(),
            title: labels.fill(text::handover::Title { boat: &setup.boat.name }),
            boat: setup.boat.name.clone(),
            imprint: imprint(labels, job),
            code_note: labels.fill(text::handover::CodeNote { code: &code }),
            code,
            facts: facts(labels, job, request),
            verdict: words::verdict(labels, job.findings, request.draft),
            clean: warnings.is_empty(),
            limits: say(text::sheet::cautions::LIMITS),
            warnings,
            accepted,
            cautions: careful,
            papers: papers_in(labels, files),
            files: files
                .iter()
                .map(|(name, kind)| Line { name: name.clone(), href: href(name), what: say(kind.about()) })
                .collect(),
            card: card.collect(),
            logo,
            contact: request.workshop.contact.clone(),
            labels: labels.tree_for(request.template(TEMPLATE).text),
        })
    }
}

/// What most who open the page are looking for.
fn papers_in(labels: &Labels, files: &[(String, Kind)]) -> Vec<OnPaper> {
    use crate::labels::text::handover::papers;
    let all = [
        (papers::CARD, [Some(Kind::Card), Some(Kind::CardHtml)]),
        (papers::GUIDE, [Some(Kind::Guide), Some(Kind::GuideHtml)]),
        (papers::SHEET, [Some(Kind::Sheet), None]),
    ];
    let paper = |(title, kinds): (Text, [Option<Kind>; 2])| {
        let forms = kinds.into_iter().zip([papers::PRINT, papers::SCREEN]);
        let links = forms.filter_map(|(kind, words)| {
            let (name, _) = files.iter().find(|(_, is)| Some(*is) == kind)?;
            Some([href(name), labels.get(words).to_owned()])
        });
        OnPaper { title: labels.get(title).to_owned(), links: links.collect() }
    };
    all.into_iter().map(paper).filter(|paper| !paper.links.is_empty()).collect()
}

/// Room for the workshop's logo, in millimetres.
const LOGO_ROOM: [f64; 2] = [60.0, 20.0];

fn facts(labels: &Labels, job: &Job<'_>, request: &Request) -> Vec<[String; 2]> {
    let (boat, set) = (&job.setup.boat, &job.setup.transmitter);
    let depth = words::depth_limit(labels, request.units, job);
    let frequency = set.frequency.as_ref().map(|f| labels.decimal(&f.replace(' ', &FIXED.to_string())));
    let facts = [
        (facts::REFERENCE, boat.reference.clone()),
        (facts::TRANSMITTER, set.name.clone()),
        (facts::MEMORY, set.memory.clone()),
        (facts::FREQUENCY, frequency),
        (text::card::DEPTH_LIMIT, depth),
        (facts::WORKSHOP, boat.workshop.clone()),
        (facts::CONTACT, job.setup.owner.contact.clone().filter(|c| boat.workshop.as_ref() != Some(c))),
    ];
    facts.into_iter().filter_map(|(path, value)| Some([labels.get(path).to_owned(), value?])).collect()
}

fn imprint(labels: &Labels, job: &Job<'_>) -> String {
    let boat = &job.setup.boat;
    let revision = boat.revision.as_ref().map(|r| labels.fill(text::common::Revision { revision: r }));
    let parts = [Some(job.code.to_string()), revision, boat.date.clone()];
    parts.into_iter().flatten().collect::<Vec<_>>().join(" · ")
}

/// In the reader's language; the report beside the page has the builder's figures.
fn told(labels: &Labels, setup: &Setup, finding: &Finding) -> Found {
    Found {
        rule: finding.rule,
        about: words::about(labels, setup, finding),
        message: words::sentence(labels, setup, finding),
        because: finding.accepted.clone().unwrap_or_default(),
    }
}

fn data(png: &[u8]) -> String {
    format!("data:image/png;base64,{}", base64(png))
}

/// A name as a relative link (RFC 3986, section 2.3): every byte that could mean something else is
/// written by its number.
fn href(name: &str) -> String {
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || b"-._~".contains(&byte);
    name.bytes().map(|b| if plain(b) { char::from(b).to_string() } else { format!("%{b:02X}") }).collect()
}

/// Millimetres in pixels of CSS: 96 to an inch (CSS Values and Units 4, 6.2).
fn pixels(mm: f64) -> u32 {
    (mm / 25.4 * 96.0).round().max(1.0) as u32
}

fn inner(error: &impl std::fmt::Display) -> DocumentError {
    DocumentError::Render(RenderError::Inner(error.to_string()))
}
