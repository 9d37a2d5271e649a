//! Whether two functions may be engaged at once.
//!
//! One of the two is engaged last, and at that moment the other is engaged or has not let go yet. So
//! both can be on only where one may be engaged while the other is within its slack: two functions
//! that nothing but slack could hold, on stretches that meet nowhere else, no path brings together.

use super::answer::{Answered, Detail};
use super::engine::{Before, Engine};
use super::notes::Step;
use super::outlook::Outlook;
use super::states::PulsePlace;
use super::zones::may_zone;
use crate::chain::Order;
use crate::finding::Outcome;
use crate::proof::joint::{MOST_BOXES, both_meet, both_meet_told};
use crate::proof::{Answer, Domain, Verdict, Zone};
use crate::setup::{ChannelId, Exact, Input, Setup, WorkRef};

/// What keeps two functions from each other, where something simple does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Apart {
    /// Their thresholds, whatever the output; which of them may be in its slack.
    Thresholds([bool; 2]),
    /// The first is out of reach, engaged or with `true` in its slack.
    First(bool),
    /// The second is out of reach, likewise.
    Second(bool),
    /// Both edges and the reach have a part in it, or they are not kept apart.
    Otherwise,
}

/// A function, where its device is, and whether it may be in its slack.
#[derive(Clone, Copy)]
struct One<'a> {
    function: WorkRef,
    place: &'a PulsePlace,
    held: bool,
}

impl One<'_> {
    /// Where it may be on, with everything that its device can be off.
    fn zone(&self, setup: &Setup) -> Zone {
        let w = setup.work(self.function);
        may_zone(w, &setup.slack(self.function.device, w.sign, self.place.by_unit()), self.held)
    }
}

/// What has to be asked so that both are on.
enum Plan {
    /// They have no place in common, and lie so far apart; further still where the first's device stays
    /// clear of what lies between.
    Gap(Exact, Zone),
    /// The first's device has to be in here.
    OneZone(Zone),
    /// Each device has to be in its zone, and nothing that moves one moves the other.
    Each([Zone; 2]),
    /// Likewise, and a hand may move both.
    Joint([(ChannelId, Zone); 2]),
}

/// Answers for both, under every order of operations.
pub(super) fn answer(
    engine: &Engine,
    functions: [WorkRef; 2],
    places: &[PulsePlace; 2],
    over: &Domain,
) -> Answered {
    let each = in_turn(engine, functions, places, over).into_iter().map(|(pair, over)| {
        let held = [pair[0].held, pair[1].held];
        let (answer, apart, sign) = engine.notes.nested(
            || carry_out(engine, &pair, &over),
            |(answer, ..), steps| Step::Pair { held, over: over.clone(), answer: answer.clone(), steps },
        );
        Answered { detail: Detail::Apart(apart), ..engine.told(answer, sign) }
    });
    each.reduce(Answered::worse).unwrap_or_else(|| Answered::fact(false))
}

/// The same without a witness.
pub(super) fn outlook(
    engine: &Engine,
    functions: [WorkRef; 2],
    places: &[PulsePlace; 2],
    over: &Domain,
) -> Outlook {
    let each = in_turn(engine, functions, places, over);
    let parts = each.into_iter().map(|(pair, over)| {
        let [x, y] = &pair;
        let meets = |one: &One, zone: &Zone| {
            engine.meets(one.function.device, one.place, &over, zone, engine.setup.work(one.function).sign)
        };
        match plan(engine, &pair) {
            Plan::Gap(gap, zone) => Outlook::never_at(gap).farther(meets(x, &zone)),
            Plan::OneZone(zone) => meets(x, &zone),
            Plan::Each([one, two]) => meets(x, &one).farther(meets(y, &two)),
            Plan::Joint([one, two]) => {
                let alone = meets(x, &one.1).farther(meets(y, &two.1));
                if alone.outcome == Outcome::Proved {
                    return alone;
                }
                let joint = ((one.0, &one.1), (two.0, &two.1));
                let verdict = both_meet(
                    engine.setup,
                    &engine.gathered,
                    &engine.orders,
                    &over,
                    joint.0,
                    joint.1,
                    MOST_BOXES,
                );
                Outlook::plain(match verdict {
                    Verdict::Clear => Outcome::Proved,
                    Verdict::Met(_) => Outcome::Broken,
                    Verdict::Unknown(_) => Outcome::Undecided,
                })
            }
        }
    });
    parts.reduce(Outlook::worse).unwrap_or_else(|| Outlook::plain(Outcome::Proved))
}

/// Thousandths of the axis by which outputs are let move to see how firm an answer about two of them is.
const LADDER: [i64; 6] = [1, 4, 16, 64, 160, 320];

/// Boxes for one rung: where more are needed it is too close to be worth it.
const FEW_BOXES: usize = 60;

/// By how much outputs may move before the answer can change.
pub(super) fn firm(
    engine: &Engine,
    functions: [WorkRef; 2],
    places: &[PulsePlace; 2],
    over: &Domain,
    outcome: Outcome,
) -> Exact {
    let parts = in_turn(engine, functions, places, over).into_iter().map(|(pair, over)| {
        let [x, y] = &pair;
        let meets = |one: &One, zone: &Zone| {
            engine.meets(one.function.device, one.place, &over, zone, engine.setup.work(one.function).sign)
        };
        let found = match plan(engine, &pair) {
            Plan::Gap(gap, _) => Outlook::never_at(gap),
            Plan::OneZone(zone) => meets(x, &zone),
            Plan::Each([one, two]) => meets(x, &one).farther(meets(y, &two)),
            Plan::Joint([one, two]) => {
                let alone = meets(x, &one.1).farther(meets(y, &two.1));
                let joint = firm_joint(engine, &over, [&one, &two], outcome);
                match alone.outcome == Outcome::Proved {
                    true => return alone.firm.max(joint),
                    false => return joint,
                }
            }
        };
        if found.outcome == outcome { found.firm } else { Exact::ZERO }
    });
    let parts: Vec<Exact> = parts.collect();
    // All of them have to stay apart; one that meets is enough.
    let firm = match outcome {
        Outcome::Proved => parts.into_iter().reduce(Exact::min),
        _ => parts.into_iter().reduce(Exact::max),
    };
    let begun = functions.into_iter().filter_map(|function| engine.firm_before(function));
    begun.fold(firm.unwrap_or(Exact::ZERO), Exact::min)
}

/// The same for two outputs that a hand may move at once: the last rung at which the answer is the same for
/// zones that are so much larger, or smaller where both are met.
fn firm_joint(
    engine: &Engine,
    over: &Domain,
    [one, two]: [&(ChannelId, Zone); 2],
    outcome: Outcome,
) -> Exact {
    let stays = |thousandths: i64| {
        let by = Exact::ratio(if outcome == Outcome::Proved { thousandths } else { -thousandths }, 1000);
        let [first, second] = [one.1.widened(&by), two.1.widened(&by)];
        if first.is_empty() || second.is_empty() {
            return outcome == Outcome::Proved;
        }
        let pair = ((one.0, &first), (two.0, &second));
        let verdict =
            both_meet(engine.setup, &engine.gathered, &engine.orders, over, pair.0, pair.1, FEW_BOXES);
        match verdict {
            Verdict::Clear => outcome == Outcome::Proved,
            Verdict::Met(_) => outcome == Outcome::Broken,
            Verdict::Unknown(_) => false,
        }
    };
    let (mut holds, mut fails) = (0, LADDER.len() + 1);
    while fails - holds > 1 {
        let middle = usize::midpoint(holds, fails);
        if stays(LADDER[middle - 1]) { holds = middle } else { fails = middle }
    }
    if holds == 0 { Exact::ZERO } else { Exact::ratio(LADDER[holds - 1], 1000) }
}

/// The pairs to ask, each with the orders it is asked under: either of the two may be engaged last, and
/// whether the other may be in its slack then can hang on the order.
fn in_turn<'a>(
    engine: &Engine,
    [a, b]: [WorkRef; 2],
    [x, y]: &'a [PulsePlace; 2],
    over: &Domain,
) -> Vec<([One<'a>; 2], Domain)> {
    let before = [a, b].map(|function| engine.before(function));
    let open: Vec<&Order> = before.iter().filter_map(|b| hangs_on(b)).flatten().collect();
    let (with, without): (Vec<Order>, Vec<Order>) = engine.orders.iter().partition(|o| open.contains(o));
    let parts = match open.is_empty() {
        true => vec![over.clone()],
        false => with
            .into_iter()
            .map(|order| vec![order])
            .chain([without])
            .filter(|orders| !orders.is_empty())
            .map(|orders| over.clone().under(orders))
            .collect(),
    };
    let mut all = Vec::new();
    for over in parts {
        let held = before.each_ref().map(|b| match (&**b, &over.orders) {
            (Before::Nobody, _) => false,
            (Before::Somebody, _) => true,
            (Before::Pilot(under), Some(orders)) => orders.iter().all(|order| under.contains(order)),
            (Before::Pilot(_), None) => true,
        });
        let one = |function, place, held| One { function, place, held };
        all.push(([one(a, x, held[0]), one(b, y, false)], over.clone()));
        if held != [false, false] {
            all.push(([one(a, x, false), one(b, y, held[1])], over));
        }
    }
    all
}

fn hangs_on(before: &Before) -> Option<&Vec<Order>> {
    match before {
        Before::Pilot(orders) => Some(orders),
        Before::Nobody | Before::Somebody => None,
    }
}

fn plan(engine: &Engine, [first, second]: &[One; 2]) -> Plan {
    let setup = engine.setup;
    let input = |one: &One| setup.devices[one.function.device].input;
    let zones = [first.zone(setup), second.zone(setup)];
    let both = overlap(&zones[0], &zones[1]);
    let one_place = || match apart(&both) {
        Some(gap) => Plan::Gap(gap, both.clone()),
        None => Plan::OneZone(both.clone()),
    };
    if first.function.device == second.function.device {
        // One servo is off by the same amount for both: the bare zones must overlap as well.
        let bare = |one: &One| may_zone(setup.work(one.function), &Exact::ZERO, one.held);
        return match apart(&overlap(&bare(first), &bare(second))) {
            Some(gap) => Plan::Gap(gap, both),
            None => Plan::OneZone(both),
        };
    }
    match (first.place, second.place, input(first), input(second)) {
        // Both get one pulse that nobody knows: what a leveller puts out, or noise on a channel.
        (PulsePlace::Within(..), PulsePlace::Within(..), one, other) if one == other => one_place(),
        (PulsePlace::Pilot, PulsePlace::Pilot, Input::Channel(c), Input::Channel(d)) if c == d => one_place(),
        (PulsePlace::Pilot, PulsePlace::Pilot, Input::Channel(c), Input::Channel(d)) => {
            let [one, two] = zones;
            Plan::Joint([(c, one), (d, two)])
        }
        _ => Plan::Each(zones),
    }
}

/// The answer, what keeps them apart, and the side of the axis on which the distance lies.
fn carry_out(engine: &Engine, pair: &[One; 2], over: &Domain) -> (Answer, Apart, i32) {
    let [first, second] = pair;
    let setup = engine.setup;
    let signs = [first, second].map(|one| setup.work(one.function).sign);
    let in_place =
        |one: &One, zone: &Zone| engine.ask(one.function.device, one.place, over, 1, &|_| zone.clone());
    match plan(engine, pair) {
        Plan::Gap(gap, zone) => {
            engine.notes.step(|| Step::Gap(gap.clone()));
            let further = in_place(first, &zone);
            let clear = matches!(further.verdict, Verdict::Clear);
            match further.margin.filter(|margin| clear && *margin > gap) {
                Some(margin) => (never(margin), Apart::Otherwise, setup.axis.narrower_side()),
                // A distance across rest is told by the side where a percent is the fewest microseconds.
                None => {
                    (never(gap), Apart::Thresholds([first.held, second.held]), setup.axis.narrower_side())
                }
            }
        }
        Plan::OneZone(zone) => (in_place(first, &zone), Apart::Otherwise, signs[0]),
        Plan::Each([one, two]) => {
            let (answer, apart, second_decides) =
                farther(in_place(first, &one), in_place(second, &two), [first.held, second.held]);
            (answer, apart, signs[usize::from(second_decides)])
        }
        Plan::Joint([one, two]) => {
            let (x, y) = (in_place(first, &one.1), in_place(second, &two.1));
            if matches!(x.verdict, Verdict::Clear) || matches!(y.verdict, Verdict::Clear) {
                let (answer, apart, second_decides) = farther(x, y, [first.held, second.held]);
                return (answer, apart, signs[usize::from(second_decides)]);
            }
            let mut trees = engine.notes.is_wanted().then(Vec::new);
            let verdict = both_meet_told(
                setup,
                &engine.gathered,
                &engine.orders,
                over,
                [(one.0, &one.1), (two.0, &two.1)],
                MOST_BOXES,
                trees.as_mut(),
            );
            engine.notes.step(|| Step::Joint {
                channels: [one.0, two.0],
                zones: [one.1, two.1],
                verdict: verdict.clone(),
                trees: trees.unwrap_or_default(),
            });
            (Answer { verdict, margin: None, met_under: Vec::new() }, Apart::Otherwise, signs[0])
        }
    }
}

fn never(margin: Exact) -> Answer {
    Answer { verdict: Verdict::Clear, margin: Some(margin), met_under: Vec::new() }
}

/// Of two things that must both happen, the one that is farther away: that one keeps them apart.
fn farther(x: Answer, y: Answer, held: [bool; 2]) -> (Answer, Apart, bool) {
    let clear = |answer: &Answer| matches!(answer.verdict, Verdict::Clear);
    let second = match (&x.margin, &y.margin) {
        (Some(a), Some(b)) => b > a,
        // What never moves at all is farther than any distance.
        (a, b) => a.is_some() && b.is_none(),
    };
    match (clear(&x), clear(&y)) {
        (true, true) if second => return (y, Apart::Second(held[1]), true),
        (true, _) => return (x, Apart::First(held[0]), false),
        (false, true) => return (y, Apart::Second(held[1]), true),
        (false, false) => {}
    }
    // What is shown is where the first is, unless only the second takes a hand.
    let by_hand =
        |answer: &Answer| matches!(&answer.verdict, Verdict::Met(f) if !f.hand.positions.is_empty());
    let unknown = |answer: &Answer| matches!(answer.verdict, Verdict::Unknown(_));
    let shown = match second {
        true if by_hand(&x) || by_hand(&y) || unknown(&y) => y,
        true => Answer { margin: y.margin, ..x },
        // Undecided stays undecided, whichever of the two it is.
        false if unknown(&y) => y,
        false => x,
    };
    (shown, Apart::Otherwise, second)
}

fn overlap(a: &Zone, b: &Zone) -> Zone {
    let pick = |x: &Option<Exact>, y: &Option<Exact>, most: bool| match (x, y) {
        (Some(x), Some(y)) => Some(if most { x.clone().max(y.clone()) } else { x.clone().min(y.clone()) }),
        (x, y) => x.clone().or_else(|| y.clone()),
    };
    Zone { low: pick(&a.low, &b.low, true), high: pick(&a.high, &b.high, false), closed: true }
}

/// How far two zones lie apart, from what they would have in common; `None` where they overlap.
fn apart(both: &Zone) -> Option<Exact> {
    match (&both.low, &both.high) {
        (Some(low), Some(high)) if low > high => Some(low - high),
        _ => None,
    }
}
