//! Which outputs count for what is asked, and what two answers come to together.

use super::answer::either_order;
use crate::proof::{Answer, Verdict, Zone};
use crate::setup::{Exact, Function, Toleranced};

/// It cannot happen, by so much.
pub(super) fn clear(margin: Option<Exact>) -> Answer {
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
            hand: crate::proof::ControlPositions { positions: Vec::new(), trims: Vec::new() },
            output,
        })),
        margin: Some(distance),
        met_under: Vec::new(),
    }
}

/// Outputs at which a function may be engaged; with `held`, also those at which it may not have let go.
pub(super) fn may_zone(work: &Function, slack: &Exact, held: bool) -> Zone {
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

/// Stretches of outputs at which a function may fail to be engaged, or with `fully` to have its whole effect: short
/// of it, and beyond the far end of its zone.
pub(super) fn missed(work: &Function, slack: &Exact, fully: bool) -> Vec<Zone> {
    let needed = work.full.as_ref().filter(|_| fully).unwrap_or(&work.from);
    let mut zones = vec![short_of(needed, work.sign, slack)];
    zones.extend(work.to.as_ref().map(|to| past(&to.nearest(work.sign), work.sign, false, slack)));
    zones
}

/// The sides of the axis on which the ends of a band lie: one that knows no way back is on one side of rest
/// as a whole. An end at rest counts to its own side.
pub(super) fn sides([low, high]: &[Exact; 2]) -> [i32; 2] {
    [if low.signum() > 0 { 1 } else { -1 }, if high.signum() < 0 { -1 } else { 1 }]
}

/// Outputs at which a device may have left a band, on either side. It may be off by so much on the shorter and
/// on the longer side of the axis.
pub(super) fn outside(band: &[Exact; 2], off: [&Exact; 2]) -> [Zone; 2] {
    let [under, past] = sides(band).map(|side| off[usize::from(side > 0)]);
    [Zone::below(&band[0] + under), Zone::above(&band[1] - past)]
}

/// Outputs at which it may still be inside; everywhere where no band is known.
pub(super) fn inside(band: Option<&[Exact; 2]>, off: [&Exact; 2]) -> Zone {
    let ends = band.map(|band| {
        let [under, past] = sides(band).map(|side| off[usize::from(side > 0)]);
        (&band[0] - under, &band[1] + past)
    });
    let (low, high) = ends.unzip();
    Zone { low, high, closed: true }
}

/// Outputs at which a threshold may not be passed.
pub(super) fn short_of(threshold: &Toleranced, sign: i32, slack: &Exact) -> Zone {
    let needed = threshold.farthest(sign);
    if sign < 0 { Zone::above(needed - slack) } else { Zone::below(needed + slack) }
}

/// Outputs that do not surely come further than `needed` from rest: as far is not further.
pub(super) fn short(needed: &Exact, sign: i32, slack: &Exact) -> Zone {
    let needed = needed + slack;
    let zone = if sign < 0 { Zone::above(-needed) } else { Zone::below(needed) };
    Zone { closed: true, ..zone }
}

/// Outputs that may be past an edge.
pub(super) fn past(edge: &Exact, sign: i32, touching: bool, slack: &Exact) -> Zone {
    let zone = if sign < 0 { Zone::below(edge + slack) } else { Zone::above(edge - slack) };
    Zone { closed: touching, ..zone }
}

/// The worse of two answers about one device. Where both are met it happens under the orders of either.
pub(super) fn worse(a: Answer, b: Answer) -> Answer {
    let rank = |v: &Verdict| match v {
        Verdict::Met(_) => 0,
        Verdict::Unknown(_) => 1,
        Verdict::Clear => 2,
    };
    let both = [&a, &b].map(|answer| matches!(answer.verdict, Verdict::Met(_))) == [true; 2];
    let met_under = both.then(|| either_order(&a.met_under, &b.met_under));
    let worse = match rank(&a.verdict).cmp(&rank(&b.verdict)) {
        std::cmp::Ordering::Less => a,
        std::cmp::Ordering::Greater => b,
        std::cmp::Ordering::Equal => match (&a.margin, &b.margin) {
            (Some(x), Some(y)) if x <= y => a,
            (Some(_), None) => a,
            _ => b,
        },
    };
    Answer { met_under: met_under.unwrap_or_else(|| worse.met_under.clone()), ..worse }
}
