//! The shortest plan: the least number of readings that decides in the worst case, whatever they show.
//!
//! Alternatives are bits of a word. A choice is a list of what may be left by its reading; a plan is done where no two
//! are left that have to be told apart and can be.

use std::collections::BTreeMap;

/// A set of alternatives.
pub type Set = u64;

/// Which alternatives have to be told apart: for each, those it must not be left together with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Goal {
    /// By alternative.
    pub apart: Vec<Set>,
}

impl Goal {
    /// Whether nothing that has to be told apart is left together.
    pub fn is_met(&self, left: Set) -> bool {
        bits(left).all(|one| self.apart[one] & left == 0)
    }
}

/// The members of a set.
pub fn bits(set: Set) -> impl Iterator<Item = usize> {
    (0..64).filter(move |bit| set & (1 << bit) != 0)
}

/// What a plan comes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct First {
    /// The choice to take first; the first of several that are as good.
    pub choice: usize,
    /// How many readings it takes in the worst case, this one among them.
    pub readings: usize,
    /// Whether none shorter exists; else the search was broken off.
    pub shortest: bool,
}

/// So many sets are looked at before the search is broken off.
const MOST_LOOKED_AT: usize = 200_000;

/// The search.
pub struct Search<'a> {
    goal: &'a Goal,
    choices: &'a [Vec<Set>],
    /// For a set, how many readings are known not to be enough.
    too_few: BTreeMap<Set, usize>,
    looked_at: usize,
}

impl<'a> Search<'a> {
    /// Over these choices.
    pub fn new(goal: &'a Goal, choices: &'a [Vec<Set>]) -> Self {
        Self { goal, choices, too_few: BTreeMap::new(), looked_at: 0 }
    }

    /// The first reading of a shortest plan; `None` where nothing is left to decide.
    pub fn first(&mut self, left: Set) -> Option<First> {
        if self.goal.is_met(left) {
            return None;
        }
        for readings in 1..=left.count_ones() as usize {
            if let Some(choice) = self.enough(left, readings) {
                return Some(First { choice, readings, shortest: self.looked_at <= MOST_LOOKED_AT });
            }
            if self.looked_at > MOST_LOOKED_AT {
                break;
            }
        }
        self.quick(left)
    }

    /// A choice by which so many readings are enough.
    fn enough(&mut self, left: Set, readings: usize) -> Option<usize> {
        if readings == 0 || self.too_few.get(&left).is_some_and(|known| readings <= *known) {
            return None;
        }
        self.looked_at += 1;
        if self.looked_at > MOST_LOOKED_AT {
            return None;
        }
        let mut tried = std::collections::BTreeSet::new();
        for choice in 0..self.choices.len() {
            let outcomes = outcomes(&self.choices[choice], left);
            if outcomes.contains(&left) || !tried.insert(outcomes.clone()) {
                continue;
            }
            let fine = outcomes
                .iter()
                .all(|&rest| self.goal.is_met(rest) || self.enough(rest, readings - 1).is_some());
            if fine {
                return Some(choice);
            }
        }
        if self.looked_at <= MOST_LOOKED_AT {
            self.too_few.insert(left, readings);
        }
        None
    }

    /// Without a search: what leaves least in the worst case.
    fn quick(&self, left: Set) -> Option<First> {
        let worst =
            |choice: &usize| outcomes(&self.choices[*choice], left).iter().map(|s| s.count_ones()).max();
        let best = (0..self.choices.len()).filter(|c| worst(c).is_some_and(|n| n < left.count_ones()));
        let choice = best.min_by_key(|choice| worst(choice))?;
        let readings = left.count_ones() as usize - 1;
        Some(First { choice, readings, shortest: false })
    }
}

/// What a choice may leave of a set: none of them a part of another.
pub fn outcomes(choice: &[Set], left: Set) -> Vec<Set> {
    let mut all: Vec<Set> = choice.iter().map(|set| set & left).filter(|set| *set != 0).collect();
    all.sort_unstable();
    all.dedup();
    let whole = all.clone();
    all.retain(|set| !whole.iter().any(|other| other != set && other & set == *set));
    all
}

/// What one reading may leave of alternatives, of which these sets each predict a range of it: every set that some value
/// is in the range of.
pub fn stabbed<T: Ord>(ranges: &[(Set, &[T; 2])]) -> Vec<Set> {
    // Some value lies in all ranges of a set where the last of their beginnings does.
    let all = ranges.iter().map(|(_, [start, _])| {
        let holds = ranges.iter().filter(|(_, [low, high])| low <= start && start <= high);
        holds.fold(0, |all, (set, _)| all | set)
    });
    let mut all: Vec<Set> = all.collect();
    all.sort_unstable();
    all.dedup();
    let whole = all.clone();
    all.retain(|set| !whole.iter().any(|other| other != set && other & set == *set));
    all
}

#[cfg(test)]
mod tests {
    use super::{Goal, Search, Set, bits, outcomes, stabbed};
    use proptest::prelude::*;

    /// Plainly: every choice at every place, to the end.
    fn exhaustive(goal: &Goal, choices: &[Vec<Set>], left: Set, most: usize) -> Option<usize> {
        if goal.is_met(left) {
            return Some(0);
        }
        if most == 0 {
            return None;
        }
        let of = |choice: &Vec<Set>| {
            let rest: Vec<Set> = choice.iter().map(|set| set & left).filter(|set| *set != 0).collect();
            let deepest = rest.iter().map(|&rest| exhaustive(goal, choices, rest, most - 1));
            deepest.collect::<Option<Vec<_>>>().and_then(|all| all.into_iter().max()).map(|n| n + 1)
        };
        choices.iter().filter_map(of).min()
    }

    #[test]
    fn a_reading_leaves_what_agrees_with_one_value() {
        let ranges = [(1, &[0, 10]), (2, &[8, 12]), (4, &[11, 20]), (8, &[30, 31])];
        assert_eq!(stabbed(&ranges), [0b0011, 0b0110, 0b1000]);
        assert_eq!(outcomes(&stabbed(&ranges), 0b1101), [0b0001, 0b0100, 0b1000]);
    }

    #[test]
    fn three_lines_that_each_reading_tells_one_of_take_three() {
        let goal = Goal { apart: (0..8).map(|n| 0xff & !(1 << n)).collect() };
        let line = |bit: usize| {
            let with = (0..8usize).filter(|n| n >> bit & 1 == 1).fold(0, |set: Set, n| set | 1 << n);
            vec![with, 0xff & !with]
        };
        let choices: Vec<_> = (0..3).map(line).collect();
        let found = Search::new(&goal, &choices).first(0xff);
        assert_eq!(found.map(|f| (f.readings, f.shortest)), Some((3, true)));
    }

    proptest! {
        #[test]
        fn no_plan_is_shorter(
            ranges in prop::collection::vec(prop::collection::vec((0i64..40, 1i64..14), 6), 1..6),
            classes in prop::collection::vec(0usize..4, 6),
        ) {
            let parts = |all: &Vec<(i64, i64)>| {
                let ranges: Vec<[i64; 2]> = all.iter().map(|(at, long)| [*at, at + long]).collect();
                stabbed(&ranges.iter().enumerate().map(|(n, range)| (1 << n, range)).collect::<Vec<_>>())
            };
            let choices: Vec<Vec<Set>> = ranges.iter().map(parts).collect();
            // Only what some choice parts has to be told apart.
            let parted = |a: usize, b: usize| {
                choices.iter().any(|sets| !sets.iter().any(|set| set >> a & 1 == 1 && set >> b & 1 == 1))
            };
            let apart = (0..6).map(|a| {
                (0..6).filter(|&b| classes[a] != classes[b] && parted(a, b)).fold(0, |set: Set, b| set | 1 << b)
            });
            let goal = Goal { apart: apart.collect() };
            let known = exhaustive(&goal, &choices, 0b11_1111, 6);
            let found = Search::new(&goal, &choices).first(0b11_1111);
            prop_assert_eq!(found.map_or(Some(0), |first| first.shortest.then_some(first.readings)), known);
            prop_assert!(bits(0b101).eq([0, 2]));
        }
    }
}
