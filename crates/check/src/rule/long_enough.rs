//! Whether what a lost link sets going runs for as long as it must to bring her up.

use super::after_loss::Step;
use super::engine::Engine;
use super::no_blow_on_loss::{lasting, lasts};
use super::say;
use crate::finding::Missing;
use crate::question::Asks;
use crate::setup::quantity::Seconds;
use crate::setup::{Exact, Path, WorkRef};

/// How long something runs that raises her, held against what it must.
#[derive(Clone, Debug)]
pub(super) enum Enough {
    /// For as long as it must, or until the signal returns.
    Surely,
    /// The file says of no work how long it must run, and the estimate has her up.
    ByEstimate,
    /// For less than it must: the longest of its goes.
    TooShortly(Exact),
    /// Nobody said how long it must.
    Unsaid(Missing),
    /// It is not on at all, or only until a unit takes over.
    Never,
}

/// Held against `must_run`, a work that is on where `on` says so.
pub(super) fn work(engine: &Engine, steps: &[Step], function: WorkRef, on: impl Fn(&Step) -> bool) -> Enough {
    let w = engine.setup.work(function);
    // A weight that is gone is gone, whatever comes after.
    if w.kind.drops {
        return if steps.iter().any(on) { Enough::Surely } else { Enough::Never };
    }
    let Some(needed) = &w.facts.must_run else {
        let path = say::work_path(engine.setup, function).then("must_run");
        let bench =
            "open it at the depth limit, tank full, and take the time until she is on her way up by herself";
        return without_figure(engine, steps, on, path, bench);
    };
    match longest(engine, steps, on) {
        Some(None) => Enough::Surely,
        Some(Some(go)) if go >= needed.0 => Enough::Surely,
        Some(Some(go)) => Enough::TooShortly(go),
        None => Enough::Never,
    }
}

/// A device that empties her tank; of those only the estimate says how long they must run.
pub(super) fn device(engine: &Engine, steps: &[Step], on: impl Fn(&Step) -> bool) -> Enough {
    let bench = "weigh her and measure her tank and what empties it, so that it can be estimated whether that is long \
                 enough";
    without_figure(engine, steps, on, Path::of(["hull"]), bench)
}

fn without_figure(
    engine: &Engine,
    steps: &[Step],
    on: impl Fn(&Step) -> bool,
    path: Path,
    bench: &str,
) -> Enough {
    if !lasting(engine, steps).any(&on) {
        return Enough::Never;
    }
    // One that floats up by herself needs it for the start only.
    match longest(engine, steps, on) {
        _ if engine.setup.boat.floats_when_stopped => Enough::Surely,
        Some(None) => Enough::Surely,
        _ if engine.rehearsal().is_some_and(|found| found.worst.comes_up() == Some(true)) => {
            Enough::ByEstimate
        }
        go => {
            let told =
                |go: Exact| format!("if it must run for no longer than {} s", go.to_decimal(Seconds::PLACES));
            let holds = go.flatten().map(told);
            Enough::Unsaid(Missing { path, bench: bench.to_owned(), holds, said: false, decides: None })
        }
    }
}

/// The longest time for which something is on in one go; `Some(None)`: until the signal returns.
fn longest(engine: &Engine, steps: &[Step], on: impl Fn(&Step) -> bool) -> Option<Option<Exact>> {
    let mut most: Option<Exact> = None;
    let mut go = Exact::ZERO;
    for step in steps {
        if !on(step) {
            go = Exact::ZERO;
            continue;
        }
        let Some(lasts) = lasts(engine, steps, step) else { return Some(None) };
        go = go + lasts;
        most = Some(most.map_or(go.clone(), |most| most.max(go.clone())));
    }
    most.map(Some)
}

/// What may fail to raise her, and whether it runs for as long as it must.
pub(super) struct Raising {
    /// What may fail.
    pub(super) asks: Asks,
    /// How long it runs.
    pub(super) enough: Enough,
}

/// Broken where each of these may fail, or is over too soon; what nobody said how long it must run raises nobody
/// surely.
pub(super) fn one_that_lasts(engine: &Engine, all: Vec<Raising>) -> Asks {
    let lasting = all.into_iter().filter(|raising| !matches!(raising.enough, Enough::TooShortly(_)));
    let (unsaid, sure): (Vec<_>, Vec<_>) =
        lasting.partition(|raising| matches!(raising.enough, Enough::Unsaid(_)));
    let asks = |all: &[Raising]| all.iter().map(|raising| raising.asks.clone()).collect::<Vec<_>>();
    let enough = one_of(asks(&sure));
    if engine.holds(&enough) || !engine.holds(&one_of(asks(&unsaid))) {
        return one_of([asks(&sure), asks(&unsaid)].concat());
    }
    let mut missing: Vec<Missing> = Vec::new();
    for raising in unsaid {
        if let Enough::Unsaid(key) = raising.enough
            && !missing.contains(&key)
        {
            missing.push(key);
        }
    }
    Asks::Unsaid(missing)
}

/// Broken where each of these may be: one that surely is not is enough.
pub(super) fn one_of(mut all: Vec<Asks>) -> Asks {
    match all.len() {
        0 => Asks::Fact(true),
        1 => all.remove(0),
        _ => Asks::All(all),
    }
}
