//! Tolerance intervals whatever the distribution: from the order of many readings.

use crate::Claim;

/// The confidence with which the readings from the one after the `outside` lowest to the one before the
/// `outside` highest span at least the claimed coverage: P(B <= n - 2 outside - 2), B binomial with n trials of
/// the coverage (Wilks 1941; ISO 16269-6).
pub fn confidence(count: usize, outside: usize, coverage: f64) -> f64 {
    let most = 2 * outside + 2;
    if most > count {
        return 0.0;
    }
    // P(B <= n - most) = P(at least `most` of n lie outside) = 1 - P(fewer do).
    let n = count as f64;
    let fewer: f64 = (0..most)
        .map(|k| {
            let k = k as f64;
            let ways = libm::lgamma(n + 1.0) - libm::lgamma(k + 1.0) - libm::lgamma(n - k + 1.0);
            libm::exp(ways + (n - k) * libm::log(coverage) + k * libm::log(1.0 - coverage))
        })
        .sum();
    (1.0 - fewer).max(0.0)
}

/// How many of `count` readings may lie outside on each side; `None` where even lowest and highest are not
/// enough for the claim.
pub fn left_out(count: usize, claim: Claim) -> Option<usize> {
    let holds = |outside: &usize| confidence(count, *outside, claim.coverage()) >= claim.confidence();
    (0..count / 2).take_while(holds).last()
}

/// The fewest readings whose lowest and highest are enough for the claim.
pub fn fewest(claim: Claim) -> usize {
    let enough = |count: &usize| confidence(*count, 0, claim.coverage()) >= claim.confidence();
    let mut high = 2;
    while !enough(&high) {
        high *= 2;
    }
    let mut low = high / 2;
    while high - low > 1 {
        let middle = low + (high - low) / 2;
        if enough(&middle) { high = middle } else { low = middle }
    }
    high
}

#[cfg(test)]
mod tests {
    use super::{confidence, fewest, left_out};
    use crate::Claim;

    #[test]
    fn the_numbers_of_the_tables() {
        // ISO 16269-6, both sides, lowest and highest: 95/95 from 93, 99/95 from 473, 90/90 from 38.
        for (coverage, confidence, known) in [(0.95, 0.95, 93), (0.99, 0.95, 473), (0.90, 0.90, 38)] {
            assert_eq!(fewest(Claim::new(coverage, confidence).expect("a claim")), known);
        }
    }

    #[test]
    fn two_readings_span_half_with_little_confidence() {
        // P(both on the same side of what is left) for n = 2: 1 - 2 p + p^2 with p = 0.5 is 0.25.
        assert!((confidence(2, 0, 0.5) - 0.25).abs() < 1e-12);
        assert!(confidence(2, 1, 0.5) <= 0.0);
    }

    #[test]
    fn many_readings_allow_some_outside() {
        let claim = Claim::new(0.95, 0.95).expect("a claim");
        assert_eq!(left_out(92, claim), None);
        assert_eq!(left_out(93, claim), Some(0));
        let outside = left_out(500, claim).expect("enough");
        assert!(confidence(500, outside, 0.95) >= 0.95 && confidence(500, outside + 1, 0.95) < 0.95);
    }
}
