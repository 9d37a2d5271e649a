//! Which `reverse` lines to flip so that every way does what it wants, all at once.

use super::engine::Engine;
use super::sense_reversed::senses;
use crate::question::Asks;
use crate::question::asks::Moved;
use crate::setup::{ChannelId, Setup};
use std::collections::BTreeSet;

/// The channels to flip together; `None` when no set of them puts everything right.
///
/// A reverse acts behind the endpoint, after other channels have taken what they mix in, so it
/// changes the sense of its own channel and of no other. Each channel is therefore judged by itself,
/// and the answer is the smallest of all sets, as if every one had been tried.
pub(super) fn to_flip(engine: &Engine, broken: &[Moved]) -> Option<Vec<ChannelId>> {
    let channels: BTreeSet<ChannelId> = broken.iter().map(|way| way.channel).collect();
    let mut flipped: Setup = engine.setup.clone();
    for &channel in &channels {
        let of = &mut flipped.channels[channel];
        of.longer = of.longer.other();
        // They were taken before the flip.
        of.measured = [None, None];
    }
    let then = Engine::with_orders(&flipped, engine.orders.clone());
    let senses = senses(&flipped);
    let mut flipped_ways =
        senses.iter().map(|sense| sense.moved).filter(|way| channels.contains(&way.channel));
    let right = flipped_ways.all(|way| then.holds(&Asks::Moves { way, at_all: false }));
    right.then(|| channels.into_iter().collect())
}

/// The line of help.
pub(super) fn line(setup: &Setup, answer: Option<&[ChannelId]>) -> String {
    let Some(channels) = answer else {
        return "no set of reverses puts every way right at once: a linkage is the other way round, or an effect or a want in the file is".to_owned();
    };
    let numbers: Vec<String> = channels.iter().map(|&c| setup.channels[c].number.to_string()).collect();
    match numbers.as_slice() {
        [one] => format!("flip reverse on channel {one} alone: then every way does what it wants"),
        [most @ .., last] => {
            format!(
                "flip reverse on channels {} and {last} together: then every way does what it wants",
                most.join(", ")
            )
        }
        [] => String::new(),
    }
}
