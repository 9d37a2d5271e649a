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

fn step<const N: usize>(f: &impl Fn(f64, State<N>) -> State<N>, t: f64, y: State<N>, h: f64) -> State<N> {
    let k1 = f(t, y);
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
    let whole = step(f, t, y, h);
    let half = step(f, t, y, h / 2.0);
    let halves = step(f, t + h / 2.0, half, h / 2.0);
    // Fourth order: two halves are 15/16 nearer.
    let off: State<N> = std::array::from_fn(|n| (halves[n] - whole[n]) / 15.0);
    // A NaN has to come out as one: `max` would lose it.
    let error = off.iter().fold(0.0, |most: f64, n| if n.abs() <= most { most } else { n.abs() });
    (along(halves, off, 1.0), error)
}

/// The part of a step after which something holds that does not hold at its beginning, by bisection.
pub(super) fn part<const N: usize>(
    f: &impl Fn(f64, State<N>) -> State<N>,
    t: f64,
    y: State<N>,
    h: f64,
    holds: impl Fn(State<N>) -> bool,
) -> f64 {
    let (mut before, mut after) = (0.0, h);
    for _ in 0..50 {
        let middle = (before + after) / 2.0;
        if holds(checked_step(f, t, y, middle).0) { after = middle } else { before = middle }
    }
    after
}

/// The factor for the next step that would make an error just right.
pub(super) fn next(error: f64, allowed: f64) -> f64 {
    if error <= 0.0 { 2.0 } else { (0.9 * (allowed / error).powf(0.2)).clamp(0.2, 2.0) }
}

#[cfg(test)]
mod tests {
    use super::*;

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
