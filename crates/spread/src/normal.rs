//! The normal, chi-squared and non-central t distributions.

use crate::integrate::integral;

/// Parts of each stretch of the integral over the deviation.
const PARTS: usize = 64;

/// The density of the normal distribution.
pub fn density(z: f64) -> f64 {
    libm::exp(-0.5 * z * z) / libm::sqrt(2.0 * std::f64::consts::PI)
}

/// The share of a normal distribution below `z`.
pub fn below(z: f64) -> f64 {
    0.5 * libm::erfc(-z * std::f64::consts::FRAC_1_SQRT_2)
}

/// Where the share below is `p`, for `p` inside 0 to 1.
pub fn quantile(p: f64) -> f64 {
    root(-40.0, 40.0, |z| below(z) - p)
}

/// The share of a chi-squared distribution with `freedom` >= 1 degrees of freedom that lies above `x`.
///
/// By its finite sum (Abramowitz and Stegun 26.4.4 and 26.4.5, as the recurrence of the incomplete gamma
/// function in steps of one): all terms are positive, so nothing cancels.
pub fn chi_squared_above(x: f64, freedom: usize) -> f64 {
    if x <= 0.0 {
        return 1.0;
    }
    let half = 0.5 * x;
    let (mut sum, mut order) =
        if freedom.is_multiple_of(2) { (libm::exp(-half), 1.0) } else { (libm::erfc(libm::sqrt(half)), 0.5) };
    let logarithm = libm::log(half);
    while order < 0.5 * freedom as f64 - 0.25 {
        sum += libm::exp(order * logarithm - half - libm::lgamma(order + 1.0));
        order += 1.0;
    }
    sum.min(1.0)
}

/// The density of s / sigma, where s is a standard deviation with `freedom` degrees of freedom.
fn deviation_density(s: f64, freedom: f64) -> f64 {
    if s <= 0.0 {
        return 0.0;
    }
    let half = 0.5 * freedom;
    let logarithm = std::f64::consts::LN_2 + half * libm::log(half) - libm::lgamma(half)
        + (freedom - 1.0) * libm::log(s)
        - half * s * s;
    libm::exp(logarithm)
}

/// The share of a non-central t distribution with `freedom` >= 1 degrees of freedom and non-centrality
/// `shift` that lies below `t`: the integral of the normal distribution over the possible deviations.
pub fn noncentral_t_below(t: f64, freedom: usize, shift: f64) -> f64 {
    let freedom = freedom as f64;
    // s / sigma lies about 1 with a deviation of about 1 / sqrt(2 freedom); with one degree of freedom it
    // is half a normal distribution. Twelve deviations leave out less than what a double holds.
    let wide = 12.0 / libm::sqrt(2.0 * freedom);
    let (low, high) = ((1.0 - wide).max(0.0), 1.0 + wide);
    // The normal distribution turns from nought to one within some 1 / t, which is little where t is large:
    // that stretch has parts of its own.
    let turn = |by: f64| if t == 0.0 { low } else { ((shift + by) / t).clamp(low, high) };
    let (a, b) = (turn(-9.0).min(turn(9.0)), turn(-9.0).max(turn(9.0)));
    let share = |s: f64| below(t * s - shift) * deviation_density(s, freedom);
    [(low, a), (a, b), (b, high)]
        .into_iter()
        .map(|(from, to)| integral(from, to, PARTS, share))
        .sum::<f64>()
        .min(1.0)
}

/// Where a function that is below nought at `low` rises through it before `high`: by chords, the end that stays
/// weighed half (the Illinois rule), so that both ends come in; to the last digits of a double.
pub(crate) fn root(low: f64, high: f64, rises: impl Fn(f64) -> f64) -> f64 {
    let (mut a, mut b) = (low, high);
    let (mut at_a, mut at_b) = (rises(a), rises(b));
    let mut stayed = 0;
    while b - a > 4.0 * f64::EPSILON * b.abs().max(a.abs()) && at_a < 0.0 && at_b > 0.0 {
        let chord = a - at_a * (b - a) / (at_b - at_a);
        let middle = if chord > a && chord < b { chord } else { 0.5 * (a + b) };
        if middle <= a || middle >= b {
            break;
        }
        let here = rises(middle);
        if here < 0.0 {
            (a, at_a) = (middle, here);
            if stayed < 0 {
                at_b *= 0.5;
            }
            stayed = -1;
        } else {
            (b, at_b) = (middle, here);
            if stayed > 0 {
                at_a *= 0.5;
            }
            stayed = 1;
        }
    }
    // The upper end: a factor may be too large by its last digit, never too small.
    b
}

#[cfg(test)]
mod tests {
    use super::{below, chi_squared_above, noncentral_t_below, quantile};

    fn near(found: f64, known: f64) {
        assert!((found - known).abs() < 1e-9, "{found} is not {known}");
    }

    #[test]
    fn the_normal_distribution_and_back() {
        // Abramowitz and Stegun, table 26.1 and 26.5.
        near(below(1.0), 0.841_344_746_069);
        assert!((quantile(0.95) - 1.644_853_627).abs() < 1e-9);
        assert!((quantile(0.995) - 2.575_829_304).abs() < 1e-9);
    }

    #[test]
    fn chi_squared_with_one_two_and_many_degrees_of_freedom() {
        // One: twice the normal tail. Two: exp(-x / 2). Four: exp(-x / 2) (1 + x / 2).
        near(chi_squared_above(1.0, 1), 2.0 * below(-1.0));
        near(chi_squared_above(3.0, 2), libm::exp(-1.5));
        near(chi_squared_above(3.0, 4), libm::exp(-1.5) * 2.5);
        near(chi_squared_above(0.0, 3), 1.0);
        // Its mean is its degrees of freedom, so with very many about half lies above.
        assert!((chi_squared_above(2000.0, 2000) - 0.4958).abs() < 1e-4);
    }

    #[test]
    fn without_a_shift_it_is_the_plain_t() {
        // One degree of freedom: Cauchy, 1/2 + atan(1) / pi = 0.75. Two: 1/2 + t / (2 sqrt(2 + t^2)).
        near(noncentral_t_below(1.0, 1, 0.0), 0.75);
        near(noncentral_t_below(1.0, 2, 0.0), 0.5 + 0.5 / libm::sqrt(3.0));
    }

    #[test]
    fn at_nought_it_is_the_normal_of_the_shift() {
        near(noncentral_t_below(0.0, 7, 1.25), below(-1.25));
    }
}
