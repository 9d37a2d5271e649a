//! Going astern every correction of a levelling unit is the wrong one.

use super::engine::Engine;
use super::say::Draft;
use crate::finding::{Severity, StateId, Subject};
use crate::question::Question;
use crate::setup::{Input, Path};

pub(super) const NAME: &str = "levelling-astern";

/// Once for each leveller of which the file says what it corrects, in a boat that can go astern.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    let astern = |control: &&crate::setup::Control| {
        control.wants.iter().flatten().any(|&effect| setup.effect_words(effect) == "drives astern")
    };
    let Some(control) = setup.controls.iter().find(astern) else { return };
    for (front, unit) in setup.devices.iter().enumerate().filter(|(_, d)| d.facts.bow_high.is_some()) {
        if !setup.devices.iter().any(|d| d.input == Input::Behind(front)) {
            continue;
        }
        questions.push(
            Draft::new(NAME, Severity::Warning, Subject::Device(front), StateId::Piloting)
                .at(Path::of(["devices", &unit.name, "corrects"]), "right going ahead, wrong going astern")
                .and_at(Path::of(["controls", &control.name, "wants"]), "she can go astern")
                .help("let the unit be switched off by the throttle or by hand while she goes astern, and write `astern: off` under it")
                .fact(
                    !unit.facts.off_astern,
                    format!("{} goes on correcting while she goes astern, and makes every tilt worse", unit.name),
                    format!("{} leaves the planes alone while she goes astern", unit.name),
                ),
        );
    }
}
