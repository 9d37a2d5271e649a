//! A set-up with a figure that is not known at one value of its range.

use super::model::{
    Axis, DeviceId, Figure, Input, Measure, OnLoss, Point, Setup, Toleranced, UntilItActs, WithoutPulses,
};
use super::quantity::{Micros, Seconds};
use super::{Allowance, Exact};
use crate::setup::model::Function;

/// The most that a device or a place of it can be off, as a part of the set's pulse in percent; a pulse of the set and
/// of a unit, in us; a trim and how far any output goes, in percent; the time of a servo and a wait, in seconds; the
/// finest step, in percent; a measure of a linkage, in millimetres or degrees. Nothing worse is read from a file.
const MOST_OFF: i64 = 20;
/// In so many steps the place at which she hangs level goes from one end to the other, and how far out the ends are as a part
/// of the set's pulse in percent.
const STEPS_OF_LEVEL: i64 = 300;
pub(in crate::setup) const MOST_LEVEL: i64 = 150;
/// In so many steps a place where something lets go is moved back to rest.
const STEPS_BACK: i64 = 100;
pub(in crate::setup) const MOST_PULSE_OFF: i64 = 20;
pub(in crate::setup) const MOST_UNIT_OFF: i64 = 40;
pub(in crate::setup) const MOST_TRIM: i64 = 50;
pub(in crate::setup) const MOST_FURTHEST: i64 = 200;
pub(in crate::setup) const MOST_CORRECTION: i64 = 200;
pub(in crate::setup) const MOST_SECONDS: i64 = 30;
pub(in crate::setup) const MOST_STEP: i64 = 5;
pub(in crate::setup) const MOST_WAIT: i64 = 600;
pub(in crate::setup) const MOST_MILLIMETRES_OFF: i64 = 3;
pub(in crate::setup) const MOST_DEGREES_OFF: i64 = 20;

/// A share of the set's own pulse as one of the axis, on the side where it is more.
fn on_axis(axis: &Axis, own: &Axis, share: &Exact) -> Exact {
    let wider = axis.share_from(own, &share.abs(), -1).max(axis.share_from(own, &share.abs(), 1));
    wider * Exact::int(share.signum().into())
}

/// The most that a device or a place of it can be off, as a part of the axis.
pub(in crate::setup) fn most_off(axis: &Axis, own: &Axis) -> Exact {
    on_axis(axis, own, &Exact::percent(MOST_OFF))
}

impl Figure {
    /// In how many steps its range is gone through, from the most to the least favourable value.
    pub fn steps(self) -> i64 {
        match self {
            Figure::Stop(..) => 300,
            Figure::Takes(_) => 20 * MOST_SECONDS,
            Figure::StillAtEnd(_) => 300,
            Figure::LevelAt(_) => STEPS_OF_LEVEL,
            Figure::After | Figure::Wait => MOST_WAIT,
            Figure::Releases(_) => STEPS_BACK,
            Figure::Trim(_) | Figure::Furthest(_) => 100,
            _ if self.is_a_word() => 1,
            _ => 200,
        }
    }

    /// Whether it is one of a few words, of which no value lies between two others.
    fn is_a_word(self) -> bool {
        matches!(
            self,
            Figure::WithoutPulses(_)
                | Figure::OnLoss
                | Figure::Notices
                | Figure::Tried
                | Figure::UntilItActs
                | Figure::Corrects(_)
                | Figure::Wakes(_)
                | Figure::LearnsRest(_)
        )
    }

    /// Whether both ends of its range can be the worst: where something binds near rest it may be driven
    /// there, and where nothing does it may be anywhere.
    pub fn has_two_worst_ends(self) -> bool {
        matches!(self, Figure::Stop(..) | Figure::StillBetween(_))
    }

    /// The value at a step as a number: of the axis or of the set's own pulse, in seconds or, of what pulses can be
    /// off, in microseconds; of a figure that is a word, the word.
    ///
    /// # Errors
    /// The word, where it is one.
    pub fn number(self, setup: &Setup, step: i64) -> Result<Exact, &'static str> {
        Ok(match self {
            Figure::PulseAccuracy => Exact::ratio(step, 10),
            Figure::UnitAccuracy => Exact::ratio(step, 5),
            Figure::Releases(work) => lets_go(setup, setup.work(work), step).value,
            Figure::Stop(_, 0) => -amount(setup, self, step),
            Figure::Takes(_) => takes(step),
            Figure::After | Figure::Wait => Exact::int(step),
            Figure::StillAtEnd(_) => still_from(step),
            Figure::Linkage(_, measure) => linkage_off(measure, step),
            Figure::Rests(_) => leans(step),
            Figure::Corrects(device) => {
                return Err(["shorter", "longer"][setup.tilts_further(device).unwrap_or(1)]);
            }
            Figure::Wakes(_) => return Err("on"),
            Figure::LearnsRest(_) => return Err("yes"),
            Figure::LevelAt(device) => level(setup, device, step),
            Figure::Furthest(end) => furthest(setup, end, step),
            Figure::OnLoss => return Err("noise"),
            Figure::Notices => return Err("invalid pulses"),
            Figure::Tried => return Err("no"),
            Figure::UntilItActs => return Err("passes"),
            Figure::WithoutPulses(device) => {
                return Err(if setup.devices[device].kind.runs_a_motor() { "stays" } else { "on" });
            }
            _ => amount(setup, self, step),
        })
    }

    /// The value at a step as it is told: `4.1 %`.
    pub fn told(self, setup: &Setup, step: i64) -> String {
        let percent = |value: Exact| format!("{} %", (value * Exact::int(100)).to_decimal(2));
        let micros = |value: Exact| format!("{} us", value.to_decimal(2));
        match self {
            Figure::PulseAccuracy => micros(Exact::ratio(step, 10)),
            Figure::UnitAccuracy => micros(Exact::ratio(step, 5)),
            Figure::Releases(work) => {
                let at = lets_go(setup, setup.work(work), step).value;
                let sign = if at.signum() > 0 { "+" } else { "" };
                format!("{sign}{}", percent(at))
            }
            Figure::LevelAt(device) => {
                let at = level(setup, device, step);
                let sign = if at.signum() > 0 { "+" } else { "" };
                format!("{sign}{}", percent(at))
            }
            Figure::Stop(_, side) => {
                let sign = if side == 0 { "-" } else { "+" };
                format!("{sign}{}", percent(amount(setup, self, step)))
            }
            Figure::Linkage(_, measure) => {
                let unit = if measure == Measure::Rests { "deg" } else { "mm" };
                format!("{} {unit}", linkage_off(measure, step).to_decimal(2))
            }
            Figure::Rests(_) => format!("{} deg", leans(step).to_decimal(2)),
            _ if self.is_a_word() => String::new(),
            Figure::Takes(_) => format!("{} s", takes(step).to_decimal(2)),
            Figure::Furthest(end) => percent(furthest(setup, end, step)),
            Figure::StillAtEnd(_) => percent(still_from(step)),
            Figure::After | Figure::Wait => format!("{step} s"),
            _ => percent(amount(setup, self, step)),
        }
    }
}

/// The size of a figure at a step, as a part of the axis; of what the set does, as a part of its own pulse. What is
/// not known of a servo stays the same when the file is told on another axis: its range is one of the set's pulse.
fn amount(setup: &Setup, figure: Figure, step: i64) -> Exact {
    let share = share(figure, step);
    let (axis, own) = (&setup.axis, &setup.transmitter.pulse.scale);
    match figure {
        Figure::Trim(_) | Figure::Correction(_) => share,
        Figure::Stop(_, side) => axis.share_from(own, &share, if side == 0 { -1 } else { 1 }),
        _ => on_axis(axis, own, &share),
    }
}

/// The size of a figure at a step, as a part of the set's pulse.
fn share(figure: Figure, step: i64) -> Exact {
    match figure {
        Figure::Stop(..) => Exact::ratio(300 - step, 200),
        Figure::Trim(_) => Exact::ratio(step, 200),
        // Below nought no pulse is one at which it is surely still.
        Figure::StillBetween(_) => Exact::ratio(100 - step, 500),
        Figure::Correction(_) => Exact::ratio(step, 100),
        _ => Exact::ratio(step, 1000),
    }
}

/// From where on outwards a motor of one direction stands still: at the last no pulse goes so far.
fn still_from(step: i64) -> Exact {
    Exact::ratio(-900 - 7 * step, 1000)
}

/// Where she hangs level at a step: from beyond where it fills her to beyond where it empties her.
fn level(setup: &Setup, device: DeviceId, step: i64) -> Exact {
    let own = &setup.transmitter.pulse.scale;
    let towards = setup.empties_towards(device).unwrap_or(1);
    level_of(&setup.axis, own, towards, step)
}

/// The same where the side is known on which it empties her.
fn level_of(axis: &Axis, own: &Axis, towards: i32, step: i64) -> Exact {
    let share =
        Exact::ratio((2 * step - STEPS_OF_LEVEL) * MOST_LEVEL * i64::from(towards), 100 * STEPS_OF_LEVEL);
    axis.share_from(own, &share.abs(), share.signum()) * Exact::int(share.signum().into())
}

/// Where she hangs level at the best: as far as can be to the side on which it fills her.
pub(in crate::setup) fn level_at_best(axis: &Axis, own: &Axis, towards: i32) -> Exact {
    level_of(axis, own, towards, 0)
}

/// How far a measure of a linkage is off at a step.
fn linkage_off(measure: Measure, step: i64) -> Exact {
    Exact::int(if measure == Measure::Rests { MOST_DEGREES_OFF } else { MOST_MILLIMETRES_OFF })
        * Exact::ratio(step, 200)
}

/// How far a horn leans at a step, to either side.
fn leans(step: i64) -> Exact {
    Exact::ratio(90 * step, 200)
}

/// How long a servo takes from one end of the set's pulse to the other, in seconds.
fn takes(step: i64) -> Exact {
    Exact::ratio(step, 20)
}

/// The same from one end of the axis to the other.
fn takes_over_axis(setup: &Setup, step: i64) -> Exact {
    let [axis, own] = [&setup.axis, &setup.transmitter.pulse.scale].map(|a| a.span(-1) + a.span(1));
    takes(step) * axis / own
}

/// How far any output can go at a step: from what is taken to the least that holds what is dialled in, or to
/// the most that a set can send.
fn furthest(setup: &Setup, end: usize, step: i64) -> Exact {
    let taken = setup.transmitter.furthest.clone();
    let dialled = setup.channels.iter().flat_map(|channel| channel.endpoints.iter().cloned());
    let far = match end {
        0 => dialled.fold(Exact::ONE, Exact::max).min(taken.clone()),
        _ => taken.clone().max(Exact::percent(MOST_FURTHEST)),
    };
    &taken + (far - &taken) * Exact::ratio(step, 100)
}

/// Where a work lets go at a step: from where it engages back to rest, off by no less than what it can be off at the
/// most.
fn lets_go(setup: &Setup, work: &Function, step: i64) -> Toleranced {
    let value = &work.from.value * Exact::ratio(STEPS_BACK - step, STEPS_BACK);
    let off = work.from.off.clone();
    let most = most_off(&setup.axis, &setup.transmitter.pulse.scale) * Exact::ratio(step, STEPS_BACK);
    let off = off.max(most);
    Toleranced { value, off }
}

impl Setup {
    /// The same with a figure at a step of its range; at the first it stays as it is.
    #[must_use]
    pub fn with(mut self, figure: Figure, step: i64) -> Self {
        if step > 0 {
            self.put(figure, step);
        }
        self
    }

    fn put(&mut self, figure: Figure, step: i64) {
        let size = amount(self, figure, step);
        match figure {
            Figure::Accuracy(device) => {
                self.devices[device].accuracy = Allowance { axis: size, micros: Micros(Exact::ZERO) };
            }
            Figure::PulseAccuracy => self.transmitter.pulse.accuracy = Micros(Exact::ratio(step, 10)),
            Figure::UnitAccuracy => {
                if let Some(unit) = &mut self.fail_safe {
                    unit.accuracy = Some(Micros(Exact::ratio(step, 5)));
                }
            }
            Figure::Tolerance(work, point) => {
                let work = &mut self.devices[work.device].works[work.work];
                let at = match point {
                    Point::From => Some(&mut work.from),
                    Point::To => work.to.as_mut(),
                    Point::Full => work.full.as_mut(),
                    Point::Releases => work.releases.as_mut(),
                };
                if let Some(at) = at {
                    at.off = at.off.clone().max(size);
                }
            }
            Figure::UnitTolerance => {
                let notices = self.fail_safe.as_mut().map(|unit| &mut unit.notices);
                if let Some(super::Notices::Channel { beyond, .. }) = notices {
                    beyond.off = size;
                }
            }
            Figure::Stop(device, side) => {
                let value = if side == 0 { -size } else { size };
                self.devices[device].stops[side] = Some(Toleranced { value, off: Exact::ZERO });
            }
            Figure::Trim(control) => self.controls[control].trim = [size.clone(), size],
            Figure::Releases(at) => {
                let releases = lets_go(self, self.work(at), step);
                self.devices[at.device].works[at.work].releases = Some(releases);
            }
            Figure::StillBetween(device) => self.devices[device].still_between = Some([-&size, size]),
            Figure::StillAtEnd(device) => {
                let beyond_every_pulse = Exact::int(-100);
                self.devices[device].still_between = Some([beyond_every_pulse, still_from(step)]);
            }
            Figure::After => self.receiver.after = Some(Seconds(Exact::int(step))),
            Figure::Wait => {
                if let Some(unit) = &mut self.fail_safe {
                    unit.wait = Some(Seconds(Exact::int(step)));
                }
            }
            Figure::StopTolerance(device, side) => {
                if let Some(stop) = &mut self.devices[device].stops[side] {
                    stop.off = size;
                }
            }
            Figure::Takes(device) => {
                self.devices[device].facts.takes = Some(Seconds(takes_over_axis(self, step)))
            }
            Figure::Linkage(device, measure) => {
                self.put_linkage(device, measure, &linkage_off(measure, step))
            }
            Figure::Rests(device) => self.put_linkage(device, Measure::Rests, &leans(step)),
            Figure::Corrects(device) => {
                self.devices[device].facts.bow_high = Some(self.tilts_further(device).unwrap_or(1));
            }
            Figure::LevelAt(device) => {
                let value = level(self, device, step);
                self.devices[device].facts.level_at = Some(Toleranced { value, off: Exact::ZERO });
            }
            Figure::LevelTolerance(device) => {
                if let Some(level) = &mut self.devices[device].facts.level_at {
                    level.off = size;
                }
            }
            Figure::LearnsRest(device) => self.devices[device].facts.learns_rest = true,
            Figure::Wakes(work) => self.devices[work.device].works[work.work].facts.wakes_on = true,
            Figure::Correction(device) => self.devices[device].facts.correction = Some(size),
            Figure::Furthest(end) => self.transmitter.furthest = furthest(self, end, step),
            // Noise reaches whatever the other words leave, and no unit that waits for silence hears it; one that knows
            // noise from a signal sees nothing wrong where the last signal is held.
            Figure::OnLoss => {
                self.receiver.on_loss = OnLoss::Noise;
                if let Some(unit) = &mut self.fail_safe {
                    unit.tells_noise = false;
                }
            }
            Figure::Notices => {
                if let Some(unit) = &mut self.fail_safe {
                    unit.notices = super::Notices::InvalidPulses;
                    unit.tells_noise = false;
                }
            }
            Figure::Tried => {
                if let Some(unit) = &mut self.fail_safe {
                    unit.tells_noise = false;
                }
            }
            Figure::UntilItActs => {
                if let Some(unit) = &mut self.fail_safe {
                    unit.until_it_acts = Some(UntilItActs::Passes);
                }
            }
            Figure::WithoutPulses(device) => {
                let device = &mut self.devices[device];
                let motor = device.kind.runs_a_motor();
                device.without_pulses = Some(if motor { WithoutPulses::Stays } else { WithoutPulses::On });
            }
        }
    }
}

impl Setup {
    fn put_linkage(&mut self, device: DeviceId, measure: Measure, off: &Exact) {
        let facts = &mut self.devices[device].facts;
        facts.linkage = facts.linkage.take().map(|linkage| linkage.with_off(measure, off));
    }

    /// The side of its axis on which a device empties her, as far as its effects say.
    pub fn empties_towards(&self, device: DeviceId) -> Option<i32> {
        let does = |sign: i32, word: &str| {
            self.devices[device].effects_on(sign).any(|effect| self.effect_words(effect) == word)
        };
        [-1, 1].into_iter().find(|sign| does(*sign, "empties") || does(-sign, "fills"))
    }

    /// The side to which a levelling unit makes a tilt worse by what is behind it.
    fn tilts_further(&self, unit: DeviceId) -> Option<usize> {
        let behind = self.devices.iter().filter(|device| device.input == Input::Behind(unit));
        let lifts = |(side, effect)| match self.effect_words(effect) {
            "bow rises" | "stern dips" => Some(side),
            "bow dips" | "stern rises" => Some(1 - side),
            _ => None,
        };
        behind.flat_map(|device| device.all_effects()).find_map(lifts)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_step_is_the_least_favourable_value_that_the_table_names() {
        let last = |figure: Figure| share(figure, figure.steps());
        assert_eq!(last(Figure::Accuracy(0)), Exact::percent(20));
        assert_eq!(last(Figure::Trim(0)), Exact::percent(50));
        assert_eq!(last(Figure::Stop(0, 1)), Exact::ZERO);
        assert_eq!(last(Figure::StillBetween(0)), Exact::percent(-20));
    }
}
