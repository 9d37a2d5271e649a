//! Follows a boat whose tank is emptied while she sinks and rises, step by step.

use super::blow::{AtIt, DEPTH, FILLED, Followed, Moment, PUMPED, SLOTS, SPEED, State, Submerged};
use super::ode::{Begins, Step, next};
use crate::domain::DomainError;
use crate::pressure::DEEPEST;
use crate::units::{Newtons, Seconds};

/// Error allowed in each step: a hundredth of a millimetre, as much in a second, and of water, air and gas what alters
/// her lift by a tenth of a gram. She hangs near where air that she squeezes just carries her for minutes, and errors
/// grow there: of a minute and a half some tenths of a second (looked for with errors allowed that are ten thousand
/// times smaller).
const ALLOWED: State = {
    let mut allowed = [1e-7; SLOTS];
    (allowed[DEPTH], allowed[SPEED]) = (1e-5, 1e-5);
    allowed
};
/// Steps before a motion is called one that cannot be followed.
const STEPS: usize = 20_000;
/// Longest step: in longer ones what is allowed in each adds up to seconds where she hangs.
const LONGEST: f64 = 1.0;
/// The same where she no longer does: she is up, or no water is left in the tank.
const LONGEST_DECIDED: f64 = 10.0;
/// How far apart the moments of a way are at most at which it is looked at, so that nothing worth a note is over between two
/// of them, such as a pump without pressure left, and a picture is smooth.
const SMOOTH: f64 = 0.25;

pub(super) struct Way<'a> {
    of: &'a Submerged,
    drag: f64,
    t: f64,
    y: State,
    h: f64,
    afloat: bool,
    /// No water is left in the tank.
    full: bool,
    found: Followed,
}

impl<'a> Way<'a> {
    pub(super) fn new(of: &'a Submerged, drag: f64, y: State, found: Followed) -> Self {
        Self { of, drag, t: 0.0, y, h: LONGEST, afloat: false, full: false, found }
    }

    pub(super) fn go(mut self, until: f64) -> Result<Followed, DomainError> {
        for stop in self.of.bends(until) {
            if self.over() {
                break;
            }
            let at_it = self.of.at_it(self.t, stop);
            self.stretch(stop, &at_it)?;
        }
        self.found.lift = Newtons(self.of.lifts(self.t, &self.y));
        let held_down = self.of.driven.until.0 > self.t || self.found.lift.0 < 0.0;
        self.found.sinks_on = !self.afloat && self.y[SPEED] >= 0.0 && held_down;
        Ok(self.found)
    }

    /// Whether nothing more can become of her.
    fn over(&self) -> bool {
        let to_come = self.of.to_come(self.t);
        let ends = self.of.emptiers.iter().flat_map(|e| &e.on).all(|s| s.until.0.is_finite());
        // What is on for good has done its work when the tank is empty.
        let blown = !to_come || self.full && !ends;
        // A vent that opens later floods her where she floats.
        let vents = self.of.vented.iter().any(|s| s.from.0 >= self.t && s.until > s.from);
        let done = self.afloat && blown && !vents;
        let driven = self.of.driven.until.0 > self.t;
        let lost = !self.afloat
            && !to_come
            && !driven
            && self.y[SPEED] >= 0.0
            && self.of.lifts(self.t, &self.y) < 0.0;
        done || lost || self.y[DEPTH] > DEEPEST.0
    }

    /// On to a moment between which and now nothing is switched.
    fn stretch(&mut self, until: f64, at_it: &AtIt) -> Result<(), DomainError> {
        const LOST: DomainError = DomainError::Inconsistent { what: "the motion cannot be followed" };
        let of = self.of;
        if at_it.vented {
            (self.y[PUMPED], self.y[FILLED], self.full) = (0.0, 0.0, false);
        }
        // Where the last step ended, while nothing is switched nor comes to an end.
        let mut goes_on = None;
        while self.t < until && !self.over() {
            let f = of.slope(at_it, self.drag, [self.afloat, self.full]);
            let here = self.y;
            self.note(at_it, self.t, &here);
            let begins = goes_on.take().unwrap_or_else(|| Begins::at(&f, self.t, &self.y));
            let (ends, h, step, error) = loop {
                let ends = self.t + self.h >= until;
                let h = if ends { until - self.t } else { self.h };
                let step = Step::from(&f, &begins, h);
                let finite = step.end.iter().all(|n| n.is_finite());
                if !finite || self.found.moments.len() > STEPS || self.h < 1e-12 {
                    return Err(LOST);
                }
                let error = step.error(&ALLOWED);
                if error <= 1.0 {
                    break (ends, h, step, error);
                }
                self.h = h * next(error);
            };
            let y = step.end;
            if !self.afloat && self.y[SPEED] > 0.0 && y[SPEED] <= 0.0 {
                let (h, y) = step.part(|y| y[SPEED]);
                self.deeper(self.of.moment(self.t + h, &y));
                // Here the water presses most.
                self.note(at_it, self.t + h, &y);
            }
            if !self.afloat && y[DEPTH] <= 0.0 && y[SPEED] < 0.0 {
                let (h, y) = step.part(|y| y[DEPTH]);
                self.between(at_it, &step, h);
                self.y = y;
                self.t += h;
                self.surfaces();
                continue;
            }
            if !self.full && self.of.overfull(&y) {
                let (h, y) = step.part(|y| of.room(y));
                self.between(at_it, &step, h);
                self.y = y;
                self.t += h;
                self.full = true;
                self.found.empty = self.found.empty.or(Some(Seconds(self.t)));
                self.found.moments.push(self.of.moment(self.t, &self.y));
                continue;
            }
            self.between(at_it, &step, h);
            self.t = if ends { until } else { self.t + h };
            self.y = y;
            // Where she sinks on, the gas shrinks and water comes back.
            let was_full = self.full;
            self.full &= self.of.overfull(&y);
            goes_on = (was_full == self.full).then(|| step.next());
            let here = self.of.moment(self.t, &y);
            self.found.moments.push(here);
            self.deeper(here);
            let longest = if self.full || self.afloat { LONGEST_DECIDED } else { LONGEST };
            self.h = (h.max(self.h) * next(error)).min(longest);
        }
        Ok(())
    }

    /// Notes what is worth a note between both ends of a step, and the moments there, if somebody looks at them.
    fn between(&mut self, at_it: &AtIt, step: &Step<SLOTS>, h: f64) {
        let noted = !self.full && !self.afloat && at_it.emptiers.iter().any(Option::is_some);
        let parts = if self.of.drawn || noted { (h / SMOOTH).ceil() } else { 1.0 };
        for part in 1..parts as u32 {
            let h = h * f64::from(part) / parts;
            let (t, y) = (self.t + h, step.within(h));
            if self.of.drawn {
                self.found.moments.push(self.of.moment(t, &y));
            }
            self.note(at_it, t, &y);
        }
    }

    fn surfaces(&mut self) {
        self.y[DEPTH] = 0.0;
        let there = self.of.moment(self.t, &self.y);
        self.found.moments.push(there);
        self.found.surfaced = Some(there);
        self.afloat = true;
        self.y[SPEED] = 0.0;
        self.h = LONGEST_DECIDED;
    }

    fn deeper(&mut self, here: Moment) {
        if here.depth > self.found.deepest.depth {
            self.found.deepest = here;
        }
    }

    /// Notes the least that pumps have left over, and what moves nothing here although it is on.
    fn note(&mut self, at_it: &AtIt, t: f64, y: &State) {
        if self.full || self.afloat {
            return;
        }
        for (least, here) in self.found.to_spare.iter_mut().zip(self.of.to_spare(y, at_it)) {
            if let Some(here) = here {
                *least = Some(least.map_or(here, |least: f64| least.min(here)));
            }
        }
        let stands = self.of.stands(t, y, at_it);
        for (stalled, stands) in self.found.stalled.iter_mut().zip(stands) {
            if stands && stalled.is_none() {
                *stalled = Some(Seconds(t));
            }
        }
    }
}
