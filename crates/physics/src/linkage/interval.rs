//! Intervals of floating-point numbers, rounded outwards: whatever is inside the operands, the result
//! of the real operation is inside the result.
//!
//! IEEE 754 rounds `+ - * /` and the square root to the nearest number, so that one step to the next
//! number outwards is enough. The functions of angles do not rest on the platform's own, whose last
//! digits nobody promises: see [`super::trig`].

/// All numbers from `low` to `high`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    low: f64,
    high: f64,
}

fn down(x: f64) -> f64 {
    x.next_down()
}

fn up(x: f64) -> f64 {
    x.next_up()
}

impl Interval {
    /// A single number.
    pub const fn point(value: f64) -> Self {
        Self { low: value, high: value }
    }

    /// Between two numbers, in either order.
    pub fn between(a: f64, b: f64) -> Self {
        Self { low: a.min(b), high: a.max(b) }
    }

    /// A number and what it may be off to either side.
    pub fn around(value: f64, off: f64) -> Self {
        let off = off.abs();
        Self { low: down(value - off), high: up(value + off) }
    }

    /// Least.
    pub const fn low(self) -> f64 {
        self.low
    }

    /// Greatest.
    pub const fn high(self) -> f64 {
        self.high
    }

    /// A number near the middle.
    pub fn middle(self) -> f64 {
        self.low + (self.high - self.low) / 2.0
    }

    /// How far it reaches from end to end, rounded up.
    pub fn width(self) -> f64 {
        up(self.high - self.low)
    }

    /// Whether a number is in it.
    pub fn contains(self, value: f64) -> bool {
        self.low <= value && value <= self.high
    }

    /// Whether every number of it is above nought.
    pub fn is_positive(self) -> bool {
        self.low > 0.0
    }

    /// Whether every number of it is below nought.
    pub fn is_negative(self) -> bool {
        self.high < 0.0
    }

    /// The least interval with both in it.
    pub fn hull(self, other: Self) -> Self {
        Self { low: self.low.min(other.low), high: self.high.max(other.high) }
    }

    /// The lower and the upper half.
    pub fn halves(self) -> [Self; 2] {
        let middle = self.middle();
        [Self { low: self.low, high: middle }, Self { low: middle, high: self.high }]
    }

    /// The square.
    pub fn square(self) -> Self {
        let (low, high) = (self.low.abs().min(self.high.abs()), self.low.abs().max(self.high.abs()));
        let least = if self.contains(0.0) { 0.0 } else { down(low * low).max(0.0) };
        Self { low: least, high: up(high * high) }
    }

    /// The square root, or nothing if a number of it may be negative.
    pub fn root(self) -> Option<Self> {
        (self.low >= 0.0).then(|| Self { low: down(self.low.sqrt()).max(0.0), high: up(self.high.sqrt()) })
    }

    /// The quotient, or nothing if the divisor may be nought.
    pub fn over(self, divisor: Self) -> Option<Self> {
        if divisor.contains(0.0) {
            return None;
        }
        let inverse = Self { low: down(1.0 / divisor.high), high: up(1.0 / divisor.low) };
        Some(self * inverse)
    }

    /// The part of this many equal ones. One whole for nought.
    pub fn over_whole(self, parts: u32) -> Self {
        let parts = f64::from(parts.max(1));
        Self { low: down(self.low / parts), high: up(self.high / parts) }
    }

    /// The part that both have. For two intervals that hold the same number there always is one.
    pub(super) fn meet(self, other: Self) -> Self {
        let (low, high) = (self.low.max(other.low), self.high.min(other.high));
        if low <= high { Self { low, high } } else { self }
    }
}

impl std::ops::Add for Interval {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self { low: down(self.low + other.low), high: up(self.high + other.high) }
    }
}

impl std::ops::Neg for Interval {
    type Output = Self;
    fn neg(self) -> Self {
        Self { low: -self.high, high: -self.low }
    }
}

impl std::ops::Sub for Interval {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self + -other
    }
}

impl std::ops::Mul for Interval {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        let products =
            [self.low * other.low, self.low * other.high, self.high * other.low, self.high * other.high];
        let low = products.into_iter().fold(f64::INFINITY, f64::min);
        let high = products.into_iter().fold(f64::NEG_INFINITY, f64::max);
        Self { low: down(low), high: up(high) }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::Interval;

    fn i(low: f64, high: f64) -> Interval {
        Interval::between(low, high)
    }

    fn tight(found: Interval, low: f64, high: f64) {
        assert!(found.low() <= low && high <= found.high(), "{found:?} does not hold {low} to {high}");
        assert!(
            (low - found.low()).max(found.high() - high) <= 1e-13 * high.abs().max(low.abs()),
            "{found:?} is wide"
        );
    }

    /// Vectors of IEEE 1788-2015 as published in ITF1788, itl/libieeep1788/elem.itl (Apache-2.0).
    #[test]
    fn the_published_ieee_1788_vectors_hold() {
        tight(i(1.0, 2.0) + i(3.0, 4.0), 4.0, 6.0);
        tight(i(1.0, 2.0) - i(3.0, 4.0), -3.0, -1.0);
        tight(i(-1.0, 5.0) * i(-5.0, 3.0), -25.0, 15.0);
        tight(i(-10.0, 2.0) * i(-5.0, 3.0), -30.0, 50.0);
        tight(i(-30.0, -15.0).over(i(-5.0, -3.0)).unwrap(), 3.0, 10.0);
        tight(i(-5.0, 3.0).square(), 0.0, 25.0);
        tight(i(5.0, 25.0).root().unwrap(), 5f64.sqrt(), 5.0);
    }

    #[test]
    fn a_divisor_of_nought_and_a_root_of_less_are_refused() {
        assert_eq!(i(1.0, 2.0).over(i(-1.0, 1.0)), None);
        assert_eq!(i(-1e-9, 2.0).root(), None);
    }

    #[test]
    fn a_tenth_that_no_binary_number_is_stays_inside() {
        let tenth = Interval::around(0.1, 0.0);
        let sum = (0..10).fold(Interval::point(0.0), |sum, _| sum + tenth);
        assert!(sum.low() < 1.0 && 1.0 < sum.high() && sum.width() < 1e-14);
    }
}
