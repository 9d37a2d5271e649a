//! From the turn of a servo to the move of what it works: horn and rod with an arm (a four-bar
//! linkage) or with something that slides (a slider-crank), and the way back.
//!
//! Assumed: all in one plane, stiff parts, no play in the holes; play belongs into the tolerance of
//! the rod. A rod that leaves the plane by an angle `g` counts with `cos g` of its length. Angles are
//! taken from the perpendicular to the base line, which runs from the servo's shaft to the far pivot or
//! along the slider's way, positive towards the far end.
//!
//! Range: every position between the dead centres next to rest, an arm within half a circle. Beyond, or
//! where a tolerance may take the linkage there, the answer is refused, never guessed.
//!
//! Uncertainty: none but what is put in. The bounds hold every position that the tolerances allow: exact
//! but for rounding where each measure only ever raises or only lowers the answer. Where none does they are
//! a little too wide, never too narrow: for ordinary parts by less than a fiftieth, and within 20 degrees of
//! rest, where errors at both ends nearly cancel, by up to about a tenth. Moves count from rest with the
//! *same* parts at both ends, so that an error which shifts both does not count.

mod bound;
mod dead_centre;
mod interval;
mod measure;
mod pose;
mod travel;
mod trig;

pub use dead_centre::{DeadCentre, End, HornDirection};
pub use interval::Interval;
pub use measure::{Angle, Length};
pub use pose::Branch;
pub use travel::Refusal;

use pose::{Driven, Parts, Shape};

/// Horn, rod and arm, turning about two pivots.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FourBar {
    /// From the servo's shaft to the rod's hole in the horn.
    pub horn: Length,
    /// Between the ends of the rod.
    pub rod: Length,
    /// From the arm's pivot to the rod's hole in the arm.
    pub arm: Length,
    /// From the servo's shaft to the arm's pivot.
    pub pivots: Length,
    /// The horn at rest, from the perpendicular to the line of the pivots, towards the arm positive.
    pub at_rest: Angle,
    /// Which way it is put together.
    pub branch: Branch,
}

/// Horn, rod and something that slides along a straight way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SliderCrank {
    /// From the servo's shaft to the rod's hole in the horn.
    pub horn: Length,
    /// Between the ends of the rod.
    pub rod: Length,
    /// How far the line on which the rod's far end slides passes from the shaft, on the horn's side
    /// positive.
    pub height: Length,
    /// The horn at rest, from the perpendicular to the way, towards the slider positive.
    pub at_rest: Angle,
    /// Which way it is put together.
    pub branch: Branch,
}

impl FourBar {
    fn shape(&self) -> Shape {
        Shape { driven: Driven::Arm, branch: self.branch }
    }

    fn parts(&self) -> Parts {
        [self.horn.0, self.rod.0, self.arm.0, self.pivots.0]
    }

    /// Between which lengths, in millimetres, a rod joins horn and arm at rest; for the other measures as
    /// they are, tolerances left aside.
    pub fn rods_that_join(&self) -> (f64, Option<f64>) {
        let [a, _, c, d] = self.parts().map(Interval::middle);
        let sine = libm::sin(self.at_rest.0.middle().to_radians());
        // The law of cosines between horn and base line.
        let reach = (a * a + d * d - 2.0 * a * d * sine).max(0.0).sqrt();
        ((reach - c).abs(), Some(reach + c))
    }

    /// The arm's turn from rest at a turn of the servo from rest; for a range of turns, the range.
    ///
    /// # Errors
    /// If, within the tolerances, the parts may not join or may pass a dead centre on the way.
    pub fn move_at(&self, turn: Angle) -> Result<Angle, Refusal> {
        let rest = trig::radians(self.at_rest.0);
        let moved = travel::move_at(self.shape(), &self.parts(), rest, trig::radians(turn.0))?;
        Ok(Angle(trig::degrees(moved)))
    }

    /// The servo's turn from rest that turns the arm so far from rest.
    ///
    /// # Errors
    /// As for [`Self::move_at`], or if no turn does it.
    pub fn turn_for(&self, by: Angle) -> Result<Angle, Refusal> {
        let rest = trig::radians(self.at_rest.0);
        let turn = travel::turn_for(self.shape(), &self.parts(), rest, trig::radians(by.0))?;
        Ok(Angle(trig::degrees(turn)))
    }

    /// How far the servo may turn from rest before it meets a dead centre; nothing if there is none.
    ///
    /// # Errors
    /// If, within the tolerances, the rod may not join horn and arm at rest, or may be at a dead centre.
    pub fn free_turn(&self, sense: HornDirection) -> Result<Option<End>, Refusal> {
        let rest = trig::radians(self.at_rest.0);
        Ok(dead_centre::free_turn(self.shape(), &self.parts(), rest, sense)?.map(dead_centre::in_degrees))
    }

    /// Degrees of the arm per degree of the servo. Without friction the arm's torque is the servo's
    /// divided by it.
    ///
    /// # Errors
    /// As for [`Self::move_at`].
    pub fn ratio_at(&self, turn: Angle) -> Result<Interval, Refusal> {
        let rest = trig::radians(self.at_rest.0);
        travel::ratio_at(self.shape(), &self.parts(), rest, trig::radians(turn.0))
    }
}

impl SliderCrank {
    fn shape(&self) -> Shape {
        Shape { driven: Driven::Slider, branch: self.branch }
    }

    fn parts(&self) -> Parts {
        [self.horn.0, self.rod.0, Interval::point(0.0), self.height.0]
    }

    /// Between which lengths, in millimetres, a rod joins horn and slider at rest; for the other measures
    /// as they are, tolerances left aside. Nothing where no length is too much.
    pub fn rods_that_join(&self) -> (f64, Option<f64>) {
        let [a, _, _, e] = self.parts().map(Interval::middle);
        ((e - a * libm::cos(self.at_rest.0.middle().to_radians())).abs(), None)
    }

    /// The slider's move from rest at a turn of the servo from rest; for a range of turns, the range.
    ///
    /// # Errors
    /// If, within the tolerances, the parts may not join or may pass a dead centre on the way.
    pub fn move_at(&self, turn: Angle) -> Result<Length, Refusal> {
        let rest = trig::radians(self.at_rest.0);
        travel::move_at(self.shape(), &self.parts(), rest, trig::radians(turn.0)).map(Length)
    }

    /// The servo's turn from rest that moves the slider so far from rest.
    ///
    /// # Errors
    /// As for [`Self::move_at`], or if no turn does it.
    pub fn turn_for(&self, by: Length) -> Result<Angle, Refusal> {
        let rest = trig::radians(self.at_rest.0);
        let turn = travel::turn_for(self.shape(), &self.parts(), rest, by.0)?;
        Ok(Angle(trig::degrees(turn)))
    }

    /// How far the servo may turn from rest before it meets a dead centre; nothing if there is none.
    ///
    /// # Errors
    /// If, within the tolerances, the rod may not join horn and slider at rest, or may be at a dead centre.
    pub fn free_turn(&self, sense: HornDirection) -> Result<Option<End>, Refusal> {
        let rest = trig::radians(self.at_rest.0);
        Ok(dead_centre::free_turn(self.shape(), &self.parts(), rest, sense)?.map(dead_centre::in_degrees))
    }

    /// Millimetres of the slider per degree of the servo. Without friction its force is the servo's
    /// torque in newton millimetres divided by the millimetres per radian.
    ///
    /// # Errors
    /// As for [`Self::move_at`].
    pub fn ratio_at(&self, turn: Angle) -> Result<Interval, Refusal> {
        let rest = trig::radians(self.at_rest.0);
        let by_radian = travel::ratio_at(self.shape(), &self.parts(), rest, trig::radians(turn.0))?;
        Ok(trig::radians(by_radian))
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
