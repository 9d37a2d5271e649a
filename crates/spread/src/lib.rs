//! What a few readings prove of all that follow.
//!
//! A switch that clicked five times between 35 % and 38 % will not click there for ever. A *tolerance
//! interval* says where a stated share of all clicks lies (its coverage), and how often a claim made in this
//! way is true (its confidence). Its factors are computed here, not looked up: the tables stop at the numbers
//! that somebody printed.
//!
//! | what | by | as in |
//! |---|---|---|
//! | both sides, normal | the integral over where the mean lies | ISO 16269-6, annex on exact factors; Odeh and Owen 1980 |
//! | one side, normal | the non-central t distribution | the same |
//! | both sides, any distribution | the order of the readings: a binomial sum | ISO 16269-6; Wilks 1941 |
//!
//! All of it is plain arithmetic on `libm`, so that every machine comes to the same figure.

pub mod factor;
pub mod free;
mod integrate;
pub mod normal;

use std::fmt;

/// What a claim about readings says: that this share of all that follow lies inside, at this confidence.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Claim {
    coverage: f64,
    confidence: f64,
}

/// The least share, of values or of claims, that a claim can be made for.
pub const LEAST: f64 = 0.5;
/// The greatest. Beyond it no reading that anybody takes would say anything.
pub const MOST: f64 = 0.9999;
/// Fewer readings are not judged: the factors for two to four are so large that they say nothing of use.
pub const FEWEST: usize = 5;

/// A share that no claim is made for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OutOfRange(pub f64);

impl fmt::Display for OutOfRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} is not from {LEAST} to {MOST}", self.0)
    }
}

impl std::error::Error for OutOfRange {}

impl Claim {
    /// A claim for `coverage` of all values at `confidence`, both as fractions of one.
    ///
    /// # Errors
    /// When either is not from [`LEAST`] to [`MOST`].
    pub fn new(coverage: f64, confidence: f64) -> Result<Self, OutOfRange> {
        for share in [coverage, confidence] {
            if !(LEAST..=MOST).contains(&share) {
                return Err(OutOfRange(share));
            }
        }
        Ok(Self { coverage, confidence })
    }

    /// The share of all values that is claimed to lie inside.
    pub fn coverage(&self) -> f64 {
        self.coverage
    }

    /// The share of such claims that is true.
    pub fn confidence(&self) -> f64 {
        self.confidence
    }
}

/// Where the claimed share of all values lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    /// The lower end.
    pub low: f64,
    /// The upper end.
    pub high: f64,
    /// How it was found.
    pub by: By,
}

/// How an interval was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum By {
    /// From mean and standard deviation, taken to be normal.
    Normal,
    /// From the order of the readings, whatever their distribution.
    Order,
}

/// The standard deviation of what is read in steps can be no less than this part of a step: readings that are
/// all equal say that the spread is small beside the step, not that there is none. It is that of a value
/// anywhere within one step (JCGM 100:2008, 4.3.7).
pub fn least_deviation(step: f64) -> f64 {
    step / libm::sqrt(12.0)
}

/// Mean and standard deviation (with n - 1) of at least two readings.
fn moments(readings: &[f64]) -> (f64, f64) {
    let n = readings.len() as f64;
    let mean = readings.iter().sum::<f64>() / n;
    let squares = readings.iter().map(|x| (x - mean) * (x - mean)).sum::<f64>();
    (mean, libm::sqrt(squares / (n - 1.0)))
}

/// The interval that holds the claimed share of all values, from readings taken in steps of `step`.
///
/// With readings enough for it the order of the readings decides and no distribution is assumed; with fewer
/// they are taken to be normal. `None` with fewer than [`FEWEST`], and where a reading is no number.
pub fn interval(readings: &[f64], step: f64, claim: Claim) -> Option<Interval> {
    if readings.len() < FEWEST || readings.iter().any(|x| !x.is_finite()) {
        return None;
    }
    if let Some(outside) = free::left_out(readings.len(), claim) {
        let mut sorted = readings.to_vec();
        sorted.sort_by(f64::total_cmp);
        return Some(Interval {
            low: sorted[outside],
            high: sorted[sorted.len() - 1 - outside],
            by: By::Order,
        });
    }
    let (mean, deviation) = moments(readings);
    let half = factor::two_sided(readings.len(), claim) * deviation.max(least_deviation(step));
    Some(Interval { low: mean - half, high: mean + half, by: By::Normal })
}

/// The interval that `count` readings would give if they had the same mean and spread as these: what more
/// readings would win. `None` as for [`interval`].
pub fn with_more(readings: &[f64], step: f64, claim: Claim, count: usize) -> Option<Interval> {
    if readings.len() < 2 || count < FEWEST || readings.iter().any(|x| !x.is_finite()) {
        return None;
    }
    let (mean, deviation) = moments(readings);
    let half = factor::two_sided(count, claim) * deviation.max(least_deviation(step));
    Some(Interval { low: mean - half, high: mean + half, by: By::Normal })
}

#[cfg(test)]
mod tests {
    use super::{By, Claim, interval, least_deviation, with_more};

    fn claim() -> Claim {
        Claim::new(0.95, 0.95).expect("a claim")
    }

    #[test]
    fn five_clicks_are_widened_by_their_factor() {
        // Mean 36.4; squares 0.16 + 2.56 + 1.96 + 0.36 + 0.16 = 5.2; s = sqrt(5.2 / 4) = 1.14018;
        // half = 5.0769 * 1.14018 = 5.7886.
        let found = interval(&[36.0, 38.0, 35.0, 37.0, 36.0], 1.0, claim()).expect("an interval");
        assert_eq!(found.by, By::Normal);
        assert!((found.low - 30.611).abs() < 0.001 && (found.high - 42.189).abs() < 0.001, "{found:?}");
    }

    #[test]
    fn equal_readings_are_not_perfect() {
        // s is at least 1 / sqrt(12) = 0.288675; half = 5.0769 * 0.288675 = 1.46558.
        let found = interval(&[40.0; 5], 1.0, claim()).expect("an interval");
        assert!((found.high - 41.46558).abs() < 0.0001, "{found:?}");
        assert!((least_deviation(1.0) - 0.288_675).abs() < 1e-6);
    }

    #[test]
    fn fewer_than_five_are_not_judged_and_neither_is_what_is_no_number() {
        assert_eq!(interval(&[36.0, 38.0, 35.0, 37.0], 1.0, claim()), None);
        assert_eq!(interval(&[36.0, 38.0, 35.0, 37.0, f64::NAN], 1.0, claim()), None);
        assert_eq!(with_more(&[36.0], 1.0, claim(), 10), None);
    }

    #[test]
    fn with_readings_enough_their_order_decides() {
        // 93 is the least number for 95/95: 1 - 0.95^93 - 93 * 0.05 * 0.95^92 = 0.9500.
        let mut readings: Vec<f64> = (0..93).map(f64::from).collect();
        readings.rotate_left(40);
        let found = interval(&readings, 1.0, claim()).expect("an interval");
        assert_eq!((found.low, found.high, found.by), (0.0, 92.0, By::Order));
        assert_eq!(interval(&readings[..92], 1.0, claim()).map(|i| i.by), Some(By::Normal));
    }

    #[test]
    fn ten_readings_like_these_would_give_less_room_to_chance() {
        // 3.3935 * 1.14018 = 3.8692.
        let ten = with_more(&[36.0, 38.0, 35.0, 37.0, 36.0], 1.0, claim(), 10).expect("an interval");
        assert!((ten.high - 40.269).abs() < 0.001, "{ten:?}");
    }

    #[test]
    fn a_share_that_nobody_can_claim_is_refused() {
        for share in [0.0, 0.49, 1.0, f64::NAN, -1.0] {
            assert!(Claim::new(share, 0.95).is_err() && Claim::new(0.95, share).is_err(), "{share}");
        }
    }
}
