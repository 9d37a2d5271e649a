//! A position on the output axis with its tolerance.

use crate::setup::exact::Exact;

/// A position with the most it can be off, either side.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Toleranced {
    /// The value.
    pub value: Exact,
    /// The most it can be off, >= 0.
    pub off: Exact,
}

impl Toleranced {
    /// The end of the tolerance nearer to rest, seen from the side of `sign`.
    pub fn nearest(&self, sign: i32) -> Exact {
        if sign < 0 { &self.value + &self.off } else { &self.value - &self.off }
    }

    /// The end of the tolerance farther from rest, seen from the side of `sign`.
    pub fn farthest(&self, sign: i32) -> Exact {
        if sign < 0 { &self.value - &self.off } else { &self.value + &self.off }
    }
}
