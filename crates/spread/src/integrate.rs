//! Integrals of smooth functions.

/// Positions and weights of the Gauss-Legendre rule with eight points (Abramowitz and Stegun, table 25.4),
/// for the positive half.
const POINTS: [(f64, f64); 4] = [
    (0.183_434_642_495_649_8, 0.362_683_783_378_362),
    (0.525_532_409_916_329, 0.313_706_645_877_887_29),
    (0.796_666_477_413_626_7, 0.222_381_034_453_374_47),
    (0.960_289_856_497_536_2, 0.101_228_536_290_376_26),
];

/// Where a function has to be known for its integral from `low` to `high`, cut into `parts`, and how much
/// each value counts.
pub(crate) fn points(low: f64, high: f64, parts: usize) -> impl Iterator<Item = (f64, f64)> {
    let half = 0.5 * (high - low) / parts as f64;
    (0..parts).flat_map(move |part| {
        let middle = low + half * (2 * part + 1) as f64;
        POINTS.into_iter().flat_map(move |(at, weight)| {
            [(middle - half * at, weight * half), (middle + half * at, weight * half)]
        })
    })
}

/// The integral of a smooth function from `low` to `high`, cut into `parts`. What the function does within a
/// part has to be smooth.
pub(crate) fn integral(low: f64, high: f64, parts: usize, f: impl Fn(f64) -> f64) -> f64 {
    points(low, high, parts).map(|(at, weight)| weight * f(at)).sum()
}

#[cfg(test)]
mod tests {
    use super::integral;

    #[test]
    fn powers_and_an_exponential() {
        assert!((integral(0.0, 2.0, 1, |x| x * x * x) - 4.0).abs() < 1e-13);
        assert!((integral(-1.0, 1.0, 2, libm::exp) - (libm::exp(1.0) - libm::exp(-1.0))).abs() < 1e-13);
        assert!((integral(-9.0, 9.0, 40, crate::normal::density) - 1.0).abs() < 1e-13);
    }
}
