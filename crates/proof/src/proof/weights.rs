//! Two outputs, each in its zone, kept apart by one weighted sum of both.
//!
//! Between two neighbouring bends of its endpoint stage an output is a sum with one curve for each control, and
//! to be in a zone means that such sums are at least so much. If some weighted sum of two of them is too little
//! wherever the controls are, the two cannot both be enough: and a weighted sum is again one curve for each
//! control, whose greatest value is exact. Halving a box that two curves pass diagonally would take thousands
//! of boxes to come to the same. Where no weight keeps them apart, the place at which the sum is greatest is
//! often one where both are in their zones.

use super::domain::Domain;
use super::interval::Interval;
use super::lines::before_limits;
use super::reach::{ChannelCase, ControlPositions, Extreme, curve_extreme};
use super::zone::Zone;
use crate::chain::Stretch;
use crate::chain::terms::{Curve, Terms};
use crate::setup::{ControlId, Exact};

/// Weights are so many parts: fine enough, since a box that is not decided is halved.
const PARTS: i64 = 64;

/// Whether a box was decided.
pub(super) enum Weighed {
    /// Perhaps both are in their zones here.
    Perhaps(Vec<ControlPositions>),
    /// They never are, for what is said of each two stretches.
    Nowhere(Vec<Kept>),
}

/// What keeps an output, on one stretch of its endpoint stage each, or two from being in their zones.
///
/// On a stretch four sums have to be nought or more: what comes to the endpoint less where the stretch begins,
/// where it ends less that, what comes behind the endpoint less the least that is in the zone, and the greatest
/// less that. None of the multipliers is negative, and all sums together, times theirs, stay below nought.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Kept {
    /// Which stretch of the first and of the second output; nothing where one is enough.
    pub stretches: [Option<usize>; 2],
    /// The multipliers of the four sums of the first and of the second.
    pub by: [[Exact; 4]; 2],
}

impl Kept {
    /// By one output alone.
    pub(super) fn alone(second: bool, stretch: usize, of: [Exact; 4]) -> Self {
        let nothing = std::array::from_fn(|_| Exact::ZERO);
        match second {
            false => Self { stretches: [Some(stretch), None], by: [of, nothing] },
            true => Self { stretches: [None, Some(stretch)], by: [nothing, of] },
        }
    }
}

/// The places at which each control's part of the weighted sum was tried, where it is a curve.
pub fn tried(
    outputs: [(&ChannelCase, &Zone); 2],
    at: &Domain,
    kept: &Kept,
) -> Vec<(ControlId, Vec<Interval>)> {
    let mut weighed: Vec<(Half, Exact)> = Vec::new();
    for ((output, stretch), by) in outputs.into_iter().zip(kept.stretches).zip(&kept.by) {
        let (fixed, limits) = (output.0, before_limits(output.0, output.1));
        let found = stretch.and_then(|stretch| fixed.shape.stretches().into_iter().nth(stretch));
        let (Some(limits), Some(found)) = (limits, found) else { continue };
        weighed.extend(all_halves(fixed, &limits, found).into_iter().map(|half| {
            let by = by[half.sum].clone();
            (half, by)
        }));
    }
    let mut places = Vec::new();
    for control in 0..at.positions.len() {
        let mut curve = Curve::zero();
        for (half, by) in weighed.iter().filter(|(_, by)| !by.is_zero()) {
            curve.add_scaled(by, &half.curves[control]);
        }
        if !curve.is_zero() {
            let part = curve_extreme(&curve, &at.positions[control], Extreme::Greatest);
            places.push((control, part.tried));
        }
    }
    places
}

/// A sum that has to be at least so much.
struct Half {
    /// Which of the four of its stretch.
    sum: usize,
    curves: Vec<Curve>,
    trims: Vec<Exact>,
    least: Exact,
}

/// Weighs two outputs against each other over a box of positions and trims; both zones count with their ends.
pub(super) fn weigh(first: (&ChannelCase, &Zone), second: (&ChannelCase, &Zone), at: &Domain) -> Weighed {
    let mut hands = Vec::new();
    let mut kept = Vec::new();
    let [ones, others] =
        [(first, false), (second, true)].map(|(output, second)| pieces(output, second, at, &mut kept));
    let mut apart = true;
    for (i, one) in &ones {
        for (j, two) in &others {
            match are_apart(one, two, at, &mut hands) {
                Some(by) => kept.push(Kept { stretches: [Some(*i), Some(*j)], by }),
                None => apart = false,
            }
        }
    }
    if apart { Weighed::Nowhere(kept) } else { Weighed::Perhaps(hands) }
}

fn are_apart(
    one: &[Half],
    two: &[Half],
    at: &Domain,
    hands: &mut Vec<ControlPositions>,
) -> Option<[[Exact; 4]; 2]> {
    let (a, b, parts) = one
        .iter()
        .flat_map(|a| two.iter().map(move |b| (a, b)))
        .find_map(|(a, b)| Some((a, b, is_apart(a, b, at, hands)?)))?;
    Some([only(a.sum, Exact::int(parts)), only(b.sum, Exact::int(PARTS - parts))])
}

/// One multiplier and three noughts.
fn only(sum: usize, by: Exact) -> [Exact; 4] {
    let mut all = std::array::from_fn(|_| Exact::ZERO);
    all[sum] = by;
    all
}

/// By how many parts the first has to be weighed so that the sum of two is too little everywhere.
fn is_apart(a: &Half, b: &Half, at: &Domain, hands: &mut Vec<ControlPositions>) -> Option<i64> {
    let (mut low, mut high) = (0, PARTS);
    while high - low > 1 {
        let parts = i64::midpoint(low, high);
        let (most, hand) = greatest(&[(a, Exact::int(parts)), (b, Exact::int(PARTS - parts))], at);
        if most.signum() < 0 {
            return Some(parts);
        }
        let (of_a, of_b) = (a.over(&hand), b.over(&hand));
        if of_a.signum() >= 0 && of_b.signum() >= 0 {
            hands.push(hand);
            return None;
        }
        // What is short here needs more weight.
        if of_a.signum() < 0 { low = parts } else { high = parts }
    }
    None
}

impl Half {
    /// How much more than needed it is at a place.
    fn over(&self, hand: &ControlPositions) -> Exact {
        let curves = self.curves.iter().zip(&hand.positions).map(|(curve, p)| curve.at(p));
        let trims = self.trims.iter().zip(&hand.trims).map(|(factor, trim)| factor * trim);
        curves.chain(trims).sum::<Exact>() - &self.least
    }
}

/// A bound on how much more than needed a weighted sum is anywhere, and where it is about that.
fn greatest(weighed: &[(&Half, Exact)], at: &Domain) -> (Exact, ControlPositions) {
    let mut sum = Exact::ZERO;
    let mut hand = at.middle();
    for control in 0..at.positions.len() {
        let mut curve = Curve::zero();
        let mut factor = Exact::ZERO;
        for (half, weight) in weighed {
            curve.add_scaled(weight, &half.curves[control]);
            if !half.trims[control].is_zero() {
                factor += weight * &half.trims[control];
            }
        }
        if !curve.is_zero() {
            let part = curve_extreme(&curve, &at.positions[control], Extreme::Greatest);
            sum += part.bound;
            hand.positions[control] = part.at;
        }
        if !factor.is_zero() {
            let range = &at.trims[control];
            let end = if factor.signum() < 0 { &range.low } else { &range.high };
            sum += &factor * end;
            hand.trims[control] = end.clone();
        }
    }
    for (half, weight) in weighed {
        sum += -(weight * &half.least);
    }
    (sum, hand)
}

/// For each stretch of the endpoint stage that a box may reach: what has to be enough for the output to be in
/// its zone there. What is enough everywhere in the box is left out; a stretch in which something never is goes
/// to what keeps them apart.
fn pieces(
    output: (&ChannelCase, &Zone),
    second: bool,
    at: &Domain,
    kept: &mut Vec<Kept>,
) -> Vec<(usize, Vec<Half>)> {
    let Some(limits) = before_limits(output.0, output.1) else { return Vec::new() };
    let mut all = Vec::new();
    for (stretch, found) in output.0.shape.stretches().into_iter().enumerate() {
        let mut piece = Vec::new();
        let mut never = None;
        for half in all_halves(output.0, &limits, found) {
            if greatest(&[(&half, Exact::ONE)], at).0.signum() < 0 {
                never = Some(half.sum);
            }
            let shortest = half.negated();
            // The negative of a sum is at most nought where the sum is always enough.
            if greatest(&[(&shortest, Exact::ONE)], at).0.signum() > 0 {
                piece.push(half);
            }
        }
        match never {
            Some(sum) => kept.push(Kept::alone(second, stretch, only(sum, Exact::ONE))),
            None => all.push((stretch, piece)),
        }
    }
    all
}

/// The sums of one stretch.
fn all_halves(
    fixed: &ChannelCase,
    (low, high): &(Option<Exact>, Option<Exact>),
    stretch: Stretch,
) -> Vec<Half> {
    let Stretch { from, to, place, height, slope } = stretch;
    // endpoint(v) + a = slope·v + height - slope·place + a
    let rest = height - &slope * &place;
    let within = |edge: &Option<Exact>| edge.as_ref().map(|edge| edge - &rest);
    let (before, after) = (&*fixed.before, &*fixed.after);
    let mut all = halves(0, [(Exact::ONE, before), (Exact::ZERO, after)], from, to);
    all.extend(halves(2, [(slope, before), (Exact::ONE, after)], within(low), within(high)));
    all
}

impl Half {
    fn negated(&self) -> Self {
        let mut curves = vec![Curve::zero(); self.curves.len()];
        let minus = Exact::int(-1);
        for (mine, theirs) in curves.iter_mut().zip(&self.curves) {
            mine.add_scaled(&minus, theirs);
        }
        Self {
            sum: self.sum,
            curves,
            trims: self.trims.iter().map(|factor| -factor).collect(),
            least: -&self.least,
        }
    }
}

/// A weighted sum of terms that lies between two values, the first of the two sums with this number.
fn halves(first: usize, parts: [(Exact, &Terms); 2], low: Option<Exact>, high: Option<Exact>) -> Vec<Half> {
    let sum = |sign: i64, least: Exact| {
        let count = parts[0].1.curves.len();
        let number = first + usize::from(sign < 0);
        let mut half =
            Half { sum: number, curves: vec![Curve::zero(); count], trims: vec![Exact::ZERO; count], least };
        for (factor, terms) in &parts {
            if factor.is_zero() {
                continue;
            }
            let factor = factor * Exact::int(sign);
            for (mine, theirs) in half.curves.iter_mut().zip(&terms.curves) {
                mine.add_scaled(&factor, theirs);
            }
            for (mine, theirs) in half.trims.iter_mut().zip(&terms.trims) {
                if !theirs.is_zero() {
                    *mine += &factor * theirs;
                }
            }
        }
        half
    };
    let up = low.map(|low| sum(1, low));
    let down = high.map(|high| sum(-1, -high));
    up.into_iter().chain(down).collect()
}
