//! A zone in the middle of the stick's travel is over before a hand can stop in it.

use super::engine::Engine;
use super::say::{self, Draft};
use crate::finding::{Gap, Severity, StateId, Subject};
use crate::question::{Asks, Detail, Question};
use crate::setup::{ControlKind, Exact, Input, Side};

pub(super) const NAME: &str = "zone-too-narrow";

/// The least part of the way from rest to the end in which a hand can stop. Common practice, no source.
const LEAST: i64 = 10;

/// Once for each wanted work with another wanted work of the same servo beyond it on the same way.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    for (channel, c) in setup.channels.iter().enumerate() {
        let Some(own) = c.control else { continue };
        // Only a hand that can stop anywhere has a zone to find.
        if matches!(setup.controls[own].kind, ControlKind::Buttons | ControlKind::Switch) {
            continue;
        }
        for side in Side::BOTH {
            for want in &c.wants[side.index()] {
                let (function, w) = (want.work, setup.work(want.work));
                if !engine.wants_to_know(Subject::FunctionByWay(function, channel, side)) {
                    continue;
                }
                let beyond = c.wants[side.index()]
                    .iter()
                    .map(|other| other.work)
                    .filter(|other| other.device == function.device && *other != function)
                    .filter(|other| {
                        let o = setup.work(*other);
                        o.sign == w.sign && o.from.value.abs() > w.from.value.abs()
                    })
                    .min_by_key(|other| setup.work(*other).from.value.abs());
                let (Some(next), Input::Channel(_)) = (beyond, setup.devices[function.device].input) else {
                    continue;
                };
                let asks = Asks::Narrow {
                    channel,
                    side,
                    function,
                    next,
                    needs: want.needs.clone(),
                    least: Exact::percent(LEAST),
                };
                // Where the second work is out of reach the first has all the rest of the way.
                let Detail::Width(width) = engine.answer(&asks).detail else { continue };
                let (name, other) = (setup.work_name(function), setup.work_name(next));
                let way = &setup.controls[own].ways[side.index()];
                let told = say::percent(&width);
                questions.push(
                    Draft::new(NAME, Severity::Warning, Subject::FunctionByWay(function, channel, side), StateId::Piloting)
                        .at(say::work_path(setup, function), format!("{told} of the stick lie between this"))
                        .and_at(say::work_path(setup, next), "and this")
                        .and_at(say::channel_path(setup, channel), "rate, expo and endpoint decide how wide that is")
                        .place("way", Subject::Way(channel, side))
                        .place("other", Subject::Function(next))
                        .gap("width", Gap::Percent(width))
                        .help("take out rate and expo above 0 % here, move the two works apart on the horn, or use a switch with three settings")
                        .asks(
                            asks,
                            format!("{way} goes from {name} to {other} within {told} of the stick: no hand stops there"),
                            format!("{way} leaves {told} of the stick for {name} alone"),
                        ),
                );
            }
        }
    }
}
