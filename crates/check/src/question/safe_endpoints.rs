//! Which endpoint values are safe whatever the figures are that the file does not give.

use super::asks::Asks;
use super::engine::Engine;
use super::safe::{self, BareQuestion, Row, Tabled};
use super::worlds::{at_worst, is_of_one_function, may_touch};
use crate::finding::{NOT_JUDGED, SafeEndpoints};
use crate::setup::{ChannelId, Exact, Setup, Side};
use std::cell::OnceCell;
use std::rc::Rc;
use std::sync::OnceLock;

/// The lowest value that everything wanted leaves and the highest that everything feared leaves, each by itself.
type Ends = [Option<Exact>; 2];

/// A set-up in which figures that the file does not give have a value, and what is asked of it.
struct World {
    setup: Setup,
    asked: Vec<BareQuestion>,
}

impl World {
    fn of(setup: Setup) -> Self {
        let asked = crate::rule::asked(&Engine::new(&setup));
        Self { setup, asked }
    }
}

/// The set-ups that every window has to suit, made and asked once for all ways.
pub(super) struct Worlds {
    /// Everything unknown at its worst.
    worst: Vec<World>,
    /// One figure alone at its worst, in the order of the file, once somebody wants to know.
    singles: Vec<OnceCell<Rc<World>>>,
}

impl Worlds {
    /// Those of a set-up.
    pub(super) fn of(setup: &Setup) -> Self {
        let worst = at_worst(setup).into_iter().map(World::of).collect();
        Self { worst, singles: setup.unknown.iter().map(|_| OnceCell::new()).collect() }
    }

    fn single(&self, setup: &Setup, at: usize) -> Rc<World> {
        let figure = setup.unknown[at].figure;
        let made = || Rc::new(World::of(setup.clone().with(figure, figure.steps())));
        // One channel wants to know of those, and there may be hundreds.
        if is_of_one_function(figure) { made() } else { Rc::clone(self.singles[at].get_or_init(made)) }
    }
}

/// By channel and side: what was found out of a way.
pub(super) type Known = Vec<[OnceLock<Option<SafeEndpoints>>; 2]>;

/// The windows of all ways, each worked out once: what the advice in a finding asked for is known already.
#[derive(Clone, Debug, Default)]
pub struct Windows {
    known: Known,
    all: OnceLock<Vec<SafeEndpoints>>,
}

impl Windows {
    /// With what is known of a set-up.
    pub(super) fn knowing(known: Known) -> Self {
        Self { known, all: OnceLock::new() }
    }

    /// The windows of every way of every channel on which something hangs, of the set-up of which some are known.
    pub fn of(&self, setup: &Setup) -> &[SafeEndpoints] {
        self.all.get_or_init(|| {
            let engine = Engine::new(setup);
            let of = |(channel, side): (ChannelId, Side)| {
                let known = self.known.get(channel).and_then(|ways| ways[side.index()].get());
                known.cloned().unwrap_or_else(|| engine.safe_endpoints(channel, side).cloned())
            };
            let ways = (0..setup.channels.len()).flat_map(|channel| Side::BOTH.map(|side| (channel, side)));
            ways.filter_map(of).collect()
        })
    }
}

/// The windows of a way: those of the set-up as read, less what is not safe with everything unknown at its
/// worst. An end that hangs on such a figure names it, and there is no best value then. Without `told` neither is
/// looked for, nor what would open a way that nothing is safe on.
pub(super) fn way(engine: &Engine, channel: ChannelId, side: Side, told: bool) -> Option<SafeEndpoints> {
    let setup = engine.setup;
    let mut as_read = Tabled::of(setup, engine.asked(), channel, side);
    let worlds = engine.worlds();
    let of_read = ends(&as_read);
    let read = as_read.way(told);
    let told = told && read.is_none();
    let (of_worlds, worst): (Vec<Ends>, Vec<Option<SafeEndpoints>>) = worlds
        .worst
        .iter()
        .map(|world| {
            let mut found = Tabled::of(&world.setup, &world.asked, channel, side);
            (ends(&found), found.way(told))
        })
        .unzip();
    let worst: Vec<SafeEndpoints> = worst.into_iter().flatten().collect();
    if worst.is_empty() {
        return read;
    }
    let mut all = read.iter().chain(&worst).map(|way| way.windows.clone());
    let first = all.next()?;
    let windows = all.fold(first, |both, other| common(&both, &other));
    let known = |named: fn(&SafeEndpoints) -> &Vec<String>| {
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
    let alone = OnceCell::new();
    let mut way = read.or_else(|| worst.into_iter().next())?;
    for end in [0, 1] {
        if of_worlds.iter().all(|ends| ends[end] == of_read[end]) {
            way.ends[end].clone_from(&of_read[end]);
            continue;
        }
        let told = format!("{NOT_JUDGED}{}", {
            let alone = alone.get_or_init(|| alone_at_worst(engine, &as_read));
            hanging(setup, &of_read, alone, end).join(", ")
        });
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
pub(super) fn keys(engine: &Engine, channel: ChannelId) -> Vec<String> {
    if engine.setup.unknown.is_empty() {
        return Vec::new();
    }
    let ways = Side::BOTH.map(|side| way(engine, channel, side, false));
    let gathered = |named: fn(&SafeEndpoints) -> Vec<&String>| {
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
fn ends(found: &Tabled) -> Ends {
    let Tabled { values, rows, .. } = found;
    let (_, left_out) = safe::safe_values(rows, values.len());
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

/// The ends with each figure alone at its worst; `None` of one that nothing asked of the channel hangs on.
fn alone_at_worst(engine: &Engine, read: &Tabled) -> Vec<Option<Ends>> {
    let (setup, channel) = (engine.setup, read.channel);
    let of = |at: usize| {
        let figure = setup.unknown[at].figure;
        let world = engine.worlds().single(setup, at);
        let questions = safe::deciding(&world.setup, &world.asked, channel);
        let touched = questions.iter().any(|question| may_touch(figure, &question.asks));
        // How far an output goes moves the last value there is, whatever is asked.
        (touched || questions.is_empty()).then(|| {
            let touched = |asks: &Asks| may_touch(figure, asks);
            ends(&read.of_other(&world.setup, &world.asked, touched))
        })
    };
    (0..setup.unknown.len()).map(of).collect()
}

/// The keys that move an end, each alone at its worst; all of them where none does so alone.
fn hanging(setup: &Setup, read: &Ends, alone: &[Option<Ends>], end: usize) -> Vec<String> {
    let named = |alone_only: bool| {
        let moves =
            setup.unknown.iter().zip(alone).filter(|(_, there)| {
                !alone_only || there.as_ref().is_some_and(|there| there[end] != read[end])
            });
        let mut keys: Vec<String> = Vec::new();
        for key in moves.map(|(unknown, _)| unknown.path.0.join(".")) {
            if !keys.contains(&key) {
                keys.push(key);
            }
        }
        keys
    };
    let alone = named(true);
    if alone.is_empty() { named(false) } else { alone }
}
