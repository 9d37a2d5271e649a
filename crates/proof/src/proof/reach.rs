//! How far an output can go: the exact extreme of one channel.
//!
//! # Why this is exact
//! For a fixed order and fixed switch settings the output is
//! `sent(sub + g·(F(v) + a))`: `v` and `a` are sums with one term per control (see
//! [`crate::chain::terms`]), `F` is the endpoint stage, which bends at a few known places and never
//! falls. A mix enters either `v` or `a`, never both, so every control but the channel's own enters
//! one of the two and can be brought to its extreme by itself. Only the own control with its trim
//! may act on both sides of the endpoint; there the extreme lies at an end, at rest, where the
//! slope of one piece vanishes, or on a bend of `F`. All those places are tried. Trying ends alone
//! is wrong: endpoint 100 %, own mix -50 % behind the endpoint, rate 150 %, cut off, is greatest
//! at two thirds of the stick.
//!
//! Natural interval evaluation is not used for verdicts: a stick that enters twice makes it raise
//! false alarms.
//!
//! # Irrational places
//! They only arise inside an expo curve. Each is enclosed to 2^-26 of the travel; the bound is
//! taken over the enclosure, the value attained at a rational point in it. The two lie less than
//! a thousandth of a percent apart; where that matters the verdict is `undecided`.

use super::domain::Domain;
use super::interval::Interval;
use super::roots::{crossings, flat_points};
use crate::chain::terms::{Curve, Gathered, Terms};
use crate::chain::{EndStages, Order};
use crate::setup::{ChannelId, ControlId, Exact, Setup};
use std::rc::Rc;

/// Which extreme of the output.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Extreme {
    /// The least.
    Least,
    /// The greatest.
    Greatest,
}

impl Extreme {
    fn sign(self) -> i32 {
        match self {
            Extreme::Least => -1,
            Extreme::Greatest => 1,
        }
    }

    fn of_sign(sign: i32) -> Self {
        if sign < 0 { Extreme::Least } else { Extreme::Greatest }
    }

    fn better(self, a: Exact, b: Exact) -> Exact {
        match self {
            Extreme::Least => a.min(b),
            Extreme::Greatest => a.max(b),
        }
    }

    fn beats(self, a: &Exact, b: &Exact) -> bool {
        match self {
            Extreme::Least => a < b,
            Extreme::Greatest => a > b,
        }
    }

    fn end(self, interval: &Interval) -> &Exact {
        match self {
            Extreme::Least => &interval.low,
            Extreme::Greatest => &interval.high,
        }
    }
}

/// Positions and trims of every control.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ControlPositions {
    /// By control.
    pub positions: Vec<Exact>,
    /// By control.
    pub trims: Vec<Exact>,
}

/// An extreme: no output goes beyond `bound`, and `value` is attained at `at`.
#[derive(Clone, Debug)]
pub struct Attained {
    /// Never passed.
    pub bound: Exact,
    /// Reached.
    pub value: Exact,
    /// Where.
    pub at: ControlPositions,
}

/// One channel under one order and one choice of settings, ready to be asked.
#[derive(Clone, Debug)]
pub struct ChannelCase {
    /// Steps 4 to 9.
    pub shape: EndStages,
    /// What reaches the endpoint; orders that agree on it share it.
    pub before: Rc<Terms>,
    /// What is added behind it; likewise.
    pub after: Rc<Terms>,
    own: Option<ControlId>,
}

/// What every control adds that acts on one side of the endpoint only: bound and value attained,
/// before the endpoint and behind it. No endpoint, sub-trim or limit has a part in it.
#[derive(Clone, Debug)]
pub struct Sums {
    before: (Exact, Exact),
    after: (Exact, Exact),
}

/// What a bound comes from, so that it can be followed without being worked out again.
#[derive(Clone, Debug)]
pub struct Account {
    /// What every control adds at the most that acts on one side of the endpoint only.
    pub adds: Vec<Adds>,
    /// The own control where it acts on both sides, and the places of it that were tried.
    pub own: Option<(ControlId, Vec<Interval>)>,
    /// What the signal behind the endpoint comes to at the most, before sense, sub-trim and limits.
    pub total: Exact,
}

/// What a control or its trim adds at the most.
#[derive(Clone, Debug)]
pub struct Adds {
    /// The control.
    pub control: ControlId,
    /// Whether it is its trim.
    pub trim: bool,
    /// Whether it is added behind the endpoint.
    pub behind: bool,
    /// How much, never passed.
    pub most: Exact,
    /// The places at which a curve was tried.
    pub tried: Vec<Interval>,
}

/// What is written down on the way to an extreme.
#[derive(Debug)]
pub struct Told {
    hand: ControlPositions,
    account: Account,
}

/// The extreme of one control's curve: bound, value attained, where; and all places that were tried.
pub(super) struct Part {
    pub(super) bound: Exact,
    value: Exact,
    pub(super) at: Exact,
    pub(super) tried: Vec<Interval>,
}

pub(super) fn curve_extreme(curve: &Curve, range: &Interval, which: Extreme) -> Part {
    let mut places = vec![Interval::point(range.low.clone())];
    if !range.is_point() {
        places.push(Interval::point(range.high.clone()));
        if range.low.signum() < 0 && range.high.signum() > 0 {
            places.push(Interval::point(Exact::ZERO));
        }
        places.extend(flat_points(curve, range));
    }
    let mut best: Option<Part> = None;
    for place in &places {
        let value = curve.at(&place.low);
        let bound = which.end(&place.through(curve)).clone();
        best = Some(match best {
            None => Part { bound, value, at: place.low.clone(), tried: Vec::new() },
            Some(part) => {
                let bound = which.better(part.bound, bound);
                if which.beats(&value, &part.value) {
                    Part { bound, value, at: place.low.clone(), tried: Vec::new() }
                } else {
                    Part { bound, ..part }
                }
            }
        });
    }
    let nothing = Part { bound: Exact::ZERO, value: Exact::ZERO, at: Exact::ZERO, tried: Vec::new() };
    Part { tried: places, ..best.unwrap_or(nothing) }
}

impl ChannelCase {
    /// Whether the hand on a control, or its trim, has a part in the output.
    pub fn moves_with(&self, control: ControlId, trim: bool) -> bool {
        let still = |terms: &Terms| {
            if trim { terms.trims[control].is_zero() } else { terms.curves[control].is_zero() }
        };
        !(still(&self.before) && still(&self.after))
    }

    /// Gathers a channel under one order and one choice of settings.
    pub fn new(setup: &Setup, channel: ChannelId, order: &Order, settings: &[usize]) -> Self {
        Self::among(setup, &Gathered::default(), channel, order, settings)
    }

    /// The same where other channels are gathered as well.
    pub fn among(
        setup: &Setup,
        gathered: &Gathered,
        channel: ChannelId,
        order: &Order,
        settings: &[usize],
    ) -> Self {
        let before = gathered.before(setup, channel, order, settings);
        let after = Rc::new(gathered.after(setup, channel, order, settings));
        Self::with_terms(setup, channel, order, (before, after))
    }

    /// The same from terms that were gathered already.
    pub fn with_terms(
        setup: &Setup,
        channel: ChannelId,
        order: &Order,
        (before, after): (Rc<Terms>, Rc<Terms>),
    ) -> Self {
        Self {
            shape: EndStages::of(setup, channel, order),
            before,
            after,
            own: setup.channels[channel].control,
        }
    }

    /// The output for a position of everything.
    pub fn output(&self, hand: &ControlPositions) -> Exact {
        let sum = |terms: &Terms| -> Exact {
            let curves = terms.curves.iter().zip(&hand.positions).map(|(c, p)| c.at(p));
            let trims = terms.trims.iter().zip(&hand.trims).map(|(b, t)| b * t);
            curves.chain(trims).sum()
        };
        self.shape.finish(&sum(&self.before), &sum(&self.after))
    }

    /// The extreme of the output over a domain.
    pub fn extreme(&self, domain: &Domain, which: Extreme) -> Attained {
        let inner = self.extreme_before_limits(domain, which);
        Attained { bound: self.shape.sent(&inner.bound), value: self.shape.sent(&inner.value), at: inner.at }
    }

    /// The same before the output meets its limits (steps 8 and 9).
    pub fn extreme_before_limits(&self, domain: &Domain, which: Extreme) -> Attained {
        self.account(domain, which).0
    }

    /// The same with everything that it comes from.
    pub fn account(&self, domain: &Domain, which: Extreme) -> (Attained, Account) {
        let account = Account { adds: Vec::new(), own: None, total: Exact::ZERO };
        let mut told = Told { hand: domain.middle(), account };
        let sums = self.sums(domain, which, Some(&mut told));
        let (bound, value) = self.finish(&sums, domain, which, Some(&mut told));
        (Attained { bound, value, at: told.hand }, told.account)
    }

    /// Bound and value alone before the limits, from sums that were taken over the same domain for
    /// the same extreme: for the many questions that need no witness.
    pub fn reach_with(&self, sums: &Sums, domain: &Domain, which: Extreme) -> (Exact, Exact) {
        self.finish(sums, domain, which, None)
    }

    /// The extreme of the signal that makes this extreme of the output.
    fn inner(&self, which: Extreme) -> Extreme {
        Extreme::of_sign(which.sign() * self.shape.sense)
    }

    /// The own control, where it acts on both sides of the endpoint. As long as it and its trim each
    /// act on one side only, they can be brought to their extremes by themselves like any other.
    fn twice(&self) -> Option<ControlId> {
        self.own.filter(|&own| {
            let [before, after] = [&self.before, &self.after];
            !after.curves[own].is_zero() || (!before.trims[own].is_zero() && !after.trims[own].is_zero())
        })
    }

    /// Everything that can be brought to its extreme by itself.
    pub fn sums(&self, domain: &Domain, which: Extreme, mut told: Option<&mut Told>) -> Sums {
        let (inner, twice) = (self.inner(which), self.twice());
        let [mut before, mut after] = [(Exact::ZERO, Exact::ZERO), (Exact::ZERO, Exact::ZERO)];
        for (behind, terms, sums) in [(false, &self.before, &mut before), (true, &self.after, &mut after)] {
            for control in 0..terms.curves.len() {
                if Some(control) == twice {
                    continue;
                }
                if !terms.curves[control].is_zero() {
                    let part = curve_extreme(&terms.curves[control], &domain.positions[control], inner);
                    sums.0 += part.bound.clone();
                    sums.1 += part.value;
                    if let Some(told) = told.as_deref_mut() {
                        told.hand.positions[control] = part.at;
                        let (most, tried) = (part.bound, part.tried);
                        told.account.adds.push(Adds { control, trim: false, behind, most, tried });
                    }
                }
                let factor = &terms.trims[control];
                if !factor.is_zero() {
                    let towards = Extreme::of_sign(inner.sign() * factor.signum());
                    let trim = towards.end(&domain.trims[control]);
                    sums.0 += factor * trim;
                    sums.1 += factor * trim;
                    if let Some(told) = told.as_deref_mut() {
                        told.hand.trims[control] = trim.clone();
                        let most = factor * trim;
                        told.account.adds.push(Adds { control, trim: true, behind, most, tried: Vec::new() });
                    }
                }
            }
        }
        Sums { before, after }
    }

    fn finish(
        &self,
        Sums { before, after }: &Sums,
        domain: &Domain,
        which: Extreme,
        mut told: Option<&mut Told>,
    ) -> (Exact, Exact) {
        let total = match self.twice() {
            None => {
                let value = self.shape.endpoint(&before.1) + &after.1;
                let same = before.0 == before.1 && after.0 == after.1;
                let bound = if same { value.clone() } else { self.shape.endpoint(&before.0) + &after.0 };
                (bound, value)
            }
            Some(own) => self.own_extreme(own, domain, self.inner(which), before, after, told.as_deref_mut()),
        };
        if let Some(told) = told {
            told.account.total = total.0.clone();
        }
        (self.shape.unlimited(&total.0), self.shape.unlimited(&total.1))
    }

    /// The extreme over the own control and its trim of `F(f(p) + β·t + v) + h(p) + α·t + a`.
    fn own_extreme(
        &self,
        own: ControlId,
        domain: &Domain,
        which: Extreme,
        before: &(Exact, Exact),
        after: &(Exact, Exact),
        told: Option<&mut Told>,
    ) -> (Exact, Exact) {
        let (f, h) = (&self.before.curves[own], &self.after.curves[own]);
        let (beta, alpha) = (&self.before.trims[own], &self.after.trims[own]);
        let (positions, trims) = (&domain.positions[own], &domain.trims[own]);
        let mut best: Option<(Exact, Exact)> = None;
        let mut best_at = (positions.low.clone(), trims.low.clone());
        let keeps = told.is_some();
        let mut tried = Vec::new();
        let mut consider = |p: &Interval, t: &Interval| {
            if keeps {
                tried.push(p.clone());
            }
            let v = p.through(f).plus(&t.times(beta)).plus(&Interval::point(before.0.clone()));
            let w = v
                .through_endpoint(&self.shape)
                .plus(&p.through(h))
                .plus(&t.times(alpha))
                .plus(&Interval::point(after.0.clone()));
            let bound = which.end(&w).clone();
            let (p, t) = (&p.low, &t.low);
            let v = f.at(p) + beta * t + &before.1;
            let value = self.shape.endpoint(&v) + h.at(p) + alpha * t + &after.1;
            best = Some(match best.take() {
                None => {
                    best_at = (p.clone(), t.clone());
                    (bound, value)
                }
                Some((b, v)) => {
                    if which.beats(&value, &v) {
                        best_at = (p.clone(), t.clone());
                        (which.better(b, bound), value)
                    } else {
                        (which.better(b, bound), v)
                    }
                }
            });
        };

        let mut ends = vec![Interval::point(positions.low.clone())];
        if !positions.is_point() {
            ends.push(Interval::point(positions.high.clone()));
            if positions.low.signum() < 0 && positions.high.signum() > 0 {
                ends.push(Interval::point(Exact::ZERO));
            }
        }
        let trim_ends = if trims.is_point() || (beta.is_zero() && alpha.is_zero()) {
            vec![Interval::point(trims.low.clone())]
        } else {
            vec![Interval::point(trims.low.clone()), Interval::point(trims.high.clone())]
        };
        let mut places = ends.clone();
        if !positions.is_point() {
            for slope in self.shape.slopes() {
                places.extend(flat_points(&blend(&slope, f, h), positions));
            }
        }
        for place in &places {
            for trim in &trim_ends {
                consider(place, trim);
            }
        }
        // Only when the own control acts behind the endpoint as well can the extreme lie on a bend.
        if !h.is_zero() {
            for bend in self.shape.bends() {
                for trim in &trim_ends {
                    let value = &bend - &before.0 - beta * &trim.low;
                    for place in crossings(f, &value, positions) {
                        consider(&place, trim);
                    }
                }
            }
        }
        let behind_too = !alpha.is_zero() || !h.is_zero();
        if behind_too && !beta.is_zero() && !trims.is_point() {
            let mut along = ends;
            along.extend(flat_points(&blend(&-(alpha / beta), f, h), positions));
            for bend in self.shape.bends() {
                for place in &along {
                    let rest = place
                        .through(f)
                        .plus(&Interval::point(&before.0 - &bend))
                        .times(&-(Exact::ONE / beta));
                    if rest.high >= trims.low && rest.low <= trims.high {
                        let clipped = Interval {
                            low: rest.low.max(trims.low.clone()),
                            high: rest.high.min(trims.high.clone()),
                        };
                        consider(place, &clipped);
                    }
                }
            }
        }
        if let Some(told) = told {
            (told.hand.positions[own], told.hand.trims[own]) = best_at;
            told.account.own = Some((own, tried));
        }
        best.unwrap_or((Exact::ZERO, Exact::ZERO))
    }
}

/// `factor·f + h`
fn blend(factor: &Exact, f: &Curve, h: &Curve) -> Curve {
    let mut sides = h.sides.clone();
    for (mine, theirs) in sides.iter_mut().zip(&f.sides) {
        for (m, t) in mine.iter_mut().zip(theirs) {
            *m += factor * t;
        }
    }
    Curve { sides }
}
