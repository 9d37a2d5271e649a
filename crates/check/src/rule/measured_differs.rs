//! A measured pulse that no order of operations explains.

use super::engine::Engine;
use super::say::{self, Draft};
use crate::chain::{Order, held_fully};
use crate::finding::{Gap, Severity, StateId, Subject};
use crate::proof::cases::possible_orders;
use crate::question::Question;
use crate::setup::quantity::Micros;
use crate::setup::{ChannelId, Side};

pub(super) const NAME: &str = "measured-differs";

/// Once for each measured way.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    for (channel, c) in setup.channels.iter().enumerate() {
        for side in Side::BOTH {
            let Some(measured) = &c.measured[side.index()] else { continue };
            let differs = engine.differing.contains(&(channel, side));
            let mut computed: Vec<_> = Order::all(&setup.transmitter.order)
                .iter()
                .map(|o| setup.axis.pulse_at(&held_fully(setup, channel, side, o)).0)
                .collect();
            computed.sort();
            computed.dedup();
            let pulses = computed.iter().map(|p| Micros(p.clone())).collect();
            let computed: Vec<_> = computed.iter().map(|p| format!("{} us", p.to_decimal(1))).collect();
            let name = say::way_name(setup, channel, side);
            let way = c.control.map_or("", |own| setup.controls[own].ways[side.index()].as_str());
            let mut draft = Draft::new(NAME, Severity::Error, Subject::Way(channel, side), StateId::Piloting)
                    .at(
                        say::channel_path(setup, channel).then("measured").then(way),
                        format!("measured {} us; the settings give {}", measured.0.to_decimal(1), computed.join(" or ")),
                    )
                    .and_at(say::endpoint_path(setup, channel, side), "computed from this endpoint")
                    .gap("measured", Gap::Pulses(vec![measured.clone()]))
                    .gap("computed", Gap::Pulses(pulses))
                    .help("measure again with trims at nought and switches as they are when nobody has thrown them; else a setting in the file is not the one in the set, or another memory was selected")
                    ;
            if differs && exchanging_agrees(engine, channel) {
                draft = draft.help("with the two endpoints of this channel exchanged all its pulses agree: after a reversal they were not exchanged, in the set or in the file");
            }
            questions.push(draft.fact(
                differs,
                format!("the pulse measured for {name} is not what these settings give"),
                format!("the pulse measured for {name} agrees"),
            ));
        }
    }
}

/// Whether the endpoints sit on the wrong ways: exchanged, both measured pulses agree.
fn exchanging_agrees(engine: &Engine, channel: ChannelId) -> bool {
    let c = &engine.setup.channels[channel];
    // With one way measured, or equal endpoints, that would say nothing.
    if c.measured.iter().any(Option::is_none) || c.endpoints[0] == c.endpoints[1] {
        return false;
    }
    let mut exchanged = engine.setup.clone();
    exchanged.channels[channel].endpoints.reverse();
    let (_, differing) = possible_orders(&exchanged);
    !differing.iter().any(|(other, _)| *other == channel)
}
