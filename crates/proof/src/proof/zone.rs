//! Whether an output can get into a zone of its axis, with a witness as simple as can be.

use super::cases::{Case, Cases};
use super::domain::Domain;
use super::reach::{Attained, ChannelCase, ControlPositions, Extreme};
use crate::chain::Order;
use crate::setup::{ChannelId, Exact, Setup};

/// A stretch of the output axis, open-ended where an end is missing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Zone {
    /// Lower end.
    pub low: Option<Exact>,
    /// Upper end.
    pub high: Option<Exact>,
    /// Whether touching an end counts as being inside.
    pub closed: bool,
}

impl Zone {
    /// From `low` upward, touching included.
    pub fn from(low: Exact) -> Self {
        Self { low: Some(low), high: None, closed: true }
    }

    /// Up to `high`, touching included.
    pub fn up_to(high: Exact) -> Self {
        Self { low: None, high: Some(high), closed: true }
    }

    /// Above `low`, touching not included.
    pub fn above(low: Exact) -> Self {
        Self { low: Some(low), high: None, closed: false }
    }

    /// Below `high`, touching not included.
    pub fn below(high: Exact) -> Self {
        Self { low: None, high: Some(high), closed: false }
    }

    /// Larger by so much at each end, or smaller by what is below nought.
    #[must_use]
    pub fn widened(&self, by: &Exact) -> Self {
        let [low, high] = [self.low.as_ref().map(|l| l - by), self.high.as_ref().map(|h| h + by)];
        Self { low, high, closed: self.closed }
    }

    /// Whether no output can lie inside.
    pub fn is_empty(&self) -> bool {
        matches!((&self.low, &self.high), (Some(low), Some(high)) if low > high)
    }

    /// Whether an output lies inside.
    pub fn holds(&self, output: &Exact) -> bool {
        let above = self.low.as_ref().is_none_or(|l| if self.closed { output >= l } else { output > l });
        let below = self.high.as_ref().is_none_or(|h| if self.closed { output <= h } else { output < h });
        above && below
    }

    /// How far a stretch `least ..= greatest` of outputs stays away; negative: how deep it reaches in.
    pub fn distance(&self, least: &Exact, greatest: &Exact) -> Exact {
        let under = self.low.as_ref().map(|l| l - greatest);
        let over = self.high.as_ref().map(|h| least - h);
        match (under, over) {
            (Some(a), Some(b)) => a.max(b),
            (Some(a), None) => a,
            (None, Some(b)) => b,
            (None, None) => -Exact::ONE,
        }
    }

    /// Whether a distance from [`Zone::distance`] means that the stretch meets the zone.
    pub fn met_at(&self, distance: &Exact) -> bool {
        if self.closed { distance.signum() <= 0 } else { distance.signum() < 0 }
    }
}

/// A position of everything at which something happens.
#[derive(Clone, Debug)]
pub struct Found {
    /// The channel whose output it is.
    pub channel: ChannelId,
    /// The order of operations.
    pub order: Order,
    /// Switch settings.
    pub settings: Vec<usize>,
    /// Positions and trims.
    pub hand: ControlPositions,
    /// The output there.
    pub output: Exact,
}

/// How a question came out.
#[derive(Clone, Debug)]
pub enum Verdict {
    /// It cannot happen.
    Clear,
    /// It can, here.
    Met(Box<Found>),
    /// The program cannot tell, and why.
    Unknown(String),
}

/// A verdict with its distance.
#[derive(Clone, Debug)]
pub struct Answer {
    /// The verdict.
    pub verdict: Verdict,
    /// The least distance to the zone; negative when met; `None` when unknown.
    pub margin: Option<Exact>,
    /// Orders under which it is met, by index into the orders asked; empty unless met.
    pub met_under: Vec<Order>,
}

/// The cases of a channel held against a zone.
struct Weighed {
    /// The least distance of those that stay away.
    margin: Option<Exact>,
    /// Those that meet it, the clearest first, by index.
    met: Vec<(Exact, usize)>,
    /// Whether one of them cannot be told.
    unknown: bool,
    /// How many there were.
    asked: usize,
}

/// Why a verdict may be out of reach.
pub const TOO_MANY: &str =
    "the switches that act on this channel can be combined in more than 1,048,576 ways";
const TOO_CLOSE: &str =
    "the extreme lies inside an expo curve closer to the threshold than the program can tell";

impl Cases {
    /// Whether the output may get into `zone` within `domain`, and the distance: what
    /// [`Cases::meets`] answers, for those who need no witness.
    pub fn may_meet(&self, setup: &Setup, domain: &Domain, zone: &Zone) -> (bool, Option<Exact>) {
        if self.too_many {
            return (true, None);
        }
        if let Some(answer) = self.may_pass(setup, domain, zone) {
            return answer;
        }
        let mut weighed = self.weigh(setup, domain, zone);
        let nothing_asked = weighed.asked == 0 && domain.has_no_conditions();
        match weighed.met.is_empty() {
            true if weighed.unknown || nothing_asked => (true, None),
            true => (false, weighed.margin),
            false => (true, Some(weighed.met.swap_remove(0).0)),
        }
    }

    /// [`Cases::may_meet`] for a zone without a far end in a domain that allows every setting: only the
    /// furthest output of all cases matters, and that is known after the first zone asked.
    fn may_pass(&self, setup: &Setup, domain: &Domain, zone: &Zone) -> Option<(bool, Option<Exact>)> {
        let which = match (&zone.low, &zone.high) {
            (Some(_), None) => Extreme::Greatest,
            (None, Some(_)) => Extreme::Least,
            _ => return None,
        };
        if !domain.has_no_conditions() {
            return None;
        }
        let known = self.asked_over(domain);
        let (bound, value) = self.furthest(setup, &known, domain, which)?;
        let surely = zone.distance(bound, bound);
        if !zone.met_at(&surely) {
            return Some((false, Some(surely)));
        }
        let attained = zone.distance(value, value);
        Some((true, zone.met_at(&attained).then_some(attained)))
    }

    /// Whether the output can get into `zone` within `domain`, in any case.
    pub fn meets(&self, setup: &Setup, domain: &Domain, zone: &Zone) -> Answer {
        if self.too_many {
            return Answer { verdict: Verdict::Unknown(TOO_MANY.into()), margin: None, met_under: vec![] };
        }
        // Of what stays away in all cases nobody wants to see a case.
        if let Some((false, margin)) = self.may_pass(setup, domain, zone) {
            return Answer { verdict: Verdict::Clear, margin, met_under: Vec::new() };
        }
        let Weighed { margin, met, mut unknown, asked } = self.weigh(setup, domain, zone);
        let mut met_under: Vec<Order> = met.iter().map(|(_, case)| self.cases[*case].order).collect();
        met_under.sort();
        met_under.dedup();
        let shown = |(attained, case): (Exact, usize)| {
            let inside = self.domain_of(setup, domain, case)?;
            let found = witness(setup, self.channel, &self.cases[case], &inside, zone)?;
            Some((attained, found))
        };
        unknown |= !met.is_empty();
        let worst = met.into_iter().find_map(shown);
        match worst {
            Some((distance, found)) => {
                Answer { verdict: Verdict::Met(Box::new(found)), margin: Some(distance), met_under }
            }
            // Only a condition on settings may leave nothing to ask.
            None if asked == 0 && domain.has_no_conditions() => Answer {
                verdict: Verdict::Unknown("no switch setting fits the question".into()),
                margin: None,
                met_under,
            },
            None if unknown => {
                Answer { verdict: Verdict::Unknown(TOO_CLOSE.into()), margin: None, met_under }
            }
            None => Answer { verdict: Verdict::Clear, margin, met_under },
        }
    }

    fn weigh(&self, setup: &Setup, domain: &Domain, zone: &Zone) -> Weighed {
        let mut weighed = Weighed { margin: None, met: Vec::new(), unknown: false, asked: 0 };
        let known = self.asked_over(domain);
        self.count_steps(setup);
        for index in 0..self.cases.len() {
            let Some(inside) = self.domain_of(setup, domain, index) else { continue };
            weighed.asked += 1;
            let nothing = &(Exact::ZERO, Exact::ZERO);
            let ask = |which, needed: bool| match needed {
                true => self.reach(&known, &inside, index, which),
                false => nothing,
            };
            let greatest = ask(Extreme::Greatest, zone.low.is_some());
            let least = ask(Extreme::Least, zone.high.is_some());
            let surely = zone.distance(&least.0, &greatest.0);
            if !zone.met_at(&surely) {
                weighed.margin = Some(weighed.margin.map_or(surely.clone(), |m| m.min(surely)));
                continue;
            }
            let attained = zone.distance(&least.1, &greatest.1);
            if zone.met_at(&attained) {
                weighed.met.push((attained, index));
            } else {
                weighed.unknown = true;
            }
        }
        weighed.met.sort_by(|a, b| a.0.cmp(&b.0));
        weighed
    }

    /// The least and greatest output in any case, as bounds that are never passed.
    pub fn span(&self, setup: &Setup, domain: &Domain) -> Option<(Exact, Exact)> {
        let mut span: Option<(&Exact, &Exact)> = None;
        let known = self.asked_over(domain);
        self.count_steps(setup);
        for index in 0..self.cases.len() {
            let Some(inside) = self.domain_of(setup, domain, index) else { continue };
            let (low, _) = self.reach(&known, &inside, index, Extreme::Least);
            let (high, _) = self.reach(&known, &inside, index, Extreme::Greatest);
            span = Some(match span {
                None => (low, high),
                Some((l, h)) => (l.min(low), h.max(high)),
            });
        }
        span.map(|(low, high)| (low.clone(), high.clone()))
    }
}

fn witness(setup: &Setup, channel: ChannelId, case: &Case, domain: &Domain, zone: &Zone) -> Option<Found> {
    // Who asks how far what lies between two zones is off gets a distance, and nothing to show.
    if zone.is_empty() {
        return None;
    }
    let greatest = zone.low.as_ref().map(|_| case.fixed.extreme(domain, Extreme::Greatest));
    let least = zone.high.as_ref().map(|_| case.fixed.extreme(domain, Extreme::Least));
    let hand = hand_inside(&case.fixed, zone, least, greatest)?;
    let inside = |hand: &ControlPositions| zone.holds(&case.fixed.output(hand));
    let hand = simplify(setup, domain, hand, &inside);
    let output = case.fixed.output(&hand);
    Some(Found { channel, order: case.order, settings: case.settings.clone(), hand, output })
}

/// A hand that brings the output into a zone which its extremes reach or span.
pub fn hand_inside(
    fixed: &ChannelCase,
    zone: &Zone,
    least: Option<Attained>,
    greatest: Option<Attained>,
) -> Option<ControlPositions> {
    if let Some(end) = [&greatest, &least].into_iter().flatten().find(|a| zone.holds(&a.value)) {
        return Some(end.at.clone());
    }
    // The stretch of outputs covers the zone: somewhere on the way from end to end it is inside.
    let (zone_low, zone_high) = (zone.low.as_ref()?, zone.high.as_ref()?);
    let goal = (zone_low + zone_high) * Exact::ratio(1, 2);
    let (mut from, mut to) = (least?, greatest?);
    for turn in 0..60 {
        // Where both ends lie on one straight piece the line meets the goal at once, however narrow the
        // zone is; halving gets them there.
        let across = &to.value - &from.value;
        let part = if turn % 2 == 1 && !across.is_zero() {
            ((&goal - &from.value) / across).clamp(&Exact::ZERO, &Exact::ONE)
        } else {
            Exact::ratio(1, 2)
        };
        let at = on_the_way(&from.at, &to.at, &part);
        let value = fixed.output(&at);
        if zone.holds(&value) {
            return Some(at);
        }
        let end = if value < *zone_low { &mut from } else { &mut to };
        *end = Attained { bound: value.clone(), value, at };
    }
    None
}

fn on_the_way(a: &ControlPositions, b: &ControlPositions, part: &Exact) -> ControlPositions {
    let mix = |x: &[Exact], y: &[Exact]| x.iter().zip(y).map(|(p, q)| p + part * (q - p)).collect();
    ControlPositions { positions: mix(&a.positions, &b.positions), trims: mix(&a.trims, &b.trims) }
}

/// Puts back to rest whatever does not matter and rounds what does, as long as `shows` still holds.
pub fn simplify(
    setup: &Setup,
    domain: &Domain,
    mut hand: ControlPositions,
    shows: &dyn Fn(&ControlPositions) -> bool,
) -> ControlPositions {
    let calm = domain.middle();
    for control in 0..setup.controls.len() {
        for trim in [true, false] {
            let (now, goal, range) = if trim {
                (hand.trims[control].clone(), calm.trims[control].clone(), &domain.trims[control])
            } else {
                (hand.positions[control].clone(), calm.positions[control].clone(), &domain.positions[control])
            };
            if now == goal {
                continue;
            }
            let coarse = [Exact::ONE, Exact::ratio(1, 2), Exact::ratio(1, 10), Exact::percent(1)];
            let rounded = coarse.iter().map(|grid| now.round_to(grid).clamp(&range.low, &range.high));
            let mut tries = vec![goal];
            tries.extend(rounded);
            for value in tries {
                let mut next = hand.clone();
                let place = if trim { &mut next.trims } else { &mut next.positions };
                place[control] = value;
                if shows(&next) {
                    hand = next;
                    break;
                }
            }
        }
    }
    hand
}
