//! Where a margin goes: which tolerance takes how much of it, and how likely a misfire is.
//!
//! The verdict puts every tolerance at its worst at once. That is right for a verdict and says
//! little about how often it will be seen on the water, so a broken margin also gets an estimate:
//! every tolerance uniform over its range and independent of the others. It never decides anything.
//!
//! The estimate is computed in closed form and in exact fractions, not drawn: a builder who prints
//! it again gets the same figure on every machine, and a small chance does not come out as none.

use super::answer::{Answered, Detail};
use super::asks::Asks;
use super::engine::{Before, Engine};
use super::states::PulsePlace;
use super::together::Apart;
use super::zones::{may_zone, short_of};
use crate::finding::{BudgetShare, Finding, Outcome};
use crate::proof::{Domain, Zone};
use crate::setup::{DeviceId, Exact, Setup, Toleranced, WorkRef};

/// More tolerances than a margin can have; beyond it the corners are too many to add up.
const MOST: usize = 12;

/// An edge of a zone: what it belongs to, in the builder's words, and its tolerance.
type Edge = (String, Exact);

/// What the tolerances take of the distance that an answer has; `None` where no one edge has it.
fn of(engine: &Engine, asks: &Asks, answered: &Answered) -> Option<Vec<BudgetShare>> {
    let setup = engine.setup;
    let margin = answered.margin.as_ref().map(|m| &m.axis);
    let of_device = |device, edge: Option<Edge>, sign, place: &PulsePlace| {
        Some(shares(setup, device, edge, sign, place.by_unit()))
    };
    match asks {
        Asks::Engages { function, place, over } => {
            let held = *engine.before(*function) != Before::Nobody;
            let edge = engaging_edge(engine, *function, place, over, held, margin)?;
            of_device(function.device, Some(edge), setup.work(*function).sign, place)
        }
        Asks::Misses { function, place, over, fully } => {
            let edge = missing_edge(engine, *function, place, (over, *fully), margin);
            of_device(function.device, Some(edge), setup.work(*function).sign, place)
        }
        Asks::Leaves { device, place, .. } | Asks::FallsShort { device, place, .. } => {
            of_device(*device, None, answered.sign, place)
        }
        Asks::Passes { device, place, edge, .. } => {
            let (what, at) = edge.tolerance.as_ref()?;
            of_device(*device, Some(((*what).to_owned(), at.off.clone())), edge.sign, place)
        }
        Asks::Trips { beyond, .. } => {
            let pulse = setup.axis.width(&setup.transmitter.pulse.accuracy, beyond.value.signum());
            let threshold = ("threshold of the fail-safe unit".to_owned(), beyond.off.clone());
            Some(sorted(vec![threshold, ("pulse".into(), pulse)]))
        }
        Asks::Together { functions, places, over } => {
            let Detail::Apart(apart) = answered.detail else { return None };
            let (index, held) = match apart {
                Apart::First(held) => (0, held),
                Apart::Second(held) => (1, held),
                Apart::Otherwise => return None,
                Apart::Thresholds(held) => {
                    if functions.iter().any(|f| setup.work(*f).to.is_some()) {
                        return None;
                    }
                    // They share one servo and its accuracy, which moves both thresholds alike.
                    return Some(sorted(vec![
                        near_edge(engine, functions[0], held[0]),
                        near_edge(engine, functions[1], held[1]),
                    ]));
                }
            };
            let (function, place) = (functions[index], &places[index]);
            let edge = engaging_edge(engine, function, place, over, held, margin)?;
            of_device(function.device, Some(edge), setup.work(function).sign, place)
        }
        _ => None,
    }
}

fn shares(setup: &Setup, device: DeviceId, edge: Option<Edge>, sign: i32, by_unit: bool) -> Vec<BudgetShare> {
    let (accuracy, pulse) = setup.slack_parts(device, sign, by_unit);
    let own_clock = by_unit && setup.fail_safe.as_ref().is_some_and(|u| u.accuracy.is_some());
    let pulse_of = if own_clock { "pulse of the fail-safe unit" } else { "pulse" };
    let mut shares: Vec<Edge> = edge.into_iter().collect();
    shares.push((format!("{} accuracy", setup.devices[device].kind.name), accuracy));
    shares.push((pulse_of.into(), pulse));
    sorted(shares)
}

/// Writes the budget into a finding whose margin and verdict are known.
pub(super) fn settle(engine: &Engine, asks: &Asks, answered: &Answered, finding: &mut Finding) {
    let (Some(budget), Some(margin)) = (of(engine, asks, answered), &finding.margin) else { return };
    finding.estimate = match finding.outcome {
        Outcome::Undecided | Outcome::NotJudged => return,
        Outcome::Proved => Some(Exact::ZERO),
        Outcome::Broken => {
            let widths: Vec<_> = budget.iter().map(|s| s.axis.clone()).collect();
            let total = widths.iter().fold(Exact::ZERO, |sum, a| sum + a);
            chance_beyond(&(&margin.axis + total), &widths)
        }
    };
    finding.budget = budget;
}

/// Largest first, what is nothing left out; equal ones stay in the order given.
fn sorted(shares: Vec<(String, Exact)>) -> Vec<BudgetShare> {
    let mut shares: Vec<_> = shares
        .into_iter()
        .filter(|(_, axis)| axis.signum() > 0)
        .map(|(what, axis)| BudgetShare { what, axis })
        .collect();
    shares.sort_by(|a, b| b.axis.cmp(&a.axis));
    shares
}

/// The edge from which the distance of an engaging function is measured. One with a far end has two,
/// and only asking for each alone tells which; `None` where neither alone gives the distance.
fn engaging_edge(
    engine: &Engine,
    function: WorkRef,
    place: &PulsePlace,
    over: &Domain,
    held: bool,
    margin: Option<&Exact>,
) -> Option<Edge> {
    let w = engine.setup.work(function);
    let near = near_edge(engine, function, held);
    let Some(to) = &w.to else { return Some(near) };
    let alone = |keep_near: bool| {
        let asked = engine.ask(function.device, place, over, w.sign, &|slack| {
            let mut zone = may_zone(w, slack, held);
            if keep_near == (w.sign < 0) {
                zone.low = None;
            } else {
                zone.high = None;
            }
            zone
        });
        asked.margin.as_ref() == margin
    };
    if alone(true) {
        return Some(near);
    }
    alone(false).then(|| (format!("far end of the {}", w.kind.called()), to.off.clone()))
}

/// Where a function engages, or with `held` where it lets go if that is nearer to rest.
fn near_edge(engine: &Engine, function: WorkRef, held: bool) -> Edge {
    let w = engine.setup.work(function);
    let zones: [Zone; 2] = [false, true].map(|held| may_zone(w, &Exact::ZERO, held));
    match &w.releases {
        Some(releases) if held && zones[0] != zones[1] => {
            (format!("letting go of the {}", w.kind.called()), releases.off.clone())
        }
        _ => (start_words(engine.setup, function), w.from.off.clone()),
    }
}

/// The edge that a function must surely have passed, or the far end that it must not pass.
fn missing_edge(
    engine: &Engine,
    function: WorkRef,
    place: &PulsePlace,
    (over, fully): (&Domain, bool),
    margin: Option<&Exact>,
) -> Edge {
    let w = engine.setup.work(function);
    let off = |at: &Toleranced| at.off.clone();
    let (words, needed) = match w.full.as_ref().filter(|_| fully) {
        Some(full) => (format!("full effect of the {}", w.kind.called()), full),
        None => (start_words(engine.setup, function), &w.from),
    };
    let Some(to) = &w.to else { return (words, off(needed)) };
    let short = engine.ask(function.device, place, over, w.sign, &|slack| short_of(needed, w.sign, slack));
    if short.margin.as_ref() == margin {
        (words, off(needed))
    } else {
        (format!("far end of the {}", w.kind.called()), off(to))
    }
}

fn start_words(setup: &Setup, work: WorkRef) -> String {
    let w = setup.work(work);
    if w.from_clicks() { format!("{} from clicks", w.kind.called()) } else { w.kind.called().to_string() }
}

/// The chance that the sum of independent deviations, each uniform over `-a ..= a`, exceeds
/// `distance`.
///
/// With n widths it is `sum over signs s of (product of s) max(0, s.a - distance)^n`, divided by
/// `2^n n! (product of a)`: a volume of a cube cut by a plane, by inclusion and exclusion over its
/// corners (P. Hall, Biometrika 19, 1927, for equal widths). The terms nearly cancel when the widths
/// differ much, which is why they are added as fractions.
fn chance_beyond(distance: &Exact, widths: &[Exact]) -> Option<Exact> {
    let widths: Vec<_> = widths.iter().filter(|a| a.signum() > 0).collect();
    if widths.len() > MOST {
        return None;
    }
    let total = widths.iter().fold(Exact::ZERO, |sum, a| sum + *a);
    if distance >= &total {
        // Also where there is no tolerance at all and the threshold is touched: touching engages.
        let certain = widths.is_empty() && distance.is_zero();
        return Some(if certain { Exact::ONE } else { Exact::ZERO });
    }
    if *distance <= -&total {
        return Some(Exact::ONE);
    }
    let mut sum = Exact::ZERO;
    for corner in 0_u32..1 << widths.len() {
        let mut reach = -distance;
        for (index, a) in widths.iter().enumerate() {
            reach = if corner >> index & 1 == 0 { reach + *a } else { reach - *a };
        }
        if reach.signum() > 0 {
            let volume = widths.iter().fold(Exact::ONE, |power, _| power * &reach);
            sum = if corner.count_ones() % 2 == 0 { sum + volume } else { sum - volume };
        }
    }
    let whole = widths.iter().zip(1..).fold(Exact::ONE, |product, (a, n)| product * Exact::int(2 * n) * *a);
    Some(sum / whole)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
#[path = "budget_tests.rs"]
mod tests;
