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
}

impl Angle {
    /// So many degrees, off by no more than `off` either way.
    pub fn degrees(value: f64, off: f64) -> Self {
        Self(Interval::around(value, off))
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
