//! A boat whose tank is emptied by pumps and gas while she sinks and rises: depth changes flow, and flow
//! changes depth.
//!
//! Beside the equation of motion of [`super::rise`] (with a force downwards for a boat that is driven down):
//! water leaves by pumps at what their curve gives against the water's pressure here; gas fills what its
//! mass flow takes up here, and what is in the tank already grows and shrinks with the pressure,
//! `dV = -V dp/p` at an even temperature. What the tank cannot hold bubbles out.
//! At the surface she stays, and the rest of the tank is emptied at no depth.

use super::ode::{self, checked_step, next, part};
use super::rise::Start;
use super::steady::Boat;
use crate::domain::{DomainError, not_negative, positive, within};
use crate::gas::restriction::Restriction;
use crate::gas::supply::Supply;
use crate::pressure::{ATMOSPHERE, DEEPEST, GRAVITY};
use crate::pump::PumpCurve;
use crate::units::{CubicMetres, Kilograms, Metres, MetresPerSecond, Newtons, Pascals, Seconds};

/// Bottles that can be followed at once.
pub const MOST_BOTTLES: usize = 3;

/// Depth, speed, pumped, gas in the tank, and the mass drawn from each bottle.
const SLOTS: usize = 4 + MOST_BOTTLES;
const DEPTH: usize = 0;
const SPEED: usize = 1;
const PUMPED: usize = 2;
const FILLED: usize = 3;
const DRAWN: usize = 4;

type State = ode::State<SLOTS>;

/// What empties a tank.
#[derive(Clone, Debug, PartialEq)]
pub enum Source {
    /// A pump or blower.
    Pump {
        /// What it moves against the water's pressure.
        curve: PumpCurve,
        /// By which factor the curve is off.
        factor: f64,
        /// It gets air at the surface only.
        through_snorkel: bool,
    },
    /// Gas.
    Gas {
        /// The bottle.
        supply: Supply,
        /// What stands in its way.
        valve: Restriction,
    },
}

/// Something that empties the tank, and when it is at it.
#[derive(Clone, Debug, PartialEq)]
pub struct Emptier {
    /// What it is.
    pub source: Source,
    /// From when until when, in order of time; infinite where it goes on for good.
    pub on: Vec<[Seconds; 2]>,
}

/// A boat under water with what empties her tank.
#[derive(Clone, Debug, PartialEq)]
pub struct Submerged {
    /// The boat, her mass with the tank full.
    pub boat: Boat,
    /// What lifts her with the tank full; below nought: she is heavy.
    pub lift: Newtons,
    /// What the tank holds.
    pub tank: CubicMetres,
    /// A force downwards from planes and motor, and until when it acts.
    pub driven: (Newtons, Seconds),
    /// Where she starts, and how fast she goes down.
    pub start: Start,
    /// What empties the tank.
    pub emptiers: Vec<Emptier>,
}

/// A moment of the way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moment {
    /// From the start.
    pub time: Seconds,
    /// Depth of her reference point.
    pub depth: Metres,
    /// Speed downwards.
    pub sinking: MetresPerSecond,
    /// Water that is out of the tank.
    pub emptied: CubicMetres,
    /// Mass drawn from each bottle, in the order of the emptiers that are one.
    pub drawn: [Kilograms; MOST_BOTTLES],
}

/// What became of her.
#[derive(Clone, Debug, PartialEq)]
pub struct Followed {
    /// The steps of the computation.
    pub moments: Vec<Moment>,
    /// The deepest as far as she was followed.
    pub deepest: Moment,
    /// She was going down when she was followed no further, with nothing to stop her: the deepest is not known.
    pub sinks_on: bool,
    /// When and how fast she comes to the surface, if she does.
    pub surfaced: Option<Moment>,
    /// What lifts her at the end.
    pub lift: Newtons,
    /// When the tank is empty, if it gets so.
    pub empty: Option<Seconds>,
    /// By emptier: when it is first at it and moves nothing, with water left in the tank.
    pub stalled: Vec<Option<Seconds>>,
}

/// Error allowed in each step: metres, metres per second, cubic metres, kilograms.
const ALLOWED: f64 = 1e-8;
/// Steps before a motion is called one that cannot be followed.
const STEPS: usize = 20_000;
/// Longest step, so that a picture of the moments is smooth.
const LONGEST: f64 = 0.25;

impl Submerged {
    /// Follows her until she is up and nothing empties the tank any more, until nothing is left that
    /// could raise her and she sinks, to the depth that formulas answer for, or for `until`.
    ///
    /// # Errors
    /// For a boat that [`Boat::terminal_speed`] refuses, a tank that is not positive or holds more than
    /// she weighs, a start that is not under water, more than three bottles, and for a motion that needs
    /// more than 20 000 steps.
    pub fn follow(&self, until: Seconds) -> Result<Followed, DomainError> {
        let (_, drag) = self.boat.checked()?;
        positive("volume of the tank", self.tank.0, CubicMetres::SIGN)?;
        positive("mass with an empty tank", self.boat.mass.0 - self.tank.0 * self.boat.water.0, "kg")?;
        let depth = not_negative("depth", self.start.depth.0, "m")?;
        within("depth", depth, 0.0, DEEPEST.0, "m")?;
        let speed = within("speed", self.start.sinking.0, -100.0, 100.0, "m/s")?;
        let until = within("time", positive("time", until.0, "s")?, 0.0, 86_400.0, "s")?;
        within("lift", self.lift.0, f64::MIN, f64::MAX, "N")?;
        if self.bottles().count() > MOST_BOTTLES {
            return Err(DomainError::Inconsistent {
                what: "more than three bottles cannot be followed at once",
            });
        }
        let mut y = [0.0; SLOTS];
        (y[DEPTH], y[SPEED]) = (depth, speed);
        Way { of: self, drag, t: 0.0, y, h: 1e-3, afloat: false, full: false, found: self.begins(&y) }
            .go(until)
    }

    fn bottles(&self) -> impl Iterator<Item = (usize, &Supply, Restriction)> {
        self.emptiers.iter().enumerate().filter_map(|(index, e)| match &e.source {
            Source::Gas { supply, valve } => Some((index, supply, *valve)),
            Source::Pump { .. } => None,
        })
    }

    fn begins(&self, y: &State) -> Followed {
        let first = self.moment(0.0, y);
        Followed {
            moments: vec![first],
            deepest: first,
            sinks_on: false,
            surfaced: None,
            lift: self.lift,
            empty: None,
            stalled: vec![None; self.emptiers.len()],
        }
    }

    fn moment(&self, t: f64, y: &State) -> Moment {
        Moment {
            time: Seconds(t),
            depth: Metres(y[DEPTH]),
            sinking: MetresPerSecond(y[SPEED]),
            emptied: CubicMetres(self.out(y)),
            drawn: std::array::from_fn(|n| Kilograms(y[DRAWN + n])),
        }
    }

    /// Water that is out of the tank.
    fn out(&self, y: &State) -> f64 {
        (y[PUMPED] + y[FILLED]).clamp(0.0, self.tank.0)
    }

    /// What the tank still holds beside the air and gas in it.
    fn room(&self, y: &State) -> f64 {
        self.tank.0 - (y[PUMPED] + y[FILLED])
    }

    /// Whether there is as much air and gas in the tank as it holds.
    fn overfull(&self, y: &State) -> bool {
        self.room(y) <= 0.0
    }

    /// What lifts her, without her way.
    fn lifts(&self, y: &State) -> f64 {
        self.lift.0 + self.boat.water.0 * self.out(y) * GRAVITY
    }

    /// When anything changes.
    fn bends(&self, until: f64) -> Vec<f64> {
        let switched = self.emptiers.iter().flat_map(|e| e.on.iter().flatten()).map(|s| s.0);
        let mut all: Vec<f64> =
            switched.chain([self.driven.1.0]).filter(|t| *t > 0.0 && *t < until).collect();
        all.push(until);
        all.sort_by(f64::total_cmp);
        all.dedup();
        all
    }

    /// Whether an emptier is at it between two bends.
    fn at_it(&self, from: f64, to: f64) -> Vec<bool> {
        let middle = (from + to) / 2.0;
        self.emptiers.iter().map(|e| e.on.iter().any(|s| s[0].0 <= middle && middle < s[1].0)).collect()
    }

    /// Whether anything is still to be switched on or off, or for ever on, after a moment.
    fn to_come(&self, t: f64) -> bool {
        self.emptiers.iter().any(|e| e.on.iter().any(|s| s[1].0 > t && s[1] > s[0]))
    }

    /// What each emptier moves at a state: volume in a second, mass in a second.
    fn moves<'a>(&'a self, y: &'a State, at_it: &'a [bool]) -> impl Iterator<Item = (f64, f64)> + 'a {
        let depth = y[DEPTH].max(0.0);
        let gauge = Pascals(self.boat.water.0 * GRAVITY * depth);
        let mut bottle = 0;
        self.emptiers.iter().zip(at_it).map(move |(emptier, &at_it)| match &emptier.source {
            Source::Pump { curve, factor, through_snorkel } => {
                let starved = *through_snorkel && depth > 0.0;
                (if at_it && !starved { curve.flow(gauge).0 * factor } else { 0.0 }, 0.0)
            }
            Source::Gas { supply, valve } => {
                bottle += 1;
                if !at_it {
                    return (0.0, 0.0);
                }
                let drawn = Kilograms(y[DRAWN + bottle - 1]);
                let (flow, per_kg) = supply.flow(drawn, *valve, gauge + ATMOSPHERE);
                (flow.0 * per_kg, flow.0)
            }
        })
    }

    /// How fast everything changes.
    fn slope(
        &self,
        at_it: &[bool],
        drag: f64,
        driven: f64,
        [afloat, full]: [bool; 2],
    ) -> impl Fn(f64, State) -> State {
        let of = self;
        move |_, y| {
            let mut d = [0.0; SLOTS];
            let (mut pumped, mut filled, mut bottle) = (0.0, 0.0, 0);
            for ((volume, mass), emptier) in of.moves(&y, at_it).zip(&of.emptiers) {
                if matches!(emptier.source, Source::Gas { .. }) {
                    filled += volume;
                    d[DRAWN + bottle] = mass;
                    bottle += 1;
                } else {
                    pumped += volume;
                }
            }
            if !afloat {
                let water = of.boat.water.0;
                let pressure = ATMOSPHERE.0 + water * GRAVITY * y[DEPTH].max(0.0);
                filled -= y[FILLED].max(0.0) * water * GRAVITY * y[SPEED] / pressure;
                let mass = of.boat.mass.0 - water * of.out(&y) + of.boat.added.0;
                let force = driven - of.lifts(&y) - drag * y[SPEED] * y[SPEED].abs();
                d[DEPTH] = y[SPEED];
                d[SPEED] = force / mass;
            }
            if full && pumped + filled >= 0.0 {
                // No water is left for a pump, and what more there is of gas bubbles out.
                (pumped, filled) = (0.0, 0.0);
            }
            d[PUMPED] = pumped;
            d[FILLED] = filled;
            d
        }
    }
}

struct Way<'a> {
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

impl Way<'_> {
    fn go(mut self, until: f64) -> Result<Followed, DomainError> {
        for stop in self.of.bends(until) {
            if self.over() {
                break;
            }
            let at_it = self.of.at_it(self.t, stop);
            self.stretch(stop, &at_it)?;
        }
        self.found.lift = Newtons(self.of.lifts(&self.y));
        let held_down = self.of.driven.1.0 > self.t || self.found.lift.0 < 0.0;
        self.found.sinks_on = !self.afloat && self.y[SPEED] > 0.0 && held_down;
        Ok(self.found)
    }

    /// Whether nothing more can become of her.
    fn over(&self) -> bool {
        let to_come = self.of.to_come(self.t);
        let ends = self.of.emptiers.iter().flat_map(|e| &e.on).all(|s| s[1].0.is_finite());
        // What is on for good has done its work when the tank is empty.
        let done = self.afloat && (!to_come || self.full && !ends);
        let driven = self.of.driven.1.0 > self.t;
        let lost = !self.afloat && !to_come && !driven && self.y[SPEED] > 0.0 && self.of.lifts(&self.y) < 0.0;
        done || lost || self.y[DEPTH] > DEEPEST.0
    }

    /// On to a moment between which and now nothing is switched.
    fn stretch(&mut self, until: f64, at_it: &[bool]) -> Result<(), DomainError> {
        const LOST: DomainError = DomainError::Inconsistent { what: "the motion cannot be followed" };
        let of = self.of;
        self.h = self.h.min(1e-2);
        while self.t < until && !self.over() {
            let driven = if self.of.driven.1.0 >= until { self.of.driven.0.0 } else { 0.0 };
            let f = of.slope(at_it, self.drag, driven, [self.afloat, self.full]);
            self.note_stalls(at_it);
            let ends = self.t + self.h >= until;
            let h = if ends { until - self.t } else { self.h };
            let (y, error) = checked_step(&f, self.t, self.y, h);
            if !y.iter().all(|n| n.is_finite()) || self.found.moments.len() > STEPS || self.h < 1e-12 {
                return Err(LOST);
            }
            if error > ALLOWED {
                self.h = h * next(error, ALLOWED);
                continue;
            }
            if !self.afloat && self.y[SPEED] > 0.0 && y[SPEED] <= 0.0 {
                let (h, y) = part(&f, self.t, self.y, h, |y| y[SPEED]);
                self.deeper(self.of.moment(self.t + h, &y));
            }
            if !self.afloat && y[DEPTH] <= 0.0 && y[SPEED] < 0.0 {
                let (h, y) = part(&f, self.t, self.y, h, |y| y[DEPTH]);
                self.y = y;
                self.t += h;
                self.surfaces();
                continue;
            }
            if !self.full && self.of.overfull(&y) {
                let (h, y) = part(&f, self.t, self.y, h, |y| of.room(y));
                self.y = y;
                self.t += h;
                self.full = true;
                self.found.empty = self.found.empty.or(Some(Seconds(self.t)));
                self.found.moments.push(self.of.moment(self.t, &self.y));
                continue;
            }
            self.t = if ends { until } else { self.t + h };
            self.y = y;
            // Where she sinks on, the gas shrinks and water comes back.
            self.full &= self.of.overfull(&y);
            let here = self.of.moment(self.t, &y);
            self.found.moments.push(here);
            self.deeper(here);
            self.h = (h.max(self.h) * next(error, ALLOWED)).min(LONGEST);
        }
        Ok(())
    }

    fn surfaces(&mut self) {
        self.y[DEPTH] = 0.0;
        let there = self.of.moment(self.t, &self.y);
        self.found.moments.push(there);
        self.found.surfaced = Some(there);
        self.afloat = true;
        self.y[SPEED] = 0.0;
        self.h = self.h.min(1e-2);
    }

    fn deeper(&mut self, here: Moment) {
        if here.depth > self.found.deepest.depth {
            self.found.deepest = here;
        }
    }

    fn note_stalls(&mut self, at_it: &[bool]) {
        if self.full {
            return;
        }
        let moves = self.of.moves(&self.y, at_it);
        for ((stalled, (volume, _)), at_it) in self.found.stalled.iter_mut().zip(moves).zip(at_it) {
            if *at_it && volume <= 0.0 && stalled.is_none() {
                *stalled = Some(Seconds(self.t));
            }
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::super::rise::{Ballast, rise};
    use super::*;
    use crate::gas::supply::Heat;
    use crate::units::{Celsius, CubicMetresPerSecond, KgPerM3, SquareMetres};

    const LONG: Seconds = Seconds(600.0);

    fn boat(lift: f64, depth: f64, sinking: f64, emptiers: Vec<Emptier>) -> Submerged {
        Submerged {
            boat: Boat {
                mass: Kilograms(5.0),
                added: Kilograms(4.59),
                drag: 1.1,
                area: SquareMetres(0.06),
                water: KgPerM3(1000.0),
            },
            lift: Newtons(lift),
            tank: CubicMetres::from_litres(0.5),
            driven: (Newtons(0.0), Seconds(0.0)),
            start: Start { depth: Metres(depth), sinking: MetresPerSecond(sinking) },
            emptiers,
        }
    }

    fn pump(flow: f64, shut_off: f64, through_snorkel: bool, on: [f64; 2]) -> Emptier {
        let points = [
            (Pascals(0.0), CubicMetresPerSecond(flow)),
            (Pascals(shut_off), CubicMetresPerSecond(if shut_off > 1e6 { flow } else { 0.0 })),
        ];
        let curve = PumpCurve::new(&points).unwrap();
        Emptier { source: Source::Pump { curve, factor: 1.0, through_snorkel }, on: vec![on.map(Seconds)] }
    }

    #[test]
    fn with_nothing_to_empty_the_tank_she_rises_by_the_closed_form() {
        let found = boat(1.0, 2.0, 0.0, Vec::new()).follow(LONG).unwrap().surfaced.unwrap();
        let (time, speed) = boat(1.0, 2.0, 0.0, Vec::new()).boat.over_way(Newtons(1.0), Metres(2.0)).unwrap();
        assert!((found.time - time).0.abs() < 1e-4 && (found.sinking + speed).0.abs() < 1e-5, "{found:?}");
    }

    #[test]
    fn an_even_flow_gives_what_a_rise_with_even_ballast_does() {
        let even = boat(-1.0, 0.5, 0.1, vec![pump(1e-4, 1e7, false, [1.0, f64::INFINITY])]);
        let found = even.follow(LONG).unwrap();
        let ballast = Ballast {
            before: Newtons(-1.0),
            begins: Seconds(1.0),
            rate: CubicMetresPerSecond(1e-4),
            volume: even.tank,
        };
        let want =
            rise(&even.boat, even.start, LONG, &ballast.bends(), |t, _| ballast.load(&even.boat, t)).unwrap();
        assert!((found.deepest.depth - want.deepest.depth).0.abs() < 1e-5);
        assert!((found.surfaced.unwrap().time - want.surfaced.unwrap().time).0.abs() < 1e-4);
        // 0.5 l of fresh water lift 0.5 · 9.80665 N, and it takes five seconds.
        assert!((found.lift.0 - (0.5 * GRAVITY - 1.0)).abs() < 1e-6);
        assert!((found.empty.unwrap().0 - 6.0).abs() < 1e-3);
    }

    /// p V of what is in the tank stays, from 5 m (150 358 Pa) to the surface.
    #[test]
    fn gas_in_the_tank_grows_as_she_rises() {
        let supply = Supply::air(
            CubicMetres::from_litres(0.1),
            Pascals::from_bar(9.0),
            Celsius(10.0),
            Heat::FromWater,
        );
        let valve = Restriction::hole(Metres::from_millimetres(0.5), 0.8).unwrap();
        let gas = Emptier {
            source: Source::Gas { supply: supply.unwrap(), valve },
            on: vec![[Seconds(0.0), Seconds(0.5)]],
        };
        let found = boat(0.5, 5.0, 0.0, vec![gas]).follow(LONG).unwrap();
        let product = |m: &Moment| m.emptied.0 * (ATMOSPHERE.0 + 1000.0 * GRAVITY * m.depth.0);
        let after: Vec<&Moment> = found.moments.iter().filter(|m| m.time.0 >= 0.5).collect();
        let (first, last) = (after[0], after[after.len() - 1]);
        assert!(last.emptied.0 > 1.4 * first.emptied.0 && found.surfaced.is_some());
        assert!((product(last) / product(first) - 1.0).abs() < 1e-3);
        assert_eq!(last.drawn[0], first.drawn[0]);
    }

    #[test]
    fn a_boat_driven_down_keeps_her_speed_until_the_drive_ends() {
        // 1000 · 1.1 · 0.06 / 2 · 0.2² = 1.32 N balance the drag at 0.2 m/s.
        let mut driven = boat(0.0, 1.0, 0.2, Vec::new());
        driven.driven = (Newtons(1.32), Seconds(10.0));
        let found = driven.follow(Seconds(10.0)).unwrap();
        assert!((found.deepest.depth.0 - 3.0).abs() < 1e-6 && !found.sinks_on);
    }

    /// At 5 m the water has 0.49 bar; the pump ends at 0.4 bar, and a snorkel is under water.
    #[test]
    fn what_moves_nothing_down_there_is_told() {
        for (shut_off, snorkel, depth) in [(4e4, false, 5.0), (4e4, true, 0.2)] {
            let found = boat(-0.1, depth, 0.0, vec![pump(1e-4, shut_off, snorkel, [2.0, 20.0])]);
            let found = found.follow(LONG).unwrap();
            assert_eq!(found.stalled, [Some(Seconds(2.0))]);
            assert!(found.surfaced.is_none() && found.moments.last().unwrap().emptied.0 <= 0.0);
            assert!(found.sinks_on);
            // She is given up when nothing more can help.
            assert!((found.moments.last().unwrap().time.0 - 20.0).abs() < 1e-9);
        }
    }

    #[test]
    fn nonsense_is_refused() {
        assert!(boat(1.0, -1.0, 0.0, Vec::new()).follow(LONG).is_err());
        assert!(boat(f64::NAN, 1.0, 0.0, Vec::new()).follow(LONG).is_err());
        let huge = Submerged { tank: CubicMetres::from_litres(6.0), ..boat(1.0, 1.0, 0.0, Vec::new()) };
        assert!(huge.follow(LONG).is_err());
    }
}
