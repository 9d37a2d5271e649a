//! Every reading that a hand could take to tell orders apart: sticks, trims and switches of one channel, and a few
//! endpoints and sub-trims dialled in for a while.

use super::shot::{Shot, at_rest, half_way};
use crate::chain::rounded::{Held, Range, point};
use crate::proof::cases::Influence;
use crate::setup::{ChannelId, ControlId, ControlKind, Exact, Figure, Setup};

/// What is dialled in on a channel.
#[derive(Clone, Debug)]
pub struct Dial {
    /// Endpoints of the low and the high way.
    pub endpoints: [Exact; 2],
    /// Sub-trim.
    pub sub_trim: Exact,
    /// How much there is to do, and to put back.
    pub cost: u32,
}

/// Where hands are, and how much there is to do.
pub type Pose = (Held, u32);

/// More things at once are a source of mistakes at the bench (common practice, no source).
pub const MOST_AT_ONCE: u32 = 4;

/// What may be dialled in on a channel, the least to do first: as the file has it, endpoints of a half, unequal ones,
/// full and beyond, and a sub-trim to either side.
pub fn dials(setup: &Setup, channel: ChannelId) -> Vec<Dial> {
    let c = &setup.channels[channel];
    let share = |n: i64| Exact::percent(n);
    let ends = [[50, 50], [50, 100], [100, 50], [100, 100], [110, 110]].map(|pair| pair.map(share));
    let keep = Dial { endpoints: c.endpoints.clone(), sub_trim: c.sub_trim.clone(), cost: 0 };
    let mut all = vec![keep.clone()];
    for endpoints in ends {
        all.push(Dial { endpoints, cost: 1, ..keep.clone() });
    }
    for sub_trim in [share(10), share(-10), share(0)] {
        all.push(Dial { sub_trim: sub_trim.clone(), cost: 1, ..keep.clone() });
        all.push(Dial { sub_trim, endpoints: [share(50), share(50)], cost: 2 });
    }
    let most = &setup.transmitter.furthest;
    all.retain(|dial| dial.endpoints.iter().all(|end| end <= most));
    all
}

/// Both endpoints as far as the set lets them be dialled, and the sub-trim beyond, to either side: where the outputs end
/// altogether.
pub fn farthest(setup: &Setup) -> [Dial; 2] {
    let most = &setup.transmitter.furthest;
    [10, -10].map(|n| Dial { endpoints: [most.clone(), most.clone()], sub_trim: Exact::percent(n), cost: 2 })
}

/// Where hands can be that move a channel.
pub fn poses(setup: &Setup, channel: ChannelId) -> Vec<Pose> {
    let influence = Influence::on(setup, channel);
    let own = setup.channels[channel].control;
    let mut all = vec![(at_rest(setup), 0)];
    if let Some(own) = own {
        all = with_places(setup, all, own, true);
        all = with_trims(setup, all, own);
    }
    for &switch in &influence.switches {
        all = with_settings(setup, all, switch);
    }
    // Of what is mixed in one thing at a time.
    let mut more = Vec::new();
    for &other in influence.controls.iter().filter(|&&other| Some(other) != own) {
        more.extend(with_trims(setup, with_places(setup, all.clone(), other, false), other));
    }
    all.extend(more);
    all.retain(|(_, cost)| *cost <= MOST_AT_ONCE);
    all.sort_by_key(|(_, cost)| *cost);
    all.dedup();
    let mut seen = std::collections::BTreeSet::new();
    all.retain(|(held, _)| seen.insert(held.clone()));
    all
}

fn with_places(setup: &Setup, poses: Vec<Pose>, control: ControlId, half: bool) -> Vec<Pose> {
    let c = &setup.controls[control];
    if !c.settings.is_empty() {
        return with_settings(setup, poses, control);
    }
    let mut places: Vec<(Range, u32)> = vec![(point(&-Exact::ONE), 1), (point(&Exact::ONE), 1)];
    if half && matches!(c.kind, ControlKind::Stick | ControlKind::Slider | ControlKind::Knob) {
        places.extend([(half_way(0), 2), (half_way(1), 2)]);
    }
    let mut all = poses.clone();
    for (held, cost) in poses {
        for (place, more) in &places {
            let mut held = held.clone();
            held.positions[control] = place.clone();
            all.push((held, cost + more));
        }
    }
    all
}

fn with_trims(setup: &Setup, poses: Vec<Pose>, control: ControlId) -> Vec<Pose> {
    let unknown = setup.unknown.iter().any(|u| u.figure == Figure::Trim(control));
    let [low, high] = &setup.controls[control].trim;
    let mut all = poses.clone();
    for trim in [-low, high.clone()].into_iter().filter(|trim| !trim.is_zero() && !unknown) {
        for (held, cost) in &poses {
            let mut held = held.clone();
            held.trims[control] = trim.clone();
            all.push((held, cost + 1));
        }
    }
    all
}

fn with_settings(setup: &Setup, poses: Vec<Pose>, switch: ControlId) -> Vec<Pose> {
    let c = &setup.controls[switch];
    let mut all = poses.clone();
    for setting in (0..c.settings.len()).filter(|&setting| setting != c.home) {
        for (held, cost) in &poses {
            let mut held = held.clone();
            held.settings[switch] = setting;
            held.positions[switch] = point(&c.setting_position(setting));
            all.push((held, cost + 1));
        }
    }
    all
}

/// The shot of a dial and a pose.
pub fn shot(channel: ChannelId, dial: &Dial, held: &Held) -> Shot {
    Shot { channel, endpoints: dial.endpoints.clone(), sub_trim: dial.sub_trim.clone(), held: held.clone() }
}
