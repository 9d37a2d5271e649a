//! A set-up with other endpoints and another sub-trim of one channel, asked under one order at a time or under all.

use super::engine::{Engine, Known};
use super::outlook::Outlook;
use super::safe::BareQuestion;
use crate::chain::Order;
use crate::chain::terms::Gathered;
use crate::finding::Outcome;
use crate::proof::cases::{Influence, relevant_order};
use crate::setup::{ChannelId, Exact, Setup, Side};
use std::rc::Rc;

/// What can be dialled for one channel: the sub-trim, and the endpoints of the low and the high way.
pub(super) type Values = (Exact, [Exact; 2]);

/// Under which kinds of order a question is asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Under {
    /// Under one of them.
    One(usize),
    /// Under all at once: what holds so holds under each.
    All,
}

/// A channel on trial.
pub(super) struct Trial {
    /// The set-up as it is now.
    setup: Setup,
    channel: ChannelId,
    /// One of each kind of order that makes a difference, with what is known under it.
    orders: Vec<(Order, Known)>,
    /// What is known under all of them at once.
    all: Known,
}

impl Trial {
    /// A channel on trial by questions that hang on it. Pulses that were measured with other values say
    /// nothing here, so every order counts that the file leaves open.
    pub(super) fn new(setup: &Setup, channel: ChannelId, asked: &[&BareQuestion]) -> Self {
        let mut setup = setup.clone();
        setup.channels[channel].measured.clear();
        let mut channels: Vec<ChannelId> = asked.iter().flat_map(|q| q.asks.channels(&setup)).collect();
        channels.push(channel);
        channels.sort_unstable();
        channels.dedup();
        // Equal endpoints would hide a line that counts as soon as one of them is moved.
        let mut apart = setup.clone();
        apart.channels[channel].endpoints[0] = &apart.channels[channel].endpoints[1] + Exact::ONE;
        let of_channels = |order: &Order| -> Vec<Order> {
            let of = |&id: &ChannelId| relevant_order(&apart, &Influence::on(&apart, id), id, order);
            channels.iter().map(of).collect()
        };
        // No endpoint and no sub-trim has a part in what channels are the sum of.
        let gathered = Rc::new(Gathered::default());
        let mut known: Vec<Vec<Order>> = Vec::new();
        let mut orders = Vec::new();
        let all = Known { gathered: Rc::clone(&gathered), ..Known::default() };
        for order in Order::all(&setup.transmitter.order) {
            let essences = of_channels(&order);
            if !known.contains(&essences) {
                known.push(essences);
                orders.push((order, Known { gathered: Rc::clone(&gathered), ..Known::default() }));
            }
        }
        Self { setup, channel, orders, all }
    }

    /// The channel.
    pub(super) fn channel(&self) -> ChannelId {
        self.channel
    }

    /// What a share of the set's travel on one side is on the axis, where margins are.
    pub(super) fn share_on_axis(&self, share: &Exact, sign: i32) -> Exact {
        self.setup.axis.share_from(&self.setup.transmitter.pulse.scale, share, sign)
    }

    /// How many kinds of order there are.
    pub(super) fn orders(&self) -> usize {
        self.orders.len()
    }

    /// The values as they are now.
    pub(super) fn values(&self) -> Values {
        let c = &self.setup.channels[self.channel];
        (c.sub_trim.clone(), c.endpoints.clone())
    }

    /// With these values from now on.
    pub(super) fn dial(&mut self, values: &Values) {
        let c = &mut self.setup.channels[self.channel];
        (c.sub_trim, c.endpoints) = values.clone();
    }

    /// With this value of one endpoint from now on.
    pub(super) fn dial_end(&mut self, side: Side, value: &Exact) {
        self.setup.channels[self.channel].endpoints[side.index()] = value.clone();
    }

    /// With another set-up that differs in no more than thresholds and the sub-trim of the channel: what channels
    /// are the sum of stays as it is, and so does where nobody drives a device.
    pub(super) fn exchange(&mut self, setup: &Setup) {
        self.setup = setup.clone();
        self.setup.channels[self.channel].measured.clear();
    }

    /// How a question comes out.
    pub(super) fn outlook(&mut self, question: &BareQuestion, under: Under) -> Outlook {
        self.with(under, |engine| engine.outlook(&question.asks))
    }

    /// The distances that decide it, each by itself.
    pub(super) fn distances(&mut self, question: &BareQuestion, under: Under) -> Vec<Outlook> {
        self.with(under, |engine| engine.distances(&question.asks))
    }

    /// By how much outputs may move before that outcome can change.
    pub(super) fn firmness(&mut self, question: &BareQuestion, under: Under, outcome: Outcome) -> Exact {
        self.with(under, |engine| engine.firmness(&question.asks, outcome))
    }

    /// How it comes out under the worst of them.
    pub(super) fn worst(&mut self, question: &BareQuestion) -> Outlook {
        let mut worst = self.outlook(question, Under::One(0));
        for order in 1..self.orders() {
            worst = worst.worse(self.outlook(question, Under::One(order)));
        }
        worst
    }

    /// How much an output may move on the axis where a value moves by so much: an endpoint multiplies the
    /// signal, cuts it off or bounds the output; the sub-trim is added; the limits never part two outputs;
    /// and a percent of the set may be more or less than one of the axis. `None` where the switches can be
    /// combined in too many ways.
    pub(super) fn steepest(&mut self, under: Under) -> Option<Exact> {
        let channel = self.channel;
        let by = self.setup.axis.steepest_from(&self.setup.transmitter.pulse.scale);
        self.with(under, |engine| engine.cases(channel).steepest(engine.setup)).map(|most| most * by)
    }

    fn with<T>(&mut self, under: Under, ask: impl FnOnce(&Engine) -> T) -> T {
        let (orders, known) = match under {
            Under::One(order) => (vec![self.orders[order].0], &mut self.orders[order].1),
            Under::All => (self.orders.iter().map(|(order, _)| *order).collect(), &mut self.all),
        };
        let mut before = std::mem::take(known);
        // What goes on before the endpoint is the same for all values, and other channels know nothing of it.
        if let Some(at) = before.cases.iter().position(|cases| cases.channel == self.channel) {
            let cases = Rc::unwrap_or_clone(before.cases.swap_remove(at));
            before.cases.extend(cases.reshaped(&self.setup).map(Rc::new));
        }
        let engine = Engine::with_orders(&self.setup, orders).knowing(before);
        let answer = ask(&engine);
        *known = engine.into_known();
        answer
    }
}
