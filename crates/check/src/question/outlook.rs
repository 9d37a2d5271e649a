//! How a question comes out, without a witness, and how far outputs may move before that can change.
//!
//! No endpoint and no sub-trim moves an output by more than it moves itself times the furthest signal
//! that comes to the endpoint ([`crate::proof::Cases::steepest`]); a distance to a place that neither
//! moves cannot change faster. So an answer with a distance holds for a whole stretch of values around
//! the one that was asked, and a search for safe values need not step through it. That holds under one
//! order of operations: under several, who may have engaged a function before may hang on the order.

use super::answer::{Answered, Detail};
use super::asks::Asks;
use super::engine::{Before, Engine};
use super::states::PulsePlace;
use super::zones::{may_zone, outside, past, short, short_of, sides};
use crate::finding::Outcome;
use crate::proof::sense::Moves;
use crate::proof::{Domain, Zone};
use crate::setup::{DeviceId, Exact, Input, WorkRef};

/// How a question comes out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Outlook {
    /// Proved, broken or undecided.
    pub outcome: Outcome,
    /// The least distance; negative where it is broken.
    pub margin: Option<Exact>,
    /// The side of the axis on which that lies.
    pub sign: i32,
    /// No change of outputs smaller than this changes the outcome.
    pub firm: Exact,
}

impl Outlook {
    pub(super) fn plain(outcome: Outcome) -> Self {
        Self { outcome, margin: None, sign: 1, firm: Exact::ZERO }
    }

    /// From whether a zone may be met, and the distance.
    fn of((met, margin): (bool, Option<Exact>), sign: i32) -> Self {
        let outcome = match (met, &margin) {
            (false, _) => Outcome::Proved,
            (true, Some(_)) => Outcome::Broken,
            (true, None) => Outcome::Undecided,
        };
        let firm = margin.as_ref().map_or(Exact::ZERO, Exact::abs);
        Self { outcome, margin, sign, firm }
    }

    /// What cannot be, whatever is dialled, by so much.
    pub(super) fn never_at(margin: Exact) -> Self {
        let firm = Exact::int(i64::from(i16::MAX));
        Self { outcome: Outcome::Proved, margin: Some(margin), sign: 1, firm }
    }

    /// Of two that must both be, the one that is farther away; while it stays so the other may do what it
    /// will.
    #[must_use]
    pub(super) fn farther(self, other: Self) -> Self {
        let proved = [&self, &other].map(|outlook| outlook.outcome == Outcome::Proved);
        let firm = match proved {
            [true, true] => self.firm.clone().max(other.firm.clone()),
            [true, false] => self.firm.clone(),
            [false, true] => other.firm.clone(),
            [false, false] => self.firm.clone().min(other.firm.clone()),
        };
        let second = match self.outcome.rank().cmp(&other.outcome.rank()) {
            std::cmp::Ordering::Equal => match (&self.margin, &other.margin) {
                (Some(x), Some(y)) => y > x,
                (x, y) => x.is_some() && y.is_none(),
            },
            order => order == std::cmp::Ordering::Less,
        };
        Self { firm, ..if second { other } else { self } }
    }

    /// The worse of two; as firm as the less firm.
    #[must_use]
    pub fn worse(self, other: Self) -> Self {
        let firm = self.firm.clone().min(other.firm.clone());
        let second = match self.outcome.rank().cmp(&other.outcome.rank()) {
            std::cmp::Ordering::Equal => match (&self.margin, &other.margin) {
                (Some(x), Some(y)) => y < x,
                (x, y) => x.is_none() && y.is_some(),
            },
            order => order == std::cmp::Ordering::Greater,
        };
        Self { firm, ..if second { other } else { self } }
    }
}

impl Engine<'_> {
    /// How a question comes out, without a witness.
    pub fn outlook(&self, asks: &Asks) -> Outlook {
        match asks {
            Asks::Engages { function, place, over } => self.outlook_of_engaging(*function, place, over),
            Asks::Misses { place: PulsePlace::Still, .. } => Outlook::plain(Outcome::Broken),
            Asks::Misses { function, place, over, fully } => {
                let w = self.setup.work(*function);
                let slack = self.setup.slack(function.device, w.sign, place.by_unit());
                let needed = w.full.as_ref().filter(|_| *fully).unwrap_or(&w.from);
                let meets = |zone: &Zone| self.meets(function.device, place, over, zone, w.sign);
                let short = meets(&short_of(needed, w.sign, &slack));
                match &w.to {
                    Some(to) => short.worse(meets(&past(&to.nearest(w.sign), w.sign, false, &slack))),
                    None => short,
                }
            }
            Asks::Leaves { device, place, over, band } => {
                let [under, past] = self.on_both_sides(*device, place, over, band);
                under.worse(past)
            }
            Asks::Passes { device, place, over, edge } => {
                let slack = self.setup.slack(*device, edge.sign, place.by_unit());
                let passes = |at: &Exact| {
                    let zone = past(at, edge.sign, edge.touching, &slack);
                    self.meets(*device, place, over, &zone, edge.sign)
                };
                let cautious = passes(&edge.at);
                let Some(surely) = &edge.surely else { return cautious };
                if cautious.outcome == Outcome::Proved {
                    return cautious;
                }
                let certain = surely.as_ref().map(passes);
                let firm = certain.iter().map(|c| c.firm.clone()).fold(cautious.firm.clone(), Exact::min);
                match certain {
                    Some(certain) if certain.outcome != Outcome::Proved => Outlook { firm, ..certain },
                    _ => Outlook { outcome: Outcome::Undecided, firm, ..cautious },
                }
            }
            Asks::FallsShort { device, place, over, sign, needed } => {
                let slack = self.setup.slack(*device, *sign, place.by_unit());
                self.meets(*device, place, over, &short(needed, *sign, &slack), *sign)
            }
            Asks::Trips { channel, over, beyond } => {
                let met = self.cases(*channel).may_meet(self.setup, over, &self.tripping(beyond));
                Outlook::of(met, beyond.value.signum())
            }
            Asks::Moves { way, at_all: false } => {
                let answered = self.answer(asks);
                let worst = self.worst_moves(way);
                let by = |moves: &Moves| match moves {
                    Moves::Rightly(by) => by.clone(),
                    Moves::NotAtAll => Exact::ZERO,
                    Moves::Wrongly(by) => -by,
                };
                let margin = match (&answered.detail, &*worst) {
                    (Detail::Move(worst, _), _) => Some(by(&worst.moves)),
                    (_, [Some(resting), _]) => Some(by(&resting.moves)),
                    _ => None,
                };
                let own = self.setup.channels[way.channel].control == Some(way.control);
                let firm = match &*worst {
                    // Both outputs of a difference may move.
                    [Some(resting), Some(anywhere)] if own => {
                        by(&resting.moves).abs().min(by(&anywhere.moves).abs()) * Exact::ratio(1, 2)
                    }
                    // What is mixed in meets limits abruptly.
                    [Some(resting), Some(anywhere)] => {
                        let on_axis = self.setup.axis.steepest_from(&self.setup.transmitter.pulse.scale);
                        resting.firm.clone().min(anywhere.firm.clone()) * on_axis
                    }
                    _ => Exact::ZERO,
                };
                Outlook { outcome: answered.outcome(), margin, sign: way.wanted, firm }
            }
            Asks::Together { functions, places, over } => {
                super::together::outlook(self, *functions, places, over)
            }
            // One that cannot be is enough.
            Asks::All(all) => all
                .iter()
                .map(|asks| self.outlook(asks))
                .reduce(Outlook::farther)
                .map_or_else(|| Outlook::plain(Outcome::Broken), |found| Outlook { margin: None, ..found }),
            // One that may be is enough.
            Asks::Any(all) => all
                .iter()
                .map(|asks| self.outlook(asks))
                .reduce(Outlook::worse)
                .map_or_else(|| Outlook::plain(Outcome::Proved), |found| Outlook { margin: None, ..found }),
            _ => {
                let answered: Answered = self.answer(asks);
                let margin = answered.margin.as_ref().map(|m| m.axis.clone());
                Outlook { outcome: answered.outcome(), margin, sign: answered.sign, firm: Exact::ZERO }
            }
        }
    }

    /// The distances that decide a question, each by itself: which of two on unlike sides of the axis is the lesser hangs
    /// on where 0 % lies, and not on the boat.
    pub(super) fn distances(&self, asks: &Asks) -> Vec<Outlook> {
        match asks {
            Asks::Leaves { device, place, over, band } => {
                self.on_both_sides(*device, place, over, band).into()
            }
            _ => vec![self.outlook(asks)],
        }
    }

    /// Whether a device leaves a band, on its shorter and on its longer side.
    fn on_both_sides(
        &self,
        device: DeviceId,
        place: &PulsePlace,
        over: &Domain,
        band: &[Exact; 2],
    ) -> [Outlook; 2] {
        let off = [-1, 1].map(|sign| self.setup.slack(device, sign, place.by_unit()));
        let [under, past] = outside(band, off.each_ref());
        let [low, high] = sides(band);
        [self.meets(device, place, over, &under, low), self.meets(device, place, over, &past, high)]
    }

    /// By how much outputs may move before an outcome can change, for an answer that does not tell so by
    /// itself: that costs as much again as the answer, several times over.
    pub(super) fn firmness(&self, asks: &Asks, outcome: Outcome) -> Exact {
        match asks {
            Asks::Together { functions, places, over } if outcome != Outcome::Undecided => {
                super::together::firm(self, *functions, places, over, outcome)
            }
            _ => Exact::ZERO,
        }
    }

    /// By how much the output of a function's channel may move before it can change whether the pilot may have
    /// engaged it before; nothing where that makes no difference.
    pub(super) fn firm_before(&self, function: WorkRef) -> Option<Exact> {
        let w = self.setup.work(function);
        let slack = self.setup.slack(function.device, w.sign, false);
        let [at_once, held] = [false, true].map(|held| may_zone(w, &slack, held));
        let input = self.setup.devices[function.device].input;
        let (PulsePlace::Pilot, Input::Channel(channel)) = (&self.piloting(function.device), input) else {
            return None;
        };
        if at_once == held {
            return None;
        }
        let (_, margin) = self.cases(channel).may_meet(self.setup, &self.everything, &at_once);
        Some(margin.map_or(Exact::ZERO, |margin| margin.abs()))
    }

    fn outlook_of_engaging(&self, function: WorkRef, place: &PulsePlace, over: &Domain) -> Outlook {
        let w = self.setup.work(function);
        let slack = self.setup.slack(function.device, w.sign, place.by_unit());
        let [at_once, held] = [false, true].map(|held| may_zone(w, &slack, held));
        let meets = |zone: &Zone, over: &Domain| self.meets(function.device, place, over, zone, w.sign);
        let plain = meets(&at_once, over);
        if at_once == held {
            return plain;
        }
        // Whether anybody engages it first hangs on the endpoint as well: how near that is counts too.
        let reach = match (&self.piloting(function.device), self.setup.devices[function.device].input) {
            (PulsePlace::Pilot, Input::Channel(channel)) => {
                let slack = self.setup.slack(function.device, w.sign, false);
                let met =
                    self.cases(channel).may_meet(self.setup, &self.everything, &may_zone(w, &slack, false));
                met.1.map_or(Exact::ZERO, |m| m.abs())
            }
            _ => plain.firm.clone(),
        };
        let found = match &*self.before(function) {
            Before::Nobody => Outlook { firm: plain.firm.min(meets(&held, over).firm), ..plain },
            Before::Somebody => meets(&held, over),
            Before::Pilot(orders) if *place == PulsePlace::Pilot => {
                let others = self.orders.iter().filter(|o| !orders.contains(o)).copied().collect();
                let late = meets(&held, &over.clone().under(orders.clone()));
                let found = late.worse(meets(&at_once, &over.clone().under(others)));
                // Where the orders part, each has a reach of its own.
                return Outlook { firm: Exact::ZERO, ..found };
            }
            Before::Pilot(_) => return Outlook { firm: Exact::ZERO, ..meets(&held, over) },
        };
        Outlook { firm: found.firm.clone().min(reach), ..found }
    }

    pub(super) fn meets(
        &self,
        device: DeviceId,
        place: &PulsePlace,
        over: &Domain,
        zone: &Zone,
        sign: i32,
    ) -> Outlook {
        let (low, high) = match place {
            PulsePlace::Pilot => match self.setup.devices[device].input {
                Input::Channel(channel) => {
                    return Outlook::of(self.cases(channel).may_meet(self.setup, over, zone), sign);
                }
                _ => return Outlook::plain(Outcome::Proved),
            },
            PulsePlace::Still => return Outlook::plain(Outcome::Proved),
            PulsePlace::Fixed { at, .. } => (at, at),
            PulsePlace::Within(low, high) => (low, high),
        };
        let distance = zone.distance(low, high);
        Outlook::of((zone.met_at(&distance), Some(distance)), sign)
    }
}
