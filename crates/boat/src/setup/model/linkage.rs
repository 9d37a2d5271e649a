//! From the output axis to the move of what a servo drives by its rod.

use crate::physics::linkage::{Angle, DeadCentre, FourBar, HornDirection, Interval, Refusal, SliderCrank};
use crate::setup::exact::Exact;
use crate::setup::quantity::Millimetres;

/// What the rod drives, with its lengths as bounds rounded outwards.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Driven {
    /// A lever that turns.
    Lever(FourBar),
    /// Something that slides.
    Slide(SliderCrank),
}

/// A measure of a linkage.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Measure {
    /// The horn's length.
    Horn,
    /// The rod's.
    Rod,
    /// The lever's.
    Lever,
    /// From shaft to pivot.
    Pivots,
    /// From the shaft to the way of a slide.
    Way,
    /// How the horn leans at rest.
    Rests,
}

impl Measure {
    /// The key of the file.
    pub fn key(self) -> &'static str {
        match self {
            Self::Horn => "horn",
            Self::Rod => "rod",
            Self::Lever => "lever",
            Self::Pivots => "pivots",
            Self::Way => "way",
            Self::Rests => "rests",
        }
    }
}

/// Horn, rod and what the rod drives.
#[derive(Clone, Debug, PartialEq)]
pub struct Linkage {
    /// Degrees that the horn turns from rest at 100 %.
    pub turn: Exact,
    /// Where the horn turns when the pulse gets longer.
    pub longer: HornDirection,
    /// What the rod drives.
    pub driven: Driven,
    /// A measure is as far off as it may be where nobody says.
    taken_wide: bool,
    /// Worked out once: on the shorter and on the longer side.
    free: [Result<Option<FreeTravel>, Refusal>; 2],
}

/// How far the driven part has moved from rest, in [`Linkage::unit`]; only its size, not which way.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Moved {
    /// It surely moves so far.
    pub least: Exact,
    /// It never moves farther.
    pub most: Exact,
}

/// How far along the output axis a linkage goes before a dead centre, on one side of rest.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FreeTravel {
    /// Short of this distance from rest there is none, whatever the parts are within their tolerances.
    pub surely_free: Exact,
    /// At this distance or nearer some parts within the tolerances have one, if that is known.
    pub met_by: Option<Exact>,
    /// What comes into line there.
    pub what: DeadCentre,
}

/// Positions are rounded outwards to this.
fn grid() -> Exact {
    Exact::ratio(1, 1_000_000)
}

/// Bounds of an exact number in floating point.
fn around(value: &Exact) -> Interval {
    let near = value.to_f64();
    Interval::between(near.next_down(), near.next_up())
}

impl Linkage {
    /// From how far the horn turns at 100 % in degrees, where it turns when the pulse gets longer, and what it
    /// drives.
    pub fn new(turn: Exact, longer: HornDirection, driven: Driven) -> Self {
        let mut linkage = Self { turn, longer, driven, taken_wide: false, free: [Ok(None), Ok(None)] };
        linkage.free = [-1, 1].map(|sign| linkage.worked_out(sign));
        linkage
    }

    /// The same with one measure off by so much more either way, in millimetres or degrees.
    #[must_use]
    pub fn with_off(&self, measure: Measure, by: &Exact) -> Self {
        let (by, mut driven) = (by.to_f64(), self.driven);
        let (horn, rod, at_rest) = match &mut driven {
            Driven::Lever(parts) => (&mut parts.horn, &mut parts.rod, &mut parts.at_rest),
            Driven::Slide(parts) => (&mut parts.horn, &mut parts.rod, &mut parts.at_rest),
        };
        match measure {
            Measure::Horn => *horn = horn.widened(by),
            Measure::Rod => *rod = rod.widened(by),
            Measure::Rests => *at_rest = at_rest.widened(by),
            Measure::Lever | Measure::Pivots | Measure::Way => match &mut driven {
                Driven::Lever(parts) if measure == Measure::Lever => parts.arm = parts.arm.widened(by),
                Driven::Lever(parts) => parts.pivots = parts.pivots.widened(by),
                Driven::Slide(parts) => parts.height = parts.height.widened(by),
            },
        }
        Self { taken_wide: true, ..Self::new(self.turn.clone(), self.longer, driven) }
    }

    /// The sign of what is told in [`Moved`]: `deg` or `mm`.
    pub fn unit(&self) -> &'static str {
        match self.driven {
            Driven::Lever(_) => "deg",
            Driven::Slide(_) => Millimetres::SIGN,
        }
    }

    /// What the rod drives, as the boat file calls it.
    pub fn driven_name(&self) -> &'static str {
        match self.driven {
            Driven::Lever(_) => "lever",
            Driven::Slide(_) => "slide",
        }
    }

    /// Whether a side of the axis turns the horn towards the driven part.
    fn sense(&self, sign: i32) -> HornDirection {
        if (sign < 0) == (self.longer == HornDirection::Away) {
            HornDirection::Towards
        } else {
            HornDirection::Away
        }
    }

    /// How far the driven part moves from rest, somewhere on a stretch of the output axis.
    ///
    /// # Errors
    /// If the rod may not join the parts, or may meet a dead centre on the way.
    pub fn moved(&self, low: &Exact, high: &Exact) -> Result<Moved, Refusal> {
        let sign = if self.longer == HornDirection::Away { -Exact::ONE } else { Exact::ONE };
        let [a, b] = [low, high].map(|at| around(&(at * &self.turn * &sign)));
        let turn = a.hull(b);
        let turn = Angle::from_to(turn.low(), turn.high());
        let moved = match &self.driven {
            Driven::Lever(parts) => parts.move_at(turn)?.bounds(),
            Driven::Slide(parts) => parts.move_at(turn)?.bounds(),
        };
        let exact = |x: f64| Exact::from_f64(x).unwrap_or(Exact::ZERO);
        let (low, high) = (exact(moved.low()), exact(moved.high()));
        let least = if moved.contains(0.0) { Exact::ZERO } else { low.abs().min(high.abs()) };
        Ok(Moved { least, most: low.abs().max(high.abs()) })
    }

    /// How far it surely goes on the side of `sign` before a dead centre; nothing if there is none, or if the parts do
    /// not even fit at rest. Where that is so only because of what nobody has measured, it goes nowhere surely.
    pub fn before_dead_centre(&self, sign: i32) -> Option<FreeTravel> {
        match self.free_travel(sign) {
            Ok(free) => free.cloned(),
            Err(_) if self.taken_wide => {
                Some(FreeTravel { surely_free: Exact::ZERO, met_by: None, what: DeadCentre::Locks })
            }
            Err(_) => None,
        }
    }

    /// How far it goes on the side of `sign` before a dead centre; nothing if there is none.
    ///
    /// # Errors
    /// If, within the tolerances, the rod may not join the parts at rest, or may be at a dead centre.
    pub fn free_travel(&self, sign: i32) -> Result<Option<&FreeTravel>, Refusal> {
        self.free[usize::from(sign > 0)].as_ref().map(Option::as_ref).map_err(|refusal| *refusal)
    }

    fn worked_out(&self, sign: i32) -> Result<Option<FreeTravel>, Refusal> {
        let sense = self.sense(sign);
        let end = match &self.driven {
            Driven::Lever(parts) => parts.free_turn(sense)?,
            Driven::Slide(parts) => parts.free_turn(sense)?,
        };
        let position = |degrees: f64| Exact::from_f64(degrees).map(|d| (d / &self.turn).round_to(&grid()));
        Ok(end.map(|end| FreeTravel {
            surely_free: (position(end.surely_free).unwrap_or(Exact::ZERO) - grid()).max(Exact::ZERO),
            met_by: position(end.met_by).map(|at| at + grid()),
            what: end.what,
        }))
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::physics::linkage::{Branch, Length};

    /// Horn 12, lever 15, pivots 60, both upright: by Brent's root finder apart from this program the lever
    /// stands at -34.675220 and +34.204317 degrees where the horn stands at -45 and +45.
    fn rudder(longer: HornDirection) -> Linkage {
        let mm = |value: f64| Length::millimetres(value, 0.0);
        let parts = FourBar {
            horn: mm(12.0),
            rod: mm(3609f64.sqrt()),
            arm: mm(15.0),
            pivots: mm(60.0),
            at_rest: Angle::degrees(0.0, 0.0),
            branch: Branch::Open,
        };
        Linkage::new(Exact::int(60), longer, Driven::Lever(parts))
    }

    fn at(linkage: &Linkage, percent: i64) -> f64 {
        let at = Exact::percent(percent);
        let Moved { least, most } = linkage.moved(&at, &at).unwrap();
        assert!((&most - &least).to_f64() < 1e-9);
        most.to_f64()
    }

    #[test]
    fn three_quarters_of_sixty_degrees_turn_the_lever_as_a_root_finder_says() {
        for (longer, [shorter, beyond]) in [
            (HornDirection::Towards, [34.675_220, 34.204_317]),
            (HornDirection::Away, [34.204_317, 34.675_220]),
        ] {
            let linkage = rudder(longer);
            assert!((at(&linkage, -75) - shorter).abs() < 1e-6);
            assert!((at(&linkage, 75) - beyond).abs() < 1e-6);
        }
    }

    #[test]
    fn a_stretch_across_rest_may_move_nothing() {
        let moved = rudder(HornDirection::Towards).moved(&Exact::percent(-10), &Exact::percent(75)).unwrap();
        assert_eq!(moved.least, Exact::ZERO);
        assert!((moved.most.to_f64() - 34.204_317).abs() < 1e-6);
    }

    /// Horn and rod come into line at 82.240 degrees towards the lever (see the linkage's own tests).
    #[test]
    fn the_dead_centre_lies_on_the_side_on_which_the_horn_turns_towards_the_lever() {
        for (longer, sign) in [(HornDirection::Towards, 1), (HornDirection::Away, -1)] {
            let rudder = rudder(longer);
            let found = rudder.free_travel(sign).unwrap().unwrap();
            assert_eq!(found.what, DeadCentre::Reverses);
            let met_by = found.met_by.clone().unwrap();
            assert!(found.surely_free < met_by && &met_by - &found.surely_free < Exact::ratio(1, 100_000));
            assert!((met_by.to_f64() * 60.0 - 82.240).abs() < 1e-2, "{met_by:?}");
        }
    }
}
