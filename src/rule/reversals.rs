//! Which `reverse` lines to flip so that every way does what it wants, all at once.

use super::context::Context;
use super::sense_reversed::{Sense, is_right, senses, worst};
use crate::setup::{ChannelId, Setup};
use std::collections::BTreeSet;

/// The channels to flip together; `None` when no set of them puts everything right.
///
/// A reverse acts behind the endpoint, after other channels have taken what they mix in, so it
/// changes the sense of its own channel and of no other. Each channel is therefore judged by itself,
/// and the answer is the smallest of all sets, as if every one had been tried.
pub fn to_flip(context: &Context, broken: &[Sense]) -> Option<Vec<ChannelId>> {
    let channels: BTreeSet<ChannelId> = broken.iter().map(|s| s.channel).collect();
    let mut flipped: Setup = context.setup.clone();
    for &channel in &channels {
        let of = &mut flipped.channels[channel];
        of.longer = of.longer.other();
        // They were taken before the flip.
        of.measured = [None, None];
    }
    let then = Context::with_orders(&flipped, context.orders.clone());
    let right = senses(&flipped).iter().filter(|s| channels.contains(&s.channel)).all(|sense| {
        match worst(&then, sense) {
            (Some(resting), Some(anywhere)) => is_right(&resting, &anywhere),
            // A way that does not act on the channel asks nothing of it.
            _ => true,
        }
    });
    right.then(|| channels.into_iter().collect())
}

/// The line of help.
pub fn line(setup: &Setup, answer: Option<&[ChannelId]>) -> String {
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
