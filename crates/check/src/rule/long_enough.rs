//! Whether what a lost link sets going runs for as long as it must to bring her up.

use super::after_loss::{Step, emptying, fails_to_empty};
use super::engine::Engine;
use super::say;
use super::states::PulsePlace;
use crate::finding::{Missing, StateId};
use crate::question::Asks;
use crate::setup::quantity::Seconds;
use crate::setup::{DeviceId, Exact, Path, Setup, UnitActs, WorkRef};

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

/// What something has to do that raises her.
enum Must<'c> {
    /// Weigh enough; once it is gone it is gone, whatever comes after.
    Weigh(WorkRef),
    /// Run for so long in one go.
    Run(&'c Exact),
    /// Run for as long as the estimate says, since the file does not: where it would, and what tells.
    Estimate(Path, &'static str),
}

/// Something that raises her, over what comes with a lost link.
pub(super) struct Raiser<'e, 'c> {
    engine: &'e Engine<'c>,
    steps: &'e [Step<'e>],
    /// The function; `None`: a device that empties her tank.
    pub(super) function: Option<WorkRef>,
    must: Must<'c>,
    /// Of each step, what has to be for it not to be on; `None` where no figure of the file sets it on.
    fails: Vec<Option<Asks>>,
}

impl<'e, 'c> Raiser<'e, 'c> {
    /// All there are: what empties her tank, and the functions that raise.
    pub(super) fn all(engine: &'e Engine<'c>, steps: &'e [Step<'e>]) -> Vec<Self> {
        let devices = emptying(engine.setup).into_iter();
        let devices = devices.map(|(device, sign)| Self::device(engine, steps, device, sign));
        let works = engine.works().filter(|(_, w)| w.kind.raises());
        devices.chain(works.map(|(function, _)| Self::work(engine, steps, function))).collect()
    }

    /// A function that raises.
    pub(super) fn work(engine: &'e Engine<'c>, steps: &'e [Step<'e>], function: WorkRef) -> Self {
        let w = engine.setup.work(function);
        let bench =
            "open it at the depth limit, tank full, and take the time until she is on her way up by herself";
        let must = match &w.facts.must_run {
            _ if w.kind.drops => Must::Weigh(function),
            Some(needed) => Must::Run(&needed.0),
            None => Must::Estimate(say::work_path(engine.setup, function).then("must_run"), bench),
        };
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
        Self { engine, steps, function: Some(function), must, fails: steps.iter().map(fails).collect() }
    }

    /// A device that empties her tank on one side of its axis; of those only the estimate says how long they must run.
    pub(super) fn device(engine: &'e Engine<'c>, steps: &'e [Step<'e>], device: DeviceId, sign: i32) -> Self {
        let bench = "weigh her and measure her tank and what empties it, so that it can be estimated whether that is \
                     long enough";
        let fails = |step: &Step| {
            let place = step.state.places[device].clone();
            let is_set = matches!(place, PulsePlace::Fixed { .. });
            let asks = fails_to_empty(engine.setup, device, sign, place, engine.unattended(step.state));
            (is_set && !matches!(asks, Asks::Fact(_))).then_some(asks)
        };
        let must = Must::Estimate(Path::of(["hull"]), bench);
        Self { engine, steps, function: None, must, fails: steps.iter().map(fails).collect() }
    }

    /// Whether it runs for as long as it must.
    pub(super) fn enough(&self) -> Enough {
        let engine = self.engine;
        let on: Vec<bool> =
            self.fails.iter().map(|fails| fails.as_ref().is_some_and(|fails| engine.holds(fails))).collect();
        match &self.must {
            Must::Weigh(function) if on.contains(&true) => weight(engine.setup, *function),
            Must::Weigh(_) => Enough::Never,
            Must::Run(needed) => match self.longest(&on) {
                Some(Some(go)) if go < **needed => Enough::TooShortly(go),
                Some(_) => Enough::Surely,
                None => Enough::Never,
            },
            Must::Estimate(path, bench) => self.by_estimate(&on, path, bench),
        }
    }

    fn by_estimate(&self, on: &[bool], path: &Path, bench: &str) -> Enough {
        let engine = self.engine;
        if !self.lasting().any(|at| on[at]) {
            return Enough::Never;
        }
        match self.longest(on) {
            // One that floats up by herself needs it for the start only.
            _ if engine.setup.boat.floats_when_stopped => Enough::Surely,
            Some(None) => Enough::Surely,
            // An estimate that lacks a figure is none.
            _ if engine.unjudged().is_empty()
                && engine.rehearsal().is_some_and(|found| found.worst.comes_up() == Some(true)) =>
            {
                Enough::ByEstimate
            }
            go => {
                let told = |go: Exact| {
                    format!("if it must run for no longer than {} s", go.to_decimal(Seconds::PLACES))
                };
                let holds = go.flatten().map(told);
                let (path, bench) = (path.clone(), bench.to_owned());
                Enough::Unsaid(Missing { path, bench, holds, said: false, decides: None })
            }
        }
    }

    /// The longest time for which it is on in one go; `Some(None)`: until the signal returns.
    fn longest(&self, on: &[bool]) -> Option<Option<Exact>> {
        let mut most: Option<Exact> = None;
        let mut go = Exact::ZERO;
        for (step, on) in self.steps.iter().zip(on) {
            if !on {
                go = Exact::ZERO;
                continue;
            }
            let Some(lasts) = lasts(self.engine, self.steps, step) else { return Some(None) };
            go = go + lasts;
            most = Some(most.map_or(go.clone(), |most| most.max(go.clone())));
        }
        most.map(Some)
    }

    /// The steps that count: what a preset does until a unit takes over does not last, only what holds for good and
    /// the stages.
    fn lasting(&self) -> impl Iterator<Item = usize> {
        let taken_over = self.engine.unit != UnitActs::Absent && self.steps.len() > 1;
        let counts = move |step: &Step| {
            step.named != StateId::Waiting || !taken_over || (step.lasts.is_none() && hands_back(self.engine))
        };
        (0..self.steps.len()).filter(move |at| counts(&self.steps[*at]))
    }

    /// What has to be for it not to run for as long as it must.
    pub(super) fn short(&self) -> Short {
        let needed = match &self.must {
            Must::Weigh(function) => return self.light(*function),
            Must::Run(needed) => Some(*needed),
            Must::Estimate(..) => None,
        };
        let mut all = Short { surely: self.rows(needed), by_estimate: Vec::new() };
        let on: Vec<Asks> = self.lasting().filter_map(|at| self.fails[at].clone()).collect();
        if needed.is_some() || on.is_empty() {
            return all;
        }
        // One that floats up by herself needs it for the start only.
        if self.engine.setup.boat.floats_when_stopped {
            all.surely.push(Asks::All(on));
        } else {
            all.by_estimate.push(Asks::Any(vec![Asks::All(on), Asks::Estimated]));
        }
        all
    }

    /// The same of a weight: it is let go nowhere, or is too light by the estimate.
    fn light(&self, function: WorkRef) -> Short {
        let on: Vec<Asks> = self.fails.iter().flatten().cloned().collect();
        match weight(self.engine.setup, function) {
            Enough::Surely => Short { surely: on, by_estimate: Vec::new() },
            Enough::ByEstimate if !on.is_empty() => {
                let estimated = Asks::Any(vec![Asks::All(on), Asks::Estimated]);
                Short { surely: Vec::new(), by_estimate: vec![estimated] }
            }
            _ => Short::default(),
        }
    }

    /// Of each of the shortest rows of states that last for long enough, none of which contains another: it fails in
    /// one of them.
    fn rows(&self, needed: Option<&Exact>) -> Vec<Asks> {
        let mut all = Vec::new();
        let mut begins = 0;
        for end in 0..self.steps.len() {
            let (mut total, mut row) = (Exact::ZERO, Vec::new());
            for at in (begins..=end).rev() {
                let Some(fails) = &self.fails[at] else { break };
                row.push(fails.clone());
                let is_enough = match lasts(self.engine, self.steps, &self.steps[at]) {
                    None => true,
                    Some(lasts) => {
                        total = total + lasts;
                        needed.is_some_and(|needed| total >= *needed)
                    }
                };
                if is_enough {
                    all.push(Asks::Any(row));
                    begins = at + 1;
                    break;
                }
            }
        }
        all
    }
}

/// How long a step lasts where the unit notices; `None`: until the signal returns.
fn lasts<'s>(engine: &Engine, steps: &[Step], step: &'s Step) -> Option<&'s Exact> {
    let taken_over = step.named == StateId::Waiting && steps.len() > 1 && !hands_back(engine);
    if taken_over { Some(&step.adds) } else { step.lasts.as_ref() }
}

/// Whether the last stage of the unit ends, so that the receiver has her again.
pub(super) fn hands_back(engine: &Engine) -> bool {
    let unit = engine.setup.fail_safe.as_ref();
    unit.is_some_and(|unit| unit.stages.last().is_some_and(|stage| stage.lasts.is_some()))
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

/// What may fail to raise her in one state, and whether it runs for as long as it must.
pub(super) struct Raising {
    /// What may fail.
    pub(super) asks: Asks,
    /// How long it runs.
    pub(super) enough: Enough,
    /// What has to be for that to be too short.
    pub(super) short: Short,
}

impl Raising {
    /// Of something that raises her, with what may fail.
    pub(super) fn of(asks: Asks, raiser: &Raiser) -> Self {
        Self { asks, enough: raiser.enough(), short: raiser.short() }
    }
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
