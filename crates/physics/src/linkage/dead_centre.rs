//! Where the horn meets a dead centre: closed forms, bounded over the tolerances.
//!
//! Rod and arm come into line where the horn's tip is `b + c` or `|b - c|` from the arm's pivot, horn and
//! rod where the arm's end is `a + b` or `|a - b|` from the shaft. The law of cosines makes each a fraction
//! of the parts that the sine of the horn's angle has to equal:
//!
//! - rod and arm: `sin h = (a² + d² - (b ± c)²) / 2 a d`
//! - horn and rod: `sin h = ((a ± b)² + d² - c²) / 2 (a ± b) d`
//!
//! and on a slider, with its way `e` above the shaft, that the cosine has to equal:
//!
//! - rod across the way: `cos h = (e ± b) / a`
//! - horn and rod: `cos h = e / (a ± b)`
//!
//! Each holds for both branches together. Which of them meets a line of horn and rod shows at once: the arm's
//! end, seen from its pivot, then lies beyond the horn's tip by `± b d cos h` (for a slider `± b sin h`), and
//! that sign is what tells the branches apart.

use super::bound::{self, Range, Smooth};
use super::interval::Interval;
use super::pose::{ARM, BASE, Branch, Driven, HORN, Parts, ROD, Shape};
use super::travel::Refusal;
use super::trig;
use std::f64::consts::FRAC_PI_2;

/// Which way the horn turns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HornDirection {
    /// Towards the far pivot or the slider: angles grow.
    Towards,
    /// Away from it.
    Away,
}

/// What comes into line at a dead centre.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DeadCentre {
    /// Rod and arm, or the rod stands across the slider's way: it jams, or flips over.
    Locks,
    /// Horn and rod: beyond, the driven part goes back.
    Reverses,
}

/// The first dead centre on a way, in degrees of the servo's turn from rest, without a sign.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct End {
    /// Short of this there is none, whatever the parts are within their tolerances.
    pub surely_free: f64,
    /// At this or nearer, some parts within the tolerances have one; infinite if none was found.
    pub met_by: f64,
    /// What comes into line there.
    pub what: DeadCentre,
}

/// A number that the sine (slider: the cosine) of the horn's angle equals at a dead centre.
#[derive(Clone, Copy)]
enum Fraction {
    ArmAndRod(Interval),
    HornAndRod(Interval),
    RodAcross(Interval),
    HornAndRodOnWay(Interval),
}

/// A dividend and a divisor with their slopes by each part.
struct Terms {
    dividend: Interval,
    divisor: Interval,
    of_dividend: Parts,
    of_divisor: Parts,
}

const TWO: Interval = Interval::point(2.0);
const ONE: Interval = Interval::point(1.0);
const NOUGHT: Interval = Interval::point(0.0);

impl Fraction {
    fn terms(self, at: &Parts) -> Terms {
        let (a, b, c, d) = (at[HORN], at[ROD], at[ARM], at[BASE]);
        match self {
            Self::ArmAndRod(sign) => {
                let reach = b + sign * c;
                Terms {
                    dividend: a.square() + d.square() - reach.square(),
                    divisor: TWO * a * d,
                    of_dividend: [TWO * a, -(TWO * reach), -(TWO * reach * sign), TWO * d],
                    of_divisor: [TWO * d, NOUGHT, NOUGHT, TWO * a],
                }
            }
            Self::HornAndRod(sign) => {
                let reach = a + sign * b;
                Terms {
                    dividend: reach.square() + d.square() - c.square(),
                    divisor: TWO * reach * d,
                    of_dividend: [TWO * reach, TWO * reach * sign, -(TWO * c), TWO * d],
                    of_divisor: [TWO * d, TWO * sign * d, NOUGHT, TWO * reach],
                }
            }
            Self::RodAcross(sign) => Terms {
                dividend: d + sign * b,
                divisor: a,
                of_dividend: [NOUGHT, sign, NOUGHT, ONE],
                of_divisor: [ONE, NOUGHT, NOUGHT, NOUGHT],
            },
            Self::HornAndRodOnWay(sign) => Terms {
                dividend: d,
                divisor: a + sign * b,
                of_dividend: [NOUGHT, NOUGHT, NOUGHT, ONE],
                of_divisor: [ONE, sign, NOUGHT, NOUGHT],
            },
        }
    }

    /// Whether it surely lies beyond 1 either way although its divisor may be nought.
    fn is_beyond_one(self, parts: &Parts) -> bool {
        let Terms { dividend, divisor, .. } = self.terms(parts);
        let most = divisor.low().abs().max(divisor.high().abs());
        dividend.low() > most || dividend.high() < -most
    }
}

/// The divisor may be nought.
struct NoQuotient;

impl Smooth<4> for Fraction {
    type Refusal = NoQuotient;

    fn value(&self, at: &Parts) -> Result<Interval, NoQuotient> {
        let Terms { dividend, divisor, .. } = self.terms(at);
        dividend.over(divisor).ok_or(NoQuotient)
    }

    fn slopes(&self, at: &Parts) -> Result<Parts, NoQuotient> {
        let Terms { dividend, divisor, of_dividend, of_divisor } = self.terms(at);
        let value = dividend.over(divisor).ok_or(NoQuotient)?;
        let mut slopes = [NOUGHT; 4];
        for n in 0..4 {
            slopes[n] = (of_dividend[n] - value * of_divisor[n]).over(divisor).ok_or(NoQuotient)?;
        }
        Ok(slopes)
    }
}

/// On which part of the circle a dead centre belongs to this branch.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Half {
    /// On both.
    Both,
    /// Where the sine rises.
    Rising,
    /// Where it falls.
    Falling,
}

/// Every dead centre that a shape can have. The angle counts from where its sine is the fraction.
fn candidates(shape: Shape) -> [(Fraction, Half, DeadCentre); 4] {
    let [plus, minus] = [ONE, -ONE];
    let open = shape.branch == Branch::Open;
    let [stretched, folded] = match (shape.driven, open) {
        (Driven::Arm, true) | (Driven::Slider, false) => [Half::Rising, Half::Falling],
        (Driven::Arm, false) | (Driven::Slider, true) => [Half::Falling, Half::Rising],
    };
    let (locks, reverses) = match shape.driven {
        Driven::Arm => ([plus, minus].map(Fraction::ArmAndRod), [plus, minus].map(Fraction::HornAndRod)),
        Driven::Slider => {
            ([plus, minus].map(Fraction::RodAcross), [plus, minus].map(Fraction::HornAndRodOnWay))
        }
    };
    [
        (locks[0], Half::Both, DeadCentre::Locks),
        (locks[1], Half::Both, DeadCentre::Locks),
        (reverses[0], stretched, DeadCentre::Reverses),
        (reverses[1], folded, DeadCentre::Reverses),
    ]
}

/// Holds the angle whose sine this is, from minus to plus a quarter circle.
fn arc_sine(sine: Interval) -> Interval {
    let quarter = trig::pi() * Interval::point(0.5);
    let inside = |x: f64| x.clamp(-1.0, 1.0);
    let sine = Interval::between(inside(sine.low()), inside(sine.high()));
    // Every number of it has an arc cosine; the widest there are stand in should the library's own be far off.
    let arc = trig::arc_cosine(sine).unwrap_or(Interval::between(0.0, trig::pi().high()));
    quarter - arc
}

/// Where a dead centre may be, and angles at which, for some parts, there surely is one.
struct Stretch {
    within: Interval,
    attained: [f64; 2],
}

/// The stretches of the circle next to rest on which the sine may be the fraction.
fn stretches(found: &Range, half: Half) -> Vec<Stretch> {
    let Range { within, attained } = *found;
    if within.low() > 1.0 || within.high() < -1.0 {
        return Vec::new();
    }
    let rising = arc_sine(within);
    let [first, last] = [attained.low(), attained.high()].map(|x| arc_sine(Interval::point(x)));
    // Beyond 1 at both ends, no sine of it is sure.
    let sure = attained.high() >= -1.0 && attained.low() <= 1.0;
    let ends = |low: f64, high: f64| if sure { [low, high] } else { [f64::INFINITY, f64::NEG_INFINITY] };
    let mut all = Vec::new();
    for circle in [-1.0, 0.0, 1.0] {
        let circle = (trig::pi() + trig::pi()) * Interval::point(circle);
        if half != Half::Falling {
            let attained = ends((first + circle).high(), (last + circle).low());
            all.push(Stretch { within: rising + circle, attained });
        }
        if half != Half::Rising {
            let mirror = trig::pi() + circle;
            let attained = ends((mirror - last).high(), (mirror - first).low());
            all.push(Stretch { within: mirror - rising, attained });
        }
    }
    all
}

/// How far the horn may turn from rest: the angles of the end too are in radians here.
pub(super) fn free_turn(
    shape: Shape,
    parts: &Parts,
    rest: Interval,
    sense: HornDirection,
) -> Result<Option<End>, Refusal> {
    let middle = parts.map(|side| Interval::point(side.middle()));
    shape.driven_at(&middle, Interval::point(rest.middle()))?;
    let from = match shape.driven {
        Driven::Arm => rest,
        // cos h = sin (h + 90 degrees).
        Driven::Slider => rest + Interval::between(FRAC_PI_2, FRAC_PI_2.next_up()),
    };
    let mut first: Option<End> = None;
    for (fraction, half, what) in candidates(shape) {
        let range = match bound::range(&fraction, parts) {
            Ok(range) => range,
            Err(NoQuotient) if fraction.is_beyond_one(parts) => continue,
            // Nothing is known of it: it may be anywhere.
            Err(NoQuotient) => return Ok(Some(End { surely_free: 0.0, met_by: f64::INFINITY, what })),
        };
        for stretch in stretches(&range, half) {
            let Stretch { within, attained } = stretch;
            if within.low() <= from.high() && within.high() >= from.low() {
                return Err(Refusal::DoesNotJoin);
            }
            let (ahead, surely_free, met_by) = match sense {
                HornDirection::Towards => (
                    within.low() > from.high(),
                    within.low() - from.high(),
                    Interval::point(attained[0]) - Interval::point(from.high()),
                ),
                HornDirection::Away => (
                    within.high() < from.low(),
                    from.low() - within.high(),
                    Interval::point(from.low()) - Interval::point(attained[1]),
                ),
            };
            if ahead {
                let surely_free = surely_free.next_down().max(0.0);
                let met_by = if met_by.high().is_finite() { met_by.high() } else { f64::INFINITY };
                let end = first.get_or_insert(End { surely_free, met_by, what });
                end.surely_free = end.surely_free.min(surely_free);
                if met_by < end.met_by {
                    (end.met_by, end.what) = (met_by, what);
                }
            }
        }
    }
    Ok(first)
}

/// The same in degrees, rounded outwards.
pub(super) fn in_degrees(end: End) -> End {
    let degrees = |radians: f64| trig::degrees(Interval::point(radians));
    End {
        surely_free: degrees(end.surely_free).low().max(0.0),
        met_by: if end.met_by.is_finite() { degrees(end.met_by).high() } else { f64::INFINITY },
        what: end.what,
    }
}
