//! How much of a rehearsal a picture shows.

use super::{Rehearsal, Run, Sample};
use crate::physics::units::{Metres, MetresPerSecond, Seconds};

/// How deep and how long a picture of the nominal and the worst way has to reach.
///
/// One that goes down for good is not followed to where nobody sails, nor for as long as that takes: what matters lies
/// above twice the depth limit, and ends where she passes that.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pictured {
    /// Its lowest line.
    pub depth: Metres,
    /// Its last moment.
    pub until: Seconds,
}

impl Pictured {
    /// For a boat with a depth limit; the limit of one without is where it begins.
    pub fn of(found: &Rehearsal, limit: Option<Metres>) -> Self {
        let runs = [&found.nominal, &found.worst];
        let begins = found.nominal.track.first().map_or(0.0, |s| s.depth.0);
        let lowest = 2.0 * limit.map_or(begins, |limit| limit.0.max(begins));
        let deepest = |run: &Run| {
            let depth = run.track.iter().map(|s| s.depth.0).fold(0.1, f64::max);
            if run.sinks_on() { depth.min(lowest) } else { depth }
        };
        let told = found.deepest.map_or(0.1, |s| s.depth.0);
        let depth = Metres(runs.map(deepest).into_iter().fold(told, f64::max));
        let part = Self { depth, until: Seconds(f64::INFINITY) };
        let ends = |run: &Run| {
            let leaves = part.way(run).last().filter(|_| run.sinks_on()).map(|s| s.time.0);
            // What was meant to raise her is seen to set in.
            let raises = run.raises_at.map_or(0.0, |at| at.0);
            leaves.unwrap_or(run.ends_at().0).max(raises)
        };
        Self { until: Seconds(runs.map(ends).into_iter().fold(1.0, f64::max)), ..part }
    }

    /// What of her way lies within it, to where she leaves it.
    pub fn way(&self, run: &Run) -> Vec<Sample> {
        let past = run.track.iter().position(|s| s.depth > self.depth);
        let mut way = run.track[..past.unwrap_or(run.track.len())].to_vec();
        if let (Some(before), Some(after)) = (way.last().copied(), past.map(|at| run.track[at])) {
            let share = (self.depth.0 - before.depth.0) / (after.depth.0 - before.depth.0);
            let along = |from: f64, to: f64| from + (to - from) * share;
            way.push(Sample {
                time: Seconds(along(before.time.0, after.time.0)),
                depth: self.depth,
                sinking: MetresPerSecond(along(before.sinking.0, after.sinking.0)),
                ..before
            });
        }
        way
    }
}
