//! Whether what a lost link sets going runs for as long as it must to bring her up.

use super::after_loss::{Step, fails_to_empty};
use super::engine::Engine;
use super::no_blow_on_loss::{lasting, lasts};
use super::say;
use super::states::PulsePlace;
use crate::finding::Missing;
use crate::question::Asks;
use crate::setup::quantity::Seconds;
use crate::setup::{DeviceId, Exact, Path, Setup, WorkRef};

/// How long something runs that raises her, held against what it must; of a weight, what it weighs.
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
    /// A weight that is let go and is too light for that.
    TooLight,
    /// It is not on at all, or only until a unit takes over.
    Never,
}

/// Held against `must_run`, a work that is on where `on` says so.
pub(super) fn work(engine: &Engine, steps: &[Step], function: WorkRef, on: impl Fn(&Step) -> bool) -> Enough {
    let w = engine.setup.work(function);
    // A weight that is gone is gone, whatever comes after.
    if w.kind.drops {
        return if steps.iter().any(on) { weight(engine.setup, function) } else { Enough::Never };
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

/// Whether a weight that is gone lifts her with her tank full: more than she is heavier than the water. Of one that floats up
/// by herself nothing has to be known. Other water than that she was weighed in is not reckoned with, so it is an estimate.
pub(super) fn weight(setup: &Setup, function: WorkRef) -> Enough {
    if setup.boat.floats_when_stopped {
        return Enough::Surely;
    }
    let unsaid = |path: Path, bench: &str, holds: Option<String>| {
        Enough::Unsaid(Missing { path, bench: bench.to_owned(), holds, said: false, decides: None })
    };
    let grams = |kilograms: Exact| format!("{} g", (kilograms * Exact::int(1000)).to_decimal(1));
    let heavy = setup.hull.heavy.as_ref().map(|heavy| &heavy.value.0 + &heavy.off.0);
    match (&setup.work(function).facts.weighs, heavy) {
        (None, heavy) => unsaid(
            say::work_path(setup, function).then("weighs"),
            "hang it in water from a balance",
            heavy.map(|heavy| format!("if it weighs more than {} there", grams(heavy.max(Exact::ZERO)))),
        ),
        (Some(weighs), None) => unsaid(
            Path::of(["hull", "heavy"]),
            "fill her tank, hang her in the water she is sailed in from a balance",
            Some(format!("if it shows less than {}", grams(&weighs.value.0 - &weighs.off.0))),
        ),
        (Some(weighs), Some(heavy)) if &weighs.value.0 - &weighs.off.0 > heavy => Enough::ByEstimate,
        (Some(_), Some(_)) => Enough::TooLight,
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
        // An estimate that lacks a figure is none.
        _ if engine.unjudged().is_empty()
            && engine.rehearsal().is_some_and(|found| found.worst.comes_up() == Some(true)) =>
        {
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

/// What has to be for something not to run for as long as it must: each of these may be.
#[derive(Clone, Debug, Default)]
pub(super) struct Short {
    /// Of each row of states in which it lasts for long enough: it fails in one of them.
    surely: Vec<Asks>,
    /// It fails in all states that count, or the estimate does not have her up.
    by_estimate: Vec<Asks>,
}

impl Short {
    /// With another thing of which the same is asked.
    pub(super) fn add(&mut self, other: Self) {
        self.surely.extend(other.surely);
        self.by_estimate.extend(other.by_estimate);
    }

    /// All of it, with the estimate or without it.
    pub(super) fn asks(self, estimated: bool) -> Vec<Asks> {
        let mut all = self.surely;
        all.extend(self.by_estimate.into_iter().filter(|_| estimated));
        all
    }
}

/// The same of a work.
pub(super) fn work_short(engine: &Engine, steps: &[Step], function: WorkRef) -> Short {
    let w = engine.setup.work(function);
    let fails = |step: &Step| {
        let place = step.state.places[function.device].clone();
        let over = engine.unattended(step.state);
        matches!(place, PulsePlace::Fixed { .. }).then_some(Asks::Misses {
            function,
            place,
            over,
            fully: false,
        })
    };
    if w.kind.drops {
        let on: Vec<Asks> = steps.iter().filter_map(fails).collect();
        return match weight(engine.setup, function) {
            Enough::Surely => Short { surely: on, by_estimate: Vec::new() },
            Enough::ByEstimate if !on.is_empty() => {
                let estimated = Asks::Any(vec![Asks::All(on), Asks::Estimated]);
                Short { surely: Vec::new(), by_estimate: vec![estimated] }
            }
            _ => Short::default(),
        };
    }
    short(engine, steps, w.facts.must_run.as_ref().map(|needed| &needed.0), fails)
}

/// The same of a device that empties her tank on one side of its axis.
pub(super) fn device_short(engine: &Engine, steps: &[Step], device: DeviceId, sign: i32) -> Short {
    let fails = |step: &Step| {
        let place = step.state.places[device].clone();
        let is_set = matches!(place, PulsePlace::Fixed { .. });
        let asks = fails_to_empty(engine.setup, device, sign, place, engine.unattended(step.state));
        (is_set && !matches!(asks, Asks::Fact(_))).then_some(asks)
    };
    short(engine, steps, None, fails)
}

/// By the shortest rows of states that last for long enough, none of which contains another.
fn short(
    engine: &Engine,
    steps: &[Step],
    needed: Option<&Exact>,
    fails: impl Fn(&Step) -> Option<Asks>,
) -> Short {
    let mut all = Short::default();
    let mut begins = 0;
    for end in 0..steps.len() {
        let (mut total, mut row) = (Exact::ZERO, Vec::new());
        for (at, step) in steps[..=end].iter().enumerate().skip(begins).rev() {
            let Some(asks) = fails(step) else { break };
            row.push(asks);
            let is_enough = match lasts(engine, steps, step) {
                None => true,
                Some(lasts) => {
                    total = total + lasts;
                    needed.is_some_and(|needed| total >= *needed)
                }
            };
            if is_enough {
                all.surely.push(Asks::Any(row));
                begins = at + 1;
                break;
            }
        }
    }
    let on: Vec<Asks> = lasting(engine, steps).filter_map(&fails).collect();
    if needed.is_some() || on.is_empty() {
        return all;
    }
    // One that floats up by herself needs it for the start only.
    if engine.setup.boat.floats_when_stopped {
        all.surely.push(Asks::All(on));
    } else {
        all.by_estimate.push(Asks::Any(vec![Asks::All(on), Asks::Estimated]));
    }
    all
}

/// What may fail to raise her, and whether it runs for as long as it must.
pub(super) struct Raising {
    /// What may fail.
    pub(super) asks: Asks,
    /// How long it runs.
    pub(super) enough: Enough,
    /// What has to be for that to be too short.
    pub(super) short: Short,
}

/// Broken where each of these may fail, or is over too soon; what nobody said how long it must run raises nobody
/// surely.
pub(super) fn one_that_lasts(engine: &Engine, mut all: Vec<Raising>) -> Asks {
    let estimated = all.iter().any(|raising| matches!(raising.enough, Enough::ByEstimate));
    all.retain(|raising| !matches!(raising.asks, Asks::Fact(true)));
    // What is over too soon anyway shows least.
    all.sort_by_key(|raising| matches!(raising.enough, Enough::TooShortly(_)));
    let asks = |raising: &Raising| {
        Asks::Any(vec![raising.asks.clone(), Asks::All(raising.short.clone().asks(estimated))])
    };
    let every = Asks::All(all.iter().map(asks).collect());
    let unsaid: Vec<Raising> =
        all.into_iter().filter(|raising| matches!(raising.enough, Enough::Unsaid(_))).collect();
    let might = one_of(unsaid.iter().map(|raising| raising.asks.clone()).collect());
    if engine.holds(&every) || !engine.holds(&might) {
        return every;
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
    // What is known not to be has no part in it.
    all.retain(|asks| !matches!(asks, Asks::Fact(true)));
    if all.len() == 1 { all.remove(0) } else { Asks::All(all) }
}
