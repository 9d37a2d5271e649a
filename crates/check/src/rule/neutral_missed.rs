//! At rest a speed controller creeps or a leveller is overridden.

use super::engine::Engine;
use super::motor_runs_on_loss::band;
use super::say::{self, Draft};
use crate::finding::{Severity, StateId, Subject};
use crate::question::{Asks, Question};
use crate::setup::{Exact, Input, Path};

pub(super) const NAME: &str = "neutral-missed";

/// Once for each device with a band around rest.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    for (id, device) in setup.devices.iter().enumerate() {
        let (Some(still), Input::Channel(channel)) = (&device.still_between, device.input) else { continue };
        // The stop of a one-way controller is not at rest; it has a rule of its own.
        if device.facts.one_way {
            continue;
        }
        let mut over = engine.everything.clone().with_all_at_rest(setup);
        if let Some(own) = setup.channels[channel].control {
            over = over.with_position(own, Exact::ZERO);
        }
        questions.push(
            Draft::new(NAME, Severity::Warning, Subject::Device(id), StateId::Piloting)
                .at(
                    Path::of(["devices", &device.name, "still_between"]),
                    format!("at rest the output may lie outside {}", band(device)),
                )
                .and_at(say::channel_path(setup, channel), "trim and sub-trim of this channel count")
                .help("lock the trim of this control, set the sub-trim so that rest lies in the middle of the band, or teach the device its rest anew")
                .asks(
                    Asks::Leaves { device: id, place: engine.piloting(id), over, band: still.clone() },
                    format!("with all controls at rest {} may not be still", device.name),
                    format!("with all controls at rest {} is still", device.name),
                ),
        );
    }
}
