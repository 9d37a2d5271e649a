//! The page for the day when something is wrong.

use super::known::Known;
use super::page::{Chapter, Part, Section};
use crate::labels::text::guide::emergency;
use crate::words;

pub(super) fn chapter(known: &Known<'_>) -> Chapter {
    let dives = known.dives();
    let words::Emergency { failed, steps, off, own, .. } = known.emergency.clone();
    let mut loud: Vec<Part> = failed.into_iter().chain(steps).map(Part::loud).collect();
    loud.extend(own.into_iter().map(Part::bold));
    loud.extend(words::within_reach(known.labels, known.setup).into_iter().map(Part::bold));
    let own_words = !loud.is_empty();
    if !own_words {
        loud.push(Part::loud(known.say(emergency::OFF_SURFACE)));
    }
    let mut nothing = Vec::new();
    if dives {
        nothing.extend([known.say(emergency::NEARER), known.say(emergency::MARK)]);
        // Once is enough to be told to switch it off.
        if !off {
            nothing.push(known.say(if known.comes_up_alone() { emergency::OFF } else { emergency::NO_USE }));
        }
        if known.comes_up_alone() {
            nothing.extend(known.until_done().map(|time| known.fill(emergency::Wait { time: &time })));
            nothing.extend(known.nobody_knows_when_done().then(|| known.say(emergency::WAIT_UNKNOWN)));
        }
        nothing.push(known.say(emergency::TANGLED));
    } else {
        nothing.push(known.say(emergency::NEARER));
        if own_words && !off {
            nothing.push(known.say(emergency::OFF_SURFACE));
        }
    }
    nothing.push(known.say(emergency::FETCH));
    if !known.gas().is_empty() {
        nothing.push(known.say(emergency::AFTER_GAS));
    }
    Chapter::new(
        known.say(emergency::TITLE),
        [
            Section::plain([Part::words(known.say(emergency::INTRO))]),
            Section::new(known.say(if dives { emergency::DIVE } else { emergency::OTHER }), loud).framed(),
            Section::plain(known.tried.map(|tried| match tried.good {
                true => Part::words(tried.words.clone()),
                false => Part::bold(tried.words.clone()),
            })),
            Section::new(known.say(emergency::NOTHING), [Part::steps(nothing)]),
            Section::signal("warning", known.say(emergency::WADE)),
        ],
    )
}
