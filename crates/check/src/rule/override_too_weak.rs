//! The leveller's correction is as strong as the override that is to overrule it.

use super::engine::Engine;
use super::say::{self, Draft};
use crate::finding::{Severity, StateId, Subject};
use crate::question::{Asks, Question};
use crate::setup::{Input, Path, Side};

pub(super) const NAME: &str = "override-too-weak";

/// Once for each way that overrides a leveller, where the file says how much the unit corrects.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    for (id, device) in setup.devices.iter().enumerate() {
        let (Some(correction), Input::Channel(channel)) = (&device.facts.correction, device.input) else {
            continue;
        };
        if !device.overrides() {
            continue;
        }
        let over = engine.everything.clone().with_trims_at_nought().with_springing_at_rest(setup);
        for (control, towards) in engine.hands_on(channel) {
            for side in Side::BOTH {
                let sign = towards * side.sign();
                let way = &setup.controls[control].ways[side.index()];
                let draft = Draft::new(
                    NAME,
                    Severity::Warning,
                    Subject::WayOf(channel, control, side),
                    StateId::Piloting,
                );
                let path = match setup.channels[channel].control {
                    Some(own) if own == control => say::endpoint_path(setup, channel, side),
                    _ => say::channel_path(setup, channel).then("mixes"),
                };
                questions.push(
                    draft
                        .at(path, format!("all that {way} held fully can do"))
                        .and_at(
                            Path::of(["devices", &device.name, "correction"]),
                            format!("{} puts this against it", device.name),
                        )
                        .name("unit", &device.name)
                        .help("raise this endpoint above the correction, or lower the gain or the limit of the unit")
                        .asks(
                            Asks::FallsShort {
                                device: id,
                                place: engine.piloting(id),
                                over: over.clone().with_position(control, side.position()),
                                sign,
                                needed: correction.clone(),
                            },
                            format!("{way} held fully may be weaker than the correction of {}", device.name),
                            format!("{way} held fully overrules {}", device.name),
                        ),
                );
            }
        }
    }
}
