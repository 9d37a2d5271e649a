//! How each kind of question is answered, with a witness where it is broken.

use super::answer::{Answered, Detail, Seen};
use super::asks::{Asks, Moved};
use super::engine::{Before, Engine};
use super::notes::Step;
use super::states::PulsePlace;
use super::together;
use super::zones::{clear, inside, may_zone, missed, outside, past, short, sides, within, worse};
use crate::chain::{EndStages, stick_signal};
use crate::finding::{Margin, Outcome};
use crate::proof::sense::Moves;
use crate::proof::zone::TOO_MANY;
use crate::proof::{Answer, Domain, Zone};
use crate::setup::quantity::Micros;
use crate::setup::{ChannelId, DeviceId, Exact, Input, Side, SubTrimDoes, Toleranced, WorkRef};

impl Engine<'_> {
    /// Answers a question, with a witness where it is broken.
    pub fn answer(&self, asks: &Asks) -> Answered {
        match asks {
            Asks::Engages { function, place, over } => {
                let sign = self.setup.work(*function).sign;
                self.told(self.engages(*function, place, over), sign)
            }
            // What nothing drives engages nothing.
            Asks::Misses { place: PulsePlace::Still, .. } => Answered::fact(true),
            Asks::Misses { function, place, over, fully } => {
                let sign = self.setup.work(*function).sign;
                self.told(self.misses(*function, place, over, *fully), sign)
            }
            Asks::Together { functions, places, over } => together::answer(self, *functions, places, over),
            Asks::Leaves { device, place, over, band } => {
                let off = [-1, 1].map(|sign| self.setup.slack(*device, sign, place.by_unit()));
                let zones = outside(band, off.each_ref());
                let [under, past] = zones.map(|zone| self.in_zone(*device, place, over, &zone));
                self.worse_side(sides(band), under, past)
            }
            Asks::StaysWithin { device, place, over, band } => {
                let off = [-1, 1].map(|sign| self.setup.slack(*device, sign, place.by_unit()));
                let zone = inside(band.as_ref(), off.each_ref());
                self.told(self.in_zone(*device, place, over, &zone), 1)
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
                self.told(self.output_in(*channel, over, &zone), sign)
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
            Asks::Any(all) => self.answer_any(all),
            Asks::Estimated => Answered::fact(false),
            Asks::Fact(broken) => Answered::fact(*broken),
            Asks::Unsaid(missing) => {
                Answered { seen: Seen::Unsaid(missing.clone()), ..Answered::fact(false) }
            }
        }
    }

    /// One that cannot be is enough; else the first shows what can.
    fn answer_all(&self, all: &[Asks]) -> Answered {
        let mut shown: Option<Answered> = None;
        for asks in all {
            let answered = self.part(asks);
            if matches!(answered.seen, Seen::Never) {
                return Answered { margin: None, ..answered };
            }
            let keep = matches!(shown, Some(Answered { seen: Seen::Unknown(_), .. }));
            if shown.is_none() || (!keep && matches!(answered.seen, Seen::Unknown(_))) {
                shown = Some(answered);
            }
        }
        shown.map_or_else(|| Answered::fact(true), |answered| Answered { margin: None, ..answered })
    }

    /// One that may be is enough; else the last of which nobody can tell shows that.
    fn answer_any(&self, all: &[Asks]) -> Answered {
        let mut shown = Answered::fact(false);
        for asks in all {
            let answered = self.part(asks);
            match answered.outcome() {
                Outcome::Proved => {}
                Outcome::Broken => return Answered { margin: None, ..answered },
                Outcome::Undecided | Outcome::NotJudged => shown = answered,
            }
        }
        Answered { margin: None, ..shown }
    }

    /// The answer to one of several questions, put down as such.
    fn part(&self, asks: &Asks) -> Answered {
        self.notes.nested(
            || self.answer(asks),
            |answered, steps| Step::Part { asks: asks.clone(), answered: Box::new(answered.clone()), steps },
        )
    }

    /// An answer with its distance on a side of the axis.
    pub(super) fn told(&self, answer: Answer, sign: i32) -> Answered {
        let margin = answer.margin.as_ref().map(|m| super::say::margin(self.setup, m, sign));
        Answered::of(answer, margin, sign)
    }

    /// The worse of the answers for the shorter and for the longer side. The distance in microseconds is
    /// the lesser of both: on a lopsided scale the side that is nearer in percent need not be nearer there.
    fn worse_side(&self, [low, high]: [i32; 2], under: Answer, past: Answer) -> Answered {
        let both = [self.told(under, low), self.told(past, high)];
        let micros =
            both.iter().filter_map(|a| a.margin.as_ref().map(|m| m.micros.0.clone())).reduce(Exact::min);
        let [under, past] = both;
        let mut worse = under.worse(past);
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
        place: &PulsePlace,
        domain: &Domain,
        sign: i32,
        zone: &dyn Fn(&Exact) -> Zone,
    ) -> Answer {
        let slack = self.setup.slack(device, sign, place.by_unit());
        self.in_zone(device, place, domain, &zone(&slack))
    }

    fn in_zone(&self, device: DeviceId, place: &PulsePlace, domain: &Domain, zone: &Zone) -> Answer {
        let (low, high) = match (place, self.setup.devices[device].input) {
            (PulsePlace::Pilot, Input::Channel(channel)) => return self.output_in(channel, domain, zone),
            (PulsePlace::Pilot | PulsePlace::Still, _) => {
                self.notes.step(|| Step::Still);
                return clear(None);
            }
            (PulsePlace::Fixed { at, .. }, _) => (at, at),
            (PulsePlace::Within(low, high), _) => (low, high),
        };
        let answer = within(zone, low, high);
        let step = || Step::Lies { place: place.clone(), zone: zone.clone(), answer: answer.clone() };
        self.notes.step(step);
        answer
    }

    /// Whether the output of a channel can get into a zone.
    fn output_in(&self, channel: ChannelId, domain: &Domain, zone: &Zone) -> Answer {
        let answer = self.cases(channel).meets(self.setup, domain, zone);
        self.notes.step(|| Step::Output {
            channel,
            over: domain.clone(),
            zone: zone.clone(),
            answer: answer.clone(),
        });
        answer
    }

    /// Whether a function may be engaged at a place, by the device there or because it has not surely let
    /// go since somebody engaged it.
    fn engages(&self, function: WorkRef, place: &PulsePlace, domain: &Domain) -> Answer {
        let w = self.setup.work(function);
        let slack = self.setup.slack(function.device, w.sign, place.by_unit());
        let [at_once, held] = [false, true].map(|held| may_zone(w, &slack, held));
        let ask = |zone: &Zone, domain: &Domain| self.in_zone(function.device, place, domain, zone);
        if at_once == held {
            return ask(&at_once, domain);
        }
        match &*self.before(function) {
            Before::Nobody => ask(&at_once, domain),
            Before::Somebody => ask(&held, domain),
            Before::Pilot(orders) if *place == PulsePlace::Pilot => {
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
    fn misses(&self, function: WorkRef, place: &PulsePlace, domain: &Domain, fully: bool) -> Answer {
        let w = self.setup.work(function);
        let slack = self.setup.slack(function.device, w.sign, place.by_unit());
        let zones = missed(w, &slack, fully).into_iter();
        let answers = zones.map(|zone| self.in_zone(function.device, place, domain, &zone));
        // Short of it there is always a stretch.
        answers.reduce(worse).unwrap_or_else(|| clear(None))
    }

    pub(super) fn tripping(&self, beyond: &Toleranced) -> Zone {
        let sign = beyond.value.signum();
        let slack = self.setup.axis.width(&self.setup.transmitter.pulse.accuracy, sign);
        past(&beyond.nearest(sign), sign, true, &slack)
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
            let shape = EndStages::of(setup, channel, &case.order);
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
