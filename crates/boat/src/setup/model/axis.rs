//! The lines between percent and microseconds.

use super::Path;
use crate::setup::exact::Exact;
use crate::setup::quantity::Micros;

/// Where -100 %, 0 % and +100 % lie in microseconds: straight lines between these three, and beyond.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Axis {
    /// At rest, 0 %.
    pub rest: Micros,
    /// The shorter full pulse, -100 %.
    pub shorter: Micros,
    /// The longer full pulse, +100 %.
    pub longer: Micros,
}

/// What a file says of the axis.
#[derive(Clone, Debug, Default)]
pub struct OnAxis {
    /// Whether it says which axis that is; else it is the set's own.
    pub said: bool,
    /// The first figure of a device, a preset or the unit that hangs on it; `None` where all are microseconds.
    pub first: Option<Path>,
}

impl Axis {
    /// Microseconds per 100 % on the side of `sign` (rest counts as longer).
    pub fn span(&self, sign: i32) -> Exact {
        if sign < 0 { &self.rest.0 - &self.shorter.0 } else { &self.longer.0 - &self.rest.0 }
    }

    /// The pulse at a position.
    pub fn pulse_at(&self, position: &Exact) -> Micros {
        Micros(&self.rest.0 + position * self.span(position.signum()))
    }

    /// The position of a pulse: the inverse of [`Axis::pulse_at`].
    pub fn position_of(&self, pulse: &Micros) -> Exact {
        let away = &pulse.0 - &self.rest.0;
        let span = self.span(away.signum());
        away / span
    }

    /// Where the pulse of a position on another axis lies on this one. It never falls where that rises.
    pub fn position_from(&self, other: &Axis, position: &Exact) -> Exact {
        self.position_of(&other.pulse_at(position))
    }

    /// A share of the travel of another axis on the side of `sign`, as one of this axis.
    pub fn share_from(&self, other: &Axis, share: &Exact, sign: i32) -> Exact {
        share * other.span(sign) / self.span(sign)
    }

    /// A bound on how much [`Axis::position_from`] moves where the other position moves by 1.
    pub fn steepest_from(&self, other: &Axis) -> Exact {
        if self == other {
            return Exact::ONE;
        }
        let [mine, theirs] = [self, other].map(|axis| [axis.span(-1), axis.span(1)]);
        let ([a, b], [c, d]) = (mine, theirs);
        c.max(d) / a.min(b)
    }

    /// A tolerance in microseconds as a fraction of the axis on the side of `sign`.
    pub fn width(&self, micros: &Micros, sign: i32) -> Exact {
        &micros.0 / self.span(sign)
    }

    /// The same for a tolerance that is on neither side: the larger of the two fractions.
    pub fn width_either(&self, micros: &Micros) -> Exact {
        self.width(micros, -1).max(self.width(micros, 1))
    }

    /// The side on which a percent is the fewest microseconds.
    pub fn narrower_side(&self) -> i32 {
        if self.span(-1) < self.span(1) { -1 } else { 1 }
    }
}

#[cfg(test)]
mod tests {
    use super::{Axis, Exact, Micros};

    fn axis(shorter: i64, rest: i64, longer: i64) -> Axis {
        let [shorter, rest, longer] = [shorter, rest, longer].map(|us| Micros(Exact::int(us)));
        Axis { rest, shorter, longer }
    }

    /// Read on 1520 us with 300 us to the shorter and 500 us to the longer side, sent by a set with 1500 us and
    /// 400 us: -30 % of the one is 1520 - 90 = 1430 us, -70 / 400 = -17.5 % of the other; +2 % is 1530 us and
    /// +7.5 %; -5 % is 1505 us, a shorter pulse here and a longer one there, +1.25 %.
    #[test]
    fn a_position_keeps_its_microseconds_on_another_axis() {
        let (read, set) = (axis(1220, 1520, 2020), axis(1100, 1500, 1900));
        let all = [(-300, -1750), (20, 750), (-50, 125), (0, 500), (1000, 13000)];
        for (there, here) in all.map(|(a, b)| (Exact::ratio(a, 1000), Exact::ratio(b, 10_000))) {
            assert_eq!(set.position_from(&read, &there), here);
            assert_eq!(read.position_from(&set, &here), there);
            assert_eq!(set.pulse_at(&here), read.pulse_at(&there));
        }
    }
}
