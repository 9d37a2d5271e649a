//! Positions in percent, and nothing that says of which pulse.

use super::engine::Engine;
use super::say::Draft;
use crate::finding::{Severity, StateId, Subject};
use crate::question::Question;
use crate::setup::{Axis, Path, Setup};

pub(super) const NAME: &str = "percent-without-axis";

/// Once for a boat of which a device, a preset or the unit has a figure that hangs on the axis.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let Setup { axis, on_axis, .. } = engine.setup;
    let Some(first) = &on_axis.first else { return };
    let pulse = Path::of(["transmitter", "pulse"]);
    let draft = Draft::new(NAME, Severity::Warning, Subject::Boat, StateId::Piloting);
    let draft = match on_axis.said {
        true => draft.at(Path::of(["axis"]), "what percent is percent of"),
        false => draft
            .at(first.clone(), "percent of which pulse?")
            .and_at(pulse, "taken to be of this one, as long as it is the set in the file"),
    };
    questions.push(
        draft
            .help(format!(
                "if every position was read on this set write `axis: {}` beside `transmitter`; else the pulses of \
                 the set it was read on",
                written(axis)
            ))
            .fact(
                !on_axis.said,
                "positions are in percent, and the file does not say on which axis they were read: on another \
                 set each would mean another pulse",
                "the file says on which axis positions in percent were read",
            ),
    );
}

/// `{rest: 1500 us, full: [1100 us, 1900 us]}`
fn written(axis: &Axis) -> String {
    let [rest, shorter, longer] = [&axis.rest, &axis.shorter, &axis.longer].map(|us| us.0.to_decimal(9));
    format!("{{rest: {rest} us, full: [{shorter} us, {longer} us]}}")
}
