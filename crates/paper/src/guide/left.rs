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
        let before = known.fill(left::Before { number: &number });
        let signed = [left::DATE, left::INITIALS].map(|text| known.say(text));
        Section::plain([Part::hold([number, plain(step)], known.say(left::HALT), before, signed)]).whole()
    });
    let intro = known.say(if steps.is_empty() { left::UNMEASURED } else { left::INTRO });
    let intro = Section::plain([Part::words(intro)]);
    Some(Chapter::new(known.say(left::TITLE), [intro].into_iter().chain(open).chain(halted)))
}
