//! With the link lost a preset or a stage holds the planes at dive.

use super::after_loss::{self, Held, held, set_by};
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
        let setup = engine.setup;
        // A piston that empties one end of her lifts her there: it is no plane.
        if after_loss::set_to(setup, state, id, &["empties"]).is_some() {
            continue;
        }
        let device = &setup.devices[id];
        questions.push(
            Draft::new(NAME, Severity::Warning, Subject::Device(id), state.id)
                .at(set_by(state), format!("sets {} to {} of dive", device.name, say::percent(&at)))
                .help("set the planes level or to a gentle rise; after any change of reverse store the preset anew")
                .fact(
                    at > Exact::percent(LEVEL),
                    format!("{} is held at dive {}", device.name, state.id.clause(setup)),
                    format!("{} is as good as level {}", device.name, state.id.clause(setup)),
                ),
        );
    }
}
