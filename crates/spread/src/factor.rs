//! Factors of tolerance intervals for readings that are taken to be normal.

use crate::Claim;
use crate::integrate::points;
use crate::normal::{below, chi_squared_above, density, noncentral_t_below, quantile, root};

/// Parts of the integral over where the mean lies: a deviation each.
const PARTS: usize = 8;

/// By how many standard deviations a mean of `count` readings has to be widened on both sides so that at least
/// the claimed share of all values lies inside: exact, not by an approximation.
///
/// With the mean of the readings off by z deviations, an interval of half-width r about it holds the share
/// where `below(z + r) - below(z - r)` says so; the deviation that was read has to be at least r / k. The
/// confidence is the integral of that over z, which is normal with deviation 1 / sqrt(n) (Odeh and Owen 1980;
/// ISO 16269-6, exact factors). One reading has no spread: the factor is infinite.
pub fn two_sided(count: usize, claim: Claim) -> f64 {
    if count < 2 {
        return f64::INFINITY;
    }
    let root_n = libm::sqrt(count as f64);
    let freedom = (count - 1) as f64;
    let centred = quantile(0.5 + 0.5 * claim.coverage());
    // It is the same on both sides of nought, so half is integrated; eight and a half deviations hold all of
    // it that a double tells from one.
    let weighed: Vec<(f64, f64)> = points(0.0, 8.5 / root_n, PARTS)
        .map(|(z, width)| {
            let r = half_width(z, claim.coverage(), centred);
            (r * r, 2.0 * width * root_n * density(z * root_n))
        })
        .collect();
    let confidence = |k: f64| -> f64 {
        weighed.iter().map(|(rr, weight)| weight * chi_squared_above(freedom * rr / (k * k), count - 1)).sum()
    };
    let mut most = 2.0 * centred;
    while confidence(most) < claim.confidence() {
        most *= 2.0;
    }
    root(0.0, most, |k| if k > 0.0 { confidence(k) - claim.confidence() } else { -claim.confidence() })
}

/// By how many standard deviations a mean of `count` readings has to be moved so that at least the claimed
/// share of all values lies on its near side: the quantile of a non-central t distribution.
pub fn one_sided(count: usize, claim: Claim) -> f64 {
    if count < 2 {
        return f64::INFINITY;
    }
    let root_n = libm::sqrt(count as f64);
    let shift = quantile(claim.coverage()) * root_n;
    let rises = |t: f64| noncentral_t_below(t, count - 1, shift) - claim.confidence();
    let mut most = shift + 10.0;
    while rises(most) < 0.0 {
        most *= 2.0;
    }
    root(-most, most, rises) / root_n
}

/// The half-width of an interval about `z` >= 0 that holds a share of a normal distribution, from the
/// half-width of one about nought.
fn half_width(z: f64, share: f64, centred: f64) -> f64 {
    // The share grows ever more slowly with r beyond z, so steps from below never pass the root; from above
    // the first may land below it, and the rest come up.
    let mut r = z + centred;
    for _ in 0..100 {
        let over = below(z + r) - below(z - r) - share;
        let step = over / (density(z + r) + density(z - r));
        r -= step;
        if step.abs() <= 1e-15 * r {
            break;
        }
    }
    r
}

#[cfg(test)]
mod tests {
    use super::{one_sided, two_sided};
    use crate::Claim;
    use proptest::prelude::*;

    fn claim(coverage: f64, confidence: f64) -> Claim {
        Claim::new(coverage, confidence).expect("a claim")
    }

    #[test]
    fn both_sides_as_in_the_tables() {
        // Odeh and Owen 1980, as in ISO 16269-6: coverage, confidence, n, k.
        for (coverage, confidence, count, known) in [
            (0.90, 0.90, 5, 3.499),
            (0.95, 0.90, 5, 4.142),
            (0.95, 0.95, 5, 5.077),
            (0.99, 0.95, 5, 6.598),
            (0.90, 0.90, 10, 2.546),
            (0.95, 0.90, 10, 3.026),
            (0.95, 0.95, 10, 3.393),
            (0.90, 0.90, 20, 2.158),
            (0.95, 0.90, 20, 2.570),
            (0.95, 0.95, 20, 2.760),
            (0.90, 0.90, 30, 2.029),
            (0.95, 0.90, 30, 2.417),
            (0.95, 0.95, 30, 2.555),
        ] {
            let found = two_sided(count, claim(coverage, confidence));
            assert!(
                (found - known).abs() <= 0.000_501,
                "{count}: {coverage}/{confidence}: {found}, not {known}"
            );
        }
    }

    #[test]
    fn one_side_as_in_the_tables() {
        for (confidence, count, known) in [
            (0.90, 5, 3.400),
            (0.95, 5, 4.203),
            (0.90, 10, 2.568),
            (0.95, 10, 2.911),
            (0.90, 20, 2.208),
            (0.95, 20, 2.396),
        ] {
            let found = one_sided(count, claim(0.95, confidence));
            assert!((found - known).abs() <= 0.000_501, "{count}, {confidence}: {found}, not {known}");
        }
    }

    #[test]
    fn one_reading_has_no_spread() {
        assert!(
            two_sided(1, claim(0.95, 0.95)).is_infinite() && one_sided(0, claim(0.95, 0.95)).is_infinite()
        );
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(24))]
        #[test]
        fn more_readings_never_ask_for_more_and_a_larger_claim_never_for_less(
            count in 2usize..60, coverage in 0.5f64..0.99, confidence in 0.5f64..0.99
        ) {
            let of = |count, p, g| two_sided(count, claim(p, g));
            let here = of(count, coverage, confidence);
            prop_assert!(of(count + 1, coverage, confidence) < here || confidence < 0.6);
            prop_assert!(of(count, coverage + 0.005, confidence) > here);
            prop_assert!(of(count, coverage, confidence + 0.005) > here);
        }
    }
}
