//! Intervals with exact ends, for the few points inside an expo curve that are irrational.

use crate::chain::EndStages;
use crate::chain::terms::Curve;
use crate::setup::{Exact, Side};

/// All numbers from `low` to `high`; a single number where they are equal.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Interval {
    /// Least.
    pub low: Exact,
    /// Greatest.
    pub high: Exact,
}

impl Interval {
    /// A single number.
    pub fn point(value: Exact) -> Self {
        Self { low: value.clone(), high: value }
    }

    /// Between two numbers, in either order.
    pub fn between(a: Exact, b: Exact) -> Self {
        if a <= b { Self { low: a, high: b } } else { Self { low: b, high: a } }
    }

    /// Whether it is all places where a control can be.
    pub(super) fn is_whole(&self) -> bool {
        self.high == Exact::ONE && self.low == Exact::int(-1)
    }

    /// Whether it is a single number.
    pub fn is_point(&self) -> bool {
        self.low == self.high
    }

    /// The sum.
    pub fn plus(&self, other: &Self) -> Self {
        Self { low: &self.low + &other.low, high: &self.high + &other.high }
    }

    /// The multiple by a number.
    pub fn times(&self, factor: &Exact) -> Self {
        Self::between(&self.low * factor, &self.high * factor)
    }

    /// The product.
    pub fn product(&self, other: &Self) -> Self {
        let products = [
            &self.low * &other.low,
            &self.low * &other.high,
            &self.high * &other.low,
            &self.high * &other.high,
        ];
        let [first, rest @ ..] = products;
        rest.into_iter()
            .fold(Self::point(first), |i, v| Self { low: i.low.min(v.clone()), high: i.high.max(v) })
    }

    /// A curve over it. The interval must lie on one side of rest.
    pub fn through(&self, curve: &Curve) -> Self {
        if self.is_point() {
            return Self::point(curve.at(&self.low));
        }
        let side = if self.high.signum() <= 0 { Side::Low } else { Side::High };
        let [linear, cubic] = &curve.sides[side.index()];
        let square = self.product(self);
        let inner = square.times(cubic).plus(&Self::point(linear.clone()));
        self.product(&inner)
    }

    /// The endpoint stage over it, which never falls.
    pub fn through_endpoint(&self, shape: &EndStages) -> Self {
        if self.is_point() {
            return Self::point(shape.endpoint(&self.low));
        }
        Self { low: shape.endpoint(&self.low), high: shape.endpoint(&self.high) }
    }
}

#[cfg(test)]
mod tests {
    use super::{Exact, Interval};

    fn i(low: i64, high: i64) -> Interval {
        Interval { low: Exact::int(low), high: Exact::int(high) }
    }

    /// Vectors of IEEE 1788-2015 as published in ITF1788, itl/libieeep1788/elem.itl (Apache-2.0).
    #[test]
    fn the_published_ieee_1788_vectors_hold() {
        assert_eq!(i(1, 2).plus(&i(3, 4)), i(4, 6));
        assert_eq!(i(1, 2).plus(&i(3, 4).times(&Exact::int(-1))), i(-3, -1));
        assert_eq!(i(-1, 5).product(&i(-5, 3)), i(-25, 15));
        assert_eq!(i(-10, 2).product(&i(-5, 3)), i(-30, 50));
        assert_eq!(i(-2, 2).product(&i(-5, 3)), i(-10, 10));
        assert_eq!(i(0, 2).times(&Exact::int(-1)), i(-2, 0));
    }
}
