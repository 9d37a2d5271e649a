//! Which way an output moves when one way of a control is held fully.
//!
//! With trims at nought everything else that is mixed in comes down to one number, added before or
//! behind the endpoint. The difference between "held" and "left" is piecewise linear in that number,
//! so its least and greatest lie at bends, which are all tried.

use super::cases::{Case, Cases, Influence};
use super::domain::Domain;
use super::interval::Interval;
use super::reach::{ChannelCase, ControlPositions, Extreme};
use super::zone::simplify;
use crate::chain::{EndStages, Order};
use crate::setup::{ChannelId, ControlId, Exact, MixOf, Setup, Side};
use std::collections::BTreeMap;

/// How the output moves, over the others' positions: towards the side that is wanted, or not.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Moves {
    /// Always towards the wanted side, by no less than this.
    Rightly(Exact),
    /// Somewhere not at all.
    NotAtAll,
    /// Somewhere the other way, by this much at the most.
    Wrongly(Exact),
}

/// The worst move and the case it happens in.
#[derive(Clone, Debug)]
pub struct Worst {
    /// The move.
    pub moves: Moves,
    /// The order and settings it happens in.
    pub case: (Order, Vec<usize>),
    /// What the others add where it happens, if the way is the channel's own.
    pub added: Option<Exact>,
    /// Orders under which it is not right.
    pub orders: Vec<Order>,
    /// Of a control that is mixed in: no endpoint or sub-trim that moves outputs by less than this, as shares of the
    /// set's travel, changes whether it moves rightly.
    pub firm: Exact,
}

/// What nothing that is dialled changes is as firm as this.
const FOR_GOOD: i64 = i16::MAX as i64;

/// How firm the worse of two is.
fn firm_of_both(worst: &Worst, moves: &Moves, firm: &Exact) -> Exact {
    match (&worst.moves, moves) {
        // Which way a step goes is not dialled.
        (Moves::Wrongly(_), _) => worst.firm.clone(),
        (_, Moves::Wrongly(_)) | (Moves::Rightly(_), Moves::NotAtAll) => firm.clone(),
        (Moves::NotAtAll, Moves::Rightly(_)) => worst.firm.clone(),
        (Moves::NotAtAll, Moves::NotAtAll) => worst.firm.clone().max(firm.clone()),
        (Moves::Rightly(_), Moves::Rightly(_)) => worst.firm.clone().min(firm.clone()),
    }
}

fn rank(moves: &Moves) -> (u8, Exact) {
    match moves {
        Moves::Rightly(least) => (2, least.clone()),
        Moves::NotAtAll => (1, Exact::ZERO),
        Moves::Wrongly(most) => (0, -most),
    }
}

impl Cases {
    /// The worst that holding `side` of `control` does to this channel, when `wanted` (±1) is the
    /// side of the axis it ought to move to, and the others are anywhere in `domain`.
    pub fn moves(
        &self,
        setup: &Setup,
        control: ControlId,
        side: Side,
        wanted: i32,
        domain: &Domain,
    ) -> Option<Worst> {
        self.count_steps(setup);
        let mut worst: Option<Worst> = None;
        let mut orders = Vec::new();
        // With trims at nought it does not matter where they come in, and less is past full.
        let without_trims = domain.trims.iter().all(|t| t.is_point() && t.low.is_zero());
        type Move = (Moves, Option<Exact>, Exact);
        let mut judged: BTreeMap<(Order, &[usize]), Move> = BTreeMap::new();
        // A way that is held is held in some setting; the others may be in any.
        let held = domain.clone().with_position(control, side.position());
        for (index, (case, untrimmed)) in self.cases.iter().zip(&self.untrimmed).enumerate() {
            let Some(inside) = self.domain_of(setup, &held, index) else { continue };
            let own = setup.channels[self.channel].control == Some(control);
            if !own && !self.is_mixed_in(setup, control, case) {
                continue;
            }
            let order = if without_trims { *untrimmed } else { case.order };
            let key = (order, &case.settings[..]);
            let (moves, added, firm) = judged
                .entry(key)
                .or_insert_with(|| {
                    if own {
                        let (moves, added) = own_moves(&case.fixed, control, side, wanted, &inside);
                        (moves, Some(added), Exact::ZERO)
                    } else {
                        let (moves, firm) = mixed_moves(&case.fixed, control, side, wanted, &inside);
                        (moves, None, firm)
                    }
                })
                .clone();
            if !matches!(moves, Moves::Rightly(_)) && orders.last() != Some(&case.order) {
                orders.push(case.order);
            }
            let firm =
                worst.as_ref().map_or_else(|| firm.clone(), |worst| firm_of_both(worst, &moves, &firm));
            match &mut worst {
                Some(worst) if rank(&moves) >= rank(&worst.moves) => worst.firm = firm,
                worst => {
                    let case = (case.order, case.settings.clone());
                    *worst = Some(Worst { moves, case, added, orders: Vec::new(), firm });
                }
            }
        }
        worst.map(|w| Worst { orders, ..w })
    }

    /// Whether a control is mixed in plainly in a case.
    pub fn is_mixed_in(&self, setup: &Setup, control: ControlId, case: &Case) -> bool {
        setup.channels[self.channel]
            .mixes
            .iter()
            .any(|mix| mix.of == MixOf::Control(control) && crate::chain::holds(&mix.when, &case.settings))
    }
}

/// A hand that shows the worst move: with it held, the way does not move the output rightly.
pub fn hand_for(
    setup: &Setup,
    channel: ChannelId,
    asked: (ControlId, Side, i32),
    worst: &Worst,
    domain: &Domain,
) -> Option<ControlPositions> {
    let (control, side, wanted) = asked;
    let fixed = ChannelCase::new(setup, channel, &worst.case.0, &worst.case.1);
    let switches: Vec<ControlId> = Influence::on(setup, channel).thrown(setup).into_iter().collect();
    let domain = &domain.clone().with_position(control, side.position());
    let domain = &domain.in_settings(setup, &switches, &worst.case.1)?;
    let wrongly = matches!(worst.moves, Moves::Wrongly(_));
    let shows = |hand: &ControlPositions| {
        let at = |p: Exact| {
            let mut hand = hand.clone();
            hand.positions[control] = p;
            fixed.output(&hand)
        };
        let by = at(side.position()) - at(Exact::ZERO);
        let towards = by.signum() * wanted;
        if wrongly { towards < 0 } else { towards <= 0 }
    };
    let ends = [Extreme::Least, Extreme::Greatest].map(|which| {
        fixed.extreme_before_limits(&domain.clone().with_position(control, Exact::ZERO), which).at
    });
    let mut found = std::iter::once(domain.middle()).chain(ends.clone()).find(|h| shows(h));
    if found.is_none() {
        found = worst.added.as_ref().and_then(|y| on_the_way(&fixed, control, &ends, y)).filter(|h| shows(h));
    }
    let mut hand = simplify(setup, &domain.clone().with_position(control, side.position()), found?, &shows);
    hand.positions[control] = side.position();
    Some(hand)
}

/// The hand between two at which the controls other than `own` add `goal`.
fn on_the_way(
    fixed: &ChannelCase,
    own: ControlId,
    ends: &[ControlPositions; 2],
    goal: &Exact,
) -> Option<ControlPositions> {
    let added = |hand: &ControlPositions| -> Exact {
        [&fixed.before, &fixed.after]
            .iter()
            .flat_map(|t| t.curves.iter().zip(&hand.positions).enumerate())
            .filter(|(control, _)| *control != own)
            .map(|(_, (curve, p))| curve.at(p))
            .sum()
    };
    let between = |part: &Exact| ControlPositions {
        positions: ends[0]
            .positions
            .iter()
            .zip(&ends[1].positions)
            .map(|(a, b)| a + part * (b - a))
            .collect(),
        trims: ends[0].trims.clone(),
    };
    let (mut low, mut high) = (Exact::ZERO, Exact::ONE);
    for turn in 0..60 {
        let (a, b) = (added(&between(&low)), added(&between(&high)));
        // Straight lines are met at once; halving carries on inside curves.
        let part = if turn % 2 == 0 && a != b {
            (&low + (goal - &a) / (&b - &a) * (&high - &low)).clamp(&low, &high)
        } else {
            (&low + &high) * Exact::ratio(1, 2)
        };
        let hand = between(&part);
        let here = added(&hand);
        if here == *goal || turn == 59 {
            return Some(hand);
        }
        if (here < *goal) == (a < b) { low = part } else { high = part }
    }
    None
}

/// What a control other than the one that is held adds at the least and at the most.
#[derive(Clone, Debug)]
pub struct Other {
    /// The control.
    pub control: ControlId,
    /// Whether it is added behind the endpoint.
    pub behind: bool,
    /// Least and most.
    pub span: Interval,
    /// The places inside its range at which it was tried.
    pub tried: Vec<Interval>,
}

/// What everything but one control adds, before and behind the endpoint.
fn others(fixed: &ChannelCase, own: ControlId, domain: &Domain) -> Vec<Other> {
    let mut all = Vec::new();
    for (behind, terms) in [(false, &fixed.before), (true, &fixed.after)] {
        for (control, curve) in terms.curves.iter().enumerate() {
            if control != own && !curve.is_zero() {
                let (span, tried) = span_of(curve, &domain.positions[control]);
                all.push(Other { control, behind, span, tried });
            }
        }
    }
    all
}

fn sum(others: &[Other], behind: bool) -> Interval {
    let some = others.iter().filter(|other| other.behind == behind);
    some.fold(Interval::point(Exact::ZERO), |total, other| total.plus(&other.span))
}

fn span_of(curve: &crate::chain::terms::Curve, range: &Interval) -> (Interval, Vec<Interval>) {
    let mut values = vec![curve.at(&range.low), curve.at(&range.high)];
    let mut tried = Vec::new();
    if range.low.signum() < 0 && range.high.signum() > 0 {
        values.push(Exact::ZERO);
        tried.push(Interval::point(Exact::ZERO));
    }
    let mut span = Interval {
        low: values.iter().cloned().reduce(Exact::min).unwrap_or(Exact::ZERO),
        high: values.into_iter().reduce(Exact::max).unwrap_or(Exact::ZERO),
    };
    for flat in super::roots::flat_points(curve, range) {
        let value = flat.through(curve);
        span = Interval { low: span.low.min(value.low), high: span.high.max(value.high) };
        tried.push(flat);
    }
    (span, tried)
}

/// How a way moves an output in one case, with what makes it so.
#[derive(Clone, Debug)]
pub enum Motion {
    /// Of the channel's own control: between neighbouring places of what the others add, the difference is
    /// straight.
    Own {
        /// What the others add.
        others: Vec<Other>,
        /// Those places, rising.
        places: Vec<Exact>,
    },
    /// Of a control that is mixed in.
    Mixed {
        /// What the others add.
        others: Vec<Other>,
        /// What it adds where it is held fully.
        step: Exact,
        /// The hands with it left at rest and held, where a limit may swallow the step.
        limits: Box<[Domain; 2]>,
    },
}

/// The motion of one case; `domain` is what remains of the hands in it.
pub fn motion(fixed: &ChannelCase, own: bool, (control, side): (ControlId, Side), domain: &Domain) -> Motion {
    if own {
        let others = others(fixed, control, domain);
        let mut places = own_line(fixed, control, side, &others).places();
        places.sort();
        places.dedup();
        return Motion::Own { others, places };
    }
    let end = side.position();
    let step = fixed.before.curves[control].at(&end) + fixed.after.curves[control].at(&end);
    let [left, held] = [Exact::ZERO, end].map(|at| domain.clone().with_position(control, at));
    Motion::Mixed { others: others(fixed, control, &left), step, limits: Box::new([left, held]) }
}

/// `out` as a function of one number that is added before or behind the endpoint.
struct Line<'a> {
    shape: &'a EndStages,
    v: Exact,
    a: Exact,
    before: bool,
}

impl Line<'_> {
    fn unlimited(&self, y: &Exact) -> Exact {
        if self.before {
            self.shape.unlimited(&(self.shape.endpoint(&(&self.v + y)) + &self.a))
        } else {
            self.shape.unlimited(&(self.shape.endpoint(&self.v) + &self.a + y))
        }
    }

    fn bends(&self) -> Vec<Exact> {
        if self.before { self.shape.bends().into_iter().map(|b| b - &self.v).collect() } else { Vec::new() }
    }
}

/// The output with a way held and left, as functions of what the others add.
struct Lines<'a> {
    shape: &'a EndStages,
    held: Line<'a>,
    left: Line<'a>,
    range: Interval,
}

fn own_line<'a>(fixed: &'a ChannelCase, own: ControlId, side: Side, others: &[Other]) -> Lines<'a> {
    let (before, after) = (sum(others, false), sum(others, true));
    let end = side.position();
    let use_before = !before.is_point();
    let line = |p: &Exact| Line {
        shape: &fixed.shape,
        v: fixed.before.curves[own].at(p) + if use_before { Exact::ZERO } else { before.low.clone() },
        a: fixed.after.curves[own].at(p) + if use_before { after.low.clone() } else { Exact::ZERO },
        before: use_before,
    };
    let (held, left) = (line(&end), line(&Exact::ZERO));
    Lines { shape: &fixed.shape, held, left, range: if use_before { before } else { after } }
}

impl Lines<'_> {
    /// Both ends of what the others add, and wherever one of the two bends.
    fn places(&self) -> Vec<Exact> {
        let Self { shape, held, left, range } = self;
        let inside = |y: &Exact| *y > range.low && *y < range.high;
        let mut places = vec![range.low.clone(), range.high.clone()];
        places.extend([held, left].iter().flat_map(|l| l.bends()).filter(|y| inside(y)));
        places.sort();
        places.dedup();
        // Where one of the two meets a limit between two places it bends as well.
        let bends = shape.sent_bends();
        let mut more = Vec::new();
        for pair in places.windows(2) {
            for l in [held, left] {
                let (low, high) = (l.unlimited(&pair[0]), l.unlimited(&pair[1]));
                if low == high {
                    continue;
                }
                for bend in &bends {
                    let part = (bend - &low) / (&high - &low);
                    if part.signum() > 0 && part < Exact::ONE {
                        more.push(&pair[0] + part * (&pair[1] - &pair[0]));
                    }
                }
            }
        }
        places.extend(more);
        places
    }

    fn moved(&self, y: &Exact, wanted: i32) -> Exact {
        let by = self.shape.sent(&self.held.unlimited(y)) - self.shape.sent(&self.left.unlimited(y));
        if wanted < 0 { -by } else { by }
    }
}

fn own_moves(
    fixed: &ChannelCase,
    own: ControlId,
    side: Side,
    wanted: i32,
    domain: &Domain,
) -> (Moves, Exact) {
    let lines = own_line(fixed, own, side, &others(fixed, own, domain));
    let (least, at) = lines
        .places()
        .into_iter()
        .map(|y| (lines.moved(&y, wanted), y))
        .reduce(|a, b| if b.0 < a.0 { b } else { a })
        .unwrap_or((Exact::ZERO, Exact::ZERO));
    let moves = match least.signum() {
        1 => Moves::Rightly(least),
        0 => Moves::NotAtAll,
        _ => Moves::Wrongly(-least),
    };
    (moves, at)
}

/// The move, and how firm it is.
fn mixed_moves(
    fixed: &ChannelCase,
    control: ControlId,
    side: Side,
    wanted: i32,
    domain: &Domain,
) -> (Moves, Exact) {
    let end = side.position();
    let before = fixed.before.curves[control].at(&end);
    let after = fixed.after.curves[control].at(&end);
    let step = &before + &after;
    let towards = step.signum() * fixed.shape.sense;
    if towards == 0 {
        return (Moves::NotAtAll, Exact::int(FOR_GOOD));
    }
    // Everything behind the endpoint never falls, so the sign is that of the step or nought.
    if towards != wanted {
        return (Moves::Wrongly(step.abs()), Exact::int(FOR_GOOD));
    }
    let left = domain.clone().with_position(control, Exact::ZERO);
    let held = domain.clone().with_position(control, end);
    let [low, high] = &fixed.shape.limits;
    let reach = |d: &Domain, which| fixed.reach_with(&fixed.sums(d, which, None), d, which).0;
    let (lower, upper) = if towards > 0 { (&left, &held) } else { (&held, &left) };
    let room = (high - reach(lower, Extreme::Greatest)).min(reach(upper, Extreme::Least) - low);
    // Where ends are kept a limit moves with the endpoint, towards the output at worst.
    let firm = room.abs() * Exact::ratio(1, 2);
    let swallowed = room.signum() <= 0;
    if before.is_zero() {
        return if swallowed { (Moves::NotAtAll, firm) } else { (Moves::Rightly(step.abs()), firm) };
    }
    let flat = swallowed_by_endpoint(fixed, control, &before, &left);
    let firm_before = firm_before_endpoint(fixed, control, &before, &left, flat);
    match (swallowed, flat) {
        (true, true) => (Moves::NotAtAll, firm.max(firm_before)),
        (true, false) => (Moves::NotAtAll, firm),
        (false, true) => (Moves::NotAtAll, firm_before),
        (false, false) => (Moves::Rightly(step.abs()), firm.min(firm_before)),
    }
}

/// By how much an endpoint may move before it changes whether a step before it comes to nothing behind it somewhere.
fn firm_before_endpoint(
    fixed: &ChannelCase,
    control: ControlId,
    step: &Exact,
    left: &Domain,
    flat: bool,
) -> Exact {
    let EndStages { ends, cut_off, scales, .. } = &fixed.shape;
    let reach = sum(&others(fixed, control, left), false);
    // How far out a step begins and ends that lies beyond everything on one side.
    let far = [-(&reach.low + step.clone().max(Exact::ZERO)), &reach.high + step.clone().min(Exact::ZERO)];
    if flat && *cut_off && far.iter().any(|far| *far >= Exact::ONE) {
        return Exact::int(FOR_GOOD);
    }
    if *scales {
        // With an endpoint of nought everything on its side is flat.
        let [low, high] = ends;
        return if flat { Exact::ZERO } else { low.clone().min(high.clone()) };
    }
    let beyond = far.iter().zip(ends).map(|(far, end)| far - end);
    let most = beyond.reduce(Exact::max).unwrap_or(Exact::ZERO);
    if flat == (most.signum() >= 0) { most.abs() } else { Exact::ZERO }
}

/// Whether somewhere a step before the endpoint comes to nothing behind it.
fn swallowed_by_endpoint(fixed: &ChannelCase, control: ControlId, step: &Exact, left: &Domain) -> bool {
    let reach = sum(&others(fixed, control, left), false);
    let mut places = vec![reach.low.clone(), reach.high.clone()];
    for bend in fixed.shape.bends() {
        places.extend([bend.clone(), &bend - step]);
    }
    places
        .iter()
        .filter(|u| **u >= reach.low && **u <= reach.high)
        .any(|u| fixed.shape.endpoint(&(u + step)) == fixed.shape.endpoint(u))
}
