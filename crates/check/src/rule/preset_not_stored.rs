//! A preset is named for an output of the receiver that cannot store one.

use super::engine::Engine;
use super::say::Draft;
use crate::finding::{Severity, StateId, Subject};
use crate::question::Question;
use crate::setup::{OnLoss, Path};

pub(super) const NAME: &str = "preset-not-stored";

/// Once for each preset, where the file says which outputs can have one.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    let OnLoss::Preset { values, .. } = &setup.receiver.on_loss else { return };
    let Some(able) = &setup.receiver.presets.outputs else { return };
    for (channel, _) in values {
        let number = setup.channels[*channel].number.to_string();
        let title = setup.channel_title(*channel);
        questions.push(
            Draft::new(NAME, Severity::Error, Subject::Channel(*channel), StateId::Waiting)
                .at(Path::of(["receiver", "on_loss", &number]), "nothing is stored for this output")
                .and_at(Path::of(["receiver", "presets"]), "only these can store a preset")
                .help("move the device to an output that can store one, use a receiver that stores all, or put a fail-safe unit in front of it")
                .fact(
                    !able.contains(&u32::from(setup.channels[*channel].number)),
                    format!("the receiver cannot store a preset for {title}"),
                    format!("the receiver can store a preset for {title}"),
                ),
        );
    }
}
