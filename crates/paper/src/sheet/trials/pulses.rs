//! The pulses that a test reads, worked out from the file, and the bands in which a meter may show them.

use super::read::{At, Pulse, Reads};
use crate::chain::Inputs;
use crate::labels::text::sheet::tests;
use crate::setup::ChannelId;
use crate::sheet::say::Say;

/// The pulse of a channel with the hands there.
pub(super) fn pulse(say: &Say<'_>, channel: ChannelId, inputs: &Inputs, name: &str, at: At) -> Pulse {
    Pulse {
        name: format!("{}/{name}", say.setup.channels[channel].number),
        channel,
        output: say.outputs(channel, inputs),
        off: say.setup.transmitter.pulse.accuracy.0.clone(),
        at,
        hands: Some(inputs.clone()),
    }
}

pub(super) fn pulses(say: &Say<'_>, channels: &[ChannelId], inputs: &Inputs, name: &str) -> Reads {
    Reads::Pulses(channels.iter().map(|c| pulse(say, *c, inputs, name, At::Held)).collect())
}

pub(super) fn band(say: &Say<'_>, channel: ChannelId, inputs: &Inputs) -> String {
    say.band(&say.outputs(channel, inputs), &say.setup.transmitter.pulse.accuracy.0)
}

pub(super) fn on_channel(say: &Say<'_>, channel: ChannelId, pulse: &str) -> String {
    say.fill(tests::OnChannel { channel: &say.channel(channel), pulse })
}

/// One line for each channel.
pub(super) fn bands(say: &Say<'_>, channels: &[ChannelId], inputs: &Inputs) -> String {
    let each = channels.iter().map(|c| on_channel(say, *c, &band(say, *c, inputs)));
    each.collect::<Vec<_>>().join("\n")
}
