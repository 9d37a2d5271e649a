//! From commands to works: which is on when, for one end of the tolerances.

use super::missing::{Wanted, Wants};
use super::plan::{Back, Command, Plan};
use super::touch::{Touch, Way, Zone};
use super::{End, Start};
use crate::chain::{self, Order};
use crate::device::PulsesFail;
use crate::proof::{Cases, Domain};
use crate::setup::{ChannelId, Device, DeviceId, Exact, Input, Setup, WithoutPulses, Work, WorkRef};
use std::collections::BTreeSet;

/// A work and when it is on.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Worked {
    pub(super) work: WorkRef,
    pub(super) touches: Vec<Touch>,
}

/// Every work on a channel that is commanded, in file order.
pub(super) fn worked(setup: &Setup, plan: &Plan, start: &Start, end: End, wants: &mut Wants) -> Vec<Worked> {
    let mut all = Vec::new();
    for (id, device) in setup.devices.iter().enumerate() {
        let Input::Channel(channel) = device.input else { continue };
        if device.works.is_empty() {
            continue;
        }
        let commands: Vec<&super::plan::Command> =
            plan.commands.iter().filter(|c| c.channel == channel).collect();
        let Some(first) = commands.first() else { continue };
        let from = begins(setup, channel, start, end, &first.to);
        let mut steps: Vec<(f64, f64)> = commands.iter().map(|c| (c.at, c.to.to_f64())).collect();
        let released = released(plan, channel);
        if let (Some((at, back)), Some(last)) = (released, commands.last())
            && (back == Back::Hand || end == End::Worst)
        {
            // A servo without pulses is in the worst case pushed where a hand could have put it.
            steps.push((at, begins(setup, channel, start, end, &last.to)));
        }
        let per_axis = device.facts.per_axis().map(|(seconds, _)| seconds.to_f64());
        if per_axis.is_none() && device.kind.when_pulses_fail == PulsesFail::Anywhere {
            let key = if device.facts.speed.is_some() { "turn" } else { "speed" };
            wants.note(Wanted::Passing, format!("devices.{}.{key}", device.name));
        }
        let way = Way::of(from, &steps, per_axis.unwrap_or(0.0));
        let by_unit = commands.iter().any(|c| c.by_unit);
        for (index, work) in device.works.iter().enumerate() {
            let this = WorkRef { device: id, work: index };
            let raises = work.kind.raises() || setup.tank.emptied_by.iter().any(|(w, _)| *w == this);
            let surely = end == End::Worst && raises;
            let mut touches = way.touches(zone(setup, id, work, [end == End::Nominal, surely], by_unit));
            if let Some((at, _)) = released.filter(|_| surely) {
                cut(&mut touches, at);
            }
            all.push(Worked { work: this, touches });
        }
    }
    all
}

/// When and to what a channel is left, if it is.
fn released(plan: &Plan, channel: ChannelId) -> Option<(f64, Back)> {
    let back = plan.released.iter().find(|(c, _)| *c == channel)?.1;
    Some((plan.handed_back?, back))
}

/// Ends whatever is on at a moment, for nobody can be sure that it goes on.
fn cut(touches: &mut Vec<Touch>, at: f64) {
    touches.retain(|t| t.from < at);
    for touch in touches.iter_mut() {
        touch.until = Some(touch.until.map_or(at, |until| until.min(at)));
    }
}

/// Where the servo is when the cause comes.
fn begins(setup: &Setup, channel: ChannelId, start: &Start, end: End, goes_to: &Exact) -> f64 {
    let orders = Order::all(&setup.transmitter.order);
    if let Some(hand) = &start.hand {
        let at = |order: &Order| chain::output(setup, channel, hand, order).to_f64();
        return match end {
            End::Worst => farthest(orders.iter().map(at), goes_to),
            _ => orders.first().map_or(0.0, at),
        };
    }
    if end != End::Worst {
        let rest = chain::Inputs::at_rest(setup);
        return orders.first().map_or(0.0, |order| chain::output(setup, channel, &rest, order).to_f64());
    }
    let cases = Cases::of(setup, channel, &orders, &BTreeSet::new());
    let span = cases.span(setup, &Domain::everything(setup));
    farthest(span.into_iter().flat_map(|(low, high)| [low.to_f64(), high.to_f64()]), goes_to)
}

fn farthest(places: impl Iterator<Item = f64>, from: &Exact) -> f64 {
    let away = |x: &f64| (x - from.to_f64()).abs();
    places.max_by(|a, b| away(a).total_cmp(&away(b))).unwrap_or(0.0)
}

/// Where a work is switched on and let go: as written, only where it surely is on (what raises her, in the
/// worst case), or wherever it may be.
fn zone(setup: &Setup, device: DeviceId, work: &Work, [nominal, surely]: [bool; 2], by_unit: bool) -> Zone {
    let sign = work.sign;
    let out = |x: &Exact| x.outward(sign).to_f64();
    let slack = setup.slack(device, sign, by_unit);
    let (from, releases, to) = if nominal {
        (
            out(&work.from.value),
            work.releases.as_ref().map(|r| out(&r.value)),
            work.to.as_ref().map(|t| out(&t.value)),
        )
    } else if surely {
        (
            (work.from.farthest(sign).outward(sign) + &slack).to_f64(),
            None,
            work.to.as_ref().map(|t| (t.nearest(sign).outward(sign) - &slack).to_f64()),
        )
    } else {
        (
            (work.from.nearest(sign).outward(sign) - &slack).to_f64(),
            work.releases.as_ref().map(|r| (r.nearest(sign).outward(sign) - &slack).to_f64()),
            work.to.as_ref().map(|t| (t.farthest(sign).outward(sign) + &slack).to_f64()),
        )
    };
    Zone {
        sign: f64::from(sign),
        from,
        releases: releases.map_or(from, |r| r.min(from)),
        to: to.unwrap_or(f64::INFINITY),
    }
}

/// When each motor that drives the boat is surely still for good; `None`: not at all.
pub(super) fn motors(setup: &Setup, plan: &Plan) -> Vec<(DeviceId, Option<f64>)> {
    let drives = |d: &Device| {
        d.kind.runs_a_motor()
            && d.effects
                .iter()
                .flatten()
                .any(|e| matches!(setup.effect_words(*e), "drives ahead" | "drives astern"))
    };
    let motors = setup.devices.iter().enumerate().filter(|(_, d)| drives(d));
    motors.map(|(id, device)| (id, still_from(setup, plan, id, device))).collect()
}

fn still_from(setup: &Setup, plan: &Plan, id: DeviceId, device: &Device) -> Option<f64> {
    let Input::Channel(channel) = device.input else { return None };
    let stops = setup.falls_silent(channel) && device.without_pulses != Some(WithoutPulses::Stays);
    let by_silence = plan.receiver_at.filter(|_| stops);
    let mut commands = plan.commands.iter().rev().filter(|c| c.channel == channel).peekable();
    if commands.peek().is_none() {
        return by_silence;
    }
    let [low, high] = device.still_between.as_ref()?;
    let inside = |command: &&Command| {
        let slack = |sign| setup.slack(id, sign, command.by_unit);
        command.to >= low + slack(-1) && command.to <= high - slack(1)
    };
    // A later stage that says the same again does not start it.
    let since = std::iter::from_fn(|| commands.next_if(inside)).last().map(|command| command.at);
    // Before the first command it may stand already for want of pulses.
    match (since, by_silence) {
        (Some(at), Some(silence)) if commands.peek().is_none() => Some(at.min(silence)),
        (at, _) => at,
    }
}
