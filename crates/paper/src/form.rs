//! The measuring form: what has to be read off a boat, with room for every reading, in the order of the bench.
//! It says of no figure what it should be, so that nobody reads what he expects.

mod fields;
mod of_boat;
mod of_kind;

use super::frame::{Frame, inner_width};
use super::{Document, DocumentError, Job, Request, Template, fill, words};
use crate::labels::Labels;
use crate::labels::text;
use crate::labels::text::form;
use crate::labels::text::sheet::{cautions, tests};
use crate::render::Scene;
use crate::rule::Engine;
use crate::setup::{BoatKind, Setup};
use crate::sheet::Say;
use fields::Section;
use serde::Serialize;

const TEMPLATE: Template = Template { name: "form.tera", text: include_str!("../../../templates/form.tera") };

/// The form of a boat that has a file.
pub struct MeasuringForm;

impl Document for MeasuringForm {
    fn name(&self) -> &'static str {
        "form"
    }

    fn about(&self) -> &'static str {
        "the form to measure her by"
    }

    fn is_to_measure(&self) -> bool {
        true
    }

    fn template(&self) -> Template {
        TEMPLATE
    }

    fn scene(&self, job: &Job<'_>, request: &Request) -> Result<Scene, DocumentError> {
        let labels = request.labels(job.setup)?;
        let chosen = request.template(TEMPLATE);
        let engine = Engine::new(job.setup);
        let say = Say { labels: &labels, setup: job.setup, engine: &engine };
        let boat = &job.setup.boat.name;
        let title = labels.fill(form::Title { boat });
        let frame = Frame::of(request, boat, title, words::imprint(&labels, job, None));
        let first = before_power(job.setup);
        let gas = words::caution(&labels, job.setup).is_some();
        let sections = of_boat::sections(&say, job, inner_width(request))
            .map_err(|error| fill::in_template(error, chosen.name, chosen.text, ""))?;
        let facts = Facts::of(&labels, frame, (first, gas), sections);
        let context = fill::labelled(chosen, &facts, &labels)?;
        fill::flowed_with(chosen, context, &facts.cautions, None, request)
    }
}

/// What is done on a boat before she has power and anybody reads anything off her.
pub fn before_power(setup: &Setup) -> Vec<crate::labels::Text> {
    let works = || setup.devices.iter().flat_map(|d| &d.works);
    let all = [
        (tests::gas_out::DO, setup.has_bottle()),
        (tests::unloaded::DO, works().any(|w| w.kind.lets_go || w.kind.drops)),
        (tests::propellers_off::DO, setup.devices.iter().any(|d| d.kind.runs_a_motor())),
        (tests::open::DO, true),
    ];
    all.into_iter().filter(|(_, wanted)| *wanted).map(|(text, _)| text).collect()
}

/// The form of a boat that has no file yet: everything that her kind has.
///
/// # Errors
/// When the workshop's template or labels cannot be used.
pub fn of_kind(kind: BoatKind, labels: &Labels, request: &Request) -> Result<Scene, DocumentError> {
    let chosen = request.template(TEMPLATE);
    let boat = labels.word(text::form::KINDS, kind.word());
    let title = labels.fill(form::Title { boat });
    let frame = Frame::of(request, boat, title.clone(), title);
    let dives = kind == BoatKind::Submarine;
    let first = [tests::gas_out::DO, tests::unloaded::DO, tests::propellers_off::DO, tests::open::DO];
    let sections = of_kind::sections(labels, kind, inner_width(request));
    let facts = Facts::of(
        labels,
        frame,
        (first.into_iter().filter(|t| dives || *t != tests::gas_out::DO).collect(), dives),
        sections,
    );
    let context = fill::labelled(chosen, &facts, labels)?;
    fill::flowed_with(chosen, context, &facts.cautions, None, request)
}

/// All that the template may say.
#[derive(Serialize)]
struct Facts {
    #[serde(flatten)]
    frame: Frame,
    /// What is done before anything is switched on.
    first: Vec<String>,
    cautions: Vec<String>,
    sections: Vec<Section>,
}

impl Facts {
    fn of(
        labels: &Labels,
        frame: Frame,
        (first, gas): (Vec<crate::labels::Text>, bool),
        sections: Vec<Section>,
    ) -> Self {
        let all = [form::NO_CHECK, cautions::ELECTRIC, cautions::GAS];
        let all = all.into_iter().filter(|text| *text != cautions::GAS || gas);
        Self {
            frame,
            first: first.into_iter().map(|text| labels.get(text).to_owned()).collect(),
            cautions: all.map(|text| labels.get(text).to_owned()).collect(),
            sections,
        }
    }
}
