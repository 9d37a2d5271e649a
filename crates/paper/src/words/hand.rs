//! What a hand does, in one phrase.

use super::{Labels, plain};
use crate::labels::text::common;
use crate::setup::{Control, ControlId, Setup, Side, Want};

/// What the hand does: `“blow” (left stick, right)`, or for a switch `“blow” (rear left)`.
pub(crate) fn act(labels: &Labels, setup: &Setup, (id, side): (ControlId, Side)) -> String {
    let control = &setup.controls[id];
    let way = plain(&control.ways[side.index()]);
    let place = control_place(labels, control);
    if !control.settings.is_empty() {
        return match &place {
            Some(place) => labels.fill(common::ActSwitch { way: way.as_str(), place }),
            None => labels.fill(common::ActBare { way: &way }),
        };
    }
    let hand = labels.word(common::HANDS, control.line.words()[side.index()]);
    match &place {
        Some(place) => labels.fill(common::Act { way: way.as_str(), place, hand }),
        None => labels.fill(common::ActHere { way: way.as_str(), hand }),
    }
}

/// Where a control sits, in the reader's language where it is a usual place.
pub(crate) fn control_place(labels: &Labels, control: &Control) -> Option<String> {
    let at = control.at.as_deref()?;
    Some(labels.word(common::PLACES, at).to_owned())
}

/// The way a hand makes her lighter, the daily one before the emergency's, and what of that it wants.
fn raising(setup: &Setup) -> Option<(ControlId, Side, Vec<&Want>)> {
    let ways = setup.channels.iter().filter_map(|c| c.control.map(|id| (c, id)));
    let ways = ways.flat_map(|(c, id)| Side::BOTH.map(|side| (id, side, &c.wants[side.index()])));
    let raising = ways.filter_map(|(id, side, wants)| {
        let wants: Vec<&Want> = wants.iter().filter(|want| setup.work(want.work).kind.raises()).collect();
        (!wants.is_empty()).then_some((id, side, wants))
    });
    let emergency = |wants: &[&Want]| wants.iter().any(|want| setup.work(want.work).kind.emergency);
    raising.min_by_key(|(_, _, wants)| emergency(wants))
}

/// The owner's own words for an emergency, with the place of the way that makes her lighter behind the line
/// that names it, where none does: who is in a hurry does not look it up on the back.
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
    if let Some(line) = lines.iter_mut().find(|line| names(line, &way)) {
        let hand = labels.word(common::HANDS, control.line.words()[side.index()]);
        let hand = if control.settings.is_empty() { hand } else { "" };
        line.push_str(&format!(" ({way}: {})", super::listed([place, hand.to_owned()])));
    }
    lines
}

/// Whether a word stands by itself in a text, capital or not.
fn names(text: &str, word: &str) -> bool {
    let (text, word) = (&text.to_lowercase(), &word.to_lowercase());
    text.match_indices(word.as_str()).any(|(start, _)| {
        let (before, behind) = (&text[..start], &text[start + word.len()..]);
        !before.ends_with(char::is_alphanumeric) && !behind.starts_with(char::is_alphanumeric)
    })
}
