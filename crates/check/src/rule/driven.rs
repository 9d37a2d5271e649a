//! How far the lever or slide at the far end of a servo's rod moves: for those who read, not a rule.

use super::engine::Engine;
use super::states::PulsePlace;
use crate::chain::{self, Inputs};
use crate::physics::linkage::Refusal;
use crate::setup::{ChannelId, DeviceId, Exact, Input, Linkage, Moved, Side};

/// How far what a servo drives by its rod moves from where it stands at 0 % of the axis, with everything
/// that servo, pulse and parts can be off.
#[derive(Clone, Debug)]
pub struct Throw {
    /// The servo.
    pub device: DeviceId,
    /// With nothing touched.
    pub rest: Result<Moved, Refusal>,
    /// With a way of its channel's control held fully and nothing else touched.
    pub held: Vec<(Side, Result<Moved, Refusal>)>,
    /// At the furthest that anything a hand can do brings it on the shorter and on the longer side.
    pub furthest: [Result<Moved, Refusal>; 2],
}

impl Throw {
    /// What holds of both.
    pub(super) fn with(self, other: Self) -> Self {
        let held = self.held.into_iter().zip(other.held);
        let [a, b] = self.furthest;
        let [c, d] = other.furthest;
        Self {
            device: self.device,
            rest: either(self.rest, other.rest),
            held: held.map(|((side, one), (_, other))| (side, either(one, other))).collect(),
            furthest: [either(a, c), either(b, d)],
        }
    }
}

/// A move that is one or the other.
fn either(one: Result<Moved, Refusal>, other: Result<Moved, Refusal>) -> Result<Moved, Refusal> {
    let (one, other) = (one?, other?);
    Ok(Moved { least: one.least.min(other.least), most: one.most.max(other.most) })
}

/// The throw of every linkage, in file order.
pub(super) fn throws(engine: &Engine) -> Vec<Throw> {
    let devices = engine.setup.devices.iter().enumerate();
    devices
        .filter_map(|(id, device)| {
            let linkage = device.facts.linkage.as_ref()?;
            Some(throw(engine, id, linkage))
        })
        .collect()
}

fn throw(engine: &Engine, id: DeviceId, linkage: &Linkage) -> Throw {
    let setup = engine.setup;
    let moved = |[low, high]: [Exact; 2]| {
        linkage.moved(&(low - setup.slack(id, -1, false)), &(high + setup.slack(id, 1, false)))
    };
    let channel = match setup.devices[id].input {
        Input::Channel(channel) => Some(channel),
        _ => None,
    };
    let rest = moved(
        channel
            .map_or([Exact::ZERO, Exact::ZERO], |channel| outputs(engine, channel, &Inputs::at_rest(setup))),
    );
    let held = channel.into_iter().flat_map(|channel| {
        let control = setup.channels[channel].control;
        control.into_iter().flat_map(move |control| {
            Side::BOTH.map(|side| {
                let mut inputs = Inputs::at_rest(setup);
                inputs.positions[control] = side.position();
                let last = setup.controls[control].settings.len().saturating_sub(1);
                inputs.settings[control] = if side == Side::High { last } else { 0 };
                (side, moved(outputs(engine, channel, &inputs)))
            })
        })
    });
    let [low, high] = reach(engine, id);
    // From rest to the end, so that a reach on one side only has no throw on the other.
    let furthest = [
        moved([low.clone().min(Exact::ZERO), low.min(Exact::ZERO)]),
        moved([high.clone().max(Exact::ZERO), high.max(Exact::ZERO)]),
    ];
    Throw { device: id, rest, held: held.collect(), furthest }
}

/// Least and greatest output with everything where it is, over every order left open.
fn outputs(engine: &Engine, channel: ChannelId, inputs: &Inputs) -> [Exact; 2] {
    let all = engine.orders.iter().map(|order| chain::output(engine.setup, channel, inputs, order));
    let span = all.fold(None, |span: Option<[Exact; 2]>, out| {
        Some(match span {
            None => [out.clone(), out],
            Some([low, high]) => [low.min(out.clone()), high.max(out)],
        })
    });
    span.unwrap_or([Exact::ZERO, Exact::ZERO])
}

/// Least and greatest output of everything a hand can do.
fn reach(engine: &Engine, id: DeviceId) -> [Exact; 2] {
    let anything = || engine.setup.furthest();
    match (engine.piloting(id), engine.setup.devices[id].input) {
        (PulsePlace::Pilot, Input::Channel(channel)) => engine
            .cases(channel)
            .span(engine.setup, &engine.everything)
            .map_or_else(anything, |(low, high)| [low, high]),
        (PulsePlace::Within(low, high), _) => [low, high],
        _ => anything(),
    }
}
