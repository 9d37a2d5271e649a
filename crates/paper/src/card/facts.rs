//! All that a card may say.

use serde::Serialize;

use crate::labels::Labels;
use crate::labels::text::{self, common};
use crate::render::sheet::{Bank, Cell, Time};
use crate::render::{Weight, font};
use crate::words::{self, FIXED};
use crate::{Job, Request, mark};

/// Between the parts of a line that names several things.
const DOT: &str = " \u{b7} ";

/// All that the card may say; a template of a workshop's own is given it by these names.
#[derive(Serialize)]
pub(super) struct Facts {
    draft: bool,
    /// What stands in the foot of a page that did not pass, or rests on things nobody has measured.
    pub(super) mark_word: String,
    /// What is worst with a boat that failed her check.
    pub(super) failed: String,
    #[serde(skip)]
    pub(super) mark: Option<[String; 2]>,
    pub(super) title: String,
    pub(super) boat: String,
    pub(super) dives: bool,
    memory: String,
    pub(super) memory_words: String,
    reference: String,
    revision: String,
    date: String,
    pub(super) workshop: String,
    pub(super) contact: String,
    pub(super) frequency: String,
    pub(super) transmitter: String,
    pub(super) depth: String,
    /// The steps, each with its number.
    pub(super) emergency: Vec<[String; 2]>,
    /// The builder's own words for it.
    pub(super) emergency_own: Vec<String>,
    pub(super) within_reach: Vec<String>,
    pub(super) caution: String,
    pub(super) off_order: String,
    #[serde(skip)]
    steps: Vec<String>,
    #[serde(skip)]
    never_off: bool,
    pub(super) panel: Vec<Bank>,
    pub(super) times: Vec<Time>,
    pub(super) alarms: Vec<String>,
    /// Something on board acts on one of them.
    pub(super) alarmed: bool,
    pub(super) launch: Vec<String>,
    pub(super) lights: Vec<[String; 2]>,
    pub(super) switch_rows: Vec<Vec<Cell>>,
    pub(super) channels: Vec<words::Row>,
    pub(super) code: String,
    pub(super) code_for_qr: String,
    #[serde(skip)]
    imprints: Vec<String>,
}

impl Facts {
    pub(super) fn of(labels: &Labels, job: &Job<'_>, request: &Request) -> Self {
        let setup = job.setup;
        let (boat, set) = (&setup.boat, &setup.transmitter);
        let emergency = words::emergency(labels, job);
        let or_empty = |text: &Option<String>| text.clone().unwrap_or_default();
        let mark = mark::words(labels, job, request.draft);
        let brief = words::others_in_brief(labels, setup);
        let switches: Vec<_> =
            words::others(labels, setup).into_iter().filter(|other| !brief.contains(other)).collect();
        let frequency = set.frequency.as_ref().map_or_else(String::new, |f| words::frequency(labels, f));
        let (revision, code) = (or_empty(&boat.revision), job.code.to_string());
        Self {
            draft: request.draft,
            mark_word: mark.as_ref().map_or_else(String::new, |[title, _]| title.clone()),
            failed: words::failed(labels, job).filter(|_| request.draft).unwrap_or_default(),
            mark,
            title: labels.fill(text::card::Title { boat: &boat.name }),
            boat: boat.name.clone(),
            dives: setup.dives(),
            memory: or_empty(&set.memory),
            memory_words: set
                .memory
                .as_ref()
                .map_or_else(String::new, |memory| labels.fill(text::card::Memory { memory })),
            reference: or_empty(&boat.reference),
            date: or_empty(&boat.date),
            workshop: or_empty(&boat.workshop),
            contact: or_empty(&setup.owner.contact),
            transmitter: or_empty(&set.name),
            depth: words::one_depth(labels, request.units, job).unwrap_or_default(),
            emergency: emergency.steps.iter().map(|step| numbered(step)).collect(),
            panel: words::panel(labels, setup, &emergency.marks),
            emergency_own: emergency.own,
            within_reach: words::within_reach(labels, setup),
            caution: words::caution(labels, setup).unwrap_or_default(),
            off_order: words::off_order(labels, setup),
            steps: emergency.steps,
            never_off: words::never_off(labels, setup).is_some(),
            times: words::times(labels, setup),
            alarms: words::alarms_afloat(labels, setup),
            alarmed: setup.fail_safe.as_ref().is_some_and(|unit| unit.leak || unit.low_battery.is_some()),
            launch: words::launch(labels, setup),
            lights: words::lights(setup),
            switch_rows: words::rows(&switches),
            channels: words::channels(labels, setup),
            imprints: imprints(labels, job, &code),
            frequency,
            revision,
            code,
            code_for_qr: job.code.for_qr(),
        }
    }

    /// All that tells this card from another.
    pub(super) fn longest_imprint(&self) -> &str {
        self.imprints.first().map_or("", String::as_str)
    }

    /// The title, behind the mark of what did not pass.
    pub(super) fn marked_title(&self) -> String {
        marked(&self.mark_word, &self.title)
    }

    /// What no template may leave out.
    pub(super) fn must_say(&self) -> Vec<String> {
        let all = self.steps.iter().chain(&self.within_reach).chain([&self.caution]);
        all.chain(self.never_off.then_some(&self.off_order)).cloned().collect()
    }

    /// Name, memory, depth and frequency in one line that breaks only between them.
    pub(super) fn name_line(&self, small: bool) -> String {
        let frequency = if small { "" } else { &self.frequency };
        let all = [&self.boat, &self.memory_words, &self.depth, frequency].map(str::to_owned);
        // A name too long for a line may break.
        const WHOLE: usize = 30;
        let fixed = |text: String| {
            if text.chars().count() <= WHOLE { text.replace(' ', &FIXED.to_string()) } else { text }
        };
        all.into_iter().filter(|text| !text.is_empty()).map(fixed).collect::<Vec<_>>().join(DOT)
    }

    /// The most of the imprint that finds room, with the number of the page behind it.
    pub(super) fn imprint(&self, room: f64, foot: f64) -> &str {
        let fits = |imprint: &&String| wide(&format!("{imprint}{DOT}2/2"), foot, Weight::Bold) <= room;
        self.imprints.iter().find(fits).unwrap_or(&self.code)
    }
}

fn marked(mark: &str, title: &str) -> String {
    if mark.is_empty() { title.to_owned() } else { format!("{mark} \u{2013} {title}") }
}

/// How wide a text is; one that cannot be printed is told where it is drawn.
pub(super) fn wide(text: &str, points: f64, weight: Weight) -> f64 {
    font::width(text, points, weight).unwrap_or(0.0)
}

/// A step as its number and its words.
fn numbered(step: &str) -> [String; 2] {
    match step.split_once(FIXED) {
        Some((number, words)) if number.chars().all(|c| c.is_ascii_digit()) => {
            [number.to_owned(), words.to_owned()]
        }
        _ => [String::new(), step.to_owned()],
    }
}

/// What tells this card from another, the longest first.
fn imprints(labels: &Labels, job: &Job<'_>, code: &str) -> Vec<String> {
    let boat = &job.setup.boat;
    let revision = boat.revision.as_ref().map(|r| labels.fill(common::Revision { revision: r }));
    let parts = [Some(boat.name.clone()), boat.reference.clone(), revision, boat.date.clone()];
    let joined = |from: usize| {
        let parts = parts[from..].iter().flatten().cloned();
        parts.chain([code.to_owned()]).collect::<Vec<_>>().join(DOT)
    };
    (0..=parts.len()).map(joined).collect()
}
