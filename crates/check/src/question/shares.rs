//! Shares of one channel's travel that fit together: what to dial where several controls ask for more of it
//! than there is.

use super::asks::Asks;
use super::engine::Engine;
use super::say;
use crate::finding::Outcome;
use crate::setup::{ChannelId, Exact, MixOf, Setup};

/// The rate and the amounts of the mixes, each made less by as much as it takes for their sum to be the whole
/// travel; `None` where that does not put it right, or puts something else wrong. The changed set-up is asked.
pub fn told(engine: &Engine, asks: &Asks, channel: ChannelId) -> Option<String> {
    let setup = engine.setup;
    let (changed, words) = shared(setup, channel)?;
    let there = Engine::new(&changed);
    let fine = |at: &Engine, asks: &Asks| at.answer(asks).outcome() == Outcome::Proved;
    if !fine(&there, asks) {
        return None;
    }
    let spoiled = |q: &Asks| fine(engine, q) && !fine(&there, q);
    let hangs = engine.asked().iter().filter(|q| q.asks.channels(setup).contains(&channel));
    (!hangs.into_iter().any(|q| spoiled(&q.asks))).then_some(words)
}

fn shared(setup: &Setup, channel: ChannelId) -> Option<(Setup, String)> {
    let of = &setup.channels[channel];
    let [low, high] = &of.rate;
    let (None, [rate]) = (low.switch.or(high.switch), low.values.as_slice()) else { return None };
    if low.values != high.values || of.mixes.iter().any(|mix| !matches!(mix.of, MixOf::Control(_))) {
        return None;
    }
    let own = if of.control.is_some() { rate.clone() } else { Exact::ZERO };
    let sum = of.mixes.iter().fold(own, |sum, mix| sum + mix.add.abs());
    if sum <= Exact::ONE {
        return None;
    }
    // Rounded towards nought, so that the sum is not more than the travel.
    let step = &setup.transmitter.step;
    let less = |share: &Exact| -> Option<Exact> {
        let steps = (&(share.abs() / &sum) / step).floor()?;
        Some(step * Exact::int(steps) * Exact::int(i64::from(share.signum())))
    };
    let mut changed = setup.clone();
    let mut words = Vec::new();
    if of.control.is_some() {
        let share = less(rate)?;
        words.push(format!("`rate: {}`", say::percent(&share)));
        for side in &mut changed.channels[channel].rate {
            side.values = vec![share.clone()];
        }
    }
    for (mix, had) in changed.channels[channel].mixes.iter_mut().zip(&of.mixes) {
        let MixOf::Control(control) = had.of else { return None };
        mix.add = less(&had.add)?;
        words.push(format!("`add: {}` of {}", say::percent(&mix.add), setup.controls[control].name));
    }
    Some((changed, format!("shares that fit together: {}", words.join(", "))))
}
