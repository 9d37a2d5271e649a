//! What noise on a lost link comes through to: a unit that holds its channels keeps it off until it acts.

use super::{channel_name, listed, plain};
use crate::labels::Labels;
use crate::setup::{ChannelId, Setup};

/// The channels with something on them that noise reaches.
pub(crate) enum Noise {
    /// None of them.
    Nothing,
    /// Every one.
    Everything,
    /// Some, by their names.
    Some(String),
}

/// Noise on a lost link, as the page has to tell it.
pub(crate) fn noise(labels: &Labels, setup: &Setup) -> Noise {
    let used = (0..setup.channels.len()).filter(|channel| setup.devices_on(*channel).next().is_some());
    let (reached, kept): (Vec<ChannelId>, Vec<ChannelId>) = used.partition(|id| setup.noise_reaches(*id));
    match (reached.is_empty(), kept.is_empty()) {
        (true, _) => Noise::Nothing,
        (false, true) => Noise::Everything,
        (false, false) => {
            let names = reached.iter().map(|id| plain(&channel_name(labels, &setup.channels[*id])));
            Noise::Some(listed(names))
        }
    }
}
