//! From the servo's turn to the move of what it drives, and back, all counted from rest.

use super::bound::{self, Smooth};
use super::dead_centre::{self, DeadCentre, HornDirection};
use super::interval::Interval;
use super::pose::{NoPose, Parts, Shape};
use super::trig;

/// Measures beside the fixed ones: the horn's angle at rest, and the turn or the move.
const REST: usize = 4;
const MOVE: usize = 5;
type Measures = [Interval; 6];

/// Why a move has no answer, for every or for some value within the tolerances.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Refusal {
    /// The rod does not join horn and driven part at rest, or they come into line there.
    DoesNotJoin,
    /// On the way, rod and driven arm come into line, or the rod cannot reach: it jams, or may flip over.
    Locks {
        /// The servo's turn from rest in degrees about where that begins.
        turn: f64,
    },
    /// On the way, horn and rod come into line: beyond, the driven part goes back.
    Reverses {
        /// The servo's turn from rest in degrees about where that begins.
        turn: f64,
    },
    /// It ends so near a dead centre that the tolerances leave no bounds.
    TooNear,
    /// No turn of the horn moves the driven part so far.
    OutOfReach,
}

impl std::fmt::Display for Refusal {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::DoesNotJoin => write!(f, "the rod cannot join horn and driven part at rest"),
            Self::Locks { turn } => {
                write!(f, "near {turn:.1} degrees from rest the rod comes to its limit and locks")
            }
            Self::Reverses { turn } => {
                write!(f, "near {turn:.1} degrees from rest horn and rod come into line: dead centre")
            }
            Self::TooNear => write!(f, "so near a dead centre that no figure holds"),
            Self::OutOfReach => write!(f, "no turn of the horn moves it so far"),
        }
    }
}

impl std::error::Error for Refusal {}

/// What can go wrong inside, before it is known where on the way it was.
impl From<NoPose> for Refusal {
    fn from(why: NoPose) -> Self {
        match why {
            NoPose::Locked => Self::DoesNotJoin,
            NoPose::Reversing => Self::OutOfReach,
        }
    }
}

fn parts(at: &Measures) -> Parts {
    [at[0], at[1], at[2], at[3]]
}

/// The difference of two angles or places, for an arm the one of less than half a circle.
fn moved(shape: Shape, from: Interval, to: Interval) -> Interval {
    let off = to - from;
    let circle = trig::pi() + trig::pi();
    match shape.driven {
        super::pose::Driven::Slider => off,
        super::pose::Driven::Arm => {
            off - circle * Interval::point((off.middle() / std::f64::consts::TAU).round())
        }
    }
}

/// The move at a turn.
struct Forward(Shape);

impl Smooth<6> for Forward {
    type Refusal = Refusal;

    fn value(&self, at: &Measures) -> Result<Interval, Refusal> {
        let parts = parts(at);
        let from = self.0.driven_at(&parts, at[REST])?;
        let to = self.0.driven_at(&parts, at[REST] + at[MOVE])?;
        Ok(moved(self.0, from, to))
    }

    fn slopes(&self, at: &Measures) -> Result<Measures, Refusal> {
        let parts = parts(at);
        let turned = at[REST] + at[MOVE];
        let from = self.0.slopes(&parts, at[REST], self.0.driven_at(&parts, at[REST])?)?;
        let to = self.0.slopes(&parts, turned, self.0.driven_at(&parts, turned)?)?;
        let [a, b, c, d] = [0, 1, 2, 3].map(|n| to.parts[n] - from.parts[n]);
        Ok([a, b, c, d, to.horn - from.horn, to.horn])
    }
}

/// The turn for a move.
struct Backward {
    shape: Shape,
    pushes: bool,
}

impl Backward {
    /// Driven at rest, driven and horn's angle at the move.
    fn ends(&self, at: &Measures) -> Result<[Interval; 3], Refusal> {
        let parts = parts(at);
        let from = self.shape.driven_at(&parts, at[REST])?;
        let to = from + at[MOVE];
        Ok([from, to, self.shape.horn_at(&parts, to, self.pushes)?])
    }
}

impl Smooth<6> for Backward {
    type Refusal = Refusal;

    fn value(&self, at: &Measures) -> Result<Interval, Refusal> {
        let [_, _, horn] = self.ends(at)?;
        let off = horn - at[REST];
        let circles = (off.middle() / std::f64::consts::TAU).round();
        Ok(off - (trig::pi() + trig::pi()) * Interval::point(circles))
    }

    fn slopes(&self, at: &Measures) -> Result<Measures, Refusal> {
        let parts = parts(at);
        let [driven, to, horn] = self.ends(at)?;
        let from = self.shape.slopes(&parts, at[REST], driven)?;
        let to = self.shape.slopes(&parts, horn, to)?;
        let over = |x: Interval| x.over(to.horn).ok_or(Refusal::OutOfReach);
        let one = Interval::point(1.0);
        let [a, b, c, d] = [0, 1, 2, 3].map(|n| over(from.parts[n] - to.parts[n]));
        Ok([a?, b?, c?, d?, over(from.horn)? - one, over(one)?])
    }
}

/// Whether the driven part follows the horn, once it is proved that the horn goes from rest through a turn
/// (bounds in radians) with no dead centre on the way.
fn way_is_clear(shape: Shape, parts: &Parts, rest: Interval, turn: Interval) -> Result<bool, Refusal> {
    let way = turn.hull(Interval::point(0.0));
    for (sense, far) in [(HornDirection::Towards, way.high()), (HornDirection::Away, way.low())] {
        let Some(end) = dead_centre::free_turn(shape, parts, rest, sense)? else { continue };
        if far.abs() >= end.surely_free {
            let turn = end.surely_free.copysign(far).to_degrees();
            return Err(match end.what {
                DeadCentre::Locks => Refusal::Locks { turn },
                DeadCentre::Reverses => Refusal::Reverses { turn },
            });
        }
    }
    // With no dead centre at rest, all parts within the tolerances go the same way as the middle ones.
    let middle = parts.map(|side| Interval::point(side.middle()));
    let horn = Interval::point(rest.middle());
    Ok(shape.slopes(&middle, horn, shape.driven_at(&middle, horn)?)?.horn.middle() > 0.0)
}

/// Holds the move (radians or millimetres) for every turn and every measure within bounds.
pub(super) fn move_at(
    shape: Shape,
    parts: &Parts,
    rest: Interval,
    turn: Interval,
) -> Result<Interval, Refusal> {
    way_is_clear(shape, parts, rest, turn)?;
    let [a, b, c, d] = *parts;
    let found =
        bound::over(&Forward(shape), &[a, b, c, d, rest, turn]).map_err(|_: Refusal| Refusal::TooNear)?;
    // Near rest the parts hardly matter, and the mean value theorem over the way says so best.
    Ok(match slope(shape, parts, rest + turn.hull(Interval::point(0.0))) {
        Ok(ratio) => found.meet(ratio * turn),
        Err(_) => found,
    })
}

/// Holds the turn in radians for every move and every measure within bounds.
pub(super) fn turn_for(
    shape: Shape,
    parts: &Parts,
    rest: Interval,
    by: Interval,
) -> Result<Interval, Refusal> {
    let pushes = way_is_clear(shape, parts, rest, Interval::point(0.0))?;
    let [a, b, c, d] = *parts;
    let turn = bound::over(&Backward { shape, pushes }, &[a, b, c, d, rest, by])?;
    way_is_clear(shape, parts, rest, turn)?;
    let ratio = slope(shape, parts, rest + turn.hull(Interval::point(0.0)));
    Ok(match ratio.ok().and_then(|ratio| by.over(ratio)) {
        Some(near) => turn.meet(near),
        None => turn,
    })
}

/// Holds the move per turn (a number, or millimetres per radian) at every turn within bounds.
pub(super) fn ratio_at(
    shape: Shape,
    parts: &Parts,
    rest: Interval,
    turn: Interval,
) -> Result<Interval, Refusal> {
    way_is_clear(shape, parts, rest, turn)?;
    Ok(slope(shape, parts, rest + turn)?)
}

fn slope(shape: Shape, parts: &Parts, horn: Interval) -> Result<Interval, NoPose> {
    Ok(shape.slopes(parts, horn, shape.driven_at(parts, horn)?)?.horn)
}
