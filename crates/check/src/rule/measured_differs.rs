//! A measured pulse that no order of operations explains.

use super::engine::Engine;
use super::say::{self, Draft};
use crate::chain::{Order, held_fully};
use crate::finding::{Gap, Severity, StateId, Subject};
use crate::proof::cases::possible_orders;
use crate::question::Question;
use crate::setup::ChannelId;
use crate::setup::quantity::Micros;

pub(super) const NAME: &str = "measured-differs";

/// Once for each measured way.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    for (channel, c) in setup.channels.iter().enumerate() {
        for (at, of) in c.measured.iter().enumerate() {
            let (measured, side, is_own) = (&of.pulse, of.side, c.control == Some(of.control));
            let differs = engine.differing.contains(&(channel, at));
            let mut computed: Vec<_> = Order::all(&setup.transmitter.order)
                .iter()
                .map(|o| setup.axis.pulse_at(&held_fully(setup, channel, (of.control, side), o)).0)
                .collect();
            computed.sort();
            computed.dedup();
            let pulses = computed.iter().map(|p| Micros(p.clone())).collect();
            let computed: Vec<_> = computed.iter().map(|p| format!("{} us", p.to_decimal(1))).collect();
            let subject = match is_own {
                true => Subject::Way(channel, side),
                false => Subject::WayOf(channel, of.control, side),
            };
            let name = subject.name(setup);
            let from = match is_own {
                true => (say::endpoint_path(setup, channel, side), "computed from this endpoint"),
                false => (say::channel_path(setup, channel).then("mixes"), "computed from these amounts"),
            };
            let mut draft = Draft::new(NAME, Severity::Error, subject, StateId::Piloting)
                    .at(
                        say::channel_path(setup, channel).then("measured").then(&of.key),
                        format!("measured {} us; the settings give {}", measured.0.to_decimal(1), computed.join(" or ")),
                    )
                    .and_at(from.0, from.1)
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
    let own = c.measured.iter().filter(|of| c.control == Some(of.control)).count();
    if own < 2 || c.endpoints[0] == c.endpoints[1] {
        return false;
    }
    let mut exchanged = engine.setup.clone();
    exchanged.channels[channel].endpoints.reverse();
    let (_, differing) = possible_orders(&exchanged);
    !differing.iter().any(|(other, _)| *other == channel)
}
