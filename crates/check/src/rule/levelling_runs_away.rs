//! A levelling unit moves the planes the way that makes the tilt worse.

use super::engine::Engine;
use super::say::Draft;
use crate::finding::{Severity, StateId, Subject};
use crate::question::Question;
use crate::setup::{Input, Path};

pub(super) const NAME: &str = "levelling-runs-away";

/// What brings a high bow down, and what lifts it further.
const RIGHT: [&str; 2] = ["bow dips", "stern rises"];
const WRONG: [&str; 2] = ["bow rises", "stern dips"];

/// Once for each device behind a leveller whose sense is known.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    for (id, device) in setup.devices.iter().enumerate() {
        let Input::Behind(front) = device.input else { continue };
        let unit = &setup.devices[front];
        let Some(side) = unit.facts.bow_high else { continue };
        let known = |words: &[&str; 2], index: usize| {
            let on_side = device.all_effects().filter(|(side, _)| *side == index);
            on_side.map(|(_, effect)| setup.effect_words(effect)).any(|word| words.contains(&word))
        };
        // One side is enough: the other does the opposite.
        let right = known(&RIGHT, side) || known(&WRONG, 1 - side);
        let wrong = known(&WRONG, side) || known(&RIGHT, 1 - side);
        if right == wrong {
            continue;
        }
        let pulse = ["shorter", "longer"][side];
        questions.push(
            Draft::new(NAME, Severity::Error, Subject::Device(id), StateId::Piloting)
                .at(
                    Path::of(["devices", &unit.name, "corrects", "bow high"]),
                    format!("with the bow high the pulse gets {pulse}"),
                )
                .and_at(Path::of(["devices", &device.name, "effects"]), "which lifts the bow further")
                .name("unit", &unit.name)
                .help("reverse the unit (its own reverse, not that of the set), tilt the boat by hand and look at the planes again")
                .help("going astern the water meets the planes from behind and every correction is the wrong one: hold the planes level or switch the unit off")
                .fact(
                    wrong,
                    format!("{} drives {} so that a tilt grows", unit.name, device.name),
                    format!("{} drives {} against a tilt, going ahead", unit.name, device.name),
                ),
        );
    }
}
