//! Sine, cosine and their inverses, rounded outwards, by Taylor's series and its remainder.
//!
//! The inverses are guessed in plain floating point and then proved: an end counts only once its sine
//! and cosine show that the number sought lies on the right side of it. So nothing here trusts the
//! last digits of a library.

use super::interval::Interval;
use std::f64::consts::{FRAC_PI_2, PI, TAU};

/// The circle's half. The nearest floating-point number is less than it: 3.14159265358979311… against
/// 3.14159265358979323….
pub(super) fn pi() -> Interval {
    Interval::between(PI, PI.next_up())
}

/// Degrees to radians.
pub(super) fn radians(degrees: Interval) -> Interval {
    const PI_OVER_180: f64 = 0.017_453_292_519_943_295;
    degrees * neighbours(PI_OVER_180)
}

/// Radians to degrees.
pub(super) fn degrees(radians: Interval) -> Interval {
    const HALF_OVER_PI: f64 = 57.295_779_513_082_32;
    radians * neighbours(HALF_OVER_PI)
}

/// Holds the number of which this is the nearest floating-point one.
fn neighbours(x: f64) -> Interval {
    Interval::between(x.next_down(), x.next_up())
}

/// Terms of the series; on an eighth of a circle the one left out is below 1e-24.
const TERMS: u32 = 11;

/// Sine and cosine of a number within about an eighth of a circle.
fn series(x: Interval) -> [Interval; 2] {
    let square = x * x;
    let (mut sine, mut cosine) = (Interval::point(0.0), Interval::point(0.0));
    let mut term = Interval::point(1.0);
    for n in 0..TERMS {
        let sign = Interval::point(if n % 2 == 0 { 1.0 } else { -1.0 });
        cosine = cosine + term * sign;
        let odd = (term * x).over_whole(2 * n + 1);
        sine = sine + odd * sign;
        term = (term * square).over_whole(2 * n + 1).over_whole(2 * n + 2);
    }
    // Alternating with falling terms: the rest is less than the first term left out.
    let rest = term.high().abs().max(term.low().abs());
    let rest = Interval::between(-rest, rest);
    [sine + rest, cosine + rest]
}

/// Sine and cosine of a single number.
fn sine_cosine_at(x: f64) -> [Interval; 2] {
    let quarters = (x / FRAC_PI_2).round();
    let half = Interval::point(0.5);
    let [sine, cosine] = series(Interval::point(x) - pi() * half * Interval::point(quarters));
    match quarters.rem_euclid(4.0) as u8 {
        0 => [sine, cosine],
        1 => [cosine, -sine],
        2 => [-sine, -cosine],
        _ => [-cosine, sine],
    }
}

const UNIT: (f64, f64) = (-1.0, 1.0);

fn within_unit(x: Interval) -> Interval {
    Interval::between(x.low().clamp(UNIT.0, UNIT.1), x.high().clamp(UNIT.0, UNIT.1))
}

/// Whether `x` may contain `at` plus a whole number of circles. The slack, far above the rounding of
/// angles of a few circles, errs towards yes.
fn may_pass(x: Interval, at: f64) -> bool {
    ((x.low() - at) / TAU - 1e-12).ceil() <= ((x.high() - at) / TAU + 1e-12).floor()
}

/// Sine and cosine of an angle in radians.
pub(super) fn sine_cosine(x: Interval) -> [Interval; 2] {
    let ([s1, c1], [s2, c2]) = (sine_cosine_at(x.low()), sine_cosine_at(x.high()));
    let (mut sine, mut cosine) = (s1.hull(s2), c1.hull(c2));
    for (top, reached) in [(1.0, [FRAC_PI_2, 0.0]), (-1.0, [-FRAC_PI_2, PI])] {
        if may_pass(x, reached[0]) {
            sine = sine.hull(Interval::point(top));
        }
        if may_pass(x, reached[1]) {
            cosine = cosine.hull(Interval::point(top));
        }
    }
    [within_unit(sine), within_unit(cosine)]
}

/// The first of ever wider steps, from a few last digits up, that passes a test.
fn widen(at_most: f64, passes: impl Fn(f64) -> bool) -> Option<f64> {
    let steps = std::iter::successors(Some(8.0 * f64::EPSILON), |s| Some(s * 2.0));
    steps.take_while(|step| *step <= at_most).find(|step| passes(*step))
}

/// The angle from nought to half a circle whose cosine this is; nothing if there may be none.
pub(super) fn arc_cosine(cosine: Interval) -> Option<Interval> {
    if cosine.low() < -1.0 || cosine.high() > 1.0 {
        return None;
    }
    let (least, greatest) = (libm::acos(cosine.high()), libm::acos(cosine.low()));
    // The cosine falls from nought to half a circle.
    let below = widen(4.0, |s| least - s <= 0.0 || sine_cosine_at(least - s)[1].low() >= cosine.high())?;
    let above = widen(4.0, |s| greatest + s >= PI || sine_cosine_at(greatest + s)[1].high() <= cosine.low())?;
    Some(Interval::between((least - below).max(0.0), (greatest + above).min(PI.next_up())))
}

/// The direction in which a point lies, in radians from the first axis towards the second; nothing if
/// it may be the origin. It may run past half a circle, so as to stay in one piece.
pub(super) fn direction(x: Interval, y: Interval) -> Option<Interval> {
    let guess = libm::atan2(y.middle(), x.middle());
    let corners = [(x.low(), y.low()), (x.low(), y.high()), (x.high(), y.low()), (x.high(), y.high())];
    let offs = corners.map(|(x, y)| {
        let off = libm::atan2(y, x) - guess;
        off - TAU * (off / TAU).round()
    });
    let least = guess + offs.into_iter().fold(0.0, f64::min);
    let greatest = guess + offs.into_iter().fold(0.0, f64::max);
    // A point lies to the left of a direction if it is less than half a circle further.
    let side = |angle: f64| {
        let [sine, cosine] = sine_cosine_at(angle);
        cosine * y - sine * x
    };
    let below = widen(1.0, |s| side(least - s).low() >= 0.0)?;
    let above = widen(1.0, |s| side(greatest + s).high() <= 0.0)?;
    let found = Interval::between(least - below, greatest + above);
    (found.width() < 3.0).then_some(found)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn tight(found: Interval, low: f64, high: f64, by: f64) {
        assert!(found.low() <= low && high <= found.high(), "{found:?} does not hold {low} to {high}");
        assert!(low - found.low() <= by && found.high() - high <= by, "{found:?} is wide");
    }

    /// Exact values of the circle: sin 30 = 1/2, sin 45 = cos 45 = sqrt(1/2), and their mirrors.
    #[test]
    fn the_angles_known_by_heart_are_inside() {
        for (angle, sine, cosine) in [
            (0.0, 0.0, 1.0),
            (30.0, 0.5, 0.75f64.sqrt()),
            (45.0, 0.5f64.sqrt(), 0.5f64.sqrt()),
            (90.0, 1.0, 0.0),
            (150.0, 0.5, -0.75f64.sqrt()),
            (180.0, 0.0, -1.0),
            (-60.0, -0.75f64.sqrt(), 0.5),
            (270.0, -1.0, 0.0),
            (330.0, -0.5, 0.75f64.sqrt()),
        ] {
            let [s, c] = sine_cosine(radians(Interval::point(angle)));
            // The square roots here are themselves rounded, by no more than 1.2e-16.
            assert!(
                (s.middle() - sine).abs() < 4e-15 && (c.middle() - cosine).abs() < 4e-15,
                "{angle}: {s:?}"
            );
            assert!(s.width() < 2e-14 && c.width() < 2e-14, "{angle}: {s:?} {c:?}");
        }
        tight(sine_cosine(radians(Interval::point(30.0)))[0], 0.5, 0.5, 2e-15);
    }

    #[test]
    fn a_stretch_over_the_top_reaches_one() {
        let [sine, cosine] = sine_cosine(radians(Interval::between(30.0, 120.0)));
        tight(sine, 0.5, 1.0, 2e-15);
        tight(cosine, -0.5, 0.75f64.sqrt() - 1e-15, 3e-15);
        let [sine, cosine] = sine_cosine(radians(Interval::between(-200.0, 200.0)));
        assert_eq!((sine, cosine), (Interval::between(-1.0, 1.0), Interval::between(-1.0, 1.0)));
    }

    #[test]
    fn the_inverses_hold_what_they_came_from() {
        for n in -35..=35 {
            let angle = radians(Interval::point(f64::from(n) * 5.0));
            let [sine, cosine] = sine_cosine(angle);
            let back = direction(cosine * Interval::point(7.0), sine * Interval::point(7.0)).unwrap();
            tight(back, angle.low(), angle.high(), 2e-14);
            if n > 1 {
                // Flat at its top, the cosine says less of a small angle.
                tight(arc_cosine(cosine).unwrap(), angle.low(), angle.high(), 1e-13);
            }
        }
        tight(degrees(arc_cosine(Interval::point(0.5)).unwrap()), 60.0, 60.0, 1e-12);
    }

    #[test]
    fn a_direction_across_half_a_circle_stays_in_one_piece() {
        let found = direction(Interval::point(-1.0), Interval::between(-0.1, 0.1)).unwrap();
        assert!(found.width() < 0.21 && (found.middle().abs() - PI).abs() < 1e-6, "{found:?}");
    }

    #[test]
    fn a_cosine_above_one_and_the_direction_of_the_origin_are_refused() {
        assert_eq!(arc_cosine(Interval::between(0.9, 1.1)), None);
        assert_eq!(direction(Interval::between(-1.0, 1.0), Interval::between(-1.0, 1.0)), None);
        assert_eq!(direction(Interval::point(0.0), Interval::point(0.0)), None);
    }
}
