//! Puts it together: one plan, and the corners of the tolerances that matter.

use super::body::note;
use super::breath::blows;
use super::corner::{Corner, Figure, Salt, Warmth, Worse};
use super::missing::{Missing, Wanted};
use super::plan::Plan;
use super::salt;
use super::scene::Scene;
use super::{Assumption, Cause, Rehearsal, Run, Sample, Start, What};
use crate::physics::units::{MetresPerSecond, Seconds};
use crate::setup::{ChannelId, Emptier, Exact, Figure as Untold, Path, Setup, UnitActs};

/// What lies between the corners that are tried is up to a hundredth faster (looked for by chance, in
/// `tests/outside/check_corners.py`); twice that is added.
const BETWEEN: f64 = 1.02;

/// Follows what a cause sets going. An estimate; it proves nothing. Where a delay is not given, or what comes at all,
/// nobody knows when what comes after it comes, nor how deep she is by then: neither is told.
pub fn rehearse(setup: &Setup, cause: Cause, start: &Start) -> Rehearsal {
    let untold = untold_of(setup, cause);
    if untold.is_empty() {
        return followed(Scene::of(setup, cause, start).looked_at());
    }
    let delays = untold.iter().filter(|figure| matches!(figure, Untold::After | Untold::Wait));
    let late = delays.fold(setup.clone(), |setup, delay| setup.with(*delay, delay.steps()));
    let mut found = followed(Scene::of(&late, cause, start).looked_at());
    let first = match untold[0] {
        Untold::After | Untold::OnLoss => found.nominal.first(|what| *what == What::ReceiverActs),
        _ => found.nominal.first(|what| matches!(what, What::Stage(_))),
    };
    for run in [&mut found.nominal, &mut found.worst, &mut found.quick] {
        run.tell_nothing_from(first.unwrap_or(Seconds(0.0)));
    }
    (found.deepest, found.least_out, found.fastest) = (None, None, None);
    (found.leap, found.blows) = (None, None);
    found.hangs_on.clear();
    found.assumed.retain(|assumed| !matches!(assumed, Assumption::UnitWaits(_)));
    let paths = untold.into_iter().map(path);
    found.missing.extend(paths.map(|path| Missing { wanted: Wanted::Delay, path }));
    found.missing.sort();
    found
}

/// The keys that the file does not give although nothing can be told in time without them.
pub fn untold(setup: &Setup, cause: Cause) -> Vec<Path> {
    untold_of(setup, cause).into_iter().map(path).collect()
}

fn path(untold: Untold) -> Path {
    Path::of(match untold {
        Untold::After => ["receiver", "after"],
        Untold::OnLoss => ["receiver", "on_loss"],
        Untold::Notices => ["fail_safe", "notices"],
        _ => ["fail_safe", "wait"],
    })
}

/// What the file does not give on the way to what a cause sets going, in the order in which it comes.
fn untold_of(setup: &Setup, cause: Cause) -> Vec<Untold> {
    if !cause.applies(setup) {
        return Vec::new();
    }
    let by_link = matches!(cause, Cause::Loss | Cause::PowerUp);
    let receiver = by_link && setup.receiver.after.is_none();
    let unit = setup.fail_safe.as_ref().filter(|_| !by_link || setup.unit() == UnitActs::Sure);
    let wait = unit.is_some_and(|unit| unit.wait.is_none());
    let lacks = |figure: Untold| by_link && setup.lacks(figure);
    let all = [
        receiver.then_some(Untold::After),
        lacks(Untold::OnLoss).then_some(Untold::OnLoss),
        (unit.is_some() && lacks(Untold::Notices)).then_some(Untold::Notices),
        wait.then_some(Untold::Wait),
    ];
    all.into_iter().flatten().collect()
}

/// The same with the delays that are not given at their best, none at all: whatever keeps her down or breaks
/// something then does so with any. Nobody tells a time of it who does not say so, and nobody draws it.
pub fn at_best(setup: &Setup, cause: Cause, start: &Start) -> Rehearsal {
    followed(Scene::of(setup, cause, start))
}

fn followed(mut scene: Scene<'_>) -> Rehearsal {
    let (setup, cause) = (scene.setup, scene.cause);
    let nominal = scene.drawn(&Corner::NOMINAL);
    let (mut worst, others) = scene.worst();
    let hangs_on = scene.hangs_on(&worst, &others);
    if scene.is_looked_at {
        worst.1 = scene.drawn(&worst.0);
    }
    let quick = scene.drawn(&Corner::QUICK);
    let others = others.iter().map(|(_, run)| run);
    let out = |run: &Run| run.track.last().map(|end| end.emptied);
    let outs = std::iter::once(&worst.1).chain(others.clone()).filter_map(out);
    let least_out = outs.reduce(|a, b| if b < a { b } else { a });
    let tracks: Vec<&Run> = [&nominal, &worst.1].into_iter().chain(others).collect();
    let deepest = deepest(tracks.iter().copied());
    // From little depth a late rise with much water out may be the faster one.
    let speed = |run: &Run| run.surfaced.map(|s| MetresPerSecond(-s.sinking.0));
    let up = tracks.iter().copied().chain([&quick]).filter_map(speed).map(|speed| (Corner::QUICK, speed));
    let up: Vec<_> = up.chain(scene.fast()).collect();
    let fastest = up.into_iter().reduce(|a, b| if b.1 > a.1 { b } else { a });
    // Of what she does with gas that could not be followed nobody knows the speed.
    let fastest = fastest.filter(|_| scene.refused.is_empty());
    let leap = fastest.and_then(|(corner, speed)| scene.leap(&corner, speed * BETWEEN));
    let fastest = fastest.map(|(_, speed)| speed * BETWEEN);
    let blows = blows(setup, deepest.map(|d| d.depth));
    if !untold_of(setup, cause).is_empty() {
        note(&mut scene.assumed, Assumption::NoWait);
    }
    Rehearsal {
        cause,
        nominal,
        worst: worst.1,
        quick,
        deepest,
        least_out,
        fastest,
        leap,
        hangs_on,
        blows,
        missing: scene.wants.into_list(),
        refused: scene.refused,
        assumed: scene.assumed,
    }
}

/// The worst case that [`rehearse`] finds, without the others, and what the file does not say of it.
pub fn worst_case(setup: &Setup, cause: Cause, start: &Start) -> (Run, Vec<Missing>) {
    let mut scene = Scene::of(setup, cause, start);
    let (worst, _) = scene.worst();
    (worst.1, scene.wants.into_list())
}

/// The nominal case and the worst of [`rehearse`], and nothing else of it.
pub fn both_cases(setup: &Setup, cause: Cause, start: &Start) -> [Run; 2] {
    let mut scene = Scene::of(setup, cause, start).looked_at();
    let nominal = scene.drawn(&Corner::NOMINAL);
    let (worst, _) = scene.worst();
    [nominal, worst.1]
}

/// How soon the tank can be empty with the link whole and channels held at places by a hand, and how late it is in
/// the worst case; `None` where the file does not tell, or it does not get empty.
pub fn emptied_in(setup: &Setup, held: &[(ChannelId, Exact)]) -> [Option<Seconds>; 2] {
    let start = Start::default();
    let mut scene = Scene::with_plan(setup, Plan::held(held), &start);
    let soon = scene.run(&Corner::QUICK).empty_at;
    [soon, scene.worst().0.1.empty_at]
}

/// The worst case with the link whole and channels held at places by a hand: late, heavy, little flow, and the
/// motor driving her down for as long as nobody says that it stops.
pub fn held_case(setup: &Setup, held: &[(ChannelId, Exact)]) -> Run {
    let start = Start::default();
    let mut scene = Scene::with_plan(setup, Plan::held(held), &start);
    scene.worst().0.1
}

fn deepest<'a>(tracks: impl Iterator<Item = &'a Run> + Clone) -> Option<Sample> {
    if tracks.clone().any(Run::sinks_on) {
        return None;
    }
    tracks.filter_map(|run| run.deepest).reduce(|a, b| if b.depth > a.depth { b } else { a })
}

/// Whether a run in the worst case ends worse than another: never up, up later, or deeper.
pub(super) fn later(run: &Run, other: &Run) -> bool {
    let rank = |r: &Run| {
        let up = if r.comes_up() == Some(true) { r.surfaced } else { None };
        [up.map_or(f64::INFINITY, |s| s.time.0), r.deepest.map_or(f64::INFINITY, |s| s.depth.0)]
    };
    rank(run) > rank(other)
}

impl Scene<'_> {
    /// The worst case, then the other ways in which it was tried, if she can be followed at all: it is not known
    /// beforehand whether more drag or less is worse, nor whether cold, which weakens gas, or warmth, which
    /// makes her heavy, nor whether little salt, which carries less, or much, which presses harder, nor
    /// whether a pump leaves air in the tank.
    fn worst(&mut self) -> ((Corner, Run), Vec<(Corner, Run)>) {
        let mut corners = self.ways().into_iter();
        let first = corners.next().unwrap_or(Corner::NOMINAL);
        let mut worst = (first, self.run(&first));
        let mut others = Vec::new();
        if worst.1.track.is_empty() {
            return (worst, others);
        }
        for corner in corners {
            let run = self.run(&corner);
            let here = (corner, run);
            others.push(if later(&here.1, &worst.1) { std::mem::replace(&mut worst, here) } else { here });
        }
        // Next to where a pump gives up it is the least mass that brings her up last.
        if worst.1.comes_up() == Some(true) {
            let lighter = worst.0.lighter();
            let here = (lighter, self.run(&lighter));
            others.push(if later(&here.1, &worst.1) { std::mem::replace(&mut worst, here) } else { here });
        }
        (worst, others)
    }

    /// The corners among which the worst case is.
    pub(super) fn ways(&self) -> Vec<Corner> {
        let gas = self.setup.tank.emptied_by.iter().any(|(_, by)| matches!(by, Emptier::Gas(_)));
        let mut waters = vec![self.heaviest()];
        let (warmth, salt) = waters[0];
        if gas && warmth != Warmth::Coldest {
            waters.push((Warmth::Coldest, salt));
        }
        if salt != Salt::Middle {
            waters.push((Warmth::Coldest, Salt::Most));
        }
        waters.dedup();
        // Air that springs lets her down deeper, and brings her up sooner.
        let pumps = self.setup.tank.emptied_by.iter().any(|(_, by)| matches!(by, Emptier::Pump(_)));
        let springs = if pumps { &[true, false][..] } else { &[false][..] };
        let drags = waters.iter().flat_map(|water| [2, 1].map(|drag| (*water, drag)));
        let of = |(water, drag)| springs.iter().map(move |springs| Corner::worst(water, drag, *springs));
        drags.flat_map(of).collect()
    }

    /// The figures of which a little more than their tolerance would keep her down for good, if the worst case
    /// brings her up; on whichever of its ways that is, for the latest need not be the nearest to never.
    fn hangs_on(&mut self, (corner, worst): &(Corner, Run), others: &[(Corner, Run)]) -> Vec<Figure> {
        if worst.comes_up() != Some(true) {
            return Vec::new();
        }
        // All at once is worse than each alone, and mostly answers for all of them.
        let mut stays =
            |corner: &Corner, worse| self.track(&Corner { worse, ..*corner }).comes_up() == Some(false);
        let ways = std::iter::once(corner).chain(others.iter().map(|(corner, _)| corner));
        let near: Vec<&Corner> = ways.filter(|corner| stays(corner, Worse::All)).collect();
        let mut any = |figure| near.iter().any(|corner| stays(corner, Worse::Only(figure)));
        Figure::ALL.into_iter().filter(|figure| any(*figure)).collect()
    }

    /// The water of the file in which she is heaviest.
    fn heaviest(&self) -> (Warmth, Salt) {
        let salts = match salt::sailed(self.setup).is_range() {
            true => &[Salt::Least, Salt::Most][..],
            false => &[Salt::Middle][..],
        };
        let waters = [Warmth::Coldest, Warmth::Warmest].into_iter();
        let waters = waters.flat_map(|warmth| salts.iter().map(move |salt| (warmth, *salt)));
        let heavy = waters.map(|water| (water, self.heavy_at(water)));
        let heaviest = heavy.reduce(|one, next| if next.1 > one.1 { next } else { one });
        heaviest.map_or((Warmth::Coldest, Salt::Middle), |(water, _)| water)
    }

    /// How fast she meets the surface on the ways on which that may be fastest.
    fn fast(&mut self) -> Vec<(Corner, MetresPerSecond)> {
        let (warmth, salt) = self.heaviest();
        let mut corners: Vec<Corner> = Corner::fast().collect();
        // Whoever is heavy is so in the water that carries least.
        if warmth != Warmth::Warmest || salt == Salt::Least {
            let heavy = corners.iter().filter(|corner| corner.heavy > 0.0);
            corners.extend(heavy.map(|corner| Corner { warmth, salt, ..*corner }).collect::<Vec<_>>());
        }
        let mut all = Vec::new();
        for corner in corners {
            let up = self.track(&corner).surfaced;
            all.extend(up.map(|s| (corner, MetresPerSecond(-s.sinking.0))));
        }
        all
    }
}
