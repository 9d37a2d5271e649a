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

#[cfg(test)]
mod tests {
    use super::{inside, outside, past, short, short_of};
    use crate::proof::Zone;
    use crate::setup::{Exact, Toleranced};

    fn percent(n: i64) -> Exact {
        Exact::percent(n)
    }

    /// All figures in percent, worked out by hand: 60 ± 3 is surely passed from 63 on, and with an output that may be
    /// off by 2 from 65 on.
    #[test]
    fn a_threshold_is_missed_up_to_its_far_end_and_what_the_output_may_be_off() {
        let at = |n: i64| Toleranced { value: percent(n), off: percent(3) };
        assert_eq!(short_of(&at(60), 1, &percent(2)), Zone::below(percent(65)));
        assert_eq!(short_of(&at(-60), -1, &percent(2)), Zone::above(percent(-65)));
        assert_eq!(short(&percent(40), 1, &percent(2)), Zone::up_to(percent(42)));
        assert_eq!(short(&percent(40), -1, &percent(2)), Zone::from(percent(-42)));
    }

    #[test]
    fn an_edge_may_be_passed_by_what_the_output_may_be_off_before_it() {
        assert_eq!(past(&percent(70), 1, true, &percent(2)), Zone::from(percent(68)));
        assert_eq!(past(&percent(70), 1, false, &percent(2)), Zone::above(percent(68)));
        assert_eq!(past(&percent(-70), -1, true, &percent(2)), Zone::up_to(percent(-68)));
        assert_eq!(past(&percent(-70), -1, false, &percent(2)), Zone::below(percent(-68)));
    }

    /// A device that may be off by 1 on the shorter side of the axis and by 2 on the longer one.
    #[test]
    fn a_band_is_left_sooner_and_may_be_kept_longer_by_what_the_side_of_each_end_may_be_off() {
        let off = [percent(1), percent(2)];
        let off = off.each_ref();
        let across = [percent(-5), percent(8)];
        assert_eq!(outside(&across, off), [Zone::below(percent(-4)), Zone::above(percent(6))]);
        let kept = Zone { low: Some(percent(-6)), high: Some(percent(10)), closed: true };
        assert_eq!(inside(Some(&across), off), kept);
        // Both ends on the longer side, both on the shorter, and an end at rest, which counts to its own.
        let longer = [percent(3), percent(8)];
        assert_eq!(outside(&longer, off), [Zone::below(percent(5)), Zone::above(percent(6))]);
        let kept = Zone { low: Some(percent(1)), high: Some(percent(10)), closed: true };
        assert_eq!(inside(Some(&longer), off), kept);
        let shorter = [percent(-8), percent(-3)];
        assert_eq!(outside(&shorter, off), [Zone::below(percent(-7)), Zone::above(percent(-4))]);
        let rest = [percent(0), percent(8)];
        assert_eq!(outside(&rest, off), [Zone::below(percent(1)), Zone::above(percent(6))]);
        let everywhere = inside(None, off);
        assert_eq!((everywhere.low, everywhere.high), (None, None));
    }
}
