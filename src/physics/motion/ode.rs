//! Runge-Kutta of fourth order with step halving: one whole step against two halves tells the error.
//!
//! Written out because it is small. The crates at hand bring a linear algebra library (`ode_solvers`), or
//! thirty thousand lines and vector instructions that differ from machine to machine
//! (`differential-equations`); the same file has to give the same bytes.

/// Place and speed, and whatever else moves with them.
pub(super) type State<const N: usize> = [f64; N];

fn along<const N: usize>(y: State<N>, slope: State<N>, h: f64) -> State<N> {
    std::array::from_fn(|n| y[n] + h * slope[n])
}

fn step<const N: usize>(
    f: &impl Fn(f64, State<N>) -> State<N>,
    t: f64,
    y: State<N>,
    k1: State<N>,
    h: f64,
) -> State<N> {
    let k2 = f(t + h / 2.0, along(y, k1, h / 2.0));
    let k3 = f(t + h / 2.0, along(y, k2, h / 2.0));
    let k4 = f(t + h, along(y, k3, h));
    std::array::from_fn(|n| y[n] + h / 6.0 * (k1[n] + 2.0 * k2[n] + 2.0 * k3[n] + k4[n]))
}

/// The state after a step, better by one order than two half steps, and how far the two were from the
/// whole.
pub(super) fn checked_step<const N: usize>(
    f: &impl Fn(f64, State<N>) -> State<N>,
    t: f64,
    y: State<N>,
    h: f64,
) -> (State<N>, f64) {
    let slope = f(t, y);
    let whole = step(f, t, y, slope, h);
    let half = step(f, t, y, slope, h / 2.0);
    let middle = t + h / 2.0;
    let halves = step(f, middle, half, f(middle, half), h / 2.0);
    // Fourth order: two halves are 15/16 nearer.
    let off: State<N> = std::array::from_fn(|n| (halves[n] - whole[n]) / 15.0);
    // A NaN has to come out as one: `max` would lose it.
    let error = off.iter().fold(0.0, |most: f64, n| if n.abs() <= most { most } else { n.abs() });
    (along(halves, off, 1.0), error)
}

/// The part of a step after which something is no longer above nought that is at its beginning and not at
/// its end, and the state there.
///
/// By false position, halving the end that stays (the Illinois rule: M. Dowell and P. Jarratt, A modified
/// regula falsi method, BIT 11, 1971, 168-174); by halves where that gains nothing.
pub(super) fn part<const N: usize>(
    f: &impl Fn(f64, State<N>) -> State<N>,
    t: f64,
    y: State<N>,
    h: f64,
    left: impl Fn(&State<N>) -> f64,
) -> (f64, State<N>) {
    let end = checked_step(f, t, y, h).0;
    let (mut before, mut above) = (0.0, left(&y));
    let (mut after, mut below) = (h, left(&end));
    let (mut there, mut stayed) = (end, None);
    for round in 0..90 {
        if below >= 0.0 || after - before <= NEAR * h {
            break;
        }
        let chord = (before * below - after * above) / (below - above);
        let inside = round % 6 != 5 && chord > before && chord < after;
        let middle = if inside { chord } else { before.midpoint(after) };
        let state = checked_step(f, t, y, middle).0;
        let value = left(&state);
        let again = stayed == Some(value > 0.0);
        stayed = Some(value > 0.0);
        if value > 0.0 {
            (before, above) = (middle, value);
            below /= if again { 2.0 } else { 1.0 };
        } else {
            (after, below, there) = (middle, value, state);
            above /= if again { 2.0 } else { 1.0 };
        }
    }
    (after, there)
}

/// How near a moment within a step is looked for, as a part of the step.
const NEAR: f64 = 1e-10;

/// The factor for the next step that would make an error just right.
pub(super) fn next(error: f64, allowed: f64) -> f64 {
    if error <= 0.0 { 2.0 } else { (0.9 * (allowed / error).powf(0.2)).clamp(0.2, 2.0) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_moment_within_a_step_is_found_from_the_far_side_and_in_a_dozen_tries() {
        let tries = std::cell::Cell::new(0);
        let f = |_: f64, y: State<2>| {
            tries.set(tries.get() + 1);
            [y[1], -y[0]]
        };
        // cos t = 0.8 at t = atan(3/4).
        let (h, y) = part(&f, 0.0, [1.0, 0.0], 0.9, |y| y[0] - 0.8);
        assert!((h - 0.75_f64.atan()).abs() < 1e-4, "{h}");
        assert!(y[0] <= 0.8 && y[0] > 0.8 - 1e-9, "{y:?}");
        // Each try is a checked step of eleven slopes.
        assert!(tries.get() <= 12 * 11, "{}", tries.get());
        // What is at its mark from the start is so at once, and what bends sharply is still found.
        assert!(part(&f, 0.0, [1.0, 0.0], 0.9, |y| y[0] - 1.0).0 < 1e-6);
        let (h, y) = part(&f, 0.0, [1.0, 0.0], 0.9, |y| (y[0] - 0.8).powi(9));
        assert!((h - 0.75_f64.atan()).abs() < 1e-4 && y[0] <= 0.8, "{h}");
    }

    #[test]
    fn an_oscillator_comes_round_and_the_error_falls_with_the_fifth_power() {
        let f = |_: f64, y: State<2>| [y[1], -y[0]];
        let off = |steps: u32| {
            let h = std::f64::consts::TAU / f64::from(steps);
            let mut y = [1.0, 0.0];
            for n in 0..steps {
                y = checked_step(&f, f64::from(n) * h, y, h).0;
            }
            (y[0] - 1.0).hypot(y[1])
        };
        assert!(off(40) < 1e-6);
        assert!((20.0..80.0).contains(&(off(40) / off(80))), "{}", off(40) / off(80));
    }
}
