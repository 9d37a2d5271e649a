//! Whether two functions may be engaged at once.
//!
//! One of the two is engaged last, and at that moment the other is engaged or has not let go yet. So
//! both can be on only where one may be engaged while the other is within its slack: two functions
//! that nothing but slack could hold, on stretches that meet nowhere else, no path brings together.

use super::answer::{Answered, Detail};
use super::engine::{Before, Context, may_zone, within};
use super::states::Place;
use crate::chain::Order;
use crate::proof::{Answer, Domain, Verdict, Zone};
use crate::setup::{Exact, Input, WorkRef};

/// What keeps two functions from each other, where something simple does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Apart {
    /// Their thresholds, whatever the output; which of them have not let go.
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
    place: &'a Place,
    held: bool,
}

/// Answers for both, under every order of operations.
pub(super) fn answer(
    context: &Context,
    functions: [WorkRef; 2],
    places: &[Place; 2],
    over: &Domain,
) -> Answered {
    let sign = context.setup.work(functions[0]).sign;
    let (answer, apart) = under_all(context, functions, places, over);
    Answered { detail: Detail::Apart(apart), ..context.told(answer, sign) }
}

fn under_all(
    context: &Context,
    functions: [WorkRef; 2],
    places: &[Place; 2],
    over: &Domain,
) -> (Answer, Apart) {
    let before = functions.map(|function| context.before(function));
    let open: Vec<Order> = before.iter().filter_map(|b| hangs_on(b)).flatten().copied().collect();
    if open.is_empty() {
        let held = before.map(|b| *b == Before::Somebody);
        return in_turn(context, functions, places, over, held);
    }
    let (with, without): (Vec<Order>, Vec<Order>) = context.orders.iter().partition(|o| open.contains(o));
    let parts = [with.into_iter().map(|o| vec![o]).collect(), vec![without]].concat();
    let each = parts.into_iter().filter(|orders: &Vec<Order>| !orders.is_empty()).map(|orders| {
        let held = before.map(|b| match b {
            Before::Nobody => false,
            Before::Somebody => true,
            Before::Pilot(under) => under.contains(&orders[0]),
        });
        in_turn(context, functions, places, &over.clone().under(orders), held)
    });
    let worst = each.reduce(|a, b| if is_worse(&b.0, &a.0) { b } else { a });
    worst.unwrap_or_else(|| (never(Exact::ZERO), Apart::Otherwise))
}

fn hangs_on(before: &Before) -> Option<&Vec<Order>> {
    match before {
        Before::Pilot(orders) => Some(orders),
        Before::Nobody | Before::Somebody => None,
    }
}

/// Either of the two may be the one that is engaged last.
fn in_turn(
    context: &Context,
    [a, b]: [WorkRef; 2],
    [x, y]: &[Place; 2],
    over: &Domain,
    held: [bool; 2],
) -> (Answer, Apart) {
    let one = |function, place, held| One { function, place, held };
    let first = together(context, one(a, x, held[0]), one(b, y, false), over);
    if held == [false, false] {
        return first;
    }
    let second = together(context, one(a, x, false), one(b, y, held[1]), over);
    if is_worse(&second.0, &first.0) { second } else { first }
}

fn is_worse(a: &Answer, b: &Answer) -> bool {
    let rank = |answer: &Answer| match answer.verdict {
        Verdict::Met(_) => 0,
        Verdict::Unknown(_) => 1,
        Verdict::Clear => 2,
    };
    match rank(a).cmp(&rank(b)) {
        std::cmp::Ordering::Equal => match (&a.margin, &b.margin) {
            (Some(x), Some(y)) => x < y,
            (x, y) => x.is_some() && y.is_none(),
        },
        other => other == std::cmp::Ordering::Less,
    }
}

fn together(context: &Context, first: One, second: One, over: &Domain) -> (Answer, Apart) {
    let setup = context.setup;
    let zone = |one: One| {
        let w = setup.work(one.function);
        may_zone(w, &setup.slack(one.function.device, w.sign, one.place.by_unit()), one.held)
    };
    let alone = |one: One| in_place(context, one, over, &zone(one));
    let channel = |one: One| match setup.devices[one.function.device].input {
        Input::Channel(channel) => Some(channel),
        _ => None,
    };
    let (one, two) = (zone(first), zone(second));
    let both = overlap(&one, &two);
    if first.function.device == second.function.device {
        // One servo is off by the same amount for both: the bare zones must overlap as well.
        let bare = |one: One| may_zone(setup.work(one.function), &Exact::ZERO, one.held);
        let (a, b) = (bare(first), bare(second));
        if is_empty(&overlap(&a, &b)) {
            return (never(apart(&a, &b)), Apart::Thresholds([first.held, second.held]));
        }
        return (in_place(context, first, over, &both), Apart::Otherwise);
    }
    if let (Place::Within(low, high), Place::Within(..)) = (first.place, second.place)
        && setup.devices[first.function.device].input == setup.devices[second.function.device].input
    {
        // Both get one pulse that nobody knows: what a leveller puts out, or noise on a channel.
        if is_empty(&both) {
            return (never(apart(&one, &two)), Apart::Otherwise);
        }
        return (within(&both, low, high), Apart::Otherwise);
    }
    match (first.place, second.place, channel(first), channel(second)) {
        (Place::Pilot, Place::Pilot, Some(c), Some(d)) if c == d => {
            if is_empty(&both) {
                return (never(apart(&one, &two)), Apart::Otherwise);
            }
            (context.cases(c).meets(setup, over, &both), Apart::Otherwise)
        }
        (Place::Pilot, Place::Pilot, Some(c), Some(d)) => {
            let (x, y) = (alone(first), alone(second));
            if matches!(x.verdict, Verdict::Clear) || matches!(y.verdict, Verdict::Clear) {
                return farther(x, y, [first.held, second.held]);
            }
            let joint = ((c, &one), (d, &two));
            let verdict = crate::proof::joint::both_meet(setup, &context.orders, over, joint.0, joint.1);
            (Answer { verdict, margin: None, met_under: Vec::new() }, Apart::Otherwise)
        }
        _ => farther(alone(first), alone(second), [first.held, second.held]),
    }
}

fn in_place(context: &Context, one: One, over: &Domain, zone: &Zone) -> Answer {
    context.ask(one.function.device, one.place, over, 1, &|_| zone.clone())
}

fn never(margin: Exact) -> Answer {
    Answer { verdict: Verdict::Clear, margin: Some(margin), met_under: Vec::new() }
}

/// Of two things that must both happen, the one that is farther away: that one keeps them apart.
fn farther(x: Answer, y: Answer, held: [bool; 2]) -> (Answer, Apart) {
    let clear = |answer: &Answer| matches!(answer.verdict, Verdict::Clear);
    let second = match (&x.margin, &y.margin) {
        (Some(a), Some(b)) => b > a,
        // What never moves at all is farther than any distance.
        (a, b) => a.is_some() && b.is_none(),
    };
    match (clear(&x), clear(&y)) {
        (true, true) if second => return (y, Apart::Second(held[1])),
        (true, _) => return (x, Apart::First(held[0])),
        (false, true) => return (y, Apart::Second(held[1])),
        (false, false) => {}
    }
    // What is shown is where the first is, unless only the second takes a hand.
    let by_hand =
        |answer: &Answer| matches!(&answer.verdict, Verdict::Met(f) if !f.hand.positions.is_empty());
    let shown = match second {
        true if by_hand(&x) || by_hand(&y) || !matches!(y.verdict, Verdict::Met(_)) => y,
        true => Answer { margin: y.margin, ..x },
        false => worse_of_undecided(x, y),
    };
    (shown, Apart::Otherwise)
}

/// Undecided stays undecided, whichever of the two it is.
fn worse_of_undecided(x: Answer, y: Answer) -> Answer {
    if matches!(y.verdict, Verdict::Unknown(_)) { y } else { x }
}

fn overlap(a: &Zone, b: &Zone) -> Zone {
    let pick = |x: &Option<Exact>, y: &Option<Exact>, most: bool| match (x, y) {
        (Some(x), Some(y)) => Some(if most { x.clone().max(y.clone()) } else { x.clone().min(y.clone()) }),
        (x, y) => x.clone().or_else(|| y.clone()),
    };
    Zone { low: pick(&a.low, &b.low, true), high: pick(&a.high, &b.high, false), closed: true }
}

fn is_empty(zone: &Zone) -> bool {
    matches!((&zone.low, &zone.high), (Some(low), Some(high)) if low > high)
}

/// How far two zones that do not overlap lie apart.
fn apart(a: &Zone, b: &Zone) -> Exact {
    let both = overlap(a, b);
    match (both.low, both.high) {
        (Some(low), Some(high)) => low - high,
        _ => Exact::ZERO,
    }
}
