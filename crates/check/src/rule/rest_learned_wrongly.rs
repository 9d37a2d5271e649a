//! A speed controller takes for its rest whatever it hears first.

use super::engine::Engine;
use super::say::Draft;
use crate::finding::{Severity, StateId, Subject};
use crate::proof::cases::Influence;
use crate::question::{Asks, Question};
use crate::setup::{Input, Path};

pub(super) const NAME: &str = "rest-learned-wrongly";

/// Once for each speed controller that learns its rest at power-up.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    for (id, device) in setup.devices.iter().enumerate().filter(|(_, d)| d.facts.learns_rest) {
        let Input::Channel(channel) = device.input else { continue };
        // Whatever moves the channel counts, by itself or mixed in; what stays where it was left first.
        let moved = Influence::on(setup, channel).controls;
        let stays = moved.iter().find(|&&control| !setup.controls[control].springs_back);
        let Some(&named) = stays.or_else(|| moved.iter().next()) else { continue };
        let control = &setup.controls[named];
        let over = engine.everything.clone().with_trims_at_nought().with_springing_at_rest(setup);
        questions.push(
            Draft::new(NAME, Severity::Warning, Subject::Device(id), StateId::PowerUp)
                .at(Path::of(["devices", &device.name, "learns_rest"]), "the first pulse counts as rest")
                .and_at(Path::of(["controls", &control.name]), "stays where it was left")
                .name("control", &control.name)
                .help("use a control that springs to its middle, or a controller whose rest is taught once and stays; else put the check of this control on the lid card")
                .asks(
                    Asks::Varies { channel, over },
                    format!("{} learns its rest from {}, wherever that was left", device.name, control.name),
                    format!("{} learns its rest from {}, which springs to the middle", device.name, control.name),
                ),
        );
    }
}
