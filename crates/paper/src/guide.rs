//! The owner's guide: a booklet for somebody who has never driven a model.

mod after;
mod before;
mod behaviour;
mod charging;
mod controls;
mod diving;
mod emergency;
mod known;
mod left;
mod limits;
mod page;
mod symptoms;
mod tried;

use serde::Serialize;

use super::labels::{Labels, Text};
use super::words;
use super::workshop::LogoSize;
use super::{Chosen, Document, DocumentError, Job, Paper, Request, Template, fill, mark, words_of};
use crate::labels::text;
use crate::labels::text::common;
use crate::labels::text::guide::facts;
use crate::labels::text::guide::what;
use crate::page::of_ours;
use crate::render::impose::booklet;
use crate::render::pages::flow;
use crate::render::{RenderError, Scene};
use crate::setup::BoatKind;
use known::Known;
use page::Chapter;

/// A5 (ISO 216), in millimetres.
const A5: [f64; 2] = [148.0, 210.0];
/// Half a Letter, so that two fill it exactly.
const HALF_LETTER: [f64; 2] = [139.7, 215.9];

const TEMPLATE: Template =
    Template { name: "guide.tera", text: include_str!("../../../templates/guide.tera") };

const HTML: Template = Template { name: "guide.html", text: include_str!("../../../templates/guide.html") };

/// Room for the workshop's logo on the cover, in millimetres.
const LOGO_ROOM: [f64; 2] = [48.0, 16.0];

/// The guide as a document.
pub struct Guide;

impl Document for Guide {
    fn name(&self) -> &'static str {
        "guide"
    }

    fn about(&self) -> &'static str {
        "the guide for her owner"
    }

    fn template(&self) -> Template {
        TEMPLATE
    }

    fn has_html(&self) -> bool {
        true
    }

    fn reads_the_record(&self) -> bool {
        true
    }

    fn html(&self, job: &Job<'_>, request: &Request) -> Result<Option<String>, DocumentError> {
        let labels = request.labels(job.setup)?;
        let mark = mark::words(&labels, job, request.draft).map(|[word, _]| word).unwrap_or_default();
        let guide = Facts::of(&labels, job, request);
        let title = match mark.as_str() {
            "" => guide.title.clone(),
            mark => format!("{mark} \u{2013} {}", guide.title),
        };
        let spoken = Spoken {
            sticks: words::sticks(&labels, job.setup),
            labels: labels.tree_for(HTML.text),
            mark_word: mark,
            guide: &guide,
        };
        of_ours(HTML, (labels.language(), &title), &spoken).map(Some)
    }

    fn scene(&self, job: &Job<'_>, request: &Request) -> Result<Scene, DocumentError> {
        let labels = request.labels(job.setup)?;
        let mut facts = Facts::of(&labels, job, request);
        // The pages of the contents are known once everything lies on its page.
        let first = lay_out(&facts, request)?;
        for (number, page) in first.pages.iter().enumerate() {
            for heading in page.headings.iter().filter(|h| !h.inner) {
                if let Some(line) = facts.contents.iter_mut().find(|line| line.title == heading.title) {
                    line.page = (number + 1).to_string();
                }
            }
        }
        let mut scene = lay_out(&facts, request)?;
        request.template(TEMPLATE).must_say(&words_of(&scene), facts.cautions())?;
        mark::put(&mut scene, mark::words(&labels, job, request.draft).as_ref())?;
        match request.on {
            Some(paper) => booklet(&scene, paper.size_mm()).map_err(DocumentError::Render),
            None => Ok(scene),
        }
    }
}

/// The guide for somebody who does not see its drawing.
#[derive(Serialize)]
struct Spoken<'a> {
    #[serde(flatten)]
    guide: &'a Facts,
    sticks: Vec<words::Hands>,
    mark_word: String,
    labels: serde_json::Value,
}

fn lay_out(facts: &Facts, request: &Request) -> Result<Scene, DocumentError> {
    let chosen = request.template(TEMPLATE);
    let Chosen { name, text, .. } = chosen;
    let (sheet, yaml) = fill::sheet(chosen, fill::context(facts)?, request.workshop.logo.as_ref())?;
    flow(&sheet).map_err(|error| match error {
        RenderError::Overflow { blocks } => DocumentError::DoesNotFit { what: blocks, fits_in: Vec::new() },
        RenderError::TooWide { text } => DocumentError::DoesNotFit { what: vec![text], fits_in: Vec::new() },
        error => fill::in_template(error, name, text, &yaml),
    })
}

/// A line of the list of contents.
#[derive(Serialize)]
struct Line {
    title: String,
    page: String,
}

/// All that the template may say.
#[derive(Serialize)]
struct Facts {
    labels: serde_json::Value,
    width: f64,
    height: f64,
    draft: bool,
    draft_mark: String,
    /// What is worst with a boat that failed her check.
    failed: String,
    title: String,
    boat: String,
    what: String,
    revision: String,
    code: String,
    code_note: String,
    /// Label and value.
    facts: Vec<[String; 2]>,
    contents: Vec<Line>,
    chapters: Vec<Chapter>,
    gimbals: Vec<words::Gimbal>,
    channels: Vec<words::Row>,
    /// The workshop's, where it has one.
    logo: Option<LogoSize>,
}

impl Facts {
    /// What stands under a signal word.
    fn cautions(&self) -> impl Iterator<Item = &String> {
        let sections = self.chapters.iter().flat_map(|chapter| &chapter.sections);
        sections.filter(|s| !s.signal.is_empty()).flat_map(page::Section::texts)
    }

    fn of(labels: &Labels, job: &Job<'_>, request: &Request) -> Self {
        let setup = job.setup;
        let emergency = words::emergency(labels, job);
        let known = Known {
            labels,
            setup,
            units: request.units,
            draft: request.draft,
            provisional: mark::not_judged(job.findings),
            emergency: &emergency,
            tried: None,
        };
        let tried = tried::tried(&known, job, request);
        let known = Known { tried: tried.as_ref(), ..known };
        let [width, height] = request.size_mm.unwrap_or(match request.on {
            Some(Paper::Letter) => HALF_LETTER,
            Some(Paper::A4) | None => A5,
        });
        // Inside the cover, where a hand that shakes finds it; what is still to be done faces it.
        let mut chapters = vec![emergency::chapter(&known).together().on_a_page()];
        chapters.extend(left::chapter(&known).map(Chapter::on_a_page));
        chapters.extend([
            controls::chapter(&known).on_a_page(),
            before::chapter(&known),
            diving::chapter(&known),
            behaviour::chapter(&known),
            symptoms::chapter(&known),
            charging::chapter(&known),
            after::chapter(&known),
            limits::ask(&known, job, &request.workshop.contact),
            limits::settings(&known, job),
            limits::checked(&known, job),
        ]);
        let contents = chapters.iter().map(|c| Line { title: c.title.clone(), page: "00".to_owned() });
        let revision = setup.boat.revision.as_ref();
        let code = job.code.to_string();
        Self {
            labels: labels.tree_for(request.template(TEMPLATE).text),
            width,
            height,
            draft: request.draft,
            draft_mark: words::draft_words(labels, job)[0].clone(),
            failed: emergency.failed.clone().unwrap_or_default(),
            title: labels.fill(text::guide::Title { boat: &setup.boat.name }),
            boat: setup.boat.name.clone(),
            what: known.say(match (setup.boat.kind, known.dives()) {
                (BoatKind::Submarine, _) | (_, true) => what::SUBMARINE,
                (BoatKind::Surface, false) => what::SURFACE,
                (BoatKind::Other, false) => what::OTHER,
            }),
            revision: revision.map_or_else(String::new, |r| known.fill(common::Revision { revision: r })),
            code_note: known.fill(text::guide::CodeNote { code: &code }),
            code,
            facts: title_facts(&known),
            contents: contents.collect(),
            chapters,
            gimbals: words::gimbals(labels, setup),
            channels: words::channels(labels, setup),
            logo: request.workshop.logo_in(LOGO_ROOM),
        }
    }
}

fn title_facts(known: &Known<'_>) -> Vec<[String; 2]> {
    let (boat, set) = (&known.setup.boat, &known.setup.transmitter);
    let frequency = set.frequency.as_ref().map(|f| words::frequency(known.labels, f));
    let contact = known.setup.owner.contact.clone().filter(|c| boat.workshop.as_ref() != Some(c));
    let facts = [
        (facts::REFERENCE, boat.reference.clone()),
        (facts::REVISION, boat.revision.clone()),
        (facts::DATE, boat.date.clone()),
        (facts::TRANSMITTER, set.name.clone()),
        (facts::MEMORY, set.memory.clone()),
        (facts::FREQUENCY, frequency),
        (facts::WORKSHOP, boat.workshop.clone()),
        (facts::CONTACT, contact),
    ];
    let said = |(label, value): (Text, Option<String>)| value.map(|value| [known.say(label), value]);
    facts.into_iter().filter_map(said).collect()
}
