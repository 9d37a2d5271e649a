//! The one engine: every question about what a hand, a receiver or a unit can make of a boat is answered
//! here, and what channels can do is worked out once for all of them.

use super::answer::{Answered, Detail, Seen};
use super::asks::{Asks, Moved};
use super::safe::Asked;
use super::states::{Place, State, states};
use super::together;
use crate::chain::{Order, Shape, stick_signal};
use crate::finding::{Margin, StateId, WayWindows};
use crate::physics::domain::DomainError;
use crate::proof::cases::Influence;
use crate::proof::sense::{Moves, Worst};
use crate::proof::zone::TOO_MANY;
use crate::proof::{Answer, Cases, Domain, Verdict, Zone};
use crate::rehearsal::{Cause, Rehearsal, Start, rehearse};
use crate::setup::quantity::Micros;
use crate::setup::{
    ChannelId, ControlId, DeviceId, Exact, Input, Reserved, Setup, Side, SubTrimDoes, Toleranced, Unit, Work,
    WorkRef,
};
use std::cell::{OnceCell, RefCell};
use std::collections::BTreeSet;
use std::rc::Rc;

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
    states: OnceCell<Rc<Vec<State>>>,
    /// By device and function: who may have engaged it before.
    before: Vec<Vec<OnceCell<Before>>>,
    moves: RefCell<Vec<(Moved, Rc<BothWorst>)>>,
    asked: OnceCell<Vec<Asked>>,
    /// By channel and side: the safe endpoint values, which several findings may advise.
    windows: Vec<[OnceCell<Option<WayWindows>>; 2]>,
    rehearsal: OnceCell<Option<Rehearsal>>,
}

/// What is worked out once and serves as long as it stays true.
#[derive(Default)]
pub(super) struct Known {
    /// Of some channels.
    pub cases: Vec<Cases>,
    /// The states after a loss.
    pub states: Option<Rc<Vec<State>>>,
}

/// The worst that a way does with every springing control at rest, and with the others anywhere.
pub type BothWorst = [Option<Worst>; 2];

/// Who may have engaged a function before, so that it stays so until it has surely let go.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Before {
    /// Nobody can.
    Nobody,
    /// Somebody, whatever the order of operations.
    Somebody,
    /// The pilot, under these orders.
    Pilot(Vec<Order>),
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
            before: setup.devices.iter().map(|d| vec![OnceCell::new(); d.works.len()]).collect(),
            moves: RefCell::default(),
            asked: OnceCell::new(),
            windows: setup.channels.iter().map(|_| Default::default()).collect(),
            rehearsal: OnceCell::new(),
        }
    }

    /// With what is known already of channels and states.
    pub(super) fn knowing(mut self, known: Known) -> Self {
        for cases in known.cases {
            self.cases[cases.channel].get_or_init(|| cases);
        }
        if let Some(states) = known.states {
            self.states = OnceCell::from(states);
        }
        self
    }

    /// What was found out of channels and states while asking.
    pub(super) fn into_known(self) -> Known {
        Known {
            cases: self.cases.into_iter().filter_map(OnceCell::into_inner).collect(),
            states: self.states.into_inner(),
        }
    }

    /// Everything that the rules ask of this set-up, without their words.
    pub fn asked(&self) -> &[Asked] {
        self.asked.get_or_init(|| crate::rule::asked(self))
    }

    /// The safe endpoint values of a way; `None` if nothing limits it.
    pub fn windows(&self, channel: ChannelId, side: Side) -> Option<&WayWindows> {
        self.windows[channel][side.index()]
            .get_or_init(|| super::safe::way(self.setup, self.asked(), channel, side))
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
        self.cases[channel]
            .get_or_init(|| Cases::of(self.setup, channel, &self.orders, &self.asked_switches(channel)))
    }

    /// Switches on whose settings a question about a channel depends.
    fn asked_switches(&self, channel: ChannelId) -> BTreeSet<ControlId> {
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
        self.states.get_or_init(|| Rc::new(states(self.setup)))
    }

    /// The states in which a lost link may leave her for good, with their names. A unit that may
    /// never notice leaves her waiting, or in its last stage if it does; one whose last stage ends
    /// hands her back to the receiver.
    pub fn at_the_end(&self) -> Vec<(&State, StateId)> {
        let ends = self
            .setup
            .fail_safe
            .as_ref()
            .is_some_and(|unit| unit.stages.last().is_some_and(|stage| stage.lasts.is_some()));
        let last = self.states().iter().rev().find(|s| matches!(s.id, StateId::Stage(_)));
        let mut all: Vec<(&State, StateId)> = last.map(|s| (s, s.id)).into_iter().collect();
        if self.unit != Unit::Sure || ends || last.is_none() {
            let waiting = self.states().iter().filter(|s| s.id == StateId::Waiting);
            all.extend(waiting.map(|s| (s, StateId::LostForGood)));
        }
        all
    }

    /// Where piloting can put a device.
    pub fn piloting(&self, device: DeviceId) -> Place {
        super::states::piloting_place(self.setup, device)
    }

    /// Every function of every device.
    pub fn works(&self) -> impl Iterator<Item = (WorkRef, &'a Work)> + use<'a> {
        let setup = self.setup;
        setup.works().map(|work| (work, setup.work(work)))
    }

    /// The functions of the devices wired straight to a channel.
    pub fn works_on(&self, channel: ChannelId) -> impl Iterator<Item = (WorkRef, &'a Work)> + use<'a> {
        let setup = self.setup;
        self.works().filter(move |(w, _)| setup.devices[w.device].input == Input::Channel(channel))
    }

    /// Whether a way of a channel wants a function.
    pub fn wants(&self, channel: ChannelId, side: Side, work: WorkRef) -> bool {
        self.setup.channels[channel].wants[side.index()].iter().any(|w| w.work == work)
    }

    /// Answers a question, with a witness where it is broken.
    pub fn answer(&self, asks: &Asks) -> Answered {
        match asks {
            Asks::Engages { function, place, over } => {
                let sign = self.setup.work(*function).sign;
                self.told(self.engages(*function, place, over), sign)
            }
            Asks::Misses { function, place, over, fully } => {
                let sign = self.setup.work(*function).sign;
                self.told(self.misses(*function, place, over, *fully), sign)
            }
            Asks::Together { functions, places, over } => together::answer(self, *functions, places, over),
            Asks::Leaves { device, place, over, band: [low, high] } => {
                let under = self.ask(*device, place, over, -1, &|slack| Zone::below(low + slack));
                let past = self.ask(*device, place, over, 1, &|slack| Zone::above(high - slack));
                self.worse_side(under, past)
            }
            Asks::StaysWithin { device, place, over, band } => {
                let off = |sign| self.setup.slack(*device, sign, place.by_unit());
                let answer = self.ask(*device, place, over, 1, &|_| Zone {
                    low: band.as_ref().map(|[low, _]| low - off(-1)),
                    high: band.as_ref().map(|[_, high]| high + off(1)),
                    closed: true,
                });
                self.told(answer, 1)
            }
            Asks::Passes { device, place, over, edge } => {
                let zone = |at: &Exact| {
                    let answer = self.ask(*device, place, over, edge.sign, &|slack| {
                        past(at, edge.sign, edge.touching, slack)
                    });
                    self.told(answer, edge.sign)
                };
                let cautious = zone(&edge.at);
                let Some(surely) = &edge.surely else { return cautious };
                if matches!(cautious.seen, Seen::Never) {
                    return cautious;
                }
                match surely.as_ref().map(zone) {
                    Some(certain) if !matches!(certain.seen, Seen::Never) => certain,
                    _ => Answered {
                        seen: Seen::Unknown(
                            "it comes nearer than the tolerances can be reckoned through".into(),
                        ),
                        ..cautious
                    },
                }
            }
            Asks::FallsShort { device, place, over, sign, needed } => {
                let answer = self.ask(*device, place, over, *sign, &|slack| short(needed, *sign, slack));
                self.told(answer, *sign)
            }
            Asks::Trips { channel, over, beyond } => {
                let sign = beyond.value.signum();
                let zone = self.tripping(beyond);
                self.told(self.cases(*channel).meets(self.setup, over, &zone), sign)
            }
            Asks::Varies { channel, over } => match self.cases(*channel).span(self.setup, over) {
                Some((low, high)) => Answered::fact(low != high),
                None => Answered { seen: Seen::Unknown(TOO_MANY.into()), ..Answered::fact(false) },
            },
            Asks::Moves { way, at_all } => self.moves_rightly(way, *at_all),
            Asks::CutsOff { channel, side } => self.cuts_off(*channel, *side),
            Asks::Narrow { least, .. } => match self.narrowest(asks) {
                Some(width) => {
                    Answered { detail: Detail::Width(width.clone()), ..Answered::fact(width < *least) }
                }
                None => Answered::fact(false),
            },
            Asks::All(all) => self.answer_all(all),
            Asks::Fact(broken) => Answered::fact(*broken),
        }
    }

    /// One that cannot be is enough; else the first shows what can.
    fn answer_all(&self, all: &[Asks]) -> Answered {
        let mut shown: Option<Answered> = None;
        for asks in all {
            let answered = self.answer(asks);
            if matches!(answered.seen, Seen::Never) {
                return Answered { margin: None, ..answered };
            }
            let keep = matches!(shown, Some(Answered { seen: Seen::Unknown(_), .. }));
            if shown.is_none() || (!keep && matches!(answered.seen, Seen::Unknown(_))) {
                shown = Some(answered);
            }
        }
        shown.map_or_else(|| Answered::fact(false), |answered| Answered { margin: None, ..answered })
    }

    /// The hands that work a channel, with the side of the axis to which their right, away or upper way
    /// drives it: its own control, or without one whatever is mixed in.
    pub fn hands_on(&self, channel: ChannelId) -> Vec<(ControlId, i32)> {
        let c = &self.setup.channels[channel];
        if let Some(own) = c.control {
            return vec![(own, c.longer.sign())];
        }
        let drives = |control: ControlId| {
            let towards = self.cases(channel).cases.iter().map(|case| {
                let signal = case.fixed.before.curves[control].at(&Exact::ONE)
                    + case.fixed.after.curves[control].at(&Exact::ONE);
                signal.signum() * case.fixed.shape.sense
            });
            towards.into_iter().find(|sign| *sign != 0).map(|sign| (control, sign))
        };
        Influence::on(self.setup, channel).controls.into_iter().filter_map(drives).collect()
    }

    /// Everything a hand can do that has a part in a state. Nobody throws a switch while nobody steers.
    pub fn unattended(&self, state: &State) -> Domain {
        match state.id {
            StateId::StageWhilePiloting(_) => self.everything.clone(),
            _ => self.everything.clone().settled(),
        }
    }

    /// Where something drives a device, with the state and what hands can do in it: piloting, and each
    /// state that can differ from those before. At power-up nothing drives it.
    pub fn driven_places(&self, device: DeviceId) -> Vec<(StateId, Place, Domain)> {
        let mut places = vec![(StateId::Piloting, self.piloting(device), self.everything.clone())];
        for state in self.states().iter().filter(|state| state.id != StateId::PowerUp) {
            let place = &state.places[device];
            if *place != Place::Still && !places.iter().any(|(_, known, _)| known == place) {
                places.push((state.id, place.clone(), self.unattended(state)));
            }
        }
        places
    }

    /// An answer with its distance on a side of the axis.
    pub(super) fn told(&self, answer: Answer, sign: i32) -> Answered {
        let margin = answer.margin.as_ref().map(|m| super::say::margin(self.setup, m, sign));
        Answered::of(answer, margin, sign)
    }

    /// The worse of the answers for the shorter and for the longer side. The distance in microseconds is
    /// the lesser of both: on a lopsided scale the side that is nearer in percent need not be nearer there.
    fn worse_side(&self, under: Answer, past: Answer) -> Answered {
        let both = [self.told(under, -1), self.told(past, 1)];
        let micros =
            both.iter().filter_map(|a| a.margin.as_ref().map(|m| m.micros.0.clone())).reduce(Exact::min);
        let rank = |answer: &Answered| match answer.seen {
            Seen::Here(_) | Seen::So => 0,
            Seen::Unknown(_) => 1,
            Seen::Never => 2,
        };
        let [under, past] = both;
        let first = match rank(&under).cmp(&rank(&past)) {
            std::cmp::Ordering::Less => true,
            std::cmp::Ordering::Greater => false,
            std::cmp::Ordering::Equal => match (&under.margin, &past.margin) {
                (Some(x), Some(y)) => x.axis <= y.axis,
                (x, _) => x.is_some(),
            },
        };
        let mut worse = if first { under } else { past };
        if let (Some(margin), Some(micros), Seen::Never) = (&mut worse.margin, micros, &worse.seen) {
            *margin = Margin { axis: margin.axis.clone(), micros: Micros(micros) };
        }
        worse
    }

    /// Whether a device can get into a zone. `zone` is given how far the device can be off on the
    /// side of `sign` and answers the stretch of outputs that counts.
    pub(super) fn ask(
        &self,
        device: DeviceId,
        place: &Place,
        domain: &Domain,
        sign: i32,
        zone: &dyn Fn(&Exact) -> Zone,
    ) -> Answer {
        let slack = self.setup.slack(device, sign, place.by_unit());
        self.in_zone(device, place, domain, &zone(&slack))
    }

    fn in_zone(&self, device: DeviceId, place: &Place, domain: &Domain, zone: &Zone) -> Answer {
        match place {
            Place::Pilot => match self.setup.devices[device].input {
                Input::Channel(channel) => self.cases(channel).meets(self.setup, domain, zone),
                _ => clear(None),
            },
            Place::Still => clear(None),
            Place::Fixed { at, .. } => within(zone, at, at),
            Place::Within(low, high) => within(zone, low, high),
        }
    }

    /// Whether a function may be engaged at a place, by the device there or because it has not surely let
    /// go since somebody engaged it.
    fn engages(&self, function: WorkRef, place: &Place, domain: &Domain) -> Answer {
        let w = self.setup.work(function);
        let slack = self.setup.slack(function.device, w.sign, place.by_unit());
        let [at_once, held] = [false, true].map(|held| may_zone(w, &slack, held));
        let ask = |zone: &Zone, domain: &Domain| self.in_zone(function.device, place, domain, zone);
        if at_once == held {
            return ask(&at_once, domain);
        }
        match self.before(function) {
            Before::Nobody => ask(&at_once, domain),
            Before::Somebody => ask(&held, domain),
            Before::Pilot(orders) if *place == Place::Pilot => {
                let others = self.orders.iter().filter(|o| !orders.contains(o)).copied().collect();
                worse(
                    ask(&held, &domain.clone().under(orders.clone())),
                    ask(&at_once, &domain.clone().under(others)),
                )
            }
            Before::Pilot(_) => ask(&held, domain),
        }
    }

    /// Whether a function may fail to be engaged at a place, or with `fully` to be past where its effect
    /// is complete: short of it, or beyond the far end of its zone.
    fn misses(&self, function: WorkRef, place: &Place, domain: &Domain, fully: bool) -> Answer {
        let w = self.setup.work(function);
        let needed = w.full.as_ref().filter(|_| fully).unwrap_or(&w.from);
        let short =
            self.ask(function.device, place, domain, w.sign, &|slack| short_of(needed, w.sign, slack));
        let Some(to) = &w.to else { return short };
        let edge = to.nearest(w.sign);
        let over =
            self.ask(function.device, place, domain, w.sign, &|slack| past(&edge, w.sign, false, slack));
        worse(short, over)
    }

    pub(super) fn tripping(&self, beyond: &Toleranced) -> Zone {
        let sign = beyond.value.signum();
        let scale = &self.setup.transmitter.pulse;
        let slack = scale.width(&scale.accuracy, sign);
        past(&beyond.nearest(sign), sign, true, &slack)
    }

    /// Who may have engaged a function before: the pilot, noise, a preset, or a stage of the unit. A link
    /// that was lost may come back, so each of them may have come before any state.
    pub fn before(&self, function: WorkRef) -> &Before {
        self.before[function.device][function.work].get_or_init(|| self.who_engages(function))
    }

    fn who_engages(&self, function: WorkRef) -> Before {
        let w = self.setup.work(function);
        let zone =
            |place: &Place| may_zone(w, &self.setup.slack(function.device, w.sign, place.by_unit()), false);
        let piloting = self.piloting(function.device);
        let places = self.states().iter().filter(|state| state.id != StateId::PowerUp);
        for place in places.map(|state| &state.places[function.device]).chain([&piloting]) {
            let (low, high) = match place {
                Place::Pilot | Place::Still => continue,
                Place::Fixed { at, .. } => (at, at),
                Place::Within(low, high) => (low, high),
            };
            let zone = zone(place);
            if zone.met_at(&zone.distance(low, high)) {
                return Before::Somebody;
            }
        }
        let (Place::Pilot, Input::Channel(channel)) = (&piloting, self.setup.devices[function.device].input)
        else {
            return Before::Nobody;
        };
        let (cases, zone) = (self.cases(channel), zone(&piloting));
        let may = |domain: &Domain| cases.may_meet(self.setup, domain, &zone).0;
        if !may(&self.everything) {
            return Before::Nobody;
        }
        if self.orders.len() == 1 || w.releases.is_none() {
            return Before::Somebody;
        }
        let under = |order: &&Order| may(&self.everything.clone().under(vec![**order]));
        let orders: Vec<Order> = self.orders.iter().filter(under).copied().collect();
        if orders.len() == self.orders.len() { Before::Somebody } else { Before::Pilot(orders) }
    }

    /// Whether piloting can engage a function at all.
    pub fn pilot_may_engage(&self, function: WorkRef) -> bool {
        let over = self.everything.clone();
        let asks = Asks::Engages { function, place: self.piloting(function.device), over };
        self.outlook(&asks).outcome != crate::finding::Outcome::Proved
    }

    /// Whether a question is answered well, without a witness.
    pub fn holds(&self, asks: &Asks) -> bool {
        self.outlook(asks).outcome == crate::finding::Outcome::Proved
    }

    /// The worst that a way does, with every springing control at rest and with the others anywhere.
    pub fn worst_moves(&self, way: &Moved) -> Rc<BothWorst> {
        if let Some((_, known)) = self.moves.borrow().iter().find(|(known, _)| known == way) {
            return Rc::clone(known);
        }
        let cases = self.cases(way.channel);
        let worst = Rc::new(
            self.sense_domains()
                .map(|domain| cases.moves(self.setup, way.control, way.side, way.wanted, &domain)),
        );
        self.moves.borrow_mut().push((*way, Rc::clone(&worst)));
        worst
    }

    /// Trims at nought, the others anywhere; the first with every springing control at rest.
    pub fn sense_domains(&self) -> [Domain; 2] {
        let anywhere = self.everything.clone().with_trims_at_nought().settled();
        [anywhere.clone().with_springing_at_rest(self.setup), anywhere]
    }

    fn moves_rightly(&self, way: &Moved, at_all: bool) -> Answered {
        let worst = self.worst_moves(way);
        let [Some(resting), Some(anywhere)] = &*worst else {
            return Answered { seen: Seen::Unknown(TOO_MANY.into()), ..Answered::fact(false) };
        };
        let broken = if at_all {
            (anywhere.moves == Moves::NotAtAll).then_some((anywhere, false))
        } else {
            match (&resting.moves, &anywhere.moves) {
                (Moves::Rightly(_), Moves::Wrongly(_)) => Some((anywhere, false)),
                (Moves::Rightly(_), _) => None,
                _ => Some((resting, true)),
            }
        };
        match broken {
            Some((worst, at_rest)) => Answered {
                detail: Detail::Move(Box::new(worst.clone()), at_rest),
                channel: Some(way.channel),
                met_under: worst.orders.clone(),
                ..Answered::fact(true)
            },
            None => Answered::fact(false),
        }
    }

    fn cuts_off(&self, channel: ChannelId, side: Side) -> Answered {
        let (setup, furthest) = (self.setup, &self.setup.transmitter.furthest);
        let sign = setup.channels[channel].longer.sign() * side.sign();
        let mut most = None;
        let mut under = Vec::new();
        for case in &self.cases(channel).cases {
            // Ends that are kept cut the travel by intention of the set.
            if case.order.sub_trim == SubTrimDoes::KeepsEnds {
                continue;
            }
            let shape = Shape::of(setup, channel, &case.order);
            let stick = stick_signal(setup, channel, &side.position(), &case.settings);
            let out = shape.unlimited(&shape.endpoint(&stick)) * Exact::int(sign.into());
            if out > *furthest {
                under.push(case.order);
            }
            most = most.max(Some(out));
        }
        under.sort();
        under.dedup();
        let broken = Answered::fact(!under.is_empty());
        match most {
            Some(most) => {
                Answered { detail: Detail::Asked(most), channel: Some(channel), met_under: under, ..broken }
            }
            None => broken,
        }
    }
}

fn clear(margin: Option<Exact>) -> Answer {
    Answer { verdict: Verdict::Clear, margin, met_under: Vec::new() }
}

/// The answer for a place that no stick moves.
pub(super) fn within(zone: &Zone, low: &Exact, high: &Exact) -> Answer {
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

/// Outputs at which a function may be engaged; with `held`, also those at which it may not have let go.
pub(super) fn may_zone(work: &Work, slack: &Exact, held: bool) -> Zone {
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
pub(super) fn short_of(threshold: &Toleranced, sign: i32, slack: &Exact) -> Zone {
    let needed = threshold.farthest(sign);
    if sign < 0 { Zone::above(needed - slack) } else { Zone::below(needed + slack) }
}

/// Outputs that do not surely come further than `needed` from rest: as far is not further.
fn short(needed: &Exact, sign: i32, slack: &Exact) -> Zone {
    let needed = needed + slack;
    let zone = if sign < 0 { Zone::above(-needed) } else { Zone::below(needed) };
    Zone { closed: true, ..zone }
}

/// Outputs that may be past an edge.
pub(super) fn past(edge: &Exact, sign: i32, touching: bool, slack: &Exact) -> Zone {
    let zone = if sign < 0 { Zone::below(edge + slack) } else { Zone::above(edge - slack) };
    Zone { closed: touching, ..zone }
}

/// The worse of two answers.
pub(super) fn worse(a: Answer, b: Answer) -> Answer {
    let rank = |v: &Verdict| match v {
        Verdict::Met(_) => 0,
        Verdict::Unknown(_) => 1,
        Verdict::Clear => 2,
    };
    match rank(&a.verdict).cmp(&rank(&b.verdict)) {
        std::cmp::Ordering::Less => a,
        std::cmp::Ordering::Greater => b,
        std::cmp::Ordering::Equal => match (&a.margin, &b.margin) {
            (Some(x), Some(y)) if x <= y => a,
            (Some(_), None) => a,
            _ => b,
        },
    }
}
