//! A channel's signal as a sum with one term per control.
//!
//! For a fixed order and fixed switch settings nothing before the endpoint is limited, so what
//! reaches it through any chain of mixes is a plain sum: for each control a cubic per side of rest,
//! and a multiple of its trim. Coefficients are gathered channel by channel, each once.

use super::{Order, holds, rate};
use crate::setup::{ChannelId, Control, Exact, MixOf, Place, Setup, Side};

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

    fn add_scaled(&mut self, factor: &Exact, other: &Curve) {
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
#[derive(Clone, Debug)]
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

/// Gathers the terms of channels for one order and one choice of settings.
pub struct Gather<'a> {
    setup: &'a Setup,
    order: &'a Order,
    settings: &'a [usize],
    before: Vec<Option<Terms>>,
}

impl<'a> Gather<'a> {
    /// Nothing gathered yet.
    pub fn new(setup: &'a Setup, order: &'a Order, settings: &'a [usize]) -> Self {
        Self { setup, order, settings, before: vec![None; setup.channels.len()] }
    }

    /// What reaches the endpoint of a channel.
    pub fn before(&mut self, channel: ChannelId) -> Terms {
        if let Some(terms) = &self.before[channel] {
            return terms.clone();
        }
        let c = &self.setup.channels[channel];
        let mut terms = Terms::zero(self.setup.controls.len());
        if let Some(own) = c.control {
            for side in Side::BOTH {
                let rate = rate(self.setup, channel, side, self.settings);
                terms.curves[own].sides[side.index()] = [&rate * (Exact::ONE - &c.expo), &rate * &c.expo];
            }
            if self.order.trim == Place::Before {
                terms.trims[own] = Exact::ONE;
            }
        }
        if self.order.mix == Place::Before {
            let mixes = self.mixes(channel);
            terms.add_scaled(&Exact::ONE, &mixes);
        }
        self.before[channel] = Some(terms.clone());
        terms
    }

    /// What is added behind the endpoint of a channel.
    pub fn after(&mut self, channel: ChannelId) -> Terms {
        let mut terms = Terms::zero(self.setup.controls.len());
        if self.order.mix == Place::After {
            terms = self.mixes(channel);
        }
        if let Some(own) = self.setup.channels[channel].control
            && self.order.trim == Place::After
        {
            terms.trims[own] += Exact::ONE;
        }
        terms
    }

    fn mixes(&mut self, channel: ChannelId) -> Terms {
        let mut sum = Terms::zero(self.setup.controls.len());
        for mix in &self.setup.channels[channel].mixes {
            if !holds(&mix.when, self.settings) {
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
                    let terms = self.before(other);
                    sum.add_scaled(&mix.add, &terms);
                }
            }
        }
        sum
    }
}
