//! Whether straight-line conditions can hold at once, decided exactly.
//!
//! The method is the simplex method for bounded variables with the least index first (R. G. Bland,
//! Mathematics of Operations Research 2, 1977), which always ends; all numbers are fractions.

use super::interval::Interval;
use crate::setup::Exact;

/// A sum of multiples of the variables that has to lie between two values, open where one is missing.
#[derive(Clone, Debug)]
pub struct Row {
    /// One for each variable.
    pub factors: Vec<Exact>,
    /// Least allowed.
    pub low: Option<Exact>,
    /// Greatest allowed.
    pub high: Option<Exact>,
}

/// A variable or a sum: its value and what it may be.
struct Quantity {
    value: Exact,
    low: Option<Exact>,
    high: Option<Exact>,
}

impl Quantity {
    fn may_rise(&self) -> bool {
        self.high.as_ref().is_none_or(|h| self.value < *h)
    }

    fn may_fall(&self) -> bool {
        self.low.as_ref().is_none_or(|l| self.value > *l)
    }

    /// What is missing to the nearest allowed value.
    fn missing(&self) -> Option<Exact> {
        match (&self.low, &self.high) {
            (Some(low), _) if self.value < *low => Some(low - &self.value),
            (_, Some(high)) if self.value > *high => Some(high - &self.value),
            _ => None,
        }
    }
}

/// For each row by how much its least and its greatest value have to be multiplied, none of them negative, so
/// that the sum of what lies above the one and below the other is below nought wherever the variables are.
pub type Multipliers = Vec<[Exact; 2]>;

/// Values of the variables within `ranges` at which every row holds, touching included.
///
/// # Errors
/// Why there are none (J. Farkas, Journal für die reine und angewandte Mathematik 124, 1902).
pub fn feasible(ranges: &[Interval], rows: &[Row]) -> Result<Vec<Exact>, Multipliers> {
    let mut none: Multipliers = vec![[Exact::ZERO, Exact::ZERO]; rows.len()];
    let crossed =
        rows.iter().position(|r| matches!((&r.low, &r.high), (Some(low), Some(high)) if low > high));
    if let Some(row) = crossed {
        none[row] = [Exact::ONE, Exact::ONE];
        return Err(none);
    }
    let start = |r: &Interval| Exact::ZERO.clamp(&r.low, &r.high);
    let mut all: Vec<Quantity> = ranges
        .iter()
        .map(|r| Quantity { value: start(r), low: Some(r.low.clone()), high: Some(r.high.clone()) })
        .collect();
    for row in rows {
        let value = row.factors.iter().zip(ranges).map(|(f, r)| f * start(r)).sum();
        all.push(Quantity { value, low: row.low.clone(), high: row.high.clone() });
    }
    // Each line says how one quantity follows from those that are free to move.
    let mut free: Vec<usize> = (0..ranges.len()).collect();
    let mut bound: Vec<usize> = (ranges.len()..all.len()).collect();
    let mut lines: Vec<Vec<Exact>> = rows.iter().map(|r| r.factors.clone()).collect();
    loop {
        let worst = (0..bound.len())
            .filter_map(|i| all[bound[i]].missing().map(|missing| (bound[i], i, missing)))
            .min_by_key(|(quantity, ..)| *quantity);
        let Some((_, i, missing)) = worst else {
            return Ok(all.into_iter().take(ranges.len()).map(|q| q.value).collect());
        };
        let helps = |j: usize| match lines[i][j].signum() * missing.signum() {
            1 => all[free[j]].may_rise(),
            -1 => all[free[j]].may_fall(),
            _ => false,
        };
        let Some(j) = (0..free.len()).filter(|&j| helps(j)).min_by_key(|&j| free[j]) else {
            // It cannot come nearer: every quantity that it follows from is at the end that helps most.
            let towards = missing.signum();
            let mut put = |quantity: usize, factor: Exact| {
                if let Some(row) = quantity.checked_sub(ranges.len()) {
                    none[row][usize::from(factor.signum() < 0)] += factor.abs();
                }
            };
            put(bound[i], Exact::int(towards.into()));
            for (factor, &quantity) in lines[i].iter().zip(&free) {
                put(quantity, -(factor * Exact::int(towards.into())));
            }
            return Err(none);
        };
        let by = &missing / &lines[i][j];
        all[free[j]].value += by.clone();
        for (line, &quantity) in lines.iter().zip(&bound) {
            all[quantity].value += &line[j] * &by;
        }
        exchange(&mut lines, i, j);
        std::mem::swap(&mut free[j], &mut bound[i]);
    }
}

/// Solves line `i` for its quantity `j` and puts that into the other lines.
fn exchange(lines: &mut [Vec<Exact>], i: usize, j: usize) {
    let pivot = lines[i][j].clone();
    let solved: Vec<Exact> = lines[i]
        .iter()
        .enumerate()
        .map(|(k, f)| if k == j { Exact::ONE / &pivot } else { -(f / &pivot) })
        .collect();
    for (row, line) in lines.iter_mut().enumerate() {
        if row == i {
            line.clone_from(&solved);
            continue;
        }
        let factor = std::mem::replace(&mut line[j], Exact::ZERO);
        if factor.is_zero() {
            continue;
        }
        for (mine, theirs) in line.iter_mut().zip(&solved) {
            *mine += &factor * theirs;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Exact, Interval, Multipliers, Row, feasible};
    use proptest::prelude::*;

    fn row(factors: &[i64], low: Exact, high: Exact) -> Row {
        Row { factors: factors.iter().map(|&f| Exact::int(f)).collect(), low: Some(low), high: Some(high) }
    }

    #[test]
    fn two_conditions_that_touch_at_a_third_hold_there_alone() {
        let whole = vec![Interval::between(Exact::int(-1), Exact::ONE)];
        let up = Row { factors: vec![Exact::int(3)], low: Some(Exact::ONE), high: None };
        let down = |at| Row { factors: vec![Exact::int(6)], low: None, high: Some(at) };
        assert_eq!(feasible(&whole, &[up.clone(), down(Exact::int(2))]), Ok(vec![Exact::ratio(1, 3)]));
        let short = Exact::int(2) - Exact::ratio(1, 1_000_000_000);
        let rows = [up, down(short)];
        assert!(kept_apart(&whole, &rows, &feasible(&whole, &rows).expect_err("they miss each other")));
    }

    /// Whether multipliers show that nothing is there.
    fn kept_apart(ranges: &[Interval], rows: &[Row], by: &Multipliers) -> bool {
        let mut factors = vec![Exact::ZERO; ranges.len()];
        let mut most = Exact::ZERO;
        for (row, [above, below]) in rows.iter().zip(by) {
            if above.signum() < 0 || below.signum() < 0 {
                return false;
            }
            for (sum, factor) in factors.iter_mut().zip(&row.factors) {
                *sum += (above - below) * factor;
            }
            for (by, end, sign) in [(above, &row.low, -1), (below, &row.high, 1)] {
                if !by.is_zero() {
                    most += Exact::int(sign) * by * end.as_ref().expect("an end that is weighed is there");
                }
            }
        }
        for (factor, range) in factors.iter().zip(ranges) {
            most += factor * if factor.signum() < 0 { &range.low } else { &range.high };
        }
        most.signum() < 0
    }

    proptest! {
        /// The boxes and rows pass through a known place, or miss it by a sum of their own.
        #[test]
        fn what_holds_somewhere_is_found_and_what_is_found_holds(
            place in proptest::collection::vec(-12i64..=12, 3),
            factors in proptest::collection::vec(proptest::collection::vec(-5i64..=5, 3), 1..5),
            slack in 0i64..3,
        ) {
            let ranges = vec![Interval::between(Exact::int(-1), Exact::ONE); 3];
            let at: Vec<Exact> = place.iter().map(|&p| Exact::ratio(p, 12)).collect();
            let slack = Exact::ratio(slack, 7);
            let sum = |f: &[i64], at: &[Exact]| -> Exact { f.iter().zip(at).map(|(&f, p)| Exact::int(f) * p).sum() };
            let rows: Vec<Row> = factors.iter().map(|f| row(f, sum(f, &at), sum(f, &at) + &slack)).collect();
            let found = feasible(&ranges, &rows).expect("the known place is one");
            for (f, r) in factors.iter().zip(&rows) {
                let sum = sum(f, &found);
                prop_assert!(r.low.as_ref().is_some_and(|l| sum >= *l) && r.high.as_ref().is_some_and(|h| sum <= *h));
            }
            prop_assert!(found.iter().all(|p| p.abs() <= Exact::ONE));
            // The first row asked again for more than it allows.
            let mut rows = rows;
            let more = sum(&factors[0], &at) + &slack + Exact::ratio(1, 1_000_000);
            rows.push(row(&factors[0], more, Exact::int(100)));
            let why = feasible(&ranges, &rows).expect_err("nothing is there");
            prop_assert!(kept_apart(&ranges, &rows, &why));
        }
    }
}
