//! The plan of leads and hoses: which output of the receiver feeds what, through which unit, by which lead;
//! which hose is on what; and labels to cut out.

mod leads;

use super::frame::{Frame, inner_width};
use super::sheet::table::Table;
use super::{Document, DocumentError, Job, Request, Template, fill, words};
use crate::labels::Labels;
use crate::labels::text;
use crate::labels::text::plan::{self, hoses, outputs};
use crate::render::Scene;
use crate::setup::{ChannelId, Input, Setup};
use crate::words::{function_name, listed, plain};
use serde::Serialize;
use serde_json::Value;

const TEMPLATE: Template = Template { name: "plan.tera", text: include_str!("../../../templates/plan.tera") };
/// Labels beside each other on a strip.
const ABREAST: usize = 3;

/// The plan as a document.
pub struct LeadPlan;

impl Document for LeadPlan {
    fn name(&self) -> &'static str {
        "plan"
    }

    fn about(&self) -> &'static str {
        "the plan of leads and hoses, with labels to cut out"
    }

    fn template(&self) -> Template {
        TEMPLATE
    }

    fn scene(&self, job: &Job<'_>, request: &Request) -> Result<Scene, DocumentError> {
        let labels = request.labels(job.setup)?;
        let chosen = request.template(TEMPLATE);
        let facts = Facts::of(&labels, job, request)
            .map_err(|e| fill::in_template(e, chosen.name, chosen.text, ""))?;
        let context = fill::labelled(chosen, &facts, &labels)?;
        fill::flowed(chosen, context, &facts.cautions, &labels, job, request)
    }
}

/// All that the template may say.
#[derive(Serialize)]
struct Facts {
    #[serde(flatten)]
    frame: Frame,
    /// What is worst with a boat that failed her check.
    failed: String,
    cautions: Vec<String>,
    drawing_height: f64,
    drawing: Vec<Value>,
    /// Outputs that feed several things, and those that feed nothing.
    outputs: Vec<String>,
    hoses: Table,
    couplings: String,
    /// Rows of labels, every one of them twice: once for each end.
    strips: Vec<Vec<String>>,
}

impl Facts {
    fn of(labels: &Labels, job: &Job<'_>, request: &Request) -> Result<Self, crate::render::RenderError> {
        let setup = job.setup;
        let boat = &setup.boat.name;
        let imprint = words::imprint(labels, job, None);
        let mut cautions = vec![labels.get(plan::OFF).to_owned()];
        cautions.extend(words::caution(labels, setup));
        let (drawing_height, drawing) = leads::drawing(labels, setup, inner_width(request))?;
        Ok(Self {
            frame: Frame::of(request, boat, labels.fill(plan::Title { boat }), imprint),
            failed: words::failed(labels, job).filter(|_| request.draft).unwrap_or_default(),
            cautions,
            drawing_height,
            drawing,
            outputs: told_of_outputs(labels, setup),
            hoses: hose_table(labels, setup),
            couplings: listed(setup.fittings.couplings.iter().cloned()),
            strips: strips(labels, setup),
        })
    }
}

/// Which outputs feed several things, which are spare, and which the file does not name.
fn told_of_outputs(labels: &Labels, setup: &Setup) -> Vec<String> {
    let mut all = Vec::new();
    for (id, channel) in setup.channels.iter().enumerate() {
        let fed: Vec<String> = setup.devices_on(id).map(|(_, device)| plain(&device.name)).collect();
        let number = &channel.number.to_string();
        if fed.len() > 1 {
            all.push(labels.fill(outputs::Several { number, devices: &listed(fed) }));
        } else if fed.is_empty() {
            all.push(labels.fill(outputs::Nothing { number }));
        }
    }
    let taken: Vec<u8> = setup.channels.iter().map(|channel| channel.number).collect();
    let unused = (1..=setup.transmitter.channels).filter(|number| !taken.contains(number));
    let unused = listed(unused.map(|number| number.to_string()));
    if !unused.is_empty() {
        all.push(labels.fill(outputs::Unused { numbers: &unused }));
    }
    all
}

/// What has a hose on it: what the file says of one, and of a valve or a pump without a word of it an empty line.
fn hose_table(labels: &Labels, setup: &Setup) -> Table {
    use crate::labels::text::plan::hoses::head;
    let mut table = Table::with_head([head::WORK, head::KIND, head::HOSE].map(|t| labels.get(t).to_owned()));
    for work in setup.works() {
        let w = setup.work(work);
        let carries = w.kind.sinks() || w.kind.raises() && !w.kind.drops;
        if w.facts.hose.is_none() && !carries {
            continue;
        }
        let name = format!("{} ({})", plain(&w.name), plain(&setup.devices[work.device].name));
        let kind = labels.word(text::common::WORKS, w.kind.name).to_owned();
        let hose = w.facts.hose.clone().unwrap_or_else(|| labels.get(hoses::UNSAID).to_owned());
        table.row_with_bold(vec![name, kind, hose], &[0]);
    }
    table
}

/// A label for each lead and each hose, twice.
fn strips(labels: &Labels, setup: &Setup) -> Vec<Vec<String>> {
    let mut all = Vec::new();
    let unit = labels.get(plan::UNIT);
    let number = |channel: ChannelId| setup.channels[channel].number.to_string();
    let through =
        |channel: &ChannelId| setup.fail_safe.as_ref().is_some_and(|u| u.channels.contains(channel));
    for channel in (0..setup.channels.len()).filter(through) {
        let label = labels.fill(plan::strips::Lead { from: &number(channel), to: unit });
        all.extend(std::iter::repeat_n(label, 2));
    }
    for device in &setup.devices {
        let from = match device.input {
            Input::Channel(channel) if through(&channel) => format!("{unit} {}", number(channel)),
            Input::Channel(channel) => number(channel),
            Input::Behind(other) => plain(&setup.devices[other].name),
            Input::None => continue,
        };
        let lead = device.facts.lead.clone().unwrap_or_default();
        let label = labels.fill(plan::strips::Lead { from: &from, to: &plain(&device.name) });
        all.extend(std::iter::repeat_n(format!("{label}\n{lead}"), 2));
    }
    for work in setup.works() {
        if let Some(hose) = &setup.work(work).facts.hose {
            let label = labels.fill(plan::strips::Hose { work: &function_name(setup, work) });
            all.extend(std::iter::repeat_n(format!("{label}\n{hose}"), 2));
        }
    }
    let mut rows: Vec<Vec<String>> = all.chunks(ABREAST).map(<[String]>::to_vec).collect();
    for row in &mut rows {
        row.resize(ABREAST, String::new());
    }
    rows
}
