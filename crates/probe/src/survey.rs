//! Where one stands with a set: what is open, what readings leave, and which to take next.

use super::harmless::is_harmless;
use super::left::{Held, Reading, hull, least_grain};
use super::matters::{self, Hangs, Verdict};
use super::plan::{Goal, Search, Set, bits, outcomes, stabbed};
use super::scale::{Scale, pulse_off};
use super::shot::{Shot, at_rest};
use super::shots::{self, Dial, Pose};
use crate::chain::Order;
use crate::chain::order::LINES;
use crate::chain::rounded::{Range, point};
use crate::proof::cases::{Influence, relevant_order};
use crate::setup::{ChannelId, ControlId, Exact, Setup, Side};
use std::cell::RefCell;
use std::collections::BTreeMap;

/// What is wanted of a set.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Wanted {
    /// Every open line, not only those that a verdict hangs on.
    pub every_line: bool,
    /// Nothing of the file's pulses is believed: rest and full are read too.
    pub scale_too: bool,
}

/// A set-up and what is known before any reading.
pub struct Survey<'a> {
    setup: &'a Setup,
    plain: Setup,
    wanted: Wanted,
    meter: Exact,
    scale: Scale,
    grain: Exact,
    orders: Vec<Order>,
    /// Pulses that the file itself gives.
    measured: Vec<Reading>,
    /// By what of an order makes a difference to any channel.
    judged: RefCell<BTreeMap<Vec<Order>, Vec<Verdict>>>,
}

/// A reading of the plan and what comes after it.
#[derive(Clone, Debug)]
pub struct Node {
    /// What to read.
    pub shot: Shot,
    /// By what is read: between which pulses, which orders are left then, and the next reading.
    pub then: Vec<(Range, Vec<Order>, Option<Box<Node>>)>,
}

/// What is to be read next.
#[derive(Clone, Debug)]
pub enum Next {
    /// The set's scale first: without it no other reading tells anything.
    Scale(Shot),
    /// The plan, how many readings it takes in the worst case, and whether none is shorter.
    Plan(Box<Node>, usize, bool),
    /// Everything is decided that can be: put the settings back and read this, between these pulses.
    Back(Shot, Range),
    /// Nothing.
    Done,
}

/// Where one stands.
#[derive(Clone, Debug)]
pub struct Standing {
    /// The orders that are left.
    pub orders: Vec<Order>,
    /// Bounds of the scale over all of them; `None` where nothing is left.
    pub scale: Option<Scale>,
    /// What the set's sums are rounded by at least.
    pub grain: Exact,
    /// The lines that a verdict hangs on, among the orders that are left.
    pub hangs: Vec<Hangs>,
    /// Lines that have to be told apart and no harmless reading tells.
    pub cannot: Vec<usize>,
    /// Where nothing is left: the smallest group of readings that contradict each other.
    pub contradiction: Vec<Reading>,
    /// What comes next.
    pub next: Next,
}

/// One shot with what each order predicts of it.
struct Choice {
    shot: Shot,
    cost: u32,
    ranges: Vec<Range>,
    sets: Vec<Set>,
}

impl<'a> Survey<'a> {
    /// Of a set-up, to be read with a meter that can be off by so many microseconds.
    pub fn new(setup: &'a Setup, wanted: Wanted, meter: Exact) -> Self {
        let scale = if wanted.scale_too { Scale::near_file(setup) } else { Scale::of_file(setup) };
        let plain = matters::unmeasured(setup);
        let mut survey = Self {
            setup,
            wanted,
            meter,
            scale,
            grain: setup.transmitter.step.clone(),
            orders: Order::all(&setup.transmitter.order),
            measured: Vec::new(),
            judged: RefCell::default(),
            plain,
        };
        survey.measured = survey.measured();
        survey
    }

    /// What a reading can be off: the set's pulse and the meter.
    pub fn off(&self) -> Exact {
        pulse_off(self.setup) + &self.meter
    }

    /// The pulses of the file, as readings with a hand's 5 us more.
    fn measured(&self) -> Vec<Reading> {
        let mut all = Vec::new();
        for (channel, c) in self.setup.channels.iter().enumerate() {
            for of in &c.measured {
                let way = &self.setup.controls[of.control].ways[of.side.index()];
                all.push(Reading {
                    name: format!("measured of {}/{way}", c.number),
                    shot: self.held(channel, (of.control, of.side)),
                    read: of.pulse.0.clone(),
                    off: pulse_off(self.setup) + Exact::int(5),
                    in_file: true,
                });
            }
        }
        all
    }

    fn held(&self, channel: ChannelId, (control, side): (ControlId, Side)) -> Shot {
        let mut shot = Shot::at_rest(self.setup, channel);
        let settings = self.setup.controls[control].settings.len();
        if settings > 0 {
            let setting = if side == Side::High { settings - 1 } else { 0 };
            shot.held.settings[control] = setting;
            shot.held.positions[control] = point(&self.setup.controls[control].setting_position(setting));
        } else {
            shot.held.positions[control] = point(&side.position());
        }
        shot
    }

    fn verdicts(&self, order: &Order) -> Vec<Verdict> {
        let of = |channel: ChannelId| {
            relevant_order(&self.plain, &Influence::on(&self.plain, channel), channel, order)
        };
        let essences: Vec<Order> = (0..self.plain.channels.len()).map(of).collect();
        if let Some(known) = self.judged.borrow().get(&essences) {
            return known.clone();
        }
        let found = matters::verdicts(&matters::findings(&self.plain, order));
        self.judged.borrow_mut().insert(essences, found.clone());
        found
    }

    /// Where one stands after these readings.
    pub fn standing(&self, readings: &[Reading]) -> Standing {
        let all: Vec<Reading> = self.measured.iter().chain(readings).cloned().collect();
        let held = Held::against(&self.plain, &self.orders, &self.scale, &self.grain, &all);
        let left = held.left();
        let orders: Vec<Order> = left.iter().map(|(order, _)| *order).collect();
        if left.is_empty() {
            let contradiction = held.contradiction().into_iter().map(|n| all[n].clone()).collect();
            return Standing {
                orders,
                scale: None,
                grain: Exact::ZERO,
                hangs: Vec::new(),
                cannot: Vec::new(),
                contradiction,
                next: Next::Done,
            };
        }
        let judged: Vec<Vec<Verdict>> = orders.iter().map(|order| self.verdicts(order)).collect();
        let hangs = matters::hanging(&orders, &judged, &self.plain);
        let (next, cannot) = self.next(readings, &left, &judged);
        Standing {
            scale: hull(&left),
            grain: least_grain(&self.plain, &orders, &self.scale, &self.grain, &all),
            orders,
            hangs,
            cannot,
            contradiction: Vec::new(),
            next,
        }
    }

    fn next(
        &self,
        readings: &[Reading],
        left: &[(Order, Scale)],
        judged: &[Vec<Verdict>],
    ) -> (Next, Vec<usize>) {
        let apart = |a: usize, b: usize| {
            if self.wanted.every_line { left[a].0 != left[b].0 } else { judged[a] != judged[b] }
        };
        let pairs = (0..left.len()).any(|a| (0..a).any(|b| apart(a, b)));
        if self.wanted.scale_too
            && let Some(shot) = self.of_scale(readings, left)
        {
            return (Next::Scale(shot), Vec::new());
        }
        if !pairs {
            return (self.back(readings, left), Vec::new());
        }
        let choices = self.choices(left, &apart);
        let parted = |a: usize, b: usize| {
            choices.iter().any(|c| !c.sets.iter().any(|set| set >> a & 1 == 1 && set >> b & 1 == 1))
        };
        let mut goal = Goal { apart: vec![0; left.len()] };
        let differ = |a: usize, b: usize| {
            let lines = 0..LINES.len();
            lines.filter(move |line| left[a].0.word_index(*line) != left[b].0.word_index(*line))
        };
        // Of two orders that differ in one line alone: whether any such pair is told apart.
        let mut alone = [None; LINES.len()];
        for a in 0..left.len() {
            for b in (0..left.len()).filter(|&b| apart(a, b)) {
                let told = parted(a, b);
                if told {
                    goal.apart[a] |= 1 << b;
                }
                if let [line] = differ(a, b).collect::<Vec<_>>()[..] {
                    alone[line] = Some(told || alone[line] == Some(true));
                }
            }
        }
        let sets: Vec<Vec<Set>> = choices.iter().map(|choice| choice.sets.clone()).collect();
        let mut search = Search::new(&goal, &sets);
        let whole = bits_of(left.len());
        let planned = search.first(whole).and_then(|first| {
            let node = self.node(&mut search, whole, &choices, left)?;
            Some(Next::Plan(node, first.readings, first.shortest))
        });
        let cannot = match planned {
            Some(_) => (0..LINES.len()).filter(|&line| alone[line] == Some(false)).collect(),
            // Nothing tells any two of them: whatever they differ in stays open.
            None => {
                let pairs = (0..left.len()).flat_map(|a| (0..a).map(move |b| (a, b)));
                let mut lines: Vec<usize> =
                    pairs.filter(|&(a, b)| apart(a, b)).flat_map(|(a, b)| differ(a, b)).collect();
                lines.sort_unstable();
                lines.dedup();
                lines
            }
        };
        (planned.unwrap_or_else(|| self.back(readings, left)), cannot)
    }

    fn node(
        &self,
        search: &mut Search,
        set: Set,
        choices: &[Choice],
        left: &[(Order, Scale)],
    ) -> Option<Box<Node>> {
        let first = search.first(set)?;
        let choice = &choices[first.choice];
        let then = outcomes(&choice.sets, set).into_iter().map(|rest| {
            let range = bits(rest).map(|bit| choice.ranges[bit].clone()).reduce(|a, b| {
                let ([low, high], [least, most]) = (a, b);
                [low.min(least), high.max(most)]
            });
            let range = range.unwrap_or_else(|| point(&Exact::ZERO));
            let orders = bits(rest).map(|bit| left[bit].0).collect();
            (range, orders, self.node(search, rest, choices, left))
        });
        let mut then: Vec<_> = then.collect();
        then.sort_by(|a, b| a.0.cmp(&b.0));
        Some(Box::new(Node { shot: choice.shot.clone(), then }))
    }

    /// Whether what is dialled in on a channel is harmless under every order that is left, and on every set that is.
    fn harmless<'d>(&'d self, left: &[(Order, Scale)]) -> impl Fn(ChannelId, &Dial) -> bool + 'd {
        let orders: Vec<Order> = left.iter().map(|(order, _)| *order).collect();
        let scale = hull(left).filter(|_| self.wanted.scale_too);
        move |channel, dial| {
            let set = shots::shot(channel, dial, &at_rest(self.setup)).dialled(&self.plain);
            match &scale {
                None => is_harmless(&set, channel, &orders),
                Some(scale) => scale.corners(&set).iter().all(|set| is_harmless(set, channel, &orders)),
            }
        }
    }

    /// Every harmless reading that parts two orders which have to be told apart, the least to do first; of several
    /// that tell the same the first.
    fn choices(&self, left: &[(Order, Scale)], apart: &dyn Fn(usize, usize) -> bool) -> Vec<Choice> {
        let off = self.off();
        let harmless = self.harmless(left);
        let mut all: Vec<Choice> = Vec::new();
        let mut known = std::collections::BTreeSet::new();
        let mut dials: Vec<(ChannelId, Dial)> = (0..self.setup.channels.len())
            .flat_map(|channel| {
                shots::dials(self.setup, channel).into_iter().map(move |dial| (channel, dial))
            })
            .collect();
        dials.sort_by_key(|(_, dial)| dial.cost);
        let poses: Vec<Vec<Pose>> =
            (0..self.setup.channels.len()).map(|channel| shots::poses(self.setup, channel)).collect();
        for (channel, dial) in dials {
            let influence = Influence::on(self.setup, channel);
            let set = shots::shot(channel, &dial, &at_rest(self.setup)).dialled(&self.plain);
            let essences: Vec<Order> =
                left.iter().map(|(order, _)| relevant_order(&set, &influence, channel, order)).collect();
            let mut fresh: Vec<Choice> = Vec::new();
            for (pose, cost) in &poses[channel] {
                let cost = cost + dial.cost;
                if cost > shots::MOST_AT_ONCE {
                    continue;
                }
                let shot = shots::shot(channel, &dial, pose);
                let mut made: BTreeMap<Order, Range> = BTreeMap::new();
                let ranges: Vec<Range> = essences
                    .iter()
                    .zip(left)
                    .map(|(relevant_order, (order, scale))| {
                        let out = made
                            .entry(*relevant_order)
                            .or_insert_with(|| shot.output(&set, order, &self.grain));
                        let [low, high] = scale.pulse(out);
                        [low - &off, high + &off]
                    })
                    .collect();
                let mut alike: BTreeMap<&Range, Set> = BTreeMap::new();
                for (bit, range) in ranges.iter().enumerate() {
                    *alike.entry(range).or_default() |= 1 << bit;
                }
                let alike: Vec<(Set, &Range)> = alike.into_iter().map(|(range, set)| (set, range)).collect();
                let sets = stabbed(&alike);
                if sets.len() < 2 || known.contains(&sets) || fresh.iter().any(|c| c.sets == sets) {
                    continue;
                }
                let tells = (0..left.len()).any(|a| {
                    (0..a).any(|b| {
                        apart(a, b) && !sets.iter().any(|set| set >> a & 1 == 1 && set >> b & 1 == 1)
                    })
                });
                if tells {
                    fresh.push(Choice { shot, cost, ranges, sets });
                }
            }
            if !fresh.is_empty() && harmless(channel, &dial) {
                known.extend(fresh.iter().map(|choice| choice.sets.clone()));
                all.extend(fresh);
            }
        }
        all.sort_by_key(|choice| choice.cost);
        all
    }

    /// A reading that the scale still wants: at rest, well out to either side, and where the outputs end.
    fn of_scale(&self, readings: &[Reading], left: &[(Order, Scale)]) -> Option<Shot> {
        let far = Exact::ratio(1, 2);
        let wants: [&dyn Fn(&Range) -> bool; 3] =
            [&|[low, high]| low.is_zero() && high.is_zero(), &|[low, _]| *low >= far, &|[_, high]| {
                *high <= -&far
            }];
        let harmless = self.harmless(left);
        let of = |shot: &Shot| -> Vec<Range> {
            let set = shot.dialled(&self.plain);
            left.iter().map(|(order, _)| shot.output(&set, order, &self.grain)).collect()
        };
        let taken: Vec<Vec<Range>> = readings.iter().map(|reading| of(&reading.shot)).collect();
        for want in wants {
            if taken.iter().any(|outs| outs.iter().all(want)) {
                continue;
            }
            let mut found: Option<(u32, Shot)> = None;
            for channel in 0..self.setup.channels.len() {
                for dial in shots::dials(self.setup, channel) {
                    for (pose, cost) in shots::poses(self.setup, channel) {
                        let cost = cost + dial.cost;
                        if cost > 2 || found.as_ref().is_some_and(|(least, _)| *least <= cost) {
                            continue;
                        }
                        let shot = shots::shot(channel, &dial, &pose);
                        let outs = of(&shot);
                        // The same under every order: it tells of the scale and of nothing else.
                        if outs.iter().all(|out| want(out) && *out == outs[0]) && harmless(channel, &dial) {
                            found = Some((cost, shot));
                        }
                    }
                }
            }
            if let Some((_, shot)) = found {
                return Some(shot);
            }
        }
        self.of_furthest(&taken, left)
    }

    /// Where outputs end altogether: the reading that asks for most under every order, if none yet has asked for as much
    /// and the end is known no better than a reading would tell it.
    fn of_furthest(&self, taken: &[Vec<Range>], left: &[(Order, Scale)]) -> Option<Shot> {
        let hull = hull(left)?;
        let [least, most] = &hull.furthest;
        let span = (&hull.longer[0] - &hull.rest[1]).min(&hull.rest[0] - &hull.shorter[1]);
        if (most - least) * span <= self.off() * Exact::int(4) {
            return None;
        }
        // How far out it surely is, to one side or the other.
        let asks = |outs: &[Range]| {
            let longer = outs.iter().map(|[low, _]| low.clone()).min();
            let shorter = outs.iter().map(|[_, high]| -high).min();
            longer.max(shorter).unwrap_or(Exact::ZERO)
        };
        let before = taken.iter().map(|outs| asks(outs)).max().unwrap_or(Exact::ZERO);
        let harmless = self.harmless(left);
        let mut found: Option<(Exact, Shot)> = None;
        for channel in 0..self.setup.channels.len() {
            let Some(own) = self.setup.channels[channel].control else { continue };
            for dial in shots::farthest(self.setup) {
                for side in Side::BOTH {
                    let shot = shots::shot(channel, &dial, &self.held(channel, (own, side)).held);
                    let set = shot.dialled(&self.plain);
                    let outs: Vec<Range> =
                        left.iter().map(|(order, _)| shot.output(&set, order, &self.grain)).collect();
                    let more = asks(&outs);
                    let best = found.as_ref().is_none_or(|(known, _)| more > *known);
                    if best && more > *least && more > before && harmless(channel, &dial) {
                        found = Some((more, shot));
                    }
                }
            }
        }
        found.map(|(_, shot)| shot)
    }

    /// What is still to be put back: of a channel on which something was dialled in, each way has to be read again
    /// as the file has it; where that is not harmless, at rest.
    fn back(&self, readings: &[Reading], left: &[(Order, Scale)]) -> Next {
        let harmless = self.harmless(left);
        for channel in 0..self.setup.channels.len() {
            let dialled =
                readings.iter().rposition(|r| r.shot.channel == channel && r.shot.dials(self.setup));
            let Some(last) = dialled else { continue };
            let keep = &shots::dials(self.setup, channel)[0];
            let mut wanted = Vec::new();
            match self.setup.channels[channel].control.filter(|_| harmless(channel, keep)) {
                Some(own) => wanted.extend(Side::BOTH.map(|side| self.held(channel, (own, side)))),
                None => wanted.push(Shot::at_rest(self.setup, channel)),
            }
            for shot in wanted {
                if !readings[last..].iter().any(|reading| reading.shot == shot) {
                    let pulses = self.expected(&shot, left);
                    return Next::Back(shot, pulses);
                }
            }
        }
        Next::Done
    }

    /// Between which pulses a reading has to lie, as far as anything is known.
    fn expected(&self, shot: &Shot, left: &[(Order, Scale)]) -> Range {
        let set = shot.dialled(&self.plain);
        let off = self.off();
        let pulses = left.iter().map(|(order, scale)| scale.pulse(&shot.output(&set, order, &self.grain)));
        let all = pulses.reduce(|[a, b], [c, d]| [a.min(c), b.max(d)]);
        let [low, high] = all.unwrap_or_else(|| point(&Exact::ZERO));
        [low - &off, high + &off]
    }
}

/// All of so many alternatives.
fn bits_of(count: usize) -> Set {
    if count >= 64 { Set::MAX } else { (1 << count) - 1 }
}
