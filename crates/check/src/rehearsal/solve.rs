//! The values of waits, stages and battery threshold that keep the margins, by trying.
//!
//! One after another, the stages in their order, then the wait, the stages again for that wait, and the
//! threshold, each with those before it put in: they belong together. Each holds with the others as the
//! file has them too, if any do. Of each one step more was tried and breaks a margin, with the others as proposed or as
//! the file has them ([`Setting::stopped`]), or is no step that anybody should take. All in the worst case on a lost
//! link. The margins are common practice without a source: she comes up with half of the tank empty, a quarter of the
//! time and of the charge is left over, no pump runs for longer than its duty, and she goes no deeper than a quarter
//! beyond the depth limit, which the hull has to stand. A last stage without an end needs none: it lasts until the
//! signal returns.

use super::missing::{Wanted, Wants};
use super::threshold;
use super::tries::{Breaks, Tries};
use super::{Cause, Missing, Start, at_best, untold};
use crate::physics::units::Metres;
use crate::setup::quantity::Seconds;
use crate::setup::{Exact, Path, Setup, Stage, WorkRef};

pub use super::threshold::lowest_threshold;

/// What has to be left over of a time or a charge, as a factor.
pub const OVER: f64 = 1.25;
/// How far beyond the depth limit the worst case may go, as a factor.
pub const BEYOND: f64 = 1.25;
/// The part of the tank that a blow has to empty, enough to bring her up.
pub(super) const PART: f64 = 0.5;
/// The longest wait of a receiver or a unit that anybody means, in seconds (common practice, no source); none is
/// proposed that is longer.
pub const LONGEST_WAIT: i64 = 60;
/// The same of a stage.
pub const LONGEST_STAGE: i64 = 600;
/// Times are told in halves of a second.
pub const STEP: f64 = 0.5;
/// Voltages are told in tenths of a volt.
pub const TENTH: f64 = 0.1;

/// What was looked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sought {
    /// The shortest `lasts` of a stage that raises her, by index.
    Lasts(usize),
    /// The longest `wait` of the unit.
    Wait,
    /// The lowest `low_battery.below`.
    Below,
}

/// Why a value goes no further.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stop {
    /// One step more breaks this.
    Breaks {
        /// What.
        breaks: Breaks,
        /// With the other values as the file has them, not as proposed.
        as_written: bool,
    },
    /// Nothing breaks as far as anybody should go: [`LONGEST_WAIT`], or [`STEP`] of a stage that she does not need.
    Nothing,
}

/// A value that keeps the margins.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Setting {
    /// Of what.
    pub sought: Sought,
    /// As the file has it, in seconds or volts; `None`: not given.
    pub now: Option<f64>,
    /// The value that just keeps the margins; `None`: none does.
    pub keeps: Option<f64>,
    /// Why it is no longer, shorter or lower, where a value keeps the margins.
    pub stopped: Option<Stop>,
}

impl Setting {
    /// The value one step further, where one keeps the margins.
    pub fn beyond(&self) -> Option<f64> {
        let keeps = self.keeps?;
        Some(match self.sought {
            Sought::Lasts(_) => keeps - STEP,
            Sought::Wait => keeps + STEP,
            Sought::Below => ((keeps - TENTH) / TENTH).round() / 10.0,
        })
    }
}

/// All of them, and what would have to be known for more.
#[derive(Clone, Debug, PartialEq)]
pub struct Solved {
    /// In the order of the file.
    pub settings: Vec<Setting>,
    /// What the file does not say.
    pub missing: Vec<Missing>,
}

/// The wait of the unit.
fn own_wait() -> Path {
    Path::of(["fail_safe", "wait"])
}

/// Whether a value that is proposed would rest on a guess: without the unit's own wait, which is sought, it does not.
fn would_be_guessed(missing: &Missing) -> bool {
    match missing.wanted {
        Wanted::Charge | Wanted::Duty | Wanted::Bottle | Wanted::Acting => false,
        Wanted::Delay => missing.path != own_wait(),
        _ => true,
    }
}

/// Looks for the shortest blow, the longest wait and the lowest battery threshold; what hangs on a figure that is not
/// given is not proposed.
pub fn solve(setup: &Setup, start: &Start) -> Solved {
    let mut wants = Wants::default();
    let found = at_best(setup, Cause::Loss, start);
    for missing in &found.missing {
        if !matches!(missing.wanted, Wanted::Charge | Wanted::Bottle | Wanted::Acting) {
            wants.note(missing.wanted, missing.path.clone());
        }
    }
    // What comes after something of which nobody knows when it comes, or whether, is not timed. The unit's own wait is
    // sought.
    let mut unknown = untold(setup, Cause::Loss);
    unknown.retain(|path| *path != own_wait());
    for path in &unknown {
        wants.note(Wanted::Delay, path.clone());
    }
    let mut settings = Vec::new();
    if setup.fail_safe.is_some()
        && !found.worst.track.is_empty()
        && unknown.is_empty()
        && !found.missing.iter().any(would_be_guessed)
    {
        let search = Search::of(setup, start);
        let found = search.found();
        settings.extend(found.iter().flat_map(|(times, stopped)| search.told(times, stopped)));
        let changed = found.map_or_else(|| setup.clone(), |(times, _)| search.with(&times));
        let then = timed(&changed).then(|| threshold::proposed(&changed, &mut wants)).flatten();
        match (timed(setup).then(|| threshold::proposed(setup, &mut wants)).flatten(), then) {
            (Some(as_is), Some(then)) => {
                let higher = as_is.keeps.zip(then.keeps).is_some_and(|(as_is, then)| as_is > then);
                let stopped = Some(Stop::Breaks { breaks: Breaks::Charge, as_written: true });
                settings.push(if higher { Setting { stopped, ..as_is } } else { then });
            }
            (None, Some(then)) if !timed(setup) => settings.push(then),
            _ => {}
        }
    } else if timed(setup) {
        settings.extend(threshold::proposed(setup, &mut wants));
    }
    Solved { settings, missing: wants.into_list() }
}

/// Whether the file says for how long the battery has to hold out before the unit acts.
fn timed(setup: &Setup) -> bool {
    setup.fail_safe.as_ref().is_some_and(|unit| unit.wait.is_some())
}

/// Times of the unit, in steps; `None`: as the file has it.
#[derive(Clone, Debug, PartialEq)]
struct Times {
    wait: Option<u32>,
    /// Of each stage that is sought.
    lasts: Vec<Option<u32>>,
}

impl Times {
    /// One of them by its place, the wait last.
    fn at(&self, at: usize) -> Option<u32> {
        self.lasts.get(at).copied().unwrap_or(self.wait)
    }

    /// The same with another in its place.
    fn with(&self, at: usize, steps: u32) -> Self {
        let mut with = self.clone();
        match with.lasts.get_mut(at) {
            Some(lasts) => *lasts = Some(steps),
            None => with.wait = Some(steps),
        }
        with
    }
}

struct Search<'a> {
    setup: &'a Setup,
    start: &'a Start,
    tries: Tries,
    /// The stages that raise her and have an end, by index.
    blows: Vec<usize>,
    /// How long what raises her must run in each, as the file has it.
    runs: Vec<f64>,
}

fn value(steps: u32) -> f64 {
    f64::from(steps) * STEP
}

fn steps(seconds: i64) -> u32 {
    (seconds as f64 / STEP) as u32
}

fn seconds(value: f64) -> Option<Seconds> {
    Exact::from_f64(value).map(Seconds)
}

impl<'a> Search<'a> {
    fn of(setup: &'a Setup, start: &'a Start) -> Self {
        let stages = setup.fail_safe.as_ref().map_or(&[][..], |unit| &unit.stages);
        let raises = |stage: &Stage| stage.works.iter().any(|work| setup.work(*work).kind.raises());
        let ends = |(index, stage): &(usize, &Stage)| stage.lasts.is_some() || index + 1 < stages.len();
        let blows = stages.iter().enumerate().filter(|(_, stage)| raises(stage)).filter(ends);
        let must_run = |work: &WorkRef| {
            let work = setup.work(*work);
            work.facts.must_run.as_ref().filter(|_| work.kind.raises()).map(|least| least.0.to_f64())
        };
        let of = |(index, stage): (usize, &Stage)| {
            (index, stage.works.iter().filter_map(must_run).fold(0.0, f64::max))
        };
        let (blows, runs) = blows.map(of).unzip();
        Self { setup, start, tries: Tries::default(), blows, runs }
    }

    fn as_written(&self) -> Times {
        Times { wait: None, lasts: vec![None; self.blows.len()] }
    }

    /// With these times put in, and the time of one stage short by what has to be over.
    fn put(&self, times: &Times, short: Option<usize>) -> Setup {
        let mut changed = self.setup.clone();
        let Some(unit) = &mut changed.fail_safe else { return changed };
        if let Some(wait) = times.wait {
            unit.wait = seconds(value(wait));
        }
        for (at, (&index, lasts)) in self.blows.iter().zip(&times.lasts).enumerate() {
            if let Some(lasts) = lasts {
                let by = if short == Some(at) { OVER } else { 1.0 };
                unit.stages[index].lasts = seconds(value(*lasts) / by);
            }
        }
        changed
    }

    fn with(&self, times: &Times) -> Setup {
        self.put(times, None)
    }

    /// That a blow is long enough for what has to run, and with what has to be over: she comes up with half of as much out
    /// as the tank may hold.
    fn raises(&self, times: &Times, at: usize) -> Result<(), Breaks> {
        if times.lasts[at].is_some_and(|lasts| value(lasts) < self.runs[at]) {
            return Err(Breaks::MustRun);
        }
        let most = self.setup.tank.volume.as_ref().map_or(0.0, |v| (&v.value.0 + &v.off.0).to_f64());
        self.tries.empties(&self.put(times, Some(at)), self.start, most * PART)
    }

    /// That she comes up, no deeper than she may go and with no pump on for too long.
    fn arrives(&self, times: &Times) -> Result<(), Breaks> {
        let limit = self.setup.boat.depth_limit.as_ref().map(|d| Metres(d.0.to_f64() * BEYOND));
        self.tries.arrives(&self.with(times), self.start, limit)
    }

    /// That every time that is put in keeps its margins with all the others.
    fn holds(&self, times: &Times) -> Result<(), Breaks> {
        match times.wait {
            Some(_) => self.arrives(times)?,
            None => self.tries.rests(&self.with(times), self.start)?,
        }
        let mut put_in = times.lasts.iter().enumerate().filter(|(_, lasts)| lasts.is_some());
        put_in.try_for_each(|(at, _)| self.raises(times, at))
    }

    /// Times that hold together, with what stops each; `None` where none can be told, as they would be those of a unit that does not wait.
    fn found(&self) -> Option<(Times, Vec<Option<Stop>>)> {
        let without_wait = !timed(self.setup);
        let as_written = self.as_written();
        let first = self.blown(&as_written);
        let mut wait = self.longest(&first);
        if let (Some(_), Some(as_is)) = (wait, self.longest(&as_written)) {
            wait = wait.map(|solved| solved.min(as_is));
        }
        if wait.is_none() && without_wait {
            return None;
        }
        // She is deeper after a longer wait, and the blow that is enough then is longer too.
        let then = self.blown(&Times { wait, ..as_written.clone() });
        let pairs = || first.lasts.iter().zip(&then.lasts);
        let mut times = if pairs().any(|(first, then)| first.is_some() && then.is_none()) {
            // No blow is long enough after that wait, but one is after the file's: as long as those leave room.
            let after = |steps| Times { wait: Some(steps), ..first.clone() };
            let wait = wait.and_then(|most| greatest(0, most, |steps| self.holds(&after(steps)).is_ok()));
            if wait.is_none() && without_wait {
                return None;
            }
            Times { wait, ..first.clone() }
        } else {
            let longer = |(first, then): (&Option<u32>, &Option<u32>)| {
                then.map(|then| first.map_or(then, |first| first.max(then)))
            };
            Times { wait, lasts: pairs().map(longer).collect() }
        };
        if self.holds(&times).is_err() {
            return Some((as_written, Vec::new()));
        }
        let stopped = self.settled(&mut times);
        Some((times, stopped))
    }

    /// The shortest time of each stage, each with those before it put in.
    fn blown(&self, times: &Times) -> Times {
        let mut times = times.clone();
        for at in 0..self.blows.len() {
            let raises = |steps: u32| self.raises(&times.with(at, steps), at).is_ok();
            let rests =
                |steps: &u32| self.tries.rests(&self.with(&times.with(at, *steps)), self.start).is_ok();
            let shortest = least(1, steps(LONGEST_STAGE), raises);
            times.lasts[at] = shortest.filter(rests);
        }
        times
    }

    /// The longest wait with these stages.
    fn longest(&self, times: &Times) -> Option<u32> {
        let after = |steps| Times { wait: Some(steps), ..times.clone() };
        greatest(0, steps(LONGEST_WAIT), |steps| self.arrives(&after(steps)).is_ok())
    }

    /// Together they may leave room that each alone did not: moves each time on until one step more is stopped, and
    /// answers by what, the wait last.
    fn settled(&self, times: &mut Times) -> Vec<Option<Stop>> {
        loop {
            let mut stopped = Vec::new();
            let mut moved = false;
            for at in 0..=self.blows.len() {
                let Some(now) = times.at(at) else {
                    stopped.push(None);
                    continue;
                };
                let last = if at < self.blows.len() { 1 } else { steps(LONGEST_WAIT) };
                if now == last {
                    stopped.push(Some(Stop::Nothing));
                    continue;
                }
                let goes = |steps: u32| self.stops(&times.with(at, steps), at).is_none();
                match self.stops(&times.with(at, if now < last { now + 1 } else { now - 1 }), at) {
                    Some(stop) => stopped.push(Some(stop)),
                    None => {
                        let further = if now < last {
                            greatest(now + 1, last, goes)
                        } else {
                            least(last, now - 1, goes)
                        };
                        *times = times.with(at, further.unwrap_or(now));
                        moved = further.is_some();
                        break;
                    }
                }
            }
            if !moved {
                return stopped;
            }
        }
    }

    /// What one time breaks, by its place (the wait comes last): with the others put in, or with them as the file has
    /// them where it keeps the margins so.
    fn stops(&self, times: &Times, at: usize) -> Option<Stop> {
        let is_blow = at < self.blows.len();
        let own = if is_blow { self.raises(times, at) } else { Ok(()) };
        if let Err(breaks) = own.and_then(|()| self.holds(times)) {
            return Some(Stop::Breaks { breaks, as_written: false });
        }
        let steps = times.at(at)?;
        let alone = self.as_written().with(at, steps);
        let breaks = self.holds(&alone).err()?;
        // What no value keeps with the file's others stops none.
        let nearer = if is_blow { steps + 1 } else { steps.saturating_sub(1) };
        self.holds(&alone.with(at, nearer)).ok()?;
        Some(Stop::Breaks { breaks, as_written: true })
    }

    /// What is told of them: the wait, then the stages.
    fn told(&self, times: &Times, stopped: &[Option<Stop>]) -> Vec<Setting> {
        let Some(unit) = &self.setup.fail_safe else { return Vec::new() };
        let one = |at: usize, sought, now: &Option<Seconds>| Setting {
            sought,
            now: now.as_ref().map(|now| now.0.to_f64()),
            keeps: times.at(at).map(value),
            stopped: stopped.get(at).copied().flatten(),
        };
        let wait = one(self.blows.len(), Sought::Wait, &unit.wait);
        let blows = self.blows.iter().enumerate();
        let blows = blows.map(|(at, &index)| one(at, Sought::Lasts(index), &unit.stages[index].lasts));
        std::iter::once(wait).chain(blows).collect()
    }
}

/// The least of these that is good, if the greatest is; what lies one below it was found bad, or lies outside.
fn least(low: u32, high: u32, is_good: impl Fn(u32) -> bool) -> Option<u32> {
    if !is_good(high) {
        return None;
    }
    let (mut bad, mut good) = (low, high);
    while bad < good {
        let middle = bad + (good - bad) / 2;
        if is_good(middle) { good = middle } else { bad = middle + 1 }
    }
    Some(good)
}

/// The greatest of these that is good, if the least is; what lies one above it was found bad, or lies outside.
fn greatest(low: u32, high: u32, is_good: impl Fn(u32) -> bool) -> Option<u32> {
    least(0, high - low, |below| is_good(high - below)).map(|below| high - below)
}
