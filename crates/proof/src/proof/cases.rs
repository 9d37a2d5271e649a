//! Every order and every choice of settings under which a channel behaves differently.

use super::domain::{Domain, Inside};
use super::interval::Interval;
use super::reach::{ChannelCase, Extreme, Sums};
use crate::chain::terms::{Gathered, Terms};
use crate::chain::{self, EndStages, Order};
use crate::setup::{ChannelId, ControlId, Exact, MixOf, OrderPlace, PastFull, Setup, Side, SubTrimDoes};
use crate::work;
use std::cell::{OnceCell, RefCell};
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

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
    pub fixed: ChannelCase,
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
    /// Controls that move it.
    controls: Vec<ControlId>,
    /// Switches of which each case has a setting.
    switches: Vec<ControlId>,
    /// Each order with what of it matters to this channel.
    essences: Vec<(Order, Order)>,
    /// For each case the first one that is the same up to the limits.
    alike: Vec<usize>,
    /// For each case its order without what does not matter while all trims are at nought.
    pub untrimmed: Vec<Order>,
    /// For each case the index of its terms: cases that differ behind them only share it.
    terms: Vec<usize>,
    /// Whether equal endpoints made a line of the order drop out that counts where they differ.
    ends_alike: bool,
    /// What was asked before: every rule asks over the same few domains.
    asked: RefCell<Vec<Rc<CachedReach>>>,
}

/// The reach of every case over one domain, before the limits, as far as it was asked for.
#[derive(Debug)]
pub struct CachedReach {
    /// Ranges of position and trim of the controls that move the channel.
    ranges: Rc<Vec<[Interval; 2]>>,
    /// Whether a switch may be caught while it is thrown, and which are held.
    throws: (bool, Vec<ControlId>),
    /// By terms: what they add up to, for the least and the greatest.
    sums: Rc<Vec<[OnceCell<Sums>; 2]>>,
    /// By case, before the limits: least and greatest; bound and value attained.
    reach: Vec<[OnceCell<(Exact, Exact)>; 2]>,
    /// The same behind the limits.
    sent: Vec<[OnceCell<(Exact, Exact)>; 2]>,
    /// Over all cases, behind the limits: least and greatest; bound and value attained.
    furthest: [OnceCell<Option<(Exact, Exact)>>; 2],
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
    /// Switches whose setting makes a difference, by what it chooses or by where they stand.
    pub fn thrown(&self, setup: &Setup) -> BTreeSet<ControlId> {
        let stands = self.controls.iter().filter(|&&control| !setup.controls[control].settings.is_empty());
        self.switches.iter().chain(stands).copied().collect()
    }
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

/// Every choice of settings of some switches, the others not thrown; `None` if too many.
pub fn choices(setup: &Setup, switches: &BTreeSet<ControlId>) -> Option<Vec<Vec<usize>>> {
    let count = switches
        .iter()
        .try_fold(1usize, |n, &s| n.checked_mul(setup.controls[s].settings.len().max(1)))
        .filter(|&n| n <= MOST_COMBINATIONS)?;
    work::steps(count.saturating_mul(setup.controls.len()), || {
        format!(
            "the settings of {} switches that act on one channel can be combined in {count} ways",
            switches.len()
        )
    });
    let mut all: Vec<Vec<usize>> = Vec::with_capacity(count);
    all.push(setup.controls.iter().map(|control| control.home).collect());
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
pub fn relevant_order(setup: &Setup, influence: &Influence, channel: ChannelId, order: &Order) -> Order {
    use crate::setup::EndpointSide;
    let mut relevant_order = *order;
    let any = |test: &dyn Fn(&crate::setup::Channel) -> bool| {
        influence.channels.iter().any(|&c| test(&setup.channels[c]))
    };
    if !any(&|c| c.control.is_some_and(|own| setup.controls[own].has_trim())) {
        relevant_order.trim = OrderPlace::Before;
    }
    if !any(&|c| !c.mixes.is_empty()) {
        relevant_order.mix = OrderPlace::Before;
    }
    let c = &setup.channels[channel];
    if c.longer == Side::High || c.endpoints[0] == c.endpoints[1] {
        relevant_order.side = EndpointSide::Stick;
    }
    relevant_order
}

impl Cases {
    /// All cases of a channel under the orders that are possible. `asked` adds switches on whose
    /// settings a question depends although they do not act on the channel.
    pub fn of(setup: &Setup, channel: ChannelId, orders: &[Order], asked: &BTreeSet<ControlId>) -> Self {
        Self::among(setup, &Gathered::default(), channel, orders, asked)
    }

    /// The same where other channels are gathered as well.
    pub fn among(
        setup: &Setup,
        gathered: &Gathered,
        channel: ChannelId,
        orders: &[Order],
        asked: &BTreeSet<ControlId>,
    ) -> Self {
        let influence = Influence::on(setup, channel);
        let mut switches = influence.thrown(setup);
        switches.extend(asked);
        let essences: Vec<(Order, Order)> =
            orders.iter().map(|o| (*o, relevant_order(setup, &influence, channel, o))).collect();
        let distinct: BTreeSet<Order> = essences.iter().map(|(_, relevant_order)| *relevant_order).collect();
        let Some(choices) =
            choices(setup, &switches).filter(|c| c.len().saturating_mul(distinct.len()) <= MOST_COMBINATIONS)
        else {
            return Self {
                channel,
                cases: Vec::new(),
                too_many: true,
                controls: Vec::new(),
                switches: Vec::new(),
                essences,
                alike: Vec::new(),
                untrimmed: Vec::new(),
                terms: Vec::new(),
                ends_alike: false,
                asked: RefCell::default(),
            };
        };
        count_steps(setup, channel, choices.len() * distinct.len(), MAKING);
        let mut cases = Vec::with_capacity(choices.len() * distinct.len());
        let mut alike = Vec::with_capacity(cases.capacity());
        let mut untrimmed = Vec::with_capacity(cases.capacity());
        let mut terms = Vec::with_capacity(cases.capacity());
        type Known = (Rc<Terms>, Rc<Terms>, [bool; 2], usize);
        let mut known: BTreeMap<(OrderPlace, OrderPlace, usize), Known> = BTreeMap::new();
        let mut first_alike: BTreeMap<(Order, usize), usize> = BTreeMap::new();
        for order in &distinct {
            for (choice, settings) in choices.iter().enumerate() {
                // What reaches the endpoint knows only these two lines.
                let count = known.len();
                let (before, after, within_full, index) =
                    known.entry((order.trim, order.mix, choice)).or_insert_with(|| {
                        let before = gathered.before(setup, channel, order, settings);
                        let within_full = [before.most(setup, true), before.most(setup, false)]
                            .map(|most| most <= Exact::ONE);
                        let after = Rc::new(gathered.after(setup, channel, order, settings));
                        (before, after, within_full, count)
                    });
                let mut same = Order { sub_trim: SubTrimDoes::ShiftsEnds, ..*order };
                let mut without_trims = Order { trim: OrderPlace::Before, ..*order };
                for (order, within_full) in [&mut same, &mut without_trims].into_iter().zip(within_full) {
                    if *within_full {
                        order.past_full = PastFull::CutOff;
                    }
                }
                untrimmed.push(without_trims);
                alike.push(*first_alike.entry((same, choice)).or_insert(cases.len()));
                terms.push(*index);
                let fixed =
                    ChannelCase::with_terms(setup, channel, order, (Rc::clone(before), Rc::clone(after)));
                cases.push(Case { order: *order, settings: settings.clone(), fixed });
            }
        }
        let controls = influence.controls.into_iter().collect();
        let c = &setup.channels[channel];
        let ends_alike = c.longer == Side::Low && c.endpoints[0] == c.endpoints[1];
        let asked = RefCell::default();
        let switches = switches.into_iter().collect();
        Self {
            channel,
            cases,
            too_many: false,
            controls,
            switches,
            essences,
            alike,
            untrimmed,
            terms,
            ends_alike,
            asked,
        }
    }

    /// The same for a set-up in which this channel has other endpoints or another sub-trim, and all
    /// else that moves it is as it was: what goes on before the endpoint need not be worked out
    /// again. `None` where these cases were made for equal endpoints, which leave out a line of the
    /// order that counts for others.
    pub fn reshaped(mut self, setup: &Setup) -> Option<Self> {
        if self.ends_alike {
            return None;
        }
        count_steps(setup, self.channel, self.cases.len(), 1);
        for case in &mut self.cases {
            case.fixed.shape = EndStages::of(setup, self.channel, &case.order);
        }
        for asked in self.asked.get_mut() {
            *asked = Rc::new(CachedReach {
                ranges: Rc::clone(&asked.ranges),
                throws: asked.throws.clone(),
                sums: Rc::clone(&asked.sums),
                reach: self.cases.iter().map(|_| Default::default()).collect(),
                sent: self.cases.iter().map(|_| Default::default()).collect(),
                furthest: Default::default(),
            });
        }
        Some(self)
    }

    /// A bound on the size of what comes to the endpoint in any case, and at least 1; `None` where the
    /// switches can be combined in too many ways.
    pub fn steepest(&self, setup: &Setup) -> Option<Exact> {
        let of_case = |case: &Case| match case.order.past_full {
            PastFull::CutOff => Exact::ONE,
            PastFull::CarriesOn => case.fixed.before.most(setup, true),
        };
        (!self.too_many).then(|| self.cases.iter().map(of_case).fold(Exact::ONE, Exact::max))
    }

    /// Every case is about to be looked at once.
    pub(super) fn count_steps(&self, setup: &Setup) {
        count_steps(setup, self.channel, self.cases.len(), 1);
    }

    /// What is known about the reach over a domain, to be filled in while asking.
    pub fn asked_over(&self, domain: &Domain) -> Rc<CachedReach> {
        let mut known = self.asked.borrow_mut();
        let held = self.switches.iter().filter(|switch| domain.held.contains(switch)).copied();
        let throws = (domain.thrown && !self.switches.is_empty(), held.collect());
        let is_same = |asked: &&Rc<CachedReach>| {
            asked.throws == throws
                && self.controls.iter().zip(asked.ranges.iter()).all(|(&control, [position, trim])| {
                    domain.positions[control] == *position && domain.trims[control] == *trim
                })
        };
        if let Some(asked) = known.iter().find(is_same) {
            return Rc::clone(asked);
        }
        let ranges = |&c: &ControlId| [domain.positions[c].clone(), domain.trims[c].clone()];
        let asked = Rc::new(CachedReach {
            ranges: Rc::new(self.controls.iter().map(ranges).collect()),
            throws,
            sums: Rc::new(self.terms.iter().map(|_| Default::default()).collect()),
            reach: self.cases.iter().map(|_| Default::default()).collect(),
            sent: self.cases.iter().map(|_| Default::default()).collect(),
            furthest: Default::default(),
        });
        known.push(Rc::clone(&asked));
        asked
    }

    /// What of a domain remains in one case; `None` where the case has no part in it.
    pub fn domain_of<'a>(&'a self, setup: &'a Setup, domain: &'a Domain, case: usize) -> Option<Inside<'a>> {
        let Case { order, settings, .. } = &self.cases[case];
        if let Some(orders) = &domain.orders
            && !self
                .essences
                .iter()
                .any(|(full, relevant_order)| relevant_order == order && orders.contains(full))
        {
            return None;
        }
        Inside::of(domain, setup, &self.switches, settings)
    }

    /// Bound and value attained of one case over a domain that [`Cases::asked_over`] was given, with
    /// what remains of it in that case.
    pub fn reach<'a>(
        &self,
        asked: &'a CachedReach,
        inside: &Inside,
        case: usize,
        which: Extreme,
    ) -> &'a (Exact, Exact) {
        let side = usize::from(which == Extreme::Greatest);
        let fixed = &self.cases[case].fixed;
        asked.sent[case][side].get_or_init(|| {
            let (bound, value) = asked.reach[self.alike[case]][side].get_or_init(|| {
                let sums = &asked.sums[self.terms[case]][side];
                fixed.reach_with(sums.get_or_init(|| fixed.sums(inside, which, None)), inside, which)
            });
            (fixed.shape.sent(bound), fixed.shape.sent(value))
        })
    }

    /// The furthest of [`Cases::reach`] in all cases, for a domain without conditions on settings or
    /// orders; `None` where there are none.
    pub fn furthest<'a>(
        &self,
        setup: &Setup,
        asked: &'a CachedReach,
        domain: &Domain,
        which: Extreme,
    ) -> Option<&'a (Exact, Exact)> {
        let all = || {
            self.count_steps(setup);
            (0..self.cases.len())
                .filter_map(|case| {
                    let inside = self.domain_of(setup, domain, case)?;
                    let (bound, value) = self.reach(asked, &inside, case, which);
                    Some((bound, value))
                })
                .reduce(|(bound, value), (b, v)| match which {
                    Extreme::Greatest => (bound.max(b), value.max(v)),
                    Extreme::Least => (bound.min(b), value.min(v)),
                })
                .map(|(bound, value)| (bound.clone(), value.clone()))
        };
        asked.furthest[usize::from(which == Extreme::Greatest)].get_or_init(all).as_ref()
    }
}

/// To make a case and to keep it takes as much as to look at it so many times.
const MAKING: usize = 40;
/// What is done for a case besides looking at its controls, in as many looks.
const BESIDE: usize = 4;

/// So many cases of a channel are about to be looked at so many times.
pub(super) fn count_steps(setup: &Setup, channel: ChannelId, cases: usize, times: usize) {
    work::steps(cases.saturating_mul(times * (setup.controls.len() + BESIDE)), || {
        let functions: usize = setup.devices_on(channel).map(|(_, device)| device.works.len()).sum();
        let hang = if functions == 1 {
            "1 function hangs".to_owned()
        } else {
            format!("{functions} functions hang")
        };
        format!(
            "{}, on which {hang} and of which {cases} cases had to be looked at (settings of switches, times what \
             `transmitter.order` leaves open)",
            setup.channel_title(channel)
        )
    });
}

/// The orders that the file and its measured pulses leave possible; and each measured way, by its channel
/// and its place there, with which no order at all agrees.
pub fn possible_orders(setup: &Setup) -> (Vec<Order>, Vec<(ChannelId, usize)>) {
    let all = Order::all(&setup.transmitter.order);
    // A meter and a hand: pulse accuracy and 5 us more.
    let allowed = &setup.transmitter.pulse.accuracy.0 + Exact::int(5);
    let mut left = all.clone();
    let mut differing = Vec::new();
    for (id, channel) in setup.channels.iter().enumerate() {
        for (at, measured) in channel.measured.iter().enumerate() {
            let agrees = |order: &Order| {
                let way = (measured.control, measured.side);
                let pulse = setup.axis.pulse_at(&chain::held_fully(setup, id, way, order));
                (pulse.0 - &measured.pulse.0).abs() <= allowed
            };
            if !all.iter().any(agrees) {
                differing.push((id, at));
            }
            left.retain(agrees);
        }
    }
    if left.is_empty() {
        if differing.is_empty() {
            // Each pulse has an order that explains it, but no order explains them all.
            let channels = setup.channels.iter().enumerate();
            differing = channels.flat_map(|(id, c)| (0..c.measured.len()).map(move |at| (id, at))).collect();
        }
        return (all, differing);
    }
    (left, Vec::new())
}
