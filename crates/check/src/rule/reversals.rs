//! What to turn round in the set so that every way does what it wants, all at once: reverses of channels, and signs
//! of what is mixed in.

use super::engine::Engine;
use super::say;
use super::sense_reversed::senses;
use crate::question::Asks;
use crate::question::asks::Moved;
use crate::setup::{ChannelId, ControlId, MixOf, Path, Setup};
use std::collections::BTreeSet;

/// What to turn round.
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct Turns {
    /// Channels, by their `reverse`.
    pub channels: Vec<ChannelId>,
    /// Mixes, each by its channel and its place there.
    pub mixes: Vec<(ChannelId, usize)>,
}

impl Turns {
    fn count(&self) -> usize {
        self.channels.len() + self.mixes.len()
    }

    /// The mix whose sign alone is wrong where a control moves a channel the wrong way.
    pub(super) fn mix(&self, setup: &Setup, channel: ChannelId, control: ControlId) -> Option<usize> {
        let mut here = self.mixes.iter().filter(|(on, _)| *on == channel && !self.channels.contains(on));
        let of =
            |&&(_, at): &&(ChannelId, usize)| setup.channels[channel].mixes[at].of == MixOf::Control(control);
        here.find(of).map(|(_, at)| *at)
    }

    fn apply(&self, setup: &mut Setup) {
        for &channel in &self.channels {
            let of = &mut setup.channels[channel];
            of.longer = of.longer.other();
            // They were taken before the flip.
            of.measured.clear();
        }
        for &(channel, at) in &self.mixes {
            let mix = &mut setup.channels[channel].mixes[at];
            mix.add = -&mix.add;
        }
    }
}

/// What to turn round together; `None` when nothing of the kind puts everything right.
///
/// A reverse acts behind the endpoint, after other channels have taken what they mix in, so it
/// changes the sense of its own channel and of no other; and a mix of a control adds to its own channel only. Each
/// channel is therefore judged by itself, and the answer is the smallest of all, as if every one had been tried.
pub(super) fn to_turn(engine: &Engine, broken: &[Moved]) -> Option<Turns> {
    let channels: BTreeSet<ChannelId> = broken.iter().map(|way| way.channel).collect();
    let mut all = Turns::default();
    for channel in channels {
        let of = on(engine, channel, broken)?;
        all.channels.extend(of.channels);
        all.mixes.extend(of.mixes);
    }
    Some(all)
}

/// The least that puts one channel right; of equals its reverse.
fn on(engine: &Engine, channel: ChannelId, broken: &[Moved]) -> Option<Turns> {
    let setup = engine.setup;
    let wanting: BTreeSet<ControlId> =
        senses(setup).iter().map(|s| s.moved).filter(|m| m.channel == channel).map(|m| m.control).collect();
    let wrong: BTreeSet<ControlId> =
        broken.iter().filter(|m| m.channel == channel).map(|m| m.control).collect();
    let turned = |reverse: bool| Turns {
        channels: if reverse { vec![channel] } else { Vec::new() },
        mixes: setup.channels[channel]
            .mixes
            .iter()
            .enumerate()
            .filter(|(_, mix)| match mix.of {
                // With the reverse what was right goes wrong.
                MixOf::Control(of) => wanting.contains(&of) && wrong.contains(&of) != reverse,
                MixOf::Channel(_) => false,
            })
            .map(|(at, _)| (channel, at))
            .collect(),
    };
    let mut tries = [turned(true), turned(false)];
    tries.sort_by_key(Turns::count);
    tries.into_iter().filter(|turns| turns.count() > 0).find(|turns| {
        let mut changed = setup.clone();
        turns.apply(&mut changed);
        let then = Engine::with_orders(&changed, engine.orders.clone());
        let mut ways = senses(&changed).into_iter().map(|s| s.moved).filter(|m| m.channel == channel);
        ways.all(|way| then.holds(&Asks::Moves { way, at_all: false }))
    })
}

/// Where the amount of a mix stands.
pub(super) fn mix_path(setup: &Setup, channel: ChannelId, at: usize) -> Path {
    say::channel_path(setup, channel).then("mixes").then(at).then("add")
}

/// The line of help.
pub(super) fn line(setup: &Setup, answer: Option<&Turns>) -> String {
    let Some(turns) = answer else {
        return "no set of reverses puts every way right at once, and no sign of a mix: on the boat a rod sits on the wrong side of its horn, or a want in the file is the other way round".to_owned();
    };
    let numbers: Vec<String> = turns.channels.iter().map(|&c| setup.channels[c].number.to_string()).collect();
    let flipped = match numbers.as_slice() {
        [] => None,
        [one] if turns.mixes.is_empty() => Some(format!("flip reverse on channel {one} alone")),
        [one] => Some(format!("flip reverse on channel {one}")),
        [most @ .., last] => {
            Some(format!("flip reverse on channels {} and {last} together", most.join(", ")))
        }
    };
    let signs: Vec<String> = turns
        .mixes
        .iter()
        .map(|&(channel, at)| {
            let mix = &setup.channels[channel].mixes[at];
            let of = match mix.of {
                MixOf::Control(control) => &setup.controls[control].name,
                MixOf::Channel(other) => &setup.channels[other].number.to_string(),
            };
            format!(
                "`add: {}` of {of} on channel {}",
                say::percent(&-&mix.add),
                setup.channels[channel].number
            )
        })
        .collect();
    let signed = (!signs.is_empty()).then(|| format!("turn the sign of a mix round: {}", signs.join(", ")));
    let both: Vec<String> = flipped.into_iter().chain(signed).collect();
    format!("{}: then every way does what it wants", both.join(", and "))
}
