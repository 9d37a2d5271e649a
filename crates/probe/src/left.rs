//! What readings leave: of every order the bounds of its scale, or nothing.

use super::scale::Scale;
use super::shot::Shot;
use crate::chain::Order;
use crate::chain::rounded::Range;
use crate::setup::{Exact, Setup};

/// A pulse that was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reading {
    /// What it is called.
    pub name: String,
    /// What was held and dialled in.
    pub shot: Shot,
    /// The pulse, microseconds.
    pub read: Exact,
    /// What set and meter can be off together.
    pub off: Exact,
    /// Whether the file itself has it, so that reading once more does not take its place.
    pub in_file: bool,
}

impl Reading {
    fn between(&self) -> Range {
        [&self.read - &self.off, &self.read + &self.off]
    }
}

/// What each reading may have had behind it, under each order.
pub struct Held<'a> {
    orders: &'a [Order],
    scale: &'a Scale,
    /// By order and reading.
    outputs: Vec<Vec<(Range, Range)>>,
}

/// More readings than these in one group are not looked for one by one.
const MOST_GROUPS: usize = 5_000;

impl<'a> Held<'a> {
    /// Readings against orders, within a scale.
    pub fn against(
        setup: &Setup,
        orders: &'a [Order],
        scale: &'a Scale,
        grain: &Exact,
        readings: &[Reading],
    ) -> Self {
        let dialled: Vec<Setup> = readings.iter().map(|reading| reading.shot.dialled(setup)).collect();
        let of = |order: &Order| {
            let pairs = readings.iter().zip(&dialled);
            pairs.map(|(r, set)| (r.shot.output(set, order, grain), r.between())).collect()
        };
        Self { orders, scale, outputs: orders.iter().map(of).collect() }
    }

    /// The orders that are left, each with the bounds of its scale.
    pub fn left(&self) -> Vec<(Order, Scale)> {
        let all = self.orders.iter().zip(&self.outputs);
        all.filter_map(|(order, outputs)| Some((*order, self.scale.narrowed(outputs)?))).collect()
    }

    fn leaves_nothing(&self, group: &[usize]) -> bool {
        self.outputs.iter().all(|outputs| {
            let some: Vec<(Range, Range)> = group.iter().map(|&n| outputs[n].clone()).collect();
            self.scale.narrowed(&some).is_none()
        })
    }

    /// The smallest group of readings that contradict each other; empty where something is left. Of very many
    /// readings it is one from which none can be left out.
    pub fn contradiction(&self) -> Vec<usize> {
        let count = self.outputs.first().map_or(0, Vec::len);
        let all: Vec<usize> = (0..count).collect();
        if self.orders.is_empty() || !self.leaves_nothing(&all) {
            return Vec::new();
        }
        let mut looked_at = 0;
        for size in 1..=count {
            let mut group: Vec<usize> = (0..size).collect();
            loop {
                looked_at += 1;
                if looked_at > MOST_GROUPS {
                    return self.thinned(all);
                }
                if self.leaves_nothing(&group) {
                    return group;
                }
                if !next_group(&mut group, count) {
                    break;
                }
            }
        }
        all
    }

    fn thinned(&self, mut group: Vec<usize>) -> Vec<usize> {
        for n in (0..group.len()).rev() {
            let mut fewer = group.clone();
            fewer.remove(n);
            if self.leaves_nothing(&fewer) {
                group = fewer;
            }
        }
        group
    }
}

/// The next choice of so many out of `count`, in order; whether there is one.
fn next_group(group: &mut [usize], count: usize) -> bool {
    let size = group.len();
    for n in (0..size).rev() {
        if group[n] < count - size + n {
            group[n] += 1;
            for later in n + 1..size {
                group[later] = group[later - 1] + 1;
            }
            return true;
        }
    }
    false
}

/// Bounds that hold for every order that is left.
pub fn hull(left: &[(Order, Scale)]) -> Option<Scale> {
    let widest = |a: Range, b: &Range| {
        let [low, high] = a;
        [low.min(b[0].clone()), high.max(b[1].clone())]
    };
    left.iter().map(|(_, scale)| scale.clone()).reduce(|a, b| Scale {
        rest: widest(a.rest, &b.rest),
        shorter: widest(a.shorter, &b.shorter),
        longer: widest(a.longer, &b.longer),
        furthest: widest(a.furthest, &b.furthest),
    })
}

/// How finely a set can do its sums at most, if these readings are of one set: the share of `grain` that its sums are
/// rounded by is no less than this.
pub fn least_grain(
    setup: &Setup,
    orders: &[Order],
    scale: &Scale,
    grain: &Exact,
    readings: &[Reading],
) -> Exact {
    let part = |n: i64| grain * Exact::ratio(n, PARTS);
    let fits = |n: i64| !Held::against(setup, orders, scale, &part(n), readings).left().is_empty();
    // The first that fits; one less is still too little, and between the two nobody looked.
    let first = (0..=PARTS).find(|&n| fits(n)).unwrap_or(PARTS);
    part((first - 1).max(0))
}

/// In so many parts of a grain.
const PARTS: i64 = 8;
