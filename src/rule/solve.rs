//! All endpoints and the sub-trim of one channel together, for a large smallest margin.
//!
//! Candidates are judged exactly, as the windows are; only which candidates are tried is chosen: a
//! wide grid first, then a finer one around the best. What is promised: the margin given is a true
//! one and never worse than what is set. What is not: that no other values leave more. A margin
//! mostly rises up to a point and falls behind it, so that a wide grid finds the hill, but where
//! limits cut in there can be two hills. A test holds small boats against every combination.

use super::say;
use super::windows::{Judge, Sort, concerns, way};
use crate::finding::Margin;
use crate::setup::{ChannelId, Exact, Setup, Side};
use std::collections::BTreeMap;

/// A sub-trim beyond this is a horn on the wrong tooth.
const MOST_SUB_TRIM: i64 = 30;
/// Points of a grid to each side of its middle.
const POINTS: i64 = 6;

/// One channel, solved.
#[derive(Clone, Debug)]
pub struct Solved {
    /// The channel.
    pub channel: ChannelId,
    /// Endpoints, low and high.
    pub endpoints: [Exact; 2],
    /// Sub-trim.
    pub sub_trim: Exact,
    /// The smallest margin as set; below nought where something is broken.
    pub before: Option<Margin>,
    /// The smallest margin with these values.
    pub after: Option<Margin>,
    /// The values differ from those set.
    pub changed: bool,
}

impl Solved {
    /// Puts the values into a set-up.
    pub fn apply(&self, setup: &mut Setup) {
        let channel = &mut setup.channels[self.channel];
        channel.endpoints = self.endpoints.clone();
        channel.sub_trim = self.sub_trim.clone();
    }
}

/// Every channel on which something has a margin, one after the other in order of their number.
pub fn solve(setup: &Setup) -> Vec<Solved> {
    let mut now = setup.clone();
    let mut all = Vec::new();
    for channel in 0..setup.channels.len() {
        if setup.channels[channel].control.is_none() || !concerns(setup, channel) {
            continue;
        }
        // What was found for one channel counts for those that it is mixed into.
        let solved = one(&now, channel);
        solved.apply(&mut now);
        if solved.before.is_some() {
            all.push(solved);
        }
    }
    all
}

/// One pair of endpoints and a sub-trim.
type Values = (Exact, [Exact; 2]);

/// Nothing lost, no sense wrong, the smallest margin: what is better compares as greater.
type Rank = (bool, bool, Option<Exact>);

/// By rule, what it is about and the state of the boat.
type Others = BTreeMap<(&'static str, String, String), (bool, Option<Exact>)>;

/// How a candidate came out: the smallest margin of all, and of each way.
#[derive(Clone, Debug)]
struct Score {
    ways: [Option<(Exact, i32)>; 2],
    /// The smallest margin to what holds an endpoint back.
    held: Option<Exact>,
    /// Something is broken that has no margin.
    lost: bool,
    /// A sense is wrong.
    reversed: bool,
}

impl Score {
    fn least(&self) -> Option<&(Exact, i32)> {
        self.ways.iter().flatten().reduce(|a, b| if b.0 < a.0 { b } else { a })
    }

    fn rank(&self) -> Rank {
        (!self.lost, !self.reversed, self.least().map(|l| l.0.clone()))
    }
}

struct Search<'a> {
    setup: &'a Setup,
    channel: ChannelId,
    judge: Judge,
    seen: BTreeMap<Values, Score>,
    /// Endpoints that may limit a way that wants something: on the others less travel would always be safer, and how much of
    /// it is needed only the builder knows.
    free: [bool; 2],
    /// The margin with which a way begins that wants nothing. More than this counts for nothing, or
    /// a stop far off would pull the whole channel away from itself.
    enough: [Option<Exact>; 2],
    /// What all rules say as set.
    others: Others,
}

/// Of both endpoints, whether it may limit a way that wants something.
fn free(setup: &Setup, channel: ChannelId) -> [bool; 2] {
    let wants = &setup.channels[channel].wants;
    Side::BOTH.map(|side| setup.limited_by(channel, side).iter().any(|way| !wants[way.index()].is_empty()))
}

fn one(setup: &Setup, channel: ChannelId) -> Solved {
    let c = &setup.channels[channel];
    let set = (c.sub_trim.clone(), c.endpoints.clone());
    let judge = Judge::new(setup, channel);
    let free = free(setup, channel);
    let others = others(setup, channel);
    let mut search =
        Search { setup, channel, judge, seen: BTreeMap::new(), free, enough: [None, None], others };
    let before = search.score(&set);
    let start = (set.0.clone(), [Side::Low, Side::High].map(|side| search.start(side)));
    let begins = search.score(&start);
    search.enough = [0, 1].map(|i| begins.ways[i].clone().filter(|_| !free[i]).map(|w| w.0));
    search.seen.clear();
    let mut best = start.clone();
    if free.contains(&true) {
        best = search.plainest(&start);
    }
    if !search.harmless(&best) || search.score(&best).rank() <= before.rank() {
        best = set.clone();
    }
    search.enough = [None, None];
    search.seen.clear();
    let after = search.score(&best);
    let margin = |score: &Score| score.least().map(|(m, sign)| say::margin(setup, m, *sign));
    Solved {
        channel,
        changed: best != set,
        before: margin(&before),
        after: margin(&after),
        sub_trim: best.0,
        endpoints: best.1,
    }
}

impl Search<'_> {
    fn score(&mut self, values: &Values) -> Score {
        if let Some(score) = self.seen.get(values) {
            return score.clone();
        }
        let changed = with(self.setup, self.channel, values);
        let mut score = Score { ways: [None, None], held: None, lost: false, reversed: false };
        for side in Side::BOTH {
            for instance in self.judge.row(&changed, side) {
                if instance.sort == Sort::Sense {
                    score.reversed |= instance.broken;
                    continue;
                }
                score.lost |= instance.broken && instance.margin.is_none();
                let Some(margin) = instance.margin else { continue };
                if instance.sort != Sort::Want && score.held.as_ref().is_none_or(|held| margin < *held) {
                    score.held = Some(margin.clone());
                }
                let least = &mut score.ways[side.index()];
                if least.as_ref().is_none_or(|(m, _)| margin < *m) {
                    *least = Some((margin, instance.sign));
                }
            }
        }
        for (least, enough) in score.ways.iter_mut().zip(&self.enough) {
            if let (Some((margin, _)), Some(enough)) = (least, enough)
                && *margin > *enough
            {
                *margin = enough.clone();
            }
        }
        self.seen.insert(values.clone(), score.clone());
        score
    }

    /// Where a way begins: as set, or at the nearest safe value below it where it wants nothing and
    /// is not safe.
    fn start(&self, side: Side) -> Exact {
        let set = self.setup.channels[self.channel].endpoints[side.index()].clone();
        if self.free[side.index()] {
            return set;
        }
        let windows = way(self.setup, self.channel, side).map(|w| w.windows).unwrap_or_default();
        if windows.iter().any(|[low, high]| *low <= set && set <= *high) {
            return set;
        }
        windows.into_iter().rev().map(|[_, high]| high).find(|high| *high < set).unwrap_or(set)
    }

    /// The best endpoints for a sub-trim, each way in turn until neither gets better.
    fn ends(&mut self, start: &Values, trim: &Exact) -> Values {
        let mut at = (trim.clone(), start.1.clone());
        for _ in 0..3 {
            let before = at.clone();
            for side in Side::BOTH {
                if self.free[side.index()] {
                    at = self.best_end(&at, side);
                }
            }
            if at == before {
                break;
            }
        }
        at
    }

    fn best_end(&mut self, at: &Values, side: Side) -> Values {
        let i = side.index();
        let (step, furthest) = (self.setup.transmitter.step.clone(), self.setup.transmitter.furthest.clone());
        let most = (&furthest / &step).floor().unwrap_or(0).max(0);
        let mut best = at.clone();
        let mut rank = self.end_rank(&best, i);
        // The first middle is that of the whole range, so that a wrong start does not decide.
        let (mut middle, mut reach) = (most / 2, most / 2 + 1);
        loop {
            let stride = ((reach + POINTS - 1) / POINTS).max(1);
            for k in -POINTS - 1..=POINTS + 1 {
                let index = middle + k * stride;
                if !(0..=most).contains(&index) {
                    continue;
                }
                let mut next = at.clone();
                next.1[i] = &step * Exact::int(index);
                let found = self.end_rank(&next, i);
                if found > rank {
                    (best, rank) = (next, found);
                }
            }
            if stride == 1 {
                return best;
            }
            middle = (&best.1[i] / &step).floor().unwrap_or(middle);
            reach = stride;
        }
    }

    /// The smallest margin of the channel first; where the other way holds that down, its own.
    fn end_rank(&mut self, values: &Values, i: usize) -> (Rank, Option<Exact>) {
        let score = self.score(values);
        (score.rank(), score.ways[i].clone().map(|w| w.0))
    }

    /// The sub-trim whose best endpoints leave the most; of equals the one set, then the smallest.
    fn best_trim(&mut self, start: &Values) -> (Rank, Exact) {
        let step = self.setup.transmitter.step.clone();
        let most = (Exact::percent(MOST_SUB_TRIM) / &step).floor().unwrap_or(0).max(0);
        let (mut middle, mut reach) = (0, most);
        let mut best = (self.ends_rank(start, &start.0), start.0.clone());
        // Where nothing holds the endpoints back as closely as the works hold them out, shifting rest
        // only drives the servo further than it has any need to go.
        let ends = self.ends(start, &start.0);
        let score = self.score(&ends);
        let opposed =
            score.held.is_some_and(|held| score.ways.iter().flatten().all(|w| held <= &w.0 + &step));
        if !opposed {
            return best;
        }
        loop {
            let stride = ((reach + POINTS - 1) / POINTS).max(1);
            for index in (-POINTS..=POINTS).map(|k| middle + k * stride).filter(|i| i.abs() <= most) {
                let trim = &step * Exact::int(index);
                let rank = self.ends_rank(start, &trim);
                let smaller = best.1 != start.0 && trim.abs() < best.1.abs();
                if rank > best.0 || rank == best.0 && smaller {
                    let ends = self.ends(start, &trim);
                    if self.harmless(&ends) {
                        best = (rank, trim);
                    }
                }
            }
            if stride == 1 {
                return best;
            }
            middle = (&best.1 / &step).floor().unwrap_or(middle);
            reach = stride;
        }
    }

    /// Other rules look at this channel too: none of them may be broken by a better margin, and no
    /// band of rest be left narrower.
    fn harmless(&self, values: &Values) -> bool {
        let now = others(&with(self.setup, self.channel, values), self.channel);
        now.iter().all(|(key, (open, margin))| match self.others.get(key) {
            Some((was_open, was)) => {
                (!open || *was_open) && (key.0 != super::neutral_missed::NAME || margin >= was)
            }
            None => !open,
        })
    }

    fn ends_rank(&mut self, start: &Values, trim: &Exact) -> Rank {
        let ends = self.ends(start, trim);
        self.score(&ends).rank()
    }

    /// Of the candidates with the largest smallest margin, the one that changes least: no sub-trim
    /// before some, fewer values before more, near ones before far ones.
    fn plainest(&mut self, start: &Values) -> Values {
        let (rank, trim) = self.best_trim(start);
        let mut best = self.ends(start, &trim);
        let free = self.free;
        for i in (0..2).filter(|&i| free[i]) {
            best = self.nearest(start, best, i, &rank);
        }
        best
    }

    /// The value of one way nearest to the one set that keeps the smallest margin of all.
    fn nearest(&mut self, start: &Values, best: Values, i: usize, rank: &Rank) -> Values {
        let step = self.setup.transmitter.step.clone();
        let mut next = best.clone();
        next.1[i] = start.1[i].clone();
        if self.score(&next).rank() >= *rank {
            return next;
        }
        let mut at = best;
        let up = start.1[i] > at.1[i];
        loop {
            let mut next = at.clone();
            next.1[i] = if up { &at.1[i] + &step } else { &at.1[i] - &step };
            let past = if up { next.1[i] > start.1[i] } else { next.1[i] < start.1[i] };
            if past || self.score(&next).rank() < *rank {
                return at;
            }
            at = next;
        }
    }
}

fn with(setup: &Setup, channel: ChannelId, values: &Values) -> Setup {
    let mut changed = setup.clone();
    let c = &mut changed.channels[channel];
    (c.sub_trim, c.endpoints) = values.clone();
    changed
}

/// What every rule says of a set-up: for each instance whether it is open, and its margin.
fn others(setup: &Setup, channel: ChannelId) -> Others {
    // Pulses measured with the old values say nothing about the new ones.
    let mut setup = setup.clone();
    setup.channels[channel].measured = [None, None];
    let told = |f: crate::finding::Finding| {
        let open = f.is_open();
        ((f.rule, f.about, f.state), (open, f.margin.map(|m| m.axis)))
    };
    super::check(&setup).into_iter().map(told).collect()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::solve;
    use crate::setup::{Exact, Setup, lower};
    use crate::source::Source;

    fn boat(path: &str) -> Setup {
        let source = Source::from_bytes("x", std::fs::read(path).unwrap()).unwrap();
        lower::lower(&source).unwrap()
    }

    /// The pump must be passed at 42 %, gas begins at 66 %: half way lies 54 %, 12 % from both. The
    /// vent is full for sure at 75 %, so flood needs 87 % to leave as much.
    #[test]
    fn blow_ends_half_way_between_pump_and_gas() {
        let setup = boat("tests/fixtures/example.yaml");
        let all = solve(&setup);
        let ballast = all.iter().find(|s| s.channel == 3).unwrap();
        assert_eq!(ballast.endpoints, [Exact::percent(87), Exact::percent(54)]);
        assert_eq!(ballast.sub_trim, Exact::ZERO);
        assert_eq!(ballast.before.as_ref().unwrap().axis, Exact::percent(5));
        assert_eq!(ballast.after.as_ref().unwrap().axis, Exact::percent(12));
        assert!(all.iter().filter(|s| s.channel != 3).all(|s| !s.changed));
    }

    /// The best smallest margin of all steps of both endpoints and the sub-trim.
    fn best_of_all(setup: &Setup, channel: usize) -> (bool, bool, Option<Exact>) {
        let free = super::free(setup, channel);
        let judge = super::Judge::new(setup, channel);
        let mut search = super::Search {
            setup,
            channel,
            judge,
            seen: super::BTreeMap::new(),
            free,
            enough: [None, None],
            others: super::others(setup, channel),
        };
        let step = setup.transmitter.step.clone();
        let most = (&setup.transmitter.furthest / &step).floor().unwrap();
        let trims = (Exact::percent(super::MOST_SUB_TRIM) / &step).floor().unwrap();
        let mut best = None;
        for trim in -trims..=trims {
            for low in 0..=most {
                for high in 0..=most {
                    let at = |k: i64| &step * Exact::int(k);
                    best = best.max(Some(search.score(&(at(trim), [at(low), at(high)])).rank()));
                }
            }
        }
        best.unwrap()
    }

    /// Vent and pump on two ways of one stick, in steps of 10 %, a gas valve behind each in some.
    #[test]
    fn on_small_boats_no_combination_of_steps_leaves_more() {
        for (vent, pump, gas, sense) in
            [(45, 40, 95, "blow"), (38, 52, 88, "flood"), (60, 23, 71, "blow"), (27, 64, 102, "blow")]
        {
            let side = if sense == "blow" { 1 } else { -1 };
            let text = format!(
                "lidcard: 1
boat: {{name: Test, kind: submarine}}
transmitter: {{channels: 4, step: 10 %, furthest: 120 %, pulse: {{accuracy: 0 us}}, order: {{past_full_stick: cut off, endpoint: scales, endpoint_side: stick, trim: before endpoint, mix: before endpoint, sub_trim: shifts ends}}}}
controls:
  tank: {{at: left stick, ways: {{towards: flood, away: blow}}}}
channels:
  1: {{control: tank, longer: {sense}, endpoints: {{flood: 70 %, blow: 70 %}}, wants: {{flood: vent, blow: pump}}}}
devices:
  s: {{kind: servo, channel: 1, accuracy: 1 %, stops: [-115 %, +115 %], works: {{vent: {{kind: vent valve, from: {} %}}, pump: {{kind: pump switch, from: {} %}}, gas: {{kind: emergency gas valve, from: {} %}}}}}}
",
                -side * vent,
                side * pump,
                side * gas
            );
            let mut setup = lower::lower(&Source::from_text("x", &text).unwrap()).unwrap();
            let (_, _, most) = best_of_all(&setup, 0);
            let solved = solve(&setup);
            assert_eq!(solved[0].after.as_ref().map(|m| m.axis.clone()), most, "{vent} {pump} {gas} {sense}");
            solved[0].apply(&mut setup);
            assert!(!solve(&setup)[0].changed);
        }
    }

    #[test]
    fn what_is_solved_cannot_be_solved_further() {
        let mut setup = boat("boats/moonfish.yaml");
        let first = solve(&setup);
        first.iter().for_each(|s| s.apply(&mut setup));
        assert!(solve(&setup).iter().all(|s| !s.changed));
    }
}
