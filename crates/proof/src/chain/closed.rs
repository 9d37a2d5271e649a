//! What a channel sends as plain sums, for whoever evaluates it elsewhere and knows nothing of mixes, rates and
//! curves: for each combination of the switches that act on it a sum with one curve and one factor of the trim for
//! each control, before the endpoint and behind it; then the endpoint, the sub-trim and the limits.
//!
//! It is made of what the proof works on ([`Gathered`], [`EndStages`]) and adds no arithmetic of its own.

use super::terms::{Gathered, Terms};
use super::{EndStages, Order};
use crate::setup::{ChannelId, ControlId, Setup};

/// As many combinations of switches are told: more make a list that nobody can carry.
pub const MOST_COMBINATIONS: usize = 512;

/// What a channel sends, in every way in which it may be reckoned.
#[derive(Clone, Debug, Default)]
pub struct Closed {
    /// The switches that choose a sum.
    pub switches: Vec<ControlId>,
    /// Lists of sums, before the endpoint and behind it: one for each combination of the settings of
    /// [`Closed::switches`], of which the last changes first.
    pub sums: Vec<Vec<[Terms; 2]>>,
    /// From the endpoint on.
    pub shapes: Vec<EndStages>,
    /// Which list of sums goes with which shape: each is one way of reckoning, no two the same.
    pub cases: Vec<[usize; 2]>,
}

impl Closed {
    /// What a channel sends under some orders; `None` where switches combine in more than
    /// [`MOST_COMBINATIONS`] ways.
    pub fn of(setup: &Setup, channel: ChannelId, orders: &[Order]) -> Option<Self> {
        let gathered = Gathered::default();
        let switches: Vec<ControlId> = gathered.switches(setup, channel).iter().copied().collect();
        let all = combinations(setup, &switches)?;
        let mut closed = Self { switches, ..Self::default() };
        for order in orders {
            let sums = all.iter().map(|settings| {
                let before = (*gathered.before(setup, channel, order, settings)).clone();
                [before, gathered.after(setup, channel, order, settings)]
            });
            let sums = sums.collect();
            closed.add(sums, EndStages::of(setup, channel, order));
        }
        Some(closed)
    }

    /// Adds the ways of another set-up of the same controls.
    pub fn with(&mut self, other: Self) {
        for [sums, shape] in &other.cases {
            self.add(other.sums[*sums].clone(), other.shapes[*shape].clone());
        }
    }

    fn add(&mut self, sums: Vec<[Terms; 2]>, shape: EndStages) {
        let case = [place(&mut self.sums, sums), place(&mut self.shapes, shape)];
        place(&mut self.cases, case);
    }
}

/// Where a thing stands in a list, at the end if it was not there.
fn place<T: PartialEq>(list: &mut Vec<T>, thing: T) -> usize {
    list.iter().position(|known| *known == thing).unwrap_or_else(|| {
        list.push(thing);
        list.len() - 1
    })
}

/// The settings of all controls for each combination of some switches, the last of them changing first.
fn combinations(setup: &Setup, switches: &[ControlId]) -> Option<Vec<Vec<usize>>> {
    let mut all = vec![vec![0; setup.controls.len()]];
    for &switch in switches {
        let settings = setup.controls[switch].settings.len().max(1);
        if all.len() * settings > MOST_COMBINATIONS {
            return None;
        }
        let with = |before: &Vec<usize>, setting| {
            let mut settings = before.clone();
            settings[switch] = setting;
            settings
        };
        all = all.iter().flat_map(|before| (0..settings).map(move |n| with(before, n))).collect();
    }
    Some(all)
}
