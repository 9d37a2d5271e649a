//! The page for the day when something is wrong.

use super::known::Known;
use super::page::{Chapter, Part, Section};
use crate::labels::text::guide::emergency;
use crate::words;

pub(super) fn chapter(known: &Known<'_>) -> Chapter {
    let dives = known.dives();
    let words::Emergency { failed, steps, off, own, alone, .. } = known.emergency.clone();
    let mut loud: Vec<Part> = failed.into_iter().chain(steps).map(Part::loud).collect();
    loud.extend(own.into_iter().map(Part::bold));
    loud.extend(words::within_reach(known.labels, known.setup).into_iter().map(Part::bold));
    let own_words = !loud.is_empty();
    // Of a boat that failed her check nothing is said but what is printed as a step.
    let off_surface = || match alone || known.rests_alone() {
        true => known.say(emergency::OFF_SURFACE),
        false => known.say(emergency::NO_USE_SURFACE),
    };
    if !own_words {
        loud.push(Part::loud(off_surface()));
    }
    let mut nothing = Vec::new();
    if dives {
        nothing.extend([known.say(emergency::NEARER), known.say(emergency::MARK)]);
        // Once is enough to be told to switch it off.
        if !off && !known.failed() {
            nothing.push(known.say(if alone { emergency::OFF } else { emergency::NO_USE }));
        }
        if alone && !known.failed() {
            nothing.extend(known.until_done().map(|time| known.fill(emergency::Wait { time: &time })));
            nothing.extend(known.nobody_knows_when_done().then(|| known.say(emergency::WAIT_UNKNOWN)));
        }
        nothing.push(known.say(emergency::TANGLED));
    } else {
        nothing.push(known.say(emergency::NEARER));
        if own_words && !off && !known.failed() {
            nothing.push(off_surface());
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
