//! What lies where on a device's axis: where the ends are as set, what the sticks can reach, the works and
//! the stops. Whoever draws it, in characters or otherwise, takes it from here.

use super::text::{digits, signed};
use crate::rule::{ChannelReach, at_worst};
use crate::setup::{Device, DeviceId, Exact, Input, Setup, Side, SubTrimDoes, Toleranced};

/// What one lane of the drawing shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Shows {
    /// The endpoints as they are set.
    Ends,
    /// How far the sticks drive it.
    Reached,
    /// Where one of the works of the device acts.
    Work(usize),
    /// Where a motor stands still.
    Still,
    /// What lies beyond a stop.
    PastStop,
}

/// One lane. All stretches are closed, shares of full travel, and those of what is surely so lie within those
/// of what may be.
#[derive(Debug)]
pub(super) struct Lane {
    pub(super) shows: Shows,
    pub(super) perhaps: Vec<[Exact; 2]>,
    pub(super) surely: Vec<[Exact; 2]>,
    pub(super) marks: Vec<Exact>,
    /// The figures, to be read beside it.
    pub(super) value: String,
}

/// All lanes of a device.
#[derive(Debug)]
pub(super) struct Lanes {
    /// What half of the axis stands for: a multiple of 25 %.
    pub(super) half: Exact,
    pub(super) lanes: Vec<Lane>,
}

impl Lanes {
    /// Those of one device, or nothing for one that has no axis to show.
    ///
    /// What the file does not give may be at its worst: then less is surely so, and more may be.
    pub(super) fn of(setup: &Setup, id: DeviceId, reach: &[ChannelReach]) -> Option<Self> {
        let read = Self::in_world(setup, id, reach);
        let worlds = at_worst(setup);
        worlds.iter().filter_map(|world| Self::in_world(world, id, reach)).fold(read, |known, there| {
            Some(match known {
                Some(known) => known.with(there),
                None => there,
            })
        })
    }

    /// What may be in one or the other, with the figures of the first.
    fn with(mut self, other: Self) -> Self {
        self.half = self.half.max(other.half);
        for lane in other.lanes {
            match self.lanes.iter_mut().find(|known| known.shows == lane.shows) {
                Some(known) => {
                    known.perhaps.extend(
                        lane.perhaps
                            .into_iter()
                            .filter(|all| !known.perhaps.contains(all))
                            .collect::<Vec<_>>(),
                    );
                    known.surely = common(&known.surely, &lane.surely);
                }
                None => self.lanes.push(Lane { surely: Vec::new(), value: "?".to_owned(), ..lane }),
            }
        }
        self
    }

    fn in_world(setup: &Setup, id: DeviceId, reach: &[ChannelReach]) -> Option<Self> {
        let device = &setup.devices[id];
        let hull = reached(setup, device, reach);
        let bare = device.works.is_empty() && device.stops.iter().all(Option::is_none);
        if device.input == Input::None || (bare && device.still_between.is_none() && hull.is_none()) {
            return None;
        }
        let mut all = Self { half: half(setup, device, hull.as_ref()), lanes: Vec::new() };
        if let Some(ends) = ends(setup, device) {
            let value = ends.iter().map(|end| signed(end, 1)).collect::<Vec<_>>().join(" ");
            all.add(Shows::Ends, value).marks = ends;
        }
        if let Some(Reach { hull: [low, high], common }) = hull {
            let (before, behind) = (setup.slack(id, -1, false), setup.slack(id, 1, false));
            let lane = all.add(Shows::Reached, pair(&[low.clone(), high.clone()]));
            lane.perhaps.push([low - before, high + behind]);
            lane.surely.extend(Some(common).filter(|[low, high]| low <= high));
        }
        for (index, work) in device.works.iter().enumerate() {
            let zone = zone(&all.half, work.sign, &work.from, work.to.as_ref());
            all.add(Shows::Work(index), toleranced(&work.from)).put(zone);
        }
        if let Some(between) = &device.still_between {
            all.add(Shows::Still, pair(between)).surely.push(between.clone());
        }
        let stops: Vec<_> = device
            .stops
            .iter()
            .zip([-1, 1])
            .filter_map(|(stop, sign)| Some((stop.as_ref()?, sign)))
            .collect();
        if !stops.is_empty() {
            let value = stops.iter().map(|(stop, _)| signed(&stop.value, 1)).collect::<Vec<_>>().join(" ");
            // A tolerance on a stop brings it nearer.
            let zones: Vec<_> = stops.iter().map(|(stop, sign)| zone(&all.half, *sign, stop, None)).collect();
            let lane = all.add(Shows::PastStop, value);
            zones.into_iter().for_each(|zone| lane.put(zone));
        }
        Some(all)
    }

    fn add(&mut self, shows: Shows, value: String) -> &mut Lane {
        let lane = Lane { shows, value, perhaps: Vec::new(), surely: Vec::new(), marks: Vec::new() };
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

/// What lies in both of two lists of stretches.
fn common(one: &[[Exact; 2]], other: &[[Exact; 2]]) -> Vec<[Exact; 2]> {
    let both = one.iter().flat_map(|[a, b]| {
        other.iter().map(move |[c, d]| [a.clone().max(c.clone()), b.clone().min(d.clone())])
    });
    both.filter(|[low, high]| low <= high).collect()
}

fn pair([low, high]: &[Exact; 2]) -> String {
    format!("{} {}", signed(low, 1), signed(high, 1))
}

/// A stretch that begins at a threshold and goes on away from rest, or to where it ends: where it may be, and
/// where it surely is.
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
    let works = device.works.iter().flat_map(|w| [Some(&w.from), w.to.as_ref()]);
    for at in works.chain(device.stops.iter().map(Option::as_ref)).flatten() {
        most = most.max(at.value.abs() + &at.off);
    }
    for end in reach.iter().flat_map(|r| &r.hull) {
        most = most.max(end.abs());
    }
    let steps = (most * Exact::int(4)).ceil().unwrap_or(4).max(4);
    Exact::ratio(steps, 4)
}

/// How far a device is driven.
struct Reach {
    /// In one or other order that the file leaves open.
    hull: [Exact; 2],
    /// In every one of them.
    common: [Exact; 2],
}

fn reached(setup: &Setup, device: &Device, reach: &[ChannelReach]) -> Option<Reach> {
    match device.input {
        Input::None => None,
        Input::Behind(other) => {
            let limits = setup.devices[other].limits.clone()?;
            Some(Reach { hull: limits.clone(), common: limits })
        }
        Input::Channel(channel) => {
            let number = setup.channels[channel].number;
            let of = reach.iter().filter(|r| r.channel == number);
            let (low, high) = (of.clone().map(|r| r.low.clone()), of.map(|r| r.high.clone()));
            Some(Reach {
                hull: [low.clone().reduce(Exact::min)?, high.clone().reduce(Exact::max)?],
                common: [low.reduce(Exact::max)?, high.reduce(Exact::min)?],
            })
        }
    }
}

/// The endpoints on the axis: one to each side, or all those possible where the file leaves open by
/// what they are named or what the sub-trim does to them.
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

fn toleranced(at: &Toleranced) -> String {
    if at.off.is_zero() {
        return signed(&at.value, 1);
    }
    format!("{} ±{}", signed(&at.value, 1), digits(&at.off, 1))
}
