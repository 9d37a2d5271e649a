//! Whether any values on the set's steps leave more than those found: branch and bound over all of them.
//!
//! Where both endpoints move by no more than `h` and the sub-trim by no more than `s`, no output moves by
//! more than `L h + s`, with `L` the furthest that a stick signal gets to the endpoint, or 1 if that is
//! more: an endpoint multiplies the signal, cuts it off or bounds the output; the sub-trim is added; the
//! limits after them never part two outputs. A margin is the distance of an output to a place that neither
//! moves, and the smallest of many cannot change faster than each. So what is judged in the middle of a box
//! of values bounds all of the box. Boxes that may still hold more are halved, the most promising first.
//!
//! What is bounded is worked out to 0.01 % of the axis; that much more may be left by other values.

use super::{MOST_SUB_TRIM, Search, Values};
use crate::setup::Exact;
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// Candidates after which the search gives up, so that a strange file cannot hold up a report.
const MOST_SCORED: usize = 4_000;
/// What a look at all other rules counts for among them.
const LOOK: usize = 20;

/// A box of values in steps: sub-trim, low and high endpoint.
type Steps = [[i64; 2]; 3];

/// The boxes left, by the most that they may leave.
type Boxes = BinaryHeap<(Exact, Reverse<Steps>)>;

/// The whole grid, and what is known of it.
struct Grid<'a> {
    /// What stays where a value is not free.
    start: &'a Values,
    step: Exact,
    /// Sub-trim, low and high endpoint: whether it may move.
    free: [bool; 3],
    /// How much an output may move by one step of an endpoint.
    by_end: Exact,
    left: usize,
}

impl Grid<'_> {
    fn whole(&self, furthest: &Exact) -> Steps {
        let steps = |size: &Exact| (size / &self.step).floor().unwrap_or(0).max(0);
        let (trims, ends) = (steps(&Exact::percent(MOST_SUB_TRIM)), steps(furthest));
        let all = [[-trims, trims], [0, ends], [0, ends]];
        [0, 1, 2].map(|i| if self.free[i] { all[i] } else { [0, 0] })
    }

    fn middle(&self, steps: &Steps) -> Values {
        let at = |i: usize, fixed: &Exact| {
            if self.free[i] { &self.step * Exact::int(middle(steps[i])) } else { fixed.clone() }
        };
        (at(0, &self.start.0), [at(1, &self.start.1[0]), at(2, &self.start.1[1])])
    }

    /// By how much more than its middle a box may leave.
    fn more(&self, steps: &Steps) -> Exact {
        let half = |i: usize| Exact::int(steps[i][1] - middle(steps[i]));
        &self.by_end * half(1).max(half(2)) + &self.step * half(0)
    }
}

/// The middle of a stretch of steps, the lower of two.
fn middle([low, high]: [i64; 2]) -> i64 {
    low + (high - low) / 2
}

/// Both halves of a box, across where it is widest; `None` for a single point.
fn halves(steps: &Steps) -> Option<[Steps; 2]> {
    let wide = |i: &usize| steps[*i][1] - steps[*i][0];
    let i = (0..3).rev().max_by_key(wide).filter(|i| wide(i) > 0)?;
    let cut = middle(steps[i]);
    let (mut lower, mut upper) = (*steps, *steps);
    lower[i][1] = cut;
    upper[i][0] = cut + 1;
    Some([lower, upper])
}

impl Search<'_> {
    /// The best of all values, beginning with the best so far; and whether it is known that none on the
    /// set's steps leaves more. `trims` tells whether the sub-trim may move.
    pub(super) fn best_of_all(&mut self, start: &Values, best: Values, trims: bool) -> (Values, bool) {
        let rank = self.score(&best).rank();
        let Some(steepest) = self.judge.steepest(self.setup) else { return (best, false) };
        let step = self.setup.transmitter.step.clone();
        let by_end = &steepest * &step;
        let free = [trims, self.free[0], self.free[1]];
        let mut grid = Grid { start, step, free, by_end, left: MOST_SCORED };
        let mut known = (best, rank);
        let mut boxes = Boxes::new();
        let whole = grid.whole(&self.setup.transmitter.furthest);
        if !self.look_at(whole, None, &mut grid, &mut known, &mut boxes) {
            return (known.0, false);
        }
        while let Some((most, Reverse(steps))) = boxes.pop() {
            if known.1.0 && known.1.1 && known.1.2.as_ref().is_some_and(|least| most <= *least) {
                break;
            }
            for half in halves(&steps).into_iter().flatten() {
                if !self.look_at(half, Some(&most), &mut grid, &mut known, &mut boxes) {
                    return (known.0, false);
                }
            }
        }
        (known.0, true)
    }

    /// Judges the middle of a box and keeps the box if it may hold more; `false` where the search gives up.
    fn look_at(
        &mut self,
        steps: Steps,
        most: Option<&Exact>,
        grid: &mut Grid<'_>,
        known: &mut (Values, super::Rank),
        boxes: &mut Boxes,
    ) -> bool {
        let values = grid.middle(&steps);
        let score = self.score(&values);
        let mut price = 1;
        if score.rank() > known.1 {
            price += LOOK;
            if self.harmless(&values) {
                *known = (values, score.rank());
            }
        }
        // What has no margin there says nothing about the rest of the box.
        let here = score.least().map(|least| &least.0 + grid.more(&steps));
        let most = match (here, most) {
            (Some(here), Some(most)) => here.min(most.clone()),
            (Some(here), None) => here,
            (None, Some(most)) => most.clone(),
            (None, None) => return false,
        };
        boxes.push((most, Reverse(steps)));
        let enough = grid.left >= price;
        grid.left = grid.left.saturating_sub(price);
        enough
    }
}
