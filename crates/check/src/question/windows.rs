//! Which endpoint values are safe whatever the figures are that the file does not give.

use super::asks::Asks;
use super::engine::Context;
use super::safe::{self, Asked, Row};
use super::trial::Trial;
use super::worlds::at_worst;
use crate::finding::{NOT_JUDGED, WayWindows};
use crate::setup::{ChannelId, Exact, Setup, Side};

/// The lowest value that everything wanted leaves and the highest that everything feared leaves, each by itself.
type Ends = [Option<Exact>; 2];

/// The windows of a way: those of the set-up as read, less what is not safe with everything unknown at its
/// worst. An end that hangs on such a figure names it, and there is no best value then.
pub(super) fn way(setup: &Setup, asked: &[Asked], channel: ChannelId, side: Side) -> Option<WayWindows> {
    let read = safe::way(setup, asked, channel, side);
    let worlds = at_worst(setup);
    let worst: Vec<WayWindows> =
        worlds.iter().filter_map(|world| in_world(world, channel, side, read.is_none())).collect();
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
    let hopeless = read.as_ref().is_some_and(|way| way.windows.is_empty());
    let of_read = ends(setup, channel, side);
    let of_worlds: Vec<Ends> = worlds.iter().map(|world| ends(world, channel, side)).collect();
    let mut way = read.or_else(|| worst.into_iter().next())?;
    for end in [0, 1] {
        if of_worlds.iter().all(|ends| ends[end] == of_read[end]) {
            way.ends[end].clone_from(&of_read[end]);
            continue;
        }
        let told = format!("{NOT_JUDGED}{}", hanging(setup, channel, side, end).join(", "));
        *[&mut way.low_limit, &mut way.high_limit][end] = told;
        way.margins[end] = None;
    }
    way.best = None;
    if !hopeless {
        way.crossing = None;
    }
    let open = |names: Vec<String>| names.into_iter().map(|name| format!("{NOT_JUDGED}{name}"));
    way.but.extend(open(still).chain(open(but)));
    way.windows = windows;
    Some(way)
}

/// The keys without which nothing can be proposed for a channel: what is safe on one of its ways hangs on them.
pub(super) fn keys(setup: &Setup, asked: &[Asked], channel: ChannelId) -> Vec<String> {
    let ways = Side::BOTH.map(|side| way(setup, asked, channel, side));
    let gathered = |named: fn(&WayWindows) -> Vec<&String>| {
        let mut all: Vec<String> = Vec::new();
        let limits = ways.iter().flatten().flat_map(named);
        for key in limits.filter_map(|limit| limit.strip_prefix(NOT_JUDGED)).flat_map(|keys| keys.split(", "))
        {
            if !all.iter().any(|known| known == key) {
                all.push(key.to_owned());
            }
        }
        all
    };
    let of_ends = gathered(|way| vec![&way.low_limit, &way.high_limit]);
    if of_ends.is_empty() { gathered(|way| way.but.iter().collect()) } else { of_ends }
}

fn in_world(world: &Setup, channel: ChannelId, side: Side, told: bool) -> Option<WayWindows> {
    let context = Context::new(world);
    safe::way_told(world, context.asked(), channel, side, told)
}

/// What lies in both of two lists of stretches.
fn common(one: &[[Exact; 2]], other: &[[Exact; 2]]) -> Vec<[Exact; 2]> {
    let both = one.iter().flat_map(|[a, b]| {
        other.iter().map(move |[c, d]| [a.clone().max(c.clone()), b.clone().min(d.clone())])
    });
    both.filter(|[low, high]| low <= high).collect()
}

/// Whether a question is answered the better the farther a way goes.
fn wants_more(asks: &Asks) -> bool {
    matches!(asks, Asks::Misses { .. } | Asks::FallsShort { .. } | Asks::Moves { .. } | Asks::Narrow { .. })
}

/// How far a way has to go for all that wants more, and how far it may for all that wants less.
fn ends(setup: &Setup, channel: ChannelId, side: Side) -> Ends {
    let context = Context::new(setup);
    let questions = safe::deciding(setup, context.asked(), channel);
    let values = safe::values(setup);
    let mut trial = Trial::new(setup, channel, &questions);
    let rows = safe::table(&mut trial, &questions, side, &values);
    let (_, left_out) = safe::safe_values(&rows, values.len());
    let kept = |row: &&Row| !left_out.iter().any(|out| std::ptr::eq(*out, *row));
    let well = |more: bool| -> Vec<bool> {
        let rows: Vec<&Row> =
            rows.iter().filter(kept).filter(|row| wants_more(&row.question.asks) == more).collect();
        (0..values.len()).map(|k| rows.iter().all(|row| !row.bad[k])).collect()
    };
    let low = well(true).iter().position(|well| *well);
    let high = well(false).iter().rposition(|well| *well);
    [low, high].map(|k| k.map(|k| values[k].clone()))
}

/// The keys that move an end, each alone at its worst; all of them where none does so alone.
fn hanging(setup: &Setup, channel: ChannelId, side: Side, end: usize) -> Vec<String> {
    let read = ends(setup, channel, side)[end].clone();
    let named = |alone: bool| {
        let moves = setup.unknown.iter().filter(|unknown| {
            let figure = unknown.figure;
            !alone || ends(&setup.clone().with(figure, figure.steps()), channel, side)[end] != read
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
