//! The bench sheet: everything needed to set a blank transmitter up again, and to prove it.

pub(crate) mod axes;
mod dialled;
mod faults;
mod head;
pub(crate) mod ink;
mod loss;
pub(crate) mod matrix;
mod measures;
mod orders;
mod packed;
mod power;
mod say;
mod settings;
pub(crate) mod table;
mod time;
mod trials;
pub(crate) mod unjudged;
mod verdicts;

use serde::Serialize;
use serde_json::Value;

use super::frame::{Frame, inner_width};
use super::words;
use super::{Document, DocumentError, Job, Request, Template, fill};
use crate::form::MeasuringForm;
use crate::labels::{self, text};
use crate::render::Scene;
use crate::rule::Engine;
pub(crate) use orders::ORDERS;
pub(crate) use say::Say;
use table::Table;
pub use trials::{At, Being, Gate, PointOf, Pulse, Reads, Test};

const TEMPLATE: Template =
    Template { name: "sheet.tera", text: include_str!("../../../templates/sheet.tera") };

/// The bench sheet as a document.
pub struct BenchSheet;

impl Document for BenchSheet {
    fn name(&self) -> &'static str {
        "sheet"
    }

    fn about(&self) -> &'static str {
        "the sheet for the bench: settings, proof and tests"
    }

    fn holds_the_file(&self) -> bool {
        true
    }

    fn has_an_annex(&self) -> bool {
        true
    }

    fn blank(&self) -> Option<&'static dyn Document> {
        Some(&MeasuringForm)
    }

    fn template(&self) -> Template {
        TEMPLATE
    }

    fn scene(&self, job: &Job<'_>, request: &Request) -> Result<Scene, DocumentError> {
        let labels = request.labels(job.setup)?;
        let engine = Engine::new(job.setup);
        let say = Say { labels: &labels, setup: job.setup, engine: &engine };
        let facts = Facts::of(&say, job, request)
            .map_err(|e| fill::in_template(e, TEMPLATE.name, TEMPLATE.text, ""))?;
        let chosen = request.template(TEMPLATE);
        let context = facts.context(&labels.tree_for(chosen.text))?;
        let must_say = facts.cautions.iter().chain(&facts.within_reach).chain([&facts.verdict]);
        fill::flowed(chosen, context, must_say, &labels, job, request)
    }
}

/// The tests of the sheet in their order, each with what it reads.
pub fn readings(engine: &Engine<'_>, labels: &labels::Labels) -> Vec<Test> {
    readings_said(&Say { labels, setup: engine.setup, engine })
}

/// The same, worded already.
pub(crate) fn readings_said(say: &Say<'_>) -> Vec<Test> {
    trials::readings(say)
}

/// A drawing with the height it takes.
#[derive(Serialize)]
struct Drawing {
    height: f64,
    items: Vec<Value>,
}

impl From<(f64, Vec<Value>)> for Drawing {
    fn from((height, items): (f64, Vec<Value>)) -> Self {
        Self { height, items }
    }
}

/// All that the template may say.
#[derive(Serialize)]
struct Facts {
    #[serde(flatten)]
    frame: Frame,
    draft: bool,
    draft_mark: String,
    /// What is worst with a boat that failed her check.
    failed: String,
    /// Empty where the workshop has neither logo nor contact.
    letterhead: Drawing,
    head: Drawing,
    verdict: String,
    orders: Vec<[String; 2]>,
    cautions: Vec<String>,
    /// What is not judged, before all else.
    unjudged: Table,
    emergency: Vec<String>,
    emergency_judged: bool,
    emergency_own: Vec<String>,
    within_reach: Vec<String>,
    settings: Table,
    notes: Vec<[String; 2]>,
    stages: Table,
    units: Vec<[String; 2]>,
    packs: Vec<[String; 2]>,
    axes_legend: Drawing,
    axes_beside: bool,
    axes: Vec<axes::Axis>,
    others: Vec<[String; 2]>,
    summary: String,
    open: Table,
    accepted: Table,
    tests: Vec<trials::Group>,
    packed: Vec<Drawing>,
    /// How wide the codes of the last row are, where the signatures stand beside them; nought where they do not.
    codes: f64,
    annex: Option<Annex>,
}

/// What a fitter at the bench does without: causes and effects, estimates, all that is proved.
#[derive(Serialize)]
struct Annex {
    matrices: Vec<Table>,
    time: Option<time::Time>,
    power: Option<power::Power>,
    proved: Table,
}

impl Facts {
    fn of(say: &Say<'_>, job: &Job<'_>, request: &Request) -> Result<Self, crate::render::RenderError> {
        let inner = inner_width(request);
        let windows = job.windows.of(job.setup);
        let boat = &job.setup.boat;
        let title = say.fill(text::sheet::Title { boat: &boat.name });
        let imprint = words::imprint(say.labels, job, None);
        use crate::labels::text::sheet::cautions;
        let gas = words::caution(say.labels, job.setup).is_some();
        let cautions = [cautions::ELECTRIC, cautions::GAS, cautions::LAW, cautions::LIMITS];
        let cautions = cautions.into_iter().filter(|text| *text != cautions::GAS || gas);
        let emergency = words::emergency(say.labels, job);
        let legend = axes::legend(say, inner)?;
        Ok(Self {
            frame: Frame::of(request, &boat.name, title, imprint),
            draft: request.draft,
            draft_mark: words::draft_words(say.labels, job)[0].clone(),
            failed: emergency.failed.unwrap_or_default(),
            letterhead: head::letterhead(&request.workshop, inner)?.into(),
            head: head::drawing(say, job.code, inner)?.into(),
            verdict: words::verdict(say.labels, job.findings, request.draft),
            orders: head::order(say, job.setup),
            cautions: cautions.map(|text| say.get(text).to_owned()).collect(),
            unjudged: unjudged::rows(say, job.findings),
            emergency: emergency.steps,
            emergency_judged: emergency.judged,
            emergency_own: emergency.own,
            within_reach: words::within_reach(say.labels, job.setup),
            settings: settings::channels(say, windows),
            notes: settings::notes(say),
            stages: settings::stages(say),
            units: dialled::units(say),
            packs: dialled::packs(say),
            axes_legend: legend.drawn.into(),
            axes_beside: legend.beside_title,
            axes: axes::axes(say, windows, inner)?,
            others: axes::others(say),
            summary: summary(say, job, request),
            open: verdicts::open(say, job.findings),
            accepted: verdicts::accepted(say, job.findings),
            tests: trials::groups(say),
            packed: packed::rows(say, job.packed)?.into_iter().map(Drawing::from).collect(),
            codes: packed::free_from(job.packed)?.unwrap_or(0.0),
            annex: if request.annex { Some(Annex::of(say, job, inner)?) } else { None },
        })
    }

    fn context(&self, labels: &Value) -> Result<tera::Context, DocumentError> {
        let mut context = fill::context(self)?;
        context.insert("labels", labels);
        Ok(context)
    }
}

impl Annex {
    fn of(say: &Say<'_>, job: &Job<'_>, inner: f64) -> Result<Self, crate::render::RenderError> {
        Ok(Self {
            matrices: matrix::tables(say),
            time: time::section(say, inner)?,
            power: power::section(say),
            proved: verdicts::proved(say, job.findings),
        })
    }
}

/// How many checks were proved, the closest of them, and the sum of what makes them true.
fn summary(say: &Say<'_>, job: &Job<'_>, request: &Request) -> String {
    let proved = closest(say, job);
    match &request.certificate {
        Some(sum) => {
            format!("{proved} {}", say.fill(text::sheet::verdicts::Certificate { sum: &in_groups(sum) }))
        }
        None => proved,
    }
}

/// A sum as it is compared by eye, and with places where a line may end.
fn in_groups(sum: &str) -> String {
    let letters: Vec<char> = sum.chars().collect();
    letters.chunks(8).map(String::from_iter).collect::<Vec<_>>().join(" ")
}

fn closest(say: &Say<'_>, job: &Job<'_>) -> String {
    let proved = job
        .findings
        .iter()
        .filter(|f| f.outcome == crate::finding::Outcome::Proved && !f.by_estimate)
        .count();
    let count = proved.to_string();
    match verdicts::least(job.findings) {
        Some((margin, finding)) => say.fill(text::sheet::verdicts::Summary {
            count: &count,
            margin: &say.percent(margin),
            about: &words::about(say.labels, say.setup, finding),
        }),
        None => say.fill(text::sheet::verdicts::SummaryBare { count: &count }),
    }
}
