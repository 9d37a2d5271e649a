//! With the link lost a preset or a stage holds the planes at dive.

use super::after_loss::{Held, held, set_by};
use super::engine::Engine;
use super::say::{self, Draft};
use crate::finding::{Severity, Subject};
use crate::question::Question;
use crate::setup::Exact;

pub(super) const NAME: &str = "planes-dive-on-loss";

/// What is taken for a horn that sits a little off, not for an intention. Common practice, no source.
const LEVEL: i64 = 10;

/// What presses the bow down going ahead.
pub(super) const DIVE: [&str; 2] = ["bow dips", "stern rises"];

/// Once for each state after a loss and each device that dips her bow there.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    for Held { state, device, at } in held(engine, &DIVE) {
        let id = device;
        let device = &engine.setup.devices[id];
        questions.push(
            Draft::new(NAME, Severity::Warning, Subject::Device(id), state.id)
                .at(set_by(state), format!("sets {} to {} of dive", device.name, say::percent(&at)))
                .help("set the planes level or to a gentle rise; after any change of reverse store the preset anew")
                .fact(
                    at > Exact::percent(LEVEL),
                    format!("{} is held at dive {}", device.name, state.id.clause(engine.setup)),
                    format!("{} is as good as level {}", device.name, state.id.clause(engine.setup)),
                ),
        );
    }
}
