//! What is too much on a channel that several hands move: its endpoint, its rate, or what is mixed in, each with the
//! value that would be enough by itself.
//!
//! In the order in which a fitter turns things down: endpoint, rate, amounts of the mixes, trim, sub-trim. Every changed
//! set-up is asked what the boat itself is asked, and a value that puts something else wrong is not told.

use super::asks::Asks;
use super::engine::Engine;
use super::safe::BareQuestion;
use super::say;
use super::worlds::at_worst;
use crate::finding::{Outcome, StateId, Subject};
use crate::proof::cases::Influence;
use crate::setup::{ChannelId, ControlId, Exact, MixOf, Setup, Side};
use crate::work;

/// Which question is to be answered well.
pub(super) struct Wanted {
    pub rule: &'static str,
    pub subject: Subject,
    pub state: StateId,
}

/// One thing that can be turned down by itself.
#[derive(Clone, Copy)]
enum Knob {
    /// The endpoint of a way.
    Endpoint(Side),
    /// The one rate of the channel.
    Rate,
    /// How much a mix adds.
    Mix(usize),
    /// The trim of a control that has a part.
    Trim(ControlId),
    /// The sub-trim.
    SubTrim,
}

/// The line of help; `None` where one hand alone moves the channel, which has its safe endpoints, or where nothing that
/// is turned down alone is enough.
pub(super) fn told(engine: &Engine, wanted: &Wanted, channel: ChannelId, side: Side) -> Option<String> {
    let setup = engine.setup;
    let influence = Influence::on(setup, channel);
    if influence.controls.len() < 2 {
        return None;
    }
    let mut knobs: Vec<Knob> = Vec::new();
    // The safe endpoints of a way that has a control of its own are told already.
    if setup.channels[channel].control.is_none() {
        knobs.extend(setup.limited_by(channel, side).into_iter().map(Knob::Endpoint));
    }
    knobs.push(Knob::Rate);
    knobs.extend((0..setup.channels[channel].mixes.len()).map(Knob::Mix));
    knobs.extend(influence.controls.iter().copied().map(Knob::Trim));
    knobs.push(Knob::SubTrim);
    each(engine, wanted, channel, &knobs)
}

/// The same of a way that asks for more than the set can send.
pub fn of_travel(engine: &Engine, rule: &'static str, channel: ChannelId, side: Side) -> Option<String> {
    let wanted = Wanted { rule, subject: Subject::Way(channel, side), state: StateId::Piloting };
    let limits = engine.setup.limited_by(channel, side).into_iter().map(Knob::Endpoint);
    let knobs: Vec<Knob> = limits.chain([Knob::SubTrim]).collect();
    engine.advises.then(|| each(engine, &wanted, channel, &knobs)).flatten()
}

fn each(engine: &Engine, wanted: &Wanted, channel: ChannelId, knobs: &[Knob]) -> Option<String> {
    let enough = || knobs.iter().filter_map(|knob| enough(engine, wanted, channel, *knob)).collect();
    let told: Vec<String> = work::apart(&engine.for_advice, enough)?;
    match told.as_slice() {
        [] => None,
        [one] => Some(format!("in the set, enough by itself: {one}")),
        several => Some(format!("in the set, each enough by itself: {}", several.join("; or "))),
    }
}

/// The value of one of them that is enough, in words.
fn enough(engine: &Engine, wanted: &Wanted, channel: ChannelId, knob: Knob) -> Option<String> {
    let setup = engine.setup;
    let now = knob.value(setup, channel)?;
    let step = &setup.transmitter.step;
    let value = |steps: i64| step * Exact::int(steps) * Exact::int(i64::from(now.signum()));
    // Turned right down it has to be enough, else it is not this; from there up as far as goes.
    let most = (now.abs() / step).ceil().map(|steps| steps - 1).filter(|most| *most >= 0)?;
    let fine =
        |steps: i64| knob.with(setup, channel, &value(steps)).is_some_and(|there| well(&there, wanted));
    if !fine(0) {
        return None;
    }
    let (mut low, mut high) = (0, most);
    while low < high {
        let middle = low + (high - low + 1) / 2;
        if fine(middle) { low = middle } else { high = middle - 1 }
    }
    let at = value(low);
    let there = knob.with(setup, channel, &at)?;
    (!spoils(engine, &there, channel)).then(|| knob.words(setup, channel, &at))
}

/// Whether a question is answered well in a changed set-up, whatever the figures are that the file does not give.
fn well(setup: &Setup, wanted: &Wanted) -> bool {
    well_as_read(setup, wanted) && at_worst(setup).iter().all(|world| well_as_read(world, wanted))
}

fn well_as_read(setup: &Setup, wanted: &Wanted) -> bool {
    let engine = Engine::new(setup).about(wanted.subject);
    let mut asked = crate::rule::asked_by(&engine, wanted.rule).into_iter();
    let is_it = |q: &BareQuestion| (q.subject, q.state) == (wanted.subject, wanted.state);
    asked.find(is_it).is_some_and(|q| engine.answer(&q.asks).outcome() == Outcome::Proved)
}

/// Whether something that hangs on the channel is answered well now and would not be then.
fn spoils(engine: &Engine, there: &Setup, channel: ChannelId) -> bool {
    let changed = Engine::new(there);
    let hangs = |q: &&BareQuestion| q.narrows() && q.asks.channels(there).contains(&channel);
    let was_well = |q: &BareQuestion| {
        let before = engine.asked().iter();
        let mut same = before.filter(|b| (b.rule, b.subject, b.state) == (q.rule, q.subject, q.state));
        same.all(|b| proved(engine, &b.asks))
    };
    changed.asked().iter().filter(hangs).any(|q| !proved(&changed, &q.asks) && was_well(q))
}

fn proved(engine: &Engine, asks: &Asks) -> bool {
    engine.answer(asks).outcome() == Outcome::Proved
}

impl Knob {
    /// What it is set to; `None` where there is nothing to turn down.
    fn value(self, setup: &Setup, channel: ChannelId) -> Option<Exact> {
        let of = &setup.channels[channel];
        let value = match self {
            Knob::Endpoint(side) => of.endpoints[side.index()].clone(),
            Knob::Rate => of.control.and_then(|_| of.one_rate())?.clone(),
            Knob::Mix(at) => of.mixes[at].add.clone(),
            Knob::Trim(control) => setup.controls[control].trim.clone().into_iter().reduce(Exact::max)?,
            Knob::SubTrim => of.sub_trim.clone(),
        };
        (!value.is_zero()).then_some(value)
    }

    fn with(self, setup: &Setup, channel: ChannelId, value: &Exact) -> Option<Setup> {
        let mut changed = setup.clone();
        let of = &mut changed.channels[channel];
        // Pulses measured with the old values say nothing about the new ones.
        of.measured.clear();
        match self {
            Knob::Endpoint(side) => of.endpoints[side.index()] = value.clone(),
            Knob::Rate => of.rate.iter_mut().for_each(|rate| rate.values = vec![value.clone()]),
            Knob::Mix(at) => of.mixes.get_mut(at)?.add = value.clone(),
            Knob::SubTrim => of.sub_trim = value.clone(),
            Knob::Trim(control) => changed.controls[control].trim = [value.clone(), value.clone()],
        }
        Some(changed)
    }

    fn words(self, setup: &Setup, channel: ChannelId, value: &Exact) -> String {
        let of = &setup.channels[channel];
        match self {
            Knob::Endpoint(side) => {
                let mixed = of.mixes.iter().find_map(|mix| match mix.of {
                    MixOf::Control(control) => Some(control),
                    MixOf::Channel(_) => None,
                });
                let first = of.control.or(mixed);
                let way = first.map_or_else(
                    || {
                        if side.sign() * of.longer.sign() > 0 {
                            "the longer side"
                        } else {
                            "the shorter side"
                        }
                    },
                    |control| setup.controls[control].ways[side.index()].as_str(),
                );
                format!("endpoint for {way}: {} or less", say::percent(value))
            }
            Knob::Rate => format!("`rate: {}` or less", say::percent(value)),
            Knob::Mix(at) => {
                let from = match of.mixes[at].of {
                    MixOf::Control(control) => setup.controls[control].name.clone(),
                    MixOf::Channel(other) => format!("channel {}", setup.channels[other].number),
                };
                let less = if value.signum() < 0 { "or nearer to nought" } else { "or less" };
                format!("`add: {}` of {from} {less}", say::percent(value))
            }
            Knob::Trim(control) if value.is_zero() => {
                format!("lock the trim of {}", setup.controls[control].name)
            }
            Knob::Trim(control) => {
                format!("trim of {}: {} or less", setup.controls[control].name, say::percent(value))
            }
            Knob::SubTrim => format!("sub-trim: {}", say::signed_percent(value)),
        }
    }
}
