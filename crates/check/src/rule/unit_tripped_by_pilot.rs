//! The pilot can trip the unit by moving a stick.

use super::engine::Engine;
use super::say::{self, Draft};
use crate::finding::{Severity, StateId, Subject};
use crate::question::{Asks, Question};
use crate::setup::{Notices, Path};

pub(super) const NAME: &str = "unit-tripped-by-pilot";

/// Once, if the unit watches a channel.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    let Some(Notices::Channel { channel, beyond }) = setup.fail_safe.as_ref().map(|u| &u.notices) else {
        return;
    };
    let side = say::way_towards(setup, *channel, beyond.value.signum());
    let title = setup.channel_title(*channel);
    questions.push(
        Draft::new(NAME, Severity::Error, Subject::Unit, StateId::Piloting)
            .place("channel", Subject::Channel(*channel))
            .at(
                say::endpoint_path(setup, *channel, side),
                "piloting can take the watched channel past the unit's threshold",
            )
            .and_at(Path::of(["fail_safe", "notices"]), format!("it acts beyond {}", say::toleranced(beyond)))
            .help("lower this endpoint, or watch for a preset farther out")
            .asks(
                Asks::Trips { channel: *channel, over: engine.everything.clone(), beyond: beyond.clone() },
                format!("the pilot can trip the fail-safe unit on {title}"),
                format!("the pilot never trips the fail-safe unit on {title}"),
            )
            .cured_by(Some((*channel, side))),
    );
}
