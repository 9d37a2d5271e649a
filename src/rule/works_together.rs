//! Two works that exclude each other may be engaged at once.

use super::context::{Context, may_zone, within};
use super::say::{self, Draft};
use super::states::{Place, StateKind};
use crate::finding::{Finding, Severity};
use crate::proof::{Answer, Verdict, Zone};
use crate::setup::{Exact, Input, WorkRef};

/// The rule's name.
pub const NAME: &str = "works-together";

/// Once for each pair and each state.
pub fn apply(context: &Context, findings: &mut Vec<Finding>) {
    let setup = context.setup;
    for (a, b) in pairs(context) {
        // What was engaged before a state may not have let go in it.
        let held = [context.pilot_may_engage(a), context.pilot_may_engage(b)];
        let piloting = [context.piloting(a.device), context.piloting(b.device)];
        let mut states = vec![("piloting".to_string(), piloting, held)];
        for (at, state) in context.states().iter().enumerate() {
            let (x, y) = (&state.places[a.device], &state.places[b.device]);
            // What neither a figure of the file nor noise decides is as the pilot could have left it.
            let unsteered = |work: WorkRef, p: &Place| match p {
                Place::Fixed { .. } => true,
                Place::Within(..) => matches!(setup.devices[work.device].input, Input::Channel(_)),
                Place::Pilot | Place::Still => false,
            };
            if state.kind != StateKind::PowerUp && (unsteered(a, x) || unsteered(b, y)) {
                let held = [a, b].map(|work| context.held_before(work, at));
                let places = [x.clone(), y.clone()];
                if !states.iter().any(|(_, p, h)| *p == places && *h == held) {
                    states.push((state.name.clone(), places, held));
                }
            }
        }
        for (state, [x, y], held) in states {
            let asked = ((a, &x, held[0]), (b, &y, held[1]));
            let (answer, apart) = together(context, asked.0, asked.1);
            let (first, second) = (setup.work_name(a), setup.work_name(b));
            // The output that is shown belongs to the work that is named with it.
            let (shown, other) = if shows(context, &answer, b, a) { (b, a) } else { (a, b) };
            let names = [shown, other].map(|work| setup.work_name(work));
            findings.push(
                Draft::new(NAME, Severity::Error, first.clone(), &state)
                    .on_side(setup.work(a).sign)
                    .account_apart(context, asked, apart, &answer)
                    .at(say::threshold_path(setup, shown), format!("{} may still be engaged", names[0]))
                    .and_at(say::threshold_path(setup, other), format!("while {} is", names[1]))
                    .place("other", second.clone())
                    .help("move the two apart on the axis, or put them on controls that cannot be held together")
                    .close(
                        context,
                        &answer,
                        &format!("{first} and {second} may be engaged at the same time"),
                        &format!("{first} and {second} are never engaged together"),
                    ),
            );
        }
    }
}

/// Whether an answer shows where the sticks put one work, and not the other.
fn shows(context: &Context, answer: &Answer, this: WorkRef, not: WorkRef) -> bool {
    let on = |work: WorkRef, channel| context.setup.devices[work.device].input == Input::Channel(channel);
    matches!(&answer.verdict, Verdict::Met(found)
        if !found.hand.positions.is_empty() && on(this, found.channel) && !on(not, found.channel))
}

fn pairs(context: &Context) -> Vec<(WorkRef, WorkRef)> {
    let works: Vec<_> = context.works().collect();
    let mut pairs = Vec::new();
    for (i, (a, x)) in works.iter().enumerate() {
        for (b, y) in &works[i + 1..] {
            let by_kind = (x.kind.sinks() && y.kind.raises()) || (x.kind.raises() && y.kind.sinks());
            if by_kind || x.never_with.contains(b) || y.never_with.contains(a) {
                pairs.push((*a, *b));
            }
        }
    }
    pairs
}

/// What keeps two works from each other, where something simple does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Apart {
    /// Their thresholds, whatever the output.
    Thresholds,
    /// The first is out of reach.
    First,
    /// The second is out of reach.
    Second,
    /// Both edges and the reach have a part in it, or they are not kept apart.
    Otherwise,
}

/// A work, where its device is, and whether it may have been engaged before.
pub(super) type Asked<'a> = (WorkRef, &'a Place, bool);

fn together(context: &Context, first: Asked, second: Asked) -> (Answer, Apart) {
    let setup = context.setup;
    let zone = |(work, place, held): Asked| {
        let w = setup.work(work);
        let slack = setup.slack(work.device, w.sign, place.by_unit());
        may_zone(w, &slack, held)
    };
    let alone = |(work, place, held): Asked| context.may_engage(work, place, &context.everything, held);
    let channel = |work: WorkRef| match setup.devices[work.device].input {
        Input::Channel(channel) => Some(channel),
        _ => None,
    };
    let (one, two) = (zone(first), zone(second));
    let both = overlap(&one, &two);
    if first.0.device == second.0.device {
        // One servo is off by the same amount for both: the bare zones must overlap as well.
        let bare = |(work, _, held): Asked| may_zone(setup.work(work), &Exact::ZERO, held);
        let (a, b) = (bare(first), bare(second));
        if is_empty(&overlap(&a, &b)) {
            return (never(apart(&a, &b)), Apart::Thresholds);
        }
        let answer = context.ask(first.0.device, first.1, &context.everything, 1, &|_| both.clone());
        return (answer, Apart::Otherwise);
    }
    if let (Place::Within(low, high), Place::Within(..)) = (first.1, second.1)
        && setup.devices[first.0.device].input == setup.devices[second.0.device].input
    {
        // Both get one pulse that nobody knows: what a leveller puts out, or noise on a channel.
        if is_empty(&both) {
            return (never(apart(&one, &two)), Apart::Otherwise);
        }
        return (within(&both, low, high), Apart::Otherwise);
    }
    match (first.1, second.1, channel(first.0), channel(second.0)) {
        (Place::Pilot, Place::Pilot, Some(c), Some(d)) if c == d => {
            if is_empty(&both) {
                return (never(apart(&one, &two)), Apart::Otherwise);
            }
            (context.cases(c).meets(setup, &context.everything, &both), Apart::Otherwise)
        }
        (Place::Pilot, Place::Pilot, Some(c), Some(d)) => {
            let (x, y) = (alone(first), alone(second));
            if matches!(x.verdict, Verdict::Clear) || matches!(y.verdict, Verdict::Clear) {
                return better(x, y);
            }
            let verdict = crate::proof::joint::both_meet(
                setup,
                &context.orders,
                &context.everything,
                (c, &one),
                (d, &two),
            );
            (Answer { verdict, margin: None, met_under: Vec::new() }, Apart::Otherwise)
        }
        _ => better(alone(first), alone(second)),
    }
}

fn never(margin: Exact) -> Answer {
    Answer { verdict: Verdict::Clear, margin: Some(margin), met_under: Vec::new() }
}

/// Of two things that must both happen, the one that is farther away.
fn better(x: Answer, y: Answer) -> (Answer, Apart) {
    if matches!(x.verdict, Verdict::Clear) {
        return (x, Apart::First);
    }
    if matches!(y.verdict, Verdict::Clear) {
        return (y, Apart::Second);
    }
    let second = match (&x.margin, &y.margin) {
        (Some(a), Some(b)) => b >= a,
        (a, _) => a.is_some(),
    };
    // What is shown is where the first is, unless only the second takes a hand.
    let by_hand =
        |answer: &Answer| matches!(&answer.verdict, Verdict::Met(f) if !f.hand.positions.is_empty());
    let farther = match second {
        true if by_hand(&x) || by_hand(&y) || !matches!(y.verdict, Verdict::Met(_)) => y,
        true => Answer { margin: y.margin, ..x },
        false => x,
    };
    (farther, Apart::Otherwise)
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
