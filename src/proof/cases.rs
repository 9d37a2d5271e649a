//! Every order and every choice of settings under which a channel behaves differently.

use super::reach::Fixed;
use crate::chain::{self, Order};
use crate::setup::{ChannelId, ControlId, Exact, MixOf, Setup, Side};
use std::collections::BTreeSet;

/// More switch combinations than this on one channel are not tried.
pub const MOST_COMBINATIONS: usize = 1 << 20;

/// One order and one choice of settings.
#[derive(Clone, Debug)]
pub struct Case {
    /// The order.
    pub order: Order,
    /// Setting of each switch.
    pub settings: Vec<usize>,
    /// The channel under both.
    pub fixed: Fixed,
}

/// All cases of a channel.
#[derive(Clone, Debug)]
pub struct Cases {
    /// The channel.
    pub channel: ChannelId,
    /// One for each order and choice that makes a difference.
    pub cases: Vec<Case>,
    /// Set when the switches can be combined in too many ways; `cases` is empty then.
    pub too_many: bool,
}

/// The channels and controls that act on a channel.
#[derive(Clone, Debug, Default)]
pub struct Influence {
    /// Channels: itself and those mixed in, however indirectly.
    pub channels: BTreeSet<ChannelId>,
    /// Controls that move it.
    pub controls: BTreeSet<ControlId>,
    /// Switches that choose a rate or a mix.
    pub switches: BTreeSet<ControlId>,
}

impl Influence {
    /// What acts on a channel.
    pub fn on(setup: &Setup, channel: ChannelId) -> Self {
        let mut found = Self::default();
        let mut left = vec![channel];
        while let Some(at) = left.pop() {
            if !found.channels.insert(at) {
                continue;
            }
            let c = &setup.channels[at];
            found.controls.extend(c.control);
            found.switches.extend(c.rate.iter().filter_map(|r| r.switch));
            for mix in &c.mixes {
                found.switches.extend(mix.when.iter().map(|w| w.0));
                match mix.of {
                    MixOf::Control(control) => {
                        found.controls.insert(control);
                    }
                    MixOf::Channel(other) => left.push(other),
                }
            }
        }
        found
    }
}

/// Every choice of settings of some switches, the others in their first; `None` if too many.
pub fn choices(setup: &Setup, switches: &BTreeSet<ControlId>) -> Option<Vec<Vec<usize>>> {
    let count = switches
        .iter()
        .try_fold(1usize, |n, &s| n.checked_mul(setup.controls[s].settings.len().max(1)))
        .filter(|&n| n <= MOST_COMBINATIONS)?;
    let mut all = Vec::with_capacity(count);
    all.push(vec![0; setup.controls.len()]);
    for &switch in switches {
        let settings = setup.controls[switch].settings.len().max(1);
        let before = std::mem::take(&mut all);
        for choice in before {
            for setting in 0..settings {
                let mut next = choice.clone();
                next[switch] = setting;
                all.push(next);
            }
        }
    }
    Some(all)
}

/// The lines of an order that make a difference to a channel, the others set to their first word.
fn essence(setup: &Setup, influence: &Influence, channel: ChannelId, order: &Order) -> Order {
    use crate::setup::{EndpointSide, Place};
    let mut essence = *order;
    let any = |test: &dyn Fn(&crate::setup::Channel) -> bool| {
        influence.channels.iter().any(|&c| test(&setup.channels[c]))
    };
    if !any(&|c| c.control.is_some_and(|own| !setup.controls[own].trim.is_zero())) {
        essence.trim = Place::Before;
    }
    if !any(&|c| !c.mixes.is_empty()) {
        essence.mix = Place::Before;
    }
    let c = &setup.channels[channel];
    if c.longer == Side::High || c.endpoints[0] == c.endpoints[1] {
        essence.side = EndpointSide::Stick;
    }
    essence
}

impl Cases {
    /// All cases of a channel under the orders that are possible. `asked` adds switches on whose
    /// settings a question depends although they do not act on the channel.
    pub fn of(setup: &Setup, channel: ChannelId, orders: &[Order], asked: &BTreeSet<ControlId>) -> Self {
        let influence = Influence::on(setup, channel);
        let mut switches = influence.switches.clone();
        switches.extend(asked);
        if let Some(own) = setup.channels[channel].control
            && !setup.controls[own].settings.is_empty()
        {
            switches.insert(own);
        }
        let distinct: BTreeSet<Order> =
            orders.iter().map(|o| essence(setup, &influence, channel, o)).collect();
        let Some(choices) =
            choices(setup, &switches).filter(|c| c.len().saturating_mul(distinct.len()) <= MOST_COMBINATIONS)
        else {
            return Self { channel, cases: Vec::new(), too_many: true };
        };
        let mut cases = Vec::with_capacity(choices.len() * distinct.len());
        for order in &distinct {
            for settings in &choices {
                cases.push(Case {
                    order: *order,
                    settings: settings.clone(),
                    fixed: Fixed::new(setup, channel, order, settings),
                });
            }
        }
        Self { channel, cases, too_many: false }
    }
}

/// The orders that the file and its measured pulses leave possible; and for each measured way
/// whether no order at all agrees with it.
pub fn possible_orders(setup: &Setup) -> (Vec<Order>, Vec<(ChannelId, Side)>) {
    let all = Order::all(&setup.transmitter.order);
    let scale = &setup.transmitter.pulse;
    // A meter and a hand: pulse accuracy and 5 us more.
    let allowed = &scale.accuracy.0 + Exact::int(5);
    let mut left = all.clone();
    let mut differing = Vec::new();
    for (id, channel) in setup.channels.iter().enumerate() {
        for side in Side::BOTH {
            let Some(measured) = &channel.measured[side.index()] else { continue };
            let agrees = |order: &Order| {
                let pulse = scale.pulse_at(&chain::held_fully(setup, id, side, order));
                (pulse.0 - &measured.0).abs() <= allowed
            };
            if !all.iter().any(agrees) {
                differing.push((id, side));
            }
            left.retain(agrees);
        }
    }
    if left.is_empty() {
        if differing.is_empty() {
            // Each pulse has an order that explains it, but no order explains them all.
            differing = setup
                .channels
                .iter()
                .enumerate()
                .flat_map(|(id, c)| Side::BOTH.map(|s| (id, s, c.measured[s.index()].is_some())))
                .filter_map(|(id, side, given)| given.then_some((id, side)))
                .collect();
        }
        return (all, differing);
    }
    (left, Vec::new())
}
