//! Lengths and angles with what they may be off.

use super::interval::Interval;

/// A length in millimetres, known to within bounds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Length(pub(super) Interval);

/// An angle in degrees, known to within bounds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Angle(pub(super) Interval);

impl Length {
    /// So many millimetres, off by no more than `off` either way.
    pub fn millimetres(value: f64, off: f64) -> Self {
        Self(Interval::around(value, off))
    }

    /// The bounds in millimetres.
    pub fn bounds(self) -> Interval {
        self.0
    }

    /// The same, off by so many millimetres more either way; it stays above nought.
    #[must_use]
    pub fn widened(self, by: f64) -> Self {
        let low = (self.0.low() - by).next_down().max(LEAST);
        Self(Interval::between(low, (self.0.high() + by).next_up()))
    }
}

/// No part is shorter, in millimetres.
const LEAST: f64 = 1e-6;

impl Angle {
    /// So many degrees, off by no more than `off` either way.
    pub fn degrees(value: f64, off: f64) -> Self {
        Self(Interval::around(value, off))
    }

    /// The same, off by so many degrees more either way.
    #[must_use]
    pub fn widened(self, by: f64) -> Self {
        Self::from_to(self.0.low() - by, self.0.high() + by)
    }

    /// Everything between two angles in degrees.
    pub fn from_to(a: f64, b: f64) -> Self {
        Self(Interval::between(a.min(b).next_down(), a.max(b).next_up()))
    }

    /// The bounds in degrees.
    pub fn bounds(self) -> Interval {
        self.0
    }
}
