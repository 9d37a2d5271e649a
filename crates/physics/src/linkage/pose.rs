//! The closed form of a single position: horn and rod driving an arm or a slider, and how the driven
//! part answers to every length and angle.
//!
//! The base line runs from the servo's shaft to the far pivot, or along the slider's way. All angles are
//! taken from the perpendicular to it, positive towards the far end. The horn's tip is
//! `P = a (sin h, cos h)`; the driven point is `Q = (d + c sin u, c cos u)` on an arm, `Q = (u, e)` on a
//! slider. The rod says `|Q - P| = b`, and the law of cosines solves that either way, with two branches.
//!
//! Sources: the law of cosines gives what Freudenstein's equation gives (R. L. Norton, *Design of
//! Machinery*, sections 4.5 and 4.6, there from the base line itself: his angle is 90 degrees less ours).
//! Differentiating `|Q - P|² = b²` gives every slope without the closed form.

use super::interval::Interval;
use super::trig;

/// Which of the two ways the parts can be put together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Branch {
    /// The driven point lies beyond the line from the horn's tip to the far pivot, on the far side: the
    /// usual way. Norton's "open".
    Open,
    /// It lies on the near side. Norton's "crossed".
    Crossed,
}

impl Branch {
    fn sign(self) -> Interval {
        Interval::point(if self == Self::Open { 1.0 } else { -1.0 })
    }
}

/// What the rod drives.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Driven {
    Arm,
    Slider,
}

/// Places of the measures in a box: lengths in millimetres, angles in radians.
pub(super) const HORN: usize = 0;
pub(super) const ROD: usize = 1;
/// The arm's length; unused for a slider.
pub(super) const ARM: usize = 2;
/// Between the pivots; for a slider the height of its way above the shaft.
pub(super) const BASE: usize = 3;

/// The fixed measures.
pub(super) type Parts = [Interval; 4];

/// Slopes of the driven angle or place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Slopes {
    /// By each fixed measure.
    pub(super) parts: Parts,
    /// By the horn's angle.
    pub(super) horn: Interval,
}

/// Why a position has no answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum NoPose {
    /// Rod and arm (or rod and the slider's perpendicular) come into line, or the rod is too short or
    /// too long.
    Locked,
    /// Horn and rod come into line.
    Reversing,
}

/// A horn, a rod and what they drive, put together one way.
#[derive(Clone, Copy, Debug)]
pub(super) struct Shape {
    pub(super) driven: Driven,
    pub(super) branch: Branch,
}

const TWO: Interval = Interval::point(2.0);

/// The angle at the corner between two sides of a triangle, strictly between nought and half a circle.
fn corner(side: Interval, other: Interval, opposite: Interval) -> Option<Interval> {
    let cosine = (side.square() + other.square() - opposite.square()).over(TWO * side * other)?;
    let angle = trig::arc_cosine(cosine)?;
    (angle.low() > 0.0 && angle.high() < trig::pi().low()).then_some(angle)
}

impl Shape {
    /// The driven angle or place at an angle of the horn.
    pub(super) fn driven_at(self, parts: &Parts, horn: Interval) -> Result<Interval, NoPose> {
        let [sine, cosine] = trig::sine_cosine(horn);
        let (x, y) = (parts[HORN] * sine, parts[HORN] * cosine);
        self.driven_by(parts, x, y).ok_or(NoPose::Locked)
    }

    fn driven_by(self, parts: &Parts, x: Interval, y: Interval) -> Option<Interval> {
        match self.driven {
            Driven::Slider => {
                let along = (parts[ROD].square() - (parts[BASE] - y).square()).root()?;
                along.is_positive().then(|| x + self.branch.sign() * along)
            }
            Driven::Arm => {
                let x = x - parts[BASE];
                let reach = (x.square() + y.square()).root()?;
                let corner = corner(parts[ARM], reach, parts[ROD])?;
                Some(trig::direction(y, x)? + self.branch.sign() * corner)
            }
        }
    }

    /// The horn's angle at a driven angle or place. `pushes` says on which side of its dead centre the
    /// horn is: whether there the driven part follows it.
    pub(super) fn horn_at(self, parts: &Parts, driven: Interval, pushes: bool) -> Result<Interval, NoPose> {
        let (x, y) = self.point(parts, driven);
        // Put together crossed, an arm that follows its horn has the horn on the other side of the rod.
        let opens = pushes == (self.branch == Branch::Open);
        let found = || {
            let reach = (x.square() + y.square()).root()?;
            let corner = corner(parts[HORN], reach, parts[ROD])?;
            let towards = trig::direction(y, x)?;
            Some(if opens { towards - corner } else { towards + corner })
        };
        found().ok_or(NoPose::Reversing)
    }

    /// Where the driven point is.
    fn point(self, parts: &Parts, driven: Interval) -> (Interval, Interval) {
        match self.driven {
            Driven::Slider => (driven, parts[BASE]),
            Driven::Arm => {
                let [sine, cosine] = trig::sine_cosine(driven);
                (parts[BASE] + parts[ARM] * sine, parts[ARM] * cosine)
            }
        }
    }

    /// How the driven part answers, at an angle of the horn and the driven angle or place that goes with it.
    pub(super) fn slopes(self, parts: &Parts, horn: Interval, driven: Interval) -> Result<Slopes, NoPose> {
        let [sine, cosine] = trig::sine_cosine(horn);
        let (x, y) = self.point(parts, driven);
        // The rod from end to end.
        let (rod_x, rod_y) = (x - parts[HORN] * sine, y - parts[HORN] * cosine);
        let by_horn = rod_x * sine + rod_y * cosine;
        let by_turn = parts[HORN] * (rod_x * cosine - rod_y * sine);
        let (by_arm, by_base, divisor) = match self.driven {
            Driven::Slider => (Interval::point(0.0), -rod_y, rod_x),
            Driven::Arm => {
                let [sine, cosine] = trig::sine_cosine(driven);
                let along = rod_x * sine + rod_y * cosine;
                (-along, -rod_x, parts[ARM] * (rod_x * cosine - rod_y * sine))
            }
        };
        let over = |x: Interval| x.over(divisor).ok_or(NoPose::Locked);
        Ok(Slopes {
            parts: [over(by_horn)?, over(parts[ROD])?, over(by_arm)?, over(by_base)?],
            horn: over(by_turn)?,
        })
    }
}
