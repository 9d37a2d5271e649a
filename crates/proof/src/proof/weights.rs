//! Two outputs, each in its zone, kept apart by one weighted sum of both.
//!
//! Between two neighbouring bends of its endpoint stage an output is a sum with one curve for each control, and
//! to be in a zone means that such sums are at least so much. If some weighted sum of two of them is too little
//! wherever the controls are, the two cannot both be enough: and a weighted sum is again one curve for each
//! control, whose greatest value is exact. Halving a box that two curves pass diagonally would take thousands
//! of boxes to come to the same. Where no weight keeps them apart, the place at which the sum is greatest is
//! often one where both are in their zones.

use super::domain::Domain;
use super::lines::before_limits;
use super::reach::{Extreme, Fixed, Hand, curve_extreme};
use super::zone::Zone;
use crate::chain::Stretch;
use crate::chain::terms::{Curve, Terms};
use crate::setup::Exact;

/// Weights are so many parts: fine enough, since a box that is not decided is halved.
const PARTS: i64 = 64;

/// Whether a box was decided.
pub(super) enum Weighed {
    /// Perhaps both are in their zones here.
    Perhaps(Vec<Hand>),
    /// They never are.
    Nowhere,
}

/// A sum that has to be at least so much.
struct Half {
    curves: Vec<Curve>,
    trims: Vec<Exact>,
    least: Exact,
}

/// Weighs two outputs against each other over a box of positions and trims; both zones count with their ends.
pub(super) fn weigh(first: (&Fixed, &Zone), second: (&Fixed, &Zone), at: &Domain) -> Weighed {
    let mut hands = Vec::new();
    let others = pieces(second, at);
    let mut apart = true;
    for one in pieces(first, at) {
        for two in &others {
            apart &= are_apart(&one, two, at, &mut hands);
        }
    }
    if apart { Weighed::Nowhere } else { Weighed::Perhaps(hands) }
}

fn are_apart(one: &[Half], two: &[Half], at: &Domain, hands: &mut Vec<Hand>) -> bool {
    one.iter().any(|a| two.iter().any(|b| is_apart(a, b, at, hands)))
}

/// Whether some weights make the sum of two too little everywhere.
fn is_apart(a: &Half, b: &Half, at: &Domain, hands: &mut Vec<Hand>) -> bool {
    let (mut low, mut high) = (0, PARTS);
    while high - low > 1 {
        let parts = i64::midpoint(low, high);
        let (most, hand) = greatest(&[(a, Exact::int(parts)), (b, Exact::int(PARTS - parts))], at);
        if most.signum() < 0 {
            return true;
        }
        let (of_a, of_b) = (a.over(&hand), b.over(&hand));
        if of_a.signum() >= 0 && of_b.signum() >= 0 {
            hands.push(hand);
            return false;
        }
        // What is short here needs more weight.
        if of_a.signum() < 0 { low = parts } else { high = parts }
    }
    false
}

impl Half {
    /// How much more than needed it is at a place.
    fn over(&self, hand: &Hand) -> Exact {
        let curves = self.curves.iter().zip(&hand.positions).map(|(curve, p)| curve.at(p));
        let trims = self.trims.iter().zip(&hand.trims).map(|(factor, trim)| factor * trim);
        curves.chain(trims).sum::<Exact>() - &self.least
    }
}

/// A bound on how much more than needed a weighted sum is anywhere, and where it is about that.
fn greatest(weighed: &[(&Half, Exact)], at: &Domain) -> (Exact, Hand) {
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
/// its zone there. What is enough everywhere in the box is left out, and a stretch in which something never
/// is.
fn pieces((fixed, zone): (&Fixed, &Zone), at: &Domain) -> Vec<Vec<Half>> {
    let Some((low, high)) = before_limits(fixed, zone) else { return Vec::new() };
    let mut all = Vec::new();
    for Stretch { from, to, place, height, slope } in fixed.shape.stretches() {
        // endpoint(v) + a = slope·v + height - slope·place + a
        let rest = height - &slope * &place;
        let within = |edge: &Option<Exact>| edge.as_ref().map(|edge| edge - &rest);
        let stretch = halves([(Exact::ONE, &*fixed.before), (Exact::ZERO, &*fixed.after)], from, to);
        let inside =
            halves([(slope, &*fixed.before), (Exact::ONE, &*fixed.after)], within(&low), within(&high));
        let mut piece = Vec::new();
        let mut never = false;
        for half in stretch.into_iter().chain(inside) {
            never |= greatest(&[(&half, Exact::ONE)], at).0.signum() < 0;
            let shortest = half.negated();
            // The negative of a sum is at most nought where the sum is always enough.
            if greatest(&[(&shortest, Exact::ONE)], at).0.signum() > 0 {
                piece.push(half);
            }
        }
        if !never {
            all.push(piece);
        }
    }
    all
}

impl Half {
    fn negated(&self) -> Self {
        let mut curves = vec![Curve::zero(); self.curves.len()];
        let minus = Exact::int(-1);
        for (mine, theirs) in curves.iter_mut().zip(&self.curves) {
            mine.add_scaled(&minus, theirs);
        }
        Self { curves, trims: self.trims.iter().map(|factor| -factor).collect(), least: -&self.least }
    }
}

/// A weighted sum of terms that lies between two values.
fn halves(parts: [(Exact, &Terms); 2], low: Option<Exact>, high: Option<Exact>) -> Vec<Half> {
    let sum = |sign: i64, least: Exact| {
        let count = parts[0].1.curves.len();
        let mut half = Half { curves: vec![Curve::zero(); count], trims: vec![Exact::ZERO; count], least };
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
