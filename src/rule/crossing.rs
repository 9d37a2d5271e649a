//! What to do where no endpoint value is safe: which limits cross, and the smallest change to one
//! single figure that would part them.
//!
//! The figure is found by trying. Each one that has a part in the limits is moved by one step, then
//! by two and so on, and every changed set-up is judged as the boat itself is. Working the answer
//! out from the margins would be quicker, but an empty window is rare, and a figure that the judge
//! has agreed to cannot be wrong.

use super::say;
use super::windows::{Judge, Judged, Sort, stop_key};
use crate::setup::quantity::Micros;
use crate::setup::{ChannelId, Exact, Input, Setup, Side, Toleranced, Work};

/// No figure is moved by more steps than this: what is so far off was measured wrongly or belongs
/// on another servo.
const MOST_STEPS: i64 = 40;
/// Figures that would all do are not listed beyond this many.
const MOST_TOLD: usize = 2;
/// Judgements after which the search gives up, so that a strange file cannot hold up a report.
const MOST_JUDGED: usize = 2_000;

/// A way for which no value is safe.
pub(super) struct Empty<'a> {
    pub setup: &'a Setup,
    pub channel: ChannelId,
    pub side: Side,
    /// The values tried.
    pub values: &'a [Exact],
    /// How each came out.
    pub table: &'a [Vec<Judged>],
    /// Which of the instances the endpoint moves.
    pub moving: &'a [usize],
}

impl Empty<'_> {
    /// The whole sentence.
    pub fn told(&self, judge: &mut Judge) -> String {
        let advice = self.smallest_change(judge).unwrap_or_else(|| {
            format!("No single figure, moved by up to {MOST_STEPS} steps, opens two steps")
        });
        format!("{}. {advice}", self.limits())
    }

    /// Which limits cross and by how much.
    fn limits(&self) -> String {
        let Self { table, values, .. } = self;
        let keys =
            |list: &[usize]| list.iter().map(|&i| table[0][i].key.as_str()).collect::<Vec<_>>().join(", ");
        let (wanted, others): (Vec<usize>, Vec<usize>) =
            self.moving.iter().partition(|&&i| matches!(table[0][i].sort, Sort::Want | Sort::Sense));
        let fine = |list: &[usize], k: usize| list.iter().all(|&i| !table[k][i].broken);
        let need = (0..table.len()).find(|&k| fine(&wanted, k));
        let allow = (0..table.len()).rev().find(|&k| fine(&others, k));
        match (need, allow) {
            (Some(need), Some(allow)) if need > allow => {
                let broken_at = |list: &[usize], k: usize| -> Vec<usize> {
                    list.iter().copied().filter(|&i| table.get(k).is_some_and(|row| row[i].broken)).collect()
                };
                format!(
                    "{} needs {} or more, but {} allows {} or less: they cross by {}",
                    keys(&broken_at(&wanted, need - 1)),
                    say::percent(&values[need]),
                    keys(&broken_at(&others, allow + 1)),
                    say::percent(&values[allow]),
                    say::percent(&(&values[need] - &values[allow])),
                )
            }
            (None, _) => format!("no value reaches far enough for {}", keys(&wanted)),
            (_, None) => format!("no value keeps clear of {}", keys(&others)),
            _ => format!("no value suits {} and {} at once", keys(&wanted), keys(&others)),
        }
    }

    /// The single figure that has to move least, and from where to where.
    fn smallest_change(&self, judge: &mut Judge) -> Option<String> {
        let step = &self.setup.transmitter.step;
        let longer = self.setup.channels[self.channel].longer.sign();
        let signs: Vec<i32> =
            self.setup.limited_by(self.channel, self.side).iter().map(|way| longer * way.sign()).collect();
        let towards = signs[0];
        let mut trials: Vec<(Figure, i32, Vec<usize>)> = Vec::new();
        let mut left = MOST_JUDGED;
        for figure in figures(self.setup, self.channel, &signs) {
            // Only values at which nothing else is broken can be saved by this figure.
            let within = |k: usize| {
                self.moving
                    .iter()
                    .all(|&i| !self.table[k][i].broken || figure.touches(self.setup, &self.table[k][i].key))
            };
            let hopeful: Vec<usize> = (0..self.table.len()).filter(|&k| within(k)).collect();
            for direction in [1, -1] {
                let changed = figure.moved(self.setup, &(step * Exact::int(direction.into())), towards);
                let helps = changed.is_some_and(|(changed, _)| {
                    hopeful.first().is_some_and(|&k| {
                        left = left.saturating_sub(1);
                        let row = self.row(judge, &changed, k);
                        self.moving
                            .iter()
                            .any(|&i| self.table[k][i].broken && row[i].margin > self.table[k][i].margin)
                    })
                });
                if helps {
                    trials.push((figure, direction, hopeful.clone()));
                }
            }
        }
        for steps in 1..=MOST_STEPS {
            let by = step * Exact::int(steps);
            let mut open: Vec<String> = Vec::new();
            for (figure, direction, hopeful) in &trials {
                let delta = &by * Exact::int((*direction).into());
                let Some((changed, words)) = figure.moved(self.setup, &delta, towards) else { continue };
                // A margin never grows by more than the figure moved.
                let near = |k: usize| {
                    self.moving.iter().all(|&i| {
                        !self.table[k][i].broken
                            || self.table[k][i].margin.as_ref().is_none_or(|m| m.abs() <= by)
                    })
                };
                let mut run: Option<(usize, usize)> = None;
                for &k in hopeful.iter().filter(|&&k| near(k)) {
                    left = left.checked_sub(1)?;
                    let row = self.row(judge, &changed, k);
                    if self.moving.iter().any(|&i| row.get(i).is_none_or(|j| j.broken)) {
                        run = None;
                        continue;
                    }
                    run = match run {
                        Some((from, last)) if last + 1 == k => Some((from, k)),
                        _ => Some((k, k)),
                    };
                    if run.is_some_and(|(from, to)| to - from >= 2) {
                        open.push(words);
                        break;
                    }
                }
            }
            // Where several would do, which is easiest to get at is for the builder to say.
            if !open.is_empty() {
                open.truncate(MOST_TOLD);
                return Some(format!(
                    "The smallest single change that opens two steps: {}",
                    open.join("; or just as little: ")
                ));
            }
        }
        None
    }

    /// One value judged in a changed set-up.
    fn row(&self, judge: &mut Judge, changed: &Setup, k: usize) -> Vec<Judged> {
        let mut changed = changed.clone();
        changed.channels[self.channel].endpoints[self.side.index()] = self.values[k].clone();
        judge.row(&changed, self.side)
    }
}

/// A figure of the mechanism or of the tolerances.
#[derive(Clone, Copy, Debug)]
enum Figure {
    /// A threshold of a work: device, work, which.
    Threshold(usize, usize, Which),
    /// Its tolerance.
    ThresholdOff(usize, usize, Which),
    /// A stop of a device: device, index of the side.
    Stop(usize, usize),
    /// Its tolerance.
    StopOff(usize, usize),
    /// The accuracy of a device.
    Accuracy(usize),
    /// The accuracy of every pulse.
    Pulse,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Which {
    From,
    Full,
    To,
    Releases,
}

/// Every figure with a part in the limits of these sides: what can be moved first, then what would
/// have to be known better, as the first wins where two have to change by the same.
fn figures(setup: &Setup, channel: ChannelId, signs: &[i32]) -> Vec<Figure> {
    let (mut places, mut tolerances) = (Vec::new(), Vec::new());
    for (id, device) in setup.devices.iter().enumerate().filter(|(_, d)| d.input == Input::Channel(channel)) {
        for work in (0..device.works.len()).filter(|&w| signs.contains(&device.works[w].sign)) {
            for which in [Which::From, Which::Full, Which::To, Which::Releases] {
                places.push(Figure::Threshold(id, work, which));
                tolerances.push(Figure::ThresholdOff(id, work, which));
            }
        }
        for side in signs.iter().map(|&sign| usize::from(sign > 0)) {
            places.push(Figure::Stop(id, side));
            tolerances.push(Figure::StopOff(id, side));
        }
        tolerances.push(Figure::Accuracy(id));
    }
    tolerances.push(Figure::Pulse);
    places.extend(tolerances);
    places
}

impl Figure {
    /// Whether an instance of this name can hang on the figure.
    fn touches(self, setup: &Setup, key: &str) -> bool {
        match self {
            Figure::Threshold(d, w, _) | Figure::ThresholdOff(d, w, _) => {
                let name = format!("{}.{}", setup.devices[d].name, setup.devices[d].works[w].name);
                key == name || key == format!("{name} at rest") || key == format!("the far end of {name}")
            }
            Figure::Stop(d, _) | Figure::StopOff(d, _) => {
                let name = stop_key(&setup.devices[d].name, None);
                key == name || key.starts_with(&format!("{name} ("))
            }
            Figure::Accuracy(d) => key.contains(setup.devices[d].name.as_str()),
            Figure::Pulse => true,
        }
    }

    /// The set-up with this figure changed by `delta`, and how to say it; `None` where there is no
    /// such figure or it cannot be so.
    fn moved(self, setup: &Setup, delta: &Exact, towards: i32) -> Option<(Setup, String)> {
        let mut changed = setup.clone();
        // A tolerance of nought is a wish: something of it has to stay.
        let less = |old: &Exact| (delta.signum() < 0).then(|| old + delta).filter(|new| new.signum() > 0);
        let words = match self {
            Figure::Threshold(d, w, which) => {
                let spot = threshold(&mut changed, d, w, which)?;
                let old = spot.value.clone();
                spot.value = &old + delta;
                let (old, new) = (say::signed_percent(&old), say::signed_percent(&spot.value));
                // A switch that is shifted lets go as much later as it engages later.
                let work = &mut changed.devices[d].works[w];
                let carried = work.releases.as_mut().filter(|_| which == Which::From && work.from_clicks);
                let along = carried.map(|releases| {
                    let old = releases.value.clone();
                    releases.value = &old + delta;
                    let (old, new) = (say::signed_percent(&old), say::signed_percent(&releases.value));
                    format!(" (its `releases` goes along, from {old} to {new})")
                });
                let along = along.unwrap_or_default();
                let kept_side = work.releases.as_ref().is_none_or(|r| r.value.signum() == work.sign);
                (kept_side && in_order(work))
                    .then(|| format!("move {} from {old} to {new}{along}", label(setup, d, w, which)))?
            }
            Figure::ThresholdOff(d, w, which) => {
                let spot = threshold(&mut changed, d, w, which)?;
                let new = less(&spot.off)?;
                let old = std::mem::replace(&mut spot.off, new);
                let (old, new) = (say::percent(&old), say::percent(&spot.off));
                format!("bring the ± of {} from {old} down to {new}", label(setup, d, w, which))
            }
            Figure::Stop(d, side) => {
                let spot = changed.devices[d].stops[side].as_mut()?;
                let old = spot.value.clone();
                spot.value = &old + delta;
                if spot.value.signum() != old.signum() {
                    return None;
                }
                let (old, new) = (say::signed_percent(&old), say::signed_percent(&spot.value));
                format!("move the stop of {} from {old} to {new}", setup.devices[d].name)
            }
            Figure::StopOff(d, side) => {
                let spot = changed.devices[d].stops[side].as_mut()?;
                let new = less(&spot.off)?;
                let old = std::mem::replace(&mut spot.off, new);
                let (old, new) = (say::percent(&old), say::percent(&spot.off));
                format!("bring the ± of the stop of {} from {old} down to {new}", setup.devices[d].name)
            }
            Figure::Accuracy(d) => {
                let name = &setup.devices[d].name;
                let allowed = &mut changed.devices[d].accuracy;
                if let Some(new) = less(&allowed.axis) {
                    let old = std::mem::replace(&mut allowed.axis, new);
                    let (old, new) = (say::percent(&old), say::percent(&allowed.axis));
                    format!("bring the accuracy of {name} from {old} down to {new}")
                } else {
                    let (new, words) = fewer_micros(setup, &allowed.micros, delta, towards)?;
                    allowed.micros = new;
                    format!("bring the accuracy of {name} {words}")
                }
            }
            Figure::Pulse => {
                let scale = &mut changed.transmitter.pulse;
                let (new, words) = fewer_micros(setup, &scale.accuracy, delta, towards)?;
                scale.accuracy = new;
                format!("bring the accuracy of the pulse {words}")
            }
        };
        Some((changed, words))
    }
}

/// A tolerance in microseconds, less by a part of the axis.
fn fewer_micros(setup: &Setup, old: &Micros, delta: &Exact, towards: i32) -> Option<(Micros, String)> {
    let new = &old.0 + delta * setup.transmitter.pulse.span(towards);
    if delta.signum() >= 0 || new.signum() <= 0 {
        return None;
    }
    let words = format!("from {} us down to {} us", old.0.to_decimal(1), new.to_decimal(1));
    Some((Micros(new), words))
}

fn threshold(setup: &mut Setup, device: usize, work: usize, which: Which) -> Option<&mut Toleranced> {
    let work = setup.devices[device].works.get_mut(work)?;
    match which {
        Which::From => Some(&mut work.from),
        Which::Full => work.full.as_mut(),
        Which::To => work.to.as_mut(),
        Which::Releases => work.releases.as_mut(),
    }
}

/// Whether the thresholds of a work still follow each other on its side of rest.
fn in_order(work: &Work) -> bool {
    let out = |t: &Toleranced| &t.value * Exact::int(work.sign.into());
    let from = out(&work.from);
    from.signum() > 0
        && work.full.as_ref().is_none_or(|t| out(t) >= from)
        && work.to.as_ref().is_none_or(|t| out(t) > from)
        && work.releases.as_ref().is_none_or(|t| out(t) <= from)
}

/// `gas `from``, as the builder finds it in the file.
fn label(setup: &Setup, device: usize, work: usize, which: Which) -> String {
    let w = &setup.devices[device].works[work];
    let key = match which {
        Which::From if w.from_clicks => "clicks",
        Which::From => "from",
        Which::Full => "full",
        Which::To => "to",
        Which::Releases => "releases",
    };
    format!("{}.{} `{key}`", setup.devices[device].name, w.name)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::super::windows::way;
    use crate::setup::{Exact, Setup, Side, lower};
    use crate::source::Source;

    fn example(from: &str, to: &str) -> Setup {
        let text = std::fs::read_to_string("tests/fixtures/example.yaml").unwrap();
        assert!(text.contains(from));
        let source = Source::from_bytes("x", text.replace(from, to).into_bytes()).unwrap();
        lower::lower(&source).unwrap()
    }

    /// The pump needs 38 + 2 + 1.5 + 0.5 = 42 %. Gas from 45 % keeps clear below 45 - 6 = 39 %, so
    /// 38 % is the last value. Open by two steps means 42, 43 and 44: gas from 51 %, six more.
    #[test]
    fn the_smallest_change_of_one_figure_opens_two_steps_and_one_step_less_does_not() {
        let setup = example("from: +72 % ± 4 %", "from: +45 % ± 4 %");
        let window = way(&setup, 3, Side::High).unwrap();
        let told = window.crossing.unwrap();
        assert!(told.contains("tank_servo.pump needs 42 % or more"), "{told}");
        assert!(told.contains("tank_servo.gas allows 38 % or less: they cross by 4 %"), "{told}");
        let gas = |from: &str| {
            let to = format!("from: {from} ± 4 %");
            way(&example("from: +72 % ± 4 %", &to), 3, Side::High).unwrap().windows
        };
        assert_eq!(gas("+51 %"), [[Exact::percent(42), Exact::percent(44)]]);
        assert_eq!(gas("+50 %"), [[Exact::percent(42), Exact::percent(43)]]);
        // The pump switch moved as much the other way does as well: it lets go as it engages, earlier.
        assert!(told.contains("move tank_servo.gas `from` from +45 % to +51 %"), "{told}");
        let pump = "move tank_servo.pump `clicks` from +38 % to +32 % (its `releases` goes along, from +33 % to +27 %)";
        assert!(told.contains(pump), "{told}");
    }

    /// The servo's accuracy counts at the pump and at the gas valve: it has to change half as much.
    #[test]
    fn a_tolerance_is_named_where_it_has_to_change_least() {
        // The pump needs 38 + 2 + 5 + 0.5 = 45.5 %, gas from 52 % keeps clear below 52 - 9.5 = 42.5 %.
        // With 2 % of accuracy these are 42.5 % and 45.5 %: 43, 44 and 45 are safe.
        let text = std::fs::read_to_string("tests/fixtures/example.yaml").unwrap();
        let text = text
            .replace("from: +72 % ± 4 %", "from: +52 % ± 4 %")
            .replace("accuracy: 1.5 %\n", "accuracy: 5 %\n");
        let setup = lower::lower(&Source::from_bytes("x", text.into_bytes()).unwrap()).unwrap();
        let told = way(&setup, 3, Side::High).unwrap().crossing.unwrap();
        assert!(told.ends_with("steps: bring the accuracy of tank_servo from 5 % down to 2 %"), "{told}");
    }
}
