//! What to do where no endpoint value is safe: which limits cross, and the least change that parts them.
//!
//! First what can be dialled, then what can be moved on the boat; never a figure that was measured. A
//! change is found by trying, and every changed set-up is asked what the boat itself is asked.

use super::asks::{Asks, EdgeKind};
use super::engine::Engine;
use super::safe::{BareQuestion, Row, bad_where, deciding, named, stretches};
use super::say;
use super::trial::Trial;
use crate::finding::StateId;
use crate::proof::cases::Influence;
use crate::setup::{ChannelId, ControlId, DeviceId, Exact, Setup, Side, Toleranced, WorkRef};
use std::cell::RefCell;

/// No figure is moved by more steps than this: what is so far off belongs on another servo.
const MOST_STEPS: i64 = 40;
/// Changes that would all do are not listed beyond this many.
const MOST_TOLD: usize = 2;
/// Safe values in a row that count as an open window: two steps of room.
const OPEN: usize = 3;

/// The whole sentence.
pub(super) fn told(
    setup: &Setup,
    asked: &[BareQuestion],
    channel: ChannelId,
    side: Side,
    rows: &[Row<'_>],
    values: &[Exact],
) -> String {
    let crossing = Crossing::of(setup, rows, values);
    let trial = RefCell::new(Trial::new(setup, channel, &deciding(setup, asked, channel)));
    let search = Search { setup, asked, channel, side, values, rows, trial };
    let advice = search.least_change(&crossing).unwrap_or_else(|| {
        format!(
            "No single setting and nothing on the boat, moved by up to {MOST_STEPS} steps, opens two steps"
        )
    });
    format!("{}. {advice}", crossing.told)
}

/// The limits that cross, and the sentence about them.
struct Crossing<'a> {
    limits: Vec<&'a BareQuestion>,
    told: String,
}

impl<'a> Crossing<'a> {
    fn of(setup: &Setup, rows: &[Row<'a>], values: &[Exact]) -> Self {
        let (wanted, others): (Vec<&Row>, Vec<&Row>) = rows
            .iter()
            .filter(|row| row.bad.contains(&true))
            .partition(|row| matches!(row.question.asks, Asks::Misses { .. } | Asks::Moves { .. }));
        let names = |rows: &[&Row]| named(setup, rows.iter().map(|row| row.question)).join(", ");
        let fine = |rows: &[&Row], k: usize| rows.iter().all(|row| !row.bad[k]);
        let need = (0..values.len()).find(|&k| fine(&wanted, k));
        let allow = (0..values.len()).rev().find(|&k| fine(&others, k));
        let bad_at = |rows: &[&Row<'a>], k: usize| -> Vec<usize> {
            (0..rows.len()).filter(|&i| rows[i].bad.get(k) == Some(&true)).collect()
        };
        let pick = |rows: &[&Row<'a>], at: &[usize]| -> Vec<&'a BareQuestion> {
            at.iter().map(|&i| rows[i].question).collect()
        };
        match (need, allow) {
            (Some(need), Some(allow)) if need > allow => {
                let (below, above) = (bad_at(&wanted, need - 1), bad_at(&others, allow + 1));
                let rows_of =
                    |rows: &[&Row<'a>], at: &[usize]| named(setup, pick(rows, at).into_iter()).join(", ");
                let told = format!(
                    "{} needs {} or more, but {} allows {} or less: they cross by {}",
                    rows_of(&wanted, &below),
                    say::percent(&values[need]),
                    rows_of(&others, &above),
                    say::percent(&values[allow]),
                    say::percent(&(&values[need] - &values[allow])),
                );
                let limits = [pick(&wanted, &below), pick(&others, &above)].concat();
                Self { limits, told }
            }
            (None, _) => {
                let all = [&wanted[..], &others[..]].concat();
                let told = format!("no value reaches far enough for {}", names(&wanted));
                Self { limits: all.iter().map(|row| row.question).collect(), told }
            }
            (_, None) => {
                let told = format!("no value keeps clear of {}", names(&others));
                Self { limits: others.iter().map(|row| row.question).collect(), told }
            }
            _ => {
                let all = [&wanted[..], &others[..]].concat();
                let told = format!("no value suits {} and {} at once", names(&wanted), names(&others));
                Self { limits: all.iter().map(|row| row.question).collect(), told }
            }
        }
    }
}

struct Search<'a> {
    setup: &'a Setup,
    asked: &'a [BareQuestion],
    channel: ChannelId,
    side: Side,
    values: &'a [Exact],
    /// How every question comes out without a change, in the order of [`deciding`].
    rows: &'a [Row<'a>],
    /// What is known of channels for all changes that let their sums be.
    trial: RefCell<Trial>,
}

impl Search<'_> {
    /// What has to change least, and from where to where.
    fn least_change(&self, crossing: &Crossing) -> Option<String> {
        for changes in [self.dialled(crossing), self.moved(crossing)] {
            let mut open: Vec<(i64, String)> = Vec::new();
            for change in &changes {
                for direction in [1, -1] {
                    open.extend(self.least_steps(change, direction));
                }
            }
            let Some(least) = open.iter().map(|(steps, _)| *steps).min() else { continue };
            let words: Vec<String> = open
                .into_iter()
                .filter(|(steps, _)| *steps == least)
                .map(|(_, words)| words)
                .take(MOST_TOLD)
                .collect();
            return Some(format!(
                "What opens two steps with the least change: {}",
                words.join("; or just as little: ")
            ));
        }
        None
    }

    /// The fewest steps of one change that open a window. Whether a window is open is asked of the whole
    /// set-up; that it stays open a little further is taken to look for the first such step.
    fn least_steps(&self, change: &Change, direction: i64) -> Option<(i64, String)> {
        let mut closed = 0;
        let mut steps = 1;
        loop {
            if self.opens(change, direction * steps) {
                break;
            }
            closed = steps;
            if steps == MOST_STEPS {
                return None;
            }
            steps = (steps * 2).min(MOST_STEPS);
        }
        while steps - closed > 1 {
            let middle = closed + (steps - closed) / 2;
            if self.opens(change, direction * middle) { steps = middle } else { closed = middle }
        }
        let (_, words) = change.made(self.setup, direction * steps)?;
        Some((steps, words))
    }

    fn opens(&self, change: &Change, steps: i64) -> bool {
        let Some((changed, _)) = change.made(self.setup, steps) else { return false };
        // A trim is part of what is asked over, and a stop of what is asked for; all else is read when a
        // question is answered.
        let engine = Engine::new(&changed);
        let asked = match change {
            Change::Trim(_) | Change::Stop(..) => engine.asked(),
            _ => self.asked,
        };
        let questions = deciding(&changed, asked, self.channel);
        let own = |questions: &[&BareQuestion]| Trial::new(&changed, self.channel, questions);
        let mut own = change.moves_outputs().then(|| own(&questions));
        let mut kept = self.trial.borrow_mut();
        let trial = own.as_mut().unwrap_or_else(|| {
            kept.exchange(&changed);
            &mut *kept
        });
        let mut bad_at =
            |at: usize, question: &BareQuestion, safe: &[bool]| match self.as_before(change, at, question) {
                Some(row) => row.bad.clone(),
                None => bad_where(trial, question, self.side, self.values, safe),
            };
        let is_open = |safe: &[bool]| stretches(safe).iter().any(|[first, last]| last - first + 1 >= OPEN);
        let mut questions: Vec<(usize, &BareQuestion)> = questions.into_iter().enumerate().collect();
        // Two outputs at once are dear to judge, and mostly something else keeps the window shut.
        let is_dear = |(_, question): &(usize, &BareQuestion)| matches!(question.asks, Asks::Together { .. });
        questions.sort_by_key(is_dear);
        let (piloting, others): (Vec<_>, Vec<_>) =
            questions.into_iter().partition(|(_, question)| question.state == StateId::Piloting);
        let mut safe = vec![true; self.values.len()];
        for (at, question) in piloting {
            let bad = bad_at(at, question, &safe);
            safe.iter_mut().zip(bad).for_each(|(safe, bad)| *safe &= !bad);
            // More questions narrow what is safe.
            if !is_open(&safe) {
                return false;
            }
        }
        for (at, question) in others {
            let bad = bad_at(at, question, &safe);
            let narrower: Vec<bool> = safe.iter().zip(&bad).map(|(safe, bad)| *safe && !bad).collect();
            // What would leave nothing is left out, as it is where windows are told.
            if narrower.contains(&true) {
                safe = narrower;
            }
        }
        is_open(&safe)
    }

    /// How a question came out at every value before a change that cannot touch it.
    fn as_before(&self, change: &Change, at: usize, question: &BareQuestion) -> Option<&Row<'_>> {
        let untouched = matches!(change, Change::Function(function) if !question.asks.mentions(*function));
        let name = |asked: &BareQuestion| (asked.rule, asked.subject, asked.state);
        self.rows.get(at).filter(|row| untouched && name(row.question) == name(question))
    }

    /// What can be dialled on the set for this channel, beside the endpoint.
    fn dialled(&self, crossing: &Crossing) -> Vec<Change> {
        let influence = Influence::on(self.setup, self.channel);
        let mut all = vec![Change::SubTrim(self.channel)];
        let trimmed =
            |&control: &ControlId| self.setup.controls[control].trim.iter().any(|trim| trim.signum() > 0);
        all.extend(influence.controls.iter().copied().filter(trimmed).map(Change::Trim));
        all.extend(
            (0..self.setup.channels[self.channel].mixes.len()).map(|mix| Change::Mix(self.channel, mix)),
        );
        all.extend(
            crossing
                .limits
                .iter()
                .filter_map(|question| match &question.asks {
                    Asks::Engages { function, .. } => self.setup.guard(*function),
                    _ => None,
                })
                .map(|(switch, setting)| Change::Guard(self.channel, self.side.index(), switch, setting)),
        );
        all.dedup();
        all
    }

    /// What can be moved on the boat: the switches and valves that cross, and the stops.
    fn moved(&self, crossing: &Crossing) -> Vec<Change> {
        let mut all = Vec::new();
        for question in &crossing.limits {
            match &question.asks {
                Asks::Engages { function, .. } | Asks::Misses { function, .. } => {
                    all.push(Change::Function(*function))
                }
                Asks::Together { functions, .. } => all.extend(functions.map(Change::Function)),
                Asks::Passes { device, edge, .. } if edge.what == EdgeKind::Stop => {
                    all.push(Change::Stop(*device, usize::from(edge.sign > 0)));
                }
                _ => {}
            }
        }
        all.sort();
        all.dedup();
        all
    }
}

/// Something that can be changed by steps.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Change {
    /// The sub-trim of a channel.
    SubTrim(ChannelId),
    /// The trim of a control, which can only be made less.
    Trim(ControlId),
    /// How much a mix adds, which is only made less.
    Mix(ChannelId, usize),
    /// The rate of one way, by side, which is made to hang on a switch: as it is with one setting, less with all
    /// others.
    Guard(ChannelId, usize, ControlId, usize),
    /// Where a function sits on the axis of its device, as a whole.
    Function(WorkRef),
    /// A stop of a device, by side of the axis.
    Stop(DeviceId, usize),
}

impl Change {
    /// Whether it changes what a channel is the sum of, or where a device may be that nothing drives.
    fn moves_outputs(self) -> bool {
        match self {
            Change::Trim(_) | Change::Mix(..) | Change::Guard(..) | Change::Stop(..) => true,
            Change::SubTrim(_) | Change::Function(_) => false,
        }
    }

    /// The set-up with this changed by some steps, and how to say it; `None` where it cannot be so.
    fn made(self, setup: &Setup, steps: i64) -> Option<(Setup, String)> {
        let mut changed = setup.clone();
        let delta = &setup.transmitter.step * Exact::int(steps);
        let words = match self {
            Change::SubTrim(channel) => {
                let spot = &mut changed.channels[channel].sub_trim;
                let old = std::mem::replace(spot, &*spot + &delta);
                format!("sub-trim from {} to {}", say::signed_percent(&old), say::signed_percent(spot))
            }
            Change::Trim(control) => {
                let of = &mut changed.controls[control];
                let less = of.trim.clone().map(|trim| (trim + &delta).max(Exact::ZERO));
                if steps >= 0 || less == of.trim {
                    return None;
                }
                let old = std::mem::replace(&mut of.trim, less);
                let told = |trim: &[Exact; 2]| match trim {
                    [low, high] if low == high => say::percent(low),
                    both => format!("{} and {}", say::percent(&both[0]), say::percent(&both[1])),
                };
                format!("trim of {} from {} to {}", of.name, told(&old), told(&of.trim))
            }
            Change::Mix(channel, index) => {
                let mix = &mut changed.channels[channel].mixes[index];
                let less = &mix.add + &delta;
                if less.abs() >= mix.add.abs() || less.signum() * mix.add.signum() < 0 {
                    return None;
                }
                let old = std::mem::replace(&mut mix.add, less);
                format!("the mix from {} to {}", say::signed_percent(&old), say::signed_percent(&mix.add))
            }
            Change::Guard(channel, side, switch, setting) => {
                let rate = &mut changed.channels[channel].rate[side];
                // Nothing at all is plainest; where the way has to move something, a quarter.
                let less = match (steps, rate.switch) {
                    (1, None) => Exact::ZERO,
                    (2, None) => Exact::percent(25),
                    _ => return None,
                };
                let full = rate.values.first()?.clone();
                let settings = &setup.controls[switch].settings;
                rate.switch = Some(switch);
                rate.values = (0..settings.len())
                    .map(|i| if i == setting { full.clone() } else { less.clone() })
                    .collect();
                let told: Vec<String> = settings
                    .iter()
                    .zip(&rate.values)
                    .map(|(name, value)| format!("{name}: {}", say::percent(value)))
                    .collect();
                format!(
                    "`rate: {{{}: {{{}}}}}` for this channel",
                    setup.controls[switch].name,
                    told.join(", ")
                )
            }
            Change::Function(function) => move_function(&mut changed, function, &delta)?,
            Change::Stop(device, side) => {
                let d = &mut changed.devices[device];
                let stop = d.stops[side].as_mut()?;
                let old = shift(stop, &delta);
                let further = old.value.abs() < stop.value.abs();
                if !further || old.value.signum() != stop.value.signum() {
                    return None;
                }
                format!(
                    "give {} room, its stop from {} to {}",
                    d.name,
                    say::signed_percent(&old.value),
                    say::signed_percent(&stop.value)
                )
            }
        };
        Some((changed, words))
    }
}

/// A switch or valve that is moved takes all its points with it.
fn move_function(changed: &mut Setup, function: WorkRef, delta: &Exact) -> Option<String> {
    let name = changed.work_name(function);
    let w = &mut changed.devices[function.device].works[function.work];
    // Readings are told by their mean: the middle of their interval stands nowhere in the file.
    let (key, read) = match &w.clicks {
        Some(clicks) => ("clicks", clicks.mean()),
        None => ("from", w.from.value.clone()),
    };
    shift(&mut w.from, delta);
    for point in [&mut w.full, &mut w.to, &mut w.releases].into_iter().flatten() {
        shift(point, delta);
        if point.value.signum() * w.sign < 0 {
            return None;
        }
    }
    if w.from.value.signum() * w.sign <= 0 {
        return None;
    }
    let along = w.releases.as_ref().map_or_else(String::new, |releases| {
        format!(" (its `releases` goes along, to {})", say::signed_percent(&releases.value))
    });
    Some(format!(
        "move {name}, `{key}` from {} to {}{along}",
        say::signed_percent(&read),
        say::signed_percent(&(&read + delta))
    ))
}

/// Moves a position and answers what it was.
fn shift(spot: &mut Toleranced, delta: &Exact) -> Toleranced {
    let moved = Toleranced { value: &spot.value + delta, off: spot.off.clone() };
    std::mem::replace(spot, moved)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::finding::SafeEndpoints;
    use crate::setup::{Exact, Setup, lower};
    use crate::source::Source;

    fn example(from: &str, to: &str) -> Setup {
        let text = std::fs::read_to_string("../../tests/fixtures/example.yaml").unwrap();
        assert!(text.contains(from));
        let source = Source::from_bytes("x", text.replace(from, to).into_bytes()).unwrap();
        lower::lower(&source).unwrap()
    }

    fn blow(setup: &Setup) -> SafeEndpoints {
        crate::rule::endpoints(setup).into_iter().find(|w| w.way == "blow").unwrap()
    }

    /// The pump needs 46.03 (five clicks about 38: their interval) + 1.5 + 0.5 = 48.03, so 49 %. Gas from 45 %
    /// keeps clear below 45 - 6 = 39 %, so 38 % is the last value. Open by two steps means 49, 50 and 51: gas from
    /// 58 %, thirteen more.
    #[test]
    fn the_least_change_on_the_boat_opens_two_steps_and_one_step_less_does_not() {
        let told = blow(&example("from: +72 % ± 4 %", "from: +45 % ± 4 %")).crossing.unwrap();
        assert!(told.contains("tank_servo.pump needs 49 % or more"), "{told}");
        assert!(told.contains("tank_servo.gas allows 38 % or less: they cross by 11 %"), "{told}");
        let gas = |from: &str| {
            let to = format!("from: {from} ± 4 %");
            blow(&example("from: +72 % ± 4 %", &to)).windows
        };
        assert_eq!(gas("+58 %"), [[Exact::percent(49), Exact::percent(51)]]);
        assert_eq!(gas("+57 %"), [[Exact::percent(49), Exact::percent(50)]]);
        // The pump switch moved as much the other way does as well: it lets go as it engages, earlier.
        assert!(told.contains("move tank_servo.gas, `from` from +45 % to +58 %"), "{told}");
        let pump = "move tank_servo.pump, `clicks` from +38 % to +25 % (its `releases` goes along, to +20 %)";
        assert!(told.contains(pump), "{told}");
    }

    /// A guard that stands only in the file guards nothing: the set has to know it, too.
    #[test]
    fn what_a_guard_reserves_is_had_by_a_rate_that_hangs_on_it() {
        let text = std::fs::read_to_string("../../boats/capstan.yaml").unwrap();
        let guarded = "    rate: {guard: {safe: 25 %, armed: 100 %}}";
        assert!(text.contains(guarded));
        let free = Source::from_bytes("x", text.replace(guarded, "    rate: 100 %").into_bytes()).unwrap();
        let told: Vec<String> = crate::rule::endpoints(&lower::lower(&free).unwrap())
            .into_iter()
            .filter_map(|w| w.crossing)
            .collect();
        assert!(told.iter().any(|t| t.contains("`rate: {guard: {safe: 0 %, armed: 100 %}}`")), "{told:?}");
        let kept = Source::from_bytes("x", text.into_bytes()).unwrap();
        assert!(crate::rule::endpoints(&lower::lower(&kept).unwrap()).iter().all(|w| w.crossing.is_none()));
    }

    /// The servo could be called more accurate than it is; that moves no valve.
    #[test]
    fn no_measured_figure_is_altered() {
        let text = std::fs::read_to_string("../../tests/fixtures/example.yaml").unwrap();
        let text = text
            .replace("from: +72 % ± 4 %", "from: +52 % ± 4 %")
            .replace("accuracy: 1.5 %\n", "accuracy: 5 %\n");
        let setup = lower::lower(&Source::from_bytes("x", text.into_bytes()).unwrap()).unwrap();
        let told = blow(&setup).crossing.unwrap();
        assert!(!told.contains("accuracy"), "{told}");
    }
}
