//! A way held fully does not surely engage what it is there for.

use super::engine::Engine;
use super::say::{self, Draft};
use crate::finding::{BROKEN, Severity, StateId, Subject};
use crate::question::{Asks, Question};
use crate::setup::Side;

pub(super) const NAME: &str = "wanted-not-reached";

/// Once for each way of a channel and each work it wants.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    for channel in 0..setup.channels.len() {
        let Some(own) = setup.channels[channel].control else { continue };
        for side in Side::BOTH {
            for want in &setup.channels[channel].wants[side.index()] {
                let function = want.work;
                let w = setup.work(function);
                let over =
                    engine.everything.clone().with_position(own, side.position()).with_settings(&want.needs);
                let name = setup.work_name(function);
                let way = &setup.controls[own].ways[side.index()];
                let (sentence, what, threshold) = match &w.full {
                    Some(full) => ("not_fully", "fully engaged", full),
                    None => (BROKEN, "engaged", &w.from),
                };
                let key = match (&w.full, w.from_clicks()) {
                    (Some(_), _) => "full",
                    (None, true) => "clicks",
                    (None, false) => "from",
                };
                let subject = Subject::FunctionByWay(function, channel, side);
                questions.push(
                    Draft::new(NAME, Severity::Error, subject, StateId::Piloting)
                        .sentence(sentence)
                        .place("way", Subject::Way(channel, side))
                        .at(
                            say::endpoint_path(setup, channel, side),
                            format!("{way} held fully does not surely reach {name}"),
                        )
                        .and_at(
                            say::work_path(setup, function).then(key),
                            format!(
                                "surely {what} only from {}",
                                say::signed_percent(&threshold.farthest(w.sign))
                            ),
                        )
                        .asks(
                            Asks::Misses {
                                function,
                                place: engine.piloting(function.device),
                                over,
                                fully: true,
                            },
                            format!("{way} held fully may leave {name}, the {}, not {what}", w.kind.called()),
                            format!("{way} held fully has {name} surely {what}"),
                        )
                        .cured_by(Some((channel, side))),
                );
            }
        }
    }
}
