//! Where a margin goes: which tolerance takes how much of it, and how likely a misfire is.
//!
//! The verdict puts every tolerance at its worst at once. That is right for a verdict and says
//! little about how often it will be seen on the water, so a broken margin also gets an estimate:
//! every tolerance uniform over its range and independent of the others. It never decides anything.
//!
//! The estimate is computed in closed form and in exact fractions, not drawn: a builder who prints
//! it again gets the same figure on every machine, and a small chance does not come out as none.

use super::Context;
use super::context::{may_zone, short_of};
use super::say::Draft;
use super::states::Place;
use super::works_together::{Apart, Asked};
use crate::finding::{Finding, Outcome, Share};
use crate::proof::{Answer, Domain};
use crate::setup::{DeviceId, Exact, Setup, Toleranced, WorkRef};

/// More tolerances than a margin can have; beyond it the corners are too many to add up.
const MOST: usize = 12;

/// An edge of a zone: what it belongs to, in the builder's words, and where it lies.
type Edge<'a> = (String, &'a Toleranced);

impl Draft {
    /// The account of a margin between a device and an edge, if the edge has a tolerance of its own.
    #[must_use]
    pub fn account(
        mut self,
        setup: &Setup,
        device: DeviceId,
        edge: Option<Edge>,
        sign: i32,
        by_unit: bool,
    ) -> Self {
        let (accuracy, pulse) = setup.slack_parts(device, sign, by_unit);
        let own_clock = by_unit && setup.fail_safe.as_ref().is_some_and(|u| u.accuracy.is_some());
        let pulse_of = if own_clock { "pulse of the fail-safe unit" } else { "pulse" };
        let mut shares: Vec<_> = edge.map(|(what, at)| (what, at.off.clone())).into_iter().collect();
        shares.push((format!("{} accuracy", setup.devices[device].kind.name), accuracy));
        shares.push((pulse_of.into(), pulse));
        self.account = Some(sorted(shares));
        self
    }

    /// The account of an answer of [`Context::may_engage`].
    #[must_use]
    pub fn account_engaging(
        self,
        context: &Context,
        work: WorkRef,
        place: &Place,
        domain: &Domain,
        held: bool,
        answer: &Answer,
    ) -> Self {
        match engaging_edge(context, work, place, domain, held, answer) {
            Some(edge) => self.of_work(context, work, edge, place),
            None => self,
        }
    }

    /// The account of an answer of [`Context::may_miss`].
    #[must_use]
    pub fn account_missing(
        self,
        context: &Context,
        work: WorkRef,
        place: &Place,
        (domain, fully): (&Domain, bool),
        answer: &Answer,
    ) -> Self {
        let edge = missing_edge(context, work, place, (domain, fully), answer);
        self.of_work(context, work, edge, place)
    }

    /// The account of what keeps two works apart. Where both are in reach there is none: that both
    /// happen at once hangs on more than one edge.
    #[must_use]
    pub(super) fn account_apart(
        mut self,
        context: &Context,
        (first, second): (Asked, Asked),
        apart: Apart,
        answer: &Answer,
    ) -> Self {
        let everything = &context.everything;
        let (work, place, held) = match apart {
            Apart::First => first,
            Apart::Second => second,
            Apart::Otherwise => return self,
            Apart::Thresholds => {
                let works = [first, second];
                if works.iter().all(|asked| context.setup.work(asked.0).to.is_none()) {
                    // They share one servo and its accuracy, which moves both thresholds alike.
                    let edges = works.map(|(work, _, held)| near_edge(context, work, held));
                    self.account = Some(sorted(edges.map(|(what, at)| (what, at.off.clone())).into()));
                }
                return self;
            }
        };
        self.account_engaging(context, work, place, everything, held, answer)
    }

    /// The account of a margin between a pulse and an edge with no device between them.
    #[must_use]
    pub fn account_of_pulse(mut self, setup: &Setup, edge: Edge, sign: i32) -> Self {
        let scale = &setup.transmitter.pulse;
        let pulse = scale.width(&scale.accuracy, sign);
        self.account = Some(sorted(vec![(edge.0, edge.1.off.clone()), ("pulse".into(), pulse)]));
        self
    }

    fn of_work(self, context: &Context, work: WorkRef, edge: Edge, place: &Place) -> Self {
        let sign = context.setup.work(work).sign;
        self.account(context.setup, work.device, Some(edge), sign, place.by_unit())
    }
}

/// Writes an account into a finding whose margin and verdict are known.
pub(super) fn settle(finding: &mut Finding, account: Option<Vec<Share>>) {
    let (Some(account), Some(margin)) = (account, &finding.margin) else { return };
    finding.estimate = match finding.outcome {
        Outcome::Undecided => return,
        Outcome::Proved => Some(Exact::ZERO),
        Outcome::Broken => {
            let widths: Vec<_> = account.iter().map(|s| s.axis.clone()).collect();
            let total = widths.iter().fold(Exact::ZERO, |sum, a| sum + a);
            chance_beyond(&(&margin.axis + total), &widths)
        }
    };
    finding.account = account;
}

/// Largest first, what is nothing left out; equal ones stay in the order given.
fn sorted(shares: Vec<(String, Exact)>) -> Vec<Share> {
    let mut shares: Vec<_> = shares
        .into_iter()
        .filter(|(_, axis)| axis.signum() > 0)
        .map(|(what, axis)| Share { what, axis })
        .collect();
    shares.sort_by(|a, b| b.axis.cmp(&a.axis));
    shares
}

/// The edge from which the distance of an engaging work is measured. A work with a far end has two,
/// and only asking for each alone tells which; `None` where neither alone gives the distance.
fn engaging_edge<'a>(
    context: &Context<'a>,
    work: WorkRef,
    place: &Place,
    domain: &Domain,
    held: bool,
    answer: &Answer,
) -> Option<Edge<'a>> {
    let w = context.setup.work(work);
    let near = near_edge(context, work, held);
    let Some(to) = &w.to else { return Some(near) };
    let alone = |keep_near: bool| {
        let asked = context.ask(work.device, place, domain, w.sign, &|slack| {
            let mut zone = may_zone(w, slack, held);
            if keep_near == (w.sign < 0) {
                zone.low = None;
            } else {
                zone.high = None;
            }
            zone
        });
        asked.margin == answer.margin
    };
    if alone(true) {
        return Some(near);
    }
    alone(false).then(|| (format!("far end of the {}", w.kind.name), to))
}

/// Where a work engages, or with `held` where it lets go if that is nearer to rest.
fn near_edge<'a>(context: &Context<'a>, work: WorkRef, held: bool) -> Edge<'a> {
    let w = context.setup.work(work);
    let from_edge = (start_words(context.setup, work), &w.from);
    if held && let Some(releases) = &w.releases {
        let (from, lets_go) = (w.from.nearest(w.sign), releases.nearest(w.sign));
        let nearer = if w.sign < 0 { lets_go > from } else { lets_go < from };
        if nearer {
            return (format!("letting go of the {}", w.kind.name), releases);
        }
    }
    from_edge
}

/// The edge that a work must surely have passed, or the far end that it must not pass.
fn missing_edge<'a>(
    context: &Context<'a>,
    work: WorkRef,
    place: &Place,
    (domain, fully): (&Domain, bool),
    answer: &Answer,
) -> Edge<'a> {
    let w = context.setup.work(work);
    let needed = match w.full.as_ref().filter(|_| fully) {
        Some(full) => (format!("full effect of the {}", w.kind.name), full),
        None => (start_words(context.setup, work), &w.from),
    };
    let Some(to) = &w.to else { return needed };
    let short = context.ask(work.device, place, domain, w.sign, &|slack| short_of(needed.1, w.sign, slack));
    if short.margin == answer.margin { needed } else { (format!("far end of the {}", w.kind.name), to) }
}

fn start_words(setup: &Setup, work: WorkRef) -> String {
    let w = setup.work(work);
    if w.from_clicks { format!("{} from clicks", w.kind.name) } else { w.kind.name.to_string() }
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
#[path = "account_tests.rs"]
mod tests;
