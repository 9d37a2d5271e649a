//! Whether a set-up keeps the margins on a lost link, and which of them it breaks if it does not.

use super::corner::Corner;
use super::rehearse::later;
use super::scene::Scene;
use super::travel::Places;
use super::{Cause, Run, Start, What};
use crate::physics::units::Metres;
use crate::setup::Setup;
use std::cell::Cell;
use std::rc::Rc;

/// A margin that does not hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Breaks {
    /// She may not come up, or not stay up.
    StaysDown,
    /// She may go deeper than what is allowed beyond the depth limit.
    TooDeep,
    /// Less than half of the tank may be out, or she may not come up, with a quarter less time.
    TooFull,
    /// What raises her is on for less long than the file says that it must run.
    MustRun,
    /// A pump may run for longer than its duty.
    PastDuty,
    /// What is left in the battery may be too little.
    Charge,
}

/// What a search keeps from one trial to the next: where servos can be, and the way on which the last one failed.
#[derive(Debug, Default)]
pub(super) struct Tries {
    places: Rc<Places>,
    failed: Cell<usize>,
}

impl Tries {
    /// That she comes up on all ways of the worst case, on each with so many litres out of the tank.
    pub(super) fn empties(&self, setup: &Setup, start: &Start, out: f64) -> Result<(), Breaks> {
        let emptied = |run: &Run| run.track.last().is_some_and(|end| end.emptied.litres() >= out);
        let is_good = |run: &Run| run.comes_up() == Some(true) && emptied(run);
        let mut scene = self.scene(setup, start);
        self.on_all_ways(&mut scene, |run| if is_good(run) { Ok(()) } else { Err(Breaks::TooFull) })
    }

    /// That she comes up on all ways of the worst case and neither they nor the nominal case go deeper than told, if
    /// anything is, and that no pump is on for longer than its duty in any case.
    pub(super) fn arrives(&self, setup: &Setup, start: &Start, most: Option<Metres>) -> Result<(), Breaks> {
        let mut scene = self.scene(setup, start);
        let may_pass_duty = scene.may_pass_duty();
        let judged = |run: &Run| {
            let deeper = |most: Metres| run.deepest.is_none_or(|deepest| deepest.depth > most);
            if run.comes_up() != Some(true) {
                Err(Breaks::StaysDown)
            } else if most.is_some_and(deeper) {
                Err(Breaks::TooDeep)
            } else {
                rests(run)
            }
        };
        if most.is_some() || may_pass_duty {
            judged(&scene.run(&Corner::NOMINAL))?;
        }
        if may_pass_duty {
            rests(&scene.run(&Corner::QUICK))?;
        }
        self.on_all_ways(&mut scene, judged)
    }

    /// That no pump is on for longer than its duty, in any case.
    pub(super) fn rests(&self, setup: &Setup, start: &Start) -> Result<(), Breaks> {
        let mut scene = self.scene(setup, start);
        if !scene.may_pass_duty() {
            return Ok(());
        }
        // A pump is on longest where it is switched on early and let go late.
        for corner in [Corner::QUICK, Corner::NOMINAL] {
            rests(&scene.run(&corner))?;
        }
        self.on_all_ways(&mut scene, rests)
    }

    fn scene<'a>(&self, setup: &'a Setup, start: &'a Start) -> Scene<'a> {
        Scene::of(setup, Cause::Loss, start).knowing(&self.places)
    }

    /// On all ways of the worst case, and on the latest of them with the least mass.
    fn on_all_ways(
        &self,
        scene: &mut Scene<'_>,
        judged: impl Fn(&Run) -> Result<(), Breaks>,
    ) -> Result<(), Breaks> {
        let ways = scene.ways();
        let mut latest: Option<(Corner, Run)> = None;
        // What failed last mostly fails again, and one is enough.
        let failed = self.failed.get();
        for at in std::iter::once(failed).chain((0..ways.len()).filter(|at| *at != failed)) {
            let Some(way) = ways.get(at) else { continue };
            let run = scene.run(way);
            if let Err(breaks) = judged(&run) {
                self.failed.set(at);
                return Err(breaks);
            }
            if latest.as_ref().is_none_or(|(_, before)| later(&run, before)) {
                latest = Some((*way, run));
            }
        }
        latest.map_or(Ok(()), |(way, _)| judged(&scene.run(&way.lighter())))
    }
}

fn rests(run: &Run) -> Result<(), Breaks> {
    let past = run.first(|what| matches!(what, What::PastDuty(_)));
    if past.is_some() { Err(Breaks::PastDuty) } else { Ok(()) }
}
