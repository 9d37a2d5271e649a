//! The values of waits, stages and battery threshold that keep the margins, by trying.
//!
//! One after another, the stages in their order, then the wait, the stages again for that wait, and the
//! threshold, each with those before it put in: they belong together. Each holds with the others as the
//! file has them too, if any do. All in the worst case on a lost link. The margins are common
//! practice without a source: she comes up with half of the tank empty, a quarter of the time and of the
//! charge is left over, no pump runs for longer than its duty, and she goes no deeper than a quarter beyond
//! the depth limit, which the hull has to stand. A last stage without an end needs none: it lasts until the
//! signal returns.

use super::cell::common;
use super::endurance::OF_CAPACITY;
use super::missing::{Wanted, Wants};
use super::rehearse::Tries;
use super::{Cause, Missing, Start, at_best, worst_case};
use crate::physics::battery::Pack;
use crate::physics::units::{AmpereHours, Amperes, Metres, Ohms, Volts};
use crate::setup::quantity::Seconds;
use crate::setup::{Battery, DELAYS, Emptier, Exact, Setup, Stage};

/// What has to be left over of a time or a charge, as a factor.
pub const OVER: f64 = 1.25;
/// How far beyond the depth limit the worst case may go, as a factor.
pub const BEYOND: f64 = 1.25;
/// The part of the tank that a blow has to empty, enough to bring her up.
pub(super) const PART: f64 = 0.5;
/// The longest that is tried, in seconds.
const LONGEST: f64 = 600.0;
/// Values are told in halves of a second.
const STEP: f64 = 0.5;

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

/// A value that keeps the margins.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Setting {
    /// Of what.
    pub sought: Sought,
    /// As the file has it, in seconds or volts; `None`: not given.
    pub now: Option<f64>,
    /// The value that just keeps the margins; `None`: none does.
    pub keeps: Option<f64>,
}

/// All of them, and what would have to be known for more.
#[derive(Clone, Debug, PartialEq)]
pub struct Solved {
    /// In the order of the file.
    pub settings: Vec<Setting>,
    /// What the file does not say.
    pub missing: Vec<Missing>,
}

/// Whether a value that is proposed would rest on a guess: without the unit's own wait, which is sought, it does not.
fn would_be_guessed(missing: &Missing) -> bool {
    match missing.wanted {
        Wanted::Charge | Wanted::Duty | Wanted::Bottle | Wanted::Acting => false,
        Wanted::Delay => missing.key != DELAYS[1],
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
            wants.note(missing.wanted, missing.key.clone());
        }
    }
    let mut settings = Vec::new();
    if let Some(unit) = &setup.fail_safe
        && !found.worst.track.is_empty()
        && !found.missing.iter().any(would_be_guessed)
    {
        let raises = |works: &[crate::setup::WorkRef]| works.iter().any(|w| setup.work(*w).kind.raises());
        let ends = |index: usize, stage: &Stage| stage.lasts.is_some() || index + 1 < unit.stages.len();
        let blows = unit.stages.iter().enumerate().filter(|(index, s)| raises(&s.works) && ends(*index, s));
        let blows: Vec<usize> = blows.map(|(index, _)| index).collect();
        let mut changed = setup.clone();
        let tries = Tries::default();
        let with = (start, &tries);
        let first = blowing(&mut changed, with, &blows);
        let mut waits = either(wait(setup, with), wait(&changed, with), f64::min);
        // She is deeper after a longer wait, and the blow that is enough then is longer too.
        let mut waiting = setup.clone();
        put(&mut waiting, &waits);
        let then = blowing(&mut waiting, with, &blows);
        let lost = |(first, then): (&Setting, &Setting)| first.keeps.is_some() && then.keeps.is_none();
        let settled: Vec<Setting> = if unit.wait.is_none() && waits.keeps.is_none() {
            // Without a wait that goes with them they would be those of a unit that does not wait.
            Vec::new()
        } else if first.iter().zip(&then).any(lost) {
            // No blow is long enough after that wait, but one is after the file's: as long as those leave room.
            waits.keeps =
                waits.keeps.and_then(|keeps| longest_after(&changed, with, &first, (&waits, keeps)));
            if unit.wait.is_none() && waits.keeps.is_none() { Vec::new() } else { first }
        } else {
            changed = waiting;
            let longer = |(first, then): (Setting, Setting)| either(first, then, f64::max);
            first.into_iter().zip(then).map(longer).collect()
        };
        settled.iter().for_each(|setting| put(&mut changed, setting));
        settings.push(waits);
        settings.extend(settled);
        let then = timed(&changed).then(|| proposed(&changed, &mut wants)).flatten();
        match (timed(setup).then(|| proposed(setup, &mut wants)).flatten(), then) {
            (Some(as_is), Some(then)) => settings.push(either(as_is, then, f64::max)),
            (None, Some(then)) if !timed(setup) => settings.push(then),
            _ => {}
        }
    } else if timed(setup) {
        settings.extend(proposed(setup, &mut wants));
    }
    Solved { settings, missing: wants.into_list() }
}

/// Whether the file says for how long the battery has to hold out before the unit acts.
fn timed(setup: &Setup) -> bool {
    setup.fail_safe.as_ref().is_some_and(|unit| unit.wait.is_some())
}

/// The shortest time of each of these stages, each with those before it put in; they are put into `setup`.
fn blowing(setup: &mut Setup, (start, tries): (&Start, &Tries), blows: &[usize]) -> Vec<Setting> {
    let mut all = Vec::new();
    for &index in blows {
        let setting = lasts(setup, (start, tries), index);
        put(setup, &setting);
        all.push(setting);
    }
    all
}

/// Puts the time of a stage or the wait in, if one keeps the margins.
fn put(setup: &mut Setup, setting: &Setting) {
    let (Some(keeps), Some(unit)) = (setting.keeps, &mut setup.fail_safe) else { return };
    match setting.sought {
        Sought::Lasts(index) => unit.stages[index].lasts = seconds(keeps),
        Sought::Wait => unit.wait = seconds(keeps),
        Sought::Below => {}
    }
}

/// What keeps the margins with the stages as the file has them and as solved; where none does with those
/// of the file, what does with those that are solved.
fn either(as_is: Setting, solved: Setting, pick: fn(f64, f64) -> f64) -> Setting {
    let keeps = solved.keeps.map(|b| as_is.keeps.map_or(b, |a| pick(a, b)));
    Setting { keeps, ..as_is }
}

fn seconds(value: f64) -> Option<Seconds> {
    Exact::from_f64(value).map(Seconds)
}

fn given(value: &Option<Seconds>) -> Option<f64> {
    value.as_ref().map(|s| s.0.to_f64())
}

/// The longest wait, from that of the file up to another, after which each of these blows is long enough with what
/// has to be over.
fn longest_after(
    setup: &Setup,
    (start, tries): (&Start, &Tries),
    blows: &[Setting],
    (wait, most): (&Setting, f64),
) -> Option<f64> {
    let now = wait.now.unwrap_or(0.0);
    if now > most {
        return None;
    }
    let enough = |value: f64| {
        let mut waiting = setup.clone();
        put(&mut waiting, &Setting { keeps: Some(value), ..*wait });
        let enough = |blow: &Setting| match (blow.sought, blow.keeps) {
            (Sought::Lasts(index), Some(keeps)) => {
                empties(&lasting(&waiting, index, keeps / OVER), start, tries)
            }
            _ => true,
        };
        blows.iter().all(enough)
    };
    let longest = (bisect(now, most, enough) / STEP).floor() * STEP;
    let next = longest + STEP;
    Some(if next <= most && enough(next) { next } else { longest.max(now) })
}

/// With a stage that lasts so long.
fn lasting(setup: &Setup, index: usize, value: f64) -> Setup {
    let mut changed = setup.clone();
    if let Some(unit) = &mut changed.fail_safe {
        unit.stages[index].lasts = seconds(value);
    }
    changed
}

/// Whether she comes up with half of as much out as the tank may hold, on all ways of the worst case.
fn empties(setup: &Setup, start: &Start, tries: &Tries) -> bool {
    let part = setup.tank.volume.as_ref().map_or(0.0, |v| (&v.value.0 + &v.off.0).to_f64() * PART);
    tries.good(setup, start, None, part)
}

fn lasts(setup: &Setup, (start, tries): (&Start, &Tries), index: usize) -> Setting {
    let comes_up = |value: f64| empties(&lasting(setup, index, value), start, tries);
    let shortest = comes_up(LONGEST).then(|| bisect(LONGEST, 0.0, comes_up));
    let now = setup.fail_safe.as_ref().and_then(|unit| given(&unit.stages[index].lasts));
    let keeps = shortest.map(|s| (s * OVER / STEP).ceil() * STEP);
    // The bisection ends a little on the good side: one step less may do as well.
    let keeps = keeps.map(|value| if comes_up((value - STEP) / OVER) { value - STEP } else { value });
    // A pump is on longest where it is switched on early and let go late.
    let keeps = keeps.filter(|&value| value <= LONGEST && tries.rests(&lasting(setup, index, value), start));
    Setting { sought: Sought::Lasts(index), now, keeps }
}

fn wait(setup: &Setup, (start, tries): (&Start, &Tries)) -> Setting {
    let limit = setup.boat.depth_limit.as_ref().map(|d| d.0.to_f64());
    let keeps = |value: f64| {
        let mut changed = setup.clone();
        if let Some(unit) = &mut changed.fail_safe {
            unit.wait = seconds(value);
        }
        tries.good(&changed, start, limit.map(|limit| Metres(limit * BEYOND)), 0.0)
    };
    let longest = if keeps(LONGEST) {
        Some(LONGEST)
    } else {
        keeps(0.0).then(|| {
            let longest = (bisect(0.0, LONGEST, keeps) / STEP).floor() * STEP;
            if keeps(longest + STEP) { longest + STEP } else { longest }
        })
    };
    let now = setup.fail_safe.as_ref().and_then(|unit| given(&unit.wait));
    Setting { sought: Sought::Wait, now, keeps: longest }
}

/// The value nearest to `bad` that is still good, to a tenth of a second on the good side.
fn bisect(mut good: f64, mut bad: f64, is_good: impl Fn(f64) -> bool) -> f64 {
    while (good - bad).abs() > 0.1 {
        let middle = (good + bad) / 2.0;
        if is_good(middle) { good = middle } else { bad = middle }
    }
    good
}

/// The lowest threshold, where the file gives all that the battery has to feed.
fn proposed(setup: &Setup, wants: &mut Wants) -> Option<Setting> {
    let mut own = Wants::default();
    let found = below(setup, &mut own);
    let missing = own.into_list();
    missing.iter().for_each(|missing| wants.note(missing.wanted, missing.key.clone()));
    found.filter(|_| missing.is_empty())
}

/// The lowest threshold of the battery that leaves enough for a blow, with currents that are not given at none, which is
/// their best; `None` where the file tells too little.
pub fn lowest_threshold(setup: &Setup) -> Option<Setting> {
    below(setup, &mut Wants::default())
}

fn below(setup: &Setup, wants: &mut Wants) -> Option<Setting> {
    let (index, now) = setup.fail_safe.as_ref()?.low_battery.as_ref()?;
    let battery = &setup.batteries[*index];
    let pack = pack(battery, wants)?;
    let (worst, missing) = worst_case(setup, Cause::Battery, &Start::default());
    for missing in missing.iter().filter(|m| m.wanted == Wanted::Charge) {
        wants.note(Wanted::Charge, missing.key.clone());
    }
    let draws =
        wants.need(battery.draws.as_ref(), Wanted::Charge, &format!("batteries.{}.draws", battery.name));
    let besides = draws.map(|amperes| amperes.0.to_f64());
    // Servos and receiver have to hold out until the last of it is over, pumps or none.
    let until_over = besides.map(|amperes| AmpereHours(amperes * worst.ends_at().0 / 3600.0));
    let needed = worst.charge.into_iter().chain(until_over).reduce(|a, b| a + b)?;
    let currents = setup.tank.emptied_by.iter().filter_map(|(_, emptier)| match emptier {
        Emptier::Pump(pump) => pump.current.as_ref().map(|a| a.0.to_f64()),
        Emptier::Gas(_) => None,
    });
    let work = Amperes(currents.sum::<f64>() + besides.unwrap_or(0.0));
    // Read with nothing else running: what flows at the alarm would only leave more.
    let lowest = pack.lowest_threshold(needed * OVER, Amperes(0.0), work).ok()?;
    let keeps = lowest.map(|v: Volts| (v.0 * 10.0 - 1e-9).ceil() / 10.0);
    // At the voltage of a good battery under load the unit would act on every full one.
    let loaded =
        |cells: u32| battery.chemistry.as_deref().and_then(common).map(|c| c.loaded * i64::from(cells));
    let loaded = battery.cells.and_then(loaded).map_or(f64::INFINITY, |hundredths| hundredths as f64 / 100.0);
    let keeps = keeps.filter(|&volts| volts < loaded);
    Some(Setting { sought: Sought::Below, now: Some(now.0.to_f64()), keeps })
}

fn pack(battery: &Battery, wants: &mut Wants) -> Option<Pack> {
    let mut key = |key: &str, missing: bool| {
        if missing {
            wants.note(Wanted::Charge, format!("batteries.{}.{key}", battery.name));
        }
    };
    let chemistry = battery.chemistry.as_deref().and_then(common).map(|cell| cell.chemistry);
    let capacity = battery.capacity.as_ref().map(|c| c.0.to_f64());
    key("chemistry", chemistry.is_none());
    key("cells", battery.cells.is_none());
    key("capacity", capacity.is_none());
    key("resistance", battery.resistance.is_none());
    let resistance = battery.resistance.as_ref()?;
    let resistance = Ohms((&resistance.value.0 + &resistance.off.0).to_f64());
    Pack::new(chemistry?, battery.cells?, AmpereHours(capacity? * OF_CAPACITY), resistance).ok()
}
