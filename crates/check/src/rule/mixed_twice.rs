//! The set mixes a control in, and a module behind the receiver does so again.

use super::engine::Engine;
use super::say::{self, Draft};
use crate::finding::{Severity, StateId, Subject};
use crate::proof::cases::Influence;
use crate::question::Question;
use crate::setup::{Input, Path};

pub(super) const NAME: &str = "mixed-twice";

/// Once for each control that a module mixes in.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    for (id, device) in setup.devices.iter().enumerate() {
        let Input::Channel(channel) = device.input else { continue };
        for &control in &device.facts.module_mixes {
            // Through a module each channel is to carry one control; whatever else brings this one
            // onto the channel was mixed in the set.
            let twice = Influence::on(setup, channel).controls.contains(&control);
            let subject = Subject::MixedByModule(id, control);
            let control = &setup.controls[control].name;
            let title = setup.channel_title(channel);
            questions.push(
                Draft::new(NAME, Severity::Error, subject, StateId::Piloting)
                    .at(
                        Path::of(["devices", &device.name, "module_mixes"]),
                        format!("the module mixes {control} in"),
                    )
                    .and_at(say::channel_path(setup, channel), format!("{title} carries {control} already"))
                    .name("control", control)
                    .name("device", &device.name)
                    .help("take the mix out of the set, or plug the servos straight into the receiver; one of the two does the mixing")
                    .fact(
                        twice,
                        format!("{control} reaches {} twice: mixed in the set and by the module", device.name),
                        format!("{control} is mixed into {} by the module alone", device.name),
                    ),
            );
        }
    }
}
