//! The fail-safe in time: depth against time with what is on below it. Nominal and worst case are told
//! apart by the line, whole or broken, and by the bar, filled or hatched. Absent where the file does not
//! tell enough of boat and tank.

use serde::Serialize;

use super::Drawing;
use super::axes::{SURE, may};
use super::ink::{At, Ink, wide};
use super::say::Say;
use crate::labels::text;
use crate::labels::text::sheet::time;
use crate::physics::units::{Metres, figures, figures_above};
use crate::rehearsal::{
    Assumption, Cause, Pictured, Rehearsal, Run, Sample, Start, What, division, rehearse,
};
use crate::render::RenderError;
use crate::setup::WorkRef;
use crate::words::{function_name, plain};

const SIZE: f64 = 7.5;
/// Clear left of the scale for names, and right of it for figures.
const LEFT: f64 = 34.0;
const RIGHT: f64 = 6.0;
/// Height of the picture of the depth, from the surface to the deepest.
const DEEP: f64 = 42.0;
const LANE: f64 = 4.6;
/// Length of a dash and of the gap behind it.
const DASH: f64 = 1.4;
/// Half the breadth of an arrow's head.
const ARROW: f64 = 0.9;

/// The section.
#[derive(Serialize)]
pub(super) struct Time {
    /// What was assumed, what the file does not say, and what could not be worked out.
    rests_on: Vec<String>,
    /// What it comes to.
    lines: Vec<String>,
    drawing: Drawing,
}

/// The section, if the file tells enough.
pub(super) fn section(say: &Say<'_>, width: f64) -> Result<Option<Time>, RenderError> {
    let found = rehearse(say.setup, Cause::Loss, &Start::default());
    if found.nominal.track.is_empty() || found.worst.track.is_empty() {
        return Ok(None);
    }
    let drawing = drawing(say, &found, width)?.into();
    Ok(Some(Time { rests_on: rests_on(say, &found), lines: lines(say, &found), drawing }))
}

fn rests_on(say: &Say<'_>, found: &Rehearsal) -> Vec<String> {
    let assumed: Vec<String> = found.assumed.iter().map(|a| assumption(say, a)).collect();
    let mut all = vec![say.fill(time::RestsOn { list: &assumed.join("; ") })];
    if !found.missing.is_empty() {
        let keys: std::collections::BTreeSet<String> =
            found.missing.iter().map(|m| m.path.dotted()).collect();
        let keys: Vec<String> = keys.into_iter().collect();
        all.push(say.fill(time::Missing { keys: &keys.join(", ") }));
    }
    if !found.refused.is_empty() {
        all.push(say.get(time::REFUSED).to_owned());
    }
    all
}

fn assumption(say: &Say<'_>, assumption: &Assumption) -> String {
    use crate::labels::text::sheet::time::assumed;
    let three = |values: &[f64; 3]| values.map(|value| number(say, value, 2));
    let text = match assumption {
        Assumption::Plain => assumed::PLAIN,
        Assumption::Water(t) => return say.fill(assumed::Water { degrees: &spread(say, t) }),
        Assumption::Salt(grams) => {
            return say.fill(assumed::Salt { grams: &spread(say, grams) });
        }
        Assumption::WeighedSalt(grams) => {
            return say.fill(assumed::WeighedSalt { grams: &spread(say, grams) });
        }
        Assumption::Neutral => assumed::NEUTRAL,
        Assumption::Drag(values) => {
            let [nominal, low, high] = &three(values);
            return say.fill(assumed::Drag { nominal, low, high });
        }
        Assumption::Hole(values) => {
            let [nominal, low, high] = &three(values);
            return say.fill(assumed::Hole { nominal, low, high });
        }
        Assumption::FullBottle => assumed::FULL_BOTTLE,
        Assumption::GasHeat => assumed::GAS_HEAT,
        Assumption::WayOn(values) => {
            let [nominal, low, high] = &three(values);
            return say.fill(assumed::WayOn { nominal, low, high });
        }
        Assumption::Air { work, snorkel: true } => {
            return say.fill(assumed::AirSnorkel { work: &plain(work) });
        }
        Assumption::Air { work, snorkel: false } => {
            return say.fill(assumed::AirHull { work: &plain(work) });
        }
        Assumption::Released { to_hand: true } => assumed::TO_HAND,
        Assumption::Released { to_hand: false } => assumed::TO_NOTHING,
        Assumption::FullVolts => assumed::FULL_VOLTS,
        Assumption::LowVolts => assumed::LOW_VOLTS,
        Assumption::Leaks => assumed::LEAKS,
        Assumption::Vented => assumed::VENTED,
        Assumption::Dropped => assumed::DROPPED,
        Assumption::Weighed => assumed::WEIGHED,
        Assumption::SameWater => assumed::SAME_WATER,
        Assumption::Material => assumed::MATERIAL,
        Assumption::Upright => assumed::UPRIGHT,
        Assumption::NoLeak => assumed::NO_LEAK,
        Assumption::NoWait => assumed::NO_WAIT,
        Assumption::UnitWaits(t) => return say.fill(assumed::UnitWaits { seconds: &number(say, t.0, 3) }),
    };
    say.get(text).to_owned()
}

/// One value, or with its ends if they differ.
fn spread(say: &Say<'_>, [middle, least, most]: &[f64; 3]) -> String {
    use crate::labels::text::sheet::time::assumed;
    let middle = number(say, *middle, 2);
    if least < most {
        let (low, high) = (&number(say, *least, 2), &number(say, *most, 2));
        return say.fill(assumed::Spread { nominal: &middle, low, high });
    }
    middle
}

fn number(say: &Say<'_>, value: f64, count: usize) -> String {
    say.labels.decimal(&figures(value, count))
}

fn lines(say: &Say<'_>, found: &Rehearsal) -> Vec<String> {
    let up = |run: &Run| match run.surfaced.filter(|_| run.comes_up() == Some(true)) {
        Some(up) => say.fill(time::After { seconds: &number(say, up.time.0, 3) }),
        None => say.get(time::NEVER).to_owned(),
    };
    let mut all = Vec::new();
    let depth = |s: Sample| number(say, s.depth.0, 3);
    all.push(match (found.nominal.deepest, found.deepest) {
        (Some(nominal), Some(worst)) => {
            say.fill(time::Deepest { nominal: &depth(nominal), worst: &depth(worst) })
        }
        (Some(nominal), None) => say.fill(time::WorstSinks { nominal: &depth(nominal) }),
        (None, _) => say.get(time::SINKS).to_owned(),
    });
    if let Some(limit) = &say.setup.boat.depth_limit
        && let Some(least) = found.dives_end_at(Metres(limit.0.to_f64()))
    {
        // Cut off, not rounded, as wherever a depth is told that is not to be passed.
        let least = (least.0 * 10.0).floor() / 10.0;
        let limit = &number(say, limit.0.to_f64(), 3);
        all.push(match number(say, least, 3).as_str() {
            "0" => say.fill(time::BeyondAll { limit }),
            least => say.fill(time::Beyond { limit, least }),
        });
    }
    let (nominal, worst) = (up(&found.nominal), up(&found.worst));
    all.push(say.fill(time::Surface { nominal: &nominal, worst: &worst }));
    let most = found.fastest.map(|most| say.labels.decimal(&figures_above(most.0, 2)));
    all.extend(most.map(|most| match found.nominal.surfaced {
        Some(up) => say.fill(time::Speed { nominal: &number(say, -up.sinking.0, 2), most: &most }),
        None => say.fill(time::SpeedAtMost { most: &most }),
    }));
    if let Some(blows) = found.blows {
        all.push(match blows {
            0 => say.get(time::NO_BREATH).to_owned(),
            1 => say.get(time::ONE_BREATH).to_owned(),
            _ => {
                let [count, before] = [blows, blows - 1].map(|n| n.to_string());
                say.fill(time::Breaths { before: &before, count: &count })
            }
        });
    }
    all
}

/// From seconds and metres to places.
struct Frame {
    right: f64,
    ends: f64,
    deepest: f64,
    top: f64,
}

impl Frame {
    fn x(&self, at: f64) -> f64 {
        LEFT + (at / self.ends).clamp(0.0, 1.0) * (self.right - LEFT)
    }

    fn y(&self, depth: f64) -> f64 {
        self.top + (depth / self.deepest).clamp(0.0, 1.0) * DEEP
    }
}

fn drawing(
    say: &Say<'_>,
    found: &Rehearsal,
    width: f64,
) -> Result<(f64, Vec<serde_json::Value>), RenderError> {
    let mut ink = Ink::default();
    let runs = [&found.nominal, &found.worst];
    let limit = say.setup.boat.depth_limit.as_ref().map(|limit| Metres(limit.0.to_f64()));
    let seen = Pictured::of(found, limit);
    let (ends, deepest) = (seen.until.0, seen.depth.0);
    let frame = Frame { right: width - RIGHT, ends, deepest, top: 7.0 };
    legend(say, &mut ink)?;
    let (top, bottom) = (frame.y(0.0), frame.y(deepest));
    ink.line([LEFT, top], [frame.right, top], 0.2);
    ink.text([LEFT - 1.5, top], say.get(time::AT_SURFACE), SIZE, At::Right, false);
    let metres = |d: f64| say.labels.fill(text::common::Metres { number: &number(say, d, 3) });
    ink.text([LEFT - 1.5, bottom], &metres(deepest), SIZE, At::Right, false);
    if let Some(limit) = limit.map(|limit| limit.0).filter(|l| *l < deepest) {
        ink.line([LEFT, frame.y(limit)], [frame.right, frame.y(limit)], 0.15);
        // Where it stands close to another figure, that other is the one to read.
        if (bottom - frame.y(limit)).min(frame.y(limit) - top) > 4.0 {
            ink.text([LEFT - 1.5, frame.y(limit)], &metres(limit), SIZE, At::Right, false);
        }
    }
    let points = |run: &Run| -> Vec<[f64; 2]> {
        seen.way(run).iter().map(|s| [frame.x(s.time.0), frame.y(s.depth.0)]).collect()
    };
    for pair in points(&found.nominal).windows(2) {
        ink.line(pair[0], pair[1], 0.5);
    }
    broken(&mut ink, &points(&found.worst));
    for run in runs.into_iter().filter(|run| run.sinks_on()) {
        if let Some(&tip) = points(run).last() {
            goes_on_down(&mut ink, tip);
        }
    }
    ink.line([LEFT, bottom + 1.5], [frame.right, bottom + 1.5], 0.3);
    let step = division(ends / 6.0);
    for n in 0..=(ends / step) as usize {
        let at = n as f64 * step;
        ink.line([frame.x(at), bottom + 0.5], [frame.x(at), bottom + 1.5], 0.2);
        let text = number(say, at, 3);
        ink.text([frame.x(at), bottom + 3.8], &text, SIZE, At::Centre, false);
    }
    ink.text([LEFT - 1.5, bottom + 3.8], say.get(time::SECONDS), SIZE, At::Right, false);
    let mut y = bottom + 6.4;
    for (name, from, to) in stages(say, &found.nominal).into_iter().filter(|(_, from, _)| *from < ends) {
        ink.text([0.0, y + LANE / 2.0], &name, SIZE, At::Left, false);
        ink.frame([frame.x(from), frame.x(to)], [y + 0.9, y + LANE - 0.9], 0.3);
        y += LANE;
    }
    for work in works(runs, ends) {
        ink.text([0.0, y + LANE / 2.0], &function_name(say.setup, work), SIZE, At::Left, false);
        for (from, to) in stretches(&found.nominal, work).into_iter().filter(|(from, _)| *from < ends) {
            ink.fill([frame.x(from), frame.x(to)], [y + 0.6, y + LANE / 2.0 - 0.1], SURE);
        }
        for (from, to) in stretches(&found.worst, work).into_iter().filter(|(from, _)| *from < ends) {
            may(&mut ink, [frame.x(from), frame.x(to)], [y + LANE / 2.0 + 0.1, y + LANE - 0.6]);
        }
        y += LANE;
    }
    Ok((y + 0.5, ink.items))
}

fn legend(say: &Say<'_>, ink: &mut Ink) -> Result<(), RenderError> {
    let (nominal, worst) = (say.get(time::NOMINAL), say.get(time::WORST));
    let y = 2.0;
    ink.line([0.0, y], [7.0, y], 0.5);
    ink.fill([8.0, 13.0], [y - 0.8, y + 0.8], SURE);
    ink.text([14.2, y], nominal, SIZE, At::Left, false);
    let x = 14.2 + wide(nominal, SIZE, false)? + 6.0;
    broken(ink, &[[x, y], [x + 7.0, y]]);
    may(ink, [x + 8.0, x + 13.0], [y - 0.8, y + 0.8]);
    ink.text([x + 14.2, y], worst, SIZE, At::Left, false);
    Ok(())
}

/// A line in dashes that go on from one point to the next.
fn broken(ink: &mut Ink, points: &[[f64; 2]]) {
    let mut gone = 0.0;
    for pair in points.windows(2) {
        let ([x, y], [to_x, to_y]) = (pair[0], pair[1]);
        let length = libm::hypot(to_x - x, to_y - y);
        let at = |way: f64| [x + (to_x - x) * way / length, y + (to_y - y) * way / length];
        let mut way = 0.0;
        while way < length {
            let phase = gone % (2.0 * DASH);
            let (drawn, rest) = if phase < DASH { (true, DASH - phase) } else { (false, 2.0 * DASH - phase) };
            // A remainder too small to draw must not hold up the walk.
            let next = (way + rest.max(1e-6)).min(length);
            if drawn {
                ink.line(at(way), at(next), 0.4);
            }
            gone += next - way;
            way = next;
        }
    }
}

fn stages(say: &Say<'_>, run: &Run) -> Vec<(String, f64, f64)> {
    let Some(unit) = &say.setup.fail_safe else { return Vec::new() };
    let begins = run.events.iter().filter_map(|e| match e.what {
        What::Stage(index) => Some((index, e.at.0)),
        _ => None,
    });
    let begins: Vec<(usize, f64)> = begins.collect();
    let stage = |&(index, from): &(usize, f64)| {
        let next = begins.iter().find(|(i, _)| *i == index + 1).map(|(_, at)| *at);
        let to = next.or(run.handed_back.map(|s| s.0)).unwrap_or(f64::INFINITY);
        let name = say.fill(time::Stage { stage: &plain(&unit.stages[index].name) });
        (name, from, to)
    };
    begins.iter().map(stage).collect()
}

/// An arrow down where her way leaves the picture.
fn goes_on_down(ink: &mut Ink, [x, y]: [f64; 2]) {
    for side in [-1.0, 1.0] {
        ink.line([x + side * ARROW, y - 2.0 * ARROW], [x, y], 0.5);
    }
}

/// Every work that is on in one run or the other before the picture ends.
fn works(runs: [&Run; 2], ends: f64) -> Vec<WorkRef> {
    let events = runs.into_iter().flat_map(|r| &r.events).filter(|e| e.at.0 < ends);
    let on = events.filter_map(|e| match e.what {
        What::On { work, .. } => Some(work),
        _ => None,
    });
    let all: std::collections::BTreeSet<WorkRef> = on.collect();
    all.into_iter().collect()
}

fn stretches(run: &Run, wanted: WorkRef) -> Vec<(f64, f64)> {
    let on = run.events.iter().filter_map(|e| match &e.what {
        What::On { work, until, .. } if *work == wanted => {
            Some((e.at.0, until.map_or(f64::INFINITY, |u| u.0)))
        }
        _ => None,
    });
    on.collect()
}
