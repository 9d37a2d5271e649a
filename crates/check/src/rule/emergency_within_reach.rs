//! The emergency gas valve, or any other reserved work, within the pilot's reach.

use super::engine::Engine;
use super::say::{self, Draft};
use crate::finding::{Severity, StateId, Subject};
use crate::question::{Asks, Question};
use crate::setup::Input;

pub(super) const NAME: &str = "emergency-within-reach";

/// Once for each reserved work.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    for (function, w) in engine.works() {
        let over = match setup.guard(function) {
            Some((switch, setting)) => engine.everything.clone().without_setting(switch, setting),
            None if w.is_reserved() => engine.everything.clone(),
            None => continue,
        };
        let name = setup.work_name(function);
        let draft = Draft::new(NAME, Severity::Error, Subject::Function(function), StateId::Piloting);
        let edge = format!("it may {} from {}", w.kind.verb, say::signed_percent(&w.from.nearest(w.sign)));
        let (draft, way) = if let Input::Channel(channel) = setup.devices[function.device].input {
            let side = say::way_towards(setup, channel, w.sign);
            let draft = draft
                .at(
                    say::endpoint_path(setup, channel, side),
                    format!("this lets {} reach the {}", setup.channel_title(channel), w.kind.called()),
                )
                .and_at(say::threshold_path(setup, function), edge);
            (draft, Some((channel, side)))
        } else {
            (draft.at(say::threshold_path(setup, function), edge), None)
        };
        let place = engine.piloting(function.device);
        questions.push(
            draft
                .asks(
                    Asks::Engages { function, place, over },
                    format!("piloting can reach {name}, the {}", w.kind.called()),
                    format!("piloting never reaches {name}, the {}", w.kind.called()),
                )
                .cured_by(way),
        );
    }
}
