//! Readings of one point, and what they prove of all that follow.

use super::Toleranced;
use crate::setup::exact::Exact;
use lidcard_spread::{Claim, interval, with_more};

/// Readings of one point that was crept up to, each as written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Readings {
    /// What was read; a tolerance is the rounding of a conversion only.
    pub taken: Vec<Toleranced>,
    /// The steps in which it was crept up to.
    pub step: Exact,
    /// The way of creeping along the axis: -1 or +1. The point lies within one step before each reading.
    pub crept: i32,
    /// The share of all values that has to lie inside.
    pub coverage: Exact,
    /// How often such a claim is true.
    pub confidence: Exact,
}

/// Ends of an interval come out of a root and an integral; they are kept to this, rounded outwards.
fn grid() -> Exact {
    Exact::ratio(1, 10_000)
}

/// What a double may be off; far below the grid, far above what the arithmetic loses.
const LOST: f64 = 1e-12;

impl Readings {
    /// Whether there are enough of them to prove anything.
    pub fn enough(&self) -> bool {
        self.taken.len() >= lidcard_spread::FEWEST
    }

    /// Where the point lies: the tolerance interval, with the step from which it was crept up to on its one
    /// side. Of too few readings the middle, half their spread and at least a step, which proves nothing.
    pub fn point(&self) -> Option<Toleranced> {
        let found = self.claim().and_then(|claim| interval(&self.values(), self.step.to_f64(), claim));
        match found {
            Some(found) => self.within(found.low, found.high),
            None => self.half_the_spread(),
        }
    }

    /// Where it would lie if there were so many readings with the same mean and spread.
    pub fn point_of(&self, count: usize) -> Option<Toleranced> {
        let found = with_more(&self.values(), self.step.to_f64(), self.claim()?, count)?;
        self.within(found.low, found.high)
    }

    /// The mean of what was read.
    pub fn mean(&self) -> Exact {
        let sum: Exact = self.taken.iter().map(|r| r.value.clone()).sum();
        sum / Exact::int(self.taken.len().max(1) as i64)
    }

    fn claim(&self) -> Option<Claim> {
        Claim::new(self.coverage.to_f64(), self.confidence.to_f64()).ok()
    }

    fn values(&self) -> Vec<f64> {
        self.taken.iter().map(|r| r.value.to_f64()).collect()
    }

    fn within(&self, low: f64, high: f64) -> Option<Toleranced> {
        // Nought but for readings in millimetres.
        let rounding = self.taken.iter().map(|r| r.off.clone()).max()?;
        let mut low = Exact::from_f64(low - LOST)? - &rounding;
        let mut high = Exact::from_f64(high + LOST)? + rounding;
        if self.crept < 0 {
            high += self.step.clone();
        } else {
            low = low - &self.step;
        }
        let low = Exact::int((low / grid()).floor()?) * grid();
        let high = Exact::int((high / grid()).ceil()?) * grid();
        let half = Exact::ratio(1, 2);
        Some(Toleranced { value: (&low + &high) * &half, off: (high - low) * half })
    }

    fn half_the_spread(&self) -> Option<Toleranced> {
        let low = self.taken.iter().map(|r| r.value.clone()).min()?;
        let high = self.taken.iter().map(|r| r.value.clone()).max()?;
        let rounding = self.taken.iter().map(|r| r.off.clone()).max()?;
        let half = Exact::ratio(1, 2);
        let spread = (&high - &low) * &half;
        Some(Toleranced { value: (low + high) * half, off: spread.max(self.step.clone()) + rounding })
    }
}

#[cfg(test)]
mod tests {
    use super::Readings;
    use crate::setup::Toleranced;
    use crate::setup::exact::Exact;

    fn readings(percent: &[i64], crept: i32) -> Readings {
        Readings {
            taken: percent
                .iter()
                .map(|p| Toleranced { value: Exact::percent(*p), off: Exact::ZERO })
                .collect(),
            step: Exact::percent(1),
            crept,
            coverage: Exact::percent(95),
            confidence: Exact::percent(95),
        }
    }

    fn ends(readings: &Readings) -> (String, String) {
        let point = readings.point().expect("readings");
        let of = |end: Exact| (end * Exact::int(100)).to_decimal(4);
        (of(&point.value - &point.off), of(point.value + point.off))
    }

    #[test]
    fn five_clicks_are_widened_by_their_factor_and_by_the_step_they_were_crept_in() {
        // Mean 36.4, s = sqrt(5.2 / 4) = 1.14018, factor 5.0769 (95/95, n = 5): 36.4 ± 5.7886.
        // From rest upwards, so the click lies within a step below each reading: 30.6114 - 1 and 42.1886.
        assert_eq!(ends(&readings(&[36, 38, 35, 37, 36], 1)), ("29.61".into(), "42.19".into()));
        assert_eq!(ends(&readings(&[36, 38, 35, 37, 36], -1)), ("30.61".into(), "43.19".into()));
        assert_eq!(ends(&readings(&[-36, -38, -35, -37, -36], -1)), ("-42.19".into(), "-29.61".into()));
    }

    #[test]
    fn anything_dangerous_has_to_hold_for_more() {
        // Factor 6.598 (99/95, n = 5): 36.4 ± 7.5229.
        let mut readings = readings(&[36, 38, 35, 37, 36], 1);
        readings.coverage = Exact::percent(99);
        assert_eq!(ends(&readings), ("27.87".into(), "43.93".into()));
    }

    #[test]
    fn four_readings_prove_nothing_and_keep_their_spread() {
        assert_eq!(ends(&readings(&[36, 38, 35, 37], 1)), ("35".into(), "38".into()));
        assert!(!readings(&[36, 38, 35, 37], 1).enough());
    }

    #[test]
    fn ten_readings_like_these_would_leave_more_room() {
        // Factor 3.393 (95/95, n = 10): 36.4 + 3.8692.
        let point = readings(&[36, 38, 35, 37, 36], 1).point_of(10).expect("enough");
        assert_eq!(((point.value + point.off) * Exact::int(100)).to_decimal(4), "40.27");
    }
}
