//! What every rule asks: reach of devices in the states of the boat, cached per channel.

use super::sense_reversed::{Sense, senses, worst};
use super::states::{Place, State, StateKind, states};
use crate::chain::Order;
use crate::finding::WayWindows;
use crate::physics::domain::DomainError;
use crate::proof::sense::Worst;
use crate::proof::{Answer, Cases, Domain, Verdict, Zone};
use crate::rehearsal::{Cause, Rehearsal, Start, rehearse};
use crate::setup::{
    ChannelId, ControlId, DeviceId, Exact, Input, Reserved, Setup, Side, Toleranced, Unit, Work, WorkRef,
};
use std::cell::OnceCell;
use std::collections::BTreeSet;

/// A set-up with everything the rules share.
pub struct Context<'a> {
    /// The set-up.
    pub setup: &'a Setup,
    /// The orders that are possible.
    pub orders: Vec<Order>,
    /// Measured ways with which no order agrees.
    pub differing: Vec<(ChannelId, Side)>,
    /// Whether there is a unit and whether it is sure to act.
    pub unit: Unit,
    /// Everything a hand can do.
    pub everything: Domain,
    cases: Vec<OnceCell<Cases>>,
    states: OnceCell<Vec<State>>,
    /// By device and work: whether piloting can engage it.
    pilot_may: Vec<Vec<OnceCell<bool>>>,
    senses: OnceCell<Vec<Judged>>,
    /// By channel and side: the safe endpoint values, which several findings may advise.
    windows: Vec<[OnceCell<Option<WayWindows>>; 2]>,
    rehearsal: OnceCell<Option<Rehearsal>>,
}

/// A way with the worst that it does, with every springing control at rest and with the others
/// anywhere.
pub struct Judged {
    /// The way.
    pub sense: Sense,
    /// With every springing control at rest.
    pub resting: Worst,
    /// With the others anywhere.
    pub anywhere: Worst,
}

impl<'a> Context<'a> {
    /// With the orders that the measured pulses leave.
    pub fn new(setup: &'a Setup) -> Self {
        let (orders, differing) = crate::proof::cases::possible_orders(setup);
        Self { differing, ..Self::with_orders(setup, orders) }
    }

    /// With given orders.
    pub fn with_orders(setup: &'a Setup, orders: Vec<Order>) -> Self {
        Self {
            setup,
            orders,
            differing: Vec::new(),
            unit: setup.unit(),
            everything: Domain::everything(setup),
            cases: setup.channels.iter().map(|_| OnceCell::new()).collect(),
            states: OnceCell::new(),
            pilot_may: setup.devices.iter().map(|d| vec![OnceCell::new(); d.works.len()]).collect(),
            senses: OnceCell::new(),
            windows: setup.channels.iter().map(|_| Default::default()).collect(),
            rehearsal: OnceCell::new(),
        }
    }

    /// With the cases of a channel that are known already.
    pub fn with_cases(self, cases: Cases) -> Self {
        self.cases[cases.channel].get_or_init(|| cases);
        self
    }

    /// The cases of a channel, if something asked for them.
    pub fn into_cases(mut self, channel: ChannelId) -> Option<Cases> {
        self.cases[channel].take()
    }

    /// The safe endpoint values of a way; `None` if nothing limits it.
    pub fn windows(&self, channel: ChannelId, side: Side) -> Option<&WayWindows> {
        self.windows[channel][side.index()]
            .get_or_init(|| super::windows::way(self.setup, channel, side))
            .as_ref()
    }

    /// What a lost link does in time and water, from the depth limit on; `None` where the file tells too
    /// little to follow her.
    pub fn rehearsal(&self) -> Option<&Rehearsal> {
        self.rehearsed().filter(|found| !found.worst.track.is_empty())
    }

    /// What the file gives for a rehearsal and no formula answers for.
    pub fn refused(&self) -> &[DomainError] {
        self.rehearsed().map_or(&[], |found| &found.refused)
    }

    /// The keys that a rehearsal wants and the file does not have.
    pub fn unjudged(&self) -> Vec<String> {
        let missing = self.rehearsed().map_or(&[][..], |found| &found.missing);
        let mut keys: Vec<String> = missing.iter().map(|m| m.key.clone()).collect();
        keys.dedup();
        keys
    }

    /// The rehearsal, if something asked for it.
    pub fn into_rehearsal(self) -> Option<Rehearsal> {
        self.rehearsal.into_inner().flatten()
    }

    fn rehearsed(&self) -> Option<&Rehearsal> {
        let (hull, tank) = (&self.setup.hull, &self.setup.tank);
        let begun = hull.weight.is_some() || tank.volume.is_some() || !tank.emptied_by.is_empty();
        let follow = || begun.then(|| rehearse(self.setup, Cause::Loss, &Start::default()));
        self.rehearsal.get_or_init(follow).as_ref()
    }

    /// All cases of a channel.
    pub fn cases(&self, channel: ChannelId) -> &Cases {
        self.cases[channel].get_or_init(|| Cases::of(self.setup, channel, &self.orders, &self.asked(channel)))
    }

    /// Switches on whose settings a question about a channel depends.
    fn asked(&self, channel: ChannelId) -> BTreeSet<ControlId> {
        let mut asked: BTreeSet<ControlId> = self.setup.channels[channel]
            .wants
            .iter()
            .flatten()
            .flat_map(|want| want.needs.iter().map(|n| n.0))
            .collect();
        for (_, device) in self.setup.devices_on(channel) {
            for work in &device.works {
                if let Reserved::Unless(switch, _) = work.reserved {
                    asked.insert(switch);
                }
            }
        }
        asked
    }

    /// The states of the boat after the pilot has lost her, in order of time.
    pub fn states(&self) -> &[State] {
        self.states.get_or_init(|| states(self.setup))
    }

    /// The states in which a lost link may leave her for good, with their names. A unit that may
    /// never notice leaves her waiting, or in its last stage if it does; one whose last stage ends
    /// hands her back to the receiver.
    pub fn at_the_end(&self) -> Vec<(&State, &str)> {
        let ends = self
            .setup
            .fail_safe
            .as_ref()
            .is_some_and(|unit| unit.stages.last().is_some_and(|stage| stage.lasts.is_some()));
        let last = self.states().iter().rev().find(|s| matches!(s.kind, StateKind::Stage(_)));
        let mut all: Vec<(&State, &str)> = last.map(|s| (s, s.name.as_str())).into_iter().collect();
        if self.unit != Unit::Sure || ends || last.is_none() {
            let waiting = self.states().iter().filter(|s| s.kind == StateKind::Waiting);
            all.extend(waiting.map(|s| (s, "lost for good")));
        }
        all
    }

    /// Where piloting can put a device.
    pub fn piloting(&self, device: DeviceId) -> Place {
        super::states::piloting_place(self.setup, device)
    }

    /// Whether a device can get into a zone. `zone` is given how far the device can be off on the
    /// side of `sign` and answers the stretch of outputs that counts.
    pub fn ask(
        &self,
        device: DeviceId,
        place: &Place,
        domain: &Domain,
        sign: i32,
        zone: &dyn Fn(&Exact) -> Zone,
    ) -> Answer {
        let slack = self.setup.slack(device, sign, place.by_unit());
        let zone = zone(&slack);
        match place {
            Place::Pilot => match self.setup.devices[device].input {
                Input::Channel(channel) => self.cases(channel).meets(self.setup, domain, &zone),
                _ => clear(None),
            },
            Place::Still => clear(None),
            Place::Fixed { at, .. } => within(&zone, at, at),
            Place::Within(low, high) => within(&zone, low, high),
        }
    }

    /// Whether a work may be engaged at a place; `held` counts one that was engaged before.
    pub fn may_engage(&self, work: WorkRef, place: &Place, domain: &Domain, held: bool) -> Answer {
        let w = self.setup.work(work);
        self.ask(work.device, place, domain, w.sign, &|slack| may_zone(w, slack, held))
    }

    /// Whether a work may fail to be engaged at a place, or with `fully` to be past where its effect
    /// is complete: the answer is met when it may.
    pub fn may_miss(&self, work: WorkRef, place: &Place, domain: &Domain, fully: bool) -> Answer {
        let w = self.setup.work(work);
        let needed = w.full.as_ref().filter(|_| fully).unwrap_or(&w.from);
        let short = self.ask(work.device, place, domain, w.sign, &|slack| short_of(needed, w.sign, slack));
        let Some(to) = &w.to else { return short };
        let past = self.ask(work.device, place, domain, w.sign, &|slack| {
            let end = to.nearest(w.sign);
            if w.sign < 0 { Zone::below(end + slack) } else { Zone::above(end - slack) }
        });
        worse(short, past)
    }

    /// Whether a work may be engaged at a place, whatever else a hand does: no witness is asked for,
    /// and finding one takes most of the time of an answer.
    fn may_be_engaged(&self, work: WorkRef, place: &Place) -> bool {
        if let (Place::Pilot, Input::Channel(channel)) = (place, self.setup.devices[work.device].input) {
            let w = self.setup.work(work);
            let zone = may_zone(w, &self.setup.slack(work.device, w.sign, false), false);
            return self.cases(channel).may_meet(self.setup, &self.everything, &zone).0;
        }
        !matches!(self.may_engage(work, place, &self.everything, false).verdict, Verdict::Clear)
    }

    /// Whether piloting can engage a work at all.
    pub fn pilot_may_engage(&self, work: WorkRef) -> bool {
        *self.pilot_may[work.device][work.work].get_or_init(|| {
            let place = self.piloting(work.device);
            self.may_be_engaged(work, &place)
        })
    }

    /// Whether a work may have been engaged before a state began: by the pilot, by what the
    /// receiver does while the unit waits, or by an earlier stage.
    pub fn held_before(&self, work: WorkRef, state: usize) -> bool {
        let kind = self.states()[state].kind;
        let mut held = self.pilot_may_engage(work);
        for earlier in &self.states()[..state] {
            let leads_here = match kind {
                StateKind::Stage(_) => matches!(earlier.kind, StateKind::Waiting | StateKind::Stage(_)),
                StateKind::StageWhilePiloting(_) => matches!(earlier.kind, StateKind::StageWhilePiloting(_)),
                StateKind::Waiting | StateKind::PowerUp => false,
            };
            if leads_here && !held {
                let place = &earlier.places[work.device];
                held = self.may_be_engaged(work, place);
            }
        }
        held
    }

    /// Every way that wants an effect, judged once for all rules.
    pub fn senses(&self) -> &[Judged] {
        self.senses.get_or_init(|| {
            senses(self.setup)
                .into_iter()
                .filter_map(|sense| match worst(self, &sense) {
                    (Some(resting), Some(anywhere)) => Some(Judged { sense, resting, anywhere }),
                    _ => None,
                })
                .collect()
        })
    }

    /// Every work of every device.
    pub fn works(&self) -> impl Iterator<Item = (WorkRef, &'a Work)> + use<'a> {
        let setup = self.setup;
        setup.works().map(|work| (work, setup.work(work)))
    }

    /// The works on the devices wired straight to a channel.
    pub fn works_on(&self, channel: ChannelId) -> impl Iterator<Item = (WorkRef, &'a Work)> + use<'a> {
        let setup = self.setup;
        self.works().filter(move |(w, _)| setup.devices[w.device].input == Input::Channel(channel))
    }

    /// Whether a way of a channel wants a work.
    pub fn wants(&self, channel: ChannelId, side: Side, work: WorkRef) -> bool {
        self.setup.channels[channel].wants[side.index()].iter().any(|w| w.work == work)
    }
}

fn clear(margin: Option<Exact>) -> Answer {
    Answer { verdict: Verdict::Clear, margin, met_under: Vec::new() }
}

/// The answer for a place that no stick moves.
pub fn within(zone: &Zone, low: &Exact, high: &Exact) -> Answer {
    let distance = zone.distance(low, high);
    if !zone.met_at(&distance) {
        return clear(Some(distance));
    }
    // A zone with two ends may lie inside the stretch, away from both of its ends.
    let inside = [Some(high), Some(low), zone.low.as_ref(), zone.high.as_ref()];
    let shown = inside.into_iter().flatten().find(|at| zone.holds(at) && *low <= **at && **at <= *high);
    let output = shown.unwrap_or(low).clone();
    Answer {
        verdict: Verdict::Met(Box::new(crate::proof::zone::Found {
            channel: 0,
            order: super::states::ANY_ORDER,
            settings: Vec::new(),
            hand: crate::proof::Hand { positions: Vec::new(), trims: Vec::new() },
            output,
        })),
        margin: Some(distance),
        met_under: Vec::new(),
    }
}

/// Outputs at which a work may be engaged; with `held`, also those at which it may not have let go.
pub fn may_zone(work: &Work, slack: &Exact, held: bool) -> Zone {
    let mut near = work.from.nearest(work.sign);
    if held && let Some(releases) = &work.releases {
        let lets_go = releases.nearest(work.sign);
        near = if work.sign < 0 { near.max(lets_go) } else { near.min(lets_go) };
    }
    let far = work.to.as_ref().map(|to| to.farthest(work.sign));
    if work.sign < 0 {
        Zone { low: far.map(|f| f - slack), high: Some(near + slack), closed: true }
    } else {
        Zone { low: Some(near - slack), high: far.map(|f| f + slack), closed: true }
    }
}

/// Outputs at which a threshold may not be passed.
pub fn short_of(threshold: &Toleranced, sign: i32, slack: &Exact) -> Zone {
    let needed = threshold.farthest(sign);
    if sign < 0 { Zone::above(needed - slack) } else { Zone::below(needed + slack) }
}

/// The worse of two answers.
pub fn worse(a: Answer, b: Answer) -> Answer {
    worse_side(a, b).0
}

/// The worse of the answers for the shorter and for the longer side, and the sign of that side.
pub fn worse_side(a: Answer, b: Answer) -> (Answer, i32) {
    let rank = |v: &Verdict| match v {
        Verdict::Met(_) => 0,
        Verdict::Unknown(_) => 1,
        Verdict::Clear => 2,
    };
    let first = match rank(&a.verdict).cmp(&rank(&b.verdict)) {
        std::cmp::Ordering::Less => true,
        std::cmp::Ordering::Greater => false,
        std::cmp::Ordering::Equal => match (&a.margin, &b.margin) {
            (Some(x), Some(y)) => x <= y,
            (x, _) => x.is_some(),
        },
    };
    if first { (a, -1) } else { (b, 1) }
}
