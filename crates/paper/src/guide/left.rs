//! What the owner has yet to do before she is as the papers say: the first page, with a halt after each step.

use super::known::Known;
use super::page::{Chapter, Part, Section};
use crate::labels::text::guide::left;
use crate::words::plain;

pub(super) fn chapter(known: &Known<'_>) -> Option<Chapter> {
    let steps = &known.setup.owner.left_to_owner;
    if steps.is_empty() && known.provisional == 0 {
        return None;
    }
    let open = (known.provisional > 0).then(|| {
        let count = known.provisional.to_string();
        Section::signal("warning", known.fill(left::NotJudged { count: &count }))
    });
    let halted = steps.iter().enumerate().map(|(n, step)| {
        let number = (n + 1).to_string();
        let step = known.fill(left::Step { number: &number, step: &plain(step) });
        Section::plain([Part::bold(step), Part::ticks([known.fill(left::Halt { number: &number })])]).whole()
    });
    let intro = (!steps.is_empty()).then(|| Section::plain([Part::words(known.say(left::INTRO))]));
    Some(Chapter::new(known.say(left::TITLE), open.into_iter().chain(intro).chain(halted)))
}
