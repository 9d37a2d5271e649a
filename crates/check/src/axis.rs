//! What lies where on a device's axis: the endpoints as set, what the sticks reach, where works act, a motor stands
//! still and something binds, where states put it, and the room between. Whoever draws it takes it from here.
//!
//! What the file does not give may be at its worst: then less is surely so, and more may be. So everything is worked
//! out in the set-up as read and in each of the worst, and what is told holds in all of them.

use crate::chain::Order;
use crate::finding::StateId;
use crate::proof::{Cases, Domain};
use crate::question::Engine;
use crate::question::states::{PulsePlace, piloting_place};
use crate::question::worlds::at_worst;
use crate::setup::{
    Device, DeviceId, Exact, Figure, Input, Point, Reserved, Setup, Side, SubTrimDoes, Toleranced, WorkRef,
};
use std::collections::BTreeSet;

/// What one lane of a drawing shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shows {
    /// The endpoints as they are set.
    Ends,
    /// How far the sticks drive it.
    Reached,
    /// Where one of the works of the device acts.
    Function(usize),
    /// Where a motor stands still.
    Still,
    /// What lies beyond a stop.
    PastStop,
}

/// What is to be read beside a lane, as the file has it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Said {
    /// Positions.
    At(Vec<Exact>),
    /// A position and whether the file says how far it can be off.
    Found(Toleranced, bool),
    /// The file does not say.
    Nothing,
}

/// One lane. All stretches are closed, shares of full travel, and those of what is surely so lie within those of what
/// may be.
#[derive(Debug)]
pub struct Lane {
    /// What it shows.
    pub shows: Shows,
    /// Where it may be so.
    pub perhaps: Vec<[Exact; 2]>,
    /// Where it surely is.
    pub surely: Vec<[Exact; 2]>,
    /// Single positions.
    pub marks: Vec<Exact>,
    /// The figures.
    pub said: Said,
}

/// All lanes of a device.
#[derive(Debug)]
pub struct Lanes {
    /// What half of the axis stands for: a multiple of 25 %.
    pub half: Exact,
    /// From top to bottom.
    pub lanes: Vec<Lane>,
}

/// A guard and the setting that lets its work be reached.
pub type Guard = (usize, usize);

/// How far a device is driven.
#[derive(Clone, Debug)]
pub struct Reach {
    /// The guard that is as its work asks; without one, every guard is as it ought to be.
    pub guard: Option<Guard>,
    /// In one or other order that the file leaves open.
    pub hull: [Exact; 2],
    /// The same with what device and pulse can be off.
    pub outer: [Exact; 2],
    /// In every order.
    pub common: [Exact; 2],
}

/// What a reach has room to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Next {
    /// It stays short of a work.
    ShortOf(usize),
    /// It surely gets past where a work acts fully.
    Past(usize),
    /// It stays short of the stop on the side of a sign.
    ShortOfStop(i32),
}

/// The room between a reach and what lies next to it.
#[derive(Clone, Debug)]
pub struct Room {
    /// What it is to.
    pub next: Next,
    /// Where it begins.
    pub from: Exact,
    /// Where it ends.
    pub to: Exact,
}

/// Where a state puts a device.
#[derive(Debug)]
pub struct Put {
    /// The state.
    pub state: StateId,
    /// As the file has it.
    pub place: PulsePlace,
    /// The same with what device and pulse can be off, or wherever it may be.
    pub outer: [Exact; 2],
}

/// The axes of a set-up.
pub struct Axes {
    /// The set-up as read, then those with everything that is missing at its worst.
    worlds: Vec<(Setup, Vec<Order>)>,
}

impl Axes {
    /// Of a set-up.
    pub fn new(setup: &Setup) -> Self {
        let with_orders = |world: Setup| {
            let (orders, _) = crate::proof::cases::possible_orders(&world);
            (world, orders)
        };
        Self { worlds: std::iter::once(setup.clone()).chain(at_worst(setup)).map(with_orders).collect() }
    }

    fn read(&self) -> &Setup {
        &self.worlds[0].0
    }

    fn all(&self) -> impl Iterator<Item = &Setup> {
        self.worlds.iter().map(|(world, _)| world)
    }

    /// The lanes of a device, or nothing for one that has no axis to show.
    pub fn lanes(&self, id: DeviceId) -> Option<Lanes> {
        let reach = self.reach(id, None, &Domain::everything);
        let in_each = self.all().filter_map(|world| in_world(world, id, reach.as_ref()));
        let mut lanes = in_each.reduce(Lanes::with)?;
        for lane in &mut lanes.lanes {
            lane.perhaps = joined(std::mem::take(&mut lane.perhaps));
        }
        Some(lanes)
    }

    /// How far the sticks drive a device: with the guards of its works as they ought to be, then with each as its work
    /// asks.
    pub fn reaches(&self, id: DeviceId) -> Vec<Reach> {
        let mut guards: Vec<Guard> = Vec::new();
        for work in &self.read().devices[id].works {
            if let Reserved::Unless(switch, setting) = work.reserved
                && !guards.contains(&(switch, setting))
            {
                guards.push((switch, setting));
            }
        }
        let as_they_ought = |world: &Setup| {
            let everything = Domain::everything(world);
            guards.iter().fold(everything, |domain, (switch, at)| domain.without_setting(*switch, *at))
        };
        let first = self.reach(id, None, &as_they_ought);
        let armed = guards.iter().filter_map(|guard| {
            self.reach(id, Some(*guard), &|world| Domain::everything(world).with_settings(&[*guard]))
        });
        first.into_iter().chain(armed).collect()
    }

    fn reach(&self, id: DeviceId, guard: Option<Guard>, over: &dyn Fn(&Setup) -> Domain) -> Option<Reach> {
        let in_each = self.worlds.iter().map(|(world, orders)| {
            let (hull, common) = span(world, orders, id, &over(world))?;
            Some(Reach { guard, outer: outer(world, id, &hull, false), hull, common })
        });
        let known: Option<Vec<Reach>> = in_each.collect();
        known?.into_iter().reduce(|one, other| Reach {
            guard,
            hull: around(one.hull, other.hull),
            outer: around(one.outer, other.outer),
            common: within(one.common, other.common),
        })
    }

    /// The room between a reach and what lies next to it, and how far a wanted work is passed: the least of all, and
    /// none where it is not there for everything that is missing.
    pub fn rooms(&self, id: DeviceId, reach: &Reach) -> Vec<Room> {
        let mut in_each = self.all().map(|world| rooms(world, id, reach));
        let first = in_each.next().unwrap_or_default();
        in_each.fold(first, |known, there| {
            let both = known.into_iter().filter_map(|room| {
                let same = there.iter().find(|other| other.next == room.next)?;
                Some(if same.long() < room.long() { same.clone() } else { room })
            });
            both.collect()
        })
    }

    /// The states in which somebody else than the pilot has it, each place once.
    pub fn puts(&self, id: DeviceId) -> Vec<Put> {
        let mut all: Vec<Put> = Vec::new();
        let mut worlds = self.all();
        let Some(read) = worlds.next() else { return all };
        for state in Engine::new(read).states() {
            let place = &state.places[id];
            let Some(outer) = put(read, id, place) else { continue };
            if matches!(state.id, StateId::StageWhilePiloting(_)) || *place == piloting_place(read, id) {
                continue;
            }
            all.push(Put { state: state.id, place: place.clone(), outer });
        }
        for world in worlds {
            let engine = Engine::new(world);
            for known in &mut all {
                let there = engine.states().iter().find(|state| state.id == known.state);
                if let Some(outer) = there.and_then(|state| put(world, id, &state.places[id])) {
                    known.outer = around(known.outer.clone(), outer);
                }
            }
        }
        all
    }
}

impl Room {
    fn long(&self) -> Exact {
        (&self.to - &self.from).abs()
    }
}

impl Lanes {
    /// What may be in one or the other, with the figures of the first.
    fn with(mut self, other: Self) -> Self {
        self.half = self.half.max(other.half);
        for lane in other.lanes {
            match self.lanes.iter_mut().find(|known| known.shows == lane.shows) {
                Some(known) => {
                    known.perhaps.extend(lane.perhaps);
                    known.surely = common(&known.surely, &lane.surely);
                }
                None => self.lanes.push(Lane { surely: Vec::new(), said: Said::Nothing, ..lane }),
            }
        }
        self
    }

    fn add(&mut self, shows: Shows, said: Said) -> &mut Lane {
        let lane = Lane { shows, said, perhaps: Vec::new(), surely: Vec::new(), marks: Vec::new() };
        let at = self.lanes.len();
        self.lanes.push(lane);
        &mut self.lanes[at]
    }
}

impl Lane {
    fn put(&mut self, [perhaps, surely]: [Option<[Exact; 2]>; 2]) {
        self.perhaps.extend(perhaps);
        self.surely.extend(surely);
    }
}

fn in_world(setup: &Setup, id: DeviceId, reach: Option<&Reach>) -> Option<Lanes> {
    let device = &setup.devices[id];
    let bare = device.works.is_empty() && device.stops.iter().all(Option::is_none);
    if device.input == Input::None || (bare && device.still_between.is_none() && reach.is_none()) {
        return None;
    }
    let mut all = Lanes { half: half(setup, device, reach), lanes: Vec::new() };
    if let Some(ends) = ends(setup, device) {
        let said = Said::At(ends.clone());
        all.add(Shows::Ends, said).marks = ends;
    }
    if let Some(Reach { hull, outer, common, .. }) = reach {
        let lane = all.add(Shows::Reached, Said::At(hull.to_vec()));
        lane.perhaps.push(outer.clone());
        lane.surely.extend(Some(common.clone()).filter(|[low, high]| low <= high));
    }
    for (index, work) in device.works.iter().enumerate() {
        let zone = zone(&all.half, work.sign, &work.from, work.to.as_ref());
        let known = !lacks(setup, Figure::Tolerance(WorkRef { device: id, work: index }, Point::From));
        all.add(Shows::Function(index), Said::Found(work.from.clone(), known)).put(zone);
    }
    if let Some(between) = &device.still_between {
        let lane = all.add(Shows::Still, Said::At(between.to_vec()));
        lane.surely.extend(Some(between.clone()).filter(|[low, high]| low <= high));
    }
    let stops: Vec<_> =
        device.stops.iter().zip([-1, 1]).filter_map(|(stop, sign)| Some((stop.as_ref()?, sign))).collect();
    if !stops.is_empty() {
        // A tolerance on a stop brings it nearer.
        let zones: Vec<_> = stops.iter().map(|(stop, sign)| zone(&all.half, *sign, stop, None)).collect();
        let said = Said::At(stops.iter().map(|(stop, _)| stop.value.clone()).collect());
        let lane = all.add(Shows::PastStop, said);
        zones.into_iter().for_each(|zone| lane.put(zone));
    }
    Some(all)
}

/// Whether the file leaves a figure out.
pub fn lacks(setup: &Setup, figure: Figure) -> bool {
    setup.lacks(figure)
}

/// What lies in both of two lists of stretches.
fn common(one: &[[Exact; 2]], other: &[[Exact; 2]]) -> Vec<[Exact; 2]> {
    let both = one.iter().flat_map(|a| other.iter().map(move |b| within(a.clone(), b.clone())));
    both.filter(|[low, high]| low <= high).collect()
}

/// What lies in one or other of several stretches, in as few as may be, in rising order.
fn joined(mut all: Vec<[Exact; 2]>) -> Vec<[Exact; 2]> {
    all.sort();
    let mut out: Vec<[Exact; 2]> = Vec::new();
    for [low, high] in all {
        match out.last_mut() {
            Some(last) if low <= last[1] => last[1] = last[1].clone().max(high),
            _ => out.push([low, high]),
        }
    }
    out
}

fn around([a, b]: [Exact; 2], [c, d]: [Exact; 2]) -> [Exact; 2] {
    [a.min(c), b.max(d)]
}

fn within([a, b]: [Exact; 2], [c, d]: [Exact; 2]) -> [Exact; 2] {
    [a.max(c), b.min(d)]
}

/// A stretch that begins at a threshold and goes on away from rest, or to where it ends: where it may be, and where it
/// surely is.
fn zone(half: &Exact, sign: i32, from: &Toleranced, to: Option<&Toleranced>) -> [Option<[Exact; 2]>; 2] {
    let far = if sign < 0 { -half } else { half.clone() };
    let (may, surely) = (from.nearest(sign), from.farthest(sign));
    let (may_end, sure_end) = to.map_or((far.clone(), far), |to| (to.farthest(sign), to.nearest(sign)));
    [(may, may_end), (surely, sure_end)].map(|(a, b)| {
        let (low, high) = if sign < 0 { (b, a) } else { (a, b) };
        (low <= high).then_some([low, high])
    })
}

fn half(setup: &Setup, device: &Device, reach: Option<&Reach>) -> Exact {
    let mut most = setup.furthest_either();
    let works = device.works.iter().flat_map(|w| [Some(&w.from), w.to.as_ref(), w.full.as_ref()]);
    for at in works.chain(device.stops.iter().map(Option::as_ref)).flatten() {
        most = most.max(at.value.abs() + &at.off);
    }
    for end in reach.iter().flat_map(|r| &r.hull) {
        most = most.max(end.abs());
    }
    let steps = (most * Exact::int(4)).ceil().unwrap_or(4).max(4);
    Exact::ratio(steps, 4)
}

/// How far the sticks drive a device in one or other of the orders, and in every one of them.
fn span(setup: &Setup, orders: &[Order], id: DeviceId, over: &Domain) -> Option<([Exact; 2], [Exact; 2])> {
    match setup.devices[id].input {
        Input::None => None,
        Input::Behind(other) => {
            let limits = setup.devices[other].limits.clone()?;
            Some((limits.clone(), limits))
        }
        Input::Channel(channel) => {
            let spans = orders.iter().filter_map(|order| {
                let cases = Cases::of(setup, channel, std::slice::from_ref(order), &BTreeSet::new());
                cases.span(setup, over).map(|(low, high)| [low, high])
            });
            let spans: Vec<[Exact; 2]> = spans.collect();
            Some((spans.iter().cloned().reduce(around)?, spans.into_iter().reduce(within)?))
        }
    }
}

fn outer(setup: &Setup, id: DeviceId, [low, high]: &[Exact; 2], by_unit: bool) -> [Exact; 2] {
    [low - setup.slack(id, -1, by_unit), high + setup.slack(id, 1, by_unit)]
}

/// Where a device may be in a place that no pilot decides.
fn put(setup: &Setup, id: DeviceId, place: &PulsePlace) -> Option<[Exact; 2]> {
    match place {
        PulsePlace::Fixed { at, by_unit } => Some(outer(setup, id, &[at.clone(), at.clone()], *by_unit)),
        PulsePlace::Within(low, high) => Some([low.clone(), high.clone()]),
        PulsePlace::Pilot | PulsePlace::Still => None,
    }
}

fn rooms(setup: &Setup, id: DeviceId, reach: &Reach) -> Vec<Room> {
    let device = &setup.devices[id];
    let end = |sign: i32, of: &[Exact; 2]| if sign < 0 { of[0].clone() } else { of[1].clone() };
    let towards = |sign: i32, by: Exact| if sign < 0 { -by } else { by };
    let beyond = |sign: i32, a: &Exact, b: &Exact| if sign < 0 { a < b } else { a > b };
    // What lies behind another guard is that one's affair.
    let concerns = |reserved: Reserved| match (reach.guard, reserved) {
        (Some(guard), Reserved::Unless(switch, setting)) => guard == (switch, setting),
        _ => true,
    };
    let mut all = Vec::new();
    for (index, work) in device.works.iter().enumerate().filter(|(_, work)| concerns(work.reserved)) {
        let edge = work.from.nearest(work.sign);
        let outermost = end(work.sign, &reach.outer);
        let needed = work.full.as_ref().unwrap_or(&work.from).farthest(work.sign);
        let slack = setup.slack(id, work.sign, false);
        let surely = end(work.sign, &reach.common) - towards(work.sign, slack);
        if beyond(work.sign, &edge, &outermost) {
            all.push(Room { next: Next::ShortOf(index), from: outermost, to: edge });
        } else if beyond(work.sign, &surely, &needed) && work.to.is_none() {
            all.push(Room { next: Next::Past(index), from: needed, to: surely });
        }
    }
    for (stop, sign) in device.stops.iter().zip([-1, 1]) {
        let side = usize::from(sign > 0);
        let Some(stop) = stop else { continue };
        let outermost = end(sign, &reach.outer);
        let edge = stop.nearest(sign);
        if beyond(sign, &edge, &outermost) && !lacks(setup, Figure::Stop(id, side)) {
            all.push(Room { next: Next::ShortOfStop(sign), from: outermost, to: edge });
        }
    }
    all
}

/// The endpoints on the axis: one to each side, or all those possible where the file leaves open by what they are named
/// or what the sub-trim does to them.
fn ends(setup: &Setup, device: &Device) -> Option<Vec<Exact>> {
    let Input::Channel(id) = device.input else {
        return None;
    };
    let channel = &setup.channels[id];
    let shifted = match setup.transmitter.order.sub_trim {
        Some(SubTrimDoes::ShiftsEnds) => vec![channel.sub_trim.clone()],
        Some(SubTrimDoes::KeepsEnds) => vec![Exact::ZERO],
        None => vec![Exact::ZERO, channel.sub_trim.clone()],
    };
    let mut all = Vec::new();
    for named in Side::BOTH {
        for way in setup.limited_by(id, named) {
            let end =
                &channel.endpoints[named.index()] * Exact::int((channel.longer.sign() * way.sign()).into());
            all.extend(shifted.iter().map(|by| setup.position_of_output(&(&end + by))));
        }
    }
    all.sort();
    all.dedup();
    Some(all)
}
