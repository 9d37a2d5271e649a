//! Runge-Kutta of fifth order with an embedded fourth one that tells the error: J. R. Dormand and P. J. Prince, A family
//! of embedded Runge-Kutta formulae, Journal of Computational and Applied Mathematics 6, 1980, 19-26. Between both ends
//! of a step by the polynomial of fourth order that goes with it, which asks for no further slope: E. Hairer, S. P.
//! Nørsett and G. Wanner, Solving ordinary differential equations I, section II.6 (all coefficients from memory; tests
//! hold the orders).
//!
//! Written out because it is small. The crates at hand bring a linear algebra library (`ode_solvers`), or
//! thirty thousand lines and vector instructions that differ from machine to machine
//! (`differential-equations`); the same file has to give the same bytes.

/// Place and speed, and whatever else moves with them.
pub(super) type State<const N: usize> = [f64; N];

/// When each slope but the first is taken, as a part of the step.
const NODES: [f64; 6] = [1.0 / 5.0, 3.0 / 10.0, 4.0 / 5.0, 8.0 / 9.0, 1.0, 1.0];
/// How much of the slopes before it lies on the way to each slope; the last way is the step itself.
const WAYS: [[f64; 6]; 6] = [
    [1.0 / 5.0, 0.0, 0.0, 0.0, 0.0, 0.0],
    [3.0 / 40.0, 9.0 / 40.0, 0.0, 0.0, 0.0, 0.0],
    [44.0 / 45.0, -56.0 / 15.0, 32.0 / 9.0, 0.0, 0.0, 0.0],
    [19_372.0 / 6561.0, -25_360.0 / 2187.0, 64_448.0 / 6561.0, -212.0 / 729.0, 0.0, 0.0],
    [9017.0 / 3168.0, -355.0 / 33.0, 46_732.0 / 5247.0, 49.0 / 176.0, -5103.0 / 18_656.0, 0.0],
    [35.0 / 384.0, 0.0, 500.0 / 1113.0, 125.0 / 192.0, -2187.0 / 6784.0, 11.0 / 84.0],
];
/// By how much the weights of fifth order are above those of fourth.
const OFF: [f64; 7] =
    [71.0 / 57_600.0, 0.0, -71.0 / 16_695.0, 71.0 / 1920.0, -17_253.0 / 339_200.0, 22.0 / 525.0, -1.0 / 40.0];
/// What bends the polynomial between both ends, beside places and slopes there.
const BEND: [f64; 7] = [
    -12_715_105_075.0 / 11_282_082_432.0,
    0.0,
    87_487_479_700.0 / 32_700_410_799.0,
    -10_690_763_975.0 / 1_880_347_072.0,
    701_980_252_875.0 / 199_316_789_632.0,
    -1_453_857_185.0 / 822_651_844.0,
    69_997_945.0 / 29_380_423.0,
];

/// Where a step begins.
#[derive(Clone, Copy, Debug)]
pub(super) struct Begins<const N: usize> {
    pub(super) t: f64,
    pub(super) y: State<N>,
    /// How long it will be has no part in it.
    slope: State<N>,
}

impl<const N: usize> Begins<N> {
    pub(super) fn at(f: &impl Fn(f64, &State<N>) -> State<N>, t: f64, y: &State<N>) -> Self {
        Self { t, y: *y, slope: f(t, y) }
    }
}

/// A step.
pub(super) struct Step<const N: usize> {
    begins: Begins<N>,
    h: f64,
    slopes: [State<N>; 7],
    /// The state at its end.
    pub(super) end: State<N>,
}

impl<const N: usize> Step<N> {
    pub(super) fn from(f: &impl Fn(f64, &State<N>) -> State<N>, begins: &Begins<N>, h: f64) -> Self {
        let mut slopes = [begins.slope; 7];
        let mut end = begins.y;
        for (stage, (way, node)) in WAYS.iter().zip(NODES).enumerate() {
            let risen = added(&slopes[..=stage], way);
            end = std::array::from_fn(|n| begins.y[n] + h * risen[n]);
            slopes[stage + 1] = f(begins.t + h * node, &end);
        }
        Self { begins: *begins, h, slopes, end }
    }

    /// How far the step of fourth order is from it: the furthest of all parts of the state, each measured by the error
    /// that is allowed in it.
    pub(super) fn error(&self, allowed: &State<N>) -> f64 {
        let off = added(&self.slopes, &OFF);
        let shares = off.iter().zip(allowed).map(|(off, allowed)| (self.h * off / allowed).abs());
        // A NaN has to come out as one: `max` would lose it.
        shares.fold(0.0, |most: f64, n| if n <= most { most } else { n })
    }

    /// Where the next one begins, if the slope is the same function there.
    pub(super) fn next(&self) -> Begins<N> {
        Begins { t: self.begins.t + self.h, y: self.end, slope: self.slopes[6] }
    }

    /// The state so long after its beginning.
    pub(super) fn within(&self, h: f64) -> State<N> {
        let part = h / self.h;
        let left = 1.0 - part;
        let bend = added(&self.slopes, &BEND);
        std::array::from_fn(|n| {
            let chord = self.end[n] - self.begins.y[n];
            let first = self.h * self.slopes[0][n] - chord;
            let last = chord - self.h * self.slopes[6][n] - first;
            self.begins.y[n] + part * (chord + left * (first + part * (last + left * self.h * bend[n])))
        })
    }

    /// How long after its beginning something is no longer above nought that is at its beginning and not at its end,
    /// and the state there.
    ///
    /// By false position, halving the end that stays (the Illinois rule: M. Dowell and P. Jarratt, A modified
    /// regula falsi method, BIT 11, 1971, 168-174); by halves where that gains nothing.
    pub(super) fn part(&self, left: impl Fn(&State<N>) -> f64) -> (f64, State<N>) {
        let (mut before, mut above) = (0.0, left(&self.begins.y));
        let (mut behind, mut below) = (self.h, left(&self.end));
        let (mut there, mut stayed) = (self.end, None);
        for round in 0..90 {
            if below >= 0.0 || behind - before <= NEAR * self.h {
                break;
            }
            let chord = (before * below - behind * above) / (below - above);
            let inside = round % 6 != 5 && chord > before && chord < behind;
            let middle = if inside { chord } else { before.midpoint(behind) };
            let state = self.within(middle);
            let value = left(&state);
            let again = stayed == Some(value > 0.0);
            stayed = Some(value > 0.0);
            if value > 0.0 {
                (before, above) = (middle, value);
                below /= if again { 2.0 } else { 1.0 };
            } else {
                (behind, below, there) = (middle, value, state);
                above /= if again { 2.0 } else { 1.0 };
            }
        }
        (behind, there)
    }
}

/// Slopes by their weights.
fn added<const N: usize>(slopes: &[State<N>], weights: &[f64]) -> State<N> {
    let mut all = [0.0; N];
    for (slope, weight) in slopes.iter().zip(weights).filter(|(_, weight)| **weight != 0.0) {
        for (sum, rises) in all.iter_mut().zip(slope) {
            *sum += weight * rises;
        }
    }
    all
}

/// How near a moment within a step is looked for, as a part of the step.
const NEAR: f64 = 1e-10;

/// The factor for the next step that would make an error just right that is so many times the allowed one.
pub(super) fn next(error: f64) -> f64 {
    if error <= 0.0 { MOST_LONGER } else { (0.9 * libm::pow(error, -0.2)).clamp(0.2, MOST_LONGER) }
}

/// How much longer than the step before a step is tried at most.
const MOST_LONGER: f64 = 10.0;

#[cfg(test)]
mod tests {
    use super::*;

    /// Within a step from a place at rest.
    fn within(
        f: &impl Fn(f64, &State<2>) -> State<2>,
        h: f64,
        left: impl Fn(&State<2>) -> f64,
    ) -> (f64, State<2>) {
        Step::from(f, &Begins::at(f, 0.0, &[1.0, 0.0]), h).part(left)
    }

    #[test]
    fn the_moment_within_a_step_is_found_from_the_far_side_and_without_another_slope() {
        let tries = std::cell::Cell::new(0);
        let f = |_: f64, y: &State<2>| {
            tries.set(tries.get() + 1);
            [y[1], -y[0]]
        };
        // cos t = 0.8 at t = atan(3/4).
        let (h, y) = within(&f, 0.7, |y| y[0] - 0.8);
        assert!((h - libm::atan(0.75_f64)).abs() < 1e-4, "{h}");
        assert!(y[0] <= 0.8 && y[0] > 0.8 - 1e-9, "{y:?}");
        assert_eq!(tries.get(), 7);
        // What is at its mark from the start is so at once, and what bends sharply is still found.
        assert!(within(&f, 0.7, |y| y[0] - 1.0).0 < 1e-6);
        let (h, y) = within(&f, 0.7, |y| libm::pow(y[0] - 0.8, 9.0));
        assert!((h - libm::atan(0.75_f64)).abs() < 1e-4 && y[0] <= 0.8, "{h}");
    }

    #[test]
    fn an_oscillator_comes_round_and_the_errors_fall_with_their_powers() {
        let f = |_: f64, y: &State<2>| [y[1], -y[0]];
        let round = |steps: u32| {
            let h = std::f64::consts::TAU / f64::from(steps);
            let (mut y, mut told, mut between) = ([1.0, 0.0], 0.0, 0.0_f64);
            for n in 0..steps {
                let t = f64::from(n) * h;
                // From where it should be: what is off in one step alone.
                let step = Step::from(&f, &Begins::at(&f, t, &[libm::cos(t), -libm::sin(t)]), h);
                let middle = step.within(0.4 * h)[0] - libm::cos(t + 0.4 * h);
                between = between.max(middle.abs());
                let step = Step::from(&f, &Begins::at(&f, t, &y), h);
                (y, told) = (step.end, step.error(&[1.0; 2]));
            }
            [libm::hypot(y[0] - 1.0, y[1]), told, between]
        };
        let [coarse, fine] = [round(40), round(80)];
        assert!(coarse[0] < 1e-5, "{coarse:?}");
        // Over a whole round the fifth power of the step; in one step of fourth order the fifth as well, and so between
        // both ends of one.
        for (coarse, fine) in coarse.into_iter().zip(fine) {
            assert!((25.0..45.0).contains(&(coarse / fine)), "{}", coarse / fine);
        }
    }

    #[test]
    fn a_step_goes_on_where_the_last_one_ended() {
        let f = |t: f64, y: &State<2>| [y[1], -y[0] + t];
        let step = Step::from(&f, &Begins::at(&f, 0.5, &[1.0, 0.0]), 0.3);
        let (next, anew) = (step.next(), Begins::at(&f, 0.8, &step.end));
        let near = |a: &State<2>, b: &State<2>| a.iter().zip(b).all(|(a, b)| (a - b).abs() < 1e-15);
        assert!((next.t - 0.8).abs() < 1e-15 && near(&next.y, &anew.y) && near(&next.slope, &anew.slope));
        // Both ends of it are its own.
        assert!(near(&step.within(0.0), &[1.0, 0.0]) && near(&step.within(0.3), &step.end));
    }
}
