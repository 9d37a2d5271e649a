//! What a hand does, in one phrase.

use super::{Labels, plain, work_phrase};
use crate::setup::facts::Signal;
use crate::setup::{Control, ControlId, Setup, Side, WorkRef};

/// What the hand does: `“blow” (left stick, right)`, or for a switch `“blow” (rear left)`.
pub(in crate::document) fn act(labels: &Labels, setup: &Setup, (id, side): (ControlId, Side)) -> String {
    let control = &setup.controls[id];
    let way = plain(&control.ways[side.index()]);
    let place = control_place(labels, control);
    if !control.settings.is_empty() {
        return match &place {
            Some(place) => labels.fill("common.act_switch", &[("way", way.as_str()), ("place", place)]),
            None => labels.fill("common.act_bare", &[("way", &way)]),
        };
    }
    let hand = labels.get(&format!("common.hands.{}", control.line.words()[side.index()]));
    match &place {
        Some(place) => labels.fill("common.act", &[("way", way.as_str()), ("place", place), ("hand", hand)]),
        None => labels.fill("common.act_here", &[("way", way.as_str()), ("hand", hand)]),
    }
}

/// Where a control sits, in the reader's language where it is a usual place.
pub(in crate::document) fn control_place(labels: &Labels, control: &Control) -> Option<String> {
    let at = control.at.as_deref()?;
    Some(labels.find(&format!("common.places.{at}")).unwrap_or(at).to_owned())
}

/// The way a hand makes her lighter, the daily one before the emergency's, and what it works.
fn raising(setup: &Setup) -> Option<(ControlId, Side, Vec<WorkRef>)> {
    let ways = setup.channels.iter().filter_map(|c| c.control.map(|id| (c, id)));
    let ways = ways.flat_map(|(c, id)| Side::BOTH.map(|side| (id, side, &c.wants[side.index()])));
    let raising = ways.filter_map(|(id, side, wants)| {
        let works: Vec<WorkRef> =
            wants.iter().map(|want| want.work).filter(|w| setup.work(*w).kind.raises()).collect();
        (!works.is_empty()).then_some((id, side, works))
    });
    let emergency = |works: &[WorkRef]| works.iter().any(|w| setup.work(*w).kind.emergency);
    raising.min_by_key(|(_, _, works)| emergency(works))
}

/// How a hand makes her lighter: `Hold “blow” (left stick, right): switches on pump.`
pub(super) fn raised_by_hand(labels: &Labels, setup: &Setup) -> Option<String> {
    let (id, side, works) = raising(setup)?;
    let held = setup.controls[id].springs_back
        && works.iter().all(|w| setup.work(*w).facts.signal != Some(Signal::Momentary));
    let key = if held { "common.emergency.hold" } else { "common.emergency.give" };
    let does = super::listed(works.iter().map(|w| work_phrase(labels, setup, *w)));
    Some(labels.fill(key, &[("act", &act(labels, setup, (id, side))), ("works", &does)]))
}

/// The owner's own words for an emergency, with the place behind the way that makes her lighter where they
/// name it without one: who is in a hurry does not look it up on the back.
pub(super) fn with_its_place(labels: &Labels, setup: &Setup, lines: &[String]) -> Vec<String> {
    let mut lines = lines.to_vec();
    let Some((id, side, _)) = raising(setup) else { return lines };
    let control = &setup.controls[id];
    let (way, Some(place)) = (plain(&control.ways[side.index()]), control_place(labels, control)) else {
        return lines;
    };
    if lines.iter().any(|line| line.contains(&place)) {
        return lines;
    }
    let hand = labels.get(&format!("common.hands.{}", control.line.words()[side.index()]));
    let hand = if control.settings.is_empty() { hand } else { "" };
    for line in &mut lines {
        if let Some(end) = end_of_word(line, &way) {
            let where_it_is = super::listed([place, hand.to_owned()]);
            line.insert_str(end, &format!(" ({where_it_is})"));
            break;
        }
    }
    lines
}

/// Where a word ends that stands by itself in a text.
fn end_of_word(text: &str, word: &str) -> Option<usize> {
    let starts = text.match_indices(word).map(|(at, _)| at);
    let mut alone = starts.map(|at| (at, at + word.len())).filter(|(start, end)| {
        !text[..*start].ends_with(char::is_alphanumeric) && !text[*end..].starts_with(char::is_alphanumeric)
    });
    alone.next().map(|(_, end)| end)
}
