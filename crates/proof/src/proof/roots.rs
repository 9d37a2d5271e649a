//! Where a cubic takes a value, and where it is flat: exactly where rational, else enclosed.

use super::interval::Interval;
use crate::chain::terms::Curve;
use crate::setup::{Exact, Side};
use std::cmp::Ordering;

/// Enclosures are narrowed to 2^-26 of the travel, some millionths of a percent: far inside the
/// 0.01 % in which a verdict may be open, and coarse enough that a cube of such a number still fits
/// into machine words.
const HALVINGS: u32 = 26;

/// Positions in `range` at which `curve` is flat inside one side of rest, enclosed.
pub fn flat_points(curve: &Curve, range: &Interval) -> Vec<Interval> {
    let mut points = Vec::new();
    for side in Side::BOTH {
        let [linear, cubic] = &curve.sides[side.index()];
        if cubic.is_zero() || linear.is_zero() {
            continue;
        }
        // linear + 3·cubic·p² = 0
        let square = -(linear / &(Exact::int(3) * cubic));
        if square.signum() <= 0 || square >= Exact::ONE {
            continue;
        }
        let root = square_root(&square);
        let root = if side == Side::Low { root.times(&Exact::int(-1)) } else { root };
        if root.high >= range.low && root.low <= range.high {
            points.push(clip(root, range));
        }
    }
    points
}

/// Positions in `range` at which `curve` takes `value`, enclosed.
pub fn crossings(curve: &Curve, value: &Exact, range: &Interval) -> Vec<Interval> {
    let mut cuts = vec![range.low.clone(), range.high.clone()];
    if range.low.signum() < 0 && range.high.signum() > 0 {
        cuts.push(Exact::ZERO);
    }
    let flats = flat_points(curve, range);
    for flat in &flats {
        cuts.extend([flat.low.clone(), flat.high.clone()]);
    }
    cuts.sort();
    cuts.dedup();
    let mut found = Vec::new();
    for pair in cuts.windows(2) {
        let (low, high) = (&pair[0], &pair[1]);
        if flats.iter().any(|f| f.low == *low && f.high == *high) {
            // Inside the enclosure of a flat point, where two crossings may lie close together.
            let span = Interval::between(low.clone(), high.clone()).through(curve);
            if span.low <= *value && *value <= span.high {
                found.push(Interval::between(low.clone(), high.clone()));
            }
            continue;
        }
        if let Some(root) = crossing_between(curve, value, low, high) {
            found.push(root);
        }
    }
    if cuts.len() == 1 && curve.at(&cuts[0]) == *value {
        found.push(Interval::point(cuts[0].clone()));
    }
    found
}

/// The crossing between two positions with no flat point between them.
fn crossing_between(curve: &Curve, value: &Exact, low: &Exact, high: &Exact) -> Option<Interval> {
    let at = |p: &Exact| curve.at(p).cmp(value);
    let (first, last) = (at(low), at(high));
    if first == Ordering::Equal {
        return Some(Interval::point(low.clone()));
    }
    if last == Ordering::Equal {
        return Some(Interval::point(high.clone()));
    }
    if first == last {
        return None;
    }
    let side = if high.signum() <= 0 { Side::Low } else { Side::High };
    let [linear, cubic] = &curve.sides[side.index()];
    if cubic.is_zero() {
        return Some(Interval::point(value / linear));
    }
    let (mut low, mut high) = (low.clone(), high.clone());
    for _ in 0..HALVINGS {
        let middle = (&low + &high) * Exact::ratio(1, 2);
        match at(&middle) {
            Ordering::Equal => return Some(Interval::point(middle)),
            order if order == first => low = middle,
            _ => high = middle,
        }
    }
    Some(Interval { low, high })
}

/// The root of a number in (0, 1), exactly when it is a multiple of 2^-26, else enclosed.
fn square_root(square: &Exact) -> Interval {
    let grid = Exact::ratio(1, 1 << HALVINGS);
    // Floating point only guesses the place on the grid; the squares decide.
    let guess = (square.to_f64().sqrt() * (1u64 << HALVINGS) as f64) as i64;
    for units in [guess, guess - 1, guess + 1] {
        let (low, high) = (Exact::int(units) * &grid, Exact::int(units + 1) * &grid);
        if units < 0 || &low * &low > *square || &high * &high <= *square {
            continue;
        }
        let is_exact = &low * &low == *square;
        return if is_exact { Interval::point(low) } else { Interval { low, high } };
    }
    let (mut low, mut high) = (Exact::ZERO, Exact::ONE);
    for _ in 0..HALVINGS {
        let middle = (&low + &high) * Exact::ratio(1, 2);
        match (&middle * &middle).cmp(square) {
            Ordering::Equal => return Interval::point(middle),
            Ordering::Less => low = middle,
            Ordering::Greater => high = middle,
        }
    }
    Interval { low, high }
}

fn clip(inner: Interval, range: &Interval) -> Interval {
    Interval {
        low: inner.low.max(range.low.clone()).min(range.high.clone()),
        high: inner.high.min(range.high.clone()).max(range.low.clone()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn both(linear: Exact, cubic: Exact) -> Curve {
        Curve { sides: [[linear.clone(), cubic.clone()], [linear, cubic]] }
    }

    #[test]
    fn a_straight_line_is_crossed_at_one_exact_place() {
        let line = both(Exact::percent(150), Exact::ZERO);
        let whole = Interval::between(Exact::int(-1), Exact::ONE);
        assert_eq!(crossings(&line, &Exact::ONE, &whole), vec![Interval::point(Exact::ratio(2, 3))]);
        assert!(flat_points(&line, &whole).is_empty());
    }

    #[test]
    fn a_bent_curve_is_crossed_and_flat_where_calculus_says() {
        // p - p³: flat at ±1/sqrt(3), nought at -1, 0, 1.
        let bent = both(Exact::ONE, Exact::int(-1));
        let whole = Interval::between(Exact::int(-1), Exact::ONE);
        let flats = flat_points(&bent, &whole);
        assert_eq!(flats.len(), 2);
        assert!((flats[1].low.to_f64() - 1.0 / 3f64.sqrt()).abs() < 1e-7);
        let noughts = crossings(&bent, &Exact::ZERO, &whole);
        for place in [-1, 0, 1] {
            assert!(noughts.contains(&Interval::point(Exact::int(place))), "{place}");
        }
    }
}
