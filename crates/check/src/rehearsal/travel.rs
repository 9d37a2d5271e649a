//! From commands to works: which is on when, for one end of the tolerances.

use super::Start;
use super::corner::Timing;
use super::missing::{Wanted, Wants};
use super::plan::{Back, Command, Plan};
use super::touch::{Touch, Way, Zone};
use crate::chain::{self, Order};
use crate::device::PulsesFail;
use crate::physics::motion::Stretch;
use crate::proof::{Cases, Domain};
use crate::setup::{
    ChannelId, Device, DeviceId, Exact, Function, Input, Path, Setup, Toleranced, WithoutPulses, WorkRef,
};
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

/// A work and when it is on.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Worked {
    pub(super) work: WorkRef,
    pub(super) touches: Vec<Touch>,
    /// The same with how far open it is.
    pub(super) open: Vec<Stretch>,
    /// The least share of its hole at a place where its servo comes to stand.
    pub(super) least_open: Option<f64>,
}

/// Where servos can be when the cause comes, by channel and by whether they begin afar: worked out once, for no time of
/// the unit and no tolerance of water, tank or hull has a part in it.
#[derive(Debug, Default)]
pub(super) struct Places(RefCell<BTreeMap<(ChannelId, bool), Vec<f64>>>);

/// Every work on a channel that is commanded, in file order.
pub(super) fn worked(
    setup: &Setup,
    plan: &Plan,
    (start, places): (&Start, &Places),
    timing: Timing,
    wants: &mut Wants,
) -> Vec<Worked> {
    let begins = |channel, to: &Exact| places.begins(setup, channel, start, timing, to);
    let mut all = Vec::new();
    for (id, device) in setup.devices.iter().enumerate() {
        let Input::Channel(channel) = device.input else { continue };
        if device.works.is_empty() {
            continue;
        }
        let commands: Vec<&super::plan::Command> =
            plan.commands.iter().filter(|c| c.channel == channel).collect();
        let Some(first) = commands.first() else {
            all.extend(left_open(setup, plan, timing, id, &|to| begins(channel, to)));
            continue;
        };
        let from = begins(channel, &first.to);
        let mut steps: Vec<(f64, f64)> = commands.iter().map(|c| (c.at, c.to.to_f64())).collect();
        let released = released(plan, channel);
        if let (Some((at, back)), Some(last)) = (released, commands.last())
            && (back == Back::ControlPositions || timing == Timing::Late)
        {
            // A servo without pulses is in the worst case pushed where a hand could have put it.
            steps.push((at, begins(channel, &last.to)));
        }
        let per_axis = device.facts.per_axis().map(|(seconds, _)| seconds.to_f64());
        if per_axis.is_none() && device.kind.when_pulses_fail == PulsesFail::Anywhere {
            let key = if device.facts.speed.is_some() { "turn" } else { "speed" };
            wants.note(Wanted::Passing, Path::of(["devices", &device.name, key]));
        }
        let way = Way::of(from, &steps, per_axis.unwrap_or(0.0));
        let by_unit = commands.iter().any(|c| c.by_unit);
        for (index, work) in device.works.iter().enumerate() {
            let this = WorkRef { device: id, work: index };
            let raises = work.kind.raises() || setup.tank.emptied_by.iter().any(|(w, _)| *w == this);
            let point = point(timing, raises, work.kind.vents);
            let (zone, full) = zone(setup, id, work, point, by_unit);
            let mut touches = way.touches(zone);
            if let Some((at, _)) = released.filter(|_| timing == Timing::Late && raises) {
                cut(&mut touches, at);
            }
            let open = way.opens(&touches, zone, full);
            let least_open = full.and_then(|full| way.least_open(&touches, zone, full));
            all.push(Worked { work: this, touches, open, least_open });
        }
    }
    all
}

/// The vents of a servo that nothing moves after a lost link: open for good if a hand left them so.
fn left_open(
    setup: &Setup,
    plan: &Plan,
    timing: Timing,
    id: DeviceId,
    begins: &dyn Fn(&Exact) -> f64,
) -> Vec<Worked> {
    let device = &setup.devices[id];
    // With the link whole the pilot still has it.
    let held = plan.receiver_at.is_some();
    let vents = device.works.iter().enumerate().filter(|(_, work)| held && work.kind.vents);
    let on = vents.filter_map(|(index, work)| {
        let far = Exact::int(-i64::from(work.sign));
        let way = Way::of(begins(&far), &[], 0.0);
        let (zone, full) = zone(setup, id, work, point(timing, false, true), false);
        let touches = way.touches(zone);
        let open = way.opens(&touches, zone, full);
        let this = WorkRef { device: id, work: index };
        (!touches.is_empty()).then_some(Worked { work: this, touches, open, least_open: None })
    });
    on.collect()
}

/// Where a work counts as on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Point {
    /// Where it is written.
    Written,
    /// Only where it surely is.
    Surely,
    /// Wherever it may be.
    May,
}

/// What raises her counts only where it is sure in the late case, a vent only there in the early ones; all else
/// wherever it may be.
fn point(timing: Timing, raises: bool, vents: bool) -> Point {
    match timing {
        Timing::Nominal => Point::Written,
        Timing::Late if raises => Point::Surely,
        Timing::Early | Timing::LateAndLong if vents => Point::Surely,
        _ => Point::May,
    }
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

impl Places {
    /// Where a servo is when the cause comes, as far from where it goes as it may be, or at rest.
    fn begins(
        &self,
        setup: &Setup,
        channel: ChannelId,
        start: &Start,
        timing: Timing,
        goes_to: &Exact,
    ) -> f64 {
        let mut known = self.0.borrow_mut();
        let afar = timing.begins_afar();
        let places = known.entry((channel, afar)).or_insert_with(|| places(setup, channel, start, afar));
        if afar { farthest(places.iter().copied(), goes_to) } else { places.first().copied().unwrap_or(0.0) }
    }
}

/// The ends of where a channel may be when the cause comes.
fn places(setup: &Setup, channel: ChannelId, start: &Start, afar: bool) -> Vec<f64> {
    let orders = Order::all(&setup.transmitter.order);
    if let Some(hand) = &start.hand {
        return orders.iter().map(|order| chain::output(setup, channel, hand, order).to_f64()).collect();
    }
    if !afar {
        let rest = chain::Inputs::at_rest(setup);
        let first = orders.first().map(|order| chain::output(setup, channel, &rest, order).to_f64());
        return first.into_iter().collect();
    }
    let cases = Cases::of(setup, channel, &orders, &BTreeSet::new());
    let span = cases.span(setup, &Domain::everything(setup));
    span.into_iter().flat_map(|(low, high)| [low.to_f64(), high.to_f64()]).collect()
}

fn farthest(places: impl Iterator<Item = f64>, from: &Exact) -> f64 {
    let away = |x: &f64| (x - from.to_f64()).abs();
    places.max_by(|a, b| away(a).total_cmp(&away(b))).unwrap_or(0.0)
}

/// Where a work is switched on and let go, and where it is fully open, as distances from rest on its side.
fn zone(
    setup: &Setup,
    device: DeviceId,
    work: &Function,
    point: Point,
    by_unit: bool,
) -> (Zone, Option<f64>) {
    let sign = work.sign;
    let slack = setup.slack(device, sign, by_unit);
    // How far out a place is at which something begins, and one at which it ends.
    let begins = |place: &Toleranced| {
        let out = match point {
            Point::Written => place.value.outward(sign),
            Point::Surely => place.farthest(sign).outward(sign) + &slack,
            Point::May => place.nearest(sign).outward(sign) - &slack,
        };
        out.to_f64()
    };
    let ends = |place: &Toleranced| {
        let out = match point {
            Point::Written => place.value.outward(sign),
            Point::Surely => place.nearest(sign).outward(sign) - &slack,
            Point::May => place.farthest(sign).outward(sign) + &slack,
        };
        out.to_f64()
    };
    let from = begins(&work.from);
    let releases = work.releases.as_ref().filter(|_| point != Point::Surely).map(begins);
    let zone = Zone {
        sign: f64::from(sign),
        from,
        releases: releases.map_or(from, |r| r.min(from)),
        to: work.to.as_ref().map_or(f64::INFINITY, ends),
    };
    (zone, work.full.as_ref().map(begins))
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
