//! Which endpoint values are safe whatever the figures are that the file does not give.

use super::engine::Context;
use super::safe::{self, Asked};
use super::worlds::at_worst;
use crate::finding::{NOT_JUDGED, WayWindows};
use crate::setup::{ChannelId, Exact, Setup, Side};

/// The windows of a way: those of the set-up as read, less what is not safe with everything unknown at its
/// worst. An end that hangs on such a figure names it, and there is no best value then.
pub(super) fn way(setup: &Setup, asked: &[Asked], channel: ChannelId, side: Side) -> Option<WayWindows> {
    let read = safe::way(setup, asked, channel, side);
    let worst: Vec<WayWindows> =
        at_worst(setup).iter().filter_map(|world| in_world(world, channel, side)).collect();
    if worst.is_empty() {
        return read;
    }
    let mut all = read.iter().chain(&worst).map(|way| way.windows.clone());
    let first = all.next()?;
    let windows = all.fold(first, |both, other| common(&both, &other));
    let known = |named: fn(&WayWindows) -> &Vec<String>| {
        let of_read: Vec<String> = read.iter().flat_map(|way| named(way).clone()).collect();
        let only_there = worst.iter().flat_map(move |way| named(way).clone());
        let mut new: Vec<String> = only_there.filter(|name| !of_read.contains(name)).collect();
        new.sort();
        new.dedup();
        new
    };
    let (still, but) = (known(|way| &way.not_moved), known(|way| &way.but));
    if read.as_ref().is_some_and(|way| way.windows == windows) && still.is_empty() && but.is_empty() {
        return read;
    }
    let told = format!("{NOT_JUDGED}{}", hanging(setup, &read, channel, side).join(", "));
    let ends = |windows: &[[Exact; 2]]| {
        [windows.first().map(|w| w[0].clone()), windows.last().map(|w| w[1].clone())]
    };
    let of_read = read.as_ref().map(|way| ends(&way.windows));
    let mut way = read.or_else(|| worst.into_iter().next())?;
    let same = |end: usize| of_read.as_ref().is_some_and(|read| read[end] == ends(&windows)[end]);
    if !same(0) {
        way.low_limit.clone_from(&told);
        way.margins[0] = None;
    }
    if !same(1) {
        way.high_limit.clone_from(&told);
        way.margins[1] = None;
    }
    way.best = None;
    if windows.is_empty() && !same(0) {
        way.crossing = Some(told);
    }
    let open = |names: Vec<String>| names.into_iter().map(|name| format!("{NOT_JUDGED}{name}"));
    way.but.extend(open(still).chain(open(but)));
    way.windows = windows;
    Some(way)
}

fn in_world(world: &Setup, channel: ChannelId, side: Side) -> Option<WayWindows> {
    let context = Context::new(world);
    safe::way(world, context.asked(), channel, side)
}

/// What lies in both of two lists of stretches.
fn common(one: &[[Exact; 2]], other: &[[Exact; 2]]) -> Vec<[Exact; 2]> {
    let both = one.iter().flat_map(|[a, b]| {
        other.iter().map(move |[c, d]| [a.clone().max(c.clone()), b.clone().min(d.clone())])
    });
    both.filter(|[low, high]| low <= high).collect()
}

/// The keys that move the windows, each alone at its worst; all of them where none does so alone.
fn hanging(setup: &Setup, read: &Option<WayWindows>, channel: ChannelId, side: Side) -> Vec<String> {
    let of = |way: &Option<WayWindows>| {
        way.as_ref().map(|way| (way.windows.clone(), way.not_moved.clone(), way.but.clone()))
    };
    let named = |alone: bool| {
        let moves = setup.unknown.iter().filter(|unknown| {
            let figure = unknown.figure;
            !alone || of(&in_world(&setup.clone().with(figure, figure.steps()), channel, side)) != of(read)
        });
        let mut keys: Vec<String> = Vec::new();
        for key in moves.map(|unknown| unknown.path.0.join(".")) {
            if !keys.contains(&key) {
                keys.push(key);
            }
        }
        keys
    };
    let alone = named(true);
    if alone.is_empty() { named(false) } else { alone }
}
