//! A boat whose tank is emptied by pumps and gas while she sinks and rises: depth changes flow, and flow
//! changes depth.
//!
//! Beside the equation of motion of [`super::rise`] (with a force downwards for a boat that is driven down):
//! water leaves by pumps at what their curve gives against the water's pressure here; gas fills what its
//! mass flow takes up here, and what is in the tank already grows and shrinks with the pressure,
//! `dV = -V dp/p` at an even temperature. What the tank cannot hold bubbles out. Air that a pump takes from the
//! hull is missing there: see [`HullAir`]. While a vent is open the tank holds no air at all: how fast it would
//! go is not known, and at once is the careful side. A leak makes her heavier for as long as she is under. A weight
//! that is let go lifts her at a stroke by what it pulled in the water, and takes as much of her mass with it.
//! At the surface she stays, and the rest of the tank is emptied at no depth.

use super::follow::Way;
use super::ode;
use super::rise::Start;
use super::source::{Driven, Drop, Emptier, HullAir, Leak, Source, Spring, Stretch, thinned};
use super::steady::Boat;
use crate::domain::{DomainError, not_negative, positive, within};
use crate::gas::restriction::Restriction;
use crate::gas::supply::Supply;
use crate::pressure::{ATMOSPHERE, DEEPEST, GRAVITY};
use crate::units::{CubicMetres, Kilograms, Metres, MetresPerSecond, Newtons, Pascals, Seconds};

/// Bottles that can be followed at once.
pub const MOST_BOTTLES: usize = 3;

/// Depth, speed, pumped, gas in the tank, air taken from the hull as it would be at one atmosphere, water
/// leaked in, and the mass drawn from each bottle.
pub(super) const SLOTS: usize = 6 + MOST_BOTTLES;
pub(super) const DEPTH: usize = 0;
pub(super) const SPEED: usize = 1;
pub(super) const PUMPED: usize = 2;
pub(super) const FILLED: usize = 3;
const TAKEN: usize = 4;
const LEAKED: usize = 5;
const DRAWN: usize = 6;

pub(super) type State = ode::State<SLOTS>;

/// A boat under water with what empties her tank.
#[derive(Clone, Debug, PartialEq)]
pub struct Submerged {
    /// The boat, her mass with the tank full.
    pub boat: Boat,
    /// What lifts her with the tank full; below nought: she is heavy.
    pub lift: Newtons,
    /// What the tank holds; nought for a boat that has none.
    pub tank: CubicMetres,
    /// A force downwards from planes and motor.
    pub driven: Driven,
    /// Where she starts, and how fast she goes down.
    pub start: Start,
    /// What empties the tank.
    pub emptiers: Vec<Emptier>,
    /// When a vent is open.
    pub vented: Vec<Stretch>,
    /// What is let go.
    pub drops: Vec<Drop>,
    /// The air that pumps without a snorkel breathe, if it is known; else they breathe as if outdoors.
    pub hull: Option<HullAir>,
    /// How water gets in, if it does.
    pub leak: Option<Leak>,
    /// What becomes of pumped air while the depth changes.
    pub spring: Spring,
    /// Somebody looks at the moments between, so that some more of them are told.
    pub drawn: bool,
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
    /// Water that has leaked in.
    pub leaked: CubicMetres,
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
    /// By emptier: the least share of its pressure that a pump had left over while it was at it.
    pub to_spare: Vec<Option<f64>>,
}

impl Submerged {
    /// Follows her until she is up and nothing empties the tank any more, until nothing is left that
    /// could raise her and she sinks, to the depth that formulas answer for, or for `until`.
    ///
    /// # Errors
    /// For a boat that [`Boat::terminal_speed`] refuses, a tank that holds less than nothing or more than
    /// she weighs, a start that is not under water, more than three bottles, and for a motion that needs
    /// more than 20 000 steps.
    pub fn follow(&self, until: Seconds) -> Result<Followed, DomainError> {
        let (_, drag) = self.boat.checked()?;
        not_negative("volume of the tank", self.tank.0, CubicMetres::SIGN)?;
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
        self.driven.checked()?;
        for drop in &self.drops {
            positive("weight that is let go", drop.weighs.0, Kilograms::SIGN)?;
        }
        let dropped = self.drops.iter().map(|drop| drop.weighs.0).sum::<f64>();
        let least = self.boat.mass.0 - self.tank.0 * self.boat.water.0 - dropped;
        positive("mass with an empty tank and nothing left to drop", least, Kilograms::SIGN)?;
        if let Some(hull) = self.hull {
            positive("air in the hull", hull.volume.0, CubicMetres::SIGN)?;
            positive("pressure in the hull", hull.pressure.0, Pascals::SIGN)?;
        }
        let mut y = [0.0; SLOTS];
        (y[DEPTH], y[SPEED]) = (depth, speed);
        Way::new(self, drag, y, self.begins(&y)).go(until)
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
            to_spare: vec![None; self.emptiers.len()],
        }
    }

    pub(super) fn moment(&self, t: f64, y: &State) -> Moment {
        Moment {
            time: Seconds(t),
            depth: Metres(y[DEPTH]),
            sinking: MetresPerSecond(y[SPEED]),
            emptied: CubicMetres(self.out(y)),
            leaked: CubicMetres(y[LEAKED]),
            drawn: std::array::from_fn(|n| Kilograms(y[DRAWN + n])),
        }
    }

    /// Water that is out of the tank.
    fn out(&self, y: &State) -> f64 {
        (y[PUMPED] + y[FILLED]).clamp(0.0, self.tank.0)
    }

    /// What the tank still holds beside the air and gas in it.
    pub(super) fn room(&self, y: &State) -> f64 {
        self.tank.0 - (y[PUMPED] + y[FILLED])
    }

    /// Whether there is as much air and gas in the tank as it holds; what has no tank never gets there.
    pub(super) fn overfull(&self, y: &State) -> bool {
        self.tank.0 > 0.0 && self.room(y) <= 0.0
    }

    /// What lifts her at a moment, without her way.
    pub(super) fn lifts(&self, t: f64, y: &State) -> f64 {
        let lighter = self.boat.water.0 * (self.out(y) - y[LEAKED]) + self.gone(t);
        self.lift.0 + lighter * GRAVITY
    }

    /// What all weights pulled in water that are gone at a moment.
    fn gone(&self, t: f64) -> f64 {
        self.drops.iter().filter(|drop| drop.at.0 <= t).map(|drop| drop.weighs.0).sum()
    }

    /// Pressure of the water alone.
    fn gauge(&self, y: &State) -> Pascals {
        Pascals(self.boat.water.0 * GRAVITY * y[DEPTH].max(0.0))
    }

    /// Absolute pressure of the air in the hull.
    fn inside(&self, y: &State) -> Pascals {
        self.hull.map_or(ATMOSPHERE, |hull| hull.left(CubicMetres(y[TAKEN]), CubicMetres(y[LEAKED])))
    }

    /// What a pump works against: the water, and what its air lacks of the atmosphere.
    fn against(&self, y: &State) -> Pascals {
        self.gauge(y) + ATMOSPHERE - self.inside(y)
    }

    /// When anything changes.
    pub(super) fn bends(&self, until: f64) -> Vec<f64> {
        let stretches = self.emptiers.iter().flat_map(|e| &e.on).chain(&self.vented);
        let switched = stretches.flat_map(|s| [s.from.0, s.until.0]);
        let switched = switched.chain(self.drops.iter().map(|drop| drop.at.0));
        let mut all: Vec<f64> =
            switched.chain([self.driven.until.0]).filter(|t| *t > 0.0 && *t < until).collect();
        all.push(until);
        all.sort_by(f64::total_cmp);
        all.dedup();
        all
    }

    /// What is at it between two bends.
    pub(super) fn at_it(&self, from: f64, to: f64) -> AtIt {
        let middle = (from + to) / 2.0;
        let now = |on: &[Stretch]| on.iter().find(|s| s.holds(middle)).copied();
        AtIt {
            middle,
            emptiers: self.emptiers.iter().map(|e| now(&e.on)).collect(),
            vented: now(&self.vented).is_some(),
        }
    }

    /// Whether anything is still to be switched on or off, let go, or for ever on, after a moment.
    pub(super) fn to_come(&self, t: f64) -> bool {
        let drops = self.drops.iter().any(|drop| drop.at.0 > t && drop.at.0.is_finite());
        drops || self.emptiers.iter().any(|e| e.on.iter().any(|s| s.until.0 > t && s.until > s.from))
    }

    /// What each emptier moves at a state: volume in a second, mass in a second.
    pub(super) fn moves<'a>(
        &'a self,
        t: f64,
        y: &'a State,
        at_it: &'a AtIt,
    ) -> impl Iterator<Item = (f64, f64)> + 'a {
        let gauge = self.gauge(y);
        let mut bottle = 0;
        self.emptiers.iter().zip(&at_it.emptiers).map(move |(emptier, stretch)| {
            let open = stretch.map_or(0.0, |s| s.open_at(t));
            match &emptier.source {
                Source::Pump { through_snorkel, .. } => {
                    if open <= 0.0 || *through_snorkel && gauge.0 > 0.0 {
                        return (0.0, 0.0);
                    }
                    (self.pumped(y, &emptier.source, gauge) * open, 0.0)
                }
                Source::Gas { supply, valve } => {
                    bottle += 1;
                    if open <= 0.0 {
                        return (0.0, 0.0);
                    }
                    let drawn = Kilograms(y[DRAWN + bottle - 1]);
                    let (flow, per_kg) = supply.flow(drawn, *valve, gauge + ATMOSPHERE);
                    (flow.0 * per_kg * open, flow.0 * open)
                }
            }
        })
    }

    /// Whether each emptier is at it and moves nothing.
    pub(super) fn stands<'a>(
        &'a self,
        t: f64,
        y: &'a State,
        at_it: &'a AtIt,
    ) -> impl Iterator<Item = bool> + 'a {
        let gauge = self.gauge(y);
        let mut bottle = 0;
        self.emptiers.iter().zip(&at_it.emptiers).map(move |(emptier, stretch)| {
            bottle += usize::from(matches!(emptier.source, Source::Gas { .. }));
            stretch.is_some_and(|s| s.open_at(t) > 0.0)
                && match &emptier.source {
                    Source::Pump { through_snorkel: true, .. } if gauge.0 > 0.0 => true,
                    Source::Pump { .. } => self.pumped(y, &emptier.source, gauge) <= 0.0,
                    Source::Gas { supply, .. } => {
                        supply.state(Kilograms(y[DRAWN + bottle - 1])).0 <= gauge + ATMOSPHERE
                    }
                }
        })
    }

    /// What a pump that gets air moves against the water here.
    fn pumped(&self, y: &State, source: &Source, gauge: Pascals) -> f64 {
        let Source::Pump { curve, flow_by, pressure_by, through_snorkel } = source else { return 0.0 };
        let (against, thin) = match self.hull.filter(|_| !through_snorkel) {
            Some(_) => (self.against(y), thinned(self.inside(y), self.against(y))),
            None => (gauge, 1.0),
        };
        curve.flow(against / *pressure_by).0 * flow_by * thin
    }

    /// What share of its pressure each pump that is at it has left over.
    pub(super) fn to_spare<'a>(
        &'a self,
        y: &'a State,
        at_it: &'a AtIt,
    ) -> impl Iterator<Item = Option<f64>> + 'a {
        self.emptiers.iter().zip(&at_it.emptiers).map(|(emptier, stretch)| {
            let breathes = matches!(emptier.source, Source::Pump { through_snorkel: false, .. });
            stretch.filter(|_| breathes).and_then(|_| emptier.source.to_spare(self.against(y)))
        })
    }

    /// How fast everything changes.
    pub(super) fn slope<'a>(
        &'a self,
        at_it: &'a AtIt,
        drag: f64,
        [afloat, full]: [bool; 2],
    ) -> impl Fn(f64, &State) -> State + 'a {
        let of = self;
        move |t: f64, y: &State| {
            let mut d = [0.0; SLOTS];
            let (mut pumped, mut filled, mut bottle) = (0.0, 0.0, 0);
            let gauge = of.gauge(y).0;
            let pressure = ATMOSPHERE.0 + gauge;
            for ((volume, mass), emptier) in of.moves(t, y, at_it).zip(&of.emptiers) {
                match emptier.source {
                    Source::Gas { .. } => {
                        filled += volume;
                        d[DRAWN + bottle] = mass;
                        bottle += 1;
                    }
                    Source::Pump { through_snorkel, .. } => {
                        pumped += volume;
                        if !through_snorkel && of.hull.is_some() {
                            d[TAKEN] += volume * pressure / ATMOSPHERE.0;
                        }
                    }
                }
            }
            if !afloat {
                let water = of.boat.water.0;
                let squeezed = water * GRAVITY * y[SPEED] / pressure;
                filled -= y[FILLED].max(0.0) * squeezed;
                if squeezed > 0.0 && of.spring.shrinks || squeezed < 0.0 && of.spring.grows {
                    pumped -= y[PUMPED].max(0.0) * squeezed;
                }
                if let Some(leak) = of.leak {
                    let difference = Pascals(pressure - of.inside(y).0);
                    d[LEAKED] = leak.flow(difference, of.boat.water).0;
                }
                let gone = of.gone(at_it.middle);
                let mass = of.boat.mass.0 - water * (of.out(y) - y[LEAKED]) - gone + of.boat.added.0;
                let force = of.driven.at(t) - of.lifts(at_it.middle, y) - drag * y[SPEED] * y[SPEED].abs();
                d[DEPTH] = y[SPEED];
                d[SPEED] = force / mass;
            }
            if at_it.vented || full && pumped + filled >= 0.0 {
                // No water is left for a pump, and what more there is of gas bubbles out.
                (pumped, filled) = (0.0, 0.0);
            }
            d[PUMPED] = pumped;
            d[FILLED] = filled;
            d
        }
    }
}

/// What is at it between two moments at which anything is switched.
#[derive(Clone, Debug)]
pub(super) struct AtIt {
    /// A moment between: what is gone there is gone all the while.
    middle: f64,
    /// By emptier.
    pub(super) emptiers: Vec<Option<Stretch>>,
    /// A vent is open.
    pub(super) vented: bool,
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
#[path = "blow_tests.rs"]
mod tests;
