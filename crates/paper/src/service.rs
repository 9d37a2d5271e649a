//! The service page: what is done before she is sent, stored or sold, and who checked her when.

use super::frame::Frame;
use super::sheet::table::Table;
use super::{Document, DocumentError, Job, Request, Template, fill, words};
use crate::labels::Labels;
use crate::labels::text;
use crate::labels::text::service::{self, checked, packs, resale, ship, store};
use crate::render::Scene;
use crate::setup::{Battery, Setup};
use crate::words::{listed, plain, work_off};
use serde::Serialize;

const TEMPLATE: Template =
    Template { name: "service.tera", text: include_str!("../../../templates/service.tera") };

/// The service page as a document.
pub struct Service;

impl Document for Service {
    fn name(&self) -> &'static str {
        "service"
    }

    fn about(&self) -> &'static str {
        "the page for shipping, storage and resale"
    }

    fn template(&self) -> Template {
        TEMPLATE
    }

    fn scene(&self, job: &Job<'_>, request: &Request) -> Result<Scene, DocumentError> {
        let labels = request.labels(job.setup)?;
        let chosen = request.template(TEMPLATE);
        let facts = Facts::of(&labels, job, request);
        let context = fill::labelled(chosen, &facts, &labels)?;
        fill::flowed(chosen, context, facts.cautions.iter().chain([&facts.verdict]), &labels, job, request)
    }
}

/// A list to tick.
#[derive(Serialize)]
struct Group {
    title: String,
    lines: Vec<String>,
}

/// All that the template may say.
#[derive(Serialize)]
struct Facts {
    #[serde(flatten)]
    frame: Frame,
    /// What is worst with a boat that failed her check.
    failed: String,
    verdict: String,
    /// Label and value.
    facts: Vec<[String; 2]>,
    cautions: Vec<String>,
    groups: Vec<Group>,
    checked: Table,
}

impl Facts {
    fn of(labels: &Labels, job: &Job<'_>, request: &Request) -> Self {
        let setup = job.setup;
        let boat = &setup.boat.name;
        let imprint = words::imprint(labels, job, None);
        let mut cautions = vec![labels.get(service::RULES).to_owned()];
        cautions.extend(words::caution(labels, setup));
        if !setup.batteries.is_empty() {
            cautions.push(labels.get(service::BATTERIES).to_owned());
        }
        // Whoever buys her by this page has to know what the verdict on it is about.
        cautions.push(labels.get(service::LIMITS).to_owned());
        let group = |title, lines| Group { title: labels.get(title).to_owned(), lines };
        Self {
            frame: Frame::of(request, boat, labels.fill(service::Title { boat }), imprint),
            failed: words::failed(labels, job).filter(|_| request.draft).unwrap_or_default(),
            verdict: words::verdict(labels, job.findings, request.draft),
            facts: facts(labels, job),
            cautions,
            groups: vec![
                group(ship::TITLE, shipping(labels, setup)),
                group(store::TITLE, storing(labels, setup)),
                group(resale::TITLE, reselling(labels, setup)),
            ],
            checked: who_checked(labels, job),
        }
    }
}

fn facts(labels: &Labels, job: &Job<'_>) -> Vec<[String; 2]> {
    use crate::labels::text::guide::facts;
    let (boat, set) = (&job.setup.boat, &job.setup.transmitter);
    let frequency = set.frequency.as_ref().map(|f| words::frequency(labels, f));
    let contact = job.setup.owner.contact.clone().filter(|c| boat.workshop.as_ref() != Some(c));
    let all = [
        (facts::TRANSMITTER, set.name.clone()),
        (facts::MEMORY, set.memory.clone()),
        (facts::FREQUENCY, frequency),
        (facts::WORKSHOP, boat.workshop.clone()),
        (facts::CONTACT, contact),
    ];
    let said = all.into_iter().filter_map(|(label, value)| Some([labels.get(label).to_owned(), value?]));
    let batteries = job.setup.batteries.iter().map(|battery| pack(labels, battery));
    said.chain(batteries).collect()
}

/// What a carrier asks of a battery: its kind and what is printed on it.
fn pack(labels: &Labels, battery: &Battery) -> [String; 2] {
    let cells = battery.cells.map(|n| labels.fill(text::guide::charging::Cells { count: &n.to_string() }));
    let capacity = battery.capacity.as_ref().map(|c| labels.decimal(&c.to_string()));
    let facts = listed([battery.chemistry.clone(), cells, capacity].into_iter().flatten());
    let facts = if facts.is_empty() { labels.get(packs::UNKNOWN).to_owned() } else { facts };
    [labels.fill(packs::Name { name: &plain(&battery.name) }), facts]
}

/// In this order: what has to be done with power on comes before the batteries are out.
fn shipping(labels: &Labels, setup: &Setup) -> Vec<String> {
    let say = |text| labels.get(text).to_owned();
    let mut all = Vec::new();
    if setup.has_bottle() {
        all.extend([say(ship::GAS_OUT), say(ship::BOTTLE)]);
    }
    if setup.devices.iter().flat_map(|d| &d.works).any(|w| w.kind.lets_go || w.kind.drops) {
        all.push(say(ship::UNLOADED));
    }
    let shut = listed(setup.works().map(|work| work_off(labels, setup, work)));
    if !shut.is_empty() {
        all.push(labels.fill(ship::AtRest { works: &shut }));
    }
    if setup.works().any(|work| setup.work(work).kind.sinks()) {
        all.push(say(ship::TANK));
    }
    if !setup.batteries.is_empty() {
        let packs = listed(setup.batteries.iter().map(|battery| plain(&battery.name)));
        all.extend([labels.fill(ship::BatteriesOut { packs: &packs }), say(ship::TERMINALS)]);
    }
    all.push(say(ship::TRANSMITTER_OFF));
    if setup.fittings.leak_test.is_some() {
        all.push(say(ship::TUBE));
    }
    if !setup.fittings.couplings.is_empty() {
        let couplings = listed(setup.fittings.couplings.iter().cloned());
        all.push(labels.fill(ship::Couplings { couplings: &couplings }));
    }
    if setup.devices.iter().any(|d| d.kind.runs_a_motor()) {
        all.push(say(ship::PROPELLERS));
    }
    all.extend([say(ship::PACKED), say(ship::PAPERS)]);
    all
}

fn storing(labels: &Labels, setup: &Setup) -> Vec<String> {
    let say = |text| labels.get(text).to_owned();
    let mut all = vec![say(store::DRY)];
    if !setup.batteries.is_empty() {
        all.push(say(store::BATTERIES));
    }
    if setup.has_bottle() {
        all.push(say(store::BOTTLE));
    }
    if setup.dives() {
        all.push(say(store::SEALS));
    }
    if let Some(memory) = &setup.transmitter.memory {
        all.push(labels.fill(store::Memory { memory }));
    }
    all.push(say(store::AGAIN));
    all
}

fn reselling(labels: &Labels, setup: &Setup) -> Vec<String> {
    let say = |text| labels.get(text).to_owned();
    let mut all = vec![say(resale::PAPERS)];
    all.push(match &setup.transmitter.memory {
        Some(memory) => labels.fill(resale::Memory { memory }),
        None => say(resale::SETTINGS),
    });
    if setup.has_bottle() {
        all.push(say(resale::BOTTLE));
    }
    all.extend([say(resale::LAW), say(resale::TESTS), say(resale::KNOWN)]);
    all.extend(setup.owner.left_to_owner.iter().map(|step| labels.fill(resale::Left { step })));
    all
}

/// What the file says of who fitted her out, and room for those who come after.
fn who_checked(labels: &Labels, job: &Job<'_>) -> Table {
    use crate::labels::text::service::checked::head;
    let texts = [head::DATE, head::WHO, head::WHAT, head::CODE, head::SIGNED];
    let mut table = Table::with_head(texts.map(|text| labels.get(text).to_owned()));
    let boat = &job.setup.boat;
    let first = [boat.date.clone(), boat.workshop.clone()].map(Option::unwrap_or_default);
    let [date, who] = first;
    let what = labels.get(checked::FITTED).to_owned();
    table.row(vec![date, who, what, job.code.to_string(), String::new()]);
    for _ in 0..LINES {
        table.row(vec![String::new(); 5]);
    }
    table
}

/// Lines for those who come after: a season.
const LINES: usize = 3;
