//! From positions on the output axis to places across the page.

use crate::setup::Exact;

/// Clear left of the scale for the names of the lanes, in millimetres.
pub(super) const GUTTER: f64 = 31.0;
/// Clear on either side for figures that stand outside the scale.
const OUTSIDE: f64 = 12.0;

/// Millimetres against percent.
pub(super) struct Scale {
    pub(super) half: Exact,
    pub(super) left: f64,
    pub(super) right: f64,
    pub(super) width: f64,
}

impl Scale {
    /// A scale from minus to plus `half` on a page of a width.
    pub(super) fn new(half: Exact, width: f64) -> Self {
        Self { half, left: GUTTER + OUTSIDE, right: width - OUTSIDE, width }
    }

    /// Where a position lies; what is beyond the scale lies at its end.
    pub(super) fn x(&self, at: &Exact) -> f64 {
        let part = (at / &self.half).to_f64().clamp(-1.0, 1.0);
        f64::midpoint(self.left, self.right) + part * (self.right - self.left) / 2.0
    }

    /// The end of the scale on the side of a sign.
    pub(super) fn end(&self, sign: i32) -> f64 {
        if sign < 0 { self.left } else { self.right }
    }

    pub(super) fn rest(&self) -> f64 {
        f64::midpoint(self.left, self.right)
    }
}
