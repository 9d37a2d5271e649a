//! The one engine: every question about what a hand, a receiver or a unit can make of a boat is answered
//! here, and what channels can do is worked out once for all of them.

use super::asks::{Asks, Moved};
use super::notes::Notes;
use super::safe::BareQuestion;
use super::safe_endpoints::{Known as KnownWindows, Windows, Worlds};
use super::states::{PulsePlace, State, states};
use super::zones::may_zone;
use crate::chain::Order;
use crate::chain::terms::Gathered;
use crate::finding::{SafeEndpoints, StateId, Subject};
use crate::physics::domain::DomainError;
use crate::proof::cases::Influence;
use crate::proof::sense::Worst;
use crate::proof::{Cases, Domain};
use crate::rehearsal::Rehearsal;
use crate::rehearsal::ahead::{self, Ahead};
use crate::rehearsal::solve::{Setting, lowest_threshold};
use crate::setup::{
    ChannelId, ControlId, DeviceId, EmergencyAct, Exact, Figure, Function, Input, Path, Reserved, Setup,
    Side, UnitActs, WorkRef,
};
use crate::work;
use std::cell::{Cell, OnceCell, RefCell};
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

/// A set-up with everything the rules share.
pub struct Engine<'a> {
    /// The set-up.
    pub setup: &'a Setup,
    /// The orders that are possible.
    pub orders: Vec<Order>,
    /// Measured ways with which no order agrees.
    pub differing: Vec<(ChannelId, usize)>,
    /// Whether there is a unit and whether it is sure to act.
    pub unit: UnitActs,
    /// Everything a hand can do.
    pub everything: Domain,
    /// What every channel is the sum of.
    pub(super) gathered: Rc<Gathered>,
    cases: Vec<OnceCell<Rc<Cases>>>,
    states: OnceCell<Rc<Vec<State>>>,
    /// By function, as far as somebody asked: who may have engaged it before.
    before: RefCell<BTreeMap<WorkRef, Rc<Before>>>,
    moves: RefCell<Vec<(Moved, Rc<BothWorst>)>>,
    asked: OnceCell<Vec<BareQuestion>>,
    pub(super) advises: bool,
    /// The steps that are left for what to dial instead.
    pub(super) for_advice: Cell<u64>,
    /// What alone somebody wants to know of.
    about: Option<Subject>,
    /// By channel, case and side: outputs step by step along a way.
    pub(super) swept: RefCell<Swept>,
    /// By channel and side: the safe endpoint values, which several findings may advise.
    windows: KnownWindows,
    worlds: OnceCell<Worlds>,
    rehearsal: OnceCell<Option<Rehearsal>>,
    /// Where a lost link is followed meanwhile.
    ahead: Option<Ahead>,
    lowest_threshold: OnceCell<Option<Setting>>,
    pub(super) notes: Notes,
}

/// What is worked out once and serves as long as it stays true.
#[derive(Default)]
pub(super) struct Known {
    /// Of all channels, as far as they were asked for.
    pub gathered: Rc<Gathered>,
    /// Of some channels.
    pub cases: Vec<Rc<Cases>>,
    /// The states after a loss.
    pub states: Option<Rc<Vec<State>>>,
}

/// So many steps are enough for the advice of any boat whose lines of `order` are written, and take an eighth of a second
/// as `cargo build --release` gives the program: nobody waits longer for a verdict because it is a bad one.
const ADVICE: u64 = 2_000_000;

/// By channel, case and side: outputs step by step along a way.
pub(super) type Swept = BTreeMap<(ChannelId, usize, usize), Rc<Vec<Exact>>>;

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

impl<'a> Engine<'a> {
    /// With the orders that the measured pulses leave.
    pub fn new(setup: &'a Setup) -> Self {
        let (orders, differing) = crate::proof::cases::possible_orders(setup);
        Self { differing, ..Self::with_orders(setup, orders) }
    }

    /// With given orders.
    pub fn with_orders(setup: &'a Setup, orders: Vec<Order>) -> Self {
        work::steps(setup.controls.len() + setup.channels.len(), || {
            format!("{} functions on {} channels", setup.works().count(), setup.channels.len())
        });
        Self {
            setup,
            orders,
            differing: Vec::new(),
            unit: setup.unit(),
            everything: Domain::everything(setup),
            gathered: Rc::default(),
            cases: setup.channels.iter().map(|_| OnceCell::new()).collect(),
            states: OnceCell::new(),
            before: RefCell::default(),
            moves: RefCell::default(),
            asked: OnceCell::new(),
            advises: true,
            for_advice: Cell::new(ADVICE),
            about: None,
            swept: RefCell::default(),
            windows: setup.channels.iter().map(|_| Default::default()).collect(),
            worlds: OnceCell::new(),
            rehearsal: OnceCell::new(),
            ahead: None,
            lowest_threshold: OnceCell::new(),
            notes: Notes::default(),
        }
    }

    /// The same, putting down what is asked on the way to every answer.
    #[must_use]
    pub fn taking_notes(self) -> Self {
        Self { notes: Notes::wanted(), ..self }
    }

    /// The same while a lost link is followed elsewhere.
    #[must_use]
    pub fn beside(self, ahead: Ahead) -> Self {
        Self { ahead: Some(ahead), ..self }
    }

    /// The same for those who want answers only, and no word on what to dial.
    #[must_use]
    pub fn without_advice(self) -> Self {
        Self { advises: false, ..self }
    }

    /// The same for those who want to know of one thing only.
    #[must_use]
    pub(super) fn about(self, subject: Subject) -> Self {
        Self { about: Some(subject), ..self }
    }

    /// Whether somebody wants to know of this: a rule with a question for each function need not put it into words
    /// where nobody does.
    pub fn wants_to_know(&self, subject: Subject) -> bool {
        self.about.is_none_or(|about| about == subject)
    }

    /// With what is known already of channels and states.
    pub(super) fn knowing(mut self, known: Known) -> Self {
        self.gathered = known.gathered;
        for cases in known.cases {
            self.cases[cases.channel].get_or_init(|| cases);
        }
        if let Some(states) = known.states {
            self.states = OnceCell::from(states);
        }
        self
    }

    /// What was worked out of channels so far.
    pub(super) fn known_cases(&self) -> Vec<Rc<Cases>> {
        self.cases.iter().filter_map(OnceCell::get).cloned().collect()
    }

    /// What was found out of channels and states while asking.
    pub(super) fn into_known(self) -> Known {
        Known {
            gathered: self.gathered,
            cases: self.cases.into_iter().filter_map(OnceCell::into_inner).collect(),
            states: self.states.into_inner(),
        }
    }

    /// Everything that the rules ask of this set-up, without their words.
    pub fn asked(&self) -> &[BareQuestion] {
        self.asked.get_or_init(|| crate::rule::asked(self))
    }

    /// The set-ups in which figures that the file does not give are at their worst.
    pub(super) fn worlds(&self) -> &Worlds {
        self.worlds.get_or_init(|| Worlds::of(self.setup))
    }

    /// The safe endpoint values of a way; `None` if nothing limits it.
    pub fn safe_endpoints(&self, channel: ChannelId, side: Side) -> Option<&SafeEndpoints> {
        self.windows[channel][side.index()]
            .get_or_init(|| super::safe_endpoints::way(self, channel, side, true))
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
    pub fn unjudged(&self) -> Vec<Path> {
        let missing = self.rehearsed().map_or(&[][..], |found| &found.missing);
        // What stands for a range is followed through it.
        let ranges = |path: &Path| {
            self.setup.unknown.iter().any(|unknown| match unknown.figure {
                Figure::Takes(id) => *path == Path::of(["devices", &self.setup.devices[id].name, "speed"]),
                Figure::Wait | Figure::After => *path == unknown.path,
                _ => false,
            })
        };
        let mut paths: Vec<Path> =
            missing.iter().map(|m| m.path.clone()).filter(|path| !ranges(path)).collect();
        paths.dedup();
        paths
    }

    /// The rehearsal, if something asked for it and its times can be told, and the safe endpoints as far as something
    /// asked for them.
    pub fn into_found(self) -> (Option<Rehearsal>, Windows) {
        (self.rehearsal.into_inner().flatten().filter(Rehearsal::times_known), Windows::knowing(self.windows))
    }

    fn rehearsed(&self) -> Option<&Rehearsal> {
        let there = || self.ahead.as_ref().and_then(Ahead::lost_link);
        let follow = || there().unwrap_or_else(|| ahead::lost_link(self.setup));
        self.rehearsal.get_or_init(|| ahead::is_begun(self.setup).then(follow)).as_ref()
    }

    /// The lowest battery threshold that leaves enough for a blow.
    pub fn lowest_threshold(&self) -> Option<&Setting> {
        self.lowest_threshold.get_or_init(|| lowest_threshold(self.setup)).as_ref()
    }

    /// All cases of a channel.
    pub fn cases(&self, channel: ChannelId) -> &Cases {
        self.cases[channel].get_or_init(|| {
            let asked = self.asked_switches(channel);
            Rc::new(Cases::among(self.setup, &self.gathered, channel, &self.orders, &asked))
        })
    }

    /// Switches on whose settings a question about a channel depends.
    fn asked_switches(&self, channel: ChannelId) -> BTreeSet<ControlId> {
        let mut asked: BTreeSet<ControlId> = self.setup.channels[channel]
            .wants
            .iter()
            .flatten()
            .flat_map(|want| want.needs.iter().map(|n| n.0))
            .collect();
        // A step of the emergency may ask for any switch, whatever it acts on.
        for (_, step) in self.setup.owner.steps() {
            if let EmergencyAct::Hand(hand) = &step.act {
                asked.extend(hand.with.iter().map(|(switch, _)| *switch));
            }
        }
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
        if self.unit != UnitActs::Sure || ends || last.is_none() {
            let waiting = self.states().iter().filter(|s| s.id == StateId::Waiting);
            all.extend(waiting.map(|s| (s, StateId::LostForGood)));
        }
        all
    }

    /// Where piloting can put a device.
    pub fn piloting(&self, device: DeviceId) -> PulsePlace {
        super::states::piloting_place(self.setup, device)
    }

    /// Every function of every device.
    pub fn works(&self) -> impl Iterator<Item = (WorkRef, &'a Function)> + use<'a> {
        let setup = self.setup;
        setup.works().map(|work| (work, setup.work(work)))
    }

    /// The functions of the devices wired straight to a channel.
    pub fn works_on(&self, channel: ChannelId) -> impl Iterator<Item = (WorkRef, &'a Function)> + use<'a> {
        let setup = self.setup;
        self.works().filter(move |(w, _)| setup.devices[w.device].input == Input::Channel(channel))
    }

    /// Whether a way of a channel wants a function.
    pub fn wants(&self, channel: ChannelId, side: Side, work: WorkRef) -> bool {
        self.setup.channels[channel].wants[side.index()].iter().any(|w| w.work == work)
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
    pub fn driven_places(&self, device: DeviceId) -> Vec<(StateId, PulsePlace, Domain)> {
        let mut places = vec![(StateId::Piloting, self.piloting(device), self.everything.clone())];
        for state in self.states().iter().filter(|state| state.id != StateId::PowerUp) {
            let place = &state.places[device];
            if *place != PulsePlace::Still && !places.iter().any(|(_, known, _)| known == place) {
                places.push((state.id, place.clone(), self.unattended(state)));
            }
        }
        places
    }

    /// Who may have engaged a function before: the pilot, noise, a preset, a stage of the unit, or whoever
    /// pushed a servo about before it had a pulse. A link that was lost may come back, so each of them may
    /// have come before any state.
    pub fn before(&self, function: WorkRef) -> Rc<Before> {
        let known = self.before.borrow().get(&function).map(Rc::clone);
        known.unwrap_or_else(|| {
            let found = Rc::new(self.who_engages(function));
            self.before.borrow_mut().insert(function, Rc::clone(&found));
            found
        })
    }

    fn who_engages(&self, function: WorkRef) -> Before {
        let w = self.setup.work(function);
        let zone = |place: &PulsePlace| {
            may_zone(w, &self.setup.slack(function.device, w.sign, place.by_unit()), false)
        };
        let piloting = self.piloting(function.device);
        let places = self.states().iter().map(|state| &state.places[function.device]);
        for place in places.chain([&piloting]) {
            let (low, high) = match place {
                PulsePlace::Pilot | PulsePlace::Still => continue,
                PulsePlace::Fixed { at, .. } => (at, at),
                PulsePlace::Within(low, high) => (low, high),
            };
            let zone = zone(place);
            if zone.met_at(&zone.distance(low, high)) {
                return Before::Somebody;
            }
        }
        let (PulsePlace::Pilot, Input::Channel(channel)) =
            (&piloting, self.setup.devices[function.device].input)
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

    /// Whether what is answered well is so by an estimate alone.
    pub fn holds_by_estimate(&self, asks: &Asks) -> bool {
        asks.without_estimates().is_some_and(|strict| !self.holds(&strict))
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
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::Engine;
    use crate::finding::Subject;
    use crate::question::safe::BareQuestion;
    use crate::rule::asked;
    use crate::setup::{Setup, lower};
    use crate::source::Source;
    use std::collections::BTreeSet;

    fn boats() -> Vec<Setup> {
        let folders = ["../../boats", "../../tests/fixtures/clean"];
        let files = folders.into_iter().flat_map(|folder| std::fs::read_dir(folder).unwrap());
        let read = files.filter_map(|entry| {
            let source = Source::from_bytes("x", std::fs::read(entry.unwrap().path()).unwrap()).ok()?;
            lower::lower(&source).ok()
        });
        read.collect()
    }

    /// Who wants to know of one thing is asked the same of it as who wants to know of all.
    #[test]
    fn what_is_asked_of_one_thing_is_what_is_asked_of_it_among_all() {
        let (mut compared, mut left_out) = (0, 0);
        for setup in boats() {
            let all = asked(&Engine::new(&setup));
            let subjects: BTreeSet<Subject> = all.iter().map(|asked| asked.subject).collect();
            let told = |asked: &[BareQuestion], subject: Subject| -> Vec<String> {
                asked
                    .iter()
                    .filter(|asked| asked.subject == subject)
                    .map(|asked| format!("{asked:?}"))
                    .collect()
            };
            for subject in subjects {
                let alone = asked(&Engine::new(&setup).about(subject));
                assert_eq!(told(&all, subject), told(&alone, subject), "{} {subject:?}", setup.boat.name);
                compared += 1;
                left_out += all.len() - alone.len();
            }
        }
        assert!(compared > 100 && left_out > 100, "{compared} {left_out}");
    }
}
