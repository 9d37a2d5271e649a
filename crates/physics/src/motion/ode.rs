//! Runge-Kutta of fifth order with an embedded fourth one that tells the error: J. R. Cash and A. H. Karp, A
//! variable order Runge-Kutta method for initial value problems with rapidly varying right-hand sides, ACM
//! Transactions on Mathematical Software 16, 1990, 201-222 (coefficients from memory; a test holds both orders).
//!
//! Written out because it is small. The crates at hand bring a linear algebra library (`ode_solvers`), or
//! thirty thousand lines and vector instructions that differ from machine to machine
//! (`differential-equations`); the same file has to give the same bytes.

/// Place and speed, and whatever else moves with them.
pub(super) type State<const N: usize> = [f64; N];

fn go_along<const N: usize>(y: &mut State<N>, slope: &State<N>, h: f64) {
    for (place, rises) in y.iter_mut().zip(slope) {
        *place += h * rises;
    }
}

/// When each slope is taken, as a part of the step.
const NODES: [f64; 6] = [0.0, 1.0 / 5.0, 3.0 / 10.0, 3.0 / 5.0, 1.0, 7.0 / 8.0];
/// How much of the slopes before it lies on the way to each slope.
const WAYS: [[f64; 5]; 6] = [
    [0.0; 5],
    [1.0 / 5.0, 0.0, 0.0, 0.0, 0.0],
    [3.0 / 40.0, 9.0 / 40.0, 0.0, 0.0, 0.0],
    [3.0 / 10.0, -9.0 / 10.0, 6.0 / 5.0, 0.0, 0.0],
    [-11.0 / 54.0, 5.0 / 2.0, -70.0 / 27.0, 35.0 / 27.0, 0.0],
    [1631.0 / 55296.0, 175.0 / 512.0, 575.0 / 13824.0, 44275.0 / 110_592.0, 253.0 / 4096.0],
];
/// The weights of the slopes in the step of fifth order.
const FIFTH: [f64; 6] = [37.0 / 378.0, 0.0, 250.0 / 621.0, 125.0 / 594.0, 0.0, 512.0 / 1771.0];
/// The same in that of fourth order.
const FOURTH: [f64; 6] =
    [2825.0 / 27_648.0, 0.0, 18_575.0 / 48_384.0, 13_525.0 / 55_296.0, 277.0 / 14_336.0, 1.0 / 4.0];

/// The slopes of a step.
fn slopes<const N: usize>(
    f: &impl Fn(f64, &State<N>) -> State<N>,
    begins: &Begins<N>,
    h: f64,
) -> [State<N>; 6] {
    let mut slopes = [[0.0; N]; 6];
    slopes[0] = begins.slope;
    for stage in 1..6 {
        let mut there = begins.y;
        for (slope, part) in slopes[..stage].iter().zip(WAYS[stage]) {
            go_along(&mut there, slope, h * part);
        }
        slopes[stage] = f(begins.t + h * NODES[stage], &there);
    }
    slopes
}

/// The state after a step of fifth order.
fn after<const N: usize>(y: &State<N>, slopes: &[State<N>; 6], h: f64) -> State<N> {
    let mut after = *y;
    for (slope, part) in slopes.iter().zip(FIFTH).filter(|(_, part)| *part > 0.0) {
        go_along(&mut after, slope, h * part);
    }
    after
}

/// Where a step begins.
pub(super) struct Begins<const N: usize> {
    t: f64,
    y: State<N>,
    /// How long it will be has no part in it.
    slope: State<N>,
}

impl<const N: usize> Begins<N> {
    pub(super) fn at(f: &impl Fn(f64, &State<N>) -> State<N>, t: f64, y: &State<N>) -> Self {
        Self { t, y: *y, slope: f(t, y) }
    }
}

/// The state after a step of fifth order, and how far one of fourth order is from it: the furthest of all parts of
/// the state, each measured by the error that is allowed in it.
pub(super) fn checked_step<const N: usize>(
    f: &impl Fn(f64, &State<N>) -> State<N>,
    begins: &Begins<N>,
    h: f64,
    allowed: &State<N>,
) -> (State<N>, f64) {
    let slopes = slopes(f, begins, h);
    let after = after(&begins.y, &slopes, h);
    let mut off = [0.0; N];
    for (slope, (fifth, fourth)) in slopes.iter().zip(FIFTH.into_iter().zip(FOURTH)) {
        if fifth > 0.0 || fourth > 0.0 {
            go_along(&mut off, slope, h * (fifth - fourth));
        }
    }
    let shares = off.iter().zip(allowed).map(|(off, allowed)| (off / allowed).abs());
    // A NaN has to come out as one: `max` would lose it.
    let error = shares.fold(0.0, |most: f64, n| if n <= most { most } else { n });
    (after, error)
}

/// The state a part of a step after its beginning.
pub(super) fn within<const N: usize>(
    f: &impl Fn(f64, &State<N>) -> State<N>,
    begins: &Begins<N>,
    h: f64,
) -> State<N> {
    after(&begins.y, &slopes(f, begins, h), h)
}

/// The part of a step, told by the states at both ends, after which something is no longer above nought that is at
/// its beginning and not at its end, and the state there.
///
/// By false position, halving the end that stays (the Illinois rule: M. Dowell and P. Jarratt, A modified
/// regula falsi method, BIT 11, 1971, 168-174); by halves where that gains nothing.
pub(super) fn part<const N: usize>(
    f: &impl Fn(f64, &State<N>) -> State<N>,
    begins: &Begins<N>,
    end: State<N>,
    h: f64,
    left: impl Fn(&State<N>) -> f64,
) -> (f64, State<N>) {
    let (mut before, mut above) = (0.0, left(&begins.y));
    let (mut behind, mut below) = (h, left(&end));
    let (mut there, mut stayed) = (end, None);
    for round in 0..90 {
        if below >= 0.0 || behind - before <= NEAR * h {
            break;
        }
        let chord = (before * below - behind * above) / (below - above);
        let inside = round % 6 != 5 && chord > before && chord < behind;
        let middle = if inside { chord } else { before.midpoint(behind) };
        let state = within(f, begins, middle);
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
        let begins = Begins::at(f, 0.0, &[1.0, 0.0]);
        part(f, &begins, checked_step(f, &begins, h, &[1.0; 2]).0, h, left)
    }

    #[test]
    fn the_moment_within_a_step_is_found_from_the_far_side_and_in_a_dozen_tries() {
        let tries = std::cell::Cell::new(0);
        let f = |_: f64, y: &State<2>| {
            tries.set(tries.get() + 1);
            [y[1], -y[0]]
        };
        // cos t = 0.8 at t = atan(3/4).
        let (h, y) = within(&f, 0.9, |y| y[0] - 0.8);
        assert!((h - libm::atan(0.75_f64)).abs() < 1e-4, "{h}");
        assert!(y[0] <= 0.8 && y[0] > 0.8 - 1e-9, "{y:?}");
        // Each try is a checked step of six slopes.
        assert!(tries.get() <= 14 * 6, "{}", tries.get());
        // What is at its mark from the start is so at once, and what bends sharply is still found.
        assert!(within(&f, 0.9, |y| y[0] - 1.0).0 < 1e-6);
        let (h, y) = within(&f, 0.9, |y| libm::pow(y[0] - 0.8, 9.0));
        assert!((h - libm::atan(0.75_f64)).abs() < 1e-4 && y[0] <= 0.8, "{h}");
    }

    #[test]
    fn an_oscillator_comes_round_and_the_errors_fall_with_their_powers() {
        let f = |_: f64, y: &State<2>| [y[1], -y[0]];
        let round = |steps: u32| {
            let h = std::f64::consts::TAU / f64::from(steps);
            let (mut y, mut told) = ([1.0, 0.0], 0.0);
            for n in 0..steps {
                let t = f64::from(n) * h;
                (y, told) = checked_step(&f, &Begins::at(&f, t, &y), h, &[1.0; 2]);
            }
            (libm::hypot(y[0] - 1.0, y[1]), told)
        };
        let [(coarse, coarse_told), (fine, fine_told)] = [round(40), round(80)];
        assert!(coarse < 1e-5, "{coarse}");
        // Over a whole round the fifth power of the step; in one step of fourth order the fifth as well.
        assert!((25.0..40.0).contains(&(coarse / fine)), "{}", coarse / fine);
        assert!((25.0..40.0).contains(&(coarse_told / fine_told)), "{}", coarse_told / fine_told);
    }
}
