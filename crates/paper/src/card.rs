//! The card for the transmitter lid.

mod facts;
mod measures;
mod own;
mod page;
mod plan;

use serde::Serialize;

use super::labels::Labels;
use super::measure::Units;
use super::workshop::LogoSize;
use super::{
    Chosen, Document, DocumentError, Job, Request, Template, fill, mark, page as html, words, words_of,
};
use crate::labels::text;
use crate::render::layout::{Known, Loose};
use crate::render::sheet::Sheet;
use crate::render::{RenderError, Scene, impose};
use facts::Facts;
use measures::Measures;
use own::Own;
use plan::{Front, Plan, plans};

/// Width and height when nobody says otherwise, in millimetres.
pub const DEFAULT_SIZE: [f64; 2] = [105.0, 74.0];
/// The sizes that a message offers when a card does not fit, smallest first.
pub const USUAL_SIZES: &[(&str, [f64; 2])] = &[
    ("85 x 54 mm", [85.0, 54.0]),
    ("A7", [105.0, 74.0]),
    ("150 x 50 mm", [150.0, 50.0]),
    ("A6 upright", [105.0, 148.0]),
    ("A6", [148.0, 105.0]),
    ("A5 upright", [148.0, 210.0]),
    ("A5", [210.0, 148.0]),
    ("A4 upright", [210.0, 297.0]),
];
/// The same for somebody who measures in inches; each can be typed behind `--size`.
pub const USUAL_SIZES_IN_INCHES: &[(&str, [f64; 2])] = &[
    ("4x3in", [4.0 * INCH, 3.0 * INCH]),
    ("5x3in", [5.0 * INCH, 3.0 * INCH]),
    ("6x2in", [6.0 * INCH, 2.0 * INCH]),
    ("6x4in", [6.0 * INCH, 4.0 * INCH]),
    ("4x6in", [4.0 * INCH, 6.0 * INCH]),
    ("8.5x5.5in", [8.5 * INCH, 5.5 * INCH]),
    ("8.5x11in (Letter upright)", [8.5 * INCH, 11.0 * INCH]),
];
/// Exactly (international yard and pound agreement of 1959).
const INCH: f64 = 25.4;
/// Sizes of the running text, in points.
const TEXT_SIZES: [f64; 14] = [7.0, 7.5, 8.0, 8.5, 9.0, 10.0, 11.0, 12.0, 14.0, 16.0, 18.0, 20.0, 22.0, 25.0];
/// How many of them are for a card held in the hand; the rest is for paper on the bench.
const HAND_SIZES: usize = 5;
/// The first of them in which all is said on one side: who would have to step nearer to read it rather turns the paper.
const WALL_SIZE: usize = 7;
/// Paper with both sides at least this long, in millimetres, is for the bench.
const LARGE_PAPER: f64 = 140.0;

const TEMPLATE: Template = Template { name: "card.tera", text: include_str!("../../../templates/card.tera") };
const HTML: Template = Template { name: "card.html", text: include_str!("../../../templates/card.html") };

/// Room for the workshop's logo where the card has some left, in millimetres.
const LOGO_ROOM: [f64; 2] = [30.0, 8.0];

/// The card as a document.
pub struct Card;

impl Document for Card {
    fn name(&self) -> &'static str {
        "card"
    }

    fn of_any_size(&self) -> bool {
        true
    }

    fn about(&self) -> &'static str {
        "its card for the transmitter's lid"
    }

    fn template(&self) -> Template {
        TEMPLATE
    }

    fn has_html(&self) -> bool {
        true
    }

    fn html(&self, job: &Job<'_>, request: &Request) -> Result<Option<String>, DocumentError> {
        let labels = request.labels(job.setup)?;
        let card = Facts::of(&labels, job, request);
        let spoken = Spoken {
            controls: words::controls(&labels, job.setup),
            switches: words::switches(&labels, job.setup),
            alone: words::alone(&labels, job.setup),
            imprint: card.longest_imprint(),
            labels: labels.tree_for(HTML.text),
            card: &card,
        };
        let title = card.marked_title();
        html::of_ours(HTML, (labels.language(), &title), &spoken).map(Some)
    }

    fn scene(&self, job: &Job<'_>, request: &Request) -> Result<Scene, DocumentError> {
        card(job, request)
    }
}

/// The card for somebody who does not see its drawing.
#[derive(Serialize)]
struct Spoken<'a> {
    #[serde(flatten)]
    card: &'a Facts,
    controls: Vec<words::Hands>,
    switches: Vec<words::Hands>,
    alone: String,
    imprint: &'a str,
    labels: serde_json::Value,
}

/// Makes the card.
fn card(job: &Job<'_>, request: &Request) -> Result<Scene, DocumentError> {
    let setup = job.setup;
    let size = request.size_mm.or(setup.card.size).unwrap_or(DEFAULT_SIZE);
    let labels = request.labels(setup)?;
    let facts = Facts::of(&labels, job, request);
    if let Some((name, text)) = &request.template
        && !facts.within_reach.is_empty()
        && !text.contains("within_reach")
    {
        // An emergency work within reach was accepted on condition that the card says so.
        let message = "it does not print `within_reach`, and the boat file promises that the card names \
                       what is within reach";
        return Err(DocumentError::Template {
            name: name.clone(),
            text: text.clone(),
            range: 0..0,
            message: message.to_owned(),
        });
    }
    let chosen = request.template(TEMPLATE);
    let own = chosen.own.then(|| Own::of(chosen, &facts, &labels)).transpose()?;
    let stock = Stock { facts: &facts, labels: &labels, own };
    let what = match attempt(&stock, request, size)? {
        Outcome::Fits(scene, _) => {
            chosen.must_say(&words_of(&scene), &facts.must_say())?;
            return on_paper(*scene, request, &labels);
        }
        Outcome::TooMuch(what) => what,
    };
    let mut fits_in = Vec::new();
    let usual = match request.units {
        Units::Metric => USUAL_SIZES,
        Units::Us => USUAL_SIZES_IN_INCHES,
    };
    for (name, [width, height]) in usual {
        if let Ok(Outcome::Fits(..)) = attempt(&stock, request, [*width, *height]) {
            let exact = format!("{width} x {height} mm");
            let exact_already = *name == exact || request.units == Units::Us;
            fits_in.push(if exact_already { (*name).to_owned() } else { format!("{name} ({exact})") });
        }
    }
    Err(DocumentError::DoesNotFit { what, fits_in })
}

/// As it comes out of the printer: folded from one piece, and several on a sheet, where asked for.
fn on_paper(scene: Scene, request: &Request, labels: &Labels) -> Result<Scene, DocumentError> {
    let scene = if request.fold { impose::folded(&scene) } else { scene };
    let Some(paper) = request.on else { return Ok(scene) };
    impose::copies(&scene, paper.size_mm(), labels.get(text::card::BAR)).map_err(|error| match error {
        RenderError::Overflow { blocks } => DocumentError::DoesNotFit { what: blocks, fits_in: Vec::new() },
        other => DocumentError::Render(other),
    })
}

enum Outcome {
    /// The card, and how full its fullest page is, from 0 to 1.
    Fits(Box<Scene>, f64),
    TooMuch(Vec<String>),
}

/// A page so full is not tried with larger text. The next size is 7 % larger and some of the page is always
/// text: of 62 cards so full among 1,000 of `tests/outside/fleet.py` none would have taken it.
const FULL: f64 = 0.98;

/// Tries one plan after the other; of the first that fits, the largest text is taken. No plan asks for more room
/// on a larger card than on a smaller one, so what fits a card fits every card that contains it.
fn attempt(stock: &Stock<'_>, request: &Request, size: [f64; 2]) -> Result<Outcome, DocumentError> {
    let is_large = size[0].min(size[1]) >= LARGE_PAPER;
    let largest = if is_large { TEXT_SIZES.len() } else { HAND_SIZES };
    let sizes = &TEXT_SIZES[..largest];
    let facts = stock.facts;
    let mut known = Known::default();
    let mut lay_out = |index: usize, plan: Plan, logo| {
        stock.lay_out(Measures::of(size, sizes[index], plan, logo), request, &mut known)
    };
    let mut too_much = Vec::new();
    for plan in plans(size[0], is_large) {
        // What does not fit in the smallest text fits in none.
        let least = if plan.front == Front::All { WALL_SIZE } else { 0 };
        let (mut best, mut filled) = match lay_out(least, plan, None)? {
            Outcome::Fits(scene, filled) => (scene, filled),
            Outcome::TooMuch(what) => {
                too_much = what;
                continue;
            }
        };
        // Every try costs as much as the first: begin with the size whose lines should just fill the page.
        let (mut fits, mut fails) = (least, if filled > FULL { least + 1 } else { largest });
        let mut next =
            (least + 1..largest).rfind(|n| sizes[*n] * filled <= sizes[least]).unwrap_or(least + 1);
        while fails - fits > 1 {
            match lay_out(next, plan, None)? {
                Outcome::Fits(scene, full) => (best, filled, fits, next) = (scene, full, next, next + 1),
                Outcome::TooMuch(_) => (fails, next) = (next, next - 1),
            }
        }
        // A logo must not cost the text its size, nor the card a second side.
        if let Some(logo) = request.workshop.logo_in(LOGO_ROOM)
            && let Outcome::Fits(scene, full) = lay_out(fits, plan, Some(logo))?
        {
            (best, filled) = (scene, full);
        }
        mark::put(&mut best, facts.mark.as_ref())?;
        return Ok(Outcome::Fits(best, filled));
    }
    Ok(Outcome::TooMuch(too_much))
}

/// What every attempt works from.
struct Stock<'a> {
    facts: &'a Facts,
    labels: &'a Labels,
    /// Somebody else laid it out.
    own: Option<Own>,
}

impl Stock<'_> {
    fn sheet(&self, is: Measures, request: &Request) -> Result<Sheet, DocumentError> {
        let logo = request.workshop.logo.as_ref();
        if let Some(own) = &self.own {
            return own.sheet(self.facts, is, logo);
        }
        let mut sheet = page::sheet(self.facts, self.labels, is);
        if let Some(logo) = logo {
            sheet.give(logo);
        }
        Ok(sheet)
    }

    fn lay_out(&self, is: Measures, request: &Request, known: &mut Known) -> Result<Outcome, DocumentError> {
        let drawn = Loose::of(self.sheet(is, request)?, known);
        match drawn.and_then(|loose| loose.arrange(is.plan.sides())) {
            Ok((scene, filled)) => Ok(Outcome::Fits(Box::new(scene), filled)),
            Err(RenderError::Overflow { blocks }) => Ok(Outcome::TooMuch(blocks)),
            Err(RenderError::TooWide { text }) => Ok(Outcome::TooMuch(vec![text])),
            Err(error @ RenderError::Overlap { .. }) => Ok(Outcome::TooMuch(vec![error.to_string()])),
            Err(error) => {
                let (name, text) = match &self.own {
                    Some(own) => (own.template.name(), own.template.text()),
                    None => (TEMPLATE.name, TEMPLATE.text),
                };
                Err(fill::in_template(error, name, text, ""))
            }
        }
    }
}
