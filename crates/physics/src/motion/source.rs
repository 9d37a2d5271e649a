//! What empties a tank, when it is at it and how far open; what is let go; what gets in by a leak; the air of the hull.

use crate::domain::{DomainError, not_negative};
use crate::gas::restriction::Restriction;
use crate::gas::supply::Supply;
use crate::pressure::ATMOSPHERE;
use crate::pump::PumpCurve;
use crate::units::{
    CubicMetres, CubicMetresPerSecond, KgPerM3, Kilograms, Newtons, Pascals, Seconds, SquareMetres,
};

/// What empties a tank.
#[derive(Clone, Debug, PartialEq)]
pub enum Source {
    /// A pump or blower.
    Pump {
        /// What it moves against the water's pressure.
        curve: PumpCurve,
        /// By which factor its flow is off.
        flow_by: f64,
        /// By which factor the pressures of the curve are off.
        pressure_by: f64,
        /// It gets air at the surface only.
        through_snorkel: bool,
    },
    /// Gas.
    Gas {
        /// The bottle.
        supply: Supply,
        /// What stands in its way.
        valve: Restriction,
    },
}

impl Source {
    /// What share of a pump's pressure is left over against another; below nought: it moves nothing.
    pub(super) fn to_spare(&self, against: Pascals) -> Option<f64> {
        match self {
            Self::Pump { curve, pressure_by, .. } => {
                Some(1.0 - against.0 / (curve.shut_off().0 * pressure_by).max(f64::MIN_POSITIVE))
            }
            Self::Gas { .. } => None,
        }
    }
}

/// A stretch of time in which something is open, and which part of it at both ends; evenly between.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    /// From when.
    pub from: Seconds,
    /// Until when; infinite where it goes on for good.
    pub until: Seconds,
    /// Which part of the hole is open at the beginning and at the end.
    pub open: [f64; 2],
}

impl Stretch {
    /// Wholly open all the while.
    pub fn whole(from: Seconds, until: Seconds) -> Self {
        Self { from, until, open: [1.0, 1.0] }
    }

    /// What of it lies between two moments, as far open as it is there.
    pub fn within(&self, from: Seconds, until: Seconds) -> Option<Self> {
        let begins = if from > self.from { from } else { self.from };
        let ends = if until < self.until { until } else { self.until };
        let open = [self.open_at(begins.0), self.open_at(ends.0)];
        (begins < ends).then_some(Self { from: begins, until: ends, open })
    }

    /// The same so much later.
    pub fn later(self, by: Seconds) -> Self {
        Self { from: self.from + by, until: self.until + by, ..self }
    }

    /// Whether it holds a moment.
    pub(super) fn holds(&self, t: f64) -> bool {
        self.from.0 <= t && t < self.until.0
    }

    /// Which part is open at a moment within.
    pub(super) fn open_at(&self, t: f64) -> f64 {
        let [begins, ends] = self.open;
        let long = self.until.0 - self.from.0;
        if !long.is_finite() || long <= 0.0 {
            return begins;
        }
        begins + (ends - begins) * ((t - self.from.0) / long).clamp(0.0, 1.0)
    }
}

/// Something that empties the tank, and when it is at it.
#[derive(Clone, Debug, PartialEq)]
pub struct Emptier {
    /// What it is.
    pub source: Source,
    /// When and how far open, in order of time.
    pub on: Vec<Stretch>,
}

/// A weight that is let go, once and for good.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drop {
    /// When.
    pub at: Seconds,
    /// What it pulls on a balance while it hangs in water. Her mass falls by as much: by what the weight weighs, less
    /// the water that takes its place and is carried along.
    pub weighs: Kilograms,
}

/// The air in the hull, from which a pump takes what it puts into the tank.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HullAir {
    /// How much room it has.
    pub volume: CubicMetres,
    /// Its absolute pressure at the start.
    pub pressure: Pascals,
}

impl HullAir {
    /// Its pressure when as much air has been taken as fills `taken` at one atmosphere, and `leaked` of its
    /// room is full of water: Boyle's law, at the water's temperature.
    pub fn left(self, taken: CubicMetres, leaked: CubicMetres) -> Pascals {
        let room = (self.volume.0 - leaked.0).max(self.volume.0 * 1e-3);
        Pascals(((self.pressure.0 * self.volume.0 - ATMOSPHERE.0 * taken.0) / room).max(1.0))
    }
}

/// By how much less a blower moves that breathes thin air. Its curve was found with the atmosphere behind it:
/// what it takes in at a pressure difference keeps its volume, what comes out of it has the volume that the
/// ratio of the pressures leaves (Boyle; a blower that turns as fast draws as much; our own estimate).
pub(super) fn thinned(inside: Pascals, against: Pascals) -> f64 {
    let by = (1.0 + against.0 / ATMOSPHERE.0) / (1.0 + against.0 / inside.0);
    by.min(1.0)
}

/// How water gets into the hull.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Leak {
    /// As much at every depth.
    Rate(CubicMetresPerSecond),
    /// Through a hole, its area times a discharge coefficient: Torricelli's law.
    Hole(SquareMetres),
}

impl Leak {
    /// What comes in against a difference of pressures.
    pub(super) fn flow(self, difference: Pascals, water: KgPerM3) -> CubicMetresPerSecond {
        match self {
            Self::Rate(rate) => rate,
            Self::Hole(area) => CubicMetresPerSecond(area.0 * (2.0 * difference.0.max(0.0) / water.0).sqrt()),
        }
    }
}

/// A force downwards from planes and way, that fades with her way.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Driven {
    /// The force.
    pub force: Newtons,
    /// Until when it is whole.
    pub until: Seconds,
    /// From then on it goes with the square of a speed that drag alone takes away: U = U₀ / (1 + t/T), with
    /// this T = 2 m / (ρ C A U₀) (textbook integral); at nought it ends at once.
    pub fades: Seconds,
}

impl Driven {
    /// At a moment.
    pub(super) fn at(&self, t: f64) -> f64 {
        let past = t - self.until.0;
        if past <= 0.0 {
            return self.force.0;
        }
        if self.fades.0 <= 0.0 {
            return 0.0;
        }
        let by = 1.0 + past / self.fades.0;
        self.force.0 / (by * by)
    }

    /// What it must be to be followed.
    pub(super) fn checked(&self) -> Result<(), DomainError> {
        not_negative("force that drives her down", self.force.0, Newtons::SIGN)?;
        Ok(())
    }
}

/// What becomes of the air that a pump has put into the tank while the depth changes. A pump that moves the
/// water itself has a tank whose air does neither.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Spring {
    /// It is squeezed on the way down, and water comes back.
    pub shrinks: bool,
    /// It grows on the way up, and pushes more water out.
    pub grows: bool,
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn a_piece_that_is_cut_off_is_as_far_open_as_it_was_there() {
        let opens = Stretch { from: Seconds(1.0), until: Seconds(3.0), open: [0.0, 1.0] };
        let cut = opens.within(Seconds(1.5), Seconds(2.0)).unwrap();
        assert_eq!(cut, Stretch { from: Seconds(1.5), until: Seconds(2.0), open: [0.25, 0.5] });
        assert_eq!(opens.within(Seconds(0.0), Seconds(9.0)), Some(opens));
        assert_eq!(opens.within(Seconds(3.0), Seconds(9.0)), None);
        let held = Stretch::whole(Seconds(1.0), Seconds(f64::INFINITY));
        let late = held.within(Seconds(1.5), Seconds(f64::INFINITY)).unwrap();
        assert_eq!(late, Stretch::whole(Seconds(1.5), Seconds(f64::INFINITY)));
    }
}
