//! What each control does, what stays and what springs back.

use super::known::Known;
use super::page::{Chapter, Part, Section};
use crate::labels::text::guide::controls;
use crate::setup::{ControlId, ControlKind, Reserved, WorkRef};
use crate::words::{FIXED, Way, gimbals, listed, others, plain};

pub(super) fn chapter(known: &Known<'_>) -> Chapter {
    use crate::labels::text::guide::before::head;
    let title = known.say(controls::TITLE);
    let sticks = !gimbals(known.labels, known.setup).is_empty();
    let intro = Section::plain([Part::words(known.say(controls::INTRO))]);
    let drawn = Section::plain(sticks.then(Part::sticks)).whole();
    let rest = Section::new(known.say(controls::OTHERS), [others_table(known)]);
    let words = [head::CONTROL, head::PLACE, head::WHEN].map(|text| known.say(text));
    let rows = (0..known.setup.controls.len()).map(|id| when_let_go(known, id)).collect();
    let let_go = [Part::table(words.to_vec(), rows)];
    let mut notes = Vec::new();
    if known.any_trim() {
        notes.push(known.say(controls::TRIMS));
    }
    if known.setup.channels.iter().any(|c| c.rate.iter().any(|rate| rate.switch.is_some())) {
        notes.push(known.say(controls::RATES));
    }
    notes.extend(guarded(known));
    let let_go = Section::new(known.say(controls::LET_GO), let_go);
    Chapter::new(title, [intro, drawn, rest, let_go, Section::plain([Part::points(notes)])])
}

/// Every control that is not drawn, a row for each way.
fn others_table(known: &Known<'_>) -> Part {
    let mut rows = Vec::new();
    for other in others(known.labels, known.setup) {
        let ways: Vec<Way> =
            other.ways.into_iter().filter(|w| !w.word.is_empty() || !w.does.is_empty()).collect();
        for (n, way) in ways.into_iter().enumerate() {
            let name = if n == 0 { together(&other.name) } else { String::new() };
            let place = if n == 0 { together(&other.place) } else { String::new() };
            let hand = if way.word.is_empty() { way.hand } else { listed([way.hand, way.word]) };
            rows.push(vec![name, place, hand, way.does]);
        }
    }
    Part::table(Vec::new(), rows)
}

/// Words of a short text do not part.
fn together(text: &str) -> String {
    const SHORT: usize = 16;
    if text.chars().count() <= SHORT { text.replace(' ', &FIXED.to_string()) } else { text.to_owned() }
}

fn when_let_go(known: &Known<'_>, id: ControlId) -> Vec<String> {
    let control = &known.setup.controls[id];
    let what = match (control.kind, control.springs_back, known.has_trim(id)) {
        (ControlKind::Buttons, true, _) => controls::SPRINGS_BUTTONS,
        (_, true, true) => controls::TRIM,
        (_, true, false) => controls::SPRINGS,
        (_, false, true) => controls::STAYS_TRIM,
        (_, false, false) => controls::STAYS,
    };
    vec![known.control_name(id), known.place(control).unwrap_or_default(), known.say(what)]
}

/// Works that answer only in one setting of a switch.
fn guarded(known: &Known<'_>) -> Vec<String> {
    let line = |work: WorkRef| {
        let Reserved::Unless(switch, setting) = known.setup.work(work).reserved else { return None };
        let setting = known.setup.controls[switch].settings.get(setting)?;
        let (work, switch) = (known.work_name(work), known.control_name(switch));
        Some(known.fill(controls::Guarded { work: &work, switch: &switch, setting: &plain(setting) }))
    };
    known.works_that(|_| true).into_iter().filter_map(line).collect()
}
