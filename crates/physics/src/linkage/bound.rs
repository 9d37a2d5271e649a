//! Bounds of a smooth function over a box of tolerances.
//!
//! Where the function rises or falls with a measure all over the box, the end of that measure gives the
//! bound: on such a monotone piece the answer is exact but for rounding. The measures so settled stand
//! still, and what is left of the box shows more of the rest. Where a slope changes its sign inside (a
//! rod at right angles to its horn does not mind how long the horn is), the mean value theorem bounds
//! what is left, and the box is halved until that is small beside the whole.

use super::interval::Interval;

/// A function of measures with its slopes, both as bounds over a box.
pub(super) trait Smooth<const N: usize> {
    /// Why it has no value somewhere in the box.
    type Refusal;
    /// Holds every value over the box.
    fn value(&self, at: &[Interval; N]) -> Result<Interval, Self::Refusal>;
    /// Holds every slope over the box.
    fn slopes(&self, at: &[Interval; N]) -> Result<[Interval; N], Self::Refusal>;
}

/// How often a box is halved at most along one way down: each halving quarters what is left over.
const HALVINGS: u32 = 8;
/// What is left over may be this part of the whole.
const LEFT_OVER: f64 = 2.5e-4;
/// Left over that nobody minds, in millimetres or radians.
const FINE: f64 = 1e-8;

/// Holds every value over the box; refuses if, after halving, a value may still be missing.
pub(super) fn over<const N: usize, F: Smooth<N>>(f: &F, at: &[Interval; N]) -> Result<Interval, F::Refusal> {
    Ok(range(f, at)?.within)
}

/// What the values over a box lie within, and how far they surely go.
#[derive(Clone, Copy, Debug)]
pub(super) struct Range {
    /// Holds every value.
    pub(super) within: Interval,
    /// Some value is its lower end or below, some value its upper end or above.
    pub(super) attained: Interval,
}

/// As [`over`], with the values that are surely reached.
pub(super) fn range<const N: usize, F: Smooth<N>>(f: &F, at: &[Interval; N]) -> Result<Range, F::Refusal> {
    let middles = at.map(|side| Interval::point(side.middle()));
    let slopes = f.slopes(&middles)?;
    let whole: f64 = at.iter().zip(slopes).map(|(side, slope)| (slope.middle() * side.width()).abs()).sum();
    let left_over = (LEFT_OVER * whole).max(FINE);
    let middle = f.value(&middles)?;
    let mut least = Search { f, up: false, left_over, attained: middle.high() };
    let low = least.bound(at, HALVINGS)?;
    let mut greatest = Search { f, up: true, left_over, attained: middle.low() };
    let high = greatest.bound(at, HALVINGS)?;
    let attained = Interval::between(least.attained, greatest.attained);
    Ok(Range { within: Interval::between(low, high), attained })
}

/// What is left of a box, and which of its sides to halve.
type Left<const N: usize> = Option<([Interval; N], usize)>;

/// The search for one end.
struct Search<'a, F> {
    f: &'a F,
    /// For the greatest value, not the least.
    up: bool,
    left_over: f64,
    /// A value that some point of the box surely goes to or beyond.
    attained: f64,
}

impl<F> Search<'_, F> {
    fn further(&self, a: f64, b: f64) -> f64 {
        if self.up { a.max(b) } else { a.min(b) }
    }

    fn bound<const N: usize>(&mut self, at: &[Interval; N], left: u32) -> Result<f64, F::Refusal>
    where
        F: Smooth<N>,
    {
        let refused = match self.settled(at) {
            Ok((bound, rest)) => {
                let beaten = if self.up { bound <= self.attained } else { bound >= self.attained };
                match rest {
                    Some((box_left, split)) if left > 0 && !beaten => {
                        return self.halves(&box_left, split, left);
                    }
                    _ => return Ok(bound),
                }
            }
            Err(refusal) => refusal,
        };
        let split = widest(at);
        if left == 0 || is_point(at[split]) { Err(refused) } else { self.halves(at, split, left) }
    }

    fn halves<const N: usize>(
        &mut self,
        at: &[Interval; N],
        split: usize,
        left: u32,
    ) -> Result<f64, F::Refusal>
    where
        F: Smooth<N>,
    {
        let [mut lower, mut upper] = [*at, *at];
        [lower[split], upper[split]] = at[split].halves();
        let first = self.bound(&lower, left - 1)?;
        let second = self.bound(&upper, left - 1)?;
        Ok(self.further(first, second))
    }

    /// The bound over a box; where it is not close, also what is left of the box once the measures with
    /// a sure slope stand at their ends, and which of the others to halve.
    fn settled<const N: usize>(&mut self, at: &[Interval; N]) -> Result<(f64, Left<N>), F::Refusal>
    where
        F: Smooth<N>,
    {
        let mut at = *at;
        let slopes = loop {
            let slopes = self.f.slopes(&at)?;
            let mut settled = false;
            for (side, slope) in at.iter_mut().zip(slopes) {
                let rises = slope.low() >= 0.0;
                if (rises || slope.high() <= 0.0) && side.low() < side.high() {
                    *side = Interval::point(if rises == self.up { side.high() } else { side.low() });
                    settled = true;
                }
            }
            if !settled {
                break slopes;
            }
        };
        let middles = at.map(|side| Interval::point(side.middle()));
        let middle = self.f.value(&middles)?;
        self.attained = self.further(self.attained, if self.up { middle.low() } else { middle.high() });
        let mut rest = Interval::point(0.0);
        let mut worst: Option<(usize, f64)> = None;
        for (n, ((side, slope), middle)) in at.iter().zip(slopes).zip(middles).enumerate() {
            let part = slope * (*side - middle);
            rest = rest + part;
            if !is_point(*side) && worst.is_none_or(|(_, width)| part.width() > width) {
                worst = Some((n, part.width()));
            }
        }
        let bound = middle + rest;
        let bound = if self.up { bound.high() } else { bound.low() };
        let close = rest.width() <= self.left_over;
        Ok((bound, worst.filter(|_| !close).map(|(n, _)| (at, n))))
    }
}

fn is_point(x: Interval) -> bool {
    x.middle() <= x.low() || x.middle() >= x.high()
}

/// The measure that is widest for its size.
fn widest<const N: usize>(at: &[Interval; N]) -> usize {
    let relative = |x: Interval| x.width() / (1.0 + x.low().abs().max(x.high().abs()));
    let mut best = 0;
    for n in 1..N {
        if relative(at[n]) > relative(at[best]) {
            best = n;
        }
    }
    best
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    /// (x - 1)² + y.
    struct Bowl;

    impl Smooth<2> for Bowl {
        type Refusal = ();
        fn value(&self, at: &[Interval; 2]) -> Result<Interval, ()> {
            // Multiplied out, so that plain intervals would be much too wide.
            let [x, y] = *at;
            Ok(x * x - x * Interval::point(2.0) + Interval::point(1.0) + y)
        }
        fn slopes(&self, at: &[Interval; 2]) -> Result<[Interval; 2], ()> {
            Ok([(at[0] - Interval::point(1.0)) * Interval::point(2.0), Interval::point(1.0)])
        }
    }

    #[test]
    fn a_monotone_piece_is_bounded_to_the_last_digits() {
        let found = over(&Bowl, &[Interval::between(2.0, 3.0), Interval::between(0.0, 0.5)]).unwrap();
        assert!(found.low() <= 1.0 && found.high() >= 4.5);
        assert!(found.low() > 1.0 - 1e-13 && found.high() < 4.5 + 1e-13, "{found:?}");
    }

    #[test]
    fn a_turning_point_inside_is_held_and_bounded_closely() {
        let found = over(&Bowl, &[Interval::between(0.0, 3.0), Interval::between(0.0, 0.5)]).unwrap();
        assert!(found.low() <= 0.0 && found.high() >= 4.5);
        assert!(found.low() > -0.002 && found.high() < 4.502, "{found:?}");
    }
}
