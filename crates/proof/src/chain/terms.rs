//! A channel's signal as a sum with one term per control.
//!
//! For a fixed order and fixed switch settings nothing before the endpoint is limited, so what
//! reaches it through any chain of mixes is a plain sum: for each control a cubic per side of rest,
//! and a multiple of its trim. Coefficients are gathered channel by channel, each once.

use super::{Order, holds, rate};
use crate::setup::{ChannelId, Control, ControlId, Exact, MixOf, OrderPlace, Setup, Side};
use std::cell::{OnceCell, RefCell};
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

/// `linear·p + cubic·p³` on each side of rest: low, high.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Curve {
    /// Coefficients by side.
    pub sides: [[Exact; 2]; 2],
}

impl Curve {
    /// Nought everywhere.
    pub fn zero() -> Self {
        Self { sides: [[Exact::ZERO, Exact::ZERO], [Exact::ZERO, Exact::ZERO]] }
    }

    /// The value at a position.
    pub fn at(&self, p: &Exact) -> Exact {
        let [linear, cubic] = &self.sides[Side::of_sign(p.signum()).index()];
        if cubic.is_zero() {
            return linear * p;
        }
        p * (linear + cubic * p * p)
    }

    /// Whether it is nought everywhere.
    pub fn is_zero(&self) -> bool {
        self.sides.iter().flatten().all(Exact::is_zero)
    }

    /// Adds a multiple of another.
    pub fn add_scaled(&mut self, factor: &Exact, other: &Curve) {
        for side in 0..2 {
            for power in 0..2 {
                if !other.sides[side][power].is_zero() {
                    self.sides[side][power] += factor * &other.sides[side][power];
                }
            }
        }
    }
}

/// A sum with one curve and one trim coefficient per control.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Terms {
    /// By control.
    pub curves: Vec<Curve>,
    /// By control.
    pub trims: Vec<Exact>,
}

impl Terms {
    fn zero(controls: usize) -> Self {
        Self { curves: vec![Curve::zero(); controls], trims: vec![Exact::ZERO; controls] }
    }

    /// A bound on the size of the sum, whatever a hand does; not always reached.
    pub fn most(&self, setup: &Setup, with_trims: bool) -> Exact {
        let curves = self.curves.iter().filter(|c| !c.is_zero()).map(|curve| {
            let [low, high] = curve.sides.each_ref().map(|[linear, cubic]| linear.abs() + cubic.abs());
            low.max(high)
        });
        let trims =
            self.trims.iter().zip(&setup.controls).filter(|(factor, _)| with_trims && !factor.is_zero());
        let most = |control: &Control| control.trim[0].clone().max(control.trim[1].clone());
        curves.chain(trims.map(|(factor, control)| factor.abs() * most(control))).sum()
    }

    fn add_scaled(&mut self, factor: &Exact, other: &Terms) {
        for (mine, theirs) in self.curves.iter_mut().zip(&other.curves) {
            mine.add_scaled(factor, theirs);
        }
        for (mine, theirs) in self.trims.iter_mut().zip(&other.trims) {
            if !theirs.is_zero() {
                *mine += factor * theirs;
            }
        }
    }
}

/// By channel, where trims and mixes come in, and the settings of the switches that act before the endpoint.
type Key = (ChannelId, OrderPlace, OrderPlace, Vec<usize>);

/// The terms of the channels of one set-up, each made once: a channel that is mixed into ten others, in as
/// many orders, is gathered no oftener than the two lines of the order and its switches make of it.
#[derive(Debug, Default)]
pub struct Gathered {
    before: RefCell<BTreeMap<Key, Rc<Terms>>>,
    /// By channel: switches that choose a rate or a mix of it, or of what is mixed into it.
    switches: OnceCell<Vec<BTreeSet<ControlId>>>,
}

impl Gathered {
    /// The switches that choose a rate or a mix of a channel, or of what is mixed into it.
    pub fn switches(&self, setup: &Setup, channel: ChannelId) -> &BTreeSet<ControlId> {
        &self.switches.get_or_init(|| switches(setup))[channel]
    }

    /// What reaches the endpoint of a channel.
    pub fn before(&self, setup: &Setup, channel: ChannelId, order: &Order, settings: &[usize]) -> Rc<Terms> {
        let switches = self.switches(setup, channel);
        let chosen = switches.iter().map(|&switch| settings[switch]).collect();
        let key = (channel, order.trim, order.mix, chosen);
        if let Some(terms) = self.before.borrow().get(&key) {
            return Rc::clone(terms);
        }
        let c = &setup.channels[channel];
        let mut terms = match order.mix {
            OrderPlace::Before => self.mixes(setup, channel, order, settings),
            OrderPlace::After => Terms::zero(setup.controls.len()),
        };
        if let Some(own) = c.control {
            for side in Side::BOTH {
                let rate = rate(setup, channel, side, settings);
                let [linear, cubic] = &mut terms.curves[own].sides[side.index()];
                *linear += &rate * (Exact::ONE - &c.expo);
                *cubic += &rate * &c.expo;
            }
            if order.trim == OrderPlace::Before {
                terms.trims[own] += Exact::ONE;
            }
        }
        let terms = Rc::new(terms);
        self.before.borrow_mut().insert(key, Rc::clone(&terms));
        terms
    }

    /// What is added behind the endpoint of a channel.
    pub fn after(&self, setup: &Setup, channel: ChannelId, order: &Order, settings: &[usize]) -> Terms {
        let mut terms = match order.mix {
            OrderPlace::Before => Terms::zero(setup.controls.len()),
            OrderPlace::After => self.mixes(setup, channel, order, settings),
        };
        if let Some(own) = setup.channels[channel].control
            && order.trim == OrderPlace::After
        {
            terms.trims[own] += Exact::ONE;
        }
        terms
    }

    fn mixes(&self, setup: &Setup, channel: ChannelId, order: &Order, settings: &[usize]) -> Terms {
        let mut sum = Terms::zero(setup.controls.len());
        for mix in &setup.channels[channel].mixes {
            if !holds(&mix.when, settings) {
                continue;
            }
            match mix.of {
                MixOf::Control(control) => {
                    for side in &mut sum.curves[control].sides {
                        side[0] += mix.add.clone();
                    }
                    if mix.with_trim {
                        sum.trims[control] += mix.add.clone();
                    }
                }
                MixOf::Channel(other) => {
                    let terms = self.before(setup, other, order, settings);
                    sum.add_scaled(&mix.add, &terms);
                }
            }
        }
        sum
    }
}

fn switches(setup: &Setup) -> Vec<BTreeSet<ControlId>> {
    let of = |channel: ChannelId| {
        let (mut found, mut seen) = (BTreeSet::new(), BTreeSet::new());
        let mut left = vec![channel];
        while let Some(at) = left.pop() {
            if !seen.insert(at) {
                continue;
            }
            let c = &setup.channels[at];
            found.extend(c.rate.iter().filter_map(|rate| rate.switch));
            for mix in &c.mixes {
                found.extend(mix.when.iter().map(|(switch, _)| *switch));
                if let MixOf::Channel(other) = mix.of {
                    left.push(other);
                }
            }
        }
        found
    };
    (0..setup.channels.len()).map(of).collect()
}
